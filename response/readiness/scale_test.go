package readiness

import (
	"fmt"
	"strings"
)

// manySystems writes a site file of n systems with three events each: half of the
// water within a day, or of every fifth within four hours, a fifth within two hours, copper from 60 to 10 µg/L within
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
		within := 24
		if i%5 == 0 {
			within = 4 // two changes that long apart end later
		}
		fmt.Fprintf(&b, "  - {id: half-%d, system: s%d, remove: 50 %%, within: %d h}\n", i, i, within)
		fmt.Fprintf(&b, "  - {id: fifth-%d, system: s%d, remove: 20 %%, within: 2 h}\n", i, i)
		fmt.Fprintf(&b, "  - {id: copper-%d, system: s%d, contaminant: copper, start: 60 ug/L, target: 10 ug/L, within: 72 h}\n", i, i)
	}
	return b.String()
}
