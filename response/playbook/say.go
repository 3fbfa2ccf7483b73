package playbook

import (
	"fmt"
	"strings"
	"time"

	"tidehold/refs/units"
)

// volume prints litres that may not be known.
func (f *Facts) volume(l *float64, r units.Rounding) (string, bool) {
	if l == nil {
		return "", false
	}
	return f.amount(*l, r), true
}

// amount prints litres; none is "0 L".
func (f *Facts) amount(l float64, r units.Rounding) string {
	s := f.Units.Volume(l, r)
	if number, unit, ok := strings.Cut(s, " "); ok && strings.Trim(number, "0.") == "" {
		return "0 " + unit
	}
	return s
}

// change prints how much one change takes.
func (f *Facts) change(c Change) string {
	if c.ToAim {
		return f.amount(c.DrainL, units.Up)
	}
	return f.amount(c.DrainL, units.Down)
}

// volumeWord names the reader's unit of volume in a text written for litres.
func (f *Facts) volumeWord(text string) string {
	if f.Units == units.US {
		return strings.ReplaceAll(text, "litres", "gallons")
	}
	return text
}

// zone is the place of clock times.
func (f *Facts) zone() *time.Location {
	if f.Zone == nil {
		return time.UTC
	}
	return f.Zone
}

// clock is the time h hours after the start, with the day when it is another one.
// It must not be called without a start.
func (f *Facts) clock(h float64) string {
	start := f.At.In(f.zone())
	t := start.Add(time.Duration(h*3600+0.5) * time.Second)
	if t.Format(time.DateOnly) == start.Format(time.DateOnly) && h > 0 {
		return t.Format("15:04")
	}
	return t.Format("2006-01-02 15:04")
}

// when is a moment of the plan: a clock time, or the time after the start.
func (f *Facts) when(h float64) string {
	switch {
	case f.At != nil:
		return "at " + f.clock(h)
	case h < 1.0/60:
		return "at the start"
	}
	return units.Hours(h) + " after the start"
}

// hourRange prints one time, or two as a range; the lower is rounded down and the
// higher up to what a person can act on.
func hourRange(low, high float64) string {
	a, b := units.Hours(units.Down.To(low, 1.0/60)), units.Hours(units.Down.To(high, 1.0/60))
	if a == b {
		return a
	}
	return a + " to " + b
}

// tempRange prints a band of temperatures with one unit.
func (f *Facts) tempRange(low, high float64) string {
	a, b := f.Units.Temperature(low), f.Units.Temperature(high)
	return strings.Fields(a)[0] + " to " + b
}

// devices names what is switched off before water leaves the system; a long list
// is named by kind, so that it can be read aloud in one breath.
func (f *Facts) devices() string {
	if n := len(f.SwitchOff); n == 0 || n > 6 {
		return "heaters, pumps, skimmer, top-off and dosing"
	}
	return strings.Join(f.SwitchOff, ", ")
}

// devicesBack names what is switched on again: the same list, but never a heater
// that failed.
func (f *Facts) devicesBack() string {
	if n := len(f.SwitchOff); n == 0 || n > 6 {
		return "pumps, skimmer, top-off, dosing and the good heaters"
	}
	return strings.Join(f.SwitchOff, ", ") + ", but no failed heater"
}

// transfer says how water is moved.
func (f *Facts) transfer() string {
	switch {
	case f.Buckets:
		return "buckets of " + f.amount(10, units.Nearest) + ", trips in the table"
	case f.PumpLH != nil:
		return "pump, minutes in the table"
	}
	return "pump, or buckets of " + f.amount(10, units.Nearest)
}

// planSays is the plan in two or three sentences.
func (f *Facts) planSays(p *Plan) (string, bool) {
	var b strings.Builder
	_, remove := shares(p.AimLeft)
	fmt.Fprintf(&b, "Aim: remove %s of what went in, within %s.", remove, units.Hours(p.WithinH))
	if p.TargetUgL != nil {
		fmt.Fprintf(&b, " Planned for %s, %s down to %s.", p.Contaminant, units.Dissolved(p.StartUgL), units.Dissolved(*p.TargetUgL))
	}
	fmt.Fprintf(&b, " Plan: %s, %s in all.", units.Count(len(p.Changes), "change"), f.amount(p.WaterL, units.Nearest))
	switch {
	case p.DoneAtH == nil && p.MissingL <= 0:
		b.WriteString(" That is NOT enough: changes of this size never reach the aim.")
	case p.DoneAtH == nil:
		fmt.Fprintf(&b, " That is NOT enough: about %s more is needed.", f.amount(p.MissingL, units.Up))
	case !p.InTime:
		fmt.Fprintf(&b, " Done %s, which is LATE.", f.when(*p.DoneAtH))
	default:
		fmt.Fprintf(&b, " Done %s.", f.when(*p.DoneAtH))
	}
	return b.String(), true
}

// shares prints the share that may be left, rounded down, and the one to remove,
// rounded up, so that together they are the whole.
func shares(left float64) (stays, goes string) {
	step, digits := 0.01, 0
	if left < step {
		step, digits = 0.001, 1
	}
	left = units.Down.To(left, step)
	return units.Percent(left, digits), units.Percent(1-left, digits)
}

// vatBand is the temperature of new water, 1 °C to each side.
func (f *Facts) vatBand(t units.Celsius) string { return f.tempRange(float64(t)-1, float64(t)+1) }

// moveSays compares a bin of clean water with changing the tank.
func (f *Facts) moveSays() string {
	if f.Move == nil {
		return "Moving beats changing when the vats fill a bin, but cannot change the tank in time."
	}
	return f.Move.Why
}
