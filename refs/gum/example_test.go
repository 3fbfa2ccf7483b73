package gum_test

import (
	"fmt"

	"tidehold/refs/gum"
	"tidehold/refs/units"
)

// The floor of a tank measured with a tape: 120 ± 0.5 cm by 60 ± 0.5 cm.
func ExamplePropagate() {
	in := []gum.Input{
		gum.Named("length", units.Measured{Value: 120, U: 0.5}),
		gum.Named("width", units.Measured{Value: 60, U: 0.5}),
	}
	area, err := gum.Propagate(in, func(x []float64) (float64, error) { return x[0] * x[1], nil })
	fmt.Printf("%.0f ± %.0f cm², mostly the %s (%v)\n", area.Value, area.U, area.Budget[0].What, err)
	// Output: 7200 ± 67 cm², mostly the width (<nil>)
}

// A net volume measured by an exchange and by a tracer.
func ExampleCombine() {
	c, err := gum.Combine([]units.Measured{{Value: 610, U: 40}, {Value: 640, U: 20}})
	fmt.Printf("%.0f ± %.0f L, consistent %v (%v)\n", c.Value, c.U, c.Consistent, err)
	// Output: 634 ± 18 L, consistent true (<nil>)
}
