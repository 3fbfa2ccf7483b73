package schedule

import (
	"math"
	"slices"
)

// found is the plan a problem got, and how sure it is the best.
type found struct {
	moves    []move
	score    score
	nodes    int
	horizonH float64 // up to which it was judged,
	afterH   float64 // and how much longer the last concentration counted
	quick    score   // the quick bound, and the close one where that was asked
	close    *score
}

// gap is the share of the exposure by which it could, by a bound, at most still fall; none
// where the bound proves it.
func (f *found) gap(root score) (share float64, proved bool) {
	if f.score.exposure > 0 {
		share = max(0, 1-root.exposure/f.score.exposure)
	}
	if f.score.noLater(root) && share <= provedTo {
		return 0, true
	}
	return share, false
}

// solve looks for the best plan within a budget of nodes: soon for any plan at all, then
// for the best. Where the target is out of reach, the exposure until the last deadline
// counts, or of three days if that is longer, and of as long again at the last
// concentration: whoever runs short looks for more water, and what is left in the system
// acts until it comes. Over the whole horizon the last concentration would outweigh all else,
// and water would be held back to be used in one change; if it did not count, water
// would go into a row of small changes that take out little. Where something is being added it
// counts only to see whether the target can be met in time: it would be least with all the water in the
// last hours of those days, and what lives there meets ever more until then. Nor is a target that is met
// once, too late, and left again at once worth a week beside full vats: that is out of reach too.
func (p *problem) solve(nodes int, x *search) found {
	root := p.bound(&p.start, worst())
	x.begin(p)
	tooLate := func(s score) bool { return p.passing() && s.missed == len(p.aims) }
	switch {
	case tooLate(root): // whatever is found is too late
		root = x.beginMoot()
	case x.hoarding(root, nodes): // in time, and nothing is poured away that others may want
	case root.never > 0 || !x.seekAny(root, nodes) || tooLate(x.score):
		root = x.beginShort(p.shortHorizonH())
	}
	if x.verdict && x.found && x.score.missed == 0 {
		return found{moves: slices.Clone(x.best), score: x.score, nodes: x.nodes, horizonH: p.horizonH, quick: root}
	}
	t := x.seekBest(root, nodes)
	if p.afterH > 0 && tooLate(x.score) {
		root = x.beginMoot()
		t = x.seekBest(root, nodes)
	}
	if x.thorough || p.finishing > 0 && !sparing(nodes) && (x.score.missed == 0 || !x.score.noLater(root)) {
		x.finish(t, root.never, func() bool { return x.enough(root) })
	}
	return found{moves: p.tidied(p.worthDoing(pouredAtOnce(x.best))), score: x.score, nodes: x.nodes, horizonH: p.horizonH, afterH: p.afterH, quick: root}
}

// beginShort begins anew for a target that is out of reach: the last concentration counts for so long.
func (x *search) beginShort(afterH float64) (root score) {
	p, used := x.p, x.nodes
	p.horizonH, p.afterH = min(p.horizonH, p.shortHorizonH()), afterH
	x.begin(p)
	x.nodes = used
	return p.bound(&p.start, worst())
}

// beginMoot begins anew for a target that is met too late, if at all, and left again at once: nothing is
// waited for to touch it.
func (x *search) beginMoot() (root score) {
	x.p.moot = true
	return x.beginShort(0)
}

// look looks closely at how sure the plan found is the best.
func (p *problem) look(f *found) {
	root := f.quick
	if !f.score.atBest(root) || !p.quickHolds() {
		root = p.closer(root, f.score, f.moves)
	}
	f.close = &root
}

// pouredAtOnce is a plan in which what is poured away of a vat in two goes at one moment is poured away
// in one.
func pouredAtOnce(moves []move) []move {
	list := make([]move, 0, len(moves))
	for _, m := range moves {
		if k := pouredBefore(list, &m); k >= 0 {
			list[k].job.removeL += m.job.removeL
		} else {
			list = append(list, m)
		}
	}
	return list
}

// pours reports whether a move does no more than pour some of a vat away.
func pours(m *move) bool { return m.kind == toWork && !m.job.correct && m.job.batchL <= 0 }

// pouredBefore is the move that pours away of the same vat at the same moment, nothing having come of
// the vat since; -1: none, or the move is another.
func pouredBefore(list []move, m *move) int {
	for k := len(list) - 1; k >= 0 && pours(m) && list[k].atH >= m.atH-slackH; k-- {
		switch o := &list[k]; {
		case o.kind == toChange && o.change.drawsFrom(m.job.vat):
			return -1
		case o.kind != toChange && o.job.vat == m.job.vat:
			if pours(o) {
				return k
			}
			return -1
		}
	}
	return -1
}

