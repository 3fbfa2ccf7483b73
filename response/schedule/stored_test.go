package schedule

import (
	"math"
	"testing"

	"tidehold/response/plan"
)

// What the stored water of a vat brings is still in it when a plan has mixed on top, for whoever draws
// from it next: the copper of it is followed through the first plan here, amount by amount.
func TestTheNextPlanKnowsWhatIsInAVat(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 150, 440), pureOf("pure", 300, 400))
	s.Systems = append(s.Systems, reef(300))
	s.Systems[1].ID = "second"
	s.Salts = append(s.Salts, houseSalt(20))
	s.Salts[0].Background = map[string]float64{"copper": 5}
	s.Stores[0].Heel = 60
	s.Stores[0].Background = map[string]float64{"copper": 40}
	pl, err := New(s, noon)
	if err != nil {
		t.Fatal(err)
	}
	opt := Options{}.withDefaults(s)
	first := plan.Demand{System: &s.Systems[0], Aims: []plan.Aim{share(0.6, 24)}}
	second := plan.Demand{System: &s.Systems[1], Aims: []plan.Aim{{EventID: "c", Contaminant: "copper", Start: 60, Target: 45, WithinH: 72}}}
	p, err := pl.problem(&first, opt, newTaken())
	if err != nil {
		t.Fatal(err)
	}
	var state state
	state.copyFrom(&p.start)
	ug, mixed := 150*40.0, false
	for _, m := range p.solved(&opt, false).moves {
		before := state.vats[0].volL
		p.follow(&state, &m)
		switch {
		case m.kind == toChange:
			for _, d := range m.change.draws {
				ug *= 1 - d.litres/before
			}
		case m.kind == toWork:
			ug *= 1 - m.job.removeL/before
			ug += 5 * m.job.batchL
			mixed = mixed || m.job.batchL > 0 && ug > 1
		}
	}
	if !mixed {
		t.Fatal("nothing was mixed on top of stored water")
	}
	used := newTaken()
	if _, err := pl.plan(&first, opt, used, true); err != nil {
		t.Fatal(err)
	}
	q, err := pl.problem(&second, opt, used)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := q.start.levels[0], ug/state.vats[0].volL; !(math.Abs(got-want) <= 1e-6*want) || want < 1 {
		t.Errorf("%g µg/L in the vat, %g by what went in and out of it", got, want)
	}
}

// A litre that is mixed on top of warm water thins what the warm water brings by a litre, however cold it is:
// 40 µg/L in 100 L are 26.7 in 150.
func TestAColdBatchThinsByItsLitres(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 100, 440), pureOf("pure", 300, 400))
	s.Stores[0].Water.Temperature, s.Stores[1].Water.Temperature = 28, 8
	s.Stores[0].Background = map[string]float64{"copper": 40}
	s.Salts = append(s.Salts, houseSalt(20))
	p := laid(t, s, plan.Demand{Aims: []plan.Aim{{EventID: "c", Contaminant: "copper", Start: 60, Target: 45}}})
	var x state
	x.copyFrom(&p.start)
	p.work(&x, job{vat: 0, batchL: 50})
	close2(t, "copper of the mixture", x.levels[0], 40*100/150.0, 1e-9)
}
