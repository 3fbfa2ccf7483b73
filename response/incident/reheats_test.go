package incident

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/response/schedule"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// TestTheNextChangeIsSizedForTheTankAsItIsThen: a tank whose heaters bring it back by the next change was planned for as it stood
// right after the last: 25 L of 20 °C for a tank at 24 °C, which was at 25 °C again when they were poured.
func TestTheNextChangeIsSizedForTheTankAsItIsThen(t *testing.T) {
	s, faults := site.Load("site.yaml", []byte(`format: 1
systems: [{id: reef, net_volume: 100 L, drawdown: 45 %, change_every: 4 h, lead: 0 h, water: {salinity: 35, temperature: 25 C}}]
stores: [{id: vat, holds: saltwater, volume: 200 L, salinity: 35, temperature: 20 C, mixed: 2026-11-20}]
events: [{id: half, system: reef, remove: 60 %, within: 3 d}]
`))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, c := range []struct {
		reheats bool
		litres  float64
	}{{true, 20}, {false, 25}} {
		b := &book{t: t}
		d := at(0)
		d.Incident = 0
		b.put(d.Open(Opening{Name: "half", System: "reef", Event: true, Reheats: c.reheats, Aims: []Aim{{Remove: 0.6, WithinH: 72}}}))
		salinity, cold := 35.0, 20.0
		b.put(at(0).Change([]stock.Pour{{Store: "vat", Litres: decimal.NewFromInt(20), Salinity: &salinity, TemperatureC: &cold}}))
		folded, _ := stock.Fold(s, b.entries, at(0.1).At)
		st, err := b.log().StateAt(folded, at(0.1).At, noTarget)
		if err == nil {
			err = st.UnderWay(s, folded, b.entries, schedule.Options{Nodes: 300})
		}
		if err != nil {
			t.Fatal(err)
		}
		first := planned(t, st, folded).Steps[0]
		if !(math.Abs(first.RemoveL-c.litres) < 0.2) || !(math.Abs(first.AtH-3.9) < 0.01) {
			t.Errorf("reheats %v: %v L after %v h, want %v L", c.reheats, first.RemoveL, first.AtH, c.litres)
		}
	}
}
