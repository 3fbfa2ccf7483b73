package readiness

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tidehold/refs/outside"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// put adds a purchase to a site, as a keeper would.
func put(t *rapid.T, s *site.Site, p Purchase, share float64) {
	of := Event{ID: s.Events[0].ID, System: s.Events[0].System}
	for _, e := range s.Events {
		// Water is kept as one of the systems is.
		if w := s.SystemByID(e.System).Water; p.KeptAtC != nil && float64(w.Temperature) == *p.KeptAtC {
			of = Event{ID: e.ID, System: e.System}
			break
		}
	}
	apply(t, s, of, p.Fix, share)
}

// TestTheShoppingListCoversEverything buys the list for random houses and judges each
// again from the start: everything but what the result names is covered; without any one
// item something fails again, by what its covers name.
func TestTheShoppingListCoversEverything(t *testing.T) {
	outside.Checks(t, 500, 8)
	lists := 0
	rapid.Check(t, func(t *rapid.T) {
		text := drawSite(t)
		r, err := Judge(mustLoad(t, text), now, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Shopping) == 0 {
			return
		}
		lists++
		for left := -1; left < len(r.Shopping); left++ {
			s := mustLoad(t, text)
			for i, p := range r.Shopping {
				if i != left {
					put(t, s, p, 1)
				}
			}
			for _, e := range r.Events {
				named := slices.Contains(r.NotByPurchase, e.ID) || left >= 0 && slices.Contains(r.Shopping[left].Covers, e.ID)
				if v := alone(t, s, e.ID); v != Covered && !named {
					t.Fatalf("without item %d of %+v, %s is %s:\n%s", left, r.Shopping, e.ID, v, text)
				}
			}
		}
	})
	if lists == 0 {
		t.Error("no house needed anything")
	}
}

// TestBriefLeavesOutAndChangesNothing: verdicts, plans and the shopping list are those of the
// whole answer, digit for digit.
func TestBriefLeavesOutAndChangesNothing(t *testing.T) {
	outside.Checks(t, 500, 8)
	rapid.Check(t, func(t *rapid.T) {
		s := mustLoad(t, drawSite(t))
		whole, err := Judge(s, now, Options{})
		if err != nil {
			t.Fatal(err)
		}
		brief, err := Judge(s, now, Options{Brief: true})
		if err != nil {
			t.Fatal(err)
		}
		if a, b := asJSON(t, whole.Shopping), asJSON(t, brief.Shopping); a != b || !slices.Equal(whole.NotByPurchase, brief.NotByPurchase) {
			t.Fatalf("to buy: %s\nbrief: %s", a, b)
		}
		for i, e := range whole.Events {
			b := brief.Events[i]
			if len(b.Fixes) > 0 || b.LackingL != nil || strings.Contains(b.Reason, "more stored water alone") {
				t.Fatalf("brief with %+v", b)
			}
			if asJSON(t, e.Steps) != asJSON(t, b.Steps) || e.Verdict != b.Verdict || !same(e.DoneAtH, b.DoneAtH) || asJSON(t, e.Restock) != asJSON(t, b.Restock) {
				t.Fatalf("%s: %+v, brief %+v", e.ID, e, b)
			}
		}
	})
}

// TestOneThingForAllComesFirst: 150 L are there; half of 400 L asks for 50 L more, six
// tenths, in two changes, for 110 L more or less; the larger amount covers both, and the
// smaller is named as less.
func TestOneThingForAllComesFirst(t *testing.T) {
	r := judged(t, head+vat("150 L")+`events:
  - {id: half, system: tank, remove: 50 %, within: 2 h}
  - {id: more, system: tank, remove: 60 %, within: 24 h}
together: [[half, more]]
`)
	if len(r.Shopping) != 1 || r.Shopping[0].What != StoredSaltwater || len(r.Shopping[0].Covers) != 3 || r.Shopping[0].Where != "vat" {
		t.Fatalf("%+v", r.Shopping)
	}
	// 60 % in changes of at most 200 L: 0.5 left after the first, then 1 − 0.4/0.5 =
	// 20 % of 400 L: 280 L in all, 130 L more than there are.
	if x := r.Shopping[0].Amount; x < 130 || x > 130.7 {
		t.Errorf("%g L", x)
	}
	if len(r.PartSteps) != 1 || r.PartSteps[0].Amount > 50.3 || !slices.Equal(r.PartSteps[0].Covers, []string{"half"}) {
		t.Errorf("%+v", r.PartSteps)
	}
}

// TestWhatNoPurchaseCovers: three quarters within 2 h take two changes four hours apart.
func TestWhatNoPurchaseCovers(t *testing.T) {
	r := judged(t, head+vat("150 L")+`events:
  - {id: half, system: tank, remove: 50 %, within: 2 h}
  - {id: most, system: tank, remove: 75 %, within: 2 h}
together: [[half, most]]
`)
	if !slices.Equal(r.NotByPurchase, []string{"most", "half + most"}) || len(r.Shopping) != 1 || !slices.Equal(r.Shopping[0].Covers, []string{"half"}) {
		t.Errorf("%+v, not by purchase %q", r.Shopping, r.NotByPurchase)
	}
}

