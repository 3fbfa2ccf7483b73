package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/volumes/site"
)

// readyView renders one result of readiness in the units and currency of a site.
type readyView struct {
	readiness.Result
	name, currency string
	units          units.System
	at             time.Time
	awake          *site.Awake
	stores         []site.Store
}

// A screen shows this many events, cheaper steps and things to see to; --all and every
// other format hold them all.
const (
	mostEventRows = 7
	mostHouse     = 3
	mostSteps     = 1
	// mostFigures is how many events a page draws, the worst first.
	mostFigures = 60
)

// blocks are the answer for the whole site, the worst first.
func (v readyView) blocks() (out []block) {
	out = append(out, para("%s: %s", v.name, v.headline()))
	out = append(out, v.bars()...)
	out = append(out, v.table(mostEventRows)...)
	out = append(append(out, v.stock()), v.gettingUp()...)
	if len(v.Events) == 1 {
		out = append(out, v.reasons()...)
	} else {
		out = append(append(out, v.forTheMoment()...), v.beyondBuying()...)
	}
	out = append(out, v.shopping()...)
	return append(out, v.house()...)
}

// more is the detail behind them.
func (v readyView) more() (out []block) {
	if len(v.Events) != 1 {
		out = append(out, v.reasons()...)
	}
	if hours := v.hours(); hours != "" && len(v.Events) > roomForHours {
		out = append(out, para("%s", hours))
	}
	if len(v.Events) > mostEventRows {
		out = append(out, v.table(len(v.Events))...)
	}
	out = append(out, v.gettingUpAll()...)
	if then := v.lateThenAt(); then != "" && len(v.Events) > 1 {
		out = append(out, heading("What to buy, at every hour"), para("%s", then))
	}
	out = append(append(out, v.together()...), v.remedies()...)
	out = append(out, v.houseTable()...)
	for _, e := range v.sorted()[:min(len(v.Events), mostFigures)] {
		for _, f := range v.chart(*e) {
			if f.Heading != "" {
				continue
			}
			if f.Figure != nil {
				f.Figure.Text, f.Figure.Caption = "", supplyOf(*e) // for pages; on a terminal --event draws it
			}
			out = append(out, f)
		}
	}
	return out
}

// single is the answer for one event: its plan, what limits it, what mends it, the
// work, what to restock, a chart.
func (v readyView) single() []block {
	e := v.Events[0]
	out := []block{para("%s: %s", v.name, v.headline())}
	out = append(append(append(out, v.table(1)...), v.stock()), v.gettingUp()...)
	out = append(out, v.reasons()...)
	return append(append(out, v.detail(e)...), v.remedies()...)
}

// headline is the verdict with the count behind it.
func (v readyView) headline() string {
	covered := 0
	for _, e := range v.Events {
		if e.Verdict == readiness.Covered {
			covered++
		}
	}
	n := len(v.Events)
	switch {
	case v.Verdict == readiness.Covered && len(v.lateAtHours()) > 0:
		return fmt.Sprintf("covered, at some hours only by getting up at night. Ready for %s.", counted(n, "event"))
	case v.Verdict == readiness.Covered:
		return fmt.Sprintf("covered. Ready for %s.", counted(n, "event"))
	case covered == n:
		return fmt.Sprintf("%s. Ready for each of %s alone, but not for all that may strike at once.", v.Verdict, counted(n, "event"))
	}
	return fmt.Sprintf("%s. Ready for %d of %s.", v.Verdict, covered, counted(n, "event"))
}

// sorted are the events, worst first, in file order within a verdict.
func (v readyView) sorted() []*readiness.Event {
	list := make([]*readiness.Event, len(v.Events))
	for i := range v.Events {
		list[i] = &v.Events[i]
	}
	slices.SortStableFunc(list, func(a, b *readiness.Event) int { return readiness.WorseFirst(a.Verdict, b.Verdict) })
	return list
}

