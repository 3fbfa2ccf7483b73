package schedule

import (
	"maps"
	"math"
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

type takenVat struct {
	vat
	c               float64
	fromH, mixFromH float64
}

func newTaken() *taken {
	return &taken{vats: map[int]takenVat{}, saltKg: map[string]float64{}, deliveredL: map[int]float64{}}
}

// clone is a copy that add does not change.
func (t *taken) clone() *taken {
	c := *t
	c.vats, c.saltKg, c.deliveredL = maps.Clone(t.vats), maps.Clone(t.saltKg), maps.Clone(t.deliveredL)
	return &c
}

// add notes what the plan that ends with f has used.
func (t *taken) add(j *job, f *frame) {
	for i := range f.vats {
		v, w := &f.vats[i], &j.vessels[i]
		began := &j.start.vats[i]
		if v.usedH == 0 && v.volL == began.volL {
			continue
		}
		if w.store < 0 {
			t.deliveredL[w.delivery-1] += began.volL - v.volL
			continue
		}
		x := takenVat{vat: *v, c: began.at(0)}
		if v.batch > 0 {
			x.fromH, x.c = max(v.usedH, v.readyH), v.at(max(v.usedH, v.readyH))
		}
		x.fromH, x.mixFromH = max(x.fromH, w.fromH), max(v.usedH, v.readyH, w.mixFromH)
		x.usedH = 0
		t.vats[w.store] = x
	}
	for k := range j.salts {
		used := j.start.saltKg[k] - f.saltKg[k]
		for n := 0; k == 0 && n < f.comes; n++ {
			used += j.deliveries[n].kg
		}
		t.saltKg[j.salts[k].id] += used
	}
	if f.batches > 0 {
		least := math.Inf(1)
		for _, x := range j.record.pureAfter {
			least = min(least, x)
		}
		t.pureL, t.pureC, t.pureH = min(least, f.pureL), f.pureC, f.pureH
		t.pureNowL += j.start.pureL - least
	}
}
