package readiness

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"tidehold/volumes/site"
)

// manySystems writes a site file of n systems with three events each: half of the
// water within a day, a fifth within two hours, copper from 60 to 10 µg/L within
// three days. Volumes and temperatures differ from system to system; the stores
// are those of one house.
func manySystems(n int) string {
	var b strings.Builder
	b.WriteString("format: 1\nsystems:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {id: s%d, net_volume: %d L, drawdown: 45 %%, change_every: 4 h, water: {salinity: 35, temperature: %d C}}\n", i, 100+i*37%700, 20+i%7)
	}
	b.WriteString(`stores:
  - {id: vat-a, holds: saltwater, capacity: 600 L, volume: 420 L, heel: 12 L, salinity: 35.2, temperature: 21 C, mixed: 2026-11-14, max_age: 30 d, heater: 300 W, transfer: 1500 L/h}
  - {id: vat-b, holds: saltwater, capacity: 300 L, volume: 40 L, salinity: 35, temperature: 20 C, mixed: 2026-11-20, max_age: 30 d, transfer: 1500 L/h}
  - {id: pure, holds: purified, capacity: 500 L, volume: 300 L, temperature: 18 C, filled_by: purifier}
salts: [{id: house, on_hand: 12 kg, dose: 38.4 g/L, dose_at: {salinity: 35, temperature: 25 C, per: finished}, price: 3.10}]
purifier: {rate: 9 L/h, rated_at: 25 C, feed: 12 C}
reserve: {saltwater: 60 L, purified: 40 L}
events:
`)
	for i := range n {
		fmt.Fprintf(&b, "  - {id: half-%d, system: s%d, remove: 50 %%, within: 24 h}\n", i, i)
		fmt.Fprintf(&b, "  - {id: fifth-%d, system: s%d, remove: 20 %%, within: 2 h}\n", i, i)
		fmt.Fprintf(&b, "  - {id: copper-%d, system: s%d, contaminant: copper, start: 60 ug/L, target: 10 ug/L, within: 72 h}\n", i, i)
	}
	return b.String()
}

// judgeMany loads and judges a file of n systems and says how long it took.
func judgeMany(t testing.TB, n int) (Result, time.Duration) {
	data := []byte(manySystems(n))
	begin := time.Now()
	s, faults := site.Load("many.yaml", data)
	if s == nil {
		t.Fatal(faults[0])
	}
	r, err := Judge(s, now, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r, time.Since(begin)
}

// TestAThousandSystems holds the budgets of a large file, 2 s and 200 MiB, the time
// with room for a busy machine, and that twice the systems take about twice as long.
func TestAThousandSystems(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	const budget, slack = 2 * time.Second, 5
	r, whole := judgeMany(t, 1000)
	if len(r.Events) != 3000 {
		t.Fatalf("%d events", len(r.Events))
	}
	count := map[Verdict]int{}
	for _, e := range r.Events {
		count[e.Verdict]++
	}
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	t.Logf("%v, %v, %d MiB from the system", whole.Round(time.Millisecond), count, memory.Sys>>20)
	if whole > budget*slack || memory.Sys > 200<<20 {
		t.Errorf("%v and %d MiB; the budgets are %v and 200 MiB", whole, memory.Sys>>20, budget)
	}
	if count[Covered] == 0 || count[Late] == 0 || count[Short] == 0 {
		t.Errorf("the file is to hold every verdict: %v", count)
	}
	fastest := func(n int) time.Duration {
		least := time.Hour
		for range 5 {
			_, d := judgeMany(t, n)
			least = min(least, d)
		}
		return least
	}
	if one, two := fastest(300), fastest(600); float64(two) > 2.6*float64(one) {
		t.Errorf("300 systems take %v, 600 take %v", one, two)
	}
}

func BenchmarkThousandSystems(b *testing.B) {
	for b.Loop() {
		judgeMany(b, 1000)
	}
}
