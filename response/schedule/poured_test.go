package schedule

import (
	"fmt"
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// What can be poured by a time, worked out with package mixing: neither bound says less, and the
// close one hardly more.
func TestWhatCanBePouredByHand(t *testing.T) {
	w := batchWater(t)
	blended := func(parts ...mixing.Water) float64 {
		b, err := mixing.Blend(parts...)
		if err != nil {
			t.Fatal(err)
		}
		return float64(b.Volume)
	}
	// within is the most of one water that a change may have: what the system comes to, by mixing,
	// keeps a distance from what it was.
	within := func(sal float64, c func(litres float64) float64, far func(s, c float64) float64) float64 {
		low, high := 0.0, 400.0
		for range 60 {
			x := (low + high) / 2
			b, err := mixing.Blend(mixing.Water{Volume: units.Litres(400 - x), Salinity: 35, Temperature: 25}, mixing.Water{Volume: units.Litres(x), Salinity: units.Practical(sal), Temperature: units.Celsius(c(x))})
			if err != nil {
				t.Fatal(err)
			}
			if far(float64(b.Salinity), float64(b.Temperature)) <= 1 {
				low = x
			} else {
				high = x
			}
		}
		return low
	}
	dose := houseSalt(1).Dose()
	lift, err := mixing.Correct(mixing.Water{Volume: 200, Salinity: 31, Temperature: 25}, 35, mixing.Means{Dose: &dose, Source: 25})
	if err != nil {
		t.Fatal(err)
	}
	at := func(c float64) func(float64) float64 { return func(float64) float64 { return c } }
	// liftedBy is the most of water at 31 that a step of 1 leaves once so much salt is in it.
	dry, err := dose.DryFraction()
	if err != nil {
		t.Fatal(err)
	}
	liftedBy := func(kg float64) (most float64) {
		for x := 50.0; x < 300; x += 0.01 {
			c := content{}.plus(litreOf(31, 25), x)
			c.kg, c.salt = c.kg+kg, c.salt+kg*dry
			s, _ := c.at(25).state(25)
			litres := c.kg / kgPerLitre(s, 25)
			b, err := mixing.Blend(mixing.Water{Volume: units.Litres(400 - litres), Salinity: 35, Temperature: 25}, mixing.Water{Volume: units.Litres(litres), Salinity: units.Practical(s), Temperature: 25})
			if err != nil {
				t.Fatal(err)
			}
			if float64(b.Salinity) >= 34 {
				most = litres
			}
		}
		return most
	}
	const heel = "one change, and a warm heel that nothing is mixed on"
	inf, lifted := math.Inf(1), float64(lift.Volume)
	for _, c := range []struct {
		name            string
		edit            func(s *site.Site)
		h, changes, can float64
		loose           float64 // share by which the close bound may say more
	}{
		{"as it is", nil, 1, inf, 300, 1e-5},
		{"a cup", func(s *site.Site) { s.Stores[0].Volume = decimal.NewFromFloat(0.6) }, 1, inf, 0.6, 1e-5},
		{"cut with what there is", func(s *site.Site) {
			s.Stores[0].Volume, s.Stores[0].Water.Salinity, s.Stores[1].Volume = decimal.NewFromInt(200), 39, decimal.NewFromInt(10)
		}, 1, inf, blended(mixing.Water{Volume: 200, Salinity: 39, Temperature: 25}, mixing.Water{Volume: 10, Temperature: 25}), 2e-3},
		{"before it is cut", func(s *site.Site) {
			s.Stores[0].Volume, s.Stores[0].Water.Salinity, s.Stores[1].Volume = decimal.NewFromInt(200), 39, decimal.NewFromInt(10)
		}, 0.2, inf, 200, 1e-5},
		{"mixed", func(s *site.Site) {
			s.Stores[0].Volume, s.Stores[1].Volume, s.Salts = decimal.NewFromInt(0), decimal.NewFromInt(100), []site.Salt{houseSalt(40)}
		}, 2, inf, 100 / w, 1e-5},
		{"before it is mixed", func(s *site.Site) {
			s.Stores[0].Volume, s.Stores[1].Volume, s.Salts = decimal.NewFromInt(0), decimal.NewFromInt(100), []site.Salt{houseSalt(40)}
		}, 1.9, inf, 0, 0},
		{"of little salt", func(s *site.Site) {
			s.Stores[0].Volume, s.Stores[1].Volume, s.Salts = decimal.NewFromInt(0), decimal.NewFromInt(100), []site.Salt{houseSalt(50 * 0.0384)}
		}, 2, inf, 50, 1e-5},
		{"purified slowly", func(s *site.Site) {
			s.Stores[0].Volume, s.Stores[1].Volume, s.Salts = decimal.NewFromInt(0), decimal.NewFromInt(0), []site.Salt{houseSalt(40)}
			s.Purifier = &site.Purifier{RateLH: 0.5, RatedAt: 25, Feed: 25}
		}, 12, inf, 5 / w, 1e-5},
		{"three full changes", func(s *site.Site) { s.Stores[0].Volume = decimal.NewFromInt(1500) }, 9, 3, 540, 1e-5},
		{"a reserve and a heel", func(s *site.Site) { s.Reserve.Saltwater, s.Stores[0].Heel = 60, 12 }, 1, inf, 228, 1e-5},
		{"one change, by a step of temperature", func(s *site.Site) { s.Stores[0].Water.Temperature = 18 }, 1, 1,
			within(35, at(18), func(_, c float64) float64 { return 25 - c }), 1e-3},
		{"one change, by a step of salinity", func(s *site.Site) { s.Stores[0].Water.Salinity, s.Systems[0].Limits.SalinityStep = 39, 1 }, 1, 1,
			within(39, at(25), func(s, _ float64) float64 { return s - 35 }), 1e-5},
		{"one change, salty and a little cold", func(s *site.Site) {
			s.Stores[0].Water.Salinity, s.Systems[0].Limits.SalinityStep, s.Stores[0].Water.Temperature = 39, 1, 22
		}, 1, 1, within(39, at(22), func(s, _ float64) float64 { return s - 35 }), 1e-5},
		{"one change, fresh", func(s *site.Site) { s.Stores[0].Water.Salinity, s.Systems[0].Limits.SalinityStep = 31, 1 }, 1, 1,
			within(31, at(25), func(s, _ float64) float64 { return 35 - s }), 1e-5},
		{heel, func(s *site.Site) {
			s.Stores[0].Water.Temperature = 18
			v := vatOf("warm", 60, 100)
			v.Water.Temperature, v.Heel = 30, 60
			s.Stores = append(s.Stores, v)
		}, 1, 1, within(35, at(18), func(_, c float64) float64 { return 25 - c }), 1e-3},
		{"one change, by alkalinity", func(s *site.Site) { s.Stores[0].Water.AlkalinityDKH = ptr(11) }, 1, 1, 400 / 3.0, 1e-5},
		{"one change, by too little alkalinity", func(s *site.Site) { s.Stores[0].Water.AlkalinityDKH = ptr(5) }, 1, 1, 400 / 3.0, 1e-5},
		{"three changes, each from the system's own temperature", func(s *site.Site) { s.Stores[0].Water.Temperature = 18 }, 9, 3,
			3 * within(35, at(18), func(_, c float64) float64 { return 25 - c }), 1e-2},
		{"one change of warm water", func(s *site.Site) { s.Stores[0].Water.Temperature, s.Systems[0].Limits.TemperatureStep = 31, 1 }, 1, 1,
			within(35, at(31), func(_, c float64) float64 { return c - 25 }), 2e-3},
		// What the vat does not need is poured away first.
		{"one change, warmed for an hour", func(s *site.Site) {
			s.Stores[0].Water.Temperature, s.Stores[0].HeaterW, s.Stores[0].Volume = 18, 500, decimal.NewFromInt(200)
		}, 1, 1, within(35, func(x float64) float64 { return min(25, 18+500*3600/(x*litreHeat(35, 18))) }, func(_, c float64) float64 { return 25 - c }), 2e-2},
		{"lifted", func(s *site.Site) {
			s.Stores[0].Volume, s.Stores[0].Water.Salinity, s.Salts = decimal.NewFromInt(200), 31, []site.Salt{houseSalt(40)}
		}, 2, inf, lifted, 1e-3},
		{"one change, lifted and cold", func(s *site.Site) {
			s.Stores[0].Water.Salinity, s.Stores[0].Water.Temperature, s.Salts = 31, 18, []site.Salt{houseSalt(40)}
		}, 2, 1, within(35, at(18), func(_, c float64) float64 { return 25 - c }), 2e-2},
		// What the vat does not need is poured away first here, too.
		{"one change, lifted with a little salt", func(s *site.Site) {
			s.Stores[0].Water.Salinity, s.Systems[0].Limits.SalinityStep, s.Salts = 31, 1, []site.Salt{houseSalt(0.2)}
		}, 2, 1, liftedBy(0.2), 2e-2},
		{"one change, lifted with a little salt, and a cup to mix with", func(s *site.Site) {
			s.Stores[0].Water.Salinity, s.Systems[0].Limits.SalinityStep, s.Salts = 31, 1, []site.Salt{houseSalt(0.2)}
			s.Stores[1].Volume = decimal.NewFromFloat(0.1)
		}, 2, 1, liftedBy(0.2), 2e-2},
		{"before it is lifted", func(s *site.Site) {
			s.Stores[0].Volume, s.Stores[0].Water.Salinity, s.Salts = decimal.NewFromInt(200), 31, []site.Salt{houseSalt(40)}
		}, 1.9, inf, 200, 1e-2},
		// Brought down to what the vats have, the lowest that is allowed, in any number of changes.
		{"as cold as the lowest", func(s *site.Site) {
			l := &s.Systems[0].Limits
			s.Stores[0].Water.Temperature, l.TemperatureLow, l.TemperatureStep, l.TemperaturePerDay = 22, 22, 3, 3
		}, 20, inf, 300, 1e-5},
		{"as cold as the lowest, in two changes", func(s *site.Site) {
			l := &s.Systems[0].Limits
			s.Stores[0].Water.Temperature, l.TemperatureLow, l.TemperatureStep, l.TemperaturePerDay = 22, 22, 3, 3
		}, 20, 2, 300, 1e-5},
		{"brackish, and made fresh", func(s *site.Site) {
			x := &s.Systems[0]
			x.Water.Salinity, s.Stores[0].Water.Salinity, x.Limits.SalinityLow, x.Limits.SalinityStep, x.Limits.SalinityPerDay = 0.9, 0.2, 0, 5, 5
		}, 20, inf, 300, 3e-4},
	} {
		s := placeOf(reef(400), vatOf("vat", 300, 440), pureOf("pure", 0, 600))
		s.Systems[0].Limits.SalinityStep, s.Systems[0].Limits.SalinityPerDay, s.Systems[0].Limits.SalinityHigh = 9, 9, 42
		if c.edit != nil {
			c.edit(s)
		}
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.9, 48)}, Reheats: c.changes == 3})
		quick, near := p.outlook(&p.start).litresBy(c.h, c.changes), p.reach(&p.start, 0).litresBy(c.h, c.changes)
		if can := c.can * (1 - 1e-9); near < can || quick < can {
			t.Errorf("%s: %.6f L can be poured, the bounds say %.6f and %.6f", c.name, c.can, quick, near)
		}
		if c.name == heel && quick > c.can*1.05 {
			t.Errorf("%s: %.6f L can be poured, the quick bound says %.6f", c.name, c.can, quick)
		}
		if near > c.can*(1+c.loose)+1e-9 {
			t.Errorf("%s: %.6f L can be poured, the close bound says %.6f", c.name, c.can, near)
		}
	}
}

