package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
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
	cases := uint64(fewer(600, 3))
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
			v.Background = map[string]float64{"copper": oneOf(r, 0, 3, 30, 90)}
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
				if over := m.over(litres); over > 2e-9 || sum > most+1e-9 || !(math.Abs(sum-ch.litres) <= 1e-9) {
					t.Fatalf("%s: %g beyond a limit, %g L of %g", name, over, sum, most)
				}
				sal, c, alk := m.after(litres)
				if !(math.Abs(sal-ch.after.s) <= 1e-9) || !(math.Abs(c-ch.after.c) <= 1e-7) || !(math.Abs(alk-ch.after.alk) <= 1e-9) {
					t.Fatalf("%s: %g, %g °C, %g dKH after it", name, sal, c, alk)
				}
				switch {
				case ch.trimmed:
					if !(math.Abs(conc-target) <= 1e-7*target) || ch.by != plan.ToTarget {
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
				case slices.Min(falls) > 0 && m.margins[ch.by] > 1e-4: // else it may be left out for what it brings
					t.Fatalf("%s: %g are left to that limit: %v", name, m.margins[ch.by], m.margins)
				}
				by[ch.by]++
			}
			for _, ch := range table.options(p, f, taste, 0, false) {
				ch.draws = append([]draw(nil), ch.draws...)
				first[taste] = ch
			}
		}
		if ch, ok := first[mostFall]; ok && !ch.trimmed {
			fall := 0.0
			for _, d := range ch.draws {
				fall += d.litres * falls[d.vat]
			}
			if best := m.best(stock, falls, most); best > 0 && fall < best*(1-2e-3)-1e-9 {
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

// Waters in the order of each taste, from three vats: clean, dirty and dirtier; far off, near
// and at the system's salinity; by pumps of 600, 300 and 1200 L/h. 40 L each, 60 L at once.
func TestTastes(t *testing.T) {
	vats := []site.Store{vatOf("clean", 40, 100), vatOf("near", 40, 100), vatOf("same", 40, 100)}
	for k, sal := range []float64{38, 36, 35} {
		vats[k].Water.Salinity, vats[k].TransferLH = units.Practical(sal), ptr([]float64{600, 300, 1200}[k])
		vats[k].Background = map[string]float64{"copper": float64(10 * k)}
	}
	sys := reef(400)
	sys.Drawdown, sys.LeastChange, sys.Limits.SalinityStep, sys.Limits.SalinityPerDay, sys.Limits.SalinityHigh = 0.15, 0, 9, 9, 42
	vats = append(vats, vatOf("dirtier than the system", 40, 100))
	vats[3].Background, vats[3].TransferLH = map[string]float64{"copper": 70}, ptr(200)
	vats[3].Water.Salinity = 35.5
	p := laid(t, placeOf(sys, vats...), plan.Demand{Aims: []plan.Aim{{Contaminant: "copper", Start: 60, Target: 1}}})
	for taste, want := range map[taste]string{
		mostFall:     "clean 40, near 20",
		leastFall:    "same 40, near 20",
		closest:      "same 40, dirtier than the system 20",
		furthest:     "clean 40, near 20",
		fastest:      "same 40, clean 20",
		matchingOnly: "same 40",
		oddestOnly:   "clean 40",
	} {
		var table table
		got := ""
		for _, ch := range table.options(p, &p.start, taste, 0, false) {
			for _, d := range ch.draws {
				if got != "" {
					got += ", "
				}
				got += fmt.Sprintf("%s %.0f", p.vessels[d.vat].id, d.litres)
			}
			minutes := 0.0
			for _, d := range ch.draws {
				minutes += 60 * d.litres / *vats[indexOf(vats, p.vessels[d.vat].id)].TransferLH
			}
			close2(t, "minutes", p.minutes(ch.draws), minutes, 1e-9)
		}
		if got != want {
			t.Errorf("taste %d: %s, want %s", taste, got, want)
		}
	}
	// All of them, each different change once, the first choice first.
	var table table
	seen := map[string]bool{}
	list := table.options(p, &p.start, fastest, tastes, false)
	for k := range list {
		text := fmt.Sprint(list[k].draws)
		if seen[text] {
			t.Errorf("%s twice", text)
		}
		seen[text] = true
	}
	if len(list) != 6 || p.vessels[list[0].draws[0].vat].id != "same" || p.vessels[list[0].draws[1].vat].id != "clean" {
		t.Errorf("%d changes, %v first", len(list), list[0].draws)
	}
	if one := table.options(p, &p.start, fastest, tastes, true); len(one) != 1 {
		t.Errorf("%d changes where one is enough", len(one))
	}
	// A limit that bites: of the odd one alone as much as it leaves, of all a blend.
	p.tank.limits.SalinityStep, p.tank.limits.SalinityPerDay = 0.1, 0.1
	if only := table.options(p, &p.start, oddestOnly, 0, false); len(only) != 1 || len(only[0].draws) != 1 || !(math.Abs(only[0].litres-400*0.1/3) <= 0.1) || only[0].by != plan.SalinityStep && only[0].by != plan.SalinityPerDay {
		t.Errorf("of the odd one alone %+v", only)
	}
	if mix := table.options(p, &p.start, furthest, 0, false); len(mix) != 1 || len(mix[0].draws) < 2 || mix[0].litres < 50 {
		t.Errorf("of all %+v", mix)
	}
	// The share of it that is needed goes back from the last water on.
	p.aims[0].target = 60 - 45.0/400*60 // 45 L of clean water
	p.tank.limits.SalinityStep, p.tank.limits.SalinityPerDay = 9, 9
	if ch := table.options(p, &p.start, mostFall, 0, false)[0]; !ch.trimmed || len(ch.draws) != 2 || ch.draws[0].litres != 40 || !(math.Abs(ch.draws[1].litres-5*60.0/50) <= 1e-9) {
		t.Errorf("trimmed %+v", ch)
	}
	p.aims[0].target = 60 - 30.0/400*60
	if ch := table.options(p, &p.start, mostFall, 0, false)[0]; !ch.trimmed || len(ch.draws) != 1 || !(math.Abs(ch.litres-30) <= 1e-9) {
		t.Errorf("trimmed %+v", ch)
	}
}

// Seven orders of five waters, no two alike: clean, far off, matching, dirty, and by a fast pump.
func TestSevenDifferentChanges(t *testing.T) {
	sys := reef(400)
	sys.Drawdown, sys.LeastChange, sys.Limits.SalinityStep, sys.Limits.SalinityPerDay, sys.Limits.SalinityHigh = 0.15, 0, 9, 9, 42
	s := placeOf(sys)
	for _, v := range []struct {
		id                string
		sal, copper, pump float64
	}{{"clean", 36, 0, 300}, {"far", 38, 20, 600}, {"same", 35, 10, 400}, {"dirty", 36.5, 50, 350}, {"fast", 37, 30, 1200}} {
		x := vatOf(v.id, 40, 100)
		x.Water.Salinity, x.Background, x.TransferLH = units.Practical(v.sal), map[string]float64{"copper": v.copper}, ptr(v.pump)
		s.Stores = append(s.Stores, x)
	}
	p := laid(t, s, plan.Demand{Aims: []plan.Aim{{Contaminant: "copper", Start: 60, Target: 1}}})
	var table table
	var got []string
	for _, ch := range table.options(p, &p.start, mostFall, tastes, false) {
		text := ""
		for _, d := range ch.draws {
			text += fmt.Sprintf("%s %.0f ", p.vessels[d.vat].id, d.litres)
		}
		got = append(got, strings.TrimSpace(text))
	}
	slices.Sort(got)
	want := []string{"clean 40 same 20", "dirty 40 fast 20", "far 40", "far 40 fast 20", "fast 40 far 20", "same 40", "same 40 clean 20"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func indexOf(list []site.Store, id string) int {
	for k := range list {
		if list[k].ID == id {
			return k
		}
	}
	return -1
}
