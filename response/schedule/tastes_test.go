package schedule

import (
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/response/plan"
)

// ahead is how far a change leaves the aim that it leaves furthest from its target, of those that
// are still ahead, as a share of it.
func (p *problem) ahead(f *state, ch *change) float64 {
	worst := math.Inf(-1)
	for k := range p.aims {
		if f.reached(k) {
			continue
		}
		c := f.conc[k].UgL
		for _, d := range ch.draws {
			c -= d.litres / p.tank.volL * (f.conc[k].UgL - f.levels[len(p.aims)*d.vat+k])
		}
		worst = max(worst, c/p.aims[k].target-1)
	}
	return worst
}

// Of several aims what counts is the share of its target that a litre takes off each that is still
// ahead: no change that is offered takes out more than the first, and that of the dirtiest water takes out
// less; one that ends it ends on the target of the last. Two waters, of which each is clean of what the other brings, and one that has both.
func TestSeveralAimsAreWeighedByTheirTargets(t *testing.T) {
	n, ends := 0, 0
	for seed := range uint64(fewer(2000, 4)) {
		r := rand.New(rand.NewPCG(seed, 4711))
		a, b, c := vatOf("a", 200, 440), vatOf("b", 200, 440), vatOf("c", 200*r.Float64(), 440)
		a.Background = map[string]float64{"copper": 5 * r.Float64(), "zinc": 400 * r.Float64()}
		b.Background = map[string]float64{"copper": 50 * r.Float64(), "zinc": 30 * r.Float64()}
		c.Background = map[string]float64{"copper": 30 * r.Float64(), "zinc": 200 * r.Float64()}
		sys := reef(400)
		sys.Drawdown = 0.2 + 0.3*r.Float64()
		p := laid(t, placeOf(sys, a, b, c), plan.Demand{Aims: []plan.Aim{
			{Contaminant: "copper", Start: 60, Target: oneOf(r, 1, 2.5) * (2 + 20*r.Float64())}, {Contaminant: "zinc", Start: 500, Target: 20 + 450*r.Float64()}}})
		if r.IntN(3) == 0 {
			p.start.doneH[r.IntN(2)] = 0 // reached already: it counts no more
		}
		var table table
		fall := func(ch *change) (sum float64) {
			for k := range p.aims {
				if p.start.reached(k) {
					continue
				}
				for _, d := range ch.draws {
					sum += d.litres / 400 * (p.start.conc[k].UgL - p.start.levels[2*d.vat+k]) / p.aims[k].target
				}
			}
			return sum
		}
		options := table.options(p, &p.start, mostFall, tastes, false)
		for k := range options {
			if left := p.ahead(&p.start, &options[k]); options[k].trimmed && !(math.Abs(left) <= 1e-9) || !options[k].trimmed && left < -1e-9 {
				t.Errorf("seed %d: %+v ends %g of a target above it", seed, options[k], left)
			}
		}
		if len(options) == 0 || options[0].trimmed {
			ends++
			continue
		}
		best := fall(&options[0])
		for k := range options {
			if x := fall(&options[k]); x > best+1e-9 {
				t.Errorf("seed %d: %+v takes out %g, the first %g", seed, options[k], x, best)
			}
			if n++; options[k].taste == leastFall && fall(&options[k]) > best-1e-9 && len(options) > 1 && k > 0 {
				t.Errorf("seed %d: the dirtiest takes out as much as the first: %+v", seed, options[k])
			}
		}
	}
	if n < fewer(2000, 4) || ends < fewer(200, 4) {
		t.Errorf("%d changes, %d that end it", n, ends)
	}
}
