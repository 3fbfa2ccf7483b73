package readiness

import (
	"math"
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// TestAPlanSaysWhatItLacks where it is late or never done and water would help; nothing where it is done in
// time, or out of reach.
func TestAPlanSaysWhatItLacks(t *testing.T) {
	for _, c := range []struct {
		text    string
		lacking float64
	}{
		{vat("150 L") + halve, 50}, {vat("250 L") + halve, 0}, {vat("500 L") + strings.Replace(halve, "50 %", "75 %", 1), 0},
		{vat("500 L") + "events: [{id: halve, system: tank, contaminant: copper, start: 60 ug/L, target: 0.9 ug/L, within: 72 h}]\n", 0},
		{making + halve, 200},
		// What is kept back counts: 200 L stay in the reserve and 10 L in the vat, whose demand is 40 L.
		{strings.Replace(vat("0 L"), "volume: 0 L", "volume: 0 L, heel: 10 L", 1) + strings.Replace(halve, "50 %", "10 %", 1) + "reserve: {saltwater: 200 L}\n", 240},
	} {
		made, err := EventPlan(load(t, head+c.text), now, "halve")
		if err != nil {
			t.Fatal(err)
		}
		if got := made.Plan.LackingL; (got == nil) != (c.lacking == 0) || got != nil && (*got < c.lacking || *got > c.lacking*1.0051) {
			t.Errorf("lacks %v, want %g: %s", show(got), c.lacking, c.text)
		}
	}
	s := load(t, head+vat("150 L")+halve)
	j := newJudge(s, now, units.Metric)
	q, err := j.scenarioOf(s.Events[0])
	if err != nil {
		t.Fatal(err)
	}
	for binding, said := range map[bool]bool{true: true, false: false} {
		made, err := PlanFor(s, now, q[0], Shown{Binding: binding})
		if err != nil || (made.Plan.Binding.Limit != "") != said || made.Plan.WithMedia != nil {
			t.Errorf("%+v, %v", made.Plan.Binding, err)
		}
	}
	s.Stores[0].Water.Salinity = 50
	if _, err := PlanFor(s, now, q[0], Shown{}); err == nil {
		t.Error("water of 50 is planned with")
	}
}

// TestOnlyTheSystemsOwnMediaCount: with a capacity, however small, and for what is to be brought down.
func TestOnlyTheSystemsOwnMediaCount(t *testing.T) {
	s := load(t, head+vat("20 L")+"events: [{id: metal, system: tank, contaminant: copper, start: 60 ug/L, target: 6 ug/L, within: 72 h}]\n")
	j := newJudge(s, now, units.Metric)
	q, err := j.scenarioOf(s.Events[0])
	if err != nil {
		t.Fatal(err)
	}
	reactor := site.Media{ID: "reactor", System: "tank", FlowLH: 400, SinglePass: map[string]float64{"copper": 0.6}, CapacityMg: ptr(300)}
	for name, c := range map[string]struct {
		change func(m *site.Media)
		counts bool
	}{
		"as it is": {func(*site.Media) {}, true}, "half a milligram": {func(m *site.Media) { m.CapacityMg = ptr(0.5) }, true}, "used up": {func(m *site.Media) { m.CapacityMg = ptr(0) }, false},
		"of unknown capacity": {func(m *site.Media) { m.CapacityMg = nil }, false}, "of another system": {func(m *site.Media) { m.System = "pool" }, false},
		"for another metal": {func(m *site.Media) { m.SinglePass = map[string]float64{"zinc": 0.6} }, false}, "that takes up none": {func(m *site.Media) { m.SinglePass = map[string]float64{"copper": 0} }, false},
	} {
		m := reactor
		c.change(&m)
		with := *s
		with.Media = []site.Media{m}
		if got := j.plansFor(&with).withMedia(&with, q[0]); (got != nil) != c.counts || got != nil && len(got.Media) != 1 {
			t.Errorf("media %s: %+v", name, got)
		}
	}
	// A share of everything is not what media take up.
	with := *s
	with.Media = []site.Media{reactor}
	share := q[0]
	share.Aims = []plan.Aim{{Start: 1, Target: 0.5, WithinH: 4}}
	if got := j.plansFor(&with).withMedia(&with, share); got != nil {
		t.Errorf("%+v", got)
	}
	share.Aims = append(share.Aims, q[0].Aims...)
	if got := j.plansFor(&with).withMedia(&with, share); got == nil || len(got.Media) != 1 {
		t.Errorf("%+v", got)
	}
}

// TestTheForemostAimAndNoneLost: of three the one that asks for most comes first, the others stay.
func TestTheForemostAimAndNoneLost(t *testing.T) {
	s := load(t, head+vat("500 L")+halve)
	zinc, copper, iron := plan.Aim{Contaminant: "zinc", Start: 300, Target: 100}, plan.Aim{Contaminant: "copper", Start: 60, Target: 3}, plan.Aim{Contaminant: "iron", Start: 200, Target: 100}
	for _, aims := range [][]plan.Aim{{zinc, copper, iron}, {copper, zinc, iron}, {iron, zinc, copper}} {
		d, err := Foremost(plan.Demand{System: &s.Systems[0], Aims: aims}, []float64{0, 0, 0})
		if err != nil || d.Aims[0].Contaminant != "copper" {
			t.Fatalf("%+v, %v", d.Aims, err)
		}
		seen := map[string]bool{}
		for _, a := range d.Aims {
			seen[a.Contaminant] = true
		}
		if len(d.Aims) != 3 || len(seen) != 3 {
			t.Errorf("%+v", d.Aims)
		}
	}
	broken := plan.Demand{System: &s.Systems[0], Aims: []plan.Aim{{Contaminant: "copper", Start: -1, Target: 3}}}
	if d, err := Foremost(broken, []float64{0}); err == nil || len(d.Aims) != 1 {
		t.Errorf("%+v, %v", d.Aims, err)
	}
}

// TestASystemThatIsNotThere is said, and nothing panics.
func TestASystemThatIsNotThere(t *testing.T) {
	s := load(t, head+vat("150 L")+halve)
	s.Events[0].System = "gone"
	r, err := Judge(s, now, Options{})
	if err != nil || r.Events[0].Verdict != Unknown || !strings.Contains(r.Events[0].Missing, "gone") {
		t.Errorf("%+v, %v", r.Events[0], err)
	}
}

// TestNothingDrawnHasNoSalinity and is no number that is none.
func TestNothingDrawnHasNoSalinity(t *testing.T) {
	for _, draws := range [][]plan.Draw{nil, {{Delivery: 1, Litres: 40, Salinity: 35}}} {
		if got := takenBy(plan.Plan{Steps: []plan.Step{{DoneH: 2, From: draws}}}); got.salinity != 0 || got.saltwaterL != 0 || math.IsNaN(got.salinity) || got.doneAtH != 2 {
			t.Errorf("%+v", got)
		}
	}
}

// TestASlowPurifierIsOne: half a litre an hour makes 6 L in twelve hours.
func TestASlowPurifierIsOne(t *testing.T) {
	s := load(t, twoWaters)
	r, err := restockAfter(s, &s.Systems[0], taken{purifiedL: 6, doneAtH: 1}, 0.5)
	if err != nil || r.ReadyAgainH == nil || *r.ReadyAgainH != 13 {
		t.Errorf("%+v, %v", r, err)
	}
	// Half a litre of saltwater has to be mixed too.
	s.Mixing.TimeH = 24
	r, err = restockAfter(s, &s.Systems[0], taken{saltwaterL: 0.5, salinity: 35, doneAtH: 1}, 0.5)
	if err != nil || r.ReadyAgainH == nil || *r.ReadyAgainH < 25.9 || *r.ReadyAgainH > 26 {
		t.Errorf("%+v, %v", r, err)
	}
}
