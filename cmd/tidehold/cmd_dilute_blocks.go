package main

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/figure"
)

// diluteView renders one plan made from flags.
type diluteView struct {
	dilution.Problem
	plan  dilution.Plan
	share bool
	units units.System
}

// blocks are the answer: what to do, step by step, the fall, and what to know.
func (v diluteView) blocks() ([]block, error) {
	out := []block{para("%s", v.headline())}
	if len(v.plan.Steps) == 0 {
		return append(out, v.notes()...), nil
	}
	caution := drawdownCaution
	if v.Continuous {
		caution = exchangeCaution
	}
	out = append(out, para("%s", caution), v.steps())
	fall, err := v.fall()
	if err != nil {
		return nil, err
	}
	out = append(out, fall...)
	if len(v.Contaminants) > 1 {
		out = append(out, v.outcomes())
	}
	return append(out, v.notes()...), nil
}

// The cautions stand before the steps they protect: one change after the other, the
// same from a site's own stores, whose temperature and salinity the sizes allow for,
// and new water run through.
const (
	dryCaution      = "WARNING: before each change switch off heaters and pumps that may run dry, at a dry plug with dry hands; they stay off until the water is back over them."
	drawdownCaution = dryCaution + " Bring new water to the salinity and temperature of the system first."
	siteCaution     = dryCaution + " The sizes allow for the salinity and temperature each store should then have: measure both before pouring, and plan again if they differ."
	exchangeCaution = "WARNING: let out as much as runs in and watch the level of both: heaters and pumps must stay under water, and what is to be switched off is switched off at a dry plug with dry hands. Bring new water to the salinity and temperature of the system first."
)

// subject is what is brought down, in words.
func (v diluteView) subject() string {
	name := v.plan.Outcomes[v.plan.Controlling].Name
	switch {
	case name != "":
		return name
	case v.share:
		return "whatever is in the water"
	}
	return "the contaminant"
}

// level prints a concentration or a share.
func (v diluteView) level(x float64) string {
	if v.share {
		return units.Significant(100*x, 3) + " %"
	}
	return units.Dissolved(x)
}

// litres of what is needed are rounded up.
func (v diluteView) litres(l float64) string { return v.units.Volume(l, units.Up) }

// headline is the answer in a sentence or two.
func (v diluteView) headline() string {
	p, o := v.plan, v.plan.Outcomes[v.plan.Controlling]
	target := v.level(o.Target)
	switch {
	case p.Changes == 0 && p.Reached:
		return fmt.Sprintf("0 changes: %s is at %s, already at or below the target of %s. Nothing to do.", v.subject(), v.level(o.Start), target)
	case !o.Reachable:
		how := "comes down to " + v.level(p.Floor) + " at best"
		if v.level(p.Floor) == target {
			how = "only comes ever nearer to that"
		}
		return fmt.Sprintf("No: %s cannot be brought to %s this way. With any number of changes it %s. %s", v.subject(), target, how, v.best("Most of that is done by"))
	case !p.Reachable:
		return fmt.Sprintf("No: with the stated uncertainties the target of %s is reached in %s of cases only, however much water is changed; %s is asked for. %s",
			target, units.Percent(p.ReachShare, 0), units.Percent(v.Confidence, 0), v.best("Most of what can be done is done by"))
	case !p.Reached && p.Changes == 0:
		return fmt.Sprintf("No: there is no water to change; %s are needed to bring %s to %s.", v.litres(p.NeededL), v.subject(), target)
	case !p.Reached:
		return fmt.Sprintf("No: %s is not enough; %s are needed to bring %s to %s. %s", v.units.Volume(p.WaterL, units.Down), v.litres(p.NeededL), v.subject(), target, v.best("The best it can do is"))
	}
	as := ""
	if v.Uncertain() {
		as = ", expected"
	}
	s := fmt.Sprintf("%s bring %s from %s to %s%s (target %s)", v.amount(), v.subject(), v.level(o.Start), v.level(p.Final), as, target)
	if v.share {
		s = fmt.Sprintf("%s take out %s of %s", v.amount(), units.Percent(1-p.Final, 1), v.subject())
	}
	if p.DoneAtH != nil && *p.DoneAtH > 0 {
		s += "; the target is reached after " + units.Hours(*p.DoneAtH)
	}
	if v.LeastWater() {
		s += ". No plan of changes within this size takes less water"
	}
	return s + "."
}

