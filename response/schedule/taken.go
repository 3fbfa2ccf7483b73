package schedule

import (
	"maps"
	"math"

	"tidehold/response/plan"
)

// taken is what the plans so far have used of the site: each later demand plans
// with the rest. It never gives a later demand water that an earlier plan still
// needs, at the price of being a little careful with purified water: what is made
// while an earlier plan goes on is kept for that plan.
type taken struct {
	vats       map[int]takenVat // by store
	saltKg     map[string]float64
	deliveredL map[int]float64
	// Purified water: pureL at pureH, the time of the last batch.
	pureL, pureC, pureH, pureNowL float64
}

// takenVat is what is left in a vat: when it may be drawn from, and when it is free to be
// warmed for another system or mixed in.
type takenVat struct {
	vat
	c            float64
	fromH, freeH float64
}

// takenOf keeps one history for one vat: it is warmed and worked on for the first plan
// until that is through with it, and only then is it there for the next. Water that the
// first plan neither warms nor works on is there at any time.
func takenOf(v, began *vat, w *vessel) takenVat {
	x := takenVat{vat: *v, c: began.at(0), fromH: w.fromH, freeH: max(v.usedH, w.freeH)}
	worked := v.batch > 0 || v.readyH != began.readyH || v.s != began.s || v.toC > began.at(0) && w.heaterW > 0
	if worked {
		if !math.IsInf(v.readyH, 1) {
			x.freeH = max(x.freeH, v.readyH)
		}
		x.fromH = max(x.fromH, x.freeH)
		x.c = v.at(x.fromH)
	}
	x.usedH = 0
	return x
}

func newTaken() *taken {
	return &taken{vats: map[int]takenVat{}, saltKg: map[string]float64{}, deliveredL: map[int]float64{}}
}

// takenFor is nothing taken yet; nil for a single demand, which takes it from nobody.
func takenFor(demands []plan.Demand) *taken {
	if len(demands) == 1 {
		return nil
	}
	return newTaken()
}

// clone is a copy that add does not change.
func (t *taken) clone() *taken {
	c := *t
	c.vats, c.saltKg, c.deliveredL = maps.Clone(t.vats), maps.Clone(t.saltKg), maps.Clone(t.deliveredL)
	return &c
}

// add notes what the plan that ends with s has used; pureLeast is the least purified
// water that was left after any work.
func (t *taken) add(p *problem, s *state, pureLeast float64) {
	for i := range s.vats {
		v, w := &s.vats[i], &p.vessels[i]
		began := &p.start.vats[i]
		if v.usedH == 0 && v.volL == began.volL && v.readyH == began.readyH {
			continue
		}
		if w.store < 0 {
			t.deliveredL[w.delivery-1] += began.volL - v.volL
			continue
		}
		t.vats[w.store] = takenOf(v, began, w)
	}
	for k := range p.works.salts {
		used := p.start.saltKg[k] - s.saltKg[k]
		for n := 0; k == 0 && n < s.comes; n++ {
			used += p.works.comes[n].saltKg
		}
		t.saltKg[p.works.salts[k].id] += used
	}
	if !math.IsInf(pureLeast, 1) {
		t.pureL, t.pureC, t.pureH = min(pureLeast, s.pure.litres), s.pure.c, s.pure.atH
		t.pureNowL += p.start.pure.litres - pureLeast
	}
}
