package schedule

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// blendedFrom is the most of one water, in litres, that 400 L at 35 and 25 °C take in one change before
// they have come so many kelvin down, by package mixing.
func blendedFrom(t *testing.T, c, fall float64) float64 {
	t.Helper()
	low, high := 0.0, 400.0
	for range 60 {
		x := (low + high) / 2
		b, err := mixing.Blend(mixing.Water{Volume: units.Litres(400 - x), Salinity: 35, Temperature: 25}, mixing.Water{Volume: units.Litres(x), Salinity: 35, Temperature: units.Celsius(c)})
		if err != nil {
			t.Fatal(err)
		}
		if 25-float64(b.Temperature) <= fall {
			low = x
		} else {
			high = x
		}
	}
	return low
}

// Water counts from the moment on at which it can be poured, not before, and by both bounds; and neither
// says much more than can be poured where nothing but water and cold holds a change back: what is
// not there (an empty vat, a purifier that makes nothing, a heel that nothing is mixed on) adds nothing.
func TestWhatCanBePouredFromAMomentOn(t *testing.T) {
	w := batchWater(t)
	comes := func(d site.Delivery) func(*site.Site) {
		return func(s *site.Site) { s.Stores[0].Volume, s.Deliveries = decimal.Zero, []site.Delivery{d} }
	}
	mixing100 := func(salt, pure float64, d site.Delivery) func(*site.Site) {
		return func(s *site.Site) {
			comes(d)(s)
			s.Salts, s.Stores[1].Volume = []site.Salt{houseSalt(salt)}, decimal.NewFromFloat(pure)
		}
	}
	salty := func(s *site.Site) {
		s.Stores[0].Volume, s.Stores[0].Water.Salinity, s.Stores[1].Volume = decimal.NewFromInt(200), 39, decimal.NewFromInt(10)
	}
	cold := func(c units.Celsius) func(*site.Site) {
		return func(s *site.Site) { s.Stores[0].Water.Temperature = c }
	}
	downTo22 := func(s *site.Site) {
		l := &s.Systems[0].Limits
		s.Stores[0].Volume, s.Stores[0].Water.Temperature, l.TemperatureStep, l.TemperaturePerDay = decimal.NewFromInt(430), 20, 3, 3
	}
	both := func(list ...func(*site.Site)) func(*site.Site) {
		return func(s *site.Site) {
			for _, do := range list {
				do(s)
			}
		}
	}
	empty := func(s *site.Site) {
		v := vatOf("empty", 0, 0)
		v.Water.Temperature, v.Water.Salinity = 2, 20
		s.Stores = append(s.Stores, v)
	}
	cutTo, err := mixing.Blend(mixing.Water{Volume: 200, Salinity: 39, Temperature: 25}, mixing.Water{Volume: 10, Temperature: 25})
	if err != nil {
		t.Fatal(err)
	}
	cutBy35, err := mixing.Blend(mixing.Water{Volume: 430, Salinity: 39, Temperature: 25}, mixing.Water{Volume: 35, Temperature: 25})
	if err != nil {
		t.Fatal(err)
	}
	one18, one10, inf := blendedFrom(t, 18, 1), blendedFrom(t, 10, 1), math.Inf(1)
	for _, c := range []struct {
		name              string
		edit              func(*site.Site)
		h, changes, can   float64
		quickOver, overBy float64 // shares by which the quick bound and the close one may say more
	}{
		{"delivered at that hour", comes(site.Delivery{AfterH: 6, Saltwater: 100}), 6, inf, 100, 1e-9, 1e-5},
		{"before it is delivered", comes(site.Delivery{AfterH: 6, Saltwater: 100}), 5.999, inf, 0, 0, 0},
		{"mixed of salt that comes", mixing100(0, 100, site.Delivery{AfterH: 3, SaltKg: 40}), 5, inf, 100 / w, 1e-9, 1e-5},
		{"before the salt that comes is mixed", mixing100(0, 100, site.Delivery{AfterH: 3, SaltKg: 40}), 4.999, inf, 0, 0, 0},
		{"mixed of water that comes", mixing100(40, 0, site.Delivery{AfterH: 3, Purified: 100}), 5, inf, 100 / w, 1e-9, 1e-5},
		{"before the water that comes is mixed", mixing100(40, 0, site.Delivery{AfterH: 3, Purified: 100}), 4.999, inf, 0, 0, 0},
		{"mixed of cold water that comes", func(s *site.Site) {
			c := units.Celsius(10)
			mixing100(40, 0, site.Delivery{AfterH: 3, Purified: 100, Temperature: &c})(s)
		}, 5, 1, one10, 0.025, 1e-5},
		{"cut by that moment", salty, 0.25, inf, float64(cutTo.Volume), 1e-3, 1e-3},
		{"before it is cut", salty, 0.249, inf, 200, 1e-9, 1e-5},
		{"mixed of what there is", mixing100(40, 100, site.Delivery{AfterH: 90, SaltKg: 1}), 2, 1, 100 / w, 1e-9, 1e-5},
		{"mixed of cold water", both(mixing100(40, 100, site.Delivery{AfterH: 90, SaltKg: 1}), func(s *site.Site) { s.Stores[1].Water.Temperature = 10 }), 2, 1, one10, 0.025, 1e-5},
		{"purified slowly for ten days", both(comes(site.Delivery{}), func(s *site.Site) {
			s.Salts, s.Purifier = []site.Salt{houseSalt(40)}, &site.Purifier{RateLH: 0.5, RatedAt: 25, Feed: 25}
		}), 240, 1, 119 / w, 1e-9, 1e-5},
		{"nothing to cut, and nothing to mix with", func(s *site.Site) { s.Stores[1].Volume = decimal.NewFromInt(100) }, 3, inf, 300, 1e-9, 1e-5},
		{"cold, and purified water that is not mixed yet", both(cold(18), func(s *site.Site) {
			s.Stores[1].Volume, s.Stores[1].Water.Temperature, s.Salts = decimal.NewFromInt(100), 5, []site.Salt{houseSalt(40)}
		}), 1, 1, one18, 0.025, 1e-5},
		{"cold, beside an empty vat", both(cold(18), empty), 1, 1, one18, 0.025, 1e-5},
		{"cold, in a warm room, without a heater", both(cold(18), func(s *site.Site) { s.Stores[0].HeatLossWK, s.Systems[0].Ambient.Usual = ptr(50), 35 }), 12, 1, one18, 0.025, 1e-5},
		{"too old, and not mixed anew", func(s *site.Site) {
			old := noon.Add(-60 * 24 * time.Hour)
			s.Stores[0].Mixed, s.Stores[0].MaxAgeH = &old, 24
		}, 3, inf, 0, 0, 0},
		{"in vats that are not looked at", func(s *site.Site) {
			for k := range 60 {
				s.Stores = append(s.Stores, vatOf(fmt.Sprint("small", k), 20, 20))
			}
		}, 3, inf, 1500, 1e-9, 1e-5},
		// What is purified by 1 h is mixed by 3 h; all else that is by 2.75 h is cut with.
		{"mixed and cut of one purifier", func(s *site.Site) {
			s.Stores[0].Volume, s.Stores[0].Capacity, s.Stores[0].Water.Salinity = decimal.NewFromInt(430), 600, 39
			s.Salts, s.Purifier = []site.Salt{houseSalt(40)}, &site.Purifier{RateLH: 20, RatedAt: 25, Feed: 25}
			s.Stores = append(s.Stores, vatOf("for batches", 0, 100))
		}, 3, inf, float64(cutBy35.Volume) + 20/w, 0.05, 1e-3},
		{"of too little alkalinity, and no salt to lift it", func(s *site.Site) { s.Stores[0].Water.AlkalinityDKH = ptr(5) }, 3, 1, 400 / 3.0, 1.3, 1e-5},
		{"of too little alkalinity, and a salt used up", func(s *site.Site) { s.Stores[0].Water.AlkalinityDKH, s.Salts = ptr(5), []site.Salt{houseSalt(0)} }, 3, 1, 400 / 3.0, 1.3, 1e-5},
		// Two changes of water at 20 °C from 25 to 22 °C by equal ratios, and the many that take most.
		{"down to the lowest in two changes", downTo22, 20, 2, 2 * 400 * (1 - math.Sqrt(2.0/5)), 0.025, 3e-3},
		{"the same, beside an empty vat", both(downTo22, empty), 20, 2, 2 * 400 * (1 - math.Sqrt(2.0/5)), 0.025, 3e-3},
		{"down to the lowest in many changes", downTo22, 20, inf, 400 * math.Log(2.5), 0.025, 3e-3},
	} {
		s := placeOf(reef(400), vatOf("vat", 300, 440), pureOf("pure", 0, 600))
		s.Systems[0].Limits.SalinityStep, s.Systems[0].Limits.SalinityPerDay, s.Systems[0].Limits.SalinityHigh = 9, 9, 42
		c.edit(s)
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.9, 48)}})
		quick, near := p.outlook(&p.start).litresBy(c.h, c.changes), p.reach(&p.start, 0).litresBy(c.h, c.changes)
		if can := c.can * (1 - 1e-9); near < can || quick < can {
			t.Errorf("%s: %.6f L can be poured, the bounds say %.6f and %.6f", c.name, c.can, quick, near)
		}
		if quick > c.can*(1+c.quickOver)+1e-9 || near > c.can*(1+c.overBy)+1e-9 {
			t.Errorf("%s: %.6f L can be poured, the bounds say %.6f and %.6f", c.name, c.can, quick, near)
		}
	}
}
