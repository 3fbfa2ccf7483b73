package schedule

import (
	"testing"

	"tidehold/response/plan"
)

// TestIdealAgreesWithThePlanOfAHouseThatLacksNothing: with a vat of matching water
// larger than any need, the schedule takes what the closed form takes. 400 L, 45 % at
// a time, copper 60 to 6: 0.55³ leaves 9.98, so three full changes of 180 L and a
// last one of 400·(1 − 6/9.9825) = 159.58 L, 699.58 L in all.
func TestIdealAgreesWithThePlanOfAHouseThatLacksNothing(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 5000, 5000))
	d := plan.Demand{System: &s.Systems[0], Aims: []plan.Aim{{Contaminant: "copper", Start: 60, Target: 6}}}
	p := Ideal(d, []float64{0})
	p.Trials, p.Seed = 1000, 1
	free, err := p.Plan()
	if err != nil {
		t.Fatal(err)
	}
	made := planFor(t, s, []plan.Demand{d})
	close2(t, "litres by the closed form", free.WaterL, 699.58, 0.01)
	close2(t, "litres of the schedule", made.WaterL, free.WaterL, 1e-6)
	if len(made.Steps) != free.Changes || free.Changes != 4 {
		t.Errorf("%d changes, %d by the closed form", len(made.Steps), free.Changes)
	}
}
