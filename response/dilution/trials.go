package dilution

import (
	"math/rand/v2"
	"runtime"
	"sync"
	"sync/atomic"

	"tidehold/refs/units"
)

// chunk is how many trials share one random stream. The streams, not the cores,
// divide the work, so the results do not depend on how many cores there are.
const chunk = 4096

// trialWork bounds the work of the trials, in changes followed: on one core, a second
// or two.
const trialWork = 1_500_000

// MostTrials is how many trials can be afforded: where nothing acts between changes each
// is a formula and all are, else each follows a course of changes one by one. At least
// MinTrials are.
func (p Problem) MostTrials() int {
	if p.pure() || p.Continuous {
		return MaxTrials
	}
	changes := usualFollowed
	if c := p.nominal(); p.reaches(c) {
		if n, _, ok := c.need(MaxChanges); ok {
			changes = n
		}
	}
	return max(MinTrials, trialWork/(changes+10)/1000*1000)
}

// trials runs the trials and returns what they ask for together. In pure dilution
// the trimmed last change costs as much again as the number of changes, and only
// those of trials that need as many as the confidence asks for are ever looked at:
// the first stream tells how many that will be, and in the rare case that it is
// wrong all are run again.
func (p Problem) trials() tally {
	if !p.Trim || p.Continuous || !p.pure() {
		return p.run(p.Trials, anyNumber)
	}
	likely := p.run(min(chunk, p.Trials), 0).changes(p.Confidence)
	if likely == nil {
		likely = new(int)
	}
	t := p.run(p.Trials, *likely)
	if n := t.changes(p.Confidence); n != nil && *n != *likely {
		return p.run(p.Trials, *n)
	}
	return t
}

// run runs the first trials of them, on all cores, keeping the last changes of
// those that need lastOf changes.
func (p Problem) run(trials, lastOf int) tally {
	t := tally{trials: trials}
	chunks := (trials + chunk - 1) / chunk
	var next atomic.Int64
	var wg sync.WaitGroup
	var mu sync.Mutex
	for range min(runtime.GOMAXPROCS(0), chunks) {
		wg.Go(func() {
			w := p.worker()
			w.lastOf = lastOf
			own := tally{}
			draws := w.columns()
			for i := int(next.Add(1)) - 1; i < chunks; i = int(next.Add(1)) - 1 {
				w.stream(rand.New(rand.NewPCG(p.Seed, uint64(i))), min(chunk, trials-i*chunk), draws, &own)
			}
			mu.Lock()
			defer mu.Unlock()
			t.merge(own)
		})
	}
	wg.Wait()
	return t
}

// column holds the draws of one input for one stream.
type column struct {
	input units.Measured
	above float64
	draws []float64
}

// columns are the volume, then start and new water of each contaminant.
func (w *worker) columns() []column {
	list := []column{{input: w.p.Volume, above: w.largestL}}
	for _, c := range w.p.Contaminants {
		list = append(list, column{input: c.Start}, column{input: c.New})
	}
	for i := range list {
		list[i].draws = make([]float64, chunk)
	}
	return list
}

// stream draws and works out n trials.
func (w *worker) stream(r *rand.Rand, n int, columns []column, t *tally) {
	for i := range columns {
		columns[i].draw(r, n)
	}
	for i, volume := range columns[0].draws[:n] {
		for j := range w.p.Contaminants {
			w.starts[j], w.news[j] = columns[1+2*j].draws[i], columns[2+2*j].draws[i]
		}
		t.add(w.one(volume), w.lastOf)
	}
}

// draw fills in n normal deviates with standard deviation U/2, each drawn again
// unless it exceeds the bound; the value itself where no uncertainty is stated.
// Values lie at or above the bound, so at least every other draw succeeds.
func (c *column) draw(r *rand.Rand, n int) {
	value, deviation, above := c.input.Value, c.input.U/2, c.above
	for i := range c.draws[:n] {
		x := value
		if deviation > 0 {
			x += deviation * r.NormFloat64()
			for !(x > above) {
				x = value + deviation*r.NormFloat64()
			}
		}
		c.draws[i] = x
	}
}
