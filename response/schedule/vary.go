package schedule

// What a search chooses from lies apart: the largest change or none, all of a batch or half.
// A better plan often lies between: a vat poured away to what the night really asks for, so
// that it is warm sooner; a batch a fifth smaller, mixed at once; a change that leaves warm water
// for the next. So the best plan found is altered, one number of it at a time, and the rest of
// it carried out again as far as it still fits. The steps are coarse at first, then fine.

// alterBy are the steps by which a number is altered, as a share of itself or of all there is; at
// last a move is put in or a water left out.
var alterBy = []float64{coarsest, coarse, 0.05, 0.01, onceMore}

const (
	coarsest = 0.5
	coarse   = 0.2
	onceMore = 0
	// worthVarying is the share of the exposure that an altered number must gain, and
	// worthPouring what water poured away must.
	worthVarying = 1e-5
	worthPouring = 5e-3
)

// vary improves the best plan found within a budget of nodes, going on as a style would
// where a plan ends early, until it is good enough; again from the coarse steps on, where there is
// time for it, as long as that gains.
func (x *search) vary(t style, nodes int, enough func() bool) {
	end := x.nodes + nodes
	v, on := &x.memory.variation, &x.memory.on
	for was := worst(); x.score != was && x.nodes < end; {
		was = x.score
		for _, by := range alterBy {
			on.copyFrom(&x.p.start) // what the moves before the k-th lead to: they stay as they are
			for k := 0; k < len(x.best) && x.nodes < end && !enough(); {
				v.at.copyFrom(on)
				if v.take(x, k, t, end, by); !v.better(x.best[k]) {
					x.p.follow(on, &x.best[k])
					k++
				}
			}
		}
		if !x.thorough {
			return
		}
	}
}
