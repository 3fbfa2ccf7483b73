package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// statusBlocks are the screen of "incident status": 24 lines of 80 columns.
func (n *night) statusBlocks(s incidentStatus) []block {
	levels := n.levels()
	levels.Tight = true
	out := append([]block{para("%s", n.headline(s))}, slices.Concat(n.breachLines(s.Beyond), n.reckonedLines())...)
	if len(n.Goals) > 0 {
		out = append(out, levels)
	}
	out = append(out, para("%s", n.waterText(s)))
	text := n.findingText(s)
	switch {
	case text != "":
		out = append(out, line("%s", text))
	case s.Changes == 0 && n.Log.ClosedAt == nil && len(n.Goals) > 0:
		out = append(out, line("%s", sampleFirst))
	}
	out = append(out, n.dueLines()...)
	if s.Plan != nil {
		first, rest := n.planBlocks(*s.Plan)
		if len(rest) > 0 { // --all has the whole table
			onlyOnScreen(first[len(first)-1:]...)
		}
		out = append(out, first...)
	}
	lines := n.nextLines(s)
	if len(n.Goals) > mostGoals {
		lines = lines[:1]
	}
	return append(out, lines...)
}

func (n *night) headline(s incidentStatus) string {
	zone := n.Site.TimeZone
	if n.Log.ClosedAt != nil {
		return fmt.Sprintf("%s on %s, %s to %s: closed.", s.Event, s.System, clockText(n.Log.OpenedAt, zone), clockText(*n.Log.ClosedAt, zone))
	}
	since := n.State.Now.Sub(n.Log.OpenedAt).Hours()
	if since < 0 { // asked for at a moment before it
		return fmt.Sprintf("%s on %s, opened %s.", s.Event, s.System, clockText(n.Log.OpenedAt, zone))
	}
	return fmt.Sprintf("%s on %s, open since %s (%s).", s.Event, s.System, clockText(n.Log.OpenedAt, zone), units.Hours(since))
}

func changesText(s incidentStatus, u units.System) string {
	if s.Changes == 0 {
		return "no change made yet"
	}
	return counted(s.Changes, "change") + " made, " + u.Volume(s.ChangedL, units.Nearest)
}

// levels is the table of goals.
func (n *night) levels() block {
	g := grid{Header: []string{"what", "now", "goal", "expected", "results", "verdict"}, Right: []int{4}}
	for _, goal := range n.Goals {
		if goal.Finding == nil {
			g.Rows = append(g.Rows, []string{substance(""), units.Percent(goal.Left, 0) + " left", units.Percent(goal.Target, 0), "-", "-", verdictWords(goal.Verdict)})
			continue
		}
		target, predicted := "-", "-"
		if goal.Target > 0 {
			target = levelText(goal.Contaminant, goal.Target, 0)
		}
		if p := goal.Finding.Predicted; p != nil {
			predicted = levelText(goal.Contaminant, *p, goal.Target)
		}
		g.Rows = append(g.Rows, []string{substance(goal.Contaminant), nowText(goal), target, predicted, fmt.Sprint(len(goal.Finding.Series.Samples)), verdictWords(goal.Verdict)})
	}
	return tableBlock(withoutEmpty(g, expectedColumn))
}

// expectedColumn is the place of what the supposed start and the changes lead to.
const expectedColumn = 3

// withoutEmpty leaves out a column in which nothing stands.
func withoutEmpty(g grid, column int) grid {
	if slices.ContainsFunc(g.Rows, func(r []string) bool { return r[column] != "-" }) {
		return g
	}
	drop := func(r []string) []string { return slices.Delete(slices.Clone(r), column, column+1) }
	out := grid{Header: drop(g.Header)}
	for _, r := range g.Right {
		if r > column {
			r--
		}
		out.Right = append(out.Right, r)
	}
	for _, r := range g.Rows {
		out.Rows = append(out.Rows, drop(r))
	}
	return out
}

func (n *night) waterText(s incidentStatus) string {
	u := n.units
	text := fmt.Sprintf("Incident %d: %s. Water: %s (%s), salinity %s (%s). Used of a day's limits: %s of %s, salinity %s of %s.",
		s.Incident, changesText(s, u), u.Temperature(s.Water.TempC), s.Water.TempBasis, units.Fixed(s.Water.Salinity, 1), s.Water.SalinityBasis,
		units.Fixed(stepIn(u, s.Used.TemperatureC), 1), u.TempStep(s.Limits.TemperatureC), units.Fixed(s.Used.Salinity, 1), units.Fixed(s.Limits.Salinity, 1))
	if n.Log.ClosedAt != nil {
		return text
	}
	text += " The next change may start " + n.nextText() + "."
	var stores []string
	for _, st := range s.Stores {
		if st.Holds == site.Saltwater {
			stores = append(stores, fmt.Sprintf("%s %s (%s)", st.ID, st.UsableL.down(u), strings.ToLower(storeWords(st))))
		}
	}
	if len(stores) > 0 {
		text += " In reach: " + strings.Join(stores, ", ") + "."
	}
	var others []string
	for _, l := range n.Besides {
		others = append(others, l.Opening.System)
	}
	if len(others) > 0 {
		text += fmt.Sprintf(" Planned together with %s (open too), the most pressing first.", listed(others))
		if s.AloneAtH != nil {
			text += fmt.Sprintf(" Alone this is done %s%s.", clockText(n.State.Now.Add(hoursSince(*s.AloneAtH)), n.Site.TimeZone), n.ranked())
		}
	}
	return text
}

