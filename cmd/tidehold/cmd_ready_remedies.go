package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/response/readiness"
)

// shopping is the list that covers everything, and the cheaper steps that cover some.
func (v readyView) shopping() []block {
	var out []block
	if len(v.Shopping) > 0 {
		g := grid{Header: []string{v.buyOrDo(), "cost", "for"}, Right: []int{1}}
		for _, p := range v.Shopping {
			g.Rows = append(g.Rows, []string{v.fix(p.Fix), v.cost(p.Fix), v.covers(p.Covers)})
		}
		out = append(out, tableBlock(g))
		all := "That"
		if len(v.Shopping) > 1 {
			all = "All of it"
		}
		what := "every event" + v.atOnce()
		if len(v.NotByPurchase) > 0 {
			what = "the rest"
		}
		out = append(out, line("%s covers %s: planned again with it.%s", all, what, v.lateThen()))
		out = append(out, v.lackingToday()...)
	} else if len(v.NotByPurchase) == 0 && (v.Verdict == readiness.Short || v.Verdict == readiness.Late) {
		out = append(out, para("No set of purchases was found that covers everything; --all lists what helps which event."))
	}
	if rest, up := v.notByPurchase(); len(rest) > 0 {
		out = append(out, line("Nothing to buy or do covers %s in the time allowed%s.", listed(rest), v.whyNot(rest)))
	} else if len(up) > 0 {
		out = append(out, line("Nothing to buy covers %s in the time allowed; getting up does.", listed(up)))
	}
	for _, p := range v.PartSteps[:min(len(v.PartSteps), mostSteps)] {
		cost := v.cost(p.Fix)
		if cost != "" {
			cost = ", " + priced(cost, v.currency)
		}
		out = append(out, line("Only for %s: %s%s.", v.covers(p.Covers), v.fix(p.Fix), cost))
	}
	return out
}

// buyOrDo heads the list, with the day that its amounts are for: on today's stock, which dilute and the cards
// plan with, less may do.
func (v readyView) buyOrDo() string {
	if v.WorstDay.RoutineL <= 0 { // what is added to stores that are empty is taken too
		return "buy or do"
	}
	return "buy or do, for just after the regular changes"
}

// lackingToday says what the failing events lack of today's stock, beside a list for just after the regular
// changes: in an emergency nobody is to look for more water than will do. The reasons say it of one event
// alone; of many the column of today does.
func (v readyView) lackingToday() []block {
	if n := len(v.Events); v.WorstDay.RoutineL <= 0 || n == 1 || n > roomForHours {
		return nil
	}
	var says, less []string
	for _, e := range v.sorted() {
		switch {
		case !e.Verdict.Fails():
		case e.Today.Verdict == readiness.Covered:
			says = append(says, e.ID+" lacks nothing")
		case e.Today.LackingL != nil:
			says = append(says, e.ID+" lacks "+v.units.Volume(*e.Today.LackingL, units.Up))
		default:
			less = append(less, e.ID)
		}
	}
	if len(less) > 0 { // how much takes too long to find for this screen
		says = append([]string{listed(less) + " may lack less (see dilute --event " + less[0] + ")"}, says...)
	}
	if len(says) == 0 {
		return nil
	}
	return []block{line("With today's stock %s.", strings.Join(says, ", "))}
}

// notByPurchase is what nothing to buy mends, and of it what getting up at night does.
func (v readyView) notByPurchase() (rest, up []string) {
	awake := map[string]bool{}
	for _, e := range v.Events {
		awake[e.ID] = e.InTimeIfAwake
	}
	for _, t := range v.Together {
		awake[plan.AllOf(t.Events)] = t.InTimeIfAwake
	}
	for _, name := range v.NotByPurchase {
		list := &rest
		if awake[name] {
			list = &up
		}
		if !v.partOf(name, *list) { // else said with that event
			*list = append(*list, name)
		}
	}
	return rest, up
}

// partOf reports whether a combination holds an event that is named itself.
func (v readyView) partOf(name string, names []string) bool {
	return slices.ContainsFunc(v.Together, func(t readiness.Together) bool {
		return plan.AllOf(t.Events) == name && slices.ContainsFunc(t.Events, func(id string) bool { return slices.Contains(names, id) })
	})
}

// whyNot says of events that nothing covers that they are not covered in combinations either, and on a screen of
// several which command says what holds the first of them back: it may be no more than a limit of the site file.
func (v readyView) whyNot(rest []string) string {
	at := slices.IndexFunc(v.Events, func(e readiness.Event) bool { return e.ID == rest[0] })
	if at < 0 || len(v.Events) == 1 {
		return ""
	}
	alone := ""
	if len(v.Together) > 0 {
		alone = ", alone or at once"
	}
	return alone + "; ready --event " + rest[0] + " says what limits it"
}

func (v readyView) atOnce() string {
	if len(v.Together) == 0 {
		return ""
	}
	return ", alone and at once"
}

