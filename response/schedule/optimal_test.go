package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// mostNodes is where a case stops being small.
const mostNodes = 4000

// everyPlan tries every sequence of decisions from f on, without leaving any out, and
// returns the best score. It shares the rules of what a moment permits with the
// search, and neither its order nor its bounds.
func everyPlan(j *job, f *frame, count *int) score {
	best := score{missed: math.MaxInt}
	keep := func(s score) {
		if s.better(best) {
			best = s
		}
	}
	next := func(do func(*frame)) {
		child := &frame{}
		child.copyFrom(f)
		do(child)
		keep(everyPlan(j, child, count))
	}
	if *count++; *count > mostNodes {
		return best
	}
	if f.done() {
		return ended(j, f)
	}
	if f.mix {
		f.mix = false
		if list := j.starts(f, nil); len(list) > 0 {
			for _, s := range list {
				next(func(c *frame) { j.begin(c, s) })
			}
			return best
		}
	}
	if f.decide {
		f.decide = false
		if ch := j.largest(f, nil); j.worthwhile(&ch) {
			next(func(c *frame) { j.make(c, &ch) })
		}
	}
	more := j.advance(f)
	if !more || f.done() {
		keep(ended(j, f))
		return best
	}
	keep(everyPlan(j, f, count))
	return best
}

func ended(j *job, f *frame) score {
	s := score{exposure: f.exposure, waterL: f.waterL}
	for a, h := range f.doneH {
		s.finishH = max(s.finishH, h)
		if math.IsInf(h, 1) || j.hurry && h > j.aims[a].withinH*(1+tie) {
			s.missed++
		}
	}
	return s
}

// small is a random site with few decisions.
func small(r *rand.Rand) (*site.Site, []plan.Demand) {
	sys := reef(200 + 600*r.Float64())
	sys.Drawdown = 0.2 + 0.4*r.Float64()
	sys.ChangeEveryH = []float64{1, 2, 4, 6}[r.IntN(4)]
	s := placeOf(sys)
	s.Mixing.EmergencyTimeH = []float64{1, 2, 5}[r.IntN(3)]
	s.Reserve.Saltwater = units.Litres(float64(r.IntN(3)) * 20)
	for i := range 1 + r.IntN(3) {
		v := vatOf(fmt.Sprint("vat", i), float64(r.IntN(250)), 250+float64(r.IntN(200)))
		v.Heel = units.Litres(r.IntN(15))
		if r.IntN(2) == 0 {
			v.Water.Temperature = units.Celsius(18 + 7*r.Float64())
			v.HeaterW = float64(r.IntN(3)) * 300
			if r.IntN(2) == 0 {
				v.HeatLossWK = ptr(6)
			}
		}
		if r.IntN(3) == 0 {
			v.Water.Salinity = units.Practical(33 + 4*r.Float64())
		}
		if r.IntN(3) == 0 {
			v.TransferLH = nil
		}
		v.Background = map[string]float64{"copper": 2 * r.Float64()}
		s.Stores = append(s.Stores, v)
	}
	if r.IntN(2) == 0 {
		s.Salts = []site.Salt{houseSalt(20 * r.Float64())}
		s.Stores = append(s.Stores, pureOf("pure", float64(r.IntN(200)), 200))
		if r.IntN(2) == 0 {
			s.Purifier = &site.Purifier{RateLH: 5 + 30*r.Float64(), RatedAt: 25, Feed: units.Celsius(5 + 15*r.Float64())}
		}
	}
	if r.IntN(3) == 0 {
		s.Deliveries = []site.Delivery{{AfterH: 10 * r.Float64(), Saltwater: units.Litres(150 * r.Float64())}}
	}
	a := share(0.3+0.5*r.Float64(), float64(r.IntN(40)))
	if r.IntN(2) == 0 {
		a = plan.Aim{Contaminant: "copper", Start: 20 + 40*r.Float64(), Target: 4 + 12*r.Float64(), WithinH: float64(r.IntN(40))}
		if r.IntN(2) == 0 {
			a.SourceMgH = r.Float64()
		}
		if r.IntN(4) == 0 {
			a.BoundRatio, a.BoundRatePerH = 0.5, 0.1
		}
	}
	return s, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{a}, Reheats: r.IntN(2) == 0}}
}

