package schedule

import (
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

const shortHorizonH = 72

// Without limits, batches or mismatch the best plan of the largest changes can be found by
// hand: an independent enumeration over which moments to use. A plan may only be better,
// where a smaller change leaves water for a larger one later: fewer full-size changes take
// less water in all.
func TestPlansAreOptimalByIndependentEnumeration(t *testing.T) {
	for seed := range uint64(fewer(600, 4)) {
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
		got := p.Exposure
		if p.DoneAtH == nil {
			got += max(0, p.Aims[0].Final-target) / target * shortHorizonH
		}
		if got > e.best+1e-9*(1+e.best) {
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
	found, reached                           bool
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
			end(exposure+excess(c, horizon-at)+excess(c, horizon), false) // and as long again
			return
		}
		e.from(m, next, c, used, exposure+excess(c, m-at), changes)
	}
	if at >= next {
		x := min(e.most, min(there-used, e.volume*(1-e.target/c)))
		if x > 0.05*e.volume || x > 0 && c*(1-x/e.volume) <= e.target*(1+1e-12) {
			go1(c*(1-x/e.volume), at+max(e.every, 2*x*e.minutesPerL/60), used+x, changes+1)
		}
	}
	go1(c, next, used, changes)
}