// table is one line for each event, up to most, and one for each combination.
func (v readyView) table(most int) []block {
	g := grid{Header: []string{"event", "verdict", "done after", "allowed", "first change", "today"}, Right: []int{2, 3, 4}}
	list := v.sorted()
	shown := list[:min(len(list), most)]
	for _, e := range shown {
		g.Rows = append(g.Rows, []string{e.ID, string(e.Verdict), v.doneAfter(*e), allowed(e.WithinH), v.firstChange(*e), v.today(*e)})
	}
	out := []block{tableBlock(g)}
	if n := len(list) - len(shown); n > 0 {
		out = append(out, onlyOnScreen(line("%s, none worse than these: --all prints them.", counted(n, "more event")))...)
	}
	for i, t := range v.Together {
		if i == mostTogether && most < len(list) {
			out = append(out, onlyOnScreen(line("%s: --all prints them.", counted(len(v.Together)-i, "more combination")))...)
			break
		}
		out = append(out, line("%s at once: %s%s.", plan.AllOf(t.Events), t.Verdict, t.WaterFirst()))
	}
	return out
}

// mostTogether is how many combinations a screen shows.
const mostTogether = 3

// doneAfter is when an event is done; late by minutes is not the time allowed.
func (v readyView) doneAfter(e readiness.Event) string {
	if e.DoneAtH == nil || e.WithinH <= 0 {
		return hoursOr(e.DoneAtH, "never")
	}
	return units.HoursPast(*e.DoneAtH, e.WithinH)
}

// today is how an event fares on the stock as it stands; "the same" where that is the stock it
// is judged on.
func (v readyView) today(e readiness.Event) string {
	t := e.Today
	if t.Verdict == e.Verdict && hoursOr(t.DoneAtH, "") == hoursOr(e.DoneAtH, "") { // as it is printed
		if lacks := v.lacksToday(e); lacks != "" {
			return "lacks " + lacks
		}
		if t.DoneAtH == nil && e.LackingL == nil && v.WorstDay.RoutineL > 0 {
			return string(t.Verdict) // less may be lacking
		}
		return "the same"
	}
	if t.Verdict != e.Verdict || t.DoneAtH == nil { // short and unknown are never done
		return string(t.Verdict)
	}
	return units.Hours(*t.DoneAtH)
}

// lacksToday is what is lacking of today's stock, where that was looked for and is not known to be the same
// amount; "" else.
func (v readyView) lacksToday(e readiness.Event) string {
	if e.Today.LackingL == nil {
		return ""
	}
	lacks := v.units.Volume(*e.Today.LackingL, units.Up)
	if e.LackingL != nil && lacks == v.units.Volume(*e.LackingL, units.Up) {
		return ""
	}
	return lacks
}

// stock says which stock is judged and what of it can be drawn at once.
func (v readyView) stock() block {
	if len(v.Events) == 0 {
		return line("No event is named.")
	}
	now := v.Events[0].Today.UsableNowL
	text := fmt.Sprintf("%s of saltwater to draw at once.", v.units.Volume(now, units.Down))
	if day := v.WorstDay; day.RoutineL > 0 {
		text = fmt.Sprintf("Judged just after the regular changes (%s): %s to draw, today %s.", drawnWords(day.DrawnL, day.RoutineL, v.units),
			v.units.Volume(v.Events[0].UsableNowL, units.Down), v.units.Volume(now, units.Down))
	}
	if len(v.Events) <= roomForHours {
		text += " " + v.hours()
	}
	return line("%s", strings.TrimSpace(text))
}

// roomForHours is with how many events a screen still has a line for the hours at which changes start.
const roomForHours = 4

// hours says when the events are taken to begin, where the answer depends on it: people sleep. A plan
// whose changes all begin in the first hours has no such hour.
func (v readyView) hours() string {
	hours := startHours(v.awake)
	waits := func(e readiness.Event) bool {
		return e.Plan != nil && slices.ContainsFunc(e.Plan.Steps, func(s plan.Step) bool { return s.AtH > site.AlwaysAwakeH })
	}
	if hours == "" || !slices.ContainsFunc(v.Events, waits) {
		return ""
	}
	text := fmt.Sprintf("As if begun %s: %s", moment(v.at), hours)
	mayEndLater := func(e readiness.Event) bool {
		return e.Verdict == readiness.Late || e.Verdict == readiness.Short || e.Verdict == readiness.Covered && e.LateAtHours == nil
	}
	switch {
	case len(v.lateAtHours()) > 0:
		return text + "."
	case slices.ContainsFunc(v.Events, mayEndLater):
		return text + ", so at another hour (--at) it can end later."
	case !slices.ContainsFunc(v.Events, func(e readiness.Event) bool { return e.Verdict == readiness.Covered }):
		return text + "." // none is in time at any hour
	}
	return text + ". In time at any other full hour too."
}

