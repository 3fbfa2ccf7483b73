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

// Warm water that is too fresh to be poured alone does not make the change warm: at the time found as
// much as the salinity leaves is warm enough, a minute before it is not.
func TestWarmEnoughOfWaterThatIsTooFresh(t *testing.T) {
	fresh, cold := vatOf("fresh", 320, 320), vatOf("cold", 200, 200)
	fresh.Water.Salinity = 32
	cold.HeaterW, cold.Water.Temperature, cold.Water.Salinity = 300, 20, 35.2
	s := placeOf(reef(400), fresh, cold)
	s.Systems[0].Drawdown = 0.6
	s.Systems[0].Limits.SalinityLow, s.Systems[0].Limits.SalinityStep, s.Systems[0].Limits.SalinityPerDay = 34, 2, 2
	q := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.9, 48)}})
	h := q.warmEnough(&q.start)
	most := func(h float64) (litres float64) {
		var f state
		f.copyFrom(&q.start)
		q.passTo(&f, h)
		var table table
		for _, ch := range table.options(q, &f, mostFall, tastes, false) {
			litres = max(litres, ch.litres)
		}
		return litres
	}
	const minute, want = 1.0 / 60, 240
	if !(h > minute && h < q.start.vats[1].warmH) || most(h) < want*(1-1e-4) || most(h-minute) >= want*(1-1e-4) {
		t.Errorf("%g h: %g L of %d wanted, %g a minute before", h, most(h), want, most(h-minute))
	}
}
