package schedule

import (
	"math/rand/v2"
	"testing"

	"tidehold/response/plan"
)

// Of several aims what counts is the share of its target that a litre takes off each that is still
// ahead: no change that is offered takes out more than the first, and that of the dirtiest water takes out
// less. Two waters, of which each is clean of what the other brings, and one that has both.
func TestSeveralAimsAreWeighedByTheirTargets(t *testing.T) {
	n := 0
	for seed := range uint64(fewer(2000, 4)) {
		r := rand.New(rand.NewPCG(seed, 4711))
		a, b, c := vatOf("a", 200, 440), vatOf("b", 200, 440), vatOf("c", 200*r.Float64(), 440)
		a.Background = map[string]float64{"copper": 5 * r.Float64(), "zinc": 400 * r.Float64()}
		b.Background = map[string]float64{"copper": 50 * r.Float64(), "zinc": 30 * r.Float64()}
		c.Background = map[string]float64{"copper": 30 * r.Float64(), "zinc": 200 * r.Float64()}
		sys := reef(400)
		sys.Drawdown = 0.2 + 0.3*r.Float64()
		p := laid(t, placeOf(sys, a, b, c), plan.Demand{Aims: []plan.Aim{
			{Contaminant: "copper", Start: 60, Target: 2 + 20*r.Float64()}, {Contaminant: "zinc", Start: 500, Target: 20 + 300*r.Float64()}}})
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
		if len(options) == 0 || options[0].trimmed {
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
	if n < fewer(2000, 4) {
		t.Errorf("%d changes", n)
	}
}
