package schedule

import (
	"math"
	"slices"
)

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
			if x.leadsOn(t, v.before, &v.at, guide, asLarge, func() int { return end - x.nodes }, enough) {
				best, k = x.snapshot(), -1
				break
			}
		}
	}
}

// leadsOn carries moves out after those before and, where the plan that comes of it is not far behind
// the best, alters it within the nodes that are left by then; it reports whether that is better, and
// goes back to the best if not.
func (x *search) leadsOn(t style, before []move, from *state, guide []move, how manner, left func() int, enough func() bool) bool {
	best := x.snapshot()
	x.score, x.found = worst(), false
	x.retrace(t, before, from, guide, how)
	if x.found && closeBehind(x.score, best.score) {
		x.vary(t, left(), enough)
	}
	better := x.found && x.score.better(best.score)
	if !better {
		x.goOnFrom(best)
	}
	x.found = true
	return better
}

// simplify leaves out every work on a vat that is worked on again before anything is drawn of it, where
// the plan is as good without: nine small batches where one does.
func (x *search) simplify(t style) {
	for k := len(x.best) - 1; k >= 0; k-- {
		if k < len(x.best) && x.best[k].kind == toWork && !begunBefore(x.best[:k], &x.best[k]) && (workedOnAgain(x.best[k:]) || pours(&x.best[k])) {
			x.variationOf(k, t, math.MaxInt, onceMore).tried(-notFoughtOver)
		}
	}
	x.spareASpoonful(t)
	x.spareACup(t)
	x.spareADrop(t)
}

// spareASpoonful leaves out the correction of a vat that next to nothing is stirred into, where that costs nothing: a
// keeper was sent to add 0.37 L to 50 L, from 36.0 to 35.7, for a change that could be made of either.
func (x *search) spareASpoonful(t style) {
	const spoonful = 0.02 // of what is in the vat
	end := x.nodes + mostDetour
	for k := len(x.best) - 1; k >= 0 && x.nodes < end; k-- {
		j := x.best[k].job
		if x.best[k].kind != toWork || !j.correct || j.batchL > 0 {
			continue
		}
		v := x.variationOf(k, t, end, onceMore)
		keeps := v.at.vats[j.vat].volL - j.removeL
		if c := x.p.correction(&v.at, j.vat, keeps); max(c.pureL, c.saltL)*j.way() < spoonful*keeps {
			v.tried(-provedTo)
		}
	}
}

// spareADrop leaves out of each change a water that it takes next to nothing of, where that costs nothing: a
// keeper was sent to a vat for 0.05 L beside 13.35 L of another.
func (x *search) spareADrop(t style) {
	const drop = 0.01 // of the change
	end := x.nodes + mostDetour
	for k := 0; k < len(x.best) && x.nodes < end; k++ {
		m := &x.best[k].change
		few := slices.IndexFunc(m.draws, func(d draw) bool { return d.litres < drop*m.litres })
		if few < 0 || len(m.draws) < 2 {
			continue
		}
		v := x.variationOf(k, t, end, onceMore)
		for _, o := range x.memory.table.optionsKeeping(m.draws[few].vat+1, x.p, &v.at, mostFall, closest, true) {
			if o.draws = slices.Clone(o.draws); v.tried(-notFoughtOver, move{atH: x.best[k].atH, kind: toChange, change: o, job: noJob}) {
				break
			}
		}
	}
}

// spareACup makes a batch or a change before a last one of a cup so much larger that nobody need come
// back for it, where that costs next to nothing: a plan had 0.001 L poured after twelve hours.
func (x *search) spareACup(t style) {
	best, end := x.snapshot(), x.nodes+mostDetour // a plan of hundreds of changes took a second
	for k := len(best.moves) - 2; k >= 0 && x.nodes < end; k-- {
		cup := x.lastCup()
		if cup == 0 {
			return
		}
		for _, more := range []float64{1.02, 2} {
			m := best.moves[k]
			switch {
			case m.kind == toChange:
				m.change.share = min(1, orAll(m.change.share)*(1+more*cup/m.change.litres))
			case m.job.batchL > 0:
				m.job.share = orAll(m.job.share) * (1 + more*cup/m.job.batchL)
			default:
				continue
			}
			if x.variationOf(k, t, end, onceMore).tried(-provedTo, m) && x.lastCup() == 0 {
				return
			}
			x.goOnFrom(best)
		}
	}
}

// lastCup is the litres of the last change of the best plan where they are next to nothing and others
// come before; 0: they are not.
func (x *search) lastCup() float64 {
	last := len(x.best) - 1
	if last < 1 || x.best[last].kind != toChange || x.best[last].change.litres > leastEmpty*x.p.tank.volL {
		return 0
	}
	return x.best[last].change.litres
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
