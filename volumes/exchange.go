package volumes

import (
	"fmt"
	"math"

	"tidehold/refs/gum"
	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
)

// Exchange is some water taken out of a mixed system and replaced by water of
// another salinity.
type Exchange struct {
	// RemovedL and AddedL are litres out and in. The usual case, as much in as
	// out by the same measure, is AddedL nil.
	RemovedL units.Measured
	AddedL   *units.Measured
	// Before and After are the salinity of the system, mixed, before and after;
	// With that of the water added, 0 to 42.
	Before, After, With units.Measured
	// Temperature of the system, WithTemperature of the water added, °C (ITS-90).
	Temperature, WithTemperature units.Celsius
	// OffsetU is the expanded uncertainty of an error that Before and After
	// share because one instrument read both; it nearly cancels.
	OffsetU float64
}

// Uncertainties to take for salinity readings that state none: what a hand
// refractometer may be off by, which both readings share, and reading its scale
// to the nearest half, 2 · 0.25/√3 ([gum], 4.3.7).
//
// Source: [instrument-accuracy] for the first, [gum] for the second.
const (
	SharedOffset = 1.0
	ScaleReading = 0.29
)

// FromExchange finds the volume of a system, at its temperature before the
// exchange, from a balance of mass and of salt:
//
//	V = r + a · ρ(With)/ρ(Before) · (After − With)/(Before − After)
//
// with r litres removed and a added. Salt is reference salinity, which is
// proportional to practical salinity, so that the factor cancels.
// It returns an error if After does not lie between Before and With.
// Source: conservation of mass and salt; density by [eos80].
func FromExchange(e Exchange) (Estimate, error) {
	if err := e.check(); err != nil {
		return Estimate{}, err
	}
	in := []gum.Input{
		gum.Named("litres removed", e.RemovedL),
		gum.Named("salinity before", e.Before), gum.Named("salinity after", e.After), gum.Named("salinity of the water added", e.With),
		gum.Named("offset shared by both readings", units.Measured{U: e.OffsetU}),
	}
	if e.AddedL != nil {
		in = append(in, gum.Named("litres added", *e.AddedL))
	}
	return propagate("exchange", in, func(x []float64) (float64, error) {
		added := x[0]
		if e.AddedL != nil {
			added = x[5]
		}
		return e.volume(x[0], added, x[1]+x[4], x[2]+x[4], x[3])
	})
}

// volume is the balance for one set of values.
func (e Exchange) volume(removed, added, before, after, with float64) (float64, error) {
	ratio := (after - with) / (before - after)
	if !(ratio > 0) || math.IsInf(ratio, 0) {
		return 0, fmt.Errorf("salinity after (%s) must lie between before (%s) and that of the water added (%s)",
			number(after), number(before), number(with))
	}
	was, err := salinity.Density(units.Practical(before), e.Temperature)
	if err != nil {
		return 0, fmt.Errorf("water before: %w", err)
	}
	// A reading of 0 moved down by its uncertainty is still fresh water.
	fill, err := salinity.Density(units.Practical(max(0, with)), e.WithTemperature)
	if err != nil {
		return 0, fmt.Errorf("water added: %w", err)
	}
	return removed + added*float64(fill)/float64(was)*ratio, nil
}

func (e Exchange) check() error {
	if !(e.RemovedL.Value > 0) || math.IsInf(e.RemovedL.Value, 0) {
		return fmt.Errorf("litres removed are %s; more than 0 is needed", number(e.RemovedL.Value))
	}
	if e.AddedL != nil && (!(e.AddedL.Value > 0) || math.IsInf(e.AddedL.Value, 0)) {
		return fmt.Errorf("litres added are %s; more than 0 is needed", number(e.AddedL.Value))
	}
	if !(e.With.Value >= 0) {
		return fmt.Errorf("the salinity of the water added is %s; 0 or more is allowed", number(e.With.Value))
	}
	return nil
}

// StepCaution says that a test moves the salinity further than livestock should
// bear at once.
type StepCaution struct {
	// Step is what the test does to the salinity, Limit what the system allows.
	Step, Limit float64
	// Largest is the exchange, or LargestKg the salt, that makes a step of just
	// the limit in a system of the volume given; 0 for the other kind of test.
	Largest   units.Litres
	LargestKg float64
}

// beyond compares a step with a limit; false if it stays within.
func beyond(before, after, limit float64) (StepCaution, bool) {
	step := math.Abs(before - after)
	return StepCaution{Step: step, Limit: limit}, step > limit*(1+1e-9)
}

// Caution compares the step in salinity with the limit of the system, whose
// volume is taken to be v; false if it stays within. The exchange is for a
// system without livestock, or must be smaller.
func (e Exchange) Caution(limit float64, v units.Litres) (StepCaution, bool) {
	c, over := beyond(e.Before.Value, e.After.Value, limit)
	if !over {
		return StepCaution{}, false
	}
	was, errWas := salinity.Density(units.Practical(e.Before.Value), e.Temperature)
	fill, errFill := salinity.Density(units.Practical(e.With.Value), e.WithTemperature)
	apart := math.Abs(e.Before.Value - e.With.Value)
	if errWas == nil && errFill == nil && apart > limit {
		ratio := float64(fill) / float64(was)
		c.Largest = units.Litres(float64(v) * limit / (limit + ratio*(apart-limit)))
	}
	return c, true
}

// TemperatureStep is by how many kelvins the exchange moves the temperature of a
// system that holds v: mass, salt and heat of the two waters are conserved. It
// returns an error for more water out than there is, and outside the range of the
// relations (mixing.Blend).
func (e Exchange) TemperatureStep(v units.Litres) (float64, error) {
	out := units.Litres(e.RemovedL.Value)
	in := out
	if e.AddedL != nil {
		in = units.Litres(e.AddedL.Value)
	}
	mix, err := mixing.Blend(
		mixing.Water{Volume: v - out, Salinity: units.Practical(e.Before.Value), Temperature: e.Temperature},
		mixing.Water{Volume: in, Salinity: units.Practical(e.With.Value), Temperature: e.WithTemperature})
	if err != nil {
		return 0, err
	}
	return math.Abs(float64(mix.Temperature - e.Temperature)), nil
}
