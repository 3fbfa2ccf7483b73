package salinity

import (
	"errors"

	"tidehold/refs/units"
)

// Hand meters usually show conductivity "at 25 °C": the actual one divided by
// 1 + alpha·(t − 25). CompensationAlpha is the common setting of alpha in 1/°C;
// 0.0191 and 0.021 are met too. Seawater's own coefficient is near 0.0195, which
// is why a wrong alpha costs up to 0.5 in salinity at 15 °C.
//
// Source: [specific-conductance].
const CompensationAlpha = 0.020

// compensationAlphaLimits is how far a meter's unstated alpha is taken to lie
// from CompensationAlpha: it spans the 0.0191 and 0.021 in use.
//
// Source: [specific-conductance].
const compensationAlphaLimits = 0.001

// compensationReference is the temperature in °C that meters compensate to.
const compensationReference = 25

// alphaRange holds every coefficient published for natural waters, in 1/°C. Zero
// stands for a meter that does not compensate.
var alphaRange = Range{0, 0.03}

// FromCompensatedConductivity returns practical salinity from c25, what a meter
// shows in mS/cm after compensating to 25 °C with the linear coefficient alpha
// (1/°C), when the water is at t (°C, ITS-90). The compensation is undone, which
// is exact, and PSS-78 is used at t.
//
// Range as FromConductivity; alpha from 0 to 0.03.
//
// Source: [pss78], as [unesco44], eqs. (1) to (3), pp. 6-7; [specific-conductance].
func FromCompensatedConductivity(c25 units.MilliSiemensPerCm, t units.Celsius, alpha float64) (units.Practical, error) {
	factor, err := compensation(t, alpha)
	if err != nil {
		return 0, err
	}
	s, err := FromConductivity(c25*units.MilliSiemensPerCm(factor), t)
	if e, ok := errors.AsType[*RangeError](err); ok && e.Argument == "conductivity" {
		return 0, &RangeError{e.Relation, "conductivity at 25 °C", float64(c25), e.Low / factor, e.High / factor, e.Unit}
	}
	return s, err
}

// CompensatedConductivity returns what a meter that compensates linearly with
// alpha (1/°C) shows, in mS/cm at 25 °C, in water of practical salinity s at t. It
// is the inverse of FromCompensatedConductivity. What seawater really conducts at
// 25 °C is Conductivity(s, 25).
//
// Range as Conductivity; alpha from 0 to 0.03.
//
// Source: [pss78], as [unesco44], eqs. (1) to (3), pp. 6-7; [specific-conductance].
func CompensatedConductivity(s units.Practical, t units.Celsius, alpha float64) (units.MilliSiemensPerCm, error) {
	factor, err := compensation(t, alpha)
	if err != nil {
		return 0, err
	}
	c, err := Conductivity(s, t)
	return c / units.MilliSiemensPerCm(factor), err
}

// compensation is the factor 1 + alpha·(t − 25), positive over the whole range.
func compensation(t units.Celsius, alpha float64) (float64, error) {
	if !pssDomain.t.holds(float64(t)) {
		return 0, pssDomain.temperatureFault(float64(t))
	}
	if !alphaRange.holds(alpha) {
		return 0, &RangeError{"conductivity compensated to 25 °C", "temperature coefficient", alpha, alphaRange.Low, alphaRange.High, "per °C"}
	}
	return 1 + alpha*(float64(t)-compensationReference), nil
}
