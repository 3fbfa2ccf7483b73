package schedule

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// 300 L at 15 °C and a 500 W heater; no change may be smaller than 80 L, which must be at
// 20 °C to cool 400 L by no more than 1 K. All of it takes 3.4 h to warm; the 80 L alone
// 80 L × 1.025 kg/L × 3.99 kJ/(kg K) × 5 K / 500 W = 0.91 h (density and heat capacity of
// seawater at 35 and 15 to 20 °C: UNESCO 1983, EOS-80).
func TestPouringAwayWarmsTheRestSooner(t *testing.T) {
	sys, vat := reef(400), vatOf("vat", 300, 440)
	sys.LeastChange = 0.2
	vat.Water.Temperature, vat.HeaterW = 15, 500
	p := planned(t, placeOf(sys, vat), Options{}, false, share(0.2, 24))
	if len(p.Steps) != 1 || len(p.Prepared) != 1 {
		t.Fatalf("steps %+v after %+v, want one change after some is poured away", p.Steps, p.Prepared)
	}
	if at := p.Steps[0].AtH; at < 0.9 || at > 0.93 {
		t.Errorf("the change is made after %.3f h, want 0.91 h", at)
	}
	if p.Prepared[0].What != plan.Lower {
		t.Errorf("%s: whoever reads that pours all of it away", p.Prepared[0].What)
	}
	close2(t, "poured away", p.Prepared[0].RemoveL, 220, 4)
}

// 300 L, 110 L a change, an hour apart: 70 L at once, 108 L after 2 h, 64 L after 2.5 h. All
// there is each time leaves (1 − 70/300)(1 − 108/300)(1 − 64/300) = 38.6 %; 22 L at once
// leave enough for two full-size changes, and those take out more: 37.2 %.
func TestASmallerChangeNowLeavesLargerOnesLater(t *testing.T) {
	sys := reef(300)
	sys.Drawdown, sys.ChangeEveryH = 110.0/300, 1
	s := placeOf(sys, vatOf("vat", 70, 300))
	s.Deliveries = []site.Delivery{{AfterH: 2, Saltwater: 108}, {AfterH: 2.5, Saltwater: 64}}
	p := planned(t, s, Options{}, false, share(1-0.38, 4))
	if p.DoneAtH == nil || *p.DoneAtH > 4 {
		t.Fatalf("done after %v; steps %+v", p.DoneAtH, p.Steps)
	}
	if first := p.Steps[0]; first.LimitedBy != plan.ForLater || first.RemoveL >= 70 {
		t.Errorf("first change %.1f L, set by %s", first.RemoveL, first.LimitedBy)
	}
}

// More salt never makes the demo's broken heater short, and what is over its age is all
// poured away before anything is mixed on top.
func TestMoreSaltIsNeverShortAtTheDemo(t *testing.T) {
	for kg := 42.0; kg <= 70; kg += 0.5 {
		s, faults := site.Load("demo.yaml", site.Demo())
		if s == nil {
			t.Fatal(faults)
		}
		s.Salts[0].OnHand = decimal.NewFromFloat(kg)
		demands, err := Demands(s, "broken-heater")
		if err != nil {
			t.Fatal(err)
		}
		out, err := Run(s, noon.AddDate(0, 0, 5), demands, Options{})
		if err != nil {
			t.Fatal(err)
		}
		p := &out.Plans[0]
		if p.DoneAtH == nil || *p.DoneAtH > 240 {
			t.Errorf("%g kg of salt: done after %v h", kg, p.DoneAtH)
		}
		emptied := false
		old := s.StoreByID("vat-b")
		for _, w := range p.Prepared {
			emptied = emptied || w.StoreID == "vat-b" && math.Abs(w.RemoveL-float64(old.Usable())) < 1
		}
		for _, b := range p.Batches {
			if b.StoreID == "vat-b" && !emptied {
				t.Errorf("%g kg of salt: a batch on top of water over its age", kg)
			}
		}
	}
}