// lateThen says, where people sleep, whether what is bought does at other hours too; with the hours where
// there is room.
func (v readyView) lateThen() string {
	switch {
	case v.LateThen == nil:
		return ""
	case len(v.LateThen) == 0:
		return " So it does at any full hour."
	case len(v.Events) > 1 && len(v.lateAtHours()) > 0:
		return "" // a line above says as much
	case len(v.Events) > 1:
		return " At some hours only by getting up at night: --all."
	}
	return " " + v.lateThenAt()
}

// lateThenAt says at which hours it does not; "" where it does at all.
func (v readyView) lateThenAt() string {
	if len(v.LateThen) == 0 {
		return ""
	}
	var list []lateOne
	for _, l := range v.LateThen {
		list = append(list, lateOne{what: plan.AllOf(l.Events), hours: l.LateAtHours})
	}
	return "With it too only by getting up at night: " + saidAll(list) + "."
}

// covers names events and combinations; all of what fails is "all failing".
func (v readyView) covers(names []string) string {
	failing := 0
	for _, e := range v.Events {
		if e.Verdict != readiness.Covered {
			failing++
		}
	}
	for _, t := range v.Together {
		if t.Verdict != readiness.Covered {
			failing++
		}
	}
	if failing > 1 && len(names) == failing {
		return "all failing"
	}
	return listed(names)
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
		add(plan.AllOf(t.Events), t.Fixes)
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

// fix says a remedy as an instruction: how much, where, at which salinity and
// temperature.
func (v readyView) fix(f readiness.Fix) string {
	u := v.units
	amount := func(say func(x float64, r units.Rounding) string) string { return enough(f, say) }
	where := f.Where
	if f.NeedsRoomL > 0 {
		where = "a new container"
	}
	var s string
	switch f.What {
	case readiness.StoredSaltwater:
		s = fmt.Sprintf("%s more saltwater in %s%s", amount(u.Volume), where, v.water(f))
	case readiness.StoredPurified:
		s = fmt.Sprintf("%s more purified water in %s", amount(u.Volume), where)
		if b := brought(f); b != "" {
			s += " (" + strings.TrimPrefix(b, ", ") + ")"
		}
	case readiness.MoreSalt:
		s = fmt.Sprintf("%s more salt (%s)", amount(u.Mass), f.Where)
	case readiness.PurifierRate:
		s = fmt.Sprintf("a purifier that makes %s more, by its rating", amount(func(x float64, r units.Rounding) string { return u.Volume(x, r) + "/h" }))
	case readiness.VatHeater:
		s = fmt.Sprintf("%s more heating in %s", amount(func(x float64, r units.Rounding) string { return units.Fixed(r.To(x, 1), 0) + " W" }), f.Where)
	case readiness.VatCapacity:
		s = fmt.Sprintf("%s more room in %s", amount(u.Volume), f.Where)
	case readiness.Delivered:
		s = fmt.Sprintf("%s of saltwater delivered within %s%s", amount(u.Volume), units.Hours(*f.AfterH), v.water(f))
	default:
		s = fmt.Sprintf("%s more time", amount(units.HoursTo))
	}
	if f.How != "" {
		s += "; " + f.How
	}
	if f.With != nil {
		s += ", and " + v.fix(*f.With)
	}
	return s
}

// water is the salinity and temperature to keep, and the most that it may bring of what is to be brought down.
func (v readyView) water(f readiness.Fix) string {
	if f.Salinity == nil {
		return ""
	}
	s := "salinity " + units.Fixed(*f.Salinity, 1)
	if f.KeptAtC != nil {
		s = plan.WaterWords(units.Practical(*f.Salinity), units.Celsius(*f.KeptAtC), v.units)
	}
	return " (" + s + brought(f) + ")"
}

// brought is the most that the water of a remedy may bring along; "" where that is not counted.
func brought(f readiness.Fix) string {
	s := ""
	for _, id := range slices.Sorted(maps.Keys(f.BackgroundUgL)) {
		s += ", at most " + units.Dissolved(f.BackgroundUgL[id]) + " " + substance(id)
	}
	return s
}

// priced is a cost in a sentence, where a number without a currency would be one of anything.
func priced(cost, currency string) string {
	if currency == "" {
		return "cost " + cost
	}
	return cost
}

func (v readyView) cost(f readiness.Fix) string {
	if f.Cost == nil {
		return ""
	}
	return strings.TrimSpace(units.Fixed(*f.Cost, 2) + " " + v.currency)
}

// enough is the amount of a remedy, and where more no longer does. Where one step of what can
// be measured is all there is between the two, "94 gal but less than 94 gal" says nothing.
func enough(f readiness.Fix, say func(x float64, r units.Rounding) string) string {
	least := say(f.Amount, units.Up)
	if f.TooMuch == nil {
		return least
	}
	switch most := say(*f.TooMuch, units.Down); most {
	case least:
		return "exactly " + least
	case say(f.Amount, units.Down):
		return "just over " + most + " (neither less nor more)"
	default:
		return least + " (but less than " + most + ")"
	}
}
