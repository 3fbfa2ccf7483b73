package schedule

import (
	"testing"

	"tidehold/response/plan"
)

// At the time found the change is as large as is wanted, a minute before it is not: by
// putting the change together then, with heat and salt in full.
func TestWarmEnoughIsTheEarliestTime(t *testing.T) {
	for _, stored := range []float64{180, 240, 310} {
		v := vatOf("vat", stored, 440)
		v.HeaterW, v.Water.Temperature, v.Water.Salinity = 300, 19, 34.6
		s := placeOf(reef(400), v, vatOf("spare", 20, 100))
		p, err := New(s, noon)
		if err != nil {
			t.Fatal(err)
		}
		q, err := p.problem(&plan.Demand{System: &s.Systems[0], Aims: []plan.Aim{share(0.3, 48)}}, Options{}.withDefaults(s), nil)
		if err != nil {
			t.Fatal(err)
		}
		h := q.warmEnough(&q.start)
		want, _ := q.litresNeeded(&q.start)
		const minute = 1.0 / 60
		if !(h > minute && h < q.start.vats[0].warmH) && !(h > minute && h < q.start.vats[1].warmH) {
			t.Fatalf("%g L: warm enough at %g h", stored, h)
		}
		at := func(h float64) float64 {
			var f state
			f.copyFrom(&q.start)
			q.passTo(&f, h)
			var table table
			most := 0.0
			for _, ch := range table.options(q, &f, mostFall, tastes, false) {
				most = max(most, ch.litres)
			}
			return most
		}
		if now, before := at(h), at(h-minute); now < want*(1-1e-9) || before >= want*(1-1e-9) {
			t.Errorf("%g L, %g h: %g L of %g wanted, %g a minute before", stored, h, now, want, before)
		}
	}
}
