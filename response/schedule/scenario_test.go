package schedule

import (
	"math"
	"strings"
	"testing"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// Halving 400 L from 300 L of matching water: 180 L (45 %), then 4 h later
// 400·(1 − 0.5/0.55) = 36.36 L.
func TestHalvingFromStoredWater(t *testing.T) {
	p := planned(t, placeOf(reef(400), vatOf("vat", 300, 440)), Options{Explain: true}, false, share(0.5, 24))
	if len(p.Steps) != 2 || !p.Proved {
		t.Fatalf("steps %+v", p.Steps)
	}
	close2(t, "first change", p.Steps[0].RemoveL, 180, 1e-9)
	close2(t, "second change", p.Steps[1].RemoveL, 400*(1-0.5/0.55), 1e-6)
	close2(t, "left", p.Steps[1].Levels[0].After, 0.5, 1e-12)
	doneAt(t, p, 4+2*400*(1-0.5/0.55)/1200, 1e-6)
	close2(t, "exposure", p.Exposure, 4*(0.55-0.5)/0.5, 1e-9)
	close2(t, "demand", *p.DemandL, 180+400*(1-0.5/0.55), 1e-6)
	if p.Steps[0].LimitedBy != plan.ByDrawdown || p.Steps[1].LimitedBy != plan.ToTarget {
		t.Errorf("capped by %s, %s", p.Steps[0].LimitedBy, p.Steps[1].LimitedBy)
	}
	if p.Binding.Limit != plan.ByDrawdown {
		t.Errorf("binding %+v", p.Binding)
	}
}

// A heel of 12 L and a reserve of 60 L leave 300 − 72 = 228 L, and no batch can be
// made: 180 L, then 48 L, of the 216.4 L that halving takes.
func TestHeelAndReserveAreLeft(t *testing.T) {
	vat := vatOf("vat", 272, 440)
	vat.Heel = 12
	s := placeOf(reef(400), vat)
	s.Reserve.Saltwater = 60
	p := planned(t, s, Options{}, false, share(0.5, 24))
	close2(t, "usable", p.UsableNowL, 200, 1e-9)
	close2(t, "water", p.WaterL, 200, 1e-9)
	if p.DoneAtH != nil {
		t.Error("done without the water for it")
	}
	after := 0.55 * (1 - 20.0/400)
	close2(t, "lacking", *p.LackingL, 400*(1-0.5/after), 1e-6)
}

// Nothing stored, 200 L purified, salt for plenty: a batch of the 160 L that are
// needed is mixed for 2 h.
func TestBatchFromPurifiedWater(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 0, 440), pureOf("pure", 250, 300))
	s.Salts = []site.Salt{houseSalt(40)}
	p := planned(t, s, Options{Explain: true}, false, share(0.4, 24))
	if len(p.Batches) != 1 || len(p.Steps) != 1 {
		t.Fatalf("batches %+v steps %+v", p.Batches, p.Steps)
	}
	close2(t, "batch", p.Batches[0].Litres, 160, 1e-6)
	close2(t, "salt", p.Batches[0].SaltKg, 160*38.4/1000, 1e-6)
	close2(t, "start", p.Steps[0].AtH, 2, 1e-9)
	doneAt(t, p, 2+320.0/1200, 1e-6)
}

// 100 L purified in store, 10 L/h, 160 L needed: what is there is mixed at once, and
// used after 2 h; the rest follows as the purifier makes it, each batch just mixed when
// the next change may start.
func TestPurifierFillsUp(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 0, 440), pureOf("pure", 100, 300))
	s.Salts = []site.Salt{houseSalt(40)}
	s.Purifier = &site.Purifier{RateLH: 10, RatedAt: 25, Feed: 25}
	p := planned(t, s, Options{Explain: true}, false, share(0.4, 24))
	if len(p.Batches) < 2 {
		t.Fatalf("batches %+v", p.Batches)
	}
	close2(t, "first batch", p.Batches[0].PurifiedL, 100, 1e-9)
	left := 1.0
	for k, step := range p.Steps {
		left *= 1 - step.RemoveL/400
		if k < len(p.Batches) && k > 0 {
			close2(t, "in time for the change", p.Batches[k].MixedH, step.AtH, 4)
		}
	}
	close2(t, "left", left, 0.6, 1e-9)
	// What one batch of all that is lacking would bring, begun when the water is there.
	first := p.Batches[0].Litres
	rest := 400 * (1 - 0.6/(1-first/400))
	single := (0.4*2 + (1-first/400-0.6)*rest*0.988/10) / 0.6
	if p.Exposure > single {
		t.Errorf("exposure %g, with one batch for the rest %g", p.Exposure, single)
	}
	if n := len(p.Supply); p.Supply[0].Litres != 0 || !(math.Abs(p.Supply[n-1].Litres-p.WaterL) <= leastEmpty*400) {
		t.Errorf("supply %+v", p.Supply)
	}
}

// Cold water caps the change: 21 °C into 25 °C may cool the system by 1 K a step and
// 2 K a day, which lets in a quarter, then a third of the volume less the rest of it;
// what is left of halving waits for the next day.
func TestColdWaterCapsTheChange(t *testing.T) {
	vat := vatOf("vat", 440, 440)
	vat.Water.Temperature = 21
	p := planned(t, placeOf(reef(400), vat), Options{Explain: true}, false, share(0.52, 72))
	if len(p.Steps) != 3 || p.Steps[0].LimitedBy != plan.TemperatureStep || p.Steps[1].LimitedBy != plan.TemperaturePerDay {
		t.Fatalf("steps %+v", p.Steps)
	}
	close2(t, "temperature after the first", p.Steps[0].After.Temperature, 24, 2e-9)
	close2(t, "temperature after the second", p.Steps[1].After.Temperature, 23, 4e-9)
	// By volume a quarter and a third: the heat capacity of a litre differs by 0.1 % only.
	close2(t, "first", p.Steps[0].RemoveL, 100, 0.1)
	close2(t, "second", p.Steps[1].RemoveL, 400.0/3, 0.1)
	close2(t, "third", p.Steps[2].AtH, 24, 1e-9)
	if p.Binding.Limit != plan.TemperaturePerDay || !strings.Contains(p.Binding.Detail, "3 °C: done in 8.") {
		t.Errorf("binding %+v", p.Binding)
	}
}

func TestUnreachable(t *testing.T) {
	vat := vatOf("vat", 440, 440)
	vat.Background = map[string]float64{"copper": 4}
	p := planned(t, placeOf(reef(400), vat), Options{}, false, plan.Aim{Contaminant: "copper", Start: 60, Target: 3.1, WithinH: 72})
	if p.Reachable || p.DoneAtH != nil || p.DemandL != nil {
		t.Errorf("%+v", p)
	}
}
