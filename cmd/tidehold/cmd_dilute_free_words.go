package main

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/dilution"
)

// headline is the answer in a sentence or two.
func (v *freeView) headline() string {
	p, o := v.made, v.made.Outcomes[v.made.Controlling]
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
			target, units.Percent(p.ReachShare, 0), units.Percent(v.problem.Confidence, 0), v.best("Most of what can be done is done by"))
	case !p.Reached && p.Changes == 0:
		return fmt.Sprintf("No: there is no water to change; %s are needed to bring %s to %s.", v.litres(p.NeededL), v.subject(), target)
	case !p.Reached:
		return fmt.Sprintf("No: %s is not enough; %s are needed to bring %s to %s. %s", v.units.Volume(p.WaterL, units.Down), v.litres(p.NeededL), v.subject(), target, v.best("The best it can do is"))
	}
	as := ""
	if v.problem.Uncertain() {
		as = ", expected"
	}
	s := fmt.Sprintf("%s bring %s from %s to %s%s (target %s)", v.amount(), v.subject(), v.level(o.Start), v.level(p.Final), as, target)
	if v.share {
		s = fmt.Sprintf("%s take out %s of %s", v.amount(), units.Percent(1-p.Final, 1), v.subject())
	}
	if p.DoneAtH != nil && *p.DoneAtH > 0 {
		s += "; the target is reached after " + units.Hours(*p.DoneAtH)
	}
	if p.LeastWater {
		s += ". No plan of changes within this size takes less water"
	}
	return s + "."
}

// amount is the water of a plan from flags and the changes it goes into.
func (v *freeView) amount() string {
	if v.problem.Continuous {
		return v.litres(v.WaterL) + " of new water, run through,"
	}
	return fmt.Sprintf("%s with %s of new water in all", counted(len(v.Steps), "change"), v.Litres(v.units))
}

// best says what a plan that falls short does.
func (v *freeView) best(lead string) string {
	if len(v.Steps) == 0 {
		return ""
	}
	return fmt.Sprintf("%s %s: from %s to %s.", lead, v.amount(), v.level(v.aim().Start), v.level(v.Aims[0].Final))
}

// notes are what to know beside the steps.
func (v *freeView) notes() []block {
	var out []block
	p := v.made
	if v.problem.Uncertain() && p.P50 != nil {
		out = append(out, para("Sized to suffice in %s of cases. Full-size changes needed: %s in half of the cases, %s in 90 %%, %s in 95 %%.",
			units.Percent(v.problem.Confidence, 0), countOr(p.P50), countOr(p.P90), countOr(p.P95)))
	}
	for i, o := range p.Outcomes {
		if u := v.problem.Contaminants[i].Start.U; u > 0 && o.StartVerdict == dilution.Undecided {
			out = append(out, para("The result itself does not decide: %s ± %s lies on both sides of the target of %s (its ± counted).", v.level(o.Start), v.level(u), v.level(o.Target)))
		}
	}
	if len(v.levers) > 0 {
		g := grid{Header: []string{"what would lower the floor", "lowest possible", "reaches the target"}, Right: []int{1}}
		for _, l := range v.levers {
			g.Rows = append(g.Rows, []string{string(l.What), v.level(l.Floor), yesNo(l.Reaches)})
		}
		out = append(out, tableBlock(g))
	}
	if p.Reached && p.Changes > 0 && v.share {
		out = append(out, para(unmeasured))
	}
	return out
}

// asides are the detail behind the notes.
func (v *freeView) asides() []block {
	if s := v.otherwise(); s != "" {
		return []block{para("%s", s)}
	}
	return nil
}

// otherwise is the one line on what the same litres would do split otherwise.
func (v *freeView) otherwise() string {
	var parts []string
	for _, s := range v.made.Splits {
		switch {
		case s.Changes == 0:
			parts = append(parts, fmt.Sprintf("run through, %s", v.level(s.Final)))
		case s.Changes == 1:
			most := v.problem.ChangeL
			if !v.problem.Trim {
				most = math.Max(most, v.problem.MaxChangeL)
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

// outcomes is the table of all contaminants of a plan from flags.
func (v *freeView) outcomes() block {
	g := grid{Header: []string{"contaminant", "start", "target", "ends at", "lowest possible", ""}, Right: []int{1, 2, 3, 4}}
	for i, o := range v.made.Outcomes {
		note, level := "", v.level
		if !v.aim().Share() {
			level = func(x float64) string { return levelText(o.Name, x, o.Target) }
		}
		if i == v.made.Controlling {
			note = "asks for the most water"
		}
		g.Rows = append(g.Rows, []string{o.Name, level(o.Start), level(o.Target), level(o.Final), level(o.Floor), note})
	}
	return tableBlock(g)
}

func countOr(n *int) string {
	if n == nil {
		return "no number"
	}
	return fmt.Sprint(*n)
}
