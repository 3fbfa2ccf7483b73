package site_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"tidehold/volumes/site"
)

// many is a site of n systems as people write them, with three events each.
func many(n int) []byte {
	var b strings.Builder
	b.WriteString("format: 1\nsystems:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - id: s%d\n    net_volume: 640 L ± 8 %%\n    drawdown: 45 %%\n    change_every: 4 h\n"+
			"    water: {salinity: 35, temperature: 25.5 C, ph: 8.2, alkalinity: 8.2 dKH, calcium: 430 mg/L, magnesium: 1320 mg/L}\n"+
			"    equipment: [{id: heater, kind: heater, power: 300 W}, {id: top-off, kind: top-off, reservoir: 40 L, flow: 6 L/h}]\n", i)
	}
	b.WriteString("stores: [{id: vat, holds: saltwater, volume: 5000 L}]\nevents:\n")
	for i := range n {
		for k := range 3 {
			fmt.Fprintf(&b, "  - {id: e%d-%d, system: s%d, playbook: heater-break, contaminant: copper, start: 60 ug/L, target: 3.1 ug/L, within: 72 h}\n", i, k, i)
		}
	}
	return []byte(b.String())
}

func BenchmarkLoad1000Systems(b *testing.B) {
	data := many(1000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, faults := site.Load("many.yaml", data); len(faults) > 0 {
			b.Fatal(faults[0])
		}
	}
}

func BenchmarkLoadDemo(b *testing.B) {
	data := site.Demo()
	b.ReportAllocs()
	for b.Loop() {
		site.Load("demo", data)
	}
}

// Ten times the systems may take at most forty times as long, whatever else the
// machine does; searching for names would make it a hundred. Names are looked up,
// not searched for.
func TestLoadingTimeGrowsWithTheFileOnly(t *testing.T) {
	if testing.Short() {
		t.Skip("measures time")
	}
	took := func(n int) time.Duration {
		data, best := many(n), time.Hour
		for range 3 {
			start := time.Now()
			site.Load("many.yaml", data)
			best = min(best, time.Since(start))
		}
		return best
	}
	small, large := took(100), took(1000)
	if large > 40*small {
		t.Errorf("100 systems take %v, 1000 take %v", small, large)
	}
}
