package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// mixture is a system that waters are poured into, with its limits, worked with package mixing
// and the limits as DESIGN states them.
type mixture struct {
	volL    float64
	now     mixing.Water
	alk     float64
	waters  []mixing.Water // one litre each
	alks    []float64
	limits  *site.Limits
	held    []held // of the last 24 h, this moment's not among them
	hasAlk  bool
	atH     float64
	margins map[plan.Limit]float64
}

// after is the water after litres of each.
func (m *mixture) after(litres []float64) (s, c, alk float64) {
	left := m.volL
	var parts []mixing.Water
	for k, x := range litres {
		if x > 0 {
			w := m.waters[k]
			w.Volume = units.Litres(x)
			parts = append(parts, w)
			left -= x
			alk += m.alks[k] * x / m.volL
		}
	}
	w := m.now
	w.Volume = units.Litres(left)
	mix, err := mixing.Blend(append(parts, w)...)
	if err != nil {
		panic(err)
	}
	return float64(mix.Salinity), float64(mix.Temperature), alk + m.alk*left/m.volL
}

// over is how far the water after so many litres lies beyond the limits at worst, and what is
// left of each limit. A limit that is broken already forbids only going further.
func (m *mixture) over(litres []float64) float64 {
	s, c, alk := m.after(litres)
	l := m.limits
	m.margins = map[plan.Limit]float64{}
	worst := math.Inf(-1)
	keep := func(by plan.Limit, is, now, low, high float64) {
		low, high = min(low, now), max(high, now)
		beyond := max(low-is, is-high)
		m.margins[by] = -beyond
		worst = max(worst, beyond)
	}
	day := func(now float64, of func(held) float64) (low, high float64) {
		low, high = now, now
		for _, h := range m.held {
			if h.untilH > m.atH-24+1e-6 {
				low, high = min(low, of(h)), max(high, of(h))
			}
		}
		return low, high
	}
	nowS, nowC := float64(m.now.Salinity), float64(m.now.Temperature)
	keep(plan.TemperatureStep, c, nowC, nowC-l.TemperatureStep, nowC+l.TemperatureStep)
	keep(plan.SalinityStep, s, nowS, nowS-l.SalinityStep, nowS+l.SalinityStep)
	low, high := day(nowC, func(h held) float64 { return h.c })
	keep(plan.TemperaturePerDay, c, nowC, high-l.TemperaturePerDay, low+l.TemperaturePerDay)
	low, high = day(nowS, func(h held) float64 { return h.s })
	keep(plan.SalinityPerDay, s, nowS, high-l.SalinityPerDay, low+l.SalinityPerDay)
	keep(plan.TemperatureLow, c, nowC, float64(l.TemperatureLow), math.Inf(1))
	keep(plan.TemperatureHigh, c, nowC, math.Inf(-1), float64(l.TemperatureHigh))
	keep(plan.SalinityLow, s, nowS, float64(l.SalinityLow), math.Inf(1))
	keep(plan.SalinityHigh, s, nowS, math.Inf(-1), float64(l.SalinityHigh))
	if m.hasAlk {
		low, high = day(m.alk, func(h held) float64 { return h.alk })
		keep(plan.AlkalinityPerDay, alk, m.alk, high-l.AlkalinityPerDay, low+l.AlkalinityPerDay)
	}
	return worst
}

// best looks along rays from nothing at all for what is worth most: all that the limits permit
// lies within a convex body around it.
func (m *mixture) best(stock, gain []float64, most float64) float64 {
	n, best := len(stock), 0.0
	var ray func(k, left int, u []float64)
	const parts = 8
	ray = func(k, left int, u []float64) {
		if k < n-1 {
			for x := range left + 1 {
				u[k] = float64(x) / parts
				ray(k+1, left-x, u)
			}
			return
		}
		u[k] = float64(left) / parts
		far := most
		for i := range u {
			if u[i] > 0 {
				far = min(far, stock[i]/u[i])
			}
		}
		at := func(t float64) []float64 {
			x := make([]float64, n)
			for i := range u {
				x[i] = u[i] * t
			}
			return x
		}
		low, high := 0.0, far
		if m.over(at(far)) <= 0 {
			low = far
		}
		for range 24 {
			if mid := (low + high) / 2; m.over(at(mid)) <= 0 {
				low = mid
			} else {
				high = mid
			}
		}
		sum := 0.0
		for i := range u {
			sum += u[i] * low * gain[i]
		}
		best = max(best, sum)
	}
	ray(0, parts, make([]float64, n))
	return best
}

