package main

import (
	"fmt"
	"slices"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/readiness"
)

// mostEventRows is how many events the table shows; JSON and CSV hold them all.
const mostEventRows = 60

// readyView renders one result of readiness in the units and currency of a site.
type readyView struct {
	readiness.Result
	name, currency string
	units          units.System
}

// answer chooses what to print: one event in detail, or the whole site; a page
// also draws the events, the worst first.
func (v readyView) answer(one bool, format string) ([]block, error) {
	if one {
		return v.single()
	}
	blocks := v.blocks(format == "csv")
	if format != "html" {
		return blocks, nil
	}
	for _, e := range v.sorted()[:min(len(v.Events), mostEventRows)] {
		more, err := v.detail(e)
		if err != nil {
			return nil, err
		}
		blocks = append(blocks, more...)
	}
	return blocks, nil
}

// blocks are the whole answer for one site, the worst first; all lists every event
// however many there are.
func (v readyView) blocks(all bool) []block {
	out := append(v.top(), v.events(all)...)
	out = append(out, v.together()...)
	out = append(out, v.remedies()...)
	return append(out, v.house()...)
}

// single is the answer for one event.
func (v readyView) single() ([]block, error) {
	out := append(v.top(), v.events(true)...)
	more, err := v.detail(v.Events[0])
	if err != nil {
		return nil, err
	}
	out = append(out, more...)
	return append(out, v.remedies()...), nil
}

// top is the verdict and the one thing to do first.
func (v readyView) top() []block {
	out := []block{para("%s: %s.", v.name, v.headline())}
	for _, p := range v.Shopping {
		out = append(out, para("Buy or do: %s (%s): covers %s.", v.fix(p.Fix), v.cost(p.Fix), strings.Join(p.Covers, ", ")))
	}
	for _, p := range v.PartSteps {
		out = append(out, para("Part of it: %s (%s): covers %s.", v.fix(p.Fix), v.cost(p.Fix), strings.Join(p.Covers, ", ")))
	}
	return out
}

// headline is the verdict with the counts behind it.
func (v readyView) headline() string {
	count := map[readiness.Verdict]int{}
	for _, e := range v.Events {
		count[e.Verdict]++
	}
	if v.Verdict == readiness.Covered {
		return fmt.Sprintf("covered. %s, all done in time", counted(len(v.Events), "event"))
	}
	var parts []string
	for _, w := range []readiness.Verdict{readiness.Unreachable, readiness.Short, readiness.Unknown, readiness.Late, readiness.Covered} {
		if n := count[w]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, w))
		}
	}
	return fmt.Sprintf("%s. Of %s, %s", v.Verdict, counted(len(v.Events), "event"), strings.Join(parts, ", "))
}

// sorted are the events, worst first, in file order within a verdict.
func (v readyView) sorted() []readiness.Event {
	list := slices.Clone(v.Events)
	slices.SortStableFunc(list, func(a, b readiness.Event) int {
		switch {
		case a.Verdict.Worse(b.Verdict):
			return -1
		case b.Verdict.Worse(a.Verdict):
			return 1
		}
		return 0
	})
	return list
}

// events is the table of events and the reason of each that is not covered.
func (v readyView) events(all bool) []block {
	g := grid{Header: []string{"event", "verdict", "done after", "allowed", "needs", "usable now", "first change", "held back by"}, Right: []int{2, 3, 4, 5, 6}}
	list := v.sorted()
	shown := list
	if !all && len(list) > mostEventRows {
		shown = list[:mostEventRows]
	}
	var why []block
	for _, e := range shown {
		g.Rows = append(g.Rows, []string{e.ID, string(e.Verdict), hoursOr(e.DoneAtH, "never"), allowed(e.WithinH), volumeOr(e.DemandL, v.units, "-"),
			v.onHand(e.UsableNowL), v.onHand(e.FirstChangeL), words(e.Bottleneck)})
		if e.Verdict != readiness.Covered {
			why = append(why, para("%s (%s): %s.", e.ID, e.System, e.Reason))
		}
	}
	out := []block{tableBlock(g)}
	if n := len(list) - len(shown); n > 0 {
		out = append(out, para("%s, none worse than these, are in --format json and csv.", counted(n, "more event")))
	}
	return append(out, why...)
}

// onHand prints what there is, rounded down; "none" for nothing.
func (v readyView) onHand(l float64) string {
	if l <= 0 {
		return "none"
	}
	return v.units.Volume(l, units.Down)
}

// together is the table of combinations.
func (v readyView) together() []block {
	if len(v.Together) == 0 {
		return nil
	}
	g := grid{Header: []string{"at once", "verdict", "why"}}
	for _, t := range v.Together {
		g.Rows = append(g.Rows, []string{strings.Join(t.Events, " + "), string(t.Verdict), t.Reason})
	}
	return []block{heading("Events that strike at once"), tableBlock(g)}
}