// lateOne is what is in time only for whoever gets up at night: as of now, or if it begins at some hours.
type lateOne struct {
	what  string
	now   bool
	hours []int
}

func (l lateOne) says() string {
	if l.now {
		return l.what + " begun now"
	}
	return l.what + " begun at " + fullHours(l.hours)
}

// saidAll is all of a list in words.
func saidAll(list []lateOne) string {
	var texts []string
	for _, l := range list {
		texts = append(texts, l.says())
	}
	return strings.Join(texts, "; ")
}

// lateAtHours is what is late for those who sleep, what is so now first.
func (v readyView) lateAtHours() (list []lateOne) {
	add := func(l lateOne) {
		if l.now || len(l.hours) > 0 {
			list = append(list, l)
		}
	}
	for _, e := range v.Events {
		add(lateOne{e.ID, e.InTimeIfAwake, e.LateAtHours})
	}
	for _, t := range v.Together {
		alone := func(is func(e readiness.Event) bool) bool { // what one of its events is, it is too
			return slices.ContainsFunc(v.Events, func(e readiness.Event) bool { return slices.Contains(t.Events, e.ID) && is(e) })
		}
		more := slices.DeleteFunc(slices.Clone(t.LateAtHours), func(hour int) bool {
			return alone(func(e readiness.Event) bool { return slices.Contains(e.LateAtHours, hour) })
		})
		add(lateOne{plan.AllOf(t.Events) + " at once", t.InTimeIfAwake && !alone(func(e readiness.Event) bool { return e.InTimeIfAwake }), more})
	}
	slices.SortStableFunc(list, func(a, b lateOne) int { return compareTrue(a.now, b.now) })
	return list
}

// gettingUp says what is late for those who sleep. What is in time as of now is so at any hour for
// whoever makes each change when it falls due. Where there is more the screen names one.
func (v readyView) gettingUp() []block {
	list := v.lateAtHours()
	if len(list) == 0 {
		return nil
	}
	text := "Only by getting up at night: " + list[0].says()
	if more := len(list) - 1; more > 0 {
		text += fmt.Sprintf("; %d more: --all", more)
	}
	return []block{line("%s.", text)}
}

// gettingUpAll says all of it, where the screen named one.
func (v readyView) gettingUpAll() []block {
	list := v.lateAtHours()
	if len(list) < 2 {
		return nil
	}
	return []block{heading("Only by getting up at night"), para("%s.", saidAll(list))}
}

// firstChange is the litres of the first change, and when it begins where the plan waits for
// more or warmer water; "none" where no change can be made.
func (v readyView) firstChange(e readiness.Event) string {
	if e.Plan == nil || len(e.Plan.Steps) == 0 {
		return "none"
	}
	s := &e.Plan.Steps[0]
	if e.FirstChangeL > 0 {
		return e.Plan.ChangeLitres(s, v.units)
	}
	h := s.AtH
	if h >= 1 {
		h = math.Round(h) // the plan itself has the minutes
	}
	return e.Plan.ChangeLitres(s, v.units) + " in " + units.Hours(h)
}

// forTheMoment names the events that are done for the moment only, where a screen of several has
// no room for the reasons.
func (v readyView) forTheMoment() []block {
	var ids []string
	for _, e := range v.sorted() {
		if e.Plan != nil && e.Plan.RisesAgain() >= 0 {
			ids = append(ids, e.ID)
		}
	}
	if len(ids) == 0 {
		return nil
	}
	return []block{line("Done for the moment only, it rises again: %s.", listed(ids))}
}

// mostBeyond is of how many events a screen of several says why no list can mend them.
const mostBeyond = 2

