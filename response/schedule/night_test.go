package schedule

import (
	"testing"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// Where sleep is all that a plan is late for, that is what holds it back, not the hours between changes that
// would be shortened for the animals: from noon, a change every 6 h, 07:00 to 20:00. 60 % in changes of a
// quarter take four: at 0, 6, 19 and 25 h, or at 0, 6, 12 and 18 h for whoever gets up.
func TestSleepHoldsAPlanBack(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 700, 800))
	s.Systems[0].ChangeEveryH, s.Systems[0].Drawdown = 6, 0.25
	s.Awake = &site.Awake{FromH: 7, ToH: 20}
	for _, c := range []struct {
		within float64
		limit  plan.Limit
		inTime bool
	}{{20, plan.ByNight, false}, {24, plan.ByNight, false}} {
		p := planned(t, s, Options{Explain: true}, true, share(0.6, c.within))
		b := p.Binding
		if p.InTime != c.inTime || b.Limit != c.limit || b.DoneAtH == nil || *b.DoneAtH > c.within || b.Unit != plan.GettingUp {
			t.Errorf("within %g h: in time %v, %+v", c.within, p.InTime, b)
		}
	}
	// With nobody asleep, or all of it done before the night, it is no limit.
	s.Awake = nil
	if p := planned(t, s, Options{Explain: true}, true, share(0.6, 20)); p.Binding.Limit == plan.ByNight {
		t.Errorf("without a night: %+v", p.Binding)
	}
	s.Awake = &site.Awake{FromH: 7, ToH: 20}
	if p := planned(t, s, Options{Explain: true}, true, share(0.4, 20)); p.Binding.Limit == plan.ByNight {
		t.Errorf("done before the night: %+v", p.Binding)
	}
}
