package main

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/dilution"
)

// headline is the answer in a sentence or two.
func (v *diluteView) headline() string {
	if v.free == nil {
		return v.siteHeadline()
	}
	return v.freeHeadline()
}

// freeHeadline is that of a plan from flags.
func (v *diluteView) freeHeadline() string {
	p, o := v.free.plan, v.free.plan.Outcomes[v.free.plan.Controlling]
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
			target, units.Percent(p.ReachShare, 0), units.Percent(v.free.Confidence, 0), v.best("Most of what can be done is done by"))
	case !p.Reached && p.Changes == 0:
		return fmt.Sprintf("No: there is no water to change; %s are needed to bring %s to %s.", v.litres(p.NeededL), v.subject(), target)
	case !p.Reached:
		return fmt.Sprintf("No: %s is not enough; %s are needed to bring %s to %s. %s", v.units.Volume(p.WaterL, units.Down), v.litres(p.NeededL), v.subject(), target, v.best("The best it can do is"))
	}
	as := ""
	if v.free.Uncertain() {
		as = ", expected"
	}
	s := fmt.Sprintf("%s bring %s from %s to %s%s (target %s)", v.amount(), v.subject(), v.level(o.Start), v.level(p.Final), as, target)
	if v.free.share {
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
func (v *diluteView) amount() string {
	if v.free.Continuous {
		return v.litres(v.WaterL) + " of new water, run through,"
	}
	return fmt.Sprintf("%s with %s of new water in all", counted(len(v.Steps), "change"), v.Litres(v.units))
}

// best says what a plan that falls short does.
func (v *diluteView) best(lead string) string {
	if len(v.Steps) == 0 {
		return ""
	}
	return fmt.Sprintf("%s %s: from %s to %s.", lead, v.amount(), v.level(v.aim().Start), v.level(v.Aims[0].Final))
}

// siteHeadline is that of a plan from a site's own water: the verdict first.
func (v *diluteView) siteHeadline() string {
	a, r := v.aim(), v.Aims[0]
	goal := fmt.Sprintf("bring %s in %s from %s to %s", substance(a.Contaminant), v.Demand.System.ID, v.level(a.Start), v.level(a.Target))
	if a.Share() {
		goal = fmt.Sprintf("take out %s of whatever is in %s", units.Percent(1-a.Target, 0), v.Demand.System.ID)
	}
	changes := fmt.Sprintf("%s with %s", counted(len(v.Steps), "change"), v.Litres(v.units))
	last := a.Start
	if n := len(v.Steps); n > 0 {
		last = v.Steps[n-1].Levels[0].After
	}
	best := fmt.Sprintf("The best it can do in the first %s is %s, to %s.", units.Hours(v.ExposureToH), changes, v.level(last))
	switch {
	case len(v.Steps) == 0:
		best = "No change can be made at all."
	case v.DoneAtH == nil && v.Confidence != nil && last <= a.Target:
		best += fmt.Sprintf(" On paper that is enough, but not in %s of cases with %s.", units.Percent(*v.Confidence, 0), v.unsure())
	}
	switch {
	case len(v.Steps) == 0 && v.DoneAtH != nil:
		return fmt.Sprintf("Nothing to do: %s is already at or below %s.", v.subject(), v.level(a.Target))
	case !v.Reachable:
		return fmt.Sprintf("OUT OF REACH: to %s is more than any number of changes does; they lead to %s at best. %s", goal, v.level(r.Floor), best)
	case v.DoneAtH == nil:
		return fmt.Sprintf("NOT ENOUGH WATER to %s. %s %s", goal, best, v.lacking())
	case a.WithinH > 0 && !v.InTime:
		return fmt.Sprintf("LATE: %s %s, done after %s; %s is allowed. %s", changes, goal, units.Hours(*v.DoneAtH), units.Hours(a.WithinH), v.lacking())
	case a.WithinH > 0:
		return fmt.Sprintf("IN TIME: %s %s, done after %s of the %s allowed.", changes, goal, units.Hours(*v.DoneAtH), units.Hours(a.WithinH))
	}
	return fmt.Sprintf("%s %s, done after %s.", changes, goal, units.Hours(*v.DoneAtH))
}

// unsure is what a plan is sized for beside what is stated.
func (v *diluteView) unsure() string {
	var list []string
	if s := v.Demand.System; s.NetVolumeU > 0 {
		list = append(list, "the volume ± "+units.Percent(float64(s.NetVolumeU/s.NetVolume), 0))
	}
	if a := v.aim(); a.StartU > 0 {
		list = append(list, "the start ± "+v.level(a.StartU))
	}
	return listed(list)
}

// lacking says how much more water would do.
func (v *diluteView) lacking() string {
	if v.LackingL == nil {
		return "More stored water alone would not do it in time."
	}
	w := v.Demand.System.Water
	return fmt.Sprintf("%s more saltwater at the start (salinity %s, %s) would do it in time.", v.litres(*v.LackingL), units.Fixed(float64(w.Salinity), 1), v.units.Temperature(float64(w.Temperature)))
}

// unmeasured stands under every plan by share.
const unmeasured = "This plans by share because nothing was measured. Keep a sample from before the first change; when its result comes, plan again with --start and --target."

// notes are what to know beside the steps.
func (v *diluteView) notes() []block {
	if v.free == nil {
		return v.siteNotes()
	}
	var out []block
	p := v.free.plan
	if v.free.Uncertain() && p.P50 != nil {
		out = append(out, para("Sized to suffice in %s of cases. Full-size changes needed: %s in half of the cases, %s in 90 %%, %s in 95 %%.",
			units.Percent(v.free.Confidence, 0), countOr(p.P50), countOr(p.P90), countOr(p.P95)))
	}
	for i, o := range p.Outcomes {
		if u := v.free.Contaminants[i].Start.U; u > 0 && o.StartVerdict == dilution.Undecided {
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
	if p.Reached && p.Changes > 0 && v.free.share {
		out = append(out, para(unmeasured))
	}
	return out
}

// asides are the detail behind the notes.
func (v *diluteView) asides() []block {
	if v.free == nil {
		return v.siteAsides()
	}
	if s := v.otherwise(); s != "" {
		return []block{para("%s", s)}
	}
	return nil
}

// otherwise is the one line on what the same litres would do split otherwise.
func (v *diluteView) otherwise() string {
	var parts []string
	for _, s := range v.free.plan.Splits {
		switch {
		case s.Changes == 0:
			parts = append(parts, fmt.Sprintf("run through, %s", v.level(s.Final)))
		case s.Changes == 1:
			most := v.free.ChangeL
			if !v.free.Trim {
				most = math.Max(most, v.free.MaxChangeL)
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
func (v *diluteView) outcomes() block {
	g := grid{Header: []string{"contaminant", "start", "target", "ends at", "lowest possible", ""}, Right: []int{1, 2, 3, 4}}
	for i, o := range v.free.plan.Outcomes {
		note := ""
		if i == v.free.plan.Controlling {
			note = "asks for the most water"
		}
		g.Rows = append(g.Rows, []string{o.Name, v.level(o.Start), v.level(o.Target), v.level(o.Final), v.level(o.Floor), note})
	}
	return tableBlock(g)
}

func countOr(n *int) string {
	if n == nil {
		return "no number"
	}
	return fmt.Sprint(*n)
}
