package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// doing is one thing to do at a time of the plan.
type doing struct {
	atH  float64
	what string
	left string
	// step is the change; nil for work at the vat storeID, which is prepared, or a batch mixed in it.
	step     *plan.Step
	storeID  string
	prepared *plan.Prepare
	batch    *plan.Batch
}

// inOrder are the changes, and what is mixed, cut, lifted or emptied meanwhile, in
// order of time.
func (v *siteView) inOrder() []doing {
	var list []doing
	for i, p := range v.Prepared {
		list = append(list, doing{atH: p.AtH, what: v.preparing(p), storeID: p.StoreID, prepared: &v.Prepared[i]})
	}
	for i := range v.Batches {
		b, what := &v.Batches[i], ""
		if !v.Drawn(b) {
			what = ", for the reserve"
		}
		list = append(list, doing{atH: b.StartH, storeID: b.StoreID, batch: b, what: fmt.Sprintf("mix batch %d in %s: %s purified, %s%s", b.N, b.StoreID,
			v.units.VolumeToPour(b.PurifiedL, units.Up), plan.SaltText(b.Salts, v.units), what)})
	}
	rows := v.Rows(v.units)
	for i, s := range v.Steps {
		list = append(list, doing{atH: s.AtH, what: v.changing(rows[i], s), left: v.level(s.Levels[0].After), step: &v.Steps[i]})
	}
	slices.SortStableFunc(list, func(a, b doing) int {
		// The rest of a change comes before what is done to its vat.
		return cmp.Or(cmp.Compare(a.atH, b.atH), compareTrue(a.rest(), b.rest()))
	})
	return list
}

// rest reports whether it finishes a change that was begun.
func (d doing) rest() bool { return d.step != nil && d.step.Rest }

