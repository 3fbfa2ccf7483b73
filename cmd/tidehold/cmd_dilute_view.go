package main

import (
	"fmt"
	"slices"
	"unicode/utf8"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/figure"
	"tidehold/response/plan"
)

// shownPlan is a plan as dilute and assess show it: a siteView or a freeView.
type shownPlan interface {
	// blocks are the answer, what to do step by step, and what to know; more is the
	// detail behind it.
	blocks() (out, more []block)
	// warnings are what the keeper should do something about.
	warnings() []string
	result() diluteResult
}

// planView is what both views of a plan have in common: the plan, in the words of its
// first aim.
type planView struct {
	plan.Plan
	units units.System
	// levers are what would lower the floor of an unreachable target.
	levers []dilution.Lever
}

// aim is the one that the table of steps follows.
func (v *planView) aim() plan.Aim { return v.Demand.Aims[0] }

// subject is what is brought down, in words.
func (v *planView) subject() string {
	if v.aim().Share() {
		return "whatever is in the water"
	}
	return substance(v.aim().Contaminant)
}

// level prints a concentration or a share.
func (v *planView) level(x float64) string {
	if v.aim().Share() {
		return units.Significant(100*x, 3) + " %"
	}
	return levelText(v.aim().Contaminant, x, v.aim().Target)
}

// litres of what is needed are rounded up.
func (v *planView) litres(l float64) string { return v.units.Volume(l, units.Up) }

// The cautions stand before the steps they protect: one change after the other, the
// same from a site's own stores, whose temperature and salinity the sizes allow for,
// and new water run through.
const (
	dryCaution      = "WARNING: before each change switch off heaters and pumps that may run dry, at a dry plug with dry hands; they stay off until the water is back over them."
	drawdownCaution = dryCaution + " Bring new water to the salinity and temperature of the system first."
	siteCaution     = dryCaution + " Measure the salinity and temperature of each store before pouring; plan again if they differ from the site file."
	exchangeCaution = "WARNING: let out as much as runs in and watch the level of both: heaters and pumps must stay under water, and what is to be switched off is switched off at a dry plug with dry hands. Bring new water to the salinity and temperature of the system first."
)

// mostRows is how many rows of the table of steps a screen shows.
const mostRows = 6

// cutShort is a table of steps as a screen shows it, and all of it, where it is long.
func cutShort(steps grid) (short, whole []block) { return cutTo(steps, mostRows) }

// cutTo is cutShort where something else takes room.
func cutTo(steps grid, most int) (short, whole []block) {
	if len(steps.Rows) <= most {
		return []block{tableBlock(steps)}, nil
	}
	cut := steps
	cut.Rows = steps.Rows[:rowsShown(steps, most)]
	short = onlyOnScreen(tableBlock(cut), line("%s: --all prints them", counted(len(steps.Rows)-len(cut.Rows), "more row")))
	return short, []block{heading("All of it"), tableBlock(steps)}
}

// rowsShown is how many rows of a long table are shown: one less where a change from two
// stores takes two lines.
func rowsShown(steps grid, most int) int {
	const oneLine = 51 // columns for what to do, beside when and what is left
	n, do := most-1, slices.Index(steps.Header, "do")
	if do >= 0 && slices.ContainsFunc(steps.Rows[:n], func(r []string) bool { return utf8.RuneCountInString(r[do]) > oneLine }) {
		n--
	}
	return n
}

// curve draws the level of the first aim over time.
func (v *planView) curve(description string, points []figure.Level, changesAtH []float64) []block {
	_, unit := plan.LevelUnit(v.aim().Contaminant, 0)
	if v.aim().Share() {
		unit = "% left"
	}
	const columns = 76
	c := figure.Fall{Head: figure.Head{ID: "fall", Title: "How " + v.subject() + " falls", Description: description},
		Points: points, Target: v.aim().Target * v.scale(), Unit: unit, ChangesAtH: changesAtH}
	return drawnBy(c.SVG, func() (string, error) { return c.Line(columns) })
}

// scale is what levels are multiplied by in a drawing: shares are per cent there, and ammonia mg/L.
func (v *planView) scale() float64 {
	if v.aim().Share() {
		return 100
	}
	per, _ := plan.LevelUnit(v.aim().Contaminant, 0)
	return 1 / per
}

// rises says that a level does not stay down.
func (v *planView) rises(name string, peak *float64) string {
	if name == "" {
		name = "it"
	}
	end := "without limit"
	if peak != nil {
		end = "to " + v.level(*peak)
	}
	return fmt.Sprintf("the target does not hold: with no more changes %s rises again %s; find and stop what adds it, test daily and be ready for more changes", name, end)
}

// unmeasured stands under every plan by share.
const unmeasured = "This plans by share because nothing was measured. Keep a sample from before the first change; when its result comes, plan again with --start and --target."
