package salinity_test

import (
	"fmt"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// t68 is a temperature stated on IPTS-68 on today's scale: t68 = 1.00024 t90.
func t68(t float64) units.Celsius { return units.Celsius(t / 1.00024) }

// UNESCO Technical Papers in Marine Science 44 (1983), p. 9: the standard seawater of
// the practical salinity scale conducts 42.914 mS/cm at 15 °C (IPTS-68).
func ExampleConductivity() {
	c, _ := salinity.Conductivity(35, t68(15))
	fmt.Printf("%.3f mS/cm\n", c)
	// Output: 42.914 mS/cm
}

// The same paper, p. 9: a conductivity ratio of 1.0568875 at 20 °C is 37.245628
// (reckoned there in single precision).
func ExampleFromConductivity() {
	c35, _ := salinity.Conductivity(35, t68(20))
	s, _ := salinity.FromConductivity(1.0568875*c35, t68(20))
	fmt.Printf("%.5f\n", s)
	// Output: 37.24563
}

// The same paper, p. 19: 35 at 25 °C (IPTS-68) is 1023.34306 kg/m³, and back.
func ExampleSalinityFromDensity() {
	s, _ := salinity.SalinityFromDensity(1023.34306, t68(25))
	fmt.Printf("%.4f\n", s)
	// Output: 35.0000
}

// Reference salinity of standard seawater: 35.16504 g/kg (TEOS-10 manual, appendix D.3).
func ExampleReferenceSalinity() {
	fmt.Printf("%.5f g/kg\n", salinity.ReferenceSalinity(35))
	// Output: 35.16504 g/kg
}
