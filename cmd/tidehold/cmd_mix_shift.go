package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// shiftFlags are those of mix match that concern a system.
type shiftFlags struct {
	volume, from, to, temp, every, stepLimit, dayLimit, saltiest, steps *quantityFlag
	change, id                                                          string
}

func newShiftFlags(fs *pflag.FlagSet) *shiftFlags {
	f := &shiftFlags{}
	f.volume = quantity(fs, "system-volume", units.Volume, 0, 1e9, "net volume of the system to be moved")
	fs.StringVar(&f.id, "system", "", "take the system with this `id` from the site file, with its limits")
	f.from = quantity(fs, "from", units.Salinity, 0, 1000, "its practical salinity now")
	f.to = quantity(fs, "to", units.Salinity, 0, 1000, "practical salinity wanted")
	f.temp = quantity(fs, "temp", units.Temperature, -273, 1000, "its temperature")
	fs.StringVar(&f.change, "change", "", "water changed in one step, as `volume or share`: 100L or 20%")
	f.every = quantity(fs, "every", units.Duration, 0, 1e5, "time from the start of one change to the next (default 24h)")
	f.stepLimit = quantity(fs, "step-limit", units.SalinityStep, 0, 42, "the most that salinity may change in one step")
	f.dayLimit = quantity(fs, "day-limit", units.SalinityStep, 0, 42, "the most that salinity may change in 24 hours")
	f.saltiest = quantity(fs, "saltiest", units.Salinity, 0, 1000, "the saltiest new water that can be had (default 42)")
	f.steps = quantity(fs, "steps", units.Number, 1, 365, "steps to take (default: the fewest that keep the limits)")
	return f
}

// asked says that the question is about a system.
func (f *shiftFlags) asked(fs *pflag.FlagSet) bool {
	return fs.Changed("system") || fs.Changed("system-volume")
}

// oneADay is the time between changes of a shift when nobody says: once a day, at
// the pace of the limit per day.
const oneADay = 24

func runMixShift(a *app, c *cobra.Command, o *matchOptions) error {
	f, fs := o.shift, c.Flags()
	for _, name := range []string{"volume", "salinity", "first", "second"} {
		if fs.Changed(name) {
			return usagef("--%s belongs to the question about two waters; leave it out, or leave out --system-volume and --system", name)
		}
	}
	r, err := a.begin("match", "Moving a system to another salinity", *o.store)
	if err != nil {
		return err
	}
	s, err := f.shift(r, fs)
	if err != nil {
		return err
	}
	if err := checkWater(s.System.Salinity, s.System.Temperature, "--from", "--temp"); err != nil {
		return err
	}
	if err := checkWater(s.To, s.System.Temperature, "--to", "--temp"); err != nil {
		return err
	}
	r.warnSpread(fs)
	plan, err := mixing.PlanShift(s)
	if err != nil {
		return usage(err)
	}
	r.ans.No = !plan.WithinLimits
	return r.finish(plan, r.shiftBlocks(s, plan)...)
}

// shift reads the flags, with what the site's system gives where they are not set.
func (f *shiftFlags) shift(r *mixRun, fs *pflag.FlagSet) (mixing.Shift, error) {
	s := mixing.Shift{
		System: mixing.Water{Volume: units.Litres(f.volume.Value), Salinity: units.Practical(f.from.Value), Temperature: units.Celsius(f.temp.Value)},
		To:     units.Practical(f.to.Value), Steps: int(f.steps.Value), Saltiest: units.Practical(f.saltiest.Value),
	}
	if err := need(fs, "to", "change"); err != nil {
		return s, err
	}
	if f.steps.Given && f.steps.Value != math.Trunc(f.steps.Value) {
		return s, usagef("--steps: %q is not a whole number", f.steps.Text)
	}
	if f.id != "" {
		sys, err := r.system(f.id)
		if err != nil {
			return s, err
		}
		s.System = mixing.Water{Volume: units.Litres(f.volume.Or(float64(sys.NetVolume))), Salinity: units.Practical(f.from.Or(float64(sys.Water.Salinity))),
			Temperature: units.Celsius(f.temp.Or(float64(sys.Water.Temperature)))}
		s.StepLimit, s.DayLimit, s.EveryH = f.stepLimit.Or(sys.Limits.SalinityStep), f.dayLimit.Or(sys.Limits.SalinityPerDay), f.every.Or(sys.ChangeEveryH)
	} else {
		if err := need(fs, "system-volume", "from", "temp"); err != nil {
			return s, err
		}
		s.StepLimit = f.orUsual(r, f.stepLimit, "change of salinity allowed in one step", siteUsual(salinityStep))
		s.DayLimit = f.orUsual(r, f.dayLimit, "change of salinity allowed in 24 hours", siteUsual(salinityPerDay))
		s.EveryH = f.orUsual(r, f.every, "time between changes", usualValue{oneADay, "24 h", "common practice for reef animals"})
	}
	var err error
	if s.Change, err = volumeOrShare(f.change, s.System.Volume); err != nil {
		return s, usagef("--change: %w", err)
	}
	return s, nil
}

