package schedule

import (
	"math"
	"slices"

	"tidehold/response/plan"
)

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

// started is a starting plan and the style it was made in.
type started struct {
	moves []move
	score score
	style style
}

// sparing reports whether a budget of nodes is that of a file of many events, or of a first look.
func sparing(nodes int) bool { return nodes < mostNodes }

// startsWithin is how many starting plans are altered within a budget of nodes.
func startsWithin(nodes int) int {
	switch {
	case sparing(nodes):
		return 1
	case nodes < fewNodes:
		return 3
	}
	return 6
}

// bestStarts makes the starting plans and returns the best of them, the best first; with
// what was found before, if that is among them.
func (x *search) bestStarts(styles []style, most, end int) []started {
	var list []started
	keep := func(t style) {
		if slices.ContainsFunc(list, func(o started) bool {
			return o.score.missed == x.score.missed && near(o.score.exposure, x.score.exposure)
		}) {
			return
		}
		k := 0
		for k < len(list) && !x.score.better(list[k].score) {
			k++
		}
		list = slices.Insert(list, k, started{slices.Clone(x.best), x.score, t})
		list = list[:min(len(list), most)]
	}
	if x.found {
		keep(styles[0])
	}
	for _, t := range styles {
		if t.Lean && x.keeps {
			continue
		}
		x.found, x.score = false, worst()
		if len(list) == most {
			x.found, x.score = true, list[len(list)-1].score
		}
		was := x.score
		x.run(t.straight(), 0, max(1, end-x.nodes))
		if x.score.better(was) {
			keep(t)
		}
	}
	x.goOnFrom(list[0])
	x.found = true
	return list
}

// varyAll alters each of the starting plans, the best within a budget of nodes, the others within
// half of it: what is altered leads from each to another place. worth says of which, by then, there is
// hope.
func (x *search) varyAll(starts []started, nodes int, worth func(a, best score) bool, enough func() bool) {
	x.goOnFrom(starts[0])
	x.vary(starts[0].style, nodes, enough)
	best := x.snapshot()
	for _, from := range starts[1:] {
		if enough() || !worth(from.score, best.score) {
			continue
		}
		x.goOnFrom(from)
		if x.vary(from.style, nodes/2, enough); x.score.better(best.score) {
			best = x.snapshot()
		}
	}
	x.goOnFrom(best)
}

// snapshot is the best plan found, to go on from it later.
func (x *search) snapshot() started { return started{moves: slices.Clone(x.best), score: x.score} }

// goOnFrom takes a plan for the best found.
func (x *search) goOnFrom(s started) { x.best, x.score = append(x.best[:0], s.moves...), s.score }

// vary improves the best plan found within a budget of nodes, going on as a style would
// where a plan ends early, until it is good enough.
func (x *search) vary(t style, nodes int, enough func() bool) {
	end := x.nodes + nodes
	for _, by := range alterBy {
		for k := 0; k < len(x.best) && x.nodes < end && !enough(); {
			if v := x.variationOf(k, t, end, by); !v.better(x.best[k]) {
				k++
			}
		}
	}
}

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
			x.retrace(t, v.before, &v.at, guide, false)
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

// oneMore is one more change, as soon as one can be made.
func (v *variation) oneMore(k taste) move {
	return move{atH: v.at.atH, kind: toChange, change: change{taste: k}, job: noJob}
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
		if m.kind == toChange && slices.ContainsFunc(m.change.draws, func(d draw) bool { return d.vat == vat }) {
			return false
		}
		if m.kind != toChange && m.job.vat == vat {
			return true
		}
	}
	return false
}

// variationOf is the k-th move of the best plan, to be altered.
func (x *search) variationOf(k int, t style, end int, by float64) *variation {
	v := &variation{x: x, t: t, end: end, by: by, before: slices.Clone(x.best[:k]), rest: slices.Clone(x.best[k+1:])}
	v.at.copyFrom(&x.p.start)
	for i := range v.before {
		x.p.follow(&v.at, &v.before[i])
	}
	return v
}

