package mixing

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/salinity"
)

func drawShift(t *rapid.T) Shift {
	s := Shift{
		System: Water{
			Volume:      units.Litres(rapid.Float64Range(20, 5000).Draw(t, "litres")),
			Salinity:    units.Practical(rapid.Float64Range(20, 40).Draw(t, "from")),
			Temperature: units.Celsius(rapid.Float64Range(5, 35).Draw(t, "°C")),
		},
		To:        units.Practical(rapid.Float64Range(20, 40).Draw(t, "to")),
		StepLimit: rapid.Float64Range(0.5, 3).Draw(t, "step limit"),
		DayLimit:  rapid.Float64Range(0.5, 3).Draw(t, "day limit"),
		EveryH:    rapid.Float64Range(1, 48).Draw(t, "every"),
		Saltiest:  saltiest,
	}
	s.Change = s.System.Volume * units.Litres(rapid.Float64Range(0.1, 1).Draw(t, "change"))
	return s
}

// change does one step with Blend, which conserves mass and salt.
func change(t rapid.TB, system Water, litres units.Litres, fresh units.Practical) Water {
	t.Helper()
	kept := system
	kept.Volume -= litres
	after, err := Blend(kept, Water{Volume: litres, Salinity: fresh, Temperature: system.Temperature})
	if err != nil {
		t.Fatal(err)
	}
	return after
}

func TestShiftReachesItsTargetWhenReplayed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShift(t)
		p, err := PlanShift(s)
		var many *TooManyStepsError
		if errors.As(err, &many) || s.To == s.System.Salinity {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, st := range p.Steps {
			before := s.System
			before.Salinity = st.Before
			after := change(t, before, s.Change, st.New)
			if !(math.Abs(float64(after.Salinity-st.After)) <= 1e-9) {
				t.Errorf("step %d ends at %v, want %v", st.N, after.Salinity, st.After)
			}
		}
		if last := p.Steps[len(p.Steps)-1].After; !(math.Abs(float64(last-s.To)) <= 1e-9) {
			t.Errorf("ends at %v, want %v", last, s.To)
		}
		if p.One != nil {
			now := s.System
			for range p.Steps {
				now.Volume, now.Temperature = s.System.Volume, s.System.Temperature // filled to the mark
				now = change(t, now, s.Change, *p.One)
			}
			if !(math.Abs(float64(now.Salinity-s.To)) <= 1e-9) {
				t.Errorf("one water of %v ends at %v, want %v", *p.One, now.Salinity, s.To)
			}
		}
		if s.broken(p.Steps) != "" || !p.WithinLimits {
			t.Errorf("breaks the limit %s", s.broken(p.Steps))
		}
		if p.Fewest > 1 && s.broken(s.steps(p.Fewest-1)) == "" {
			t.Errorf("%d steps would do", p.Fewest-1)
		}
	})
}

// TestShiftSteps follows from the limits alone: from 30 to 35 by no more than 1 a
// step takes 5 steps; by no more than 2 in 24 h at one step every 12 h, two steps
// share the 2, so 5 steps again; every 6 h, four share it, so 10.
func TestShiftSteps(t *testing.T) {
	base := Shift{System: Water{Volume: 500, Salinity: 30, Temperature: 25}, To: 35, Change: 250, EveryH: 24}
	for _, c := range []struct {
		step, day, every float64
		change           units.Litres
		want             int
		binding          string
	}{
		{0, 0, 24, 250, 1, ""},
		{1, 0, 24, 250, 5, "per step"},
		{0, 2, 24, 250, 3, "per day"},
		{0, 2, 12, 250, 5, "per day"},
		{0, 2, 6, 250, 10, "per day"},
		// 25 L of 500: new water is at most 12 above the 30 at first, worth 0.6; and
		// at the end 7 above 35, worth 0.36: 5/0.36 rounds up to 14.
		{0, 0, 24, 25, 14, "new water"},
	} {
		s := base
		s.StepLimit, s.DayLimit, s.EveryH, s.Change = c.step, c.day, c.every, c.change
		p, err := PlanShift(s)
		if err != nil || p.Fewest != c.want || p.Binding != c.binding {
			t.Errorf("%+v: %d steps because of %q (%v), want %d because of %q", c, p.Fewest, p.Binding, err, c.want, c.binding)
		}
	}
}

