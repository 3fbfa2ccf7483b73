package readiness

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// ptr is a number that may be unknown.
func ptr(x float64) *float64 { return &x }

// TestTheReasonInWords: every sentence by hand. What is lacking is rounded up.
func TestTheReasonInWords(t *testing.T) {
	for want, e := range map[string]Event{
		"already at its target":                                           {Verdict: Covered},
		"done after 24 min of the 2 h allowed":                            {Verdict: Covered, Changes: 1, DoneAtH: ptr(0.4), WithinH: 2},
		"done after 24 min of the 30 min allowed":                         {Verdict: Covered, Changes: 1, DoneAtH: ptr(0.4), WithinH: 0.5},
		"done after 24 min; no time limit is set":                         {Verdict: Covered, Changes: 1, DoneAtH: ptr(0.4)},
		"done after 10 h, 6 h later than allowed":                         {Verdict: Late, Changes: 2, DoneAtH: ptr(10), WithinH: 4},
		"done after 10 h, 6 h later than allowed, limited by mixing time": {Verdict: Late, Changes: 2, DoneAtH: ptr(10), WithinH: 4, binding: plan.Binding{Limit: plan.ByMixing}},
		"done after 10 h, 6 h later than allowed, limited by temperature in one step; hurried, with more exposure until then, it is done after 9 h, still 5 h late": {
			Verdict: Late, Changes: 2, DoneAtH: ptr(10), WithinH: 4, binding: plan.Binding{Limit: plan.TemperatureStep}, EarliestDoneAtH: ptr(9)},
		"never done: no change can be made, limited by water on hand; 200 L more saltwater at the start (salinity 18.0, 25.0 °C) would do": {Verdict: Short, binding: plan.Binding{Limit: plan.ByWater}, LackingL: ptr(200)},
		"never done: 1 change, the best for the first 12 h, is not enough, limited by water on hand; 60.3 L more saltwater at the start (salinity 18.0, 25.0 °C) would do": {
			Verdict: Short, Changes: 1, BestToH: 12, LackingL: ptr(60.21)},
		"never done: 2 changes, the best for the first 2 h, are not enough, limited by salt; more stored water alone would not do it in time": {
			Verdict: Short, Changes: 2, BestToH: 2, binding: plan.Binding{Limit: plan.BySalt}, concluded: true},
		"never done: no change can be made": {Verdict: Short},
	} {
		e.Plan = &plan.Plan{Demand: plan.Demand{System: &site.System{Water: site.Chemistry{Salinity: 18, Temperature: 25}}}}
		if got := e.reason(units.Metric); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// TestWhatKeepsALevelUp: the water that is used, or the source, and what to do about it.
func TestWhatKeepsALevelUp(t *testing.T) {
	p := plan.Plan{Demand: plan.Demand{Aims: []plan.Aim{{Contaminant: "copper", Target: 0.9}}}, Aims: []plan.AimResult{{Floor: 1, Background: 1}}}
	const cannot = "no number of changes brings copper below 1.00 µg/L (target 0.900 µg/L); the new water itself brings 1.00 µg/L"
	if got := unreachable(p, 0); got != cannot+": use water that brings less" {
		t.Error(got)
	}
	p.Demand.Aims[0].SourceMgH = 0.01
	// Total ammonia is told in mg/L and in words, as beside it, and water that brings none is not blamed.
	spoilt := plan.Plan{Demand: plan.Demand{Aims: []plan.Aim{{Contaminant: "ammonia_total", Target: 300, SourceMgH: 60}}}, Aims: []plan.AimResult{{Floor: 320}}}
	if got := unreachable(spoilt, 0); got != "no number of changes brings ammonia total below 0.320 mg/L (target 0.300 mg/L); the source adds more than the changes take out: stop the source" {
		t.Error(got)
	}
	if got := unreachable(p, 0); got != cannot+" and the source adds more than the changes take out: stop the source" {
		t.Error(got)
	}
}

// TestWhatHoldsAFailingEventBack is the limit of its plan, in the words and by the figure of every command
// that shows it: what the cheapest remedy adds stands with the remedies. When it could be done at the
// earliest is what more time alone says.
func TestWhatHoldsAFailingEventBack(t *testing.T) {
	warm := plan.Binding{Limit: plan.ByWarming, To: 100, DoneAtH: ptr(8)}
	water := plan.Binding{Limit: plan.ByWater, To: 40, DoneAtH: ptr(8)}
	wait := plan.Binding{Limit: plan.ByInterval, From: 4, To: 3, DoneAtH: ptr(4)}
	salt := Fix{What: MoreSalt, Amount: 2.681, Unit: "kg"}
	time := Fix{What: MoreTime, Amount: 2.4, Unit: "h"}
	both := Fix{What: MoreTime, Amount: 2.4, Unit: "h", With: &salt}
	for name, c := range map[string]struct {
		e                        Event
		bottleneck, held, detail string
		earliest                 *float64
	}{
		"whatever mends it": {Event{Verdict: Short, binding: warm, Fixes: []Fix{salt}}, "warming", "warming", "warming: never done; with 100 W more in each vat: done after 8 h", nil},
		"what is lacking":   {Event{Verdict: Short, binding: water, LackingL: ptr(12.3)}, "volume", "water on hand", "water on hand: never done; with 12.3 L more at the start: done in time", nil},
		"no amount":         {Event{Verdict: Short, binding: water}, "volume", "water on hand", "water on hand: never done; with 40 L more stored: done after 8 h", nil},
		"time":              {Event{Verdict: Late, DoneAtH: ptr(5), WithinH: 2, binding: wait, Fixes: []Fix{time}}, "interval", "time between changes", "time between changes 4 h: done after 5 h; with 3 h: done after 4 h", ptr(4.4)},
		"time and more":     {Event{Verdict: Late, DoneAtH: ptr(5), WithinH: 2, binding: wait, Fixes: []Fix{both}}, "interval", "time between changes", "time between changes 4 h: done after 5 h; with 3 h: done after 4 h", nil},
		"never, by time":    {Event{Verdict: Short, WithinH: 2, binding: warm, Fixes: []Fix{time}}, "warming", "warming", "warming: never done; with 100 W more in each vat: done after 8 h", nil},
		"nothing":           {Event{Verdict: Short}, "", "", "", nil},
	} {
		e := c.e
		e.Plan = &plan.Plan{Demand: plan.Demand{System: &site.System{}}}
		e.conclude(units.Metric)
		if e.Bottleneck != c.bottleneck || e.BottleneckDetail != c.detail || !same(e.EarliestDoneAtH, c.earliest) || !e.concluded {
			t.Errorf("%s: %q %q, earliest %v", name, e.Bottleneck, e.BottleneckDetail, show(e.EarliestDoneAtH))
		}
		if c.held != "" && !strings.Contains(e.Reason, ", limited by "+c.held) || c.held == "" && strings.Contains(e.Reason, "limited") {
			t.Errorf("%s: %s", name, e.Reason)
		}
	}
}

// TestTheLabourOfAPlan by hand. 100 L are drained, 75 L come back: 60 L by a pump of 600 L/h, 10
// L by buckets from a store that has a pump, 5 L from a delivery. Drained in proportion: 80, 13.3 and 6.7 L.
// Pumped 140 L at 600 L/h: 14 min. Buckets of 10 L: 2 out and 1 in, 1 out and 1 in.
func TestTheLabourOfAPlan(t *testing.T) {
	s := house()
	pump := 600.0
	s.Stores[0].TransferLH = &pump
	s.Salts = []site.Salt{{ID: "house", BagKg: 25}}
	p := plan.Plan{SaltKg: 3, Steps: []plan.Step{{RemoveL: 100, AddL: 75, From: []plan.Draw{{StoreID: "a", Litres: 60}, {StoreID: "b", Litres: 10, Buckets: true}, {Delivery: 1, Litres: 5}}}}}
	w := newJudge(s, now, units.Metric).workFor(p)
	if !(math.Abs(w.PumpMin-14) <= 1e-9) || w.BucketTrips != 5 || w.People != 1 || !(math.Abs(w.CarriedKg-(20+15)*1.03) <= 1e-9) || w.SaltKg != 3 {
		t.Errorf("%+v", w)
	}
	if !strings.HasPrefix(w.Caution, "a bag of 25 kg is over the 23 kg lifting ceiling") {
		t.Error(w.Caution)
	}
	p.Steps[0].From = []plan.Draw{{StoreID: "full", Litres: 75}}
	if w := newJudge(s, now, units.Metric).workFor(p); w.PumpMin != 0 || w.BucketTrips != 10+8 {
		t.Errorf("a store without a pump: %+v", w)
	}
	// 10 L are 2.64 gal and 23 kg 50.7 lb: neither is rounded up; 25 kg are 55.1 lb.
	if w := newJudge(s, now, units.US).workFor(p); !strings.HasPrefix(w.Caution, "a bag of 55.1 lb is over the 50.7 lb lifting ceiling") || !strings.HasSuffix(w.Caution, "no fuller than 2.6 gal") {
		t.Error(w.Caution)
	}
	// For the vats: 60 L out of a by its pump of 600 L/h, 6 min; 30 L out of full, 45 L and 12 L of purified
	// water from a store that has no pump, 3 + 5 + 2 trips; with a pump of 300 L/h 57 L are 11.4 min.
	p.Prepared = []plan.Prepare{{What: plan.Empty, StoreID: "a", RemoveL: 60}, {What: plan.Cut, StoreID: "full", RemoveL: 30, AddL: 12}}
	p.Batches = []plan.Batch{{StoreID: "a", PurifiedL: 45}}
	w = newJudge(s, now, units.Metric).workFor(p)
	if v := w.Vats; !(math.Abs(v.PumpMin-6) <= 1e-9) || v.BucketTrips != 10 || !(math.Abs(v.CarriedKg-87*1.03) <= 1e-9) || w.BucketTrips != 18 || w.People != 1 {
		t.Errorf("%+v", w)
	}
	slow := 300.0
	s.StoreByID("pure").TransferLH = &slow
	if v := newJudge(s, now, units.Metric).workFor(p).Vats; !(math.Abs(v.PumpMin-17.4) <= 1e-9) || v.BucketTrips != 3 {
		t.Errorf("%+v", v)
	}
	s.Stores = slices.DeleteFunc(s.Stores, func(st site.Store) bool { return st.ID == "pure" })
	if v := newJudge(s, now, units.Metric).workFor(p).Vats; !(math.Abs(v.PumpMin-6) <= 1e-9) || v.BucketTrips != 10 {
		t.Errorf("the purifier's own water is carried: %+v", v)
	}
	s.Salts = nil
	if w := newJudge(s, now, units.Metric).workFor(p); strings.Contains(w.Caution, "bag") {
		t.Error(w.Caution)
	}
}

// TestCautionsAboutLifting: salt in bags beyond 23 kg (NIOSH 94-110), at 23 kg none; where no salt is
// mixed the bag stays on its shelf.
func TestCautionsAboutLifting(t *testing.T) {
	for _, c := range []struct {
		saltKg, bagKg float64
		trips         int
		begins        string
	}{
		{0.5, 25, 0, "a bag of 25 kg"}, {5, 23, 0, ""}, {5, 23.5, 4, "a bag of 23.5 kg"}, {0, 25, 0, ""}, {0, 25, 1, "fill buckets to 10 L only"}, {5, 0, 2, "fill buckets to 10 L only"},
	} {
		got := liftingCaution(Work{SaltKg: c.saltKg, Moved: Moved{BucketTrips: c.trips}}, c.bagKg, units.Metric)
		if !strings.HasPrefix(got, c.begins) || c.begins == "" && got != "" {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

// TestTotalsOfAVerySmallSystem: 1.2 L of which half may be out; and no curve of need where
// none is known.
func TestTotalsOfAVerySmallSystem(t *testing.T) {
	sys := site.System{NetVolume: 1.2, Drawdown: 0.5, ChangeEveryH: 4}
	p := plan.Plan{Demand: plan.Demand{System: &sys}, DemandL: ptr(1), DemandChanges: 2}
	if got := fmt.Sprint(curvesOf(p).Needed); got != "[{0 0.6} {4 1}]" {
		t.Error(got)
	}
	p.DemandL = nil
	if got := curvesOf(p).Needed; len(got) != 0 {
		t.Error(got)
	}
	sys.Drawdown, p.DemandL = 0, ptr(1)
	if got := curvesOf(p).Needed; len(got) != 0 {
		t.Error(got)
	}
}

// TestCoverageIsAShareOfTheNeed: half a litre of need is one; where nothing is needed there is no
// share, and no infinity in the answer.
func TestCoverageIsAShareOfTheNeed(t *testing.T) {
	for _, c := range []struct{ need, coverage *float64 }{{ptr(0.5), ptr(0.8)}, {ptr(0), nil}, {nil, nil}, {ptr(1.6), ptr(0.25)}} {
		e := Event{}
		e.fill(&plan.Plan{Demand: plan.Demand{System: &site.System{}}, Aims: []plan.AimResult{{Reachable: true, InTime: true, DoneAtH: ptr(0)}}, DemandL: c.need, UsableNowL: 0.4}, units.Metric)
		if !same(e.Coverage, c.coverage) || e.Bottleneck != "" {
			t.Errorf("needs %v: %v, want %v; held back by %q", show(c.need), show(e.Coverage), show(c.coverage), e.Bottleneck)
		}
		asJSON(t, e)
	}
	for verdict, aim := range map[Verdict]plan.AimResult{Late: {Reachable: true, DoneAtH: ptr(9)}, Short: {Reachable: true}, Covered: {Reachable: true, InTime: true, DoneAtH: ptr(1)}, Unreachable: {}} {
		e := Event{}
		e.fill(&plan.Plan{Demand: plan.Demand{System: &site.System{}, Aims: []plan.Aim{{Contaminant: "copper"}}}, Aims: []plan.AimResult{aim}, DoneAtH: aim.DoneAtH}, units.Metric)
		if e.Verdict != verdict || e.Bottleneck != "" { // nobody has looked yet what holds it back
			t.Errorf("%+v: %s, want %s; held back by %q", aim, e.Verdict, verdict, e.Bottleneck)
		}
	}
}

// TestAVerdictWithMedia stands beside the one that counts.
func TestAVerdictWithMedia(t *testing.T) {
	for want, w := range map[Verdict]plan.WithMedia{Short: {InTime: true}, Late: {DoneAtH: ptr(9)}, Covered: {DoneAtH: ptr(1), InTime: true}} {
		if got := withMediaVerdict(&w); got != want {
			t.Errorf("%+v: %s, want %s", w, got, want)
		}
	}
}

// TestHalfALitreOfRoutineIsOne: what is there today is what is stored, and the worst day has what
// the regular changes leave of it.
func TestHalfALitreOfRoutineIsOne(t *testing.T) {
	e := judged(t, head+vat("200.2 L")+halve+"routine: [{system: tank, volume: 0.5 L, every: 7 d}]\n").Events[0]
	if e.Verdict == Covered || e.Today.Verdict != Covered {
		t.Errorf("%s, today %s", e.Verdict, e.Today.Verdict)
	}
	near(t, "usable", &e.UsableNowL, 199.7, 1e-9)
	near(t, "usable today", &e.Today.UsableNowL, 200.2, 1e-9)
	if e.Today.Plan == nil || e.Today.Changes != 1 || e.Today.WaterL != 200 || e.Today.LackingL != nil {
		t.Errorf("today %+v", e.Today)
	}
	near(t, "lacking", e.LackingL, 0.3, 0.002)
}

// TestTodayLacksWhatTodayLacks: 150 L are there, 90 of which the regular change takes: 50 L more are
// enough today, 140 L on the worst day; what is added now is there when the regular change is made.
func TestTodayLacksWhatTodayLacks(t *testing.T) {
	e := judged(t, head+vat("150 L")+halve+"routine: [{system: tank, volume: 90 L, every: 7 d}]\n").Events[0]
	near(t, "lacking", e.LackingL, 140, 0.71)
	near(t, "lacking today", e.Today.LackingL, 50, 0.26)
	if e.Today.Verdict != Short || e.Today.UsableNowL != 150 {
		t.Errorf("today %+v", e.Today)
	}
	// Without one the two are the same number.
	e = judged(t, head+vat("150 L")+halve).Events[0]
	if e.LackingL == nil || e.Today.LackingL == nil || *e.LackingL != *e.Today.LackingL {
		t.Errorf("lacking %v, today %v", show(e.LackingL), show(e.Today.LackingL))
	}
	// Today 240 L are enough; on the worst day they are not.
	e = judged(t, head+vat("240 L")+halve+"routine: [{system: tank, volume: 90 L, every: 7 d}]\n").Events[0]
	if e.Verdict != Short || e.Today.Verdict != Covered || e.Today.LackingL != nil {
		t.Errorf("%s, today %+v", e.Verdict, e.Today)
	}
}

// TestWhatHoldsALateEventBackIsExplained by the search and not guessed: the change of 200 L waits
// for the batch that is mixed.
func TestWhatHoldsALateEventBackIsExplained(t *testing.T) {
	e := judged(t, head+making+halve).Events[0]
	if e.Bottleneck != "mixing time" || !strings.HasPrefix(e.BottleneckDetail, "mixing time") {
		t.Errorf("%q: %q", e.Bottleneck, e.BottleneckDetail)
	}
	e = judged(t, head+vat("500 L")+strings.Replace(halve, "50 %", "75 %", 1)).Events[0]
	if e.BottleneckDetail == "" {
		t.Errorf("held back by %q, and no word why", e.Bottleneck)
	}
	for l, want := range map[plan.Limit]string{plan.ByInterval: "interval", plan.BySalt: "salt", plan.TemperatureStep: "temperature_step"} {
		if got := wordFor(l); got != want {
			t.Errorf("%s: %q", l, got)
		}
	}
}

// TestWhatToRestockMayBeUnknown: water that the purifier cannot be fed with is no reason to keep
// back the verdict. A sound house has nothing to warn of.
func TestWhatToRestockMayBeUnknown(t *testing.T) {
	text := strings.Replace(head+making+halve, "volume: 0 L", "volume: 250 L", 1) + "purifier: {rate: 20 L/h, rated_at: 25 C, feed: 25 C}\n"
	for _, w := range judged(t, text).Warnings {
		if strings.Contains(w, "restock") {
			t.Error(w)
		}
	}
	s := load(t, text)
	s.Purifier.Feed = 90
	r, err := Judge(s, now, Options{})
	if err != nil || r.Verdict != Covered || r.Events[0].Restock != nil || !strings.Contains(strings.Join(r.Warnings, "\n"), "halve: what to restock is not known: ") {
		t.Errorf("%s, %+v, %q, %v", r.Verdict, r.Events[0].Restock, r.Warnings, err)
	}
}