// variation is one move of the best plan, to be altered: the moves before it and the state
// that they lead to, and the moves that follow.
type variation struct {
	x            *search
	t            style
	before, rest []move
	at           state
	end          int
	by           float64
}

// better tries what the move could be instead, and reports whether something is better.
func (v *variation) better(m move) bool {
	if v.by == onceMore {
		if m.kind == toChange {
			return v.without(m) || v.sooner(m) || v.mixed(m)
		}
		return v.x.thorough && v.sooner(m)
	}
	if v.swapped(m) {
		return true
	}
	if m.kind == toChange {
		return v.smaller(m) || v.tasted(m) || v.poured(m) || v.leftOut()
	}
	return v.worked(m) || v.x.thorough && v.traded(m) || v.leftOut() || v.x.thorough && v.earlier(m)
}

// smaller tries a change that is a share of the largest, or more of it again.
func (v *variation) smaller(m move) bool {
	all := orAll(m.change.share)
	for _, share := range []float64{all * (1 - v.by), min(1, all*(1+v.by))} {
		if m.change.share = share; share != all && v.tried(worthVarying, m) {
			return true
		}
	}
	return false
}

// tasted tries the other waters that the change could be made of.
func (v *variation) tasted(m move) bool {
	if v.by != coarsest {
		return false
	}
	var t table
	return slices.ContainsFunc(t.options(v.x.p, &v.at, mostFall, tastes, false), func(o change) bool { return v.of(o, m) })
}

// without tries a change without one of its waters, which is kept until it is warmer or may be
// used in full.
func (v *variation) without(m move) bool {
	var t table
	return len(m.change.draws) > 1 && slices.ContainsFunc(m.change.draws, func(d draw) bool {
		return slices.ContainsFunc(t.optionsKeeping(d.vat+1, v.x.p, &v.at, mostFall, closest, true), func(o change) bool { return v.of(o, m) })
	})
}

// of tries another change instead of one.
func (v *variation) of(o change, m move) bool {
	o.draws = slices.Clone(o.draws)
	return !sameDraws(&o, &m.change) && v.tried(worthVarying, move{atH: m.atH, kind: toChange, change: o, job: noJob})
}

// earlier tries work on a vat sooner.
func (v *variation) earlier(m move) bool {
	n, by := m, min(1, 2*v.by)
	n.atH -= by * (m.atH - v.at.atH)
	return n.atH < m.atH-slackH && v.tried(worthVarying, n)
}

// worked tries more and less of a batch or of a correction, and of what is poured away before it.
func (v *variation) worked(m move) bool {
	vat := m.job.vat
	usable := max(0, v.at.vats[vat].volL-v.x.p.vessels[vat].heelL)
	for _, by := range []float64{-v.by, v.by} {
		n := m
		if n.job.share = orAll(m.job.share) * (1 + by); (n.job.batchL > 0 || n.job.correct && n.job.share <= 1) && v.tried(worthVarying, n) {
			return true
		}
		n.job.share = m.job.share
		if by > 0 && v.x.keeps {
			continue
		}
		n.job.removeL, n.job.all = min(usable, max(0, m.job.removeL+by*usable)), false
		if math.Abs(n.job.removeL-m.job.removeL) > leastDrawL && v.tried(worthVarying, n) {
			return true
		}
	}
	return false
}

// traded tries to pour more away of one vat and as much less of another: where two are warmed for
// the same change, neither gains by itself.
func (v *variation) traded(m move) bool {
	vats, rest := v.x.p.vessels, v.rest
	defer func() { v.rest = rest }()
	for i, o := range rest {
		if m.job.removeL <= 0 || o.kind != toWork || o.job.removeL <= 0 || o.job.vat == m.job.vat || v.x.keeps {
			continue
		}
		usable := max(0, v.at.vats[m.job.vat].volL-vats[m.job.vat].heelL)
		for _, by := range []float64{-v.by * usable, v.by * usable} {
			n, other := m, o
			n.job.removeL, other.job.removeL = min(usable, m.job.removeL+by), o.job.removeL-by
			if n.job.all, other.job.all = false, false; n.job.removeL < 0 || other.job.removeL < 0 {
				continue
			}
			v.rest = slices.Clone(rest)
			if v.rest[i] = other; v.tried(worthVarying, n) {
				return true
			}
		}
	}
	return false
}

