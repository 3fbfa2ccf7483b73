package dilution

import (
	"fmt"
	"math"

	"tidehold/refs/units"
)

// Contaminant is one thing to bring down. Concentrations are in µg/L; for a share
// to remove, where nothing was measured, they are shares of the start.
type Contaminant struct {
	// Name is how it is spoken of; "" for a share.
	Name string
	// Start is what is in the water now, Target what it must come down to, and
	// New what each litre of new water brings.
	Start  units.Measured
	Target float64
	New    units.Measured
	// The rest acts between changes; see Dynamics.
	Source                    Source
	ClearanceLH, CapacityMg   float64
	BoundRatio, BoundRatePerH float64
}

// Dynamics is what acts on the contaminant in volumeL litres of water.
func (c Contaminant) Dynamics(volumeL float64) Dynamics {
	return Dynamics{
		VolumeL: volumeL, Source: c.Source,
		ClearanceLH: c.ClearanceLH, CapacityMg: c.CapacityMg,
		BoundRatio: c.BoundRatio, BoundRatePerH: c.BoundRatePerH,
	}
}

// Share is the contaminant that stands for whatever is in the water when nothing
// was measured: all of it now, 1 − remove at the target, none in the new water.
func Share(remove float64) Contaminant {
	return Contaminant{Start: units.Exact(1), Target: 1 - remove}
}

// Problem asks for the changes that bring every contaminant to its target.
type Problem struct {
	// Volume is the net volume in litres.
	Volume       units.Measured
	Contaminants []Contaminant
	// ChangeL is a full-size change in litres. With Trim the last one is only as
	// large as the target asks for.
	ChangeL float64
	Trim    bool
	// MaxChangeL is the most that may be out at once, in litres; 0: the volume.
	MaxChangeL float64
	// EveryH is the time in hours from the start of one change to the next.
	EveryH float64
	// WaterL is the new water there is, in litres, when Limited.
	WaterL  float64
	Limited bool
	// FlowLH is the rate of a continuous exchange in L/h, which takes the place of
	// changes when Continuous; 0: not stated.
	FlowLH     float64
	Continuous bool
	// Confidence is the share of cases, by the stated uncertainties, in which the
	// plan must suffice; Trials and Seed are those of the random trials.
	Confidence float64
	Trials     int
	Seed       uint64
}

// Uncertain reports whether any input has a stated uncertainty.
func (p Problem) Uncertain() bool {
	for _, c := range p.Contaminants {
		if c.Start.U > 0 || c.New.U > 0 {
			return true
		}
	}
	return p.Volume.U > 0
}

// pure reports whether nothing acts between changes.
func (p Problem) pure() bool {
	for _, c := range p.Contaminants {
		if !c.Dynamics(p.Volume.Value).Inert() {
			return false
		}
	}
	return true
}

// InputError is an input that cannot be planned with: which one, what was found
// and what is allowed.
type InputError struct {
	// Field names the input, as its flag is called.
	Field          string
	Found, Allowed string
}

func (e *InputError) Error() string { return e.Field + ": " + e.Found + "; " + e.Allowed }

// Limits of what can be asked for.
const (
	MinTrials, MaxTrials         = 1000, 10_000_000
	MinConfidence, MaxConfidence = 0.5, 0.999
	// UsualConfidence and UsualTrials are what this tool takes when nobody says:
	// nine cases in ten, by as many trials as tell 90 % from 90.5 % (the standard
	// error of a share of 0.9 among 20,000 is 0.2 %).
	UsualConfidence, UsualTrials = 0.9, 20000
)

