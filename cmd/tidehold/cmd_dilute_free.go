package main

import (
	"fmt"
	"math"
	"slices"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/figure"
	"tidehold/response/plan"
)

// freeView renders a plan from flags alone, in the same words as one from a site.
type freeView struct {
	planView
	// problem and made are the closed form behind it; share says that a share was asked for.
	problem dilution.Problem
	made    dilution.Plan
	share   bool
}

// newFreeView is the view of a plan from flags: the same words as a plan from a site, the
// contaminant that asks for the most first.
func newFreeView(p dilution.Problem, made dilution.Plan, share bool, u units.System) *freeView {
	v := &freeView{planView: planView{units: u, levers: made.Levers}, problem: p, made: made, share: share}
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

// caution stands before the steps.
func (v *freeView) caution() string {
	if v.problem.Continuous {
		return exchangeCaution
	}
	return drawdownCaution
}

// blocks: the changes by the hours between them; a short plan has its detail on the screen.
func (v *freeView) blocks() (out, more []block) {
	out = []block{para("%s", v.headline())}
	if len(v.Steps) == 0 {
		return append(out, v.notes()...), nil
	}
	short, whole := cutShort(v.steps())
	out = append(append(out, para("%s", v.caution())), short...)
	if len(v.problem.Contaminants) > 1 {
		out = append(out, v.outcomes())
	}
	detail := append(v.fall(), v.asides()...)
	if len(whole) > 0 {
		return append(out, v.notes()...), append(whole, detail...)
	}
	return slices.Concat(out, detail, v.notes()), nil
}

// steps is the table of what to do, in order of time.
func (v *freeView) steps() grid {
	of := ""
	if len(v.problem.Contaminants) > 1 {
		of = " " + substance(v.aim().Contaminant)
	}
	if v.problem.Continuous {
		g := grid{Header: []string{"run through", "flow", "for", "before" + of, "after" + of}, Right: []int{0, 1, 2, 3, 4}}
		for i, s := range v.Steps {
			flow := "-"
			if v.problem.FlowLH > 0 {
				flow = v.units.Flow(v.problem.FlowLH)
			}
			g.Rows = append(g.Rows, []string{v.litres(s.AddL), flow, hoursOr(v.made.Steps[i].ForH, "-"), v.level(s.Levels[0].Before), v.level(s.Levels[0].After)})
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

// fall draws the level over time; nothing where the plan has no times.
func (v *freeView) fall() []block {
	points := v.path()
	if len(points) < 2 {
		return nil
	}
	var changesAtH []float64
	if !v.problem.Continuous {
		for _, s := range v.Steps {
			changesAtH = append(changesAtH, s.AtH)
		}
	}
	return v.curve(v.headline(), points, changesAtH)
}

// path is the course of the controlling contaminant by the closed form; where it comes
// back, half as long again is shown.
func (v *freeView) path() []figure.Level {
	const parts = 12 // between two changes
	i := v.made.Controlling
	path := v.problem.Path(v.made, i, parts, 0)
	if len(path) > 0 && v.made.Reached && !v.made.Holds {
		path = v.problem.Path(v.made, i, parts, math.Max(v.problem.EveryH, path[len(path)-1].AtH/2))
	}
	var out []figure.Level
	for _, m := range path {
		out = append(out, figure.Level{H: m.AtH, C: m.Level * v.scale()})
	}
	return out
}

// warnings: every level that does not stay down.
func (v *freeView) warnings() []string {
	if v.DoneAtH == nil && !v.made.Reached {
		return nil
	}
	var out []string
	for _, o := range v.made.Outcomes {
		if !o.Holds {
			out = append(out, v.rises(o.Name, o.Peak))
		}
	}
	return out
}
