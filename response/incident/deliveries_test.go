package incident

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/response/schedule"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// TestADeliveryComesAfterTheEventBegan: 40 L that come 14 h after the event were awaited 14 h from whenever
// somebody looked, for ever, and what was poured of them was counted again.
func TestADeliveryComesAfterTheEventBegan(t *testing.T) {
	s, faults := site.Load("site.yaml", []byte(`format: 1
systems: [{id: nano, net_volume: 50 L, drawdown: 40 %, change_every: 1 h, lead: 0 h, water: {salinity: 35, temperature: 25 C}}]
stores:
  - {id: jug, holds: saltwater, volume: 10 L, capacity: 20 L, salinity: 35, temperature: 25 C, mixed: 2026-11-20}
  - {id: pure, holds: purified, volume: 10 L, capacity: 200 L}
salts: [{id: bag, on_hand: 1 kg, dose: 38 g/L}]
deliveries:
  - {after: 14 h, saltwater: 40 L, salinity: 35, temperature: 25 C}
  - {after: 20 h, purified: 100 L}
  - {after: 30 h, salt: 20 kg}
events: [{id: spill, system: nano, contaminant: copper, start: 60 ug/L, target: 1 ug/L, within: 9 d}]
`))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	b := &book{t: t}
	opening := at(0)
	opening.Incident = 0
	b.put(opening.Open(Opening{Name: "spill", System: "nano", Event: true, Reheats: true, Aims: []Aim{{Contaminant: "copper", Start: 60, Target: 1, WithinH: 216}}}))
	// look gives when the first water of a delivery is drawn, hours from the look, and what has come.
	look := func(h float64) (float64, []Arrival) {
		t.Helper()
		logs, _ := Logs(b.entries)
		folded, _ := stock.Fold(s, b.entries, at(h).At)
		st, err := logs[0].StateAt(folded, at(h).At, noTarget)
		if err == nil {
			err = st.UnderWay(s, folded, b.entries, schedule.Options{Nodes: 300})
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, step := range planned(t, st, folded).Steps {
			for _, d := range step.From {
				if d.Delivery == 1 {
					return step.AtH, st.Arrived
				}
			}
		}
		return math.NaN(), st.Arrived
	}
	if h, came := look(2); !(math.Abs(h-12) <= 0.01) || len(came) != 0 {
		t.Errorf("after 2 h it is awaited in %v h, not 12; come: %v", h, came)
	}
	if h, came := look(15); h > 1.01 || len(came) != 1 || came[0].N != 1 || came[0].Saltwater != 40 || !came[0].At.Equal(at(14).At) {
		t.Errorf("after 15 h it is awaited in %v h; come: %v", h, came)
	}
	salinity, temp := 35.0, 25.0
	litres := func(x float64) decimal.Decimal { return decimal.NewFromFloat(x) }
	b.put(at(15).Change([]stock.Pour{{Litres: litres(15), Salinity: &salinity, TemperatureC: &temp}}))
	if _, came := look(16.1); len(came) != 1 || came[0].Saltwater != 25 {
		t.Errorf("of 40 L 15 are poured; come: %v", came)
	}
	into := func(store string, l float64) {
		x := litres(l)
		b.put(stock.Entry{Kind: stock.Add, Store: store, Litres: &x, Time: at(16).At}, nil)
	}
	into("jug", 10)
	into("pure", 100)
	b.put(at(17).Change([]stock.Pour{{Litres: litres(15), Salinity: &salinity, TemperatureC: &temp}}))
	if h, came := look(31); !math.IsNaN(h) || len(came) != 1 || came[0].N != 3 || came[0].SaltKg != 20 {
		t.Errorf("all the water is poured or put away, and the salt is not: %v h, %v", h, came)
	}
	kg := litres(20)
	b.put(stock.Entry{Kind: stock.Salt, SaltID: "bag", BoughtKg: &kg, Time: at(31).At}, nil)
	if _, came := look(32); len(came) != 0 {
		t.Errorf("all of it is entered: %v", came)
	}
}
