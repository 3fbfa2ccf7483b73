package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/figure"
	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/volumes/site"
)

// siteView renders a plan from a site's own water: of dilute, of ready, of a night under way.
type siteView struct {
	planView
	// at is the moment the plan begins.
	at time.Time
	// awake is when changes may be started, nil at any hour: the nights of a drawing.
	awake *site.Awake
	// stores are the site's, for what the plan counts on beside their water.
	stores []site.Store
	// made is how many changes were made before the plan begins, a night under way: its first is
	// the next one.
	made int
	// underWay says that an incident is open that knows more than this plan; "" where none is.
	underWay string
	// shares says that the plan is one of several that share the water: what all of them lack together is
	// said once, over them all.
	shares bool
	// justAfter is how the event fares just after the regular changes, which ready judges it on; nil: not
	// asked, or they take nothing.
	justAfter *readiness.JustAfter
}

// name is the event or the system.
func (v *siteView) name() string {
	if id := v.aim().EventID; id != "" {
		return id
	}
	return v.Demand.System.ID
}

// clock is the time of day at which an hour of the plan falls.
func (v *siteView) clock(h float64) string { return moment(v.at.Add(hoursSince(h))) }

// turn says that the clock goes forward or back before the last change of a table of times.
func (v *siteView) turn() []block {
	if len(v.Steps) == 0 {
		return nil
	}
	if text := clockTurn(v.at, v.at.Add(hoursSince(v.Steps[len(v.Steps)-1].AtH))); text != "" {
		return []block{para("%s", text)}
	}
	return nil
}

// caution stands before the steps.
func (v *siteView) caution() string { return siteCaution + countedOn(v.Heated(v.stores, warmer)) }

// countedOn says whose heaters are on from the start, and which of them wait for water: else the first change waits for a
// heater that nobody has switched on, or one is switched on in a dry vat and burns.
func countedOn(now, filled []string) (text string) {
	if len(now) > 0 {
		text = fmt.Sprintf(" Heaters of %s on from the start, under water: this counts on it.", listedShort(now, mostHeaters))
	}
	if len(filled) > 0 {
		text += fmt.Sprintf(" Heaters of %s only once there is water over them.", listedShort(filled, mostHeaters))
	}
	return text
}

// A vat is counted on to get warm from half a degree on; of many vats a few are named.
const (
	warmer      = 0.5
	mostHeaters = 3
)

// blocks: the changes with what is made ready meanwhile, by the clock.
func (v *siteView) blocks() (out, more []block) {
	out = v.verdict()
	if len(v.Steps) == 0 {
		return append(out, v.notes()...), nil
	}
	most := mostRows
	if v.thatDay() != "" && (!v.InTime || len(v.inOrder()) > mostRows) {
		most-- // it takes the room of one
	}
	short, whole := cutTo(v.doings(), most)
	out = append(out, para("%s", v.caution()))
	if text := v.KeepingWords(v.units); text != "" {
		out = append(out, line("WARNING: %s", text))
	}
	out = slices.Concat(out, short, v.turn(), v.notes())
	more = append(slices.Concat(v.lanes(), whole, v.fall()), tableBlock(v.effects()))
	return out, append(more, v.asides()...)
}

// verdict is the headline, and whether an incident knows more.
func (v *siteView) verdict() []block {
	out := []block{para("%s", v.headline())}
	if v.underWay != "" {
		out = append(out, line("WARNING: %s", v.underWay))
	}
	return out
}

// fall draws the level over time, on straight lines between the changes.
func (v *siteView) fall() []block {
	var points []figure.Level
	var changesAtH []float64
	for _, s := range v.Steps {
		points = append(points, figure.Level{H: s.AtH, C: s.Levels[0].Before * v.scale()}, figure.Level{H: s.AtH, C: s.Levels[0].After * v.scale()})
		changesAtH = append(changesAtH, s.AtH)
	}
	last := points[len(points)-1]
	points = append(points, figure.Level{H: math.Max(last.H, v.Steps[len(v.Steps)-1].DoneH), C: last.C})
	return v.curve(v.headline(), points, changesAtH)
}

// late reports whether the plan misses the time its event allows, or its target.
func (v *siteView) late() bool { return !v.InTime }

// warnings: the first level that does not stay down.
func (v *siteView) warnings() []string {
	if k := v.RisesAgain(); k >= 0 {
		return []string{v.rises(substance(v.Demand.Aims[k].Contaminant), v.Aims[k].PeakAfter)}
	}
	return nil
}