func (f *shiftFlags) orUsual(r *mixRun, q *quantityFlag, what string, usual usualValue) float64 {
	if !q.Given {
		r.assume(what, usual.text, usual.basis)
	}
	return q.Or(usual.value)
}

// system finds a system of the site.
func (r *mixRun) system(id string) (*site.System, error) {
	ls, err := r.app.loadSite()
	if err != nil {
		return nil, err
	}
	r.sys = r.app.displayUnits(ls.Site.Units)
	return findSystem(ls.Site, "system", id)
}

// volumeOrShare reads "100L" or "20%" of a whole.
func volumeOrShare(text string, whole units.Litres) (units.Litres, error) {
	if strings.HasSuffix(strings.TrimSpace(text), "%") {
		q, err := units.Parse(text, units.Share)
		if err == nil {
			q, err = q.Within(text, 0, 1)
		}
		return whole * units.Litres(q.Value), err
	}
	q, err := units.Parse(text, units.Volume)
	if err != nil {
		return 0, fmt.Errorf("%w; or a share, as 20%%", err)
	}
	return units.Litres(q.Value), nil
}

func (r *mixRun) shiftBlocks(s mixing.Shift, plan mixing.ShiftPlan) []block {
	if len(plan.Steps) == 0 {
		return []block{para("Nothing to do: the system has salinity %s already.", salinityText(s.To))}
	}
	change := r.sys.Volume(float64(s.Change), units.Nearest)
	blocks := []block{para("From salinity %s to %s in %s of %s each.", salinityText(s.System.Salinity), salinityText(s.To), counted(len(plan.Steps), "step"), change)}
	if !plan.WithinLimits {
		blocks = append(blocks, para("That is too fast: the limit %s asks for at least %s.", limitWords(plan.Binding), counted(plan.Fewest, "step")))
	}
	if plan.One != nil && len(plan.Steps) > 1 {
		blocks = append(blocks, para("One new water of salinity %s does for all steps; with it the first step moves most.", salinityText(*plan.One)))
	}
	g := grid{Title: "Or steps of equal effect, each with its own new water", Header: []string{"step", "start", "salinity before", "new water", "salinity afterwards"}, Right: []int{0, 1, 2, 3, 4}}
	switch {
	case len(plan.Steps) == 1:
		g.Title = ""
	case plan.One == nil:
		g.Title = "Steps of equal effect, each with its own new water"
	}
	for _, st := range plan.Steps {
		g.Rows = append(g.Rows, []string{fmt.Sprint(st.N), startText(st.AtH), salinityText(st.Before), salinityText(st.New), salinityText(st.After)})
	}
	return append(blocks, tableBlock(g),
		para("New water in all: %s. In each step remove %s of mixed water first, then add as much new water of the system's own temperature.",
			r.sys.Volume(float64(plan.Water), units.Up), change),
		para("Measure salinity before and after every step, and wait longer if the animals show distress."))
}

// limitWords says in words which limit binds.
func limitWords(binding string) string {
	if binding == "new water" {
		return "of what new water there can be"
	}
	return binding
}