func TestShiftInFewerStepsThanTheLimitsAllow(t *testing.T) {
	s := Shift{System: Water{Volume: 500, Salinity: 30, Temperature: 25}, To: 35, Change: 250, EveryH: 24, StepLimit: 1, Steps: 2}
	p, err := PlanShift(s)
	if err != nil || p.WithinLimits || p.Fewest != 5 || len(p.Steps) != 2 || p.One != nil {
		t.Errorf("%+v, %v", p, err)
	}
	s.To = 30
	if p, err = PlanShift(s); err != nil || len(p.Steps) != 0 || !p.WithinLimits {
		t.Errorf("nothing to do: %+v, %v", p, err)
	}
}

func TestShiftRefusals(t *testing.T) {
	good := Shift{System: Water{Volume: 500, Salinity: 30, Temperature: 25}, To: 35, Change: 250, EveryH: 24}
	for _, c := range []struct {
		name   string
		change func(*Shift)
		says   string
	}{
		{"no volume", func(s *Shift) { s.System.Volume = 0 }, "the system's volume"},
		{"no change", func(s *Shift) { s.Change = 0 }, "no more than the system's 500 L"},
		{"change too large", func(s *Shift) { s.Change = 501 }, "no more than the system's 500 L"},
		{"negative limit", func(s *Shift) { s.StepLimit = -1 }, "limit per step"},
		{"limit no number", func(s *Shift) { s.DayLimit = math.NaN() }, "limit per day"},
		{"no interval", func(s *Shift) { s.EveryH = 0 }, "time between changes"},
		{"too many", func(s *Shift) { s.Steps = 1000 }, "1 to 365"},
		{"system out of range", func(s *Shift) { s.System.Salinity = 50 }, "salinity 50 is outside"},
		{"target out of range", func(s *Shift) { s.To = 50 }, "wanted: salinity 50 is outside"},
		{"new water out of range", func(s *Shift) { s.Saltiest = 50 }, "new water: salinity 50 is outside"},
		{"a year is not enough", func(s *Shift) { s.Change, s.StepLimit = 0.1, 0.001 }, "change more water"},
	} {
		s := good
		c.change(&s)
		if p, err := PlanShift(s); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %+v, %v; want %q", c.name, p, err, c.says)
		}
	}
	bad := good
	bad.To = 50
	var out *salinity.RangeError
	if _, err := PlanShift(bad); !errors.As(err, &out) {
		t.Errorf("the range error is lost: %v", err)
	}
}

// The steps of a shift follow each other at their times, each beginning where the one
// before ended: steps of equal effect, and steps with the same water, which are replayed
// here by Blend.
func TestShiftStepsFollowEachOther(t *testing.T) {
	s := Shift{System: Water{Volume: 400, Salinity: 35, Temperature: 25}, To: 30, Change: 100, Steps: 4, EveryH: 6, Saltiest: saltiest}
	p, err := PlanShift(s)
	if err != nil || len(p.Steps) < 3 || p.One == nil {
		t.Fatalf("%+v, %v", p, err)
	}
	system := s.System
	for name, steps := range map[string][]ShiftStep{"equal": p.Steps, "same water": s.replay(len(p.Steps), *p.One)} {
		before := s.System.Salinity
		for i, st := range steps {
			if st.N != i+1 || st.AtH != float64(i)*6 || !(math.Abs(float64(st.Before-before)) <= 1e-9) {
				t.Errorf("%s: step %d at %v h from %v, want %v h from %v", name, st.N, st.AtH, st.Before, float64(i)*6, before)
			}
			before = st.After
		}
	}
	for range p.Steps {
		system = change(t, system, s.Change, *p.One)
		system.Volume = s.System.Volume // filled to its mark
	}
	if !(math.Abs(float64(system.Salinity-s.To)) <= 1e-6) {
		t.Errorf("%d changes with %v end at %v, want %v", len(p.Steps), *p.One, system.Salinity, s.To)
	}
}