// done says that the plan is done, and where it is for the moment only.
func (v *siteView) done() string {
	if v.RisesAgain() >= 0 {
		return "done for the moment after " + units.Hours(*v.DoneAtH)
	}
	if within := v.aim().WithinH; within > 0 {
		return "done after " + units.HoursPast(*v.DoneAtH, within)
	}
	return "done after " + units.Hours(*v.DoneAtH)
}

// headline is the answer in a sentence or two, the verdict first; where ready, which judges another day,
// says something else, with both days.
func (v *siteView) headline() string {
	return strings.TrimSuffix(v.answer()+" "+v.thatDay(), " ")
}

// thatDay says how the event fares just after the regular changes; "" where it fares as it does today.
func (v *siteView) thatDay() string {
	then := v.justAfter
	if then == nil {
		return ""
	}
	said := ""
	done, lacking := hoursOr(then.DoneAtH, "never"), v.lackingWords(then.LackingL)
	switch {
	case v.InTime && then.Verdict == readiness.Covered:
		return ""
	case !v.InTime && lacking != v.lackingWords(v.LackingL):
		said = lacking
	case done != hoursOr(v.DoneAtH, "never") && then.DoneAtH != nil:
		said = ", done after " + units.HoursPast(*then.DoneAtH, v.aim().WithinH)
	case !v.InTime:
		return "" // as today
	}
	return fmt.Sprintf("That is today's stock; just after the regular changes (%s), as ready judges: %s%s.", drawnWords(then.DrawnL, then.RoutineL, v.units), then.Verdict, said)
}

// drawnWords are the litres that the regular changes took, of those they ask for where the stores held less.
func drawnWords(drawnL, routineL float64, u units.System) string {
	taken, all := u.Volume(drawnL, units.Up), u.Volume(routineL, units.Up)
	if taken == all {
		return all
	}
	return taken + " of " + all
}

// lackingWords is an amount that is lacking, if one would do.
func (v *siteView) lackingWords(litres *float64) string {
	if litres == nil {
		return ", and more stored water alone does not do"
	}
	return ", " + v.units.Volume(*litres, units.Up) + " lacking"
}

// answer is the headline without other days.
func (v *siteView) answer() string {
	a, r := v.aim(), v.Aims[0]
	goal := fmt.Sprintf("bring %s in %s from %s to %s", substance(a.Contaminant), v.Demand.System.ID, v.level(a.Start), v.level(a.Target))
	switch {
	case a.Share():
		goal = fmt.Sprintf("take out %s of whatever is in %s", units.Percent(1-a.Target, 0), v.Demand.System.ID)
	case dilution.Met(a.Start, a.Target) && v.Confidence != nil: // it may be more than that
		goal = fmt.Sprintf("bring %s in %s from %s to %s or less in %s of cases", substance(a.Contaminant), v.Demand.System.ID, spreadText(a.Contaminant, a.Start, a.StartU, a.Target), v.level(a.Target), units.Percent(*v.Confidence, 0))
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
	case v.DoneAtH == nil && v.Binding.Bars:
		return fmt.Sprintf("NO CHANGE CAN BE MADE to %s, within the limits set and with the water there is.", goal) + v.lacking()
	case v.DoneAtH == nil:
		return fmt.Sprintf("NOT ENOUGH WATER to %s. %s", goal, best) + v.lacking()
	case a.WithinH > 0 && !v.InTime:
		return fmt.Sprintf("LATE: %s %s, %s; %s is allowed.", changes, goal, v.done(), units.Hours(a.WithinH)) + v.lacking()
	case a.WithinH > 0:
		return fmt.Sprintf("IN TIME: %s %s, %s of the %s allowed.", changes, goal, v.done(), units.Hours(a.WithinH))
	}
	return fmt.Sprintf("%s %s, %s.", changes, goal, v.done())
}

// unsure is what a plan is sized for beside what is stated.
func (v *siteView) unsure() string {
	var list []string
	if s := v.Demand.System; s.NetVolumeU > 0 {
		list = append(list, "the volume ± "+units.Percent(float64(s.NetVolumeU/s.NetVolume), 0))
	}
	if a := v.aim(); a.StartU > 0 {
		list = append(list, "the start ± "+v.level(a.StartU))
	}
	return listed(list)
}

// lacking says how much more water would do it, or less sleep.
func (v *siteView) lacking() string {
	if v.shares {
		return ""
	}
	if v.InTimeAwake() {
		return " Getting up at night for each change would do it in time (--set awake.from=00:00 --set awake.to=23:59 plans that)."
	}
	return " " + lackingText(v.LackingL, v.Demand.System, v.units)
}

// lackingText is what is lacking, as the water of a system.
func lackingText(litres *float64, of *site.System, u units.System) string {
	if litres == nil {
		return "More stored water alone would not do it in time."
	}
	return plan.LacksWords(*litres, of, u) + " it in time."
}