// worthDoing leaves out work on a vat for which the water was not there by then, and what is poured away of a vat that
// nothing is done with after.
func (p *problem) worthDoing(moves []move) (list []move) {
	var s state
	s.copyFrom(&p.start)
	for k := range moves {
		m := &moves[k]
		took := p.follow(&s, m)
		idle := m.kind == toWork && m.job.removeL <= leastDrawL && m.job.batchL <= 0 && took.pureL <= 0 && took.saltKg <= 0
		if !idle && !(pours(m) && !touched(m.job.vat, moves[k+1:])) {
			list = append(list, *m)
		}
	}
	return list
}

// touched reports whether a vat is worked on or drawn from.
func touched(vat int, moves []move) bool {
	return slices.ContainsFunc(moves, func(m move) bool {
		return m.kind == toChange && m.change.drawsFrom(vat) || m.kind != toChange && m.job.vat == vat
	})
}

// tidied leaves out the last work that nothing is drawn from: it changes nothing, unless
// the reserve is to be had from it.
func (p *problem) tidied(moves []move) []move {
	drawn := map[int]bool{}
	for k := len(moves) - 1; k >= 0; k-- {
		switch m := &moves[k]; {
		case m.kind == toChange:
			for _, d := range m.change.draws {
				drawn[d.vat] = true
			}
		case drawn[m.job.vat]:
			return moves // what is worked on before shares purified water with it
		default:
			rest := slices.Delete(slices.Clone(moves), k, k+1)
			if !p.keepsReserve(rest) {
				return moves
			}
			moves = rest
		}
	}
	return moves
}

// keepsReserve reports whether every change of a plan leaves the reserve.
func (p *problem) keepsReserve(moves []move) bool {
	if p.reserveL <= 0 {
		return true
	}
	var s state
	s.copyFrom(&p.start)
	for k := range moves {
		p.follow(&s, &moves[k])
		if moves[k].kind == toChange && p.drawable(&s) < -leastDrawL {
			return false
		}
	}
	return true
}

// provedTo is the share of its exposure by which a plan that is called proved may at most
// still fall: a ten-thousandth, the usual tolerance of optimisation.
const provedTo = 1e-4

// seekAny looks for a plan that misses as few aims as the bound allows, whatever its
// exposure, else for one that at least reaches as many, and reports whether every aim
// that can be reached is.
func (x *search) seekAny(root score, nodes int) bool {
	return x.inTime(root, nodes) ||
		root.missed < len(x.p.aims) && x.atAll(score{missed: len(x.p.aims), never: root.never + 1, exposure: -1}, nodes)
}

// inTime looks for a plan that misses as few aims as the bound allows: one that is found at
// once, or the best of some, altered until it does. That comes before all else, and has half as
// much again: a shop with water for ten changes was told that it had not enough.
func (x *search) inTime(root score, nodes int) bool {
	x.thorough = nodes >= fewNodes
	// What is missed anyhow must be reached: the bound stops early once it can not miss less.
	than := score{missed: root.missed + 1, exposure: -1}
	if root.missed == len(x.p.aims) {
		than = score{missed: root.missed, never: root.never + 1, exposure: -1}
	}
	if x.atAll(than, 3*nodes/2) && x.score.never <= root.never {
		return true
	}
	enough := func() bool { return x.found && x.score.noLater(root) }
	if x.varyAll(x.bestStarts(styles[:decisive], nodes), nodes/4, anyHope, enough); enough() {
		return true
	}
	x.score, x.found, x.best = worst(), false, x.best[:0]
	return false
}

// seekBest looks for less exposure: by the starting plans, by detours from the choices of the
// best of them, and by altering what comes of both. A search that may leave the first choice once,
// twice, … finds a good plan with a fraction of the nodes that trying everything takes, and comes
// to everything if the budget lasts. It goes on from the best plan as it was before it was
// altered: altered plans lie close together. It returns the style of the best starting plan.
func (x *search) seekBest(root score, nodes int) style {
	x.keeps, x.thorough = x.p.shared || x.p.hoards, nodes >= fewNodes && !(x.p.afterH > 0 && x.p.rises())
	starts := x.bestStarts(styles, nodes)
	enough := func() bool { return x.enough(root) }
	alter, most := nodes, 3*nodes/2
	if sparing(nodes) {
		alter, most = nodes/2, nodes/2
	}
	x.varyAll(starts, alter, closeBehind, enough)
	t, best, plain := starts[0].style, x.snapshot(), starts[0]
	left := most
	for detours, all := 1, false; !all && !enough() && left > 0; detours++ {
		x.goOnFrom(plain)
		from := x.nodes
		all = x.detour(t, detours, left)
		left -= x.nodes - from
		if x.score != plain.score {
			plain = x.snapshot()
			x.vary(t, alter, enough)
		}
		if x.score.better(best.score) {
			best = x.snapshot()
		}
		x.goOnFrom(best)
	}
	if x.thorough {
		x.shake(t, 2*nodes, enough)
	}
	x.simplify(t)
	return t
}

