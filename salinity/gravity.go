package salinity

import (
	"errors"

	"tidehold/refs/units"
)

// Pair is the temperature pair of a specific gravity: that of the sample and
// that of the pure water it is compared with, both in °C (ITS-90). A specific
// gravity without its pair is ambiguous by 0.0035 at salinity 35, worth 4.7.
type Pair struct {
	Sample, Water units.Celsius
}

// SixtyFahrenheit is 60 °F in °C, the reference temperature of older floats.
const SixtyFahrenheit units.Celsius = 140.0 / 9

// The pairs that scales are marked for most often.
var (
	Pair25  = Pair{25, 25}
	Pair20  = Pair{20, 20}
	Pair60F = Pair{SixtyFahrenheit, SixtyFahrenheit}
)

// SpecificGravity returns the density of seawater of practical salinity s at
// p.Sample over the density of pure water at p.Water. It has no unit.
//
// Range as Density, for both temperatures. TEOS-10 gives the same within 1e-5.
// Inverse: SalinityFromGravity.
//
// Source: [eos80], as [unesco44], eqs. (13) and (14), p. 17.
func SpecificGravity(s units.Practical, p Pair) (float64, error) {
	rho, err := Density(s, p.Sample)
	if err != nil {
		return 0, err
	}
	water, err := Density(0, p.Water)
	if err != nil {
		return 0, err
	}
	return float64(rho / water), nil
}

// SalinityFromGravity returns the practical salinity of seawater whose specific
// gravity for the pair p is sg. The water must be at p.Sample: a float read in
// water of another temperature is Float's business.
//
// Range as SalinityFromDensity; the *RangeError for sg gives the specific
// gravities allowed. An error of 0.0005 in sg is worth 0.66.
//
// Source: [eos80], as [unesco44], eqs. (13) and (14), p. 17.
func SalinityFromGravity(sg float64, p Pair) (units.Practical, error) {
	water, err := Density(0, p.Water)
	if err != nil {
		return 0, err
	}
	s, err := SalinityFromDensity(units.KgPerM3(sg)*water, p.Sample)
	return s, inGravity(err, sg, float64(water))
}

// inGravity restates a density's range error in the unit the user read.
func inGravity(err error, sg, water float64) error {
	e, ok := errors.AsType[*RangeError](err)
	if !ok || e.Argument != "density" {
		return err
	}
	return &RangeError{e.Relation, "specific gravity", sg, e.Low / water, e.High / water, ""}
}