// swapped tries work on a vat before the change that it follows, and after the change that follows it.
func (v *variation) swapped(m move) bool {
	if !v.x.thorough || v.by < 0.05 || len(v.rest) == 0 || (m.kind == toChange) == (v.rest[0].kind == toChange) {
		return false
	}
	rest := v.rest
	defer func() { v.rest = rest }()
	n := rest[0]
	if v.rest = rest[1:]; m.kind == toChange {
		n.atH = v.at.atH
	} else {
		m.atH = n.atH
	}
	return v.tried(worthVarying, n, m)
}

// poured tries to pour away some of each vat before a change, to bring the rest to the
// system's salinity, or both; and to pour away of all vats that are being warmed alike.
func (v *variation) poured(m move) bool {
	p, s := v.x.p, &v.at
	var all []move
	for i := range s.vats {
		w, vessel := &s.vats[i], &p.vessels[i]
		usable := w.volL - vessel.heelL
		if usable <= leastEmpty*p.tank.volL || !p.free(s, i) || math.IsInf(w.readyH, 1) || v.workedOn(i) {
			continue
		}
		n := move{atH: s.atH, kind: toWork, job: job{vat: i, removeL: v.by * usable}}
		if v.x.keeps {
			n.job.removeL = 0
		} else if vessel.heaterW > 0 && w.warmH > s.atH {
			all = append(all, n)
			if v.tried(worthPouring, n, m) {
				return true
			}
		}
		if math.Abs(w.s-p.tank.own.s) >= oddSalinity {
			n.job.correct = true
			if n.job.removeL > 0 && v.tried(worthPouring, n, m) {
				return true
			}
			if n.job.removeL = 0; v.by == coarsest && v.tried(worthPouring, n, m) {
				return true
			}
		}
	}
	return len(all) > 1 && v.tried(worthPouring, append(all, m)...)
}

// workedOn reports whether the plan works on a vat at this moment already.
func (v *variation) workedOn(vat int) bool {
	return slices.ContainsFunc(v.before, func(m move) bool {
		return m.kind == toWork && m.job.vat == vat && m.atH >= v.at.atH-slackH
	})
}

// sooner tries one more change before a change, where the interval leaves room for it, or before
// work on a vat.
func (v *variation) sooner(m move) bool {
	room := v.x.p.tank.everyH
	if m.kind != toChange {
		room = -slackH
	}
	if m.atH < max(v.at.atH, v.at.nextH)+room {
		return false
	}
	for _, k := range []taste{mostFall, leastFall} {
		if v.tried(worthVarying, v.oneMore(k), m) {
			return true
		}
	}
	return false
}

// mixed tries one more batch before a change, of each size.
func (v *variation) mixed(m move) bool {
	p, s := v.x.p, &v.at
	rule := v.t.straight()
	rule.Sizes, rule.MostSizes = freshFirst, len(freshFirst)
	w := wants{p: p, s: s, r: &rule}
	w.look()
	for i := range s.vats {
		if !p.free(s, i) || !p.vessels[i].mixes || v.workedOn(i) {
			continue
		}
		for _, j := range w.batches(job{vat: i}, nil) {
			if v.tried(worthVarying, move{atH: s.atH, kind: toWork, job: j}, m) {
				return true
			}
		}
	}
	return false
}

// leftOut tries the plan without the move.
func (v *variation) leftOut() bool { return v.by == coarsest && v.tried(worthVarying) }

// tried carries the plan out with other moves instead of the one, and reports whether it is
// better by more than a share. The later changes are made when they are as large as they were; with
// other work on a vat, where there is time for it, also as soon as they can be.
func (v *variation) tried(worth float64, instead ...move) bool {
	guide := append(instead, v.rest...)
	return v.carriedOut(worth, guide, false) ||
		v.x.thorough && v.by >= coarse && len(guide) > 0 && guide[0].kind != toChange && v.carriedOut(worth, guide, true)
}

