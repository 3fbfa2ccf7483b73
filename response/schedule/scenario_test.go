package schedule

import (
	"math"
	"testing"

	"tidehold/volumes/site"
)

// Halving 400 L from 300 L of matching water: 180 L (45 %), then 4 h later
// 400·(1 − 0.5/0.55) = 36.36 L.
func TestHalvingFromStoredWater(t *testing.T) {
	p := planned(t, placeOf(reef(400), vatOf("vat", 300, 440)), Options{Explain: true}, false, share(0.5, 24))
	if len(p.Steps) != 2 || !p.Exact {
		t.Fatalf("steps %+v", p.Steps)
	}
	close2(t, "first change", p.Steps[0].RemoveL, 180, 1e-9)
	close2(t, "second change", p.Steps[1].RemoveL, 400*(1-0.5/0.55), 1e-6)
	close2(t, "left", p.Steps[1].Levels[0].After, 0.5, 1e-12)
	doneAt(t, p, 4+2*400*(1-0.5/0.55)/1200, 1e-6)
	close2(t, "exposure", p.Exposure, 4*(0.55-0.5)/0.5, 1e-9)
	close2(t, "demand", p.DemandL, 180+400*(1-0.5/0.55), 1e-6)
	if p.Steps[0].CappedBy != ByDrawdown || p.Steps[1].CappedBy != ToTarget {
		t.Errorf("capped by %s, %s", p.Steps[0].CappedBy, p.Steps[1].CappedBy)
	}
	if p.Binding.Limit != ByDrawdown {
		t.Errorf("binding %+v", p.Binding)
	}
	t.Log(p.Binding.Detail)
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
	close2(t, "shortfall", p.ShortfallL, 400*(1-0.5/after), 1e-6)
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
	t.Log(p.Binding.Detail)
}

// 100 L purified in store and 10 L/h: enough for the 160 L needed after 6 h at the
// latest; what is there now is mixed at once.
func TestPurifierFillsUp(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 0, 440), pureOf("pure", 100, 300))
	s.Salts = []site.Salt{houseSalt(40)}
	s.Purifier = &site.Purifier{RateLH: 10, RatedAt: 25, Feed: 25}
	p := planned(t, s, Options{}, false, share(0.4, 24))
	for _, b := range p.Batches {
		t.Logf("%+v", b)
	}
	for _, b := range p.Steps {
		t.Logf("%+v", b)
	}
	t.Log(p.Supply, p.Nodes, *p.DoneAtH)
}

// Cold water caps the change: 21 °C into 25 °C, 1 K a step and 2 K a day, lets in
// about a quarter of the volume.
func TestColdWaterCapsTheChange(t *testing.T) {
	vat := vatOf("vat", 440, 440)
	vat.Water.Temperature = 21
	p := planned(t, placeOf(reef(400), vat), Options{Explain: true}, false, share(0.5, 72))
	for _, b := range p.Steps {
		t.Logf("%+v", b)
	}
	t.Log(p.Binding.Detail, p.Nodes, p.DoneAtH)
	if p.Steps[0].CappedBy != TemperatureStep {
		t.Error(p.Steps[0].CappedBy)
	}
	close2(t, "temperature", p.Steps[0].After.Temperature, 24, 2e-9)
}

func TestUnreachable(t *testing.T) {
	vat := vatOf("vat", 440, 440)
	vat.Background = map[string]float64{"copper": 4}
	p := planned(t, placeOf(reef(400), vat), Options{}, false, Aim{Contaminant: "copper", Start: 60, Target: 3.1, WithinH: 72})
	if p.Reachable || p.DoneAtH != nil || !math.IsInf(p.DemandL, 1) {
		t.Errorf("%+v", p)
	}
}
