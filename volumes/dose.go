package volumes

import (
	"fmt"
	"math"

	"tidehold/refs/gum"
	"tidehold/refs/units"
	"tidehold/salinity"
)

// Dose is a known mass of something that neither decays nor sticks, mixed into
// a system.
type Dose struct {
	// MassMg is the mass of the tracer in mg.
	MassMg units.Measured
	// BeforeMgL and AfterMgL are its concentration in the system, mixed, in mg/L.
	BeforeMgL, AfterMgL units.Measured
	// InL is the volume of the solution it was added in, litres; 0 if dry.
	InL units.Measured
}

// FromDose finds the volume of a system before the dose, from a balance of the
// tracer: V·before + m = (V + a)·after, so V = (m − a·after)/(after − before).
// It returns an error if the concentration did not rise.
// Source: conservation of the tracer.
func FromDose(d Dose) (Estimate, error) {
	if !(d.MassMg.Value > 0) || math.IsInf(d.MassMg.Value, 0) {
		return Estimate{}, fmt.Errorf("the mass dosed is %s mg; more than 0 is needed", number(d.MassMg.Value))
	}
	if !(d.BeforeMgL.Value >= 0) || !(d.InL.Value >= 0) || math.IsInf(d.InL.Value, 0) {
		return Estimate{}, fmt.Errorf("concentration before (%s mg/L) and volume of the dose (%s L) must be 0 or more",
			number(d.BeforeMgL.Value), number(d.InL.Value))
	}
	in := []gum.Input{gum.Named("mass dosed", d.MassMg), gum.Named("concentration before", d.BeforeMgL), gum.Named("concentration after", d.AfterMgL), gum.Named("volume of the dose", d.InL)}
	return propagate("dose", in, func(x []float64) (float64, error) {
		rise := x[2] - x[1]
		v := (x[0] - x[3]*x[2]) / rise
		if !(rise > 0) || !(v > 0) || math.IsInf(v, 0) {
			return 0, fmt.Errorf("concentration after (%s mg/L) does not exceed that before (%s mg/L) by what the dose could bring",
				number(x[2]), number(x[1]))
		}
		return v, nil
	})
}

// SaltDose is a known mass of sea salt dissolved in a system.
type SaltDose struct {
	// MassKg is the mass of the salt as weighed, in kg.
	MassKg units.Measured
	// DryFraction is the share of that mass which is sea salt, 0 to 1, as
	// found from the salt's own dose.
	DryFraction float64
	// Before and After are the practical salinity of the system, mixed.
	Before, After units.Measured
	// Temperature of the system in °C (ITS-90).
	Temperature units.Celsius
	// OffsetU is the expanded uncertainty of an error both readings share.
	OffsetU float64
}

// FromSalt finds the volume of a system, before the dose, from the salt that
// raised its salinity: with s reference salinity as a mass fraction,
// V·ρ(Before) = m · (w − s(After)) / (s(After) − s(Before)).
// Source: conservation of mass and salt; density by [eos80].
func FromSalt(d SaltDose) (Estimate, error) {
	if !(d.MassKg.Value > 0) || math.IsInf(d.MassKg.Value, 0) {
		return Estimate{}, fmt.Errorf("the salt dosed is %s kg; more than 0 is needed", number(d.MassKg.Value))
	}
	if !(d.DryFraction > 0 && d.DryFraction <= 1) {
		return Estimate{}, fmt.Errorf("the dry fraction of the salt is %s; above 0 to 1 is allowed", number(d.DryFraction))
	}
	in := []gum.Input{gum.Named("salt dosed", d.MassKg), gum.Named("salinity before", d.Before), gum.Named("salinity after", d.After),
		gum.Named("offset shared by both readings", units.Measured{U: d.OffsetU})}
	return propagate("salt", in, func(x []float64) (float64, error) {
		before, after := x[1]+x[3], x[2]+x[3]
		if !(after > before) {
			return 0, fmt.Errorf("salinity after (%s) must be above that before (%s)", number(after), number(before))
		}
		kgPerL, err := d.kgPerLitre(before, after)
		if err != nil {
			return 0, err
		}
		return x[0] / kgPerL, nil
	})
}

// kgPerLitre is the salt that moves a litre from one salinity to another:
// ρ(from) · (s(to) − s(from)) / (w − s(to)).
func (d SaltDose) kgPerLitre(from, to float64) (float64, error) {
	const perMille = 1000 // g in a kg, L in a m³
	rho, err := salinity.Density(units.Practical(from), d.Temperature)
	if err != nil {
		return 0, err
	}
	s1 := float64(salinity.ReferenceSalinity(units.Practical(from))) / perMille
	s2 := float64(salinity.ReferenceSalinity(units.Practical(to))) / perMille
	if d.DryFraction <= s2 {
		return 0, fmt.Errorf("a salt mix that is %s %% salt cannot bring water to salinity %s", number(100*d.DryFraction), number(to))
	}
	return float64(rho) / perMille * (s2 - s1) / (d.DryFraction - s2), nil
}

// Caution compares the step in salinity with the limit of the system, whose
// volume is taken to be v; false if it stays within.
func (d SaltDose) Caution(limit float64, v units.Litres) (StepCaution, bool) {
	c, over := beyond(d.Before.Value, d.After.Value, limit)
	if !over {
		return StepCaution{}, false
	}
	if kg, err := d.kgPerLitre(d.Before.Value, d.Before.Value+limit); err == nil {
		c.LargestKg = kg * float64(v)
	}
	return c, true
}
