package schedule

import (
	"math"
	"testing"
	"time"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// TestABatchUnderWayIsWaitedFor: what is being mixed in a vat is drawn when it may be used and not before,
// no second batch goes into that vat meanwhile, and it does not count as water to draw at once. Against it:
// the same vat ready, and the same vat empty.
func TestABatchUnderWayIsWaitedFor(t *testing.T) {
	start := time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)
	load := func() *site.Site {
		s, faults := site.Load("vat.yaml", []byte(`format: 1
systems: [{id: tank, net_volume: 400 L, drawdown: 40 %, change_every: 1 h, lead: 0 h, water: {salinity: 35, temperature: 25 C}}]
stores:
  - {id: vat, holds: saltwater, volume: 200 L, capacity: 220 L, salinity: 35, temperature: 25 C, mixed: 2026-11-24, transfer: 4000 L/h}
  - {id: can, holds: saltwater, volume: 60 L, salinity: 35, temperature: 25 C, mixed: 2026-11-24, transfer: 4000 L/h}
  - {id: pure, holds: purified, volume: 300 L}
salts: [{id: salt, on_hand: 20 kg, dose: 38 g/L}]
events: [{id: spill, system: tank, remove: 45 %, within: 12 h}]
`))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return s
	}
	run := func(s *site.Site) (plan.Plan, float64) {
		demands, err := Demands(s, "spill")
		if err != nil {
			t.Fatal(err)
		}
		out, err := Run(s, start, demands, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return out.Plans[0], out.UsableNowL
	}
	ready, usable := run(load())
	if usable != 260 || ready.DoneAtH == nil || ready.Steps[0].AtH != 0 {
		t.Fatalf("ready: %v L, %+v", usable, ready.Steps)
	}
	s := load()
	from := start.Add(150 * time.Minute)
	s.StoreByID("vat").UsableFrom = &from
	p, usable := run(s)
	if usable != 60 || p.DoneAtH == nil || *p.DoneAtH <= *ready.DoneAtH || p.Exposure < ready.Exposure {
		t.Errorf("being mixed: %v L, done %v, exposure %v and %v", usable, p.DoneAtH, p.Exposure, ready.Exposure)
	}
	drawn := 0.0
	for _, step := range p.Steps {
		for _, d := range step.From {
			if d.StoreID != "vat" {
				continue
			}
			if step.AtH < 2.5-1e-9 {
				t.Errorf("change %d draws %v L at %v h", step.N, d.Litres, step.AtH)
			}
			if d.Batch == 0 {
				drawn += d.Litres
			}
		}
	}
	if drawn <= 0 {
		t.Errorf("nothing of the batch is used: %+v", p.Steps)
	}
	empty := load()
	empty.StoreByID("vat").Volume = empty.StoreByID("vat").Volume.Sub(empty.StoreByID("vat").Volume)
	if none, _ := run(empty); p.Exposure > none.Exposure {
		t.Errorf("exposure %v with a batch to come, %v with none", p.Exposure, none.Exposure)
	}
}

// TestABatchUnderWayIsWarmedMeanwhile: by its heater of 300 W, as one that the plan mixes itself. 200 L at 35
// and 20 °C take about 818 kJ for each degree: in the 3 h until they may be used they come to 24.0 °C, and
// were planned for at 20.
func TestABatchUnderWayIsWarmedMeanwhile(t *testing.T) {
	start := time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)
	s, faults := site.Load("vat.yaml", []byte(`format: 1
systems: [{id: tank, net_volume: 400 L, drawdown: 40 %, change_every: 1 h, lead: 0 h, water: {salinity: 35, temperature: 25 C}, ambient: 20 C}]
stores: [{id: vat, holds: saltwater, volume: 200 L, capacity: 200 L, salinity: 35, temperature: 20 C, mixed: 2026-11-24, transfer: 4000 L/h, heater: 300 W}]
events: [{id: spill, system: tank, remove: 40 %, within: 12 h}]
`))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	from := start.Add(3 * time.Hour)
	s.StoreByID("vat").UsableFrom = &from
	demands, err := Demands(s, "spill")
	if err != nil {
		t.Fatal(err)
	}
	out, err := Run(s, start, demands, Options{})
	if err != nil {
		t.Fatal(err)
	}
	first := out.Plans[0].Steps[0]
	if !(first.AtH <= 3.01) || len(first.From) != 1 || !(math.Abs(first.From[0].Temperature-24) <= 0.1) {
		t.Errorf("change 1 after %v h: %+v", first.AtH, first.From)
	}
}
