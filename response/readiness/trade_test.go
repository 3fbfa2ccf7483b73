package readiness

import (
	"math"
	"testing"
)

// twoPrices is a house in which salt and stored saltwater may be had for each other: the least of
// either beside the least of the other is not the cheapest.
const twoPrices = `format: 1
systems: [{id: s, net_volume: 489 L, drawdown: 40 %, change_every: 4 h, lead: 0 h, water: {salinity: 35, temperature: 25 C, alkalinity: 8 dKH}}]
stores:
  - {id: a, holds: saltwater, capacity: 400 L, volume: 42 L, salinity: 35, temperature: 25 C, heater: 300 W, transfer: 1200 L/h, mixed: 2026-11-20}
  - {id: b, holds: saltwater, capacity: 300 L, volume: 69 L, salinity: 34, temperature: 25 C, transfer: 1200 L/h, mixed: 2026-11-20}
  - {id: pure, holds: purified, capacity: 300 L, volume: 60 L, temperature: 20 C, filled_by: purifier}
salts: [{id: house, on_hand: 0 kg, price: 3, dose: 38.4 g/L, dose_at: {salinity: 35, temperature: 25 C, per: finished}, makes: {alkalinity: 8 dKH}}]
purifier: {rate: 10 L/h, rated_at: 25 C, feed: 20 C}
mixing: {emergency_time: 2 h}
reserve: {saltwater: 0 L, purified: 0 L}
events:
  - {id: e, system: s, remove: 63 %, within: 35 h}
  - {id: f, system: s, remove: 58 %, within: 5 h}
`

// TestTwoThingsAreTradedForEachOther: the list was 31.35; an exhaustive search in 24ths finds 30.76.
func TestTwoThingsAreTradedForEachOther(t *testing.T) {
	r := judged(t, twoPrices)
	if cost, all := costOfList(r.Shopping); !all || cost > 30.8 {
		t.Errorf("%g, %v: %+v", cost, all, r.Shopping)
	}
}

// TestWhatABasketIsWorth: 2 kg of salt at 3 each, water of the site's own purifier for nothing; nothing is
// worth anything beside what has no price. A litre of saltwater is 38.4 g of salt, 0.1152.
func TestWhatABasketIsWorth(t *testing.T) {
	b, ways := benchOn(t, twoPrices)
	salt, pure, container := amount{way: of(ways, MoreSalt)[0], x: 2}, amount{way: of(ways, StoredPurified)[0], x: 50}, amount{way: of(ways, Delivered)[0], x: 10}
	for _, c := range []struct {
		have basket
		want float64
	}{{basket{salt}, 6}, {basket{salt, pure}, 6}, {basket{pure}, 0}, {basket{salt, container}, 0}, {nil, 0}} {
		if got := b.worth(c.have); !(math.Abs(got-c.want) <= 1e-9) {
			t.Errorf("%+v: %g, want %g", c.have, got, c.want)
		}
	}
	for _, c := range []struct {
		w    way
		want float64
	}{{salt.way, 3}, {of(ways, StoredSaltwater)[0], 0.1152}, {pure.way, 0}, {container.way, 0}, {way{what: MoreSalt, where: "house"}, 0}} {
		if got := b.price(c.w); !(math.Abs(got-c.want) <= 3e-4) {
			t.Errorf("%s: %g, want %g", c.w.what, got, c.want)
		}
	}
}
