package readiness

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/figure"
	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// event judges one event alone on the worst day, and says how it fares today;
// remedies excluded.
func (j judge) event(today, day plans, ev site.Event) (Event, schedule.Outcome) {
	e := Event{ID: ev.ID, System: ev.System, WithinH: ev.WithinH, Fixes: []Fix{}, Steps: []plan.Shown{}, Curves: noCurves()}
	q, err := j.scenarioOf(ev)
	var out schedule.Outcome
	if err == nil {
		out, err = day.run(q, false)
	}
	if err != nil {
		e.Verdict, e.Missing = Unknown, err.Error()
		e.Reason, e.Today.Verdict = "cannot be worked out: "+e.Missing, Unknown
		return e, schedule.Outcome{}
	}
	made := out.Plans[0]
	e.fill(&made, j.units)
	e.Work = j.workFor(made)
	if e.Restock, err = restockAfter(j.site, made.Demand.System, takenBy(made), purifierRate(j.site)); err != nil {
		out.Warnings = append(out.Warnings, fmt.Sprintf("%s: what to restock is not known: %v", ev.ID, err))
	}
	if w := day.withMedia(j.worst, q[0]); w != nil {
		e.WithMedia = &EventWithMedia{Verdict: withMediaVerdict(w), DoneAtH: w.DoneAtH, WaterL: w.WaterL, Media: w.Media}
	}
	e.Today = onToday(e.Plan)
	if j.day.DrawnL > 0 {
		e.fillToday(today, q)
	}
	return e, out
}

// fillToday says how the event fares on today's stock, where that is another than it is judged on. In
// brief, of one that fails there, no more is said than that it is covered or short today: neither takes a
// search for the best plan.
func (e *Event) fillToday(today plans, q scenario) {
	today.opt.AnyInTime = today.opt.Unproved && e.Verdict.Fails()
	now, err := today.run(q, false)
	if err != nil {
		return
	}
	if e.Today = onToday(&now.Plans[0]); today.opt.AnyInTime && e.Today.Verdict != Late {
		e.Today = Today{Verdict: e.Today.Verdict, UsableNowL: e.Today.UsableNowL}
	}
}

// onToday is what a plan on today's stock says.
func onToday(p *plan.Plan) Today {
	return Today{Verdict: verdictOf(p, 0), DoneAtH: p.DoneAtH, UsableNowL: p.UsableNowL, Changes: len(p.Steps), WaterL: p.WaterL, Plan: p}
}

func withMediaVerdict(w *plan.WithMedia) Verdict {
	switch {
	case w.DoneAtH == nil:
		return Short
	case !w.InTime:
		return Late
	}
	return Covered
}

// fill takes over what a plan says of its first aim.
func (e *Event) fill(p *plan.Plan, u units.System) {
	e.Plan = p
	e.Verdict = verdictOf(p, 0)
	e.Changes, e.WaterL, e.DoneAtH = len(p.Steps), p.WaterL, p.DoneAtH
	e.Proved, e.GapPercent, e.BestToH = p.Proved, p.GapPercent, p.ExposureToH
	e.UsableNowL, e.FirstChangeL = p.UsableNowL, p.FirstChangeL
	if e.DemandL = p.DemandL; p.DemandL != nil && *p.DemandL > 0 {
		coverage := p.UsableNowL / *p.DemandL
		e.Coverage = &coverage
	}
	e.Steps = p.Shown()
	e.Curves = curvesOf(*p)
	if e.Verdict == Unreachable {
		e.Reason = unreachable(*p, 0)
		return
	}
	e.Reason = e.reason(u)
}

// verdictOf reads the verdict of one aim off a plan.
func verdictOf(p *plan.Plan, aim int) Verdict {
	a := p.Aims[aim]
	switch {
	case !a.Reachable:
		return Unreachable
	case a.DoneAtH == nil:
		return Short
	case !a.InTime:
		return Late
	}
	return Covered
}

// explain finds what holds a failing event back by planning it again with each
// limit a notch looser: the rule of every command that shows the plan.
func (j judge) explain(p plans, ev site.Event, e *Event) {
	q, err := j.scenarioOf(ev)
	if err != nil {
		return
	}
	if out, err := p.run(q, true); err == nil {
		e.binding = out.Plans[0].Binding
	}
}

// conclude says, once what a failing event lacks is known, what holds it back, and in the light of the
// remedies when it could be done at the earliest.
func (e *Event) conclude(u units.System) {
	e.concluded = true
	e.Bottleneck, e.BottleneckDetail = wordFor(e.limiting()), e.binding.WhatLimits(e.DoneAtH, e.LackingL, u)
	for _, f := range e.Fixes {
		if f.What == MoreTime && f.With == nil && e.DoneAtH != nil {
			earliest := e.WithinH + f.Amount
			e.EarliestDoneAtH = &earliest
		}
	}
	e.Reason = e.reason(u)
}

func (e *Event) limiting() plan.Limit { return e.binding.Limiting(e.DoneAtH, e.LackingL) }

// wordFor names a limit in the words of the contract.
func wordFor(l plan.Limit) string {
	if l == plan.ByInterval {
		return "interval"
	}
	return string(l)
}

// workFor is the labour of a plan: each draw by its own pump or by buckets, the
// draining shared out in proportion.
func (j judge) workFor(p plan.Plan) Work {
	var changes [][]move
	for _, s := range p.Steps {
		var moves []move
		for _, d := range s.From {
			m := move{addL: d.Litres, removeL: s.RemoveL * d.Litres / s.AddL}
			if !d.Buckets {
				m.pumpLH = j.pumpOf(d.StoreID)
			}
			moves = append(moves, m)
		}
		changes = append(changes, moves)
	}
	bag := 0.0
	if len(j.site.Salts) > 0 {
		bag = j.site.Salts[0].BagKg
	}
	return workOf(changes, j.vatWork(p), p.SaltKg, bag, j.units)
}

