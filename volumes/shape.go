package volumes

import (
	"fmt"
	"math"

	"tidehold/refs/units"
)

// cm3PerLitre is exact: the litre is the cubic decimetre (SI Brochure, 9th ed., table 8).
const cm3PerLitre = 1000.0

// Shape is a vessel seen from the dipstick: volume at a level and level at a
// volume, which agree to 1e-9 of the full volume.
type Shape interface {
	// Full is the volume at the brim.
	Full() units.Litres
	// VolumeAt gives the volume at a level in cm above the lowest point,
	// 0 ≤ level ≤ HeightCm; outside, a *RangeError.
	VolumeAt(levelCm float64) (units.Litres, error)
	// LevelOf gives the level in cm at which the vessel holds v,
	// 0 ≤ v ≤ Full; outside, a *RangeError.
	LevelOf(v units.Litres) (float64, error)
	// HeightCm is the level of the brim in cm.
	HeightCm() float64
	// Kind is the name of the shape as written in a site file.
	Kind() string
}

// RangeError says that a level or volume lies outside the vessel it was given for.
type RangeError struct {
	// What was asked for: "level" or "volume".
	What string
	// Value, Low and High are in Unit.
	Value, Low, High float64
	Unit             string
}

func (e *RangeError) Error() string {
	if math.IsNaN(e.Value) {
		return fmt.Sprintf("%s is not a number; allowed is %s to %s %s", e.What, number(e.Low), number(e.High), e.Unit)
	}
	if e.Value > e.High {
		return fmt.Sprintf("%s %s %s is above the brim, which is at %s %s", e.What, number(e.Value), e.Unit, number(e.High), e.Unit)
	}
	return fmt.Sprintf("%s %s %s is below the lowest allowed, %s %s", e.What, number(e.Value), e.Unit, number(e.Low), e.Unit)
}

// number prints a value for an error message: up to six significant digits.
func number(x float64) string { return units.Given(x, 6) }

// solid is every shape given by a formula: cm³ below a level, and its brim.
// The formula must rise strictly from 0 at 0.
type solid struct {
	kind     string
	heightCm float64
	below    func(levelCm float64) float64
}

func (s *solid) Kind() string       { return s.kind }
func (s *solid) HeightCm() float64  { return s.heightCm }
func (s *solid) Full() units.Litres { return units.Litres(s.below(s.heightCm) / cm3PerLitre) }

// inside returns x if it lies in low..high. A hair above high, by no more than
// converting inches to centimetres and back can bring, counts as high.
func inside(x, low, high float64) (float64, bool) {
	const roundOff = 1e-12
	if x > high && x <= high*(1+roundOff) {
		return high, true
	}
	return x, x >= low && x <= high
}

func (s *solid) VolumeAt(levelCm float64) (units.Litres, error) {
	h, ok := inside(levelCm, 0, s.heightCm)
	if !ok {
		return 0, &RangeError{What: "level", Value: levelCm, High: s.heightCm, Unit: "cm"}
	}
	return units.Litres(s.below(h) / cm3PerLitre), nil
}

func (s *solid) LevelOf(v units.Litres) (float64, error) {
	full := float64(s.Full())
	litres, ok := inside(float64(v), 0, full)
	if !ok {
		return 0, &RangeError{What: "volume", Value: float64(v), High: full, Unit: "L"}
	}
	if litres == full {
		return s.heightCm, nil
	}
	return s.bisect(litres * cm3PerLitre), nil
}

// bisect finds the level holding cm3 by halving down to neighbouring floats.
// Closed inverses exist for some solids only, and those of a cone or a segment
// lose digits near empty; halving does not, and takes about a microsecond.
func (s *solid) bisect(cm3 float64) float64 {
	lo, hi := 0.0, s.heightCm
	for {
		mid := lo + (hi-lo)/2
		if mid <= lo || mid >= hi {
			return lo
		}
		switch v := s.below(mid); {
		case v == cm3:
			return mid
		case v < cm3:
			lo = mid
		default:
			hi = mid
		}
	}
}