// Check returns an *InputError for the first input out of range. Every
// comparison is one that NaN fails.
func (p Problem) Check() error {
	v := p.Volume.Value
	for _, b := range []bound{
		{"volume", v, "L", math.SmallestNonzeroFloat64, 1e9, "above zero"},
		{"volume", p.Volume.U, "L of uncertainty", 0, 1e9, "zero or more"},
	} {
		if err := b.check(); err != nil {
			return err
		}
	}
	if len(p.Contaminants) == 0 {
		return &InputError{"start", "nothing to bring down", "a start and a target, or a share to remove"}
	}
	for _, c := range p.Contaminants {
		if err := c.check(); err != nil {
			return err
		}
	}
	if p.Limited {
		if err := (bound{"water", p.WaterL, "L", 0, 1e12, "zero or more"}).check(); err != nil {
			return err
		}
	}
	if p.Uncertain() {
		for _, b := range []bound{
			{"confidence", p.Confidence * 100, "%", MinConfidence * 100, MaxConfidence * 100, "50 % to 99.9 %"},
			{"trials", float64(p.Trials), "", MinTrials, MaxTrials, "1000 to 10000000"},
		} {
			if err := b.check(); err != nil {
				return err
			}
		}
	}
	if p.Continuous {
		return p.checkFlow()
	}
	return p.checkChange()
}

// checkFlow is Check for a continuous exchange.
func (p Problem) checkFlow() error {
	if p.FlowLH == 0 && !p.pure() {
		return &InputError{"flow", "no flow is given, and something acts on the water meanwhile", "the flow of new water in L/h"}
	}
	return bound{"flow", p.FlowLH, "L/h", 0, 1e9, "zero or more"}.check()
}

// checkChange is Check for changes one by one.
func (p Problem) checkChange() error {
	v := p.Volume.Value
	largest := v
	if p.MaxChangeL > 0 {
		largest = math.Min(v, p.MaxChangeL)
	}
	if p.ChangeL > largest*(1+1e-12) {
		found := fmt.Sprintf("a change of %s L is larger than the %s L that may be out at once", short(p.ChangeL), short(largest))
		return &InputError{"change", found, fmt.Sprintf("up to %s %% of the volume", short(100*largest/v))}
	}
	if err := (bound{"change", p.ChangeL, "L", v * 1e-6, math.Inf(1), "more than nothing and no more than the volume"}).check(); err != nil {
		return err
	}
	return bound{"every", p.EveryH, "h", 1.0 / 60, 24 * 365, "a minute to a year between changes"}.check()
}

// check is Check for what belongs to one contaminant.
func (c Contaminant) check() error {
	if c.BoundRatio > 0 && c.BoundRatePerH == 0 {
		return &InputError{"bound", "an amount is bound but its rate of exchange is zero", "a rate per hour above zero"}
	}
	for _, b := range []bound{
		{"start", c.Start.Value, "ug/L", 0, 1e12, "zero or more"},
		{"start", c.Start.U, "ug/L of uncertainty", 0, 1e12, "zero or more"},
		{"target", c.Target, "ug/L", 0, 1e12, "zero or more"},
		{"new", c.New.Value, "ug/L", 0, 1e12, "zero or more"},
		{"new", c.New.U, "ug/L of uncertainty", 0, 1e12, "zero or more"},
		{"source", c.Source.MgH, "mg/h", 0, 1e9, "zero or more"},
		{"source-until", c.Source.UntilH, "h", 0, 1e6, "zero or more"},
		{"source-half-life", c.Source.HalfLifeH, "h", 0, 1e6, "zero or more"},
		{"media", c.ClearanceLH, "L/h", 0, 1e9, "zero or more"},
		{"media-capacity", c.CapacityMg, "mg", 0, 1e12, "zero or more"},
		{"bound", c.BoundRatio, "", 0, 1e6, "zero or more"},
		{"bound", c.BoundRatePerH, "/h", 0, 1e6, "zero or more"},
	} {
		if err := b.check(); err != nil {
			return err
		}
	}
	return nil
}

// bound is a range an input must lie in, both ends allowed.
type bound struct {
	field     string
	value     float64
	unit      string
	low, high float64
	allowed   string
}

func (b bound) check() error {
	if b.value >= b.low && b.value <= b.high {
		return nil
	}
	found := short(b.value)
	if b.unit != "" {
		found += " " + b.unit
	}
	return &InputError{b.field, found, b.allowed}
}

// short prints a number of a message without needless digits.
func short(x float64) string { return units.Given(x, 6) }