// LeastWater is the plan's.
func (v diluteView) LeastWater() bool { return v.plan.LeastWater }

// amount is the water and the changes it goes into.
func (v diluteView) amount() string {
	if v.Continuous {
		return v.litres(v.plan.WaterL) + " of new water, run through,"
	}
	return fmt.Sprintf("%s with %s of new water in all", counted(v.plan.Changes, "change"), v.litres(v.plan.WaterL))
}

// best says what a plan that falls short does.
func (v diluteView) best(lead string) string {
	if v.plan.Changes == 0 {
		return ""
	}
	return fmt.Sprintf("%s %s: from %s to %s.", lead, v.amount(), v.level(v.plan.Outcomes[v.plan.Controlling].Start), v.level(v.plan.Final))
}

// steps is the table of changes.
func (v diluteView) steps() block {
	of := ""
	if name := v.plan.Outcomes[v.plan.Controlling].Name; name != "" && len(v.Contaminants) > 1 {
		of = " " + name
	}
	if v.Continuous {
		g := grid{Header: []string{"run through", "flow", "for", "before" + of, "after" + of}, Right: []int{0, 1, 2, 3, 4}}
		for _, s := range v.plan.Steps {
			flow := "-"
			if v.FlowLH > 0 {
				flow = v.units.Flow(v.FlowLH)
			}
			g.Rows = append(g.Rows, []string{v.litres(s.AddL), flow, hoursOr(s.ForH, "-"), v.level(s.Before), v.level(s.After)})
		}
		return tableBlock(g)
	}
	g := grid{Header: []string{"change", "start after", "take out", "put in", "before" + of, "after" + of}, Right: []int{0, 1, 2, 3, 4, 5}}
	for _, s := range v.plan.Steps {
		start := "at once"
		if s.AtH > 0 {
			start = units.Hours(s.AtH)
		}
		g.Rows = append(g.Rows, []string{fmt.Sprint(s.N), start, v.litres(s.RemoveL), v.litres(s.AddL), v.level(s.Before), v.level(s.After)})
	}
	return tableBlock(g)
}

// outcomes is the table of all contaminants.
func (v diluteView) outcomes() block {
	g := grid{Header: []string{"contaminant", "start", "target", "ends at", "lowest possible", ""}, Right: []int{1, 2, 3, 4}}
	for i, o := range v.plan.Outcomes {
		note := ""
		if i == v.plan.Controlling {
			note = "asks for the most water"
		}
		g.Rows = append(g.Rows, []string{o.Name, v.level(o.Start), v.level(o.Target), v.level(o.Final), v.level(o.Floor), note})
	}
	return tableBlock(g)
}

// fall draws the controlling contaminant over time; where it comes back, half as
// long again is shown.
func (v diluteView) fall() ([]block, error) {
	i := v.plan.Controlling
	path := v.Path(v.plan, i, 12, 0)
	if len(path) > 0 && v.plan.Reached && !v.plan.Holds {
		path = v.Path(v.plan, i, 12, math.Max(v.EveryH, path[len(path)-1].AtH/2))
	}
	if len(path) < 2 {
		return nil, nil
	}
	o := v.plan.Outcomes[i]
	c := figure.Fall{
		Head: figure.Head{ID: "fall", Title: "How " + v.subject() + " falls", Description: v.headline()}, Target: o.Target, Unit: "µg/L",
	}
	scale := 1.0
	if v.share {
		scale, c.Unit = 100, "% left"
	}
	c.Target *= scale
	for _, m := range path {
		c.Points = append(c.Points, figure.Level{H: m.AtH, C: m.Level * scale})
	}
	if !v.Continuous {
		for _, s := range v.plan.Steps {
			c.ChangesAtH = append(c.ChangesAtH, s.AtH)
		}
	}
	return drawn(c)
}