// compareTrue sorts true before false.
func compareTrue(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// doings is the table of what to do.
func (v *siteView) doings() grid {
	list := v.inOrder()
	g := grid{Header: []string{"when", "do", "left"}, Right: []int{2}}
	for _, d := range list {
		g.Rows = append(g.Rows, []string{v.clock(d.atH), d.what, d.left})
	}
	return g
}

// changing is one change with its number, counted from the first that was made.
func (v *siteView) changing(row units.Parts, s plan.Step) string {
	what := "change"
	if s.Rest {
		what = "finish change"
	}
	return fmt.Sprintf("%s %d: %s", what, s.N+v.made, changeText(row, s))
}

// moved prints litres that are moved: as near as can be measured.
func (v *siteView) moved(l float64) string { return v.units.VolumeToPour(l, units.Nearest) }

// changeText is the litres of a change and where they come from.
func changeText(row units.Parts, s plan.Step) string {
	var parts []string
	poured := s.Poured(row)
	for _, i := range poured {
		d := s.From[i]
		text := d.From()
		if len(poured) > 1 {
			text = row.Each[i] + " " + text
		}
		if d.Batch > 0 {
			text += fmt.Sprintf(" (batch %d)", d.Batch)
		}
		if d.Buckets {
			text += " by bucket"
		}
		parts = append(parts, text)
	}
	from := " from "
	if len(poured) > 1 {
		from = ": "
	}
	return row.Whole + from + strings.Join(parts, " + ")
}

// preparing says what is done to a vat before its water is used.
func (v *siteView) preparing(p plan.Prepare) string {
	first := ""
	if p.RemoveL > 0 && !p.Pours() {
		first = fmt.Sprintf("pour %s away (%s stay), then ", v.moved(p.RemoveL), v.moved(p.LeavesL()))
	}
	to := " (to salinity " + towards(p.Salinity, v.Demand.System) + ")"
	switch p.What {
	case plan.Cut:
		return fmt.Sprintf("cut %s: %sadd %s purified water%s", p.StoreID, first, v.units.VolumeToPour(p.AddL, units.Up), to)
	case plan.Lift:
		return fmt.Sprintf("lift %s: %sstir in %s%s", p.StoreID, first, plan.SaltText(p.Salts, v.units), to)
	case plan.Lower:
		return fmt.Sprintf("lower %s: pour %s away, %s stay in it", p.StoreID, v.moved(p.RemoveL), v.moved(p.LeavesL()))
	}
	return fmt.Sprintf("empty %s: pour %s away", p.StoreID, v.moved(p.RemoveL))
}

// towards prints a salinity that a vat is to reach, to what a meter shows and no farther from the system's than planned:
// a step's limit is kept by whoever stops at what is printed, and enters it.
func towards(reach float64, sys *site.System) string {
	const tenths, hair = 10, 1e-6
	if sys == nil {
		return units.Fixed(reach, 1)
	}
	switch home := float64(sys.Water.Salinity); {
	case math.Abs(reach-home) < 1.0/tenths: // within a tenth of it there is no limit to keep
		return units.Fixed(reach, 1)
	case reach > home:
		return units.Fixed(math.Floor(reach*tenths+hair)/tenths, 1)
	default:
		return units.Fixed(math.Ceil(reach*tenths-hair)/tenths, 1)
	}
}

// effects is what each change does to the system's own water.
func (v *siteView) effects() grid {
	g := grid{Title: "What each change does to the water", Header: []string{"change", "full again", "salinity", "temperature", "alkalinity", "set by"}, Right: []int{0, 2, 3, 4}}
	ammonia := v.aim().Contaminant == plan.TotalAmmonia
	if ammonia {
		g.Header, g.Right = append(g.Header, "NH3-N"), append(g.Right, 6)
	}
	for _, s := range v.Steps {
		w := s.After
		row := []string{fmt.Sprint(s.N), v.clock(s.DoneH), units.Fixed(w.Salinity, 1), v.units.Temperature(w.Temperature),
			known(w.AlkalinityDKH, 1, "dKH"), s.LimitedBy.Words()}
		if ammonia {
			n := known(s.Levels[0].UnionisedAfter, 1, "µg/L")
			if s.Levels[0].Rises {
				n += " RISES"
			}
			row = append(row, n)
		}
		g.Rows = append(g.Rows, row)
	}
	return g
}

// known prints a value that may not be known.
func known(x *float64, decimals int, unit string) string {
	if x == nil {
		return "-"
	}
	return units.Fixed(*x, decimals) + " " + unit
}

// notes are the limit that binds, the slow exchange, what the media would bring, what
// would lower the floor, and how sure the plan is.
func (v *siteView) notes() []block {
	var out []block
	add := func(format string, args ...any) {
		b := para(format, args...)
		b.Tight = len(out) > 0
		out = append(out, b)
	}
	if limits := v.Binding.WhatLimits(v.DoneAtH, v.LackingL, v.units); limits != "" {
		add("What limits it: %s.", limits)
	}
	if c := v.Continuous; c != nil {
		when := ""
		if within := v.aim().WithinH; v.late() && c.Hours <= within {
			when = ", and it is in time"
		}
		add("Another way: run %s of new water through, in and out alike, for %s (%s in all); the heaters keep up with that%s.", v.units.Flow(c.FlowLH), units.Hours(c.Hours), v.litres(c.WaterL), when)
	}
	if m := v.WithMedia; m != nil {
		add("With %s running: %s, %s. The plan does not count on it.", strings.Join(m.Media, ", "), hoursOr(m.DoneAtH, "never done"), v.litres(m.WaterL))
	}
	for _, l := range v.levers {
		add("Would lower the floor: %s, to %s.", l.What, v.level(l.Floor))
	}
	if v.aim().Share() && len(v.Steps) > 0 {
		add(unmeasured)
	}
	return out
}

// asides are the detail behind them.
func (v *siteView) asides() []block {
	var out []block
	if l := v.Binding.Limiting(v.DoneAtH, v.LackingL); l != "" && !l.OfHouse() {
		out = append(out, para("Loosening a limit is for you and your veterinarian to weigh."))
	}
	if v.Confidence != nil && len(v.Steps) > 0 {
		out = append(out, para("Sized to suffice in %s of cases, with %s.", units.Percent(*v.Confidence, 0), v.unsure()))
	}
	switch {
	case v.Proved:
		out = append(out, para("No plan within these limits is better: that was proved."))
	case len(v.Steps) > 0 && v.GapPercent > 0:
		out = append(out, para("A better plan within these limits could at most have %s less exposure.", units.Percent(v.GapPercent/100, 1)))
	}
	return out
}
