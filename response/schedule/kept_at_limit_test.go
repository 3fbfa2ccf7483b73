package schedule

import (
	"testing"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// A tank that is kept at its highest salinity, 20, and a vat of 35 with less purified water than cuts all of
// it: what is cut has half the alkalinity, and a dKH in a day is what holds each change back, not the salinity that
// the tank is at already. Once the day has passed the next change is made; it never was, two changes of a smaller
// batch were all, and three times as much was left.
func TestWhatIsKeptAtALimitIsNotHeldBackByIt(t *testing.T) {
	sys := reef(90)
	sys.Drawdown, sys.ChangeEveryH = 0.5, 2
	sys.Water.Salinity, sys.Water.AlkalinityDKH = 20, ptr(8.0)
	sys.Limits.SalinityLow, sys.Limits.SalinityHigh, sys.Limits.AlkalinityPerDay = 14, 20, 1
	butt := vatOf("butt", 110, 180)
	butt.Heel, butt.Water.Salinity, butt.Water.AlkalinityDKH = 6, 35, ptr(8.0)
	s := placeOf(sys, butt, pureOf("pure", 53, 120))
	s.Salts = []site.Salt{houseSalt(20)}
	p := planned(t, s, Options{}, false, plan.Aim{Contaminant: "ammonia", Start: 3, Target: 0.5, WithinH: 24})
	if len(p.Steps) < 3 {
		t.Fatalf("%d changes", len(p.Steps))
	}
	if by := p.Steps[0].LimitedBy; by != plan.AlkalinityPerDay {
		t.Errorf("the first change is limited by %s", by)
	}
	if left := p.Steps[len(p.Steps)-1].Levels[0].After; left > 0.6 {
		t.Errorf("%g of 3 is left", left)
	}
	for i, x := range p.Steps {
		if x.LimitedBy == plan.SalinityHigh {
			t.Errorf("change %d is limited by the salinity that it is kept at", i+1)
		}
	}
}
