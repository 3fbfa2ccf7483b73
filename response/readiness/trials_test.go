package readiness

import (
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// TestGuessesOfAnAmount: as much water as is lacking, or the salt in it; for what is no water there is no
// guess, nor where none is lacking.
func TestGuessesOfAnAmount(t *testing.T) {
	b, ways := benchOn(t, head+withoutSalt+halve)
	for _, w := range ways {
		if got := b.guess(w); got != 0 {
			t.Errorf("%s: %g", w.what, got)
		}
	}
	b.lackingL = ptr(100)
	for _, w := range ways {
		want := map[Remedy]float64{MoreSalt: 3.84, StoredSaltwater: 100, StoredPurified: 100, Delivered: 100}[w.what]
		if got := b.guess(w); got < want-1e-6 || got > want+1e-6 {
			t.Errorf("%s: %g, want %g", w.what, got, want)
		}
	}
}

// TestWhatWasTriedIsRemembered: a trial is a whole plan. What a short search finds for one demand
// the long one need not look for; of two demands it may not find it.
func TestWhatWasTriedIsRemembered(t *testing.T) {
	b, ways := benchOn(t, head+vat("150 L")+halve)
	enough, tooLittle := amount{way: of(ways, StoredSaltwater)[0], x: 60}, amount{way: of(ways, StoredSaltwater)[0], x: 40}
	if !b.hastily(enough) || b.hastily(tooLittle) {
		t.Fatal("50 L are lacking")
	}
	if met, known := b.memory.known[keyOf([]amount{enough})]; !met || !known {
		t.Error("found and forgotten")
	}
	if _, known := b.memory.known[keyOf([]amount{tooLittle})]; known {
		t.Error("a short search decides that nothing is found")
	}
	if b.fails(enough) || len(b.memory.late) != 0 {
		t.Error("what mends was planned again")
	}
	if !b.fails(tooLittle) || len(b.memory.late) != 1 {
		t.Errorf("%d plans shown", len(b.memory.late))
	}
	if b.mends(tooLittle) || !b.mends(enough) || len(b.memory.known) != 2 {
		t.Errorf("%d long searches", len(b.memory.known))
	}
	// It is the memory that answers.
	b.memory.known[keyOf([]amount{enough})] = false
	if b.mends(enough) || b.hastily(enough) {
		t.Error("tried again")
	}
	b.memory.known[keyOf([]amount{enough})] = true
	b.memory.late[keyOf([]amount{tooLittle})] = false
	if b.fails(tooLittle) {
		t.Error("shown again")
	}
	// A short search that met is asked for again by the long one before a plan is called good.
	third := amount{way: enough.way, x: 55}
	b.memory.hasty[keyOf([]amount{third})] = true
	if b.fails(third) || len(b.memory.late) != 1 {
		t.Error("what mends is late")
	}
	if met, known := b.memory.known[keyOf([]amount{third})]; !met || !known {
		t.Error("not asked for by the long search")
	}
	fourth := amount{way: enough.way, x: 45}
	b.memory.hasty[keyOf([]amount{fourth})] = true
	if !b.fails(fourth) {
		t.Error("a short search's word is taken for the plan")
	}
	fifth := amount{way: enough.way, x: 44}
	b.memory.hasty[keyOf([]amount{fifth})] = false
	if !b.fails(fifth) {
		t.Error("44 L are too little")
	}
	if _, asked := b.memory.known[keyOf([]amount{fifth})]; asked {
		t.Error("asked for by the long search though the short one did not meet")
	}

	s := load(t, twoTanks)
	j := newJudge(s, now, units.Metric)
	q, err := j.scenarioOf(s.Events[0], s.Events[1])
	if err != nil {
		t.Fatal(err)
	}
	two := j.newBench(q, false)
	plenty := amount{way: of(two.ways(200), StoredSaltwater)[0], x: 300}
	if !two.hastily(plenty) || len(two.memory.known) != 0 || len(two.memory.hasty) != 1 {
		t.Error("of two demands a short search decides")
	}
}

// TestASiteThatCannotBePlanned: no remedy, no hope, and late.
func TestASiteThatCannotBePlanned(t *testing.T) {
	b, ways := benchOn(t, head+vat("150 L")+halve)
	b.site.Stores[0].Water.Salinity = 50
	a := amount{way: of(ways, StoredSaltwater)[0], x: 60}
	if b.mends(a) || !b.hopeless(a) || !b.fails(a) {
		t.Errorf("mends %v, hopeless %v, fails %v", b.mends(a), b.hopeless(a), b.fails(a))
	}
	// A demand without an aim is one that cannot be planned either.
	b, ways = benchOn(t, head+vat("150 L")+halve)
	b.scenario = scenario{plan.Demand{System: b.scenario[0].System, Aims: []plan.Aim{{Contaminant: "copper", Start: -1, Target: -2}}}}
	a = amount{way: of(ways, StoredSaltwater)[0], x: 60}
	if b.mends(a) || !b.hopeless(a) || !b.fails(a) {
		t.Errorf("mends %v, hopeless %v, fails %v", b.mends(a), b.hopeless(a), b.fails(a))
	}
	// Of two systems one that is late is enough.
	s := load(t, twoTanks)
	j := newJudge(s, now, units.Metric)
	for _, c := range []struct {
		litres string
		late   bool
	}{{"300", false}, {"210", true}} {
		s.Stores[0].Volume = decimal.RequireFromString(c.litres)
		for _, order := range [][]site.Event{{s.Events[0], s.Events[1]}, {s.Events[1], s.Events[0]}} {
			q, err := j.scenarioOf(order...)
			if err != nil {
				t.Fatal(err)
			}
			if p := j.plansFor(s); p.late(q) != c.late {
				t.Errorf("%s L: late %v", c.litres, !c.late)
			}
		}
	}
}
