package salinity

import (
	"math"

	"tidehold/refs/units"
)

// Coefficients of the specific heat capacity at one atmosphere, J/(kg K), by
// ascending power of temperature: of pure water, of S and of S^1.5. The Fortran
// list prints -7.643575, later copies -7.64357 (0.0002 J/(kg K)).
//
// Source: [mpd1973], as [unesco44], eq. (26), p. 32.
var (
	cpWater = [5]float64{4217.4, -3.720283, 0.1412855, -2.654387e-3, 2.093236e-5}
	cpA     = [3]float64{-7.643575, 0.1072763, -1.38385e-3}
	cpB     = [3]float64{0.1770383, -4.07718e-3, 5.148e-5}
)

// cpDomain: the UNESCO tables run to S 40 and 40 °C. Salinities from 40 to 42 are
// let in because mixing needs the range of density; there the relation still
// stays within 4.6 J/(kg K) of TEOS-10, as in the rest of the range.
var cpDomain = domain{"UNESCO heat capacity", Range{0, 42}, Range{0, 40}}

// HeatCapacity returns the specific heat capacity of seawater at constant
// pressure and one atmosphere, in J per kg of seawater and kelvin.
//
// s is practical salinity, t is in °C (ITS-90). Valid for 0 ≤ s ≤ 42 (tables of
// the source: to 40) and 0 ≤ t ≤ 40; outside, a *RangeError. Within
// 4.6 J/(kg K), 0.11 %, of TEOS-10.
//
// Source: [mpd1973], as [unesco44], eq. (26), p. 32.
func HeatCapacity(s units.Practical, t units.Celsius) (float64, error) {
	if !cpDomain.holds(float64(s), float64(t)) {
		return 0, cpDomain.fault(float64(s), float64(t))
	}
	return unescoCp(float64(s), IPTS68(t)), nil
}

// unescoCp is the relation itself, in °C on IPTS-68, without a range check.
func unescoCp(s, t float64) float64 { return cpOf(s, math.Sqrt(s), t) }

// cpOf is unescoCp for the square root of s.
func cpOf(s, root, t float64) float64 {
	w := &cpWater
	water := w[0] + t*(w[1]+t*(w[2]+t*(w[3]+t*w[4])))
	a := cpA[0] + t*(cpA[1]+t*cpA[2])
	b := cpB[0] + t*(cpB[1]+t*cpB[2])
	return water + s*(a+b*root)
}

// Enthalpy returns the heat content of seawater in J per kg above the same water
// at 0 °C: h(s, t) = ∫ cp dt, in closed form. It is a function of state, so
// blending by enthalpy is associative where blending by cp·t is not. The heat of
// mixing waters of unlike salinity is left out: h is zero at 0 °C for every s.
//
// s is practical salinity, t is in °C (ITS-90); range as HeatCapacity, whose
// integral over t this is. Inverse: TemperatureFromEnthalpy.
//
// Source: [mpd1973], as [unesco44], eq. (26), integrated term by term.
func Enthalpy(s units.Practical, t units.Celsius) (float64, error) {
	if !cpDomain.holds(float64(s), float64(t)) {
		return 0, cpDomain.fault(float64(s), float64(t))
	}
	return unescoEnthalpy(float64(s), float64(t)), nil
}

// HeatAndCapacity returns Enthalpy and HeatCapacity of the same water, both to the last
// bit, in less time than one after the other: Newton's method asks for both.
func HeatAndCapacity(s units.Practical, t units.Celsius) (enthalpy, capacity float64, err error) {
	if !cpDomain.holds(float64(s), float64(t)) {
		return 0, 0, cpDomain.fault(float64(s), float64(t))
	}
	root, t68 := math.Sqrt(float64(s)), IPTS68(t)
	return enthalpyOf(float64(s), root, t68), cpOf(float64(s), root, t68), nil
}

// The coefficients of heat capacity as they stand in its integral over t; those of the
// highest powers are divided last, where the integral is worked out.
var (
	hWater = [4]float64{cpWater[0], cpWater[1] / 2, cpWater[2] / 3, cpWater[3] / 4}
	hA     = [2]float64{cpA[0], cpA[1] / 2}
	hB     = [2]float64{cpB[0], cpB[1] / 2}
)

// unescoEnthalpy is the relation itself, in °C on ITS-90, without a range check.
func unescoEnthalpy(s, t90 float64) float64 {
	return enthalpyOf(s, math.Sqrt(s), IPTS68(units.Celsius(t90)))
}

// enthalpyOf is for the square root of s and t on IPTS-68; the integral is over t on
// ITS-90, hence the one division by the ratio of the scales.
func enthalpyOf(s, root, t float64) float64 {
	w := &hWater
	water := t * (w[0] + t*(w[1]+t*(w[2]+t*(w[3]+t*cpWater[4]/5))))
	a := t * (hA[0] + t*(hA[1]+t*cpA[2]/3))
	b := t * (hB[0] + t*(hB[1]+t*cpB[2]/3))
	return (water + s*(a+b*root)) / ipts68PerITS90
}

// newtonStepsForEnthalpy: cp varies by 1 % over the range, so each Newton step
// gains at least two digits and, near the end, doubles them.
const newtonStepsForEnthalpy = 6

// TemperatureFromEnthalpy returns the temperature in °C (ITS-90) at which
// seawater of practical salinity s holds h J/kg above 0 °C.
//
// Valid for 0 ≤ s ≤ 42 and enthalpies of 0 to 40 °C; outside, a *RangeError that
// gives those enthalpies.
//
// Source: [mpd1973], as [unesco44], eq. (26), integrated and solved by Newton's method.
func TemperatureFromEnthalpy(h float64, s units.Practical) (units.Celsius, error) {
	if !cpDomain.s.holds(float64(s)) {
		return 0, cpDomain.fault(float64(s), cpDomain.t.Low)
	}
	limits := Range{unescoEnthalpy(float64(s), cpDomain.t.Low), unescoEnthalpy(float64(s), cpDomain.t.High)}
	if !limits.holds(h) {
		return 0, &RangeError{cpDomain.relation, "enthalpy", h, limits.Low, limits.High, "J/kg"}
	}
	t := h / unescoCp(float64(s), 0)
	for range newtonStepsForEnthalpy {
		t -= (unescoEnthalpy(float64(s), t) - h) / unescoCp(float64(s), IPTS68(units.Celsius(t)))
	}
	return units.Celsius(math.Min(t, cpDomain.t.High)), nil
}