func TestPlansAreOptimalAmongAllDecisions(t *testing.T) {
	const cases = 600
	compared, nodes, all := 0, 0, 0
	for seed := uint64(0); seed < 2*cases && compared < cases; seed++ {
		s, d := small(rand.New(rand.NewPCG(seed, 5)))
		p, err := New(s, noon)
		if err != nil {
			t.Fatal(err)
		}
		j, err := p.prepare(&d[0], Options{HorizonH: 96}.withDefaults(), nil)
		if err != nil {
			t.Fatal(err)
		}
		j.hurry, j.wide, j.onTop, j.fastFirst = seed%2 == 0, seed%7 < 3, seed%3 == 0, seed%5 == 0
		j.search()
		got, within := j.score, j.within
		f := &frame{}
		f.copyFrom(&j.start)
		count := 0
		want := everyPlan(j, f, &count)
		if count > mostNodes || !within {
			continue
		}
		compared++
		nodes += j.nodes
		all += count
		if want.better(got) || got.better(want) {
			t.Errorf("seed %d: plan %+v, best of %d sequences %+v", seed, got, count, want)
		}
	}
	t.Logf("%d cases compared: %d nodes searched of %d", compared, nodes, all)
	if compared < cases {
		t.Errorf("only %d cases were small enough", compared)
	}
}

// Without limits, batches or mismatch the plan can be found by hand: an independent
// enumeration over which moments to use.
func TestPlansAreOptimalByIndependentEnumeration(t *testing.T) {
	for seed := range uint64(600) {
		r := rand.New(rand.NewPCG(seed, 11))
		volume, every, drawdown := 200+300*r.Float64(), float64(1+r.IntN(5)), 0.2+0.5*r.Float64()
		sys := reef(volume)
		sys.Drawdown, sys.ChangeEveryH = drawdown, every
		s := placeOf(sys, vatOf("vat", 200*r.Float64(), 300))
		coming := []coming{{0, s.Stores[0].Volume.InexactFloat64()}}
		for range r.IntN(4) {
			c := coming0(r)
			coming = append(coming, c)
			s.Deliveries = append(s.Deliveries, site.Delivery{AfterH: c.atH, Saltwater: units.Litres(c.litres)})
		}
		target := 0.2 + 0.5*r.Float64()
		p := planned(t, s, Options{HorizonH: shortHorizonH}, false, plan.Aim{Start: 1, Target: target})
		e := &enumeration{volume: volume, every: every, most: drawdown * volume, target: target, coming: coming, minutesPerL: 60.0 / 1200}
		e.from(0, 0, 1, 0, 0, 0)
		if !e.reached { // what there is, is used at once
			e.best, e.found, e.atOnce = 0, false, true
			e.from(0, 0, 1, 0, 0, 0)
		}
		if got := p.Exposure; math.Abs(got-e.best) > 1e-9*(1+e.best) {
			t.Errorf("seed %d: exposure %.12g, best by enumeration %.12g", seed, got, e.best)
		}
	}
}

type coming struct{ atH, litres float64 }

func coming0(r *rand.Rand) coming { return coming{float64(r.IntN(40)) / 4, 120 * r.Float64()} }

// enumeration is the same problem put down again from the text of the rules: one
// water, arriving in lots.
type enumeration struct {
	volume, every, most, target, minutesPerL float64
	coming                                   []coming
	best                                     float64
	found, reached, atOnce                   bool
}

func (e *enumeration) from(at, next, c, used, exposure float64, changes int) {
	const horizon = shortHorizonH
	excess := func(c, dt float64) float64 { return max(0, c-e.target) * dt / e.target }
	// A target never reached is exposure without end.
	end := func(x float64, reached bool) {
		if !e.found || reached && !e.reached || reached == e.reached && x < e.best {
			e.best, e.found, e.reached = x, true, reached
		}
	}
	if c <= e.target*(1+1e-9) {
		end(exposure, true)
		return
	}
	there := 0.0
	for _, lot := range e.coming {
		if lot.atH <= at {
			there += lot.litres
		}
	}
	later := func(next float64) float64 {
		m := math.Inf(1)
		if next > at {
			m = next
		}
		for _, lot := range e.coming {
			if lot.atH > at {
				m = min(m, max(lot.atH, 0))
			}
		}
		return m
	}
	go1 := func(c, next, used float64, changes int) {
		m := later(next)
		if m > horizon {
			end(exposure+excess(c, horizon-at), false)
			return
		}
		e.from(m, next, c, used, exposure+excess(c, m-at), changes)
	}
	if at >= next {
		x := min(e.most, min(there-used, e.volume*(1-e.target/c)))
		if x > leastChange*e.volume || x > 0 && c*(1-x/e.volume) <= e.target*(1+1e-12) {
			go1(c*(1-x/e.volume), at+max(e.every, 2*x*e.minutesPerL/60), used+x, changes+1)
			if e.atOnce && at == 0 {
				return
			}
		}
	}
	go1(c, next, used, changes)
}
