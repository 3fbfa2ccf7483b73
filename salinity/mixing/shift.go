package mixing

import (
	"fmt"
	"math"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// Shift is a system to be brought from one salinity to another by changes of
// water: each removes Change litres of mixed water, then adds Change litres of
// new water at the system's own temperature.
type Shift struct {
	System Water
	To     units.Practical
	Change units.Litres
	// StepLimit and DayLimit bound the change of salinity in one step and in any
	// 24 hours; 0 for no limit.
	StepLimit, DayLimit float64
	// EveryH is the time from the start of one change to that of the next.
	EveryH float64
	// Steps to take; 0 for the fewest that keep the limits.
	Steps int
	// Saltiest is the saltiest new water that can be had; 0 for 42.
	Saltiest units.Practical
}

// ShiftStep is one change of water.
type ShiftStep struct {
	N   int     `json:"n"`
	AtH float64 `json:"at_h"`
	// New is what the new water must be.
	New    units.Practical `json:"new_salinity"`
	Before units.Practical `json:"before"`
	After  units.Practical `json:"after"`
}

// ShiftPlan is the answer: steps of equal effect.
type ShiftPlan struct {
	Steps []ShiftStep `json:"steps"`
	// Fewest is the least number of steps that keeps all limits.
	Fewest int `json:"fewest_steps"`
	// WithinLimits says the steps asked for keep them.
	WithinLimits bool `json:"within_limits"`
	// Binding is the limit that sets Fewest: "per step", "per day", "new water",
	// or "" when one step would do.
	Binding string `json:"binding"`
	// One is the salinity of new water that does it with the same water in every
	// step and keeps the limits; nil when there is none.
	One *units.Practical `json:"one_new_salinity"`
	// Water is all new water together, in litres.
	Water units.Litres `json:"water_l"`
}

// mostSteps is where the search for the fewest steps gives up: a year of daily
// changes is not a plan.
const mostSteps = 365

// PlanShift works out what new water brings the system to the salinity wanted,
// in steps that each move it equally far, and the fewest steps that keep the
// limits and need no new water saltier than can be had or fresher than purified.
// A day's limit counts every change that starts within 24 hours. Salt and mass
// are conserved in every step.
//
// Errors: volumes, limits, interval or step count that cannot be used
// (*InputError), anything out of 0 to 42 and 0 to 40 °C (*salinity.RangeError),
// and *TooManyStepsError.
func PlanShift(s Shift) (ShiftPlan, error) {
	if s.Saltiest == 0 {
		s.Saltiest = saltiest
	}
	if err := s.check(); err != nil {
		return ShiftPlan{}, err
	}
	var plan ShiftPlan
	if s.To == s.System.Salinity {
		plan.Steps, plan.WithinLimits = []ShiftStep{}, true
		return plan, nil
	}
	var err error
	if plan.Fewest, plan.Binding, err = s.fewest(); err != nil {
		return ShiftPlan{}, err
	}
	n := plan.Fewest
	if s.Steps > 0 {
		n = s.Steps
	}
	plan.Steps = s.steps(n)
	plan.WithinLimits = n >= plan.Fewest
	plan.One = s.oneWater(n)
	plan.Water = s.Change * units.Litres(n)
	return plan, nil
}

// TooManyStepsError says that no sensible number of steps keeps the limits.
type TooManyStepsError struct {
	Most    int
	Binding string
}

func (e *TooManyStepsError) Error() string {
	return fmt.Sprintf("more than %d steps would be needed because of the limit %s; change more water in each step", e.Most, e.Binding)
}

func (s Shift) check() error {
	if err := checkPositive("the system's volume", float64(s.System.Volume), "L"); err != nil {
		return err
	}
	if !(s.Change > 0 && s.Change <= s.System.Volume) {
		return &InputError{What: "change", Found: short(float64(s.Change)) + " L",
			Allowed: "more than 0 and no more than the system's " + short(float64(s.System.Volume)) + " L"}
	}
	for _, l := range []struct {
		what string
		x    float64
	}{{"limit per step", s.StepLimit}, {"limit per day", s.DayLimit}} {
		if err := checkAmount(l.what, l.x, "of salinity"); err != nil {
			return err
		}
	}
	if err := checkPositive("time between changes", s.EveryH, "h"); err != nil {
		return err
	}
	if s.Steps < 0 || s.Steps > mostSteps {
		return &InputError{What: "steps", Found: fmt.Sprint(s.Steps), Allowed: fmt.Sprintf("1 to %d", mostSteps)}
	}
	if _, err := s.System.MassKg(); err != nil {
		return err
	}
	if _, err := salinity.Density(s.To, s.System.Temperature); err != nil {
		return fmt.Errorf("the salinity wanted: %w", err)
	}
	if _, err := salinity.Density(s.Saltiest, s.System.Temperature); err != nil {
		return fmt.Errorf("the saltiest new water: %w", err)
	}
	return nil
}

// limitSlack forgives rounding where a step is exactly the limit.
const limitSlack = 1e-9

// fewest tries one step, two, and so on.
func (s Shift) fewest() (n int, binding string, err error) {
	for n = 1; n <= mostSteps; n++ {
		broken := s.broken(s.steps(n))
		if broken == "" {
			return n, binding, nil
		}
		binding = broken
	}
	return 0, "", &TooManyStepsError{mostSteps, binding}
}

// broken names the limit that the steps break; "" when they keep all.
func (s Shift) broken(steps []ShiftStep) string {
	window := int(math.Ceil(24/s.EveryH - limitSlack))
	for i, st := range steps {
		if s.StepLimit > 0 && math.Abs(float64(st.After-st.Before)) > s.StepLimit*(1+limitSlack) {
			return "per step"
		}
		last := min(i+window, len(steps)) - 1
		if s.DayLimit > 0 && math.Abs(float64(steps[last].After-st.Before)) > s.DayLimit*(1+limitSlack) {
			return "per day"
		}
		if !(st.New >= 0 && st.New <= s.Saltiest) {
			return "new water"
		}
	}
	return ""
}

// steps moves the system to the target in n equal steps. The salinity of new
// water is what the salt balance asks for, and may be out of range.
func (s Shift) steps(n int) []ShiftStep {
	out := make([]ShiftStep, 0, n)
	from := s.System.Salinity
	for i := 1; i <= n; i++ {
		before := from + (s.To-from)*units.Practical(i-1)/units.Practical(n)
		after := from + (s.To-from)*units.Practical(i)/units.Practical(n)
		out = append(out, ShiftStep{N: i, AtH: float64(i-1) * s.EveryH, New: s.newWater(before, after), Before: before, After: after})
	}
	return out
}

// newWaterRounds: the density of new water changes by 0.08 % a unit of salinity,
// so that each round gains one and a half digits at least.
const newWaterRounds = 12

// newWater solves kept·before + new·ρ(S)·S = (kept + new·ρ(S))·after for S. Where
// the answer is out of range, the density at the end of the range is used: it is
// then not exact, but out of range all the same.
func (s Shift) newWater(before, after units.Practical) units.Practical {
	t := s.System.Temperature
	rhoKept, _ := salinity.Density(before, t) // the ranges have been checked
	lack := (after - before) * units.Practical(massKg(s.System.Volume-s.Change, rhoKept))
	fresh := after
	for range newWaterRounds {
		rho, _ := salinity.Density(min(max(fresh, 0), saltiest), t)
		fresh = after + lack/units.Practical(massKg(s.Change, rho))
	}
	return fresh
}

// oneWater finds the new water that reaches the target when every step uses the
// same, by halving; nil when it would be out of range or break a limit.
func (s Shift) oneWater(n int) *units.Practical {
	lo, hi := units.Practical(0), s.Saltiest
	if end(s.replay(n, lo)) > s.To || end(s.replay(n, hi)) < s.To {
		return nil
	}
	for range 100 {
		mid := lo + (hi-lo)/2
		if end(s.replay(n, mid)) > s.To {
			hi = mid
		} else {
			lo = mid
		}
	}
	fresh := lo + (hi-lo)/2
	if s.broken(s.replay(n, fresh)) != "" {
		return nil
	}
	return &fresh
}

func end(steps []ShiftStep) units.Practical { return steps[len(steps)-1].After }

// replay makes n changes with the same new water. The system is filled to the
// same mark each time.
func (s Shift) replay(n int, fresh units.Practical) []ShiftStep {
	t := s.System.Temperature
	rhoNew, _ := salinity.Density(fresh, t)
	added := massKg(s.Change, rhoNew)
	out := make([]ShiftStep, 0, n)
	now := s.System.Salinity
	for i := 1; i <= n; i++ {
		rho, _ := salinity.Density(now, t)
		kept := massKg(s.System.Volume-s.Change, rho)
		after := practical((kept*saltShare(now) + added*saltShare(fresh)) / (kept + added))
		out = append(out, ShiftStep{N: i, AtH: float64(i-1) * s.EveryH, New: fresh, Before: now, After: after})
		now = after
	}
	return out
}
