package main

import (
	"fmt"
	"math"
	"slices"
	"time"
	"unicode/utf8"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/figure"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// diluteView renders one plan, made from flags or from a site's own water.
type diluteView struct {
	plan.Plan
	units units.System
	// at is the moment the plan begins; the zero time: not known, hours are printed.
	at time.Time
	// awake is when changes may be started, nil at any hour: the nights of a drawing.
	awake *site.Awake
	// stores are the site's, for what the plan counts on beside their water.
	stores []site.Store
	// made is how many changes were made before the plan begins, a night under way: its first is
	// the next one.
	made int
	// free is what only a plan from flags has: the closed form behind it. Nil for a plan from a site.
	free *freePlan
	// levers are what would lower the floor of an unreachable target.
	levers []dilution.Lever
}

// freePlan is the closed form behind a plan from flags.
type freePlan struct {
	dilution.Problem
	plan  dilution.Plan
	share bool
}

// newFreeView is the view of a plan from flags: the same words as a plan from a site, the
// contaminant that asks for the most first.
func newFreeView(p dilution.Problem, made dilution.Plan, share bool, u units.System) diluteView {
	v := diluteView{units: u, free: &freePlan{p, made, share}, levers: made.Levers}
	c, o := p.Contaminants[made.Controlling], made.Outcomes[made.Controlling]
	aim := plan.Aim{Contaminant: c.Name, Start: o.Start, StartU: c.Start.U, Target: o.Target}
	if aim.Contaminant == "" && !share {
		aim.Contaminant = "the contaminant"
	} else if share {
		aim.Contaminant = ""
	}
	v.Plan = plan.Plan{
		Demand: plan.Demand{Aims: []plan.Aim{aim}}, DoneAtH: made.DoneAtH, InTime: made.Reached, WaterL: made.WaterL,
		DemandL: &made.NeededL, DemandChanges: made.Changes, Reachable: made.Reachable,
		Aims: []plan.AimResult{{Contaminant: c.Name, DoneAtH: made.DoneAtH, Final: made.Final, Floor: made.Floor, Reachable: o.Reachable, InTime: made.Reached, Holds: o.Holds, PeakAfter: o.Peak}},
	}
	for _, s := range made.Steps {
		done := s.AtH
		if s.ForH != nil {
			done += *s.ForH
		}
		v.Steps = append(v.Steps, plan.Step{N: s.N, AtH: s.AtH, DoneH: done, RemoveL: s.RemoveL, AddL: s.AddL, From: []plan.Draw{}, Levels: []plan.Level{{Before: s.Before, After: s.After, SizedAfter: s.After}}})
	}
	return v
}

// aim is the one that the table of steps follows.
func (v *diluteView) aim() plan.Aim { return v.Demand.Aims[0] }

// name is the event or the system.
func (v *diluteView) name() string {
	switch {
	case v.aim().EventID != "":
		return v.aim().EventID
	case v.Demand.System != nil:
		return v.Demand.System.ID
	}
	return v.subject()
}

// subject is what is brought down, in words.
func (v *diluteView) subject() string {
	if v.aim().Share() {
		return "whatever is in the water"
	}
	return substance(v.aim().Contaminant)
}

// level prints a concentration or a share.
func (v *diluteView) level(x float64) string {
	if v.aim().Share() {
		return units.Significant(100*x, 3) + " %"
	}
	return units.Dissolved(x)
}

// litres of what is needed are rounded up.
func (v *diluteView) litres(l float64) string { return v.units.Volume(l, units.Up) }

// clock is the time of day at which an hour of the plan falls.
func (v *diluteView) clock(h float64) string { return moment(v.at.Add(hoursSince(h))) }

// turn says that the clock goes forward or back before the last change of a table of times.
func (v *diluteView) turn() []block {
	if v.free != nil || len(v.Steps) == 0 {
		return nil
	}
	if text := clockTurn(v.at, v.at.Add(hoursSince(v.Steps[len(v.Steps)-1].AtH))); text != "" {
		return []block{para("%s", text)}
	}
	return nil
}

// The cautions stand before the steps they protect: one change after the other, the
// same from a site's own stores, whose temperature and salinity the sizes allow for,
// and new water run through.
const (
	dryCaution      = "WARNING: before each change switch off heaters and pumps that may run dry, at a dry plug with dry hands; they stay off until the water is back over them."
	drawdownCaution = dryCaution + " Bring new water to the salinity and temperature of the system first."
	siteCaution     = dryCaution + " Measure the salinity and temperature of each store before pouring; plan again if they differ from the site file."
	exchangeCaution = "WARNING: let out as much as runs in and watch the level of both: heaters and pumps must stay under water, and what is to be switched off is switched off at a dry plug with dry hands. Bring new water to the salinity and temperature of the system first."
)

// caution is the one for this plan.
func (v *diluteView) caution() string {
	switch {
	case v.free == nil:
		return siteCaution + v.vatHeaters()
	case v.free.Continuous:
		return exchangeCaution
	}
	return drawdownCaution
}

// vatHeaters says which vats the plan counts on getting warm: their heaters are on from the
// start, or the first change waits for a heater that nobody has switched on.
func (v *diluteView) vatHeaters() string {
	var ids []string
	for _, st := range v.stores {
		if st.HeaterW > 0 && slices.ContainsFunc(v.Steps, func(s plan.Step) bool {
			return slices.ContainsFunc(s.From, func(d plan.Draw) bool {
				return d.StoreID == st.ID && d.Temperature > float64(st.Water.Temperature)+warmer
			})
		}) {
			ids = append(ids, st.ID)
		}
	}
	if len(ids) == 0 {
		return ""
	}
	return fmt.Sprintf(" Heaters of %s on from the start, under water: this counts on it.", listedShort(ids, mostHeaters))
}

// A vat is counted on to get warm from half a degree on; of many vats a few are named.
const (
	warmer      = 0.5
	mostHeaters = 3
)

// mostRows is how many rows of the table of steps a screen shows.
const mostRows = 6

// blocks are the answer, what to do step by step, and what to know; more is the
// detail behind it.
func (v *diluteView) blocks() (out, more []block) {
	out = []block{para("%s", v.headline())}
	if len(v.Steps) == 0 {
		return append(out, v.notes()...), nil
	}
	out = append(out, para("%s", v.caution()))
	fall := v.fall()
	short, more := cutShort(v.steps())
	long := len(more) > 0
	out = append(append(out, short...), v.turn()...)
	if v.free == nil {
		more = append(append(append(v.lanes(), more...), fall...), tableBlock(v.effects()))
		return append(out, v.notes()...), append(more, v.asides()...)
	}
	if len(v.free.Contaminants) > 1 {
		out = append(out, v.outcomes())
	}
	if long {
		return append(out, v.notes()...), append(append(more, fall...), v.asides()...)
	}
	return append(append(append(out, fall...), v.asides()...), v.notes()...), nil
}

// cutShort is a table of steps as a screen shows it, and all of it, where it is long.
func cutShort(steps grid) (short, whole []block) {
	if len(steps.Rows) <= mostRows {
		return []block{tableBlock(steps)}, nil
	}
	cut := steps
	cut.Rows = steps.Rows[:rowsShown(steps)]
	short = onlyOnScreen(tableBlock(cut), line("%s: --all prints them", counted(len(steps.Rows)-len(cut.Rows), "more row")))
	return short, []block{heading("All of it"), tableBlock(steps)}
}

// rowsShown is how many rows of a long table are shown: one less where a change from two
// stores takes two lines.
func rowsShown(steps grid) int {
	const oneLine = 51 // columns for what to do, beside when and what is left
	n, do := mostRows-1, slices.Index(steps.Header, "do")
	if do >= 0 && slices.ContainsFunc(steps.Rows[:n], func(r []string) bool { return utf8.RuneCountInString(r[do]) > oneLine }) {
		n--
	}
	return n
}

// steps is the table of what to do, in order of time.
func (v *diluteView) steps() grid {
	if v.free == nil {
		return v.doings()
	}
	of := ""
	if len(v.free.Contaminants) > 1 {
		of = " " + substance(v.aim().Contaminant)
	}
	if v.free.Continuous {
		g := grid{Header: []string{"run through", "flow", "for", "before" + of, "after" + of}, Right: []int{0, 1, 2, 3, 4}}
		for i, s := range v.Steps {
			flow := "-"
			if v.free.FlowLH > 0 {
				flow = v.units.Flow(v.free.FlowLH)
			}
			g.Rows = append(g.Rows, []string{v.litres(s.AddL), flow, hoursOr(v.free.plan.Steps[i].ForH, "-"), v.level(s.Levels[0].Before), v.level(s.Levels[0].After)})
		}
		return g
	}
	g := grid{Header: []string{"change", "start after", "take out", "put in", "before" + of, "after" + of}, Right: []int{0, 1, 2, 3, 4, 5}}
	for _, s := range v.Steps {
		start := "at once"
		if s.AtH > 0 {
			start = units.Hours(s.AtH)
		}
		g.Rows = append(g.Rows, []string{fmt.Sprint(s.N), start, v.litres(s.RemoveL), v.litres(s.AddL), v.level(s.Levels[0].Before), v.level(s.Levels[0].After)})
	}
	return g
}

// fall draws the level over time; where it comes back, half as long again is shown.
func (v *diluteView) fall() []block {
	if len(v.Steps) == 0 {
		return nil
	}
	scale, unit := 1.0, "µg/L"
	if v.aim().Share() {
		scale, unit = 100, "% left"
	}
	c := figure.Fall{Head: figure.Head{ID: "fall", Title: "How " + v.subject() + " falls", Description: v.headline()}, Target: v.aim().Target * scale, Unit: unit}
	for _, s := range v.Steps {
		c.Points = append(c.Points, figure.Level{H: s.AtH, C: s.Levels[0].Before * scale}, figure.Level{H: s.AtH, C: s.Levels[0].After * scale})
		if v.free == nil || !v.free.Continuous {
			c.ChangesAtH = append(c.ChangesAtH, s.AtH)
		}
	}
	last := c.Points[len(c.Points)-1]
	c.Points = append(c.Points, figure.Level{H: math.Max(last.H, v.Steps[len(v.Steps)-1].DoneH), C: last.C})
	if v.free != nil {
		if c.Points = v.free.path(scale); len(c.Points) < 2 {
			return nil
		}
	}
	return drawnBy(c.SVG, func() (string, error) { return c.Line(76) })
}

// path is the course of the controlling contaminant by the closed form.
func (f *freePlan) path(scale float64) []figure.Level {
	i := f.plan.Controlling
	path := f.Path(f.plan, i, 12, 0)
	if len(path) > 0 && f.plan.Reached && !f.plan.Holds {
		path = f.Path(f.plan, i, 12, math.Max(f.EveryH, path[len(path)-1].AtH/2))
	}
	var out []figure.Level
	for _, m := range path {
		out = append(out, figure.Level{H: m.AtH, C: m.Level * scale})
	}
	return out
}

// late reports whether the plan misses the time its event allows, or its target.
func (v *diluteView) late() bool { return !v.InTime }

// warnings are what the keeper should do something about.
func (v *diluteView) warnings() []string {
	if v.DoneAtH == nil && (v.free == nil || !v.free.plan.Reached) {
		return nil
	}
	if v.free == nil {
		for i, a := range v.Aims {
			if !a.Holds {
				return []string{v.rises(substance(v.Demand.Aims[i].Contaminant), a.PeakAfter)}
			}
		}
		return nil
	}
	var out []string
	for _, o := range v.free.plan.Outcomes {
		if !o.Holds {
			out = append(out, v.rises(o.Name, o.Peak))
		}
	}
	return out
}

// rises says that a level does not stay down.
func (v *diluteView) rises(name string, peak *float64) string {
	if name == "" {
		name = "it"
	}
	end := "without limit"
	if peak != nil {
		end = "to " + v.level(*peak)
	}
	return fmt.Sprintf("the target does not hold: with no more changes %s rises again %s; find and stop what adds it, test daily and be ready for more changes", name, end)
}