// carriedOut is tried for moves that follow those before, the changes among them at once or not.
func (v *variation) carriedOut(worth float64, guide []move, atOnce bool) bool {
	x := v.x
	if x.nodes >= v.end {
		return false
	}
	was := x.score
	x.score.exposure *= 1 - worth
	least := x.score
	x.retrace(v.t, v.before, &v.at, guide, atOnce)
	if x.score == least {
		x.score = was
		return false
	}
	return true
}

// orAll is a share that may be left out: all.
func orAll(share float64) float64 {
	if share == 0 {
		return 1
	}
	return share
}

// retrace carries the later moves of a plan out again, from a state that the moves before
// lead to, each as soon as it can be made, and offers what comes of it.
func (x *search) retrace(t style, before []move, from *state, guide []move, atOnce bool) {
	x.r, x.cut = t.straight(), false
	x.prefix = append(x.prefix[:0], before...)
	f := x.frameAt(0)
	s := &f.state
	s.copyFrom(from)
	var shift float64 // how much later than in the plan the last change was made
	for k := range guide {
		m := &guide[k]
		if s.done() || x.score.missed == 0 && s.spent.exposure >= x.score.exposure {
			break
		}
		if m.kind != toChange {
			if !begunBefore(guide[:k], m) {
				x.workAgain(f, m, m.atH+shift)
			}
			continue
		}
		untilH := m.atH + shift
		if atOnce {
			untilH = 0
		}
		if !x.changeAgain(f, m, untilH) {
			break
		}
		if m.change.litres > 0 { // not one that has been put in
			shift = s.held[len(s.held)-1].untilH - m.atH
		}
	}
	if s.ask.change = false; s.done() || !x.hopeless(s) {
		x.budget = x.nodes + mostDetour
		x.explore(0, 0)
	}
}

// begunBefore reports whether a move is the work on a batch that one of the moves before it
// decided on: that begins by itself once its water is there.
func begunBefore(moves []move, m *move) bool {
	return m.kind == toWork && slices.ContainsFunc(moves, func(o move) bool {
		return o.kind == toAwait && o.job.vat == m.job.vat && o.job.fromH == m.job.fromH
	})
}

// pass goes on to the next moment, and begins the work whose water has come.
func (x *search) pass(s *state) bool {
	x.nodes++
	if !x.p.advance(s) {
		return false
	}
	if s.ask.planned.vat >= 0 {
		if j, ok := x.p.begins(s); ok {
			x.carryOut(s, move{atH: s.atH, kind: toWork, job: j})
		}
	}
	return true
}

// carryOut makes a move and writes it down.
func (x *search) carryOut(s *state, m move) {
	x.nodes++
	m.change.draws = slices.Clone(m.change.draws)
	x.p.follow(s, &m)
	x.prefix = append(x.prefix, m)
}

// changeAgain makes a change as soon as it can be as large as it was, or as large as it can
// be once it is as late as it was; false: not before the horizon.
func (x *search) changeAgain(f *frame, m *move, untilH float64) bool {
	s, p := &f.state, x.p
	share := orAll(m.change.share)
	for {
		if s.ask.change || s.atH == 0 && s.nextH <= slackH {
			s.ask.change = false
			// Whatever can be made is worth making in time; what is best liked comes first.
			list := f.table.optionsKeeping(m.change.kept, p, s, m.change.taste, tastes, true)
			if len(list) > 0 && (list[0].trimmed || list[0].litres*share >= m.change.litres*(1-tie) || s.atH >= untilH-slackH || list[0].by == plan.ByWater && !s.more()) {
				ch := list[0]
				if share < 1 && ch.litres*share >= p.tank.leastL {
					f.table.lessen(p, s, &ch, share)
				}
				x.carryOut(s, move{atH: s.atH, kind: toChange, change: ch, job: noJob})
				return true
			}
		}
		if !x.pass(s) {
			return false
		}
	}
}

// more reports whether water is being made or waited for.
func (s *state) more() bool {
	return s.ask.planned.vat >= 0 || slices.ContainsFunc(s.vats, func(v vat) bool { return v.readyH > s.atH+slackH && !math.IsInf(v.readyH, 1) })
}

