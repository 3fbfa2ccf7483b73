package schedule

import (
	"math"
	"slices"
)

// variationOf is the k-th move of the best plan, to be altered.
func (x *search) variationOf(k int, t style, end int, by float64) *variation {
	v := &variation{}
	v.at.copyFrom(&x.p.start)
	for i := range k {
		x.p.follow(&v.at, &x.best[i])
	}
	v.take(x, k, t, end, by)
	return v
}

// take takes the k-th move of the best plan; the moves before it have been followed.
func (v *variation) take(x *search, k int, t style, end int, by float64) {
	v.x, v.t, v.end, v.by = x, t, end, by
	v.before, v.rest = append(v.before[:0], x.best[:k]...), append(v.rest[:0], x.best[k+1:]...)
}

// variation is one move of the best plan, to be altered: the moves before it and the state
// that they lead to, and the moves that follow.
type variation struct {
	x            *search
	t            style
	before, rest []move
	at           state
	ahead        state // at, once a vat is free
	end          int
	by           float64
}

// freed is the state before a move once a vat can be worked on again: what the last change took is out of
// it, and what was begun in it is done; nil if the move comes first.
func (v *variation) freed(vat int, m move) *state {
	p, w := v.x.p, &v.at.vats[vat]
	h := max(w.usedH, p.vessels[vat].fromH, p.vessels[vat].freeH)
	if !math.IsInf(w.readyH, 1) {
		h = max(h, w.readyH)
	}
	s := &v.at
	if h > s.atH && h < m.atH-slackH {
		s = &v.ahead
		s.copyFrom(&v.at)
		p.passTo(s, h)
	}
	if !p.free(s, vat) {
		return nil
	}
	return s
}

