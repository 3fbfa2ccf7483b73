package schedule

import (
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// brute tries every plan of a small house on a grid: at each of the moments any of the
// shares of each of two waters, a batch or a cut at time zero or not. It is written down
// from the rules alone and shares nothing with the search: litres of matching water of
// one temperature, copper by copper.
type brute struct {
	volL, mostL, leastL, everyH, target float64
	stock                               [2]float64 // litres
	level                               [2]float64 // µg/L
	comes                               float64    // litres more of the first, at comesH
	comesH                              float64
	best                                float64
}

var shares = []float64{0, 0.5, 1}

func (b *brute) try(at, next, c, exposure float64, stock [2]float64, came bool) {
	if exposure >= b.best {
		return
	}
	if c <= b.target*(1+1e-9) {
		b.best = exposure
		return
	}
	if !came && at >= b.comesH {
		stock[0] += b.comes
		came = true
	}
	wait := func(c, next float64, stock [2]float64) {
		h := math.Inf(1)
		if next > at {
			h = next
		}
		if !came {
			h = min(h, b.comesH)
		}
		if !math.IsInf(h, 1) && h > at && h < 30 {
			b.try(h, next, c, exposure+max(0, c-b.target)*(h-at)/b.target, stock, came)
		}
	}
	wait(c, next, stock)
	if at < next {
		return
	}
	for _, x := range shares {
		for _, y := range shares {
			p, q := x*min(stock[0], b.mostL), y*min(stock[1], b.mostL)
			if k := (p + q) / b.mostL; k > 1 {
				p, q = p/k, q/k
			}
			fall := (p*(c-b.level[0]) + q*(c-b.level[1])) / b.volL
			if fall <= 0 {
				continue
			}
			// Trimmed to the target, and never smaller than what is worth making.
			if k := (c - b.target) / fall; k < 1 {
				p, q, fall = p*k, q*k, fall*k
			} else if p+q < b.leastL {
				continue
			}
			wait2 := [2]float64{stock[0] - p, stock[1] - q}
			if c-fall <= b.target*(1+1e-9) {
				b.try(at, next, c-fall, exposure, wait2, came)
				continue
			}
			after := max(at+b.everyH, at+2*(p+q)/1200)
			wait(c-fall, after, wait2)
		}
	}
}

// No plan that is called proved is beaten by exhaustive search, and none by more than it
// admits to.
func TestNoProvedPlanIsBeaten(t *testing.T) {
	cases := 60
	if testing.Short() {
		cases = 12
	}
	proved, reached := 0, 0
	for seed := range uint64(cases) {
		r := rand.New(rand.NewPCG(seed, 41))
		sys := reef(100 + 200*r.Float64())
		sys.Drawdown, sys.ChangeEveryH = 0.2+0.4*r.Float64(), float64(1+r.IntN(6))
		b := &brute{volL: float64(sys.NetVolume), everyH: sys.ChangeEveryH, best: math.Inf(1), comesH: 1 + 6*r.Float64(), comes: 120 * r.Float64()}
		b.mostL, b.leastL = sys.Drawdown*b.volL, sys.LeastChange*b.volL
		b.stock = [2]float64{150 * r.Float64(), 200 * r.Float64()}
		b.level = [2]float64{0, 3 * r.Float64()}
		start := 10 + 20*r.Float64()
		b.target = start * (0.25 + 0.4*r.Float64())
		s := placeOf(sys)
		for i := range b.stock {
			v := vatOf(string(rune('a'+i)), b.stock[i], 300)
			v.Background = map[string]float64{"copper": b.level[i]}
			s.Stores = append(s.Stores, v)
		}
		s.Deliveries = []site.Delivery{{AfterH: b.comesH, Saltwater: units.Litres(b.comes)}}
		p := planned(t, s, Options{}, true, plan.Aim{Contaminant: "copper", Start: start, Target: b.target})
		b.try(0, 0, start, 0, b.stock, false)
		if p.Proved {
			proved++
		}
		if math.IsInf(b.best, 1) {
			continue
		}
		reached++
		if p.DoneAtH == nil {
			t.Errorf("seed %d: never done, by exhaustive search with exposure %g", seed, b.best)
			continue
		}
		admitted := 1e-9
		if !p.Proved {
			admitted = p.GapPercent / 100
		}
		if p.Exposure*(1-admitted) > b.best*(1+1e-7)+1e-9 {
			t.Errorf("seed %d: exposure %.9g (proved %v), by exhaustive search %.9g", seed, p.Exposure, p.Proved, b.best)
		}
	}
	t.Logf("%d cases, %d reached by exhaustive search, %d proved", cases, reached, proved)
}
