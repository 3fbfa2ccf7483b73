package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/response/readiness"
)

func atHour(h float64) *float64 { return &h }

// said are the words of blocks, a row of a table in brackets.
func said(blocks []block) string {
	var parts []string
	for _, b := range blocks {
		if b.Table == nil {
			parts = append(parts, b.Heading+b.Text)
			continue
		}
		for _, r := range b.Table.Rows {
			parts = append(parts, fmt.Sprint(r))
		}
	}
	return strings.Join(parts, "\n")
}

// eventsOf are events with these verdicts, one each, named by them.
func eventsOf(verdicts ...readiness.Verdict) (list []readiness.Event) {
	for i, v := range verdicts {
		list = append(list, readiness.Event{ID: fmt.Sprintf("%s-%d", v, i), System: "tank", Verdict: v, Reason: "why", Today: readiness.Today{Verdict: v}})
	}
	return list
}

// The verdict of a site has the count behind it, and says when all are covered but not all at once.
func TestTheHeadlineCounts(t *testing.T) {
	for want, v := range map[string]readyView{
		"covered. Ready for 1 event.":    {Result: readiness.Result{Verdict: readiness.Covered, Events: eventsOf(readiness.Covered)}},
		"late. Ready for 1 of 3 events.": {Result: readiness.Result{Verdict: readiness.Late, Events: eventsOf(readiness.Covered, readiness.Late, readiness.Late)}},
		"late. Ready for each of 2 events alone, but not for all that may strike at once.": {Result: readiness.Result{Verdict: readiness.Late, Events: eventsOf(readiness.Covered, readiness.Covered)}},
	} {
		if got := v.headline(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// How an event fares today is said where it fares otherwise: another verdict, or another hour.
func TestTodayIsSaidWhereItIsOtherwise(t *testing.T) {
	for _, c := range []struct {
		then, today readiness.Verdict
		thenH, nowH *float64
		want        string
	}{
		{readiness.Covered, readiness.Covered, atHour(3), atHour(3), "the same"},
		{readiness.Covered, readiness.Covered, atHour(3), atHour(2), "2 h"},
		{readiness.Late, readiness.Covered, atHour(3), atHour(2), "covered"},
		{readiness.Short, readiness.Short, nil, nil, "the same"},
		{readiness.Short, readiness.Late, nil, atHour(2), "late"},
		{readiness.Covered, readiness.Short, atHour(3), nil, "short"},
	} {
		e := readiness.Event{Verdict: c.then, DoneAtH: c.thenH, Today: readiness.Today{Verdict: c.today, DoneAtH: c.nowH}}
		if got := (readyView{}).today(e); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

// The first change says its litres, and when it begins where it does not begin at once: in whole hours from one on.
func TestTheFirstChangeSaysWhenItBegins(t *testing.T) {
	step := func(atH float64) *plan.Plan {
		return &plan.Plan{Steps: []plan.Step{{N: 1, AtH: atH, RemoveL: 120, AddL: 120, From: []plan.Draw{{StoreID: "vat", Litres: 120}}}}}
	}
	for _, c := range []struct {
		plan  *plan.Plan
		first float64
		want  string
	}{
		{nil, 0, "none"}, {&plan.Plan{}, 0, "none"}, {step(0), 120, "120 L"}, {step(0.5), 0, "120 L in 30 min"}, {step(1.4), 0, "120 L in 1 h"}, {step(1.6), 0, "120 L in 2 h"},
	} {
		v := readyView{units: units.Metric}
		if got := v.firstChange(readiness.Event{Plan: c.plan, FirstChangeL: c.first}); got != c.want {
			t.Errorf("%+v: %q, want %q", c.plan, got, c.want)
		}
	}
}

// A screen holds seven events and three combinations, the worst first; what it leaves out is counted, and --all
// leaves out nothing.
func TestAScreenCountsWhatItLeavesOut(t *testing.T) {
	v := readyView{units: units.Metric}
	v.Events = eventsOf(readiness.Covered, readiness.Covered, readiness.Covered, readiness.Covered, readiness.Covered, readiness.Covered, readiness.Covered, readiness.Short, readiness.Late)
	for k := range 5 {
		v.Together = append(v.Together, readiness.Together{Events: []string{"a", fmt.Sprint("b", k)}, Verdict: readiness.Late})
	}
	screen, all := said(v.table(mostEventRows)), said(v.table(len(v.Events)))
	if !strings.HasPrefix(screen, "[short-7 short never - none the same]\n[late-8 ") || strings.Count(screen, "[") != 7 || strings.Count(screen, " at once: late.") != 3 {
		t.Error(screen)
	}
	for _, want := range []string{"2 more events, none worse than these: --all prints them.", "2 more combinations: --all prints them."} {
		if !strings.Contains(screen, want) {
			t.Errorf("no %q in %s", want, screen)
		}
	}
	if strings.Contains(all, "more") || strings.Count(all, "[") != 9 || strings.Count(all, " at once: late.") != 5 {
		t.Error(all)
	}
	v.Events, v.Together = v.Events[:mostEventRows], v.Together[:mostTogether]
	if got := said(v.table(mostEventRows)); strings.Contains(got, "more") {
		t.Error(got)
	}
}

// Which stock is judged is said with what can be drawn of it, and today's beside it where it is another.
func TestTheStockThatIsJudged(t *testing.T) {
	v := readyView{units: units.Metric}
	if got := v.stock().Text; got != "No event is named." {
		t.Errorf("%q", got)
	}
	v.Events = []readiness.Event{{UsableNowL: 182, Today: readiness.Today{UsableNowL: 272}}}
	if got := v.stock().Text; got != "272 L of saltwater to draw at once." {
		t.Errorf("%q", got)
	}
	v.WorstDay = readiness.WorstDay{RoutineL: 90, DrawnL: 90}
	if got := v.stock().Text; got != "Judged just after the regular changes (90 L): 182 L to draw, today 272 L." {
		t.Errorf("%q", got)
	}
	v.WorstDay.RoutineL = 130
	if got := v.stock().Text; got != "Judged just after the regular changes (90 L of 130 L): 182 L to draw, today 272 L." {
		t.Errorf("%q", got)
	}
}

// What else would catch the site out: one thing in full, several by name, a fourth counted.
func TestWhatIsToBeSeenTo(t *testing.T) {
	due, tested := "2026-11-01", "2024-03-01"
	v := readyView{}
	if got := v.house(); got != nil {
		t.Errorf("%v", got)
	}
	v.Ages = []readiness.AgeCheck{{Store: "fresh"}, {Store: "vat-b", Problem: "12 d over its age; test it"}}
	v.Kit = []readiness.KitCheck{{Item: "gloves", OK: true}}
	if got := said(v.house()); got != "To see to: vat-b: 12 d over its age; test it." {
		t.Errorf("%q", got)
	}
	v.Kit = append(v.Kit, readiness.KitCheck{Item: "pump", Problem: "1 lacks"})
	v.Drills = []readiness.DrillCheck{{What: "move 20 %", Overdue: true}, {What: "power cut", Overdue: true, Due: &due}, {What: "leak", Due: &due}}
	v.UntestedGuards = []readiness.GuardCheck{{On: "heater-1", Guard: "cut-out"}, {On: "heater-2", Guard: "cut-out", Tested: &tested}}
	if got := said(v.house()); got != "To see to (--all says what to do): vat-b (12 d over its age), pump (1 lacks), move 20 % (never done) and 3 more." {
		t.Errorf("%q", got)
	}
	want := "In the house\n[vat-b 12 d over its age; test it]\n[pump 1 lacks]\n[move 20 % never done]\n[power cut overdue since 2026-11-01]\n" +
		"[heater-1: cut-out never tested; it does not count]\n[heater-2: cut-out last tested 2024-03-01, over a year ago; it does not count]"
	if got := said(v.houseTable()); got != want {
		t.Errorf("%q", got)
	}
	v.Drills, v.UntestedGuards = v.Drills[:1], nil
	if got := said(v.house()); strings.Contains(got, "more") {
		t.Errorf("three have room: %q", got)
	}
}

// What an event asks of people: pumping, carrying, salt, how many, and what the vats take besides.
func TestTheWorkOfAnEvent(t *testing.T) {
	v := readyView{units: units.Metric}
	for want, w := range map[string]readiness.Work{
		"":                                     {},
		"Work: 30 min of pumping, out and in.": {Moved: readiness.Moved{PumpMin: 30}},
		"Work: 30 min of pumping, out and in for one person.":                                                                                  {Moved: readiness.Moved{PumpMin: 30}, People: 1},
		"Work: 30 min of pumping, out and in; 12 bucket trips (123.6 kg in all) for 2 people.":                                                 {Moved: readiness.Moved{PumpMin: 30, BucketTrips: 12, CarriedKg: 123.6}, People: 2},
		"Work: 4.20 kg of salt to weigh and pour.":                                                                                             {SaltKg: 4.2},
		"Work: 1 bucket trip (10.3 kg in all) for one person. For the vats, which no time above counts, 6 min of pumping.\nCAUTION: two lift.": {Moved: readiness.Moved{BucketTrips: 1, CarriedKg: 10.3}, Vats: readiness.Moved{PumpMin: 6}, People: 1, Caution: "two lift"},
	} {
		if got := said(v.work(w)); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Which assumed values decide, what each changes, and what says how it is.
func TestWhichAssumedValuesDecide(t *testing.T) {
	if got := said(whyBlocks(readiness.Why{Tried: 4}, "Quay", 1)); got != "Quay: the 1 assumed value does not decide: no verdict flips and no plan moves by a tenth, whichever end of its plausible range is true (4 have one)." {
		t.Errorf("%q", got)
	}
	d := readiness.Decider{What: "heel of vat", Value: "12 L", Low: "2 L", High: "20 L", At: "20 L", Measure: "pump it dry", Basis: "common practice", Changes: []readiness.Difference{
		{Event: "spill", From: readiness.Covered, To: readiness.Late}, {Event: "leak", From: readiness.Late, To: readiness.Late, LitresBy: -0.12}, {Event: "gas", From: readiness.Late, To: readiness.Late, LitresBy: 0.3}}}
	one := "Quay: 1 of 9 assumed values decides: at an end of its plausible range a verdict flips or the litres move by a tenth.\nheel of vat: 12 L is assumed, 2 L to 20 L is plausible.\n" +
		"  With 20 L: spill late instead of covered; leak takes 12 % less water; gas takes 30 % more water.\n  To know: pump it dry. (common practice)"
	if got := said(whyBlocks(readiness.Why{Tried: 4, Deciders: []readiness.Decider{d}}, "Quay", 9)); got != one {
		t.Errorf("%q", got)
	}
	got := said(whyBlocks(readiness.Why{Tried: 4, Skipped: 2, Deciders: []readiness.Decider{d, d}}, "Quay", 9))
	if !strings.HasPrefix(got, "Quay: 2 of 9 assumed values decide:") || !strings.HasSuffix(got, "2 more values with a plausible range were not tried: too many.") {
		t.Errorf("%q", got)
	}
}

// What is to be bought covers everything, or the rest, and says what nothing covers; where none was found, that.
func TestWhatTheListOfPurchasesCovers(t *testing.T) {
	cost := 12.6
	salt := readiness.Fix{What: readiness.MoreSalt, Amount: 4, Where: "house", Cost: &cost}
	short := readiness.Result{Verdict: readiness.Short, Events: eventsOf(readiness.Short, readiness.Late, readiness.Covered)}
	const row = "[4.00 kg more salt (house) 12.60 EUR all failing]\n"
	for _, c := range []struct {
		with func(*readiness.Result)
		want string
	}{
		{func(*readiness.Result) {}, "No set of purchases was found that covers everything; --all lists what helps which event."},
		{func(r *readiness.Result) { r.Verdict = readiness.Covered }, ""},
		{func(r *readiness.Result) { r.Verdict = readiness.Unknown }, ""},
		{func(r *readiness.Result) {
			r.Shopping = []readiness.Purchase{{Fix: salt, Covers: []string{"short-0", "late-1"}}}
		}, row + "That covers every event: planned again with it."},
		{func(r *readiness.Result) {
			r.Shopping = []readiness.Purchase{{Fix: salt, Covers: []string{"short-0", "late-1"}}, {Fix: salt, Covers: []string{"late-1"}}}
			r.Together = []readiness.Together{{Verdict: readiness.Covered}}
		}, row + "[4.00 kg more salt (house) 12.60 EUR late-1]\nAll of it covers every event, alone and at once: planned again with it."},
		{func(r *readiness.Result) {
			r.Shopping, r.NotByPurchase = []readiness.Purchase{{Fix: salt, Covers: []string{"late-1"}}}, []string{"short-0"}
		}, "[4.00 kg more salt (house) 12.60 EUR late-1]\nThat covers the rest: planned again with it.\nNothing to buy or do covers short-0 in the time allowed; ready --event short-0 says what limits it."},
		{func(r *readiness.Result) { // what it is part of is not named beside it, where it is in time awake neither
			r.NotByPurchase = []string{"short-0", "late-1 + covered-2", "short-0 + late-1"}
			r.Together = []readiness.Together{{Events: []string{"late-1", "covered-2"}}, {Events: []string{"short-0", "late-1"}}}
		}, "Nothing to buy or do covers short-0 and late-1 + covered-2 in the time allowed, alone or at once; ready --event short-0 says what limits it."},
		{func(r *readiness.Result) {
			r.NotByPurchase, r.PartSteps = []string{"short-0"}, []readiness.Purchase{{Fix: salt, Covers: []string{"late-1"}}, {Fix: salt}}
		}, "Nothing to buy or do covers short-0 in the time allowed; ready --event short-0 says what limits it.\nOnly for late-1: 4.00 kg more salt (house), 12.60 EUR."},
	} {
		v := readyView{Result: short, units: units.Metric, currency: "EUR"}
		c.with(&v.Result)
		if got := said(v.shopping()); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	v := readyView{Result: short, units: units.Metric}
	v.PartSteps = []readiness.Purchase{{Fix: salt, Covers: []string{"late-1"}}}
	if got := said(v.shopping()); !strings.HasSuffix(got, "Only for late-1: 4.00 kg more salt (house), cost 12.60.") {
		t.Errorf("without a currency: %q", got)
	}
}

// A page draws each event, be it one, and nothing where there is none.
func TestAPageDrawsEachEvent(t *testing.T) {
	v := readyView{units: units.Metric}
	if got := v.bars(); got != nil {
		t.Errorf("%v", got)
	}
	v.Events = eventsOf(readiness.Short)
	if got := v.bars(); len(got) != 1 || got[0].Figure == nil || !strings.Contains(got[0].Figure.SVG, "short-0") {
		t.Errorf("%+v", got)
	}
}

// Each remedy stands beside its event; what no remedy was found for is named, be it one.
func TestWhatMendsEachEvent(t *testing.T) {
	salt := readiness.Fix{What: readiness.MoreSalt, Amount: 4, Where: "house"}
	v := readyView{units: units.Metric, Result: readiness.Result{Events: eventsOf(readiness.Covered, readiness.Short, readiness.Unknown)}}
	if got := said(v.remedies()); got != "No single remedy and no pair was found for short-1." {
		t.Errorf("%q", got)
	}
	v.Events[1].Fixes = []readiness.Fix{salt, salt}
	v.Together = []readiness.Together{{Events: []string{"a", "b"}, Fixes: []readiness.Fix{salt}}}
	const want = "What mends it\n[short-1 4.00 kg more salt (house) ]\n[ 4.00 kg more salt (house) ]\n[a + b 4.00 kg more salt (house) ]"
	if got := said(v.remedies()); got != want {
		t.Errorf("%q", got)
	}
}

// Of several sites each has a row: how many of its events fail, and what to buy or do, one after the other.
func TestEachOfSeveralSitesHasARow(t *testing.T) {
	dir := t.TempDir()
	both := filepath.Join(dir, "*.yaml")
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("format: 1\nsystems: [{id: tank, net_volume: 400 L, drawdown: 45 %}]\n"+text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	const vat = "stores: [{id: vat, holds: saltwater, capacity: 300 L, salinity: 35, temperature: 25 C, mixed: 2026-11-24, "
	const rest = "}]\nevents: [{id: spill, system: tank, playbook: unknown-substance, remove: 40 %, within: 24 h}]\n"
	write("full.yaml", vat+"volume: 200 L"+rest)
	write("low.yaml", vat+"volume: 10 L"+rest)
	code, out, errs := tidehold("ready", "--site", both, "--format", "csv")
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if code != exitNo || err != nil || len(rows) != 3 {
		t.Fatalf("exit %d, %v: %s%s", code, err, out, errs)
	}
	_, out, _ = tidehold("ready", "--site", both)
	if !strings.Contains(out, " 1 of 1  150 L more saltwater in vat") || !strings.Contains(out, " 0 of 1") {
		t.Error(out)
	}
	write("low.yaml", vat+"volume: 200 L"+rest)
	if code, _, _ := tidehold("ready", "--site", both); code != exitDone {
		t.Errorf("two sites that are covered: exit %d", code)
	}
}
