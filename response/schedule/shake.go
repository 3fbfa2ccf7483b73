package schedule

import "math"

// shake leaves a move of the best plan out, or makes a change before the work on a vat, whatever that
// costs, and alters what comes of it: a way out of a plan that no single altered number makes better.
func (x *search) shake(t style, nodes int, enough func() bool) {
	best, end := x.snapshot(), x.nodes+nodes
	for k := 0; k < len(best.moves) && x.nodes < end && !enough(); k++ {
		v := x.variationOf(k, t, end, coarsest)
		kicks := [][]move{v.rest}
		if m := best.moves[k]; m.kind != toChange && v.at.nextH <= m.atH+slackH {
			kicks = append(kicks, append([]move{v.oneMore(mostFall), m}, v.rest...))
		}
		for _, guide := range kicks {
			x.score, x.found = worst(), false
			x.retrace(t, v.before, &v.at, guide, asLarge)
			if x.found && closeBehind(x.score, best.score) {
				x.vary(t, end-x.nodes, enough)
			}
			better := x.found && x.score.better(best.score)
			if better {
				best = x.snapshot()
			}
			if x.goOnFrom(best); better {
				k = -1
				break
			}
		}
	}
	x.found = true
}

// simplify leaves out every work on a vat that is worked on again before anything is drawn of it, where
// the plan is as good without: nine small batches where one does.
func (x *search) simplify(t style) {
	for k := len(x.best) - 1; k >= 0; k-- {
		if k < len(x.best) && x.best[k].kind == toWork && !begunBefore(x.best[:k], &x.best[k]) && workedOnAgain(x.best[k:]) {
			x.variationOf(k, t, math.MaxInt, onceMore).tried(-notFoughtOver)
		}
	}
}

// workedOnAgain reports whether the vat of the first move is worked on again before it is drawn from.
func workedOnAgain(moves []move) bool {
	vat := moves[0].job.vat
	for _, m := range moves[1:] {
		if m.kind == toChange && m.change.drawsFrom(vat) {
			return false
		}
		if m.kind != toChange && m.job.vat == vat {
			return true
		}
	}
	return false
}
