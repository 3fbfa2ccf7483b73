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

// The carbonate system of a tank whose pH and alkalinity were read: 2.4 mmol/kg is
// 6.9 dKH.
func ExampleCarbonateFromPH() {
	c, err := salinity.CarbonateFromPH(8.1, 2.4, 35, 25)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("DIC %.3f: CO2 %.3f, HCO3 %.3f, CO3 %.3f; borate %.3f mmol/kg\n", c.DIC, c.CO2, c.Bicarbonate, c.CarbonateIon, c.Borate)
	// Output: DIC 2.057: CO2 0.010, HCO3 1.801, CO3 0.245; borate 0.100 mmol/kg
}

// What two waters of one mass, temperature and salinity make: their alkalinity and
// carbon are averaged, their pH is not.
func ExampleCarbonateFromDIC() {
	tank, _ := salinity.CarbonateFromPH(7.8, 2.9, 35, 25.5)
	vat, _ := salinity.CarbonateFromPH(8.2, 2.9, 35, 25.5)
	mix, err := salinity.CarbonateFromDIC(2.9, 0.55*tank.DIC+0.45*vat.DIC, 35, 25.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("pH %.4f\n", mix.PH)
	// Output: pH 8.0019
}

// A result of 3 mg/L sulfide, as sulfur, in a tank at pH 8.2.
func ExampleUndissociatedSulfide() {
	f, err := salinity.UndissociatedSulfide(8.2, 35, 25)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f %% of it is H2S: %.0f µg/L\n", 100*f, 3000*salinity.H2SPerSulfur*f)
	// Output: 2.0 % of it is H2S: 64 µg/L
}