// ranked says how the water goes to this incident first.
func (n *night) ranked() string {
	if !n.Log.Opening.Event {
		return ""
	}
	return fmt.Sprintf(": to be served first, priority: 1 in event %s of the site file", n.Log.Opening.Name)
}

func stepIn(u units.System, k float64) float64 {
	if u == units.US {
		return k * 9 / 5
	}
	return k
}

func (n *night) nextText() string {
	if !n.NextChange.After(n.State.Now) {
		return "now"
	}
	return clockText(n.NextChange, n.Site.TimeZone)
}

// sampleFirst is what cannot be made up for once water has gone out.
const sampleFirst = "Nothing is measured yet: fill a clean bottle from the tank before the first change."

// findingText says what the results say, and what would decide.
func (n *night) findingText(s incidentStatus) string {
	f := n.mainFinding()
	if f == nil || len(f.Series.Samples) == 0 {
		return ""
	}
	text := explanationText(*f)
	if len(s.Contradictions) > 0 {
		c := s.Contradictions[0]
		return fmt.Sprintf("Entries %d and %d are of one water and cannot both be right: the higher (entry %d) counts until the wrong one is taken back: tidehold incident undo NUMBER%s%s", min(c.HeldOut, c.Counted), max(c.HeldOut, c.Counted), c.Counted, n.which(), n.here)
	}
	if s.Surprise != nil {
		return surpriseText(*s.Surprise)
	}
	if d := f.Decider; d != nil {
		when := f.Series.T0.Add(hoursSince(d.AtH))
		if next, planned := n.nextPlanned(s); n.unentered != nil || planned && !when.Before(next) {
			// The levels are those without another change, also one that is not entered.
			return text + " Take a sample right before each change."
		}
		at := clockText(when, n.Site.TimeZone)
		tail := ""
		if !d.Enough {
			tail = " (a smaller ± would be needed to be sure)"
		}
		level := func(x float64) string { return levelText(f.Series.Contaminant, x, max(d.IfOne, d.IfOther)) }
		text += fmt.Sprintf(" A sample at %s would help to decide: %s %s, %s %s%s.", at, level(d.IfOne), ifText(d.One), level(d.IfOther), ifText(d.Other), tail)
	}
	return text
}

// surpriseText says that one result stands against the others.
func surpriseText(entry int) string {
	return fmt.Sprintf("Entry %d does not fit the others: it is held out of the plan until a second sample confirms it. Was anything changed or added that nobody entered?", entry)
}

// nextPlanned is when the plan from here begins its first change; false where it has none.
func (n *night) nextPlanned(s incidentStatus) (time.Time, bool) {
	if s.Plan == nil || len(s.Plan.Steps) == 0 {
		return time.Time{}, false
	}
	return n.State.Now.Add(hoursSince(s.Plan.Steps[0].AtH)), true
}

// explanationText is the explanation in a sentence.
func explanationText(f incident.Finding) string {
	switch f.Explanation {
	case incident.Dilution:
		return "The results are what the changes alone explain."
	case incident.StillAdding:
		return fmt.Sprintf("Something is still adding it: %s ± %s mg/h. Find it and stop it.", units.Significant(f.Chosen.SourceMgH.Value, 2), units.Significant(f.Chosen.SourceMgH.U(), 2))
	case incident.ComingBack:
		return "It is coming back from rock and sand: changes will be needed for longer."
	case incident.TakenOut:
		return fmt.Sprintf("More is taken out than the changes explain, as carbon or resin cleaning %s L/h would.", units.Significant(f.Chosen.CleanedLH.Value, 2))
	}
	switch {
	case f.MoreIn:
		return "More comes in than the changes explain; a source and rock that gives it back cannot be told apart yet."
	case f.LessIn:
		return "Less is there than the changes explain; why cannot be told yet."
	case len(f.Series.Samples) == 1:
		return "One result: it sets the start, and cannot yet say whether anything else acts."
	}
	return "Whether anything but the changes acts cannot be told yet."
}

func ifText(e incident.Explanation) string {
	switch e {
	case incident.StillAdding:
		return "if something is still adding"
	case incident.ComingBack:
		return "if it comes back from rock"
	case incident.TakenOut:
		return "if carbon takes it out"
	}
	return "if the changes alone act"
}

// mostGoals is with how many goals a screen still has room for the command that enters what is next.
const mostGoals = 2

// shownDoings is how much of the plan a screen shows.
const shownDoings = 2

