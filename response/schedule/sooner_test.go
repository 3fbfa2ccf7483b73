package schedule

import (
	"testing"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// scarce is a house with just enough water for its target once a delivery has come: 112 L at 18 °C that
// warm, what is mixed of some purified water, and 120 L after a day.
func scarce(purified float64) (*site.Site, plan.Aim) {
	sys := reef(400)
	sys.Drawdown, sys.LeastChange, sys.Ambient.Usual = 0.3, 0.02, 19
	sys.Limits.TemperatureLow, sys.Limits.TemperaturePerDay = 20, 1
	v := vatOf("vat", 120, 120)
	v.Heel, v.HeaterW, v.Water.Temperature = 8, 300, 18
	s := placeOf(sys, v, pureOf("pure", purified, 400))
	s.Salts = []site.Salt{houseSalt(8)}
	s.Reserve.Saltwater = 40
	s.Deliveries = []site.Delivery{{AfterH: 24, Saltwater: 120}}
	return s, plan.Aim{Contaminant: "copper", Start: 60, Target: 25, WithinH: 72}
}

// Where the water is just enough, a change before those that need it is made as large as leaves them
// what they need, not the largest or none: nobody waits for a day beside a full vat. And more purified
// water is never worse.
func TestASmallChangeComesBeforeThoseThatNeedTheWater(t *testing.T) {
	last := 0.0
	for n, purified := range []float64{110, 112, 114, 116, 118, 122} {
		s, aim := scarce(purified)
		p := planned(t, s, Options{}, false, aim)
		if p.DoneAtH == nil || len(p.Steps) == 0 {
			t.Fatalf("%g L: done %v", purified, p.DoneAtH)
		}
		if first := p.Steps[0]; first.AtH > 1 {
			t.Errorf("%g L of purified water: the first change comes after %.2f h", purified, first.AtH)
		}
		exposure := exposureOf(&p, aim)
		if n > 0 && exposure > last*(1+1e-9) {
			t.Errorf("%g L of purified water: exposure %g, with less %g", purified, exposure, last)
		}
		last = exposure
	}
}

// exposureOf is how long a plan leaves how much above the target, in hours times the target, from its
// printed levels: each goes straight from the one after a change to the one before the next.
func exposureOf(p *plan.Plan, aim plan.Aim) (sum float64) {
	t, c := 0.0, aim.Start
	for _, s := range p.Steps {
		sum += (max(0, c-aim.Target) + max(0, s.Levels[0].Before-aim.Target)) / 2 * (s.AtH - t) / aim.Target
		t, c = s.AtH, s.Levels[0].After
	}
	return sum
}

// Where something is being added and the target is out of reach, the water is not kept for the last
// hours of the days that count: three days of the plan have no more exposure than changes made by a
// keeper who pours what there is at once and then a full one whenever enough has been purified, by hand.
func TestOutOfReachWithASourceTheWaterIsNotKeptForTheEnd(t *testing.T) {
	for _, mgH := range []float64{0.4, 0.8, 1.6} {
		v := vatOf("vat", 300, 400)
		v.HeaterW = 300
		s := placeOf(reef(400), v, pureOf("pure", 100, 400))
		s.Salts = []site.Salt{houseSalt(40)}
		s.Purifier = &site.Purifier{RateLH: 9, RatedAt: 25, Feed: 25}
		aim := plan.Aim{Contaminant: "copper", Start: 60, Target: 10, SourceMgH: mgH, WithinH: 72}
		p := planned(t, s, Options{}, false, aim)
		if p.DoneAtH != nil {
			t.Fatalf("%g mg/h: done after %v h", mgH, *p.DoneAtH)
		}
		rise := mgH * 1000 / 400
		over := func(changes [][2]float64) (sum float64) {
			at, c := 0.0, aim.Start
			for _, ch := range append(changes, [2]float64{72, 0}) {
				h := ch[0] - at
				sum += (c - aim.Target + rise*h/2) * h / aim.Target
				at, c = ch[0], (c+rise*h)*(1-ch[1]/400)
			}
			return sum
		}
		var made [][2]float64
		for _, s := range p.Steps {
			made = append(made, [2]float64{s.AtH, s.RemoveL})
		}
		byHand := over([][2]float64{{0, 180}, {4, 120}, {14, 180}, {34, 180}, {54, 180}})
		if got := over(made); got > byHand {
			t.Errorf("%g mg/h: exposure %.1f in three days, by hand %.1f; %v", mgH, got, byHand, made)
		}
	}
}

// 200 L stand ready, 1 L an hour is purified, and copper goes on coming: whoever waits six days pours enough
// to meet 20 µg/L for an hour. The water that is there is poured at once.
func TestATargetMetOnceTooLateIsNotWaitedFor(t *testing.T) {
	sys := reef(400)
	sys.Drawdown = 0.8
	s := placeOf(sys, vatOf("vat", 200, 400), pureOf("pure", 0, 400))
	s.Salts = []site.Salt{houseSalt(40)}
	s.Purifier = &site.Purifier{RateLH: 1, RatedAt: 25, Feed: 18}
	aim := plan.Aim{Contaminant: "copper", Start: 60, Target: 20, SourceMgH: 0.1, WithinH: 72}
	p := planned(t, s, Options{}, true, aim)
	if p.DoneAtH != nil || len(p.Steps) == 0 || p.Steps[0].AtH > 1 || p.Steps[0].RemoveL < 150 {
		t.Errorf("done %v, steps %+v", p.DoneAtH, p.Steps)
	}
	// Without the source it is done, however late.
	aim.SourceMgH = 0
	aim.WithinH = 24
	if p = planned(t, s, Options{}, true, aim); p.DoneAtH == nil || *p.DoneAtH < 24 {
		t.Errorf("without a source: done %v", p.DoneAtH)
	}
}

// 200 L stand ready, 240 L come after nine hours, copper goes on coming, and 16 µg/L in two hours is out of
// reach: whoever waits nine hours beside the full vat touches it once, a day late.
func TestNobodyWaitsBesideAFullVatForATargetMetTooLate(t *testing.T) {
	sys := reef(400)
	sys.ChangeEveryH, sys.LeastChange, sys.Drawdown = 2, 0.1, 0.45
	sys.Limits.TemperatureStep, sys.Limits.TemperaturePerDay = 4, 4
	s := placeOf(sys, vatOf("vat", 200, 200))
	s.Deliveries = []site.Delivery{{AfterH: 9, Saltwater: 240}}
	s.Awake = &site.Awake{FromH: 13, ToH: 21}
	p := planned(t, s, Options{}, false, plan.Aim{Contaminant: "copper", Start: 60, Target: 16, SourceMgH: 0.04, WithinH: 2})
	if len(p.Steps) == 0 || p.Steps[0].AtH > 0.1 || p.Steps[0].RemoveL < 170 {
		t.Errorf("done %v, steps %+v", p.DoneAtH, p.Steps)
	}
}

// A batch that waits for its purified water is begun later and larger where one change then does what
// would take two: 9 L/h, 40 L to begin with, and at 22:00 everybody goes to bed.
func TestABatchWaitsForTheWaterOfAWholeChange(t *testing.T) {
	sys := reef(200)
	sys.Drawdown, sys.ChangeEveryH, sys.Water.Salinity, sys.Ambient.Usual = 0.6, 12, 32, 16
	sys.Limits.TemperatureStep, sys.Limits.TemperaturePerDay, sys.Limits.SalinityStep, sys.Limits.SalinityLow, sys.Limits.SalinityHigh = 0.5, 4, 0.5, 27, 34
	empty, cold := vatOf("empty", 0, 240), vatOf("cold", 68.5, 100)
	empty.HeaterW, cold.Water.Temperature, cold.Water.Salinity = 300, 18, 33
	s := placeOf(sys, empty, cold, pureOf("pure", 39.64, 400))
	s.Salts = []site.Salt{{ID: "house", OnHand: houseSalt(4).OnHand, DoseGL: 38, DosePer: houseSalt(4).DosePer, DoseSalinity: 32, DoseTemperature: 25}}
	s.Purifier = &site.Purifier{RateLH: 9, RatedAt: 25, Feed: 25}
	s.Mixing.EmergencyTimeH, s.Mixing.In = 2, []string{"empty"}
	s.Awake = &site.Awake{FromH: 7, ToH: 22}
	p := planned(t, s, Options{}, false, share(0.5, 72))
	if len(p.Steps) != 1 || p.DoneAtH == nil || *p.DoneAtH > 8 {
		t.Errorf("done %v, steps %+v", p.DoneAtH, p.Steps)
	}
}