// How much of the way down to a floor so many changes can use: n·(1 − (above/all)^(1/n)) of what
// the floor is above the coldest water, for n without end its logarithm; all of it where the floor
// is the coldest.
func TestHowFarCoolingCanBeUsed(t *testing.T) {
	for _, c := range []struct{ from, floor, coldest, changes, want float64 }{
		{25, 22, 22, 3, 3}, {25, 22, 22, math.Inf(1), 3}, {25, 22, 23, 2, 3}, {25, 25, 20, 2, 0}, {25, 22, 20, 1, 2 * (1 - 2.0/5)},
		{25, 22, 20, 2, 2 * 2 * (1 - math.Sqrt(2.0/5))}, {25, 22, 20, math.Inf(1), 2 * math.Log(2.5)},
	} {
		close2(t, fmt.Sprintf("%+v", c), used(c.from, c.floor, c.coldest, c.changes), c.want, 1e-12)
		if least := leastUsed(c.from, c.floor, c.coldest, c.changes); least > c.want+1e-12 || c.changes == 1 && least < c.want*(1-1e-9) || c.floor <= c.coldest && least != c.want {
			t.Errorf("%+v: %g at least", c, least)
		}
	}
}

// By how much less a litre lacks of a temperature once salt has gone into it, over all that the
// relations hold for: never more than the bound allows for, and that is not far above.
func TestWhatSaltTakesOfALack(t *testing.T) {
	most := 0.0
	for s := 0.0; s <= 41; s++ {
		for to := s + 0.5; to <= 42; to += 2.5 {
			for c := 0.0; c <= 39; c++ {
				for end := c + 0.5; end <= 40; end += 2.5 {
					const dry = 0.95
					was, target := litreOf(s, c), saltShare(to)
					lifted := was.salted((was.kg*target-was.salt)/(dry-target), dry, c)
					grows, litre := lifted.kg/kgPerLitre(to, c), litreOf(to, c)
					lacked, lacks := was.kg*enthalpy(s, end)-was.heat, litre.kg*enthalpy(to, end)-litre.heat
					most = max(most, (lacked/(lacks*grows)-1)/(to-s))
				}
			}
		}
	}
	if most > saltCools || most < saltCools/2 {
		t.Errorf("%g of each lack, %g is allowed for", most, saltCools)
	}
}

// Purified waters of two temperatures, taken for one of their mean, give no more than the bound adds
// for it, over all that the relations hold for.
func TestWhatPooledWaterGives(t *testing.T) {
	for s := 0.0; s <= 42; s += 6 {
		for end := 0.0; end <= 40; end += 8 {
			over := func(sal, _ float64, l content) float64 { return (l.heat - l.kg*enthalpy(sal, end)) * 1e-3 }
			at := func(c float64) float64 { return over(s, 0, litreOf(s, c)) }
			for cold := 0.0; cold < 40; cold += 3 {
				for warm := cold + 1; warm <= 40; warm += 3 {
					allowed := pooled(gapsBetween(s, cold, warm), over, s, 0)
					for w := 0.01; w < 1; w += 0.01 {
						if gives := at(w*cold+(1-w)*warm) - w*at(cold) - (1-w)*at(warm); gives > allowed+1e-9 {
							t.Fatalf("salinity %g, %g of %g °C in %g °C, end %g: %g kJ/L more, %g are allowed for", s, w, cold, warm, end, gives, allowed)
						}
					}
				}
			}
		}
	}
}