// TestTwoSystemsShareAList: 100 L serve either system of 200 L, half of it, but not both:
// alone each is covered, together 100 L more are needed.
func TestTwoSystemsShareAList(t *testing.T) {
	r := judged(t, `format: 1
systems:
  - {id: a, net_volume: 200 L, drawdown: 50 %, water: {salinity: 35, temperature: 25 C}}
  - {id: b, net_volume: 200 L, drawdown: 50 %, water: {salinity: 35, temperature: 25 C}}
stores: [{id: v, holds: saltwater, volume: 100 L, capacity: 400 L, temperature: 25 C, salinity: 35, transfer: 1000 L/h}]
salts: [{id: house, dose: 38.4 g/L, price: 3}]
events:
  - {id: e, system: a, remove: 50 %, within: 4 h}
  - {id: f, system: b, remove: 50 %, within: 4 h}
together: [[e, f]]
`)
	if len(r.Shopping) != 1 || r.Shopping[0].Amount < 100 || r.Shopping[0].Amount > 100.6 || r.Shopping[0].Where != "v" || r.Shopping[0].Cost == nil {
		t.Errorf("%+v", r.Shopping)
	}
	if l := r.Together[0].LackingL; l == nil || *l < 100 || *l > 100.6 {
		t.Errorf("lacking %v", show(l))
	}
}

// TestAHundredStores holds the time of one system with 100 stores and three failing
// events, with room for a busy machine: 1 s is the budget.
func TestAHundredStores(t *testing.T) {
	if testing.Short() {
		t.Skip("measures time, which the race detector stretches")
	}
	var b strings.Builder
	b.WriteString("format: 1\nsystems: [{id: tank, net_volume: 4000 L, drawdown: 30 %, change_every: 4 h, water: {salinity: 35, temperature: 25 C}}]\nstores:\n")
	for i := range 100 {
		b.WriteString(strings.NewReplacer("#", string(rune('a'+i/26))+string(rune('a'+i%26)), "@", []string{"33", "34", "35", "36"}[i%4], "~", []string{"18", "21", "24"}[i%3]).Replace(
			"  - {id: v#, holds: saltwater, capacity: 60 L, volume: 20 L, salinity: @, temperature: ~ C, heater: 100 W, mixed: 2026-11-20, max_age: 60 d, transfer: 900 L/h}\n"))
	}
	b.WriteString(`salts: [{id: house, on_hand: 3 kg, dose: 38.4 g/L, price: 3}]
events:
  - {id: a, system: tank, remove: 75 %, within: 24 h}
  - {id: b, system: tank, remove: 90 %, within: 6 h}
  - {id: c, system: tank, contaminant: copper, start: 60 ug/L, target: 5 ug/L, within: 48 h}
`)
	s := load(t, b.String())
	begin := time.Now()
	r, err := Judge(s, now, Options{})
	if err != nil {
		t.Fatal(err)
	}
	took := time.Since(begin)
	t.Log(took.Round(time.Millisecond))
	failing := 0
	for _, e := range r.Events {
		if e.Verdict != Covered {
			failing++
		}
	}
	if failing != 3 {
		t.Errorf("%d events fail", failing)
	}
	if took > 10*time.Second {
		t.Errorf("%v", took)
	}
}

// TestMediaStandBesideTheVerdict: the reactor clears 400·0.6 = 240 L/h from 400 L, so that
// copper would fall by e^(−0.6·t); the verdict does not count on it.
func TestMediaStandBesideTheVerdict(t *testing.T) {
	text := head + vat("20 L") + `events: [{id: metal, system: tank, contaminant: copper, start: 60 ug/L, target: 6 ug/L, within: 72 h}]
`
	without := judged(t, text)
	r := judged(t, text+"media: [{id: reactor, system: tank, flow: 400 L/h, single_pass: {copper: 60 %}, capacity: 300 mg}, {id: sponge, system: tank, flow: 100 L/h, single_pass: {zinc: 10 %}, capacity: 3 mg}]\n")
	e := r.Events[0]
	if e.Verdict != Short || without.Events[0].Verdict != Short || without.Events[0].WithMedia != nil {
		t.Errorf("%s, without media %s", e.Verdict, without.Events[0].Verdict)
	}
	if m := e.WithMedia; m == nil || m.Verdict != Covered || m.DoneAtH == nil || *m.DoneAtH > 5 || !slices.Equal(m.Media, []string{"reactor"}) {
		t.Errorf("%+v", m)
	}
	a, b := without, r
	a.Events[0].WithMedia, b.Events[0].WithMedia = nil, nil
	if asJSON(t, a) != asJSON(t, b) {
		t.Error("the reactor changes more than what stands beside the verdict")
	}
}

// TestLeversAndTheForemostAim: new water brings 1 µg/L, so 0.9 is out of reach and water
// without it would lower the floor to 0; and of two contaminants the one that asks for
// more changes comes first: 60 to 3 is 95 % out, 300 to 100 two thirds.
func TestLeversAndTheForemostAim(t *testing.T) {
	s := load(t, head+vat("500 L")+"events: [{id: copper, system: tank, contaminant: copper, start: 60 ug/L, target: 0.9 ug/L, within: 72 h}]\n")
	made, err := EventPlan(s, now, "copper")
	if err != nil {
		t.Fatal(err)
	}
	levers, err := Levers(made.Plan)
	if err != nil || len(levers) == 0 || levers[0].Floor != 0 {
		t.Errorf("%+v, %v", levers, err)
	}
	d := plan.Demand{System: &s.Systems[0], Aims: []plan.Aim{{Contaminant: "zinc", Start: 300, Target: 100}, {Contaminant: "copper", Start: 60, Target: 3}}}
	first, err := Foremost(d, []float64{0, 0})
	if err != nil || first.Aims[0].Contaminant != "copper" || d.Aims[0].Contaminant != "zinc" {
		t.Errorf("%+v, %v", first.Aims, err)
	}
	if _, err := EventPlan(s, now, "none"); err == nil {
		t.Error("an event that is not there has a plan")
	}
}
