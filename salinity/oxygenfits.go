package salinity

import (
	"math"

	"tidehold/refs/units"
)

// ggFit is one column of coefficients of Garcia and Gordon, by ascending power of
// the scaled temperature.
type ggFit struct {
	a  [6]float64
	b  [4]float64
	c0 float64
}

// The column fitted to the data of Benson and Krause, in umol/kg.
// The term A3·Ts² of the 1992 print does not belong there. Columns that begin with
// 5.80818 and 2.00856 are another, combined fit.
//
// Source: [gg1992], table 1.
var ggKg = ggFit{
	a:  [6]float64{5.80871, 3.20291, 4.17887, 5.10006, -9.86643e-2, 3.80369},
	b:  [4]float64{-7.01577e-3, -7.70028e-3, -1.13864e-2, -9.51519e-3},
	c0: -2.75915e-7,
}

// ggDomain: freezing to 40 °C and S 0 to 42 are recalled, not read.
var ggDomain = domain{"Garcia and Gordon oxygen saturation", Range{0, 42}, Range{-2, 40}}

// at evaluates the fit at t on the scale of the paper (IPTS-68).
func (g *ggFit) at(s, t float64) float64 {
	ts := ggScaled(t)
	a, b := &g.a, &g.b
	ts2 := ts * ts // terms paired: half the work need not wait for the other half
	return math.Exp(a[0] + ts*a[1] + ts2*(a[2]+ts*a[3]+ts2*(a[4]+ts*a[5])) +
		s*(b[0]+ts*b[1]+ts2*(b[2]+ts*b[3])) + g.c0*s*s)
}

// ggScaled is the scaled temperature ln((298.15-t)/(273.15+t)). As the two add up to
// 571.3 K whatever t is, it is the series of 2 artanh z, z = (25-2t)/571.3, of which the
// terms up to z^15 leave only rounding from -2 to 40 °C; a logarithm takes twice as long.
func ggScaled(t float64) float64 {
	z := (25 - 2*t) / 571.3
	z2 := z * z
	z4 := z2 * z2
	return 2 * z * (1 + z2*(1./3) + z4*(1./5+z2*(1./7)) + z4*z4*(1./9+z2*(1./11)+z4*(1./13+z2*(1./15))))
}

// OxygenSaturationGarciaGordon returns the oxygen concentration in µmol/kg in
// equilibrium with water-saturated air at one atmosphere, by the fit that ocean
// science uses. It is here to check OxygenSaturation by.
//
// s is practical salinity from 0 to 42, t is in °C (ITS-90) from -2 to 40; outside, a
// *RangeError.
//
// Source: [gg1992], eq. (8) without the A3·Ts² term, table 1.
func OxygenSaturationGarciaGordon(s units.Practical, t units.Celsius) (float64, error) {
	if !ggDomain.holds(float64(s), float64(t)) {
		return 0, ggDomain.fault(float64(s), float64(t))
	}
	return ggKg.at(float64(s), IPTS68(t)), nil
}

// Coefficients in mL(STP)/L: of 1, 100/T, ln(T/100) and T/100; of S times 1, T/100
// and (T/100)².
//
// Source: [weiss1970].
var (
	weissA = [4]float64{-173.4292, 249.6339, 143.3483, -21.8492}
	weissB = [3]float64{-0.033096, 0.014259, -0.0017000}
)

var weissDomain = domain{"Weiss oxygen saturation", Range{0, 40}, Range{-1, 40}}

func weiss(s, t68 float64) float64 {
	u := (t68 + kelvinAtZero) / 100
	a, b := &weissA, &weissB
	return math.Exp(a[0] + a[1]/u + a[2]*math.Log(u) + a[3]*u + s*(b[0]+u*(b[1]+u*b[2])))
}

// OxygenSaturationWeiss returns the oxygen concentration in mL(STP)/L in equilibrium
// with water-saturated air at one atmosphere, by the older fit, 0.25 % lower.
//
// s is practical salinity from 0 to 40, t is in °C (ITS-90) from -1 to 40; outside, a
// *RangeError.
//
// Source: [weiss1970].
func OxygenSaturationWeiss(s units.Practical, t units.Celsius) (float64, error) {
	if !weissDomain.holds(float64(s), float64(t)) {
		return 0, weissDomain.fault(float64(s), float64(t))
	}
	return weiss(float64(s), IPTS68(t)), nil
}