// remedies is the table of what would mend each failing event or combination.
func (v readyView) remedies() []block {
	g := grid{Header: []string{"event", "any one of these mends it", "cost"}, Right: []int{2}}
	add := func(name string, fixes []readiness.Fix) {
		for i, f := range fixes {
			if i > 0 {
				name = ""
			}
			g.Rows = append(g.Rows, []string{name, v.fix(f), v.cost(f)})
		}
	}
	var none []string
	for _, e := range v.sorted() {
		add(e.ID, e.Fixes)
		if (e.Verdict == readiness.Short || e.Verdict == readiness.Late) && len(e.Fixes) == 0 {
			none = append(none, e.ID)
		}
	}
	for _, t := range v.Together {
		add(strings.Join(t.Events, " + "), t.Fixes)
	}
	var out []block
	if len(g.Rows) > 0 {
		out = append(out, heading("What mends it"), tableBlock(g))
	}
	if len(none) > 0 {
		out = append(out, para("No single remedy and no pair was found for %s.", strings.Join(none, ", ")))
	}
	return out
}

// fix says a remedy as an instruction.
func (v readyView) fix(f readiness.Fix) string {
	u, where := v.units, f.Where
	if f.NeedsRoomL > 0 {
		where = "a new container, because no vat has the room"
	}
	if f.NeedsRoomL > 0 && f.KeptAtC != nil {
		where = "a new container at " + u.Temperature(*f.KeptAtC) + ", because no vat has the room"
	}
	var s string
	switch f.What {
	case readiness.StoredSaltwater:
		s = fmt.Sprintf("keep %s more saltwater ready in %s", u.Volume(f.Amount, units.Up), where)
	case readiness.StoredPurified:
		s = fmt.Sprintf("keep %s more purified water in %s", u.Volume(f.Amount, units.Up), where)
	case readiness.MoreSalt:
		s = fmt.Sprintf("keep %s more salt (%s)", u.Mass(f.Amount, units.Up), where)
	case readiness.PurifierRate:
		s = fmt.Sprintf("a purifier that makes %s more, by its rating", u.Flow(f.Amount))
	case readiness.VatHeater:
		s = fmt.Sprintf("%s W more heating in %s", units.Fixed(units.Up.To(f.Amount, 1), 0), where)
	case readiness.VatCapacity:
		s = fmt.Sprintf("%s more room in %s", u.Volume(f.Amount, units.Up), where)
	case readiness.Delivered:
		s = fmt.Sprintf("have %s of saltwater delivered within %s", u.Volume(f.Amount, units.Up), units.Hours(*f.AfterH))
	default:
		s = fmt.Sprintf("allow %s more", units.Hours(units.Up.To(f.Amount*60, 1)/60))
	}
	if f.With != nil {
		s += ", and " + v.fix(*f.With)
	}
	return s
}

func (v readyView) cost(f readiness.Fix) string {
	if f.Cost == nil {
		return ""
	}
	return strings.TrimSpace(units.Fixed(*f.Cost, 2) + " " + v.currency)
}

// house is what else would catch the site out: kit, ages, drills, guards.
func (v readyView) house() []block {
	g := grid{Header: []string{"what", "problem"}}
	for _, k := range v.Kit {
		if !k.OK {
			g.Rows = append(g.Rows, []string{k.Item, k.Problem})
		}
	}
	for _, a := range v.Ages {
		if a.Problem != "" {
			g.Rows = append(g.Rows, []string{a.Store, a.Problem})
		}
	}
	for _, d := range v.Drills {
		switch {
		case d.Overdue && d.Due == nil:
			g.Rows = append(g.Rows, []string{d.What, "never done"})
		case d.Overdue:
			g.Rows = append(g.Rows, []string{d.What, "overdue since " + *d.Due})
		}
	}
	for _, t := range v.UntestedGuards {
		since := "never tested"
		if t.Tested != nil {
			since = "last tested " + *t.Tested + ", over a year ago"
		}
		g.Rows = append(g.Rows, []string{t.On + ": " + t.Guard, since + "; it does not count"})
	}
	var out []block
	if len(g.Rows) > 0 {
		out = append(out, heading("In the house"), tableBlock(g))
	}
	if w := v.WorstDay; w.RoutineL > 0 {
		out = append(out, para("Judged just after the regular changes: %s of stored saltwater is taken as used by them.", v.units.Volume(w.DrawnL, units.Up)))
	}
	return out
}

// allowed prints a deadline; "-" for none.
func allowed(h float64) string {
	if h <= 0 {
		return "-"
	}
	return units.Hours(h)
}