// better tries what the move could be instead, and reports whether something is better.
func (v *variation) better(m move) bool {
	if v.by == onceMore {
		if m.kind == toChange {
			return v.without(m) || v.sooner(m) || v.mixed(m) || v.leavesOneMore(m)
		}
		return v.x.thorough && v.sooner(m)
	}
	if v.swapped(m) {
		return true
	}
	if m.kind == toChange {
		return v.smaller(m) || v.exchanged(m) || v.tasted(m) || v.poured(m) || v.leftOut()
	}
	return v.worked(m) || v.traded(m) || v.leftOut() || v.earlier(m) || v.elsewhere(m)
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

// leavesOneMore tries a change that is smaller by what is lacking after all changes for one more, the least that is worth
// making: 11 L stayed in the vat where one of 20 L could have been made.
func (v *variation) leavesOneMore(m move) bool {
	p := v.x.p
	left := p.drawable(&v.at) - m.change.litres
	for k := range v.rest {
		left -= v.rest[k].change.litres
	}
	lacks := p.tank.leastL*(1+contraction) - left
	if left <= leastDrawL || lacks <= 0 || lacks >= m.change.litres {
		return false
	}
	m.change.share = orAll(m.change.share) * (1 - lacks/m.change.litres)
	return v.tried(worthVarying, m)
}

// exchanged tries to let the change that follows be small instead, and by as much: what comes first counts for longest.
func (v *variation) exchanged(m move) bool {
	next := slices.IndexFunc(v.rest, func(o move) bool { return o.kind == toChange })
	if v.by != coarsest || next < 0 || !(orAll(m.change.share) < orAll(v.rest[next].change.share)) {
		return false
	}
	rest := v.rest
	defer func() { v.rest = rest }()
	v.rest = slices.Clone(rest)
	o := &v.rest[next].change
	m.change.share, o.share, m.change.litres, o.litres = o.share, m.change.share, o.litres, m.change.litres
	return v.tried(worthVarying, m)
}

// tasted tries the other waters that the change could be made of.
func (v *variation) tasted(m move) bool {
	if v.by != coarsest {
		return false
	}
	t := &v.x.memory.table
	return slices.ContainsFunc(t.options(v.x.p, &v.at, mostFall, tastes, false), func(o change) bool { return v.of(o, m) })
}

// without tries a change without one of its waters, which is kept until it is warmer or may be
// used in full.
func (v *variation) without(m move) bool {
	t := &v.x.memory.table
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
	return v.x.thorough && n.atH < m.atH-slackH && (v.tried(worthVarying, n) || v.carriedOut(worthVarying, append([]move{n}, v.rest...), noLarger))
}

// elsewhere tries to bring the water of another vat to the system's salinity: what is poured away of the one for want
// of purified water is there to be cut later.
func (v *variation) elsewhere(m move) bool {
	p := v.x.p
	if v.by != coarsest || !v.x.thorough || !m.job.correct || m.job.batchL > 0 {
		return false
	}
	for i := range v.at.vats {
		o := &v.at.vats[i]
		if i == m.job.vat || p.vessels[i].store < 0 || math.Abs(o.s-p.tank.own.s) < oddSalinity || o.volL-p.vessels[i].heelL <= leastEmpty*p.tank.volL {
			continue
		}
		n := m
		n.job.vat, n.job.removeL = i, 0
		if v.tried(worthVarying, n) {
			return true
		}
	}
	return false
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
	if !v.x.thorough || v.x.keeps || m.job.removeL <= 0 {
		return false
	}
	usable := max(0, v.at.vats[m.job.vat].volL-v.x.p.vessels[m.job.vat].heelL)
	rest := v.rest
	defer func() { v.rest = rest }()
	for i, o := range rest {
		if o.kind != toWork || o.job.removeL <= 0 || o.job.vat == m.job.vat {
			continue
		}
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
	p := v.x.p
	var all []move
	for i := range v.at.vats {
		s, vessel := v.freed(i, m), &p.vessels[i]
		if s == nil || v.workedOn(i) {
			continue
		}
		w := &s.vats[i]
		usable := w.volL - vessel.heelL
		if usable <= leastEmpty*p.tank.volL || math.IsInf(w.readyH, 1) {
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

// oneMore is one more change, as soon as one can be made.
func (v *variation) oneMore(k taste) move {
	return move{atH: v.at.atH, kind: toChange, change: change{taste: k}, job: noJob}
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
	shares := []float64{1, 0.5, 0.2}
	if !v.x.thorough {
		shares = shares[:1]
	}
	for _, share := range shares {
		for _, k := range []taste{mostFall, leastFall} {
			n := v.oneMore(k)
			if n.change.share = share; v.tried(worthVarying, n, m) {
				return true
			}
		}
	}
	return false
}

// mixed tries one more batch before a change, of each size; and a part of it, which the limits of
// the change may be kept by beside water that is there.
func (v *variation) mixed(m move) bool {
	p, rule := v.x.p, v.t.straight()
	rule.Sizes, rule.MostSizes = freshFirst, len(freshFirst)
	shares := []float64{1, 0.3, 0.1}
	if !v.x.thorough {
		shares = shares[:1]
	}
	for i := range v.at.vats {
		s := v.freed(i, m)
		if s == nil || !p.vessels[i].mixes {
			continue
		}
		w := wants{p: p, s: s, r: &rule}
		w.look()
		for _, j := range w.batches(job{vat: i}, nil) {
			for _, j.share = range shares {
				if v.tried(worthVarying, move{atH: s.atH, kind: toWork, job: j}, m) {
					return true
				}
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
	guide := append(append(v.x.memory.guide[:0], instead...), v.rest...)
	v.x.memory.guide = guide
	return v.carriedOut(worth, guide, asLarge) ||
		v.x.thorough && v.by >= coarse && len(guide) > 0 && guide[0].kind != toChange && v.carriedOut(worth, guide, soonest)
}

// carriedOut is tried for moves that follow those before, in one manner.
func (v *variation) carriedOut(worth float64, guide []move, how manner) bool {
	x := v.x
	if x.nodes >= v.end {
		return false
	}
	was := x.score
	x.score.exposure *= 1 - worth
	least := x.score
	x.retrace(v.t, v.before, &v.at, guide, how)
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