// planBlocks are the first things to do of the plan from here, and the rest.
func (n *night) planBlocks(p plan.Plan) (first, rest []block) {
	if len(p.Steps) == 0 {
		return nil, nil
	}
	v := n.view(p)
	asleep := ""
	if hours := startHours(n.Site.Awake); hours != "" && p.Steps[len(p.Steps)-1].AtH > site.AlwaysAwakeH {
		asleep = " " + units.UpperFirst(hours) + " from now."
		if p.InTimeAwake() {
			asleep = strings.TrimSuffix(asleep, ".") + "; getting up for each is in time."
		}
	}
	g := v.doings()
	g.Title = "The plan from here: " + n.planText(p)
	if len(g.Rows) > shownDoings {
		all := g
		rest = []block{tableBlock(all)}
		g.Rows = g.Rows[:shownDoings]
	}
	table := tableBlock(g)
	table.Tight, table.Short = true, g.Title+"; --all prints it."
	return []block{para("%s Measure new water before pouring%s.%s%s", dryCaution, n.warmThen(), countedOn(p.Heated(n.Site.Stores, warmer)), asleep), table}, rest
}

// warmThen says that the plan counts on the tank's own heaters to have it warmer by the next change than it is now:
// nobody has seen that yet.
func (n *night) warmThen() string {
	then := n.State.Demand.Now
	if then == nil || then.Temperature <= n.State.Water.State.Temperature+warmer {
		return ""
	}
	return fmt.Sprintf(", and the tank: enter it first if it is not back at %s", n.units.Temperature(then.Temperature))
}

// view is the plan from here as dilute shows a plan, its changes counted on from those made. A
// share is counted from what was there at the beginning of the incident, not of the plan.
func (n *night) view(p plan.Plan) siteView {
	p.Steps = slices.Clone(p.Steps)
	for i := range p.Steps {
		p.Steps[i].Levels = slices.Clone(p.Steps[i].Levels)
		if p.Demand.Aims[0].Share() {
			p.Steps[i].Levels[0].After *= n.leftNow()
		}
	}
	v := siteView{planView: planView{Plan: p, units: n.units}, at: n.State.Now.In(n.Site.TimeZone), stores: n.Site.Stores, made: n.Log.Changes(n.System)}
	if n.Rest != nil {
		v.made-- // the one to be finished is among them
	}
	return v
}

// leftNow is the share that is left now, by which a plan's shares are counted.
func (n *night) leftNow() float64 {
	for _, g := range n.Goals {
		if g.Finding == nil {
			return g.Left
		}
	}
	return 1
}

// planText says when the plan is done, or what it lacks, and which limit of the animals makes its changes small.
func (n *night) planText(p plan.Plan) string {
	text := n.planDone(p)
	if p.InTime {
		return text
	}
	for _, s := range p.Steps {
		if l := s.LimitedBy; l.OfAnimals() {
			return text + "; limited by " + l.Words()
		}
	}
	return text
}

// planDone is when the plan is done, or what it lacks.
func (n *night) planDone(p plan.Plan) string {
	head, done := counted(len(p.Steps), "change")+", "+p.Litres(n.units)+", ", "done"
	if p.RisesAgain() >= 0 {
		done = "done for the moment"
	}
	switch {
	case p.DoneAtH != nil && p.InTime:
		return head + done + " " + clockText(n.State.Now.Add(hoursSince(*p.DoneAtH)), n.Site.TimeZone)
	case p.DoneAtH != nil:
		return head + done + " late, " + clockText(n.State.Now.Add(hoursSince(*p.DoneAtH)), n.Site.TimeZone)
	case p.LackingL != nil && *p.LackingL > 0:
		return head + "not enough: " + n.units.Volume(*p.LackingL, units.Up) + " more now would do"
	}
	return head + "never done: " + lackText(p, n.units)
}

// detail is what stands behind the screen: predicted against measured, the whole record.
func (n *night) detail(s incidentStatus) []block {
	var out []block
	if s.Plan != nil {
		_, rest := n.planBlocks(*s.Plan)
		out = append(out, rest...)
	}
	for _, g := range n.Goals {
		if g.Finding == nil || len(g.Finding.Series.Samples) == 0 {
			continue
		}
		out = append(out, heading("Predicted and measured: "+substance(g.Contaminant)))
		out = append(out, measuredPicture(g, n.State.Now)...)
	}
	return append(out, heading("The record"), n.timeline())
}

// timeline is every entry in order of time.
func (n *night) timeline() block {
	g := grid{Header: []string{"when", "entry", "what"}, Right: []int{1}}
	for _, it := range n.Log.Items {
		what := itemText(n.Log, it, n.units)
		if !it.Written.IsZero() && it.Written.Sub(it.At) > time.Hour {
			what += " (written " + clockText(it.Written, n.Site.TimeZone) + ")"
		}
		g.Rows = append(g.Rows, []string{clockText(it.At, n.Site.TimeZone), fmt.Sprint(it.ID), what})
	}
	return tableBlock(g)
}
