package salinity

import (
	"math"

	"tidehold/refs/units"
)

// Coefficients of the one-atmosphere International Equation of State 1980, by
// ascending power of temperature. The last water coefficient is 6.536332e-9 in
// UNESCO 44; the abstract of the paper prints 6.536336e-9, which changes
// 4e-7 kg/m³ at 40 °C.
//
// Source: [eos80], as [unesco44], eqs. (13) and (14), p. 17.
var (
	eosWater = [6]float64{999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9}
	eosA     = [5]float64{8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9}
	eosB     = [3]float64{-5.72466e-3, 1.0227e-4, -1.6546e-6}
)

const eosD = 4.8314e-4

// eosFitError is the standard error of the fit in kg/m³, as the paper's abstract
// states it.
const eosFitError = 3.6e-3

// eosDomain: fitted to S 0.5 to 43 and 0 to 40 °C; S 0 to 42 as UNESCO gives it
// (pure water is its own equation, to which the rest is added).
var eosDomain = domain{"EOS-80 density", Range{0, 42}, Range{0, 40}}

// Density returns the density of seawater in kg/m³ at one standard atmosphere.
//
// s is practical salinity (PSS-78), t is in °C (ITS-90). Valid for 0 ≤ s ≤ 42
// and 0 ≤ t ≤ 40; outside, it returns a *RangeError and no value. Standard error
// of the fit 0.0036 kg/m³; within 0.009 kg/m³ of TEOS-10 over the whole range.
// Inverse: SalinityFromDensity.
//
// Source: [eos80], as [unesco44], eqs. (13) and (14), p. 17.
func Density(s units.Practical, t units.Celsius) (units.KgPerM3, error) {
	if !eosDomain.holds(float64(s), float64(t)) {
		return 0, eosDomain.fault(float64(s), float64(t))
	}
	return units.KgPerM3(eos80(float64(s), IPTS68(t))), nil
}

// eos80 is the equation itself, in °C on IPTS-68, without a range check.
func eos80(s, t68 float64) float64 {
	w, a, b := eosTerms(t68)
	// eq. (13)
	return w + s*(a+b*math.Sqrt(s)+eosD*s)
}

// eosTerms returns the density of pure water and the coefficients A and B at t68.
func eosTerms(t float64) (water, a, b float64) {
	w := &eosWater
	// eq. (14)
	water = w[0] + t*(w[1]+t*(w[2]+t*(w[3]+t*(w[4]+t*w[5]))))
	a = eosA[0] + t*(eosA[1]+t*(eosA[2]+t*(eosA[3]+t*eosA[4])))
	b = eosB[0] + t*(eosB[1]+t*eosB[2])
	return water, a, b
}

// newtonStepsForDensity: the right-hand side of EOS-80 is so nearly linear in
// salinity that the start below, with the mean of its last two terms, is within 1.5 %;
// a step leaves at most 0.6 % of the error's square, and two leave only rounding.
const (
	newtonStepsForDensity = 2
	eosMeanSlope          = -0.011
)

// SalinityFromDensity returns the practical salinity of seawater whose density
// is rho (kg/m³) at t (°C, ITS-90) and one standard atmosphere.
//
// Valid for 0 ≤ t ≤ 40 and for densities from that of pure water to that of
// salinity 42 at t; outside, it returns a *RangeError that gives those densities.
// An error of 0.01 kg/m³ is worth about 0.013 in salinity.
//
// Source: [eos80], as [unesco44], eq. (13), p. 17, solved by Newton's method.
func SalinityFromDensity(rho units.KgPerM3, t units.Celsius) (units.Practical, error) {
	if !eosDomain.t.holds(float64(t)) {
		return 0, eosDomain.temperatureFault(float64(t))
	}
	w, a, b := eosTerms(IPTS68(t))
	d := float64(rho) - w
	s := d / (a + eosMeanSlope)
	if s >= 0 && s < 50 {
		for range newtonStepsForDensity {
			root := math.Sqrt(s)
			s -= (s*(a+b*root+eosD*s) - d) / (a + 1.5*b*root + 2*eosD*s)
		}
	}
	if eosDomain.s.holds(s) {
		return units.Practical(s), nil
	}
	return densityAtLimit(float64(rho), s, IPTS68(t))
}

// densityAtLimit settles a salinity that the fast path found outside its range.
func densityAtLimit(rho, s, t68 float64) (units.Practical, error) {
	if s, ok := eosDomain.s.settle(s); ok {
		return units.Practical(s), nil
	}
	low, high := eos80(eosDomain.s.Low, t68), eos80(eosDomain.s.High, t68)
	return 0, &RangeError{eosDomain.relation, "density", rho, low, high, "kg/m³"}
}
