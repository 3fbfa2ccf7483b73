package volumes_test

import (
	"fmt"

	"tidehold/refs/units"
	"tidehold/volumes"
)

// A box of 60 × 60 cm filled 70 cm deep holds 252 L.
func ExampleNew() {
	box, err := volumes.New("box", map[string]float64{"length": 60, "width": 60, "height": 90}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	litres, _ := box.VolumeAt(70)
	level, _ := box.LevelOf(litres)
	fmt.Printf("%.0f L, and back %.0f cm\n", litres, level)
	// Output: 252 L, and back 70 cm
}

// A lying cylinder half full holds half: π·r²·length/2.
func ExampleShape_VolumeAt() {
	drum, err := volumes.New("lying_cylinder", map[string]float64{"diameter": 60, "length": 100}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	litres, _ := drum.VolumeAt(30)
	fmt.Printf("%.2f L\n", litres)
	// Output: 141.37 L
}

// 60 L of saltwater out and 60 L of purified water in take a system from 35 to 31.5: a
// tenth was changed, so it holds about 600 L (a little less by mass: purified water is lighter).
func ExampleFromExchange() {
	e, err := volumes.FromExchange(volumes.Exchange{
		RemovedL: units.Measured{Value: 60, U: 1}, Before: units.Measured{Value: 35, U: 0.2}, After: units.Measured{Value: 31.5, U: 0.2},
		Temperature: 25, WithTemperature: 25,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f L ± %.0f L\n", e.Volume, e.U)
	// Output: 586 L ± 46 L
}