// enough reports whether the best plan found is as good as a bound, or in time where no more is asked:
// what a search goes on to find is never worse.
func (x *search) enough(root score) bool {
	return x.atBest(root) || x.verdict && x.found && x.score.missed == 0
}

// rises reports whether something is being added.
func (p *problem) rises() bool {
	return slices.ContainsFunc(p.aims, func(m aim) bool { return m.dynamics.Source.MgH > 0 })
}

// passing reports whether every target that is met is left again at once, because something is being added.
func (p *problem) passing() bool {
	return !slices.ContainsFunc(p.aims, func(m aim) bool { return m.dynamics.Source.MgH == 0 })
}

// closeBehind reports whether a plan is not far behind another in exposure, be it late: altered, it
// may be in time.
func closeBehind(a, best score) bool {
	const far = 2
	return a.exposure <= far*best.exposure
}

// anyHope is what any plan has, where one is looked for that is in time at all.
func anyHope(score, score) bool { return true }

// detour looks for better plans that leave the first choice of a style so often, within a budget of
// nodes, and reports whether that is all there are.
func (x *search) detour(t style, detours, nodes int) (all bool) {
	end := x.nodes + nodes
	r := t.narrow()
	r.Detours = detours + 1
	x.run(r, 0, nodes)
	r = t.broad()
	r.Shed = !x.keeps
	if detours <= mostDetours {
		r.Detours = detours
	}
	x.run(r, 0, end-x.nodes)
	if !x.cut {
		return true
	}
	x.improve(r, min(detours, fewDetours), x.nodes+(end-x.nodes)/4)
	return false
}

// start makes the starting plans and returns the style of the best; the first, if what
// was found before is better than all of them.
func (x *search) start(styles []style, end int) (best style) {
	best = styles[0]
	for _, t := range styles {
		was := x.score
		x.run(t.straight(), 0, max(1, end-x.nodes))
		if x.score.better(was) {
			best = t
		}
	}
	return best
}

// Detours beyond which everything is tried, and those that improving gets.
const (
	mostDetours = 6
	fewDetours  = 2
)

// atAll looks for any plan better than a score and reports whether there is one: by the
// decisive styles, then by a detour from the best of them. What the bound leaves is little,
// so narrow rules are tried in full, and then everything.
func (x *search) atAll(than score, nodes int) bool {
	end := x.nodes + nodes
	x.score, x.found, x.any = than, true, true
	defer func() { x.any = false }()
	once := x.start(styles[:decisive], end).broad()
	once.Detours = 1
	for _, try := range []struct {
		rules rules
		share float64 // of what is left
	}{{once, 0.75}, {styles[0].narrow(), 0.35}, {thrifty.narrow(), 0.7}, {styles[0].broad(), 1}} {
		if x.score.exposure >= 0 {
			return true
		}
		x.run(try.rules, 0, max(1, int(try.share*float64(end-x.nodes))))
	}
	if x.score.exposure >= 0 {
		return true
	}
	x.score, x.found = worst(), false
	return false
}

// improve takes the best plan apart from its end: it keeps the first moves and looks for
// a better way to go on, with few detours, until nothing is gained.
func (x *search) improve(r rules, detours, end int) {
	r.Detours = detours
	for kept := len(x.best) - 1; kept > 0 && x.nodes < end; kept-- {
		was := x.score
		x.run(r, kept, min(mostDetour, end-x.nodes))
		if x.score.better(was) {
			kept = len(x.best)
		}
	}
}

// mostDetour is the budget for one way to go on.
const mostDetour = 2000

// shortHorizonH is the last deadline, or three days if that is longer.
func (p *problem) shortHorizonH() float64 {
	const days = 72
	last := float64(days)
	for a := range p.aims {
		if h := p.aims[a].withinH; !math.IsInf(h, 1) {
			last = max(last, h)
		}
	}
	return last
}

// meets reports whether there is a plan in which no aim is late, of a problem that is not
// outOfReach, looking for one as solve does first: where this finds one, so does solve.
func (p *problem) meets(nodes int, x *search) bool {
	x.begin(p)
	return x.inTime(score{}, nodes)
}
