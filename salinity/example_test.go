package salinity_test

import (
	"fmt"

	"tidehold/salinity"
)

// A glass float marked for 60/60 °F, read in a warm tank: taking the mark as it
// stands would be 3 low.
func ExampleFloat_Salinity() {
	s, err := salinity.GlassFloat(salinity.Pair60F).Salinity(1.0264, 25)
	if err != nil {
		fmt.Println(err)
		return
	}
	asIs, _ := salinity.SalinityFromGravity(1.0264, salinity.Pair60F)
	fmt.Printf("salinity %.1f, not %.1f\n", s, asIs)
	// Output: salinity 37.4, not 34.4
}

// Two instruments in one bucket.
func ExampleCompare() {
	float, _ := salinity.Reading{
		Instrument: salinity.InstrumentHydrometer, Scale: salinity.ScaleGravity,
		Value: 1.0264, U: 0.0005, Temperature: 25, TemperatureU: 0.5,
	}.Salinity()
	meter, _ := salinity.Reading{
		Instrument: salinity.InstrumentConductivity, Scale: salinity.ScaleConductivity,
		Value: 52.5, U: 0.5, Temperature: 25, TemperatureU: 0.5,
	}.Salinity()
	c, err := salinity.Compare(float, meter, true)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("float %.1f ± %.1f, meter %.1f ± %.1f\n", float.Salinity, float.U, meter.Salinity, meter.U)
	fmt.Printf("agree: %v, weighted %.1f ± %.1f\n", c.Agree, c.Weighted, c.WeightedU)
	// Output:
	// float 35.0 ± 0.7, meter 34.6 ± 0.5
	// agree: true, weighted 34.8 ± 0.4
}

// Outside the range of a relation there is no number.
func ExampleDensity() {
	_, err := salinity.Density(35, 45)
	fmt.Println(err)
	// Output: temperature 45 °C is outside 0 to 40 °C, the range of EOS-80 density
}