// vatWork is the water that a plan pours away, each vat's by its pump, and the purified water that it
// puts into vats.
func (j judge) vatWork(p plan.Plan) []move {
	var moves []move
	pure := j.purePump()
	for _, x := range p.Prepared {
		moves = append(moves, move{removeL: x.RemoveL, pumpLH: j.pumpOf(x.StoreID)}, move{addL: x.AddL, pumpLH: pure})
	}
	for _, b := range p.Batches {
		moves = append(moves, move{addL: b.PurifiedL, pumpLH: pure})
	}
	return moves
}

// pumpOf is what a store's own pump moves, L/h; 0: it has none.
func (j judge) pumpOf(store string) float64 {
	if st := j.site.StoreByID(store); st != nil && st.TransferLH != nil {
		return *st.TransferLH
	}
	return 0
}

// purePump is what the slowest pump of the stores of purified water moves, L/h; 0: one has none. A plan
// does not say of which the water is.
func (j judge) purePump() float64 {
	slowest := math.Inf(1)
	for i := range j.site.Stores {
		if st := &j.site.Stores[i]; st.Holds == site.Purified {
			slowest = min(slowest, j.pumpOf(st.ID))
		}
	}
	if math.IsInf(slowest, 1) {
		return 0
	}
	return slowest
}

func noCurves() Curves {
	return Curves{Needed: []figure.Total{}, Available: []figure.Total{}, Used: []figure.Total{}}
}

// curvesOf are the running totals for the chart.
func curvesOf(p plan.Plan) Curves {
	c := noCurves()
	sys := p.Demand.System
	if full := sys.Drawdown * float64(sys.NetVolume); full > 0 && p.DemandL != nil {
		for k := range p.DemandChanges {
			c.Needed = append(c.Needed, figure.Total{H: float64(k) * sys.ChangeEveryH, L: math.Min(*p.DemandL, float64(k+1)*full)})
		}
	}
	for _, s := range p.Supply {
		c.Available = append(c.Available, figure.Total{H: s.AtH, L: s.Litres})
	}
	used := 0.0
	for _, s := range p.Steps {
		used += s.AddL
		c.Used = append(c.Used, figure.Total{H: s.AtH, L: used})
	}
	return c
}

// reason says the verdict in a sentence.
func (e *Event) reason(u units.System) string {
	held := ""
	if l := e.limiting(); l != "" {
		held = ", limited by " + l.Words()
	}
	switch e.Verdict {
	case Covered:
		if e.Changes == 0 {
			return "already at its target"
		}
		return "done after " + units.Hours(*e.DoneAtH) + within(e.WithinH)
	case Late:
		s := fmt.Sprintf("done after %s, %s later than allowed%s", units.HoursPast(*e.DoneAtH, e.WithinH), units.Hours(*e.DoneAtH-e.WithinH), held)
		if h := e.EarliestDoneAtH; h != nil && *h < *e.DoneAtH*proofStep {
			// The plan looks for least exposure, not for the earliest finish.
			s += fmt.Sprintf("; hurried, with more exposure until then, it is done after %s, still %s late", units.HoursTo(*h, units.Up), units.HoursTo(*h-e.WithinH, units.Up))
		}
		return s
	}
	lacks := ""
	switch {
	case e.LackingL != nil:
		lacks = "; " + plan.LacksWords(*e.LackingL, e.Plan.Demand.System, u) + butNot(*e.LackingL, e.tooMuchL, u)
	case e.concluded:
		lacks = "; more stored water alone would not do it in time"
	}
	if e.Changes == 0 {
		return fmt.Sprintf("never done: no change can be made%s%s", held, lacks)
	}
	are := "are"
	if e.Changes == 1 {
		are = "is"
	}
	return fmt.Sprintf("never done: %s, the best for the first %s, %s not enough%s%s", units.Count(e.Changes, "change"), units.Hours(e.BestToH), are, held, lacks)
}

// butNot is where more than what is lacking no longer does; "" where it always does.
func butNot(lackingL, tooMuchL float64, u units.System) string {
	if tooMuchL <= 0 {
		return ""
	}
	most := u.Volume(tooMuchL, units.Down)
	if most == u.Volume(lackingL, units.Up) {
		return ", but hardly more"
	}
	return ", but not " + most
}

// within is the time allowed, as the end of a sentence.
func within(h float64) string {
	if h <= 0 {
		return "; no time limit is set"
	}
	return " of the " + units.Hours(h) + " allowed"
}

// unreachable says what keeps the level above the target for good.
func unreachable(p plan.Plan, aim int) string {
	a, r := p.Demand.Aims[aim], p.Aims[aim]
	level := func(ugL float64) string { return plan.LevelText(a.Contaminant, ugL, a.Target) }
	cause := "the new water itself brings " + level(r.Background)
	const source = "the source adds more than the changes take out: stop the source"
	switch {
	case a.SourceMgH > 0 && r.Background == 0:
		cause = source
	case a.SourceMgH > 0:
		cause += " and " + source
	default:
		cause += ": use water that brings less"
	}
	return fmt.Sprintf("no number of changes brings %s below %s (target %s); %s", strings.ReplaceAll(a.Contaminant, "_", " "), level(r.Floor), level(a.Target), cause)
}