// drawn is a falling curve as a picture, and as a line of text where there is none.
func drawn(c figure.Fall) ([]block, error) {
	svg, err := c.SVG()
	if err != nil {
		return nil, fmt.Errorf("drawing the fall: %w", err)
	}
	line, err := c.Line(76)
	if err != nil {
		return nil, fmt.Errorf("drawing the fall: %w", err)
	}
	return []block{picture(svg, line)}, nil
}

// unmeasured stands under every plan by share.
const unmeasured = "This plans by share because nothing was measured. Keep a sample from before the first change; when its result comes, plan again with --start and --target."

// notes are what to know beside the steps.
func (v diluteView) notes() []block {
	var out []block
	p := v.plan
	if s := v.otherwise(); s != "" {
		out = append(out, para("%s", s))
	}
	if v.Uncertain() && p.P50 != nil {
		out = append(out, para("Sized to suffice in %s of cases. Full-size changes needed: %s in half of the cases, %s in 90 %%, %s in 95 %%.",
			units.Percent(v.Confidence, 0), countOr(p.P50), countOr(p.P90), countOr(p.P95)))
	}
	for i, o := range p.Outcomes {
		if v.Contaminants[i].Start.U > 0 && o.StartVerdict == dilution.Undecided {
			out = append(out, para("The result itself does not decide: %s ± %s lies on both sides of the target of %s (guard band, JCGM 106).", v.level(o.Start), v.level(v.Contaminants[i].Start.U), v.level(o.Target)))
		}
	}
	if len(p.Levers) > 0 {
		g := grid{Header: []string{"what would lower the floor", "lowest possible", "reaches the target"}, Right: []int{1}}
		for _, l := range p.Levers {
			g.Rows = append(g.Rows, []string{string(l.What), v.level(l.Floor), yesNo(l.Reaches)})
		}
		out = append(out, tableBlock(g))
	}
	if p.Reached && p.Changes > 0 && v.share {
		out = append(out, para(unmeasured))
	}
	return out
}

// otherwise is the one line on what the same litres would do split otherwise.
func (v diluteView) otherwise() string {
	var parts []string
	for _, s := range v.plan.Splits {
		switch {
		case s.Changes == 0:
			parts = append(parts, fmt.Sprintf("run through, %s", v.level(s.Final)))
		case s.Changes == 1:
			most := v.ChangeL
			if !v.Trim {
				most = math.Max(most, v.MaxChangeL)
			}
			possible := ""
			if s.EachL > most*(1+1e-9) {
				possible = " (more than may be out at once)"
			}
			parts = append(parts, fmt.Sprintf("as one single change%s, %s", possible, v.level(s.Final)))
		default:
			parts = append(parts, fmt.Sprintf("as %d changes of %s, %s", s.Changes, v.units.Volume(s.EachL, units.Nearest), v.level(s.Final)))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "The same litres split otherwise would leave, by dilution alone: " + strings.Join(parts, "; ") + ". Few large changes do more than many small ones."
}

// warnings are what the keeper should do something about.
func (v diluteView) warnings() []string {
	var out []string
	if !v.plan.Reached || v.plan.Holds {
		return nil
	}
	for _, o := range v.plan.Outcomes {
		if o.Holds {
			continue
		}
		name := o.Name
		if name == "" {
			name = "it"
		}
		end := "without limit"
		if o.Peak != nil {
			end = "to " + v.level(*o.Peak)
		}
		out = append(out, fmt.Sprintf("the target does not hold: with no more changes %s rises again %s; find and stop what adds it, test daily and be ready for more changes", name, end))
	}
	return out
}

func countOr(n *int) string {
	if n == nil {
		return "no number"
	}
	return fmt.Sprint(*n)
}
