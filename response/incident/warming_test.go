package incident

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/response/schedule"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// TestAVatGoesOnWarming: a change that waits until its vat is warm was put off by an hour with each hour at which somebody
// looked. The tank bears no colder water: 160 L take 160·4.08 kJ/K·5 K/400 W, 2.27 h.
func TestAVatGoesOnWarming(t *testing.T) {
	s, faults := site.Load("site.yaml", []byte(`format: 1
systems: [{id: reef, net_volume: 400 L, drawdown: 45 %, lead: 0 h, water: {salinity: 35, temperature: 25 C}, limits: {temperature_low: 25 C}}]
stores:
  - {id: vat, holds: saltwater, volume: 160 L, capacity: 160 L, salinity: 35, temperature: 20 C, mixed: 2026-11-20, heater: 400 W, transfer: 1000 L/h}
  - {id: cold, holds: saltwater, volume: 10 L, salinity: 35, temperature: 20 C, mixed: 2026-11-20}
events: [{id: half, system: reef, remove: 40 %, within: 24 h}]
`))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	b := &book{t: t}
	d := at(0)
	d.Incident = 0
	b.put(d.Open(Opening{Name: "half", System: "reef", Event: true, Reheats: true, Aims: []Aim{{Remove: 0.4, WithinH: 24}}}))
	// first is when the first change begins, hours after the opening, looked at after h hours.
	first := func(h float64) float64 {
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
		return h + planned(t, st, folded).Steps[0].AtH
	}
	begins := first(0)
	if !(math.Abs(begins-2.27) < 0.05) {
		t.Fatalf("the first change begins after %v h", begins)
	}
	for _, h := range []float64{0.5, 1.5, 2} {
		if x := first(h); !(math.Abs(x-begins) < 0.02) {
			t.Errorf("looked at after %v h it begins after %v h, not %v", h, x, begins)
		}
	}
	if x := first(4); x != 4 {
		t.Errorf("after 4 h the vat is warm, and the change begins after %v h", x)
	}
	// What is measured counts from then on.
	cool := 21.0
	b.put(stock.Entry{Kind: stock.Tested, Store: "vat", TemperatureC: &cool, Time: at(1).At}, nil)
	if x := first(2); !(math.Abs(x-(1+begins*4/5)) < 0.1) {
		t.Errorf("at 21 °C after 1 h the first change begins after %v h", x)
	}
	salinity, warm := 35.0, 25.0
	b.put(at(3).Change([]stock.Pour{{Store: "vat", Litres: decimal.NewFromInt(60), Salinity: &salinity, TemperatureC: &warm}}))
	if x := first(3.1); x > 3.11 && x < 6.9 {
		t.Errorf("measured at 25 °C the vat is warm: the next change begins after %v h", x)
	}
}