// lessen makes a change a share of itself: within the limits too, which are those of a mixture.
func (t *table) lessen(p *problem, s *state, ch *change, share float64) {
	ch.draws = slices.Clone(ch.draws)
	for k := range ch.draws {
		ch.draws[k].litres *= share
	}
	ch.litres *= share
	ch.by, ch.trimmed, ch.share = plan.ForLater, false, share
	t.finish(p, s, ch)
}

// workAgain works on a vat again, or decides on it, no sooner than at a time.
func (x *search) workAgain(f *frame, m *move, fromH float64) {
	s, p := &f.state, x.p
	for s.ask.planned.vat >= 0 || s.atH < fromH-slackH || !p.free(s, m.job.vat) {
		if next, _ := p.nextMoment(s); s.atH < fromH-slackH && next > fromH+slackH {
			p.passTo(s, min(fromH, p.horizonH))
			s.ask.change = false
			if s.atH < fromH-slackH {
				return
			}
			continue
		}
		if !x.pass(s) {
			return
		}
	}
	if j, ok := x.jobAgain(f, m.job); ok {
		n := move{atH: s.atH, kind: toWork, job: j}
		if j.fromH > s.atH {
			n.kind = toAwait
		}
		x.carryOut(s, n)
	}
}

// jobAgain is a job as its rule has it at another moment; false: there is nothing to do.
func (x *search) jobAgain(f *frame, j job) (job, bool) {
	p, s := x.p, &f.state
	v := &s.vats[j.vat]
	usable := max(0, v.volL-p.vessels[j.vat].heelL)
	switch j.removeL = min(j.removeL, usable); {
	case math.IsInf(v.readyH, 1), j.all && v.mayLose(usable):
		j.removeL = usable // water over its age all goes
	case j.removeL < leastPoured*v.volL*(1-tie), !v.mayLose(j.removeL):
		j.removeL, j.all = 0, false
	}
	j.correct = j.correct && math.Abs(v.s-p.tank.own.s)*j.way() >= leastCorrection*(1-tie)
	if j.batchL <= 0 {
		if out := j.removeL; j.correct {
			j = p.settled(s, j)
			j.removeL = max(out, j.removeL)
		}
		j.fromH = s.atH
		return j, j.correct || j.removeL > leastDrawL
	}
	rule := x.r
	rule.Sizes, rule.MostSizes = []size{j.size}, 1
	w := wants{p: p, s: s, r: &rule}
	w.look()
	f.jobs = w.batches(job{vat: j.vat, removeL: j.removeL, correct: j.correct, all: j.all}, f.jobs[:0])
	if len(f.jobs) == 0 {
		return j, false
	}
	share := j.share
	if j = f.jobs[0]; orAll(share) != 1 {
		j.share = share
		w.resize(&j, j.batchL*share)
	}
	return j, j.batchL >= leastEmpty*p.tank.volL
}

// resize makes the batch of a job another size, within what there is for it or will be.
func (w *wants) resize(j *job, litres float64) {
	p, s := w.p, w.s
	pureL, saltL := w.pureL, w.saltL
	if had := s.vats[j.vat].volL - j.removeL; j.correct && had > leastDrawL {
		c := p.correction(s, j.vat, had)
		pureL, saltL = pureL-c.pureL, saltL-c.saltL
		litres = min(litres, p.vessels[j.vat].capL-had*c.grows)
	}
	j.batchL = max(0, min(litres, p.vessels[j.vat].capL-(s.vats[j.vat].volL-j.removeL), saltL))
	rate, from := p.works.rateLH, max(s.atH, s.pure.atH)
	switch take := p.pureFor(s, j.batchL); {
	case j.size == inTime || j.size == trickle: // the time is given
		j.batchL = min(j.batchL, p.litresFrom(s, pureL+rate*max(0, j.fromH-from)))
	case pureL >= take:
		j.fromH = s.atH
	case rate > 0:
		j.fromH = from + (take-pureL)/rate
	default:
		j.batchL = p.litresFrom(s, pureL)
	}
}
