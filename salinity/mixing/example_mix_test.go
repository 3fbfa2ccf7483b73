package mixing_test

import (
	"fmt"

	"tidehold/salinity/mixing"
)

// A new vat of 200 L at salinity 35 and 25 °C from purified water at 18 °C, by a label
// of 38.4 g to the finished litre.
func ExampleNew() {
	b, err := mixing.New(200, 35, 25, 18, mixing.Dose{GPerL: 38.4, Per: mixing.Finished, Salinity: 35, Temperature: 25})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f kg of salt, %.1f L of purified water\n", b.SaltKg, b.Water)
	// Output: 7.68 kg of salt, 197.3 L of purified water
}

// Two parts of the sea and one of purified water: mass and salt are kept, litres are not.
func ExampleBlend() {
	w, err := mixing.Blend(mixing.Water{Volume: 100, Salinity: 35, Temperature: 25}, mixing.Water{Volume: 50, Salinity: 0, Temperature: 25})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f L at salinity %.2f, %.1f °C\n", w.Volume, w.Salinity, w.Temperature)
	// Output: 149.98 L at salinity 23.53, 25.0 °C
}

// How much of each of two vats makes 200 L at 33.
func ExampleMatch() {
	p, err := mixing.Match(200, 33, mixing.Water{Volume: 400, Salinity: 35, Temperature: 25}, mixing.Water{Volume: 100, Salinity: 0, Temperature: 25})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f L and %.1f L\n", p.First, p.Second)
	// Output: 188.3 L and 11.7 L
}