// beyondBuying says why events are out of reach or unknown, where a screen of several has no room for all reasons:
// no list that follows mends them, and somebody has to stop a source, use other water, or write down what is missing.
func (v readyView) beyondBuying() []block {
	var out []block
	n := 0
	for _, e := range v.sorted() {
		if e.Verdict != readiness.Unreachable && e.Verdict != readiness.Unknown {
			continue
		}
		if n++; n <= mostBeyond {
			out = append(out, line("%s (%s): %s.", e.ID, e.System, e.Reason))
		}
	}
	if n > mostBeyond {
		out = append(out, onlyOnScreen(line("%s that no list mends: --all says why.", counted(n-mostBeyond, "more event")))...)
	}
	return out
}

// reasons says of each event that is not covered why, and of one whose water is brought down for
// the moment only that it is not done with.
func (v readyView) reasons() []block {
	var out []block
	for _, e := range v.sorted() {
		if e.Verdict != readiness.Covered {
			text := fmt.Sprintf("%s (%s): %s", e.ID, e.System, e.Reason)
			if lacks := v.lacksToday(*e); lacks != "" {
				text += "; with today's stock " + lacks
			}
			out = append(out, para("%s.", text))
		}
		if e.Plan != nil {
			made := siteView{planView: planView{Plan: *e.Plan, units: v.units}}
			for _, w := range made.warnings() {
				out = append(out, para("%s (%s): %s.", e.ID, e.System, w))
			}
		}
		if m := e.WithMedia; m != nil {
			out = append(out, para("%s with %s running: %s, %s, %s. The verdict does not count on it.", e.ID, strings.Join(m.Media, ", "), m.Verdict, hoursOr(m.DoneAtH, "never done"), v.units.Volume(m.WaterL, units.Up)))
		}
	}
	return out
}

// together is the table of combinations.
func (v readyView) together() []block {
	if len(v.Together) == 0 {
		return nil
	}
	g := grid{Header: []string{"at once", "verdict", "why"}}
	for _, t := range v.Together {
		g.Rows = append(g.Rows, []string{plan.AllOf(t.Events), string(t.Verdict), t.Reason})
	}
	return []block{heading("Events that strike at once"), tableBlock(g)}
}

// house names what else would catch the site out, in a line; water that does not count
// comes first.
func (v readyView) house() []block {
	rows := v.houseRows()
	if len(rows) == 0 {
		return nil
	}
	if len(rows) == 1 {
		return onlyOnScreen(para("To see to: %s: %s.", rows[0][0], rows[0][1]))
	}
	var names []string
	for i, r := range rows {
		if i == mostHouse {
			names = append(names, fmt.Sprintf("%d more", len(rows)-i))
			break
		}
		problem, _, _ := strings.Cut(r[1], ";")
		names = append(names, r[0]+" ("+problem+")")
	}
	return onlyOnScreen(para("To see to (--all says what to do): %s.", listed(names)))
}

// houseTable is all of it.
func (v readyView) houseTable() []block {
	g := grid{Header: []string{"what", "problem"}, Rows: v.houseRows()}
	if len(g.Rows) == 0 {
		return nil
	}
	return []block{heading("In the house"), tableBlock(g)}
}

// houseRows are kit, ages, drills and guards that need somebody.
func (v readyView) houseRows() [][]string {
	var rows [][]string
	for _, a := range v.Ages {
		if a.Problem != "" {
			rows = append(rows, []string{a.Store, a.Problem})
		}
	}
	for _, k := range v.Kit {
		if !k.OK {
			rows = append(rows, []string{k.Item, k.Problem})
		}
	}
	for _, d := range v.Drills {
		switch {
		case d.Overdue && d.Due == nil:
			rows = append(rows, []string{d.What, "never done"})
		case d.Overdue:
			rows = append(rows, []string{d.What, "overdue since " + *d.Due})
		}
	}
	for _, t := range v.UntestedGuards {
		since := "never tested"
		if t.Tested != nil {
			since = "last tested " + *t.Tested + ", over a year ago"
		}
		rows = append(rows, []string{t.On + ": " + t.Guard, since + "; it does not count"})
	}
	return rows
}

// allowed prints a deadline; "-" for none.
func allowed(h float64) string {
	if h <= 0 {
		return "-"
	}
	return units.Hours(h)
}
