package schedule

import (
	"math"
	"slices"

	"tidehold/response/plan"
)

// manner is how moves are carried out again.
type manner int8

const (
	asLarge  manner = iota // changes when they are as large as they were; batches as their rule has them
	soonest                // changes as soon as they can be made
	noLarger               // as asLarge, but nothing is larger than it was
)

// retrace carries the later moves of a plan out again, from a state that the moves before
// lead to, each as soon as it can be made, and offers what comes of it.
func (x *search) retrace(t style, before []move, from *state, guide []move, how manner) {
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
				x.workAgain(f, m, m.atH+shift, how)
			}
			continue
		}
		untilH := m.atH + shift
		if how == soonest {
			untilH = 0
		}
		if !x.changeAgain(f, m, untilH, how) {
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
	if m.kind != toWork {
		return false
	}
	for k := range moves { // not by value: copying each took 20 s for a plan of thousands
		if o := &moves[k]; o.kind == toAwait && o.job.vat == m.job.vat && o.job.fromH == m.job.fromH {
			return true
		}
	}
	return false
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
func (x *search) changeAgain(f *frame, m *move, untilH float64, how manner) bool {
	s, p := &f.state, x.p
	share := orAll(m.change.share)
	if how == noLarger {
		share = 1
	}
	for {
		if s.ask.change || s.atH == 0 && s.nextH <= slackH {
			s.ask.change = false
			// Whatever can be made is worth making in time; what is best liked comes first.
			list := f.table.optionsKeeping(m.change.kept, p, s, m.change.taste, tastes, true)
			if len(list) > 0 && (list[0].trimmed || list[0].litres*share >= m.change.litres*(1-tie) || s.atH >= untilH-slackH || list[0].by == plan.ByWater && !s.more()) {
				ch := list[0]
				if how == noLarger {
					share = m.change.litres / ch.litres
				}
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
func (x *search) workAgain(f *frame, m *move, fromH float64, how manner) {
	s, p := &f.state, x.p
	for s.ask.planned.vat >= 0 || s.atH < fromH-slackH || !p.free(s, m.job.vat) || !p.up(s) {
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
	if j, ok := x.jobAgain(f, m.job, how); ok {
		n := move{atH: s.atH, kind: toWork, job: j}
		if j.fromH > s.atH {
			n.kind = toAwait
		}
		x.carryOut(s, n)
	}
}

// jobAgain is a job as its rule has it at another moment; false: there is nothing to do.
func (x *search) jobAgain(f *frame, j job, how manner) (job, bool) {
	p, s := x.p, &f.state
	v := &s.vats[j.vat]
	usable := max(0, v.volL-p.vessels[j.vat].heelL)
	switch j.removeL = min(j.removeL, usable); {
	case math.IsInf(v.readyH, 1), j.all && v.mayLose(usable):
		j.removeL = usable // water over its age all goes
	case j.removeL < leastPoured*v.volL*(1-tie), !v.mayLose(j.removeL):
		j.removeL, j.all = 0, false
	}
	p.hoard(s, &j)
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
	w := wants{p: p, s: s, r: &rule, again: true}
	w.look()
	j = w.batchAgain(j, f.jobs[:0], how)
	return j, j.batchL >= leastEmpty*p.tank.volL
}

// batchAgain is a job with the batch that its rule has by now; none where the rule has none, unless it is
// not to be larger than it was: then it is as it was.
func (w *wants) batchAgain(j job, list []job, how manner) job {
	share, was := orAll(j.share), j.batchL
	list = w.batches(job{vat: j.vat, removeL: j.removeL, correct: j.correct, all: j.all}, list)
	switch {
	case len(list) > 0:
		j = list[0]
	case how == noLarger:
		j.fromH = max(j.fromH, w.s.atH)
		w.resize(&j, was)
		return j
	default:
		j.batchL = 0
		return j
	}
	if how == noLarger {
		share = min(1, was/j.batchL)
	}
	if share != 1 {
		j.share = share
		w.resize(&j, j.batchL*share)
	}
	return j
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
	case (j.size == inTime || j.size == trickle) && j.share <= 1: // the time is given, unless more is asked
		j.batchL = min(j.batchL, p.litresFrom(s, pureL+rate*max(0, j.fromH-from)))
	case pureL >= take:
		j.fromH = s.atH
	case rate > 0:
		j.fromH = from + (take-pureL)/rate
	default:
		j.batchL = p.litresFrom(s, pureL)
	}
}
