package schedule

import (
	"math"
	"testing"

	"tidehold/response/plan"
)

// Two vats of 150 L at 15 °C, 250 W each, are warmed for a change of 80 L at the least: 60 L of one and 20 L of the
// other take longer than 40 L of each, since the heater of the 20 L rests when they are warm. More poured away of the
// first alone leaves too little to be changed, less of the second alone is no sooner; both at once are.
func TestWhatIsPouredAwayIsTradedBetweenVats(t *testing.T) {
	for _, c := range []struct {
		a, b float64
		want bool
	}{{90, 130, true}, {130, 90, true}, {110, 110, false}} {
		sys, a, b := reef(400), vatOf("a", 150, 150), vatOf("b", 150, 150)
		sys.LeastChange = 0.2
		a.Water.Temperature, a.HeaterW = 15, 250
		b.Water.Temperature, b.HeaterW = 15, 250
		p := laid(t, placeOf(sys, a, b), plan.Demand{Aims: []plan.Aim{share(0.2, 24)}})
		x := new(search)
		x.begin(p)
		x.thorough = true
		guide := []move{{kind: toWork, job: job{vat: 0, removeL: c.a}}, {kind: toWork, job: job{vat: 1, removeL: c.b}}}
		x.retrace(styles[0], nil, &p.start, guide, asLarge)
		was := x.snapshot()
		if !x.found || len(was.moves) < 3 || was.score.missed > 0 {
			t.Fatalf("%+v: %+v, %+v", c, was.score, was.moves)
		}
		better := x.variationOf(0, styles[0], math.MaxInt, coarse).traded(was.moves[0])
		if better != c.want || c.want != (x.score.finishH < was.score.finishH) {
			t.Errorf("%+v: better %v, done after %g h, %g before", c, better, x.score.finishH, was.score.finishH)
		}
	}
}