// What is offered as a change keeps every limit, is no smaller than what is worth making, ends
// on the target where it reaches it, names the limit that it lies at; and none along any ray
// takes out more than the first, or is larger than that of the best match.
func TestChangesAreTheLargestThatTheLimitsLeave(t *testing.T) {
	cases := uint64(600)
	if testing.Short() {
		cases = 200
	}
	by := map[plan.Limit]int{}
	for seed := range cases {
		r := rand.New(rand.NewPCG(seed, 66))
		sys := reef(200 + 200*r.Float64())
		sys.Drawdown, sys.LeastChange = 0.3+0.5*r.Float64(), oneOf(r, 0, 0.05)
		sys.Limits = site.Limits{TemperatureStep: oneOf(r, 0.5, 1, 9), SalinityStep: oneOf(r, 0.4, 1, 9), AlkalinityPerDay: oneOf(r, 0.4, 1, 9),
			TemperatureLow: units.Celsius(oneOf(r, 20, 24.7)), TemperatureHigh: units.Celsius(oneOf(r, 25.4, 29)), SalinityLow: units.Practical(oneOf(r, 30, 34.8)), SalinityHigh: units.Practical(oneOf(r, 35.3, 39))}
		sys.Limits.TemperaturePerDay, sys.Limits.SalinityPerDay = sys.Limits.TemperatureStep*oneOf(r, 1, 2), sys.Limits.SalinityStep*oneOf(r, 1, 2)
		if r.IntN(4) == 0 {
			sys.Water.AlkalinityDKH = nil
		}
		s := placeOf(sys)
		s.Reserve.Saltwater = units.Litres(oneOf(r, 0, 20))
		for i := range 1 + r.IntN(3) {
			v := vatOf(fmt.Sprint("v", i), 10+140*r.Float64(), 300)
			v.Water.Temperature, v.Water.Salinity, v.Water.AlkalinityDKH = units.Celsius(oneOf(r, 18, 23, 25, 28)), units.Practical(oneOf(r, 33, 35, 35, 37)), ptr(oneOf(r, 6, 8, 11))
			v.Background = map[string]float64{"copper": oneOf(r, 0, 3, 30)}
			v.Heel = units.Litres(oneOf(r, 0, 5))
			s.Stores = append(s.Stores, v)
		}
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{{Contaminant: "copper", Start: 60, Target: oneOf(r, 5, 40, 55)}}})
		f := &p.start
		f.water.c, f.water.s = 25+oneOf(r, 0, 0.3, -0.2), 35+oneOf(r, 0, 0.2, -0.1)
		f.held = []held{{35 + oneOf(r, 0, 0.3), 25 + oneOf(r, 0, -0.3), 8, -oneOf(r, 1, 30)}}
		m := &mixture{volL: float64(sys.NetVolume), now: mixing.Water{Volume: 1, Salinity: units.Practical(f.water.s), Temperature: units.Celsius(f.water.c)}, alk: f.water.alk, limits: &s.Systems[0].Limits,
			held: f.held, hasAlk: sys.Water.AlkalinityDKH != nil}
		var stock, falls, ones []float64
		for i := range f.vats {
			v := &f.vats[i]
			m.waters = append(m.waters, mixing.Water{Volume: 1, Salinity: units.Practical(v.s), Temperature: units.Celsius(v.at(0))})
			m.alks = append(m.alks, v.alk)
			stock, falls, ones = append(stock, v.volL-p.vessels[i].heelL), append(falls, (60-f.levels[i])/m.volL), append(ones, 1)
		}
		most := min(p.tank.mostL, p.drawable(f))
		if most <= 0 {
			continue
		}
		var table table
		least, target := sys.LeastChange*m.volL, p.aims[0].target
		first := map[taste]change{}
		for _, taste := range []taste{mostFall, closest, leastFall, furthest, fastest, matchingOnly, oddestOnly} {
			for k, ch := range table.options(p, f, taste, tastes, false) {
				name := fmt.Sprintf("seed %d, taste %d, option %d: %+v", seed, taste, k, ch)
				litres := make([]float64, len(stock))
				sum, conc := 0.0, 60.0
				for _, d := range ch.draws {
					litres[d.vat] += d.litres
					sum, conc = sum+d.litres, conc-d.litres*falls[d.vat]
					if d.litres <= 0 || d.litres > stock[d.vat]+1e-9 {
						t.Fatalf("%s: %g L of %g", name, d.litres, stock[d.vat])
					}
				}
				if over := m.over(litres); over > 2e-9 || sum > most+1e-9 || math.Abs(sum-ch.litres) > 1e-9 {
					t.Fatalf("%s: %g beyond a limit, %g L of %g", name, over, sum, most)
				}
				sal, c, alk := m.after(litres)
				if math.Abs(sal-ch.after.s) > 1e-9 || math.Abs(c-ch.after.c) > 1e-7 || math.Abs(alk-ch.after.alk) > 1e-9 {
					t.Fatalf("%s: %g, %g °C, %g dKH after it", name, sal, c, alk)
				}
				switch {
				case ch.trimmed:
					if math.Abs(conc-target) > 1e-7*target || ch.by != plan.ToTarget {
						t.Fatalf("%s: ends at %g of %g", name, conc, target)
					}
				case conc < target*(1-1e-9):
					t.Fatalf("%s: beyond the target: %g", name, conc)
				case ch.litres < least*(1-1e-9):
					t.Fatalf("%s: too small", name)
				case ch.by == plan.ByDrawdown:
					if sum < p.tank.mostL-1e-6 {
						t.Fatalf("%s: the drawdown leaves %g L", name, p.tank.mostL)
					}
				case ch.by == plan.ByWater:
				case m.margins[ch.by] > 1e-4:
					t.Fatalf("%s: %g are left to that limit: %v", name, m.margins[ch.by], m.margins)
				}
				by[ch.by]++
				if k == 0 {
					kept := ch
					kept.draws = append([]draw(nil), ch.draws...)
					first[taste] = kept
				}
			}
		}
		if ch, ok := first[mostFall]; ok && !ch.trimmed {
			fall := 0.0
			for _, d := range ch.draws {
				fall += d.litres * falls[d.vat]
			}
			if best := m.best(stock, falls, most); fall < best*(1-2e-3)-1e-9 {
				t.Errorf("seed %d: the first change takes out %g, %g could be: %+v", seed, fall, best, ch)
			}
		}
		if ch, ok := first[closest]; ok && !ch.trimmed {
			if best := m.best(stock, ones, most); ch.litres < best*(1-2e-3)-1e-9 {
				t.Errorf("seed %d: %g L of what matches, %g could be: %+v", seed, ch.litres, best, ch)
			}
		}
	}
	for _, limit := range []plan.Limit{plan.ByDrawdown, plan.ByWater, plan.ToTarget, plan.TemperatureStep, plan.TemperaturePerDay, plan.TemperatureLow, plan.TemperatureHigh, plan.SalinityStep, plan.SalinityPerDay, plan.SalinityLow, plan.SalinityHigh, plan.AlkalinityPerDay} {
		if by[limit] == 0 {
			t.Errorf("no change is kept small by %s: %v", limit, by)
		}
	}
}
