package schedule

import "slices"

// What can be done with less can be done with more. A search does not see that by itself: where there
// is more to choose from it may end at another plan, and a worse one. So the house with less of one
// thing is planned for too, and what comes of it carried out with all there is, and altered.

// lessBy and without are the shares by which the house has less of something: a little, or all of it. Plans that
// do without lie further apart: a search with more room in a vat cut another first, and had 26 % more exposure.
const lessBy, without = 0.25, 1.0

// otherwise are further shares, for what is found to be never done: a tub with more purified water was short, and with
// less was late.
var otherwise = []float64{0.5, 0.1, 0.75}

// finish goes on from the best plan: by a quick look at every house with less, and where the search is not to be
// brief by what every style leads to and by a longer look. Where a plan is late, the longer look is worth it at houses
// with none of a thing as well: a tub of which it was said that it is late was done within 7 of its 24 hours. What is never
// done is looked at longer still, unless by the bound so many aims are never reached by any plan.
func (x *search) finish(t style, never int, enough func() bool) {
	most := x.p.finishing
	houses := x.p.withLess(lessBy)
	n := len(houses)
	houses = append(houses, x.p.withLess(without)...)
	if !x.thorough && x.score.missed > 0 {
		x.finishLate(t, houses, enough)
		return
	}
	x.fromLess(t, houses, mostNodes, most/4, false, enough)
	if !x.brief {
		x.lookLonger(t, houses, n, enough)
	}
	for k := 0; x.thorough && !x.brief && x.score.never > never && k < len(otherwise); k++ {
		x.fromLess(t, x.p.withLess(otherwise[k]), fewNodes, most/2, false, func() bool { return enough() || x.score.never <= never })
	}
	x.simplify(t)
}

// finishLate sees whether what is late, or never done, in a house of several events need be: by half of the
// quick look, and where it is nearly in time by the longer one. Whoever is late either way keeps to what a file of
// many events says.
func (x *search) finishLate(t style, houses []less, enough func() bool) {
	was := x.snapshot()
	x.fromLess(t, houses, mostNodes, x.p.finishing/8, false, enough)
	if was.score.noLater(x.score) && !x.brief && x.nearlyInTime() {
		x.lookLonger(t, houses, len(houses), enough)
	}
	if was.score.noLater(x.score) {
		x.goOnFrom(was)
		return
	}
	x.simplify(t)
}

// lookLonger goes on by what every style leads to, and by a longer look at the first n houses with less; at the others
// where the plan is late.
func (x *search) lookLonger(t style, houses []less, n int, enough func() bool) {
	most := x.p.finishing
	x.fromEach(2*fewNodes, most/5, enough)
	x.fromLess(t, houses[:n], fewNodes, most/2, x.score.missed == 0, enough)
	if x.score.missed > 0 {
		x.fromLess(t, houses[n:], fewNodes, most/2, false, enough)
	}
}

// nearlyInTime reports whether the best plan is late by less than a quarter of what is allowed.
func (x *search) nearlyInTime() bool {
	last := 0.0
	for a := range x.p.aims {
		last = max(last, x.p.aims[a].withinH)
	}
	return x.score.never == 0 && x.score.finishH < 1.25*last
}

// fromLess goes on from the plans of houses with less of one thing, each found within so many nodes and all within
// most, until one is good enough; where shortcut, without those in which the best plan can be carried out as well.
// It begins with the house that the best plan was last found for. What a quick look and a longer one lead to
// differs by a quarter either way.
func (x *search) fromLess(t style, houses []less, nodes, most int, shortcut bool, enough func() bool) {
	end := x.nodes + most // a house of many vats took seconds
	if k := likeliest(houses); k > 0 {
		houses = slices.Concat(houses[k:k+1], houses[:k], houses[k+1:])
	}
	for k := range houses {
		if enough() || x.nodes >= end {
			return
		}
		if !shortcut || !x.doesWithLess(&houses[k], t) {
			x.fromOneLess(&houses[k], t, nodes, enough)
		}
	}
}

// likeliest is the house for which the best plan was found.
func likeliest(houses []less) (best int) {
	for k := range houses {
		if houses[k].score.better(houses[best].score) {
			best = k
		}
	}
	return best
}

// doesWithLess reports whether the best plan can be carried out as well in a house with less.
func (x *search) doesWithLess(l *less, t style) bool {
	y := takeSearch()
	defer y.giveBack()
	y.begin(l.problem)
	y.retrace(t, nil, &l.start, x.best, asLarge)
	return y.found && y.score.missed == x.score.missed && near(y.score.exposure, x.score.exposure)
}

// fromOneLess goes on from the plan of one such house, found within a budget of nodes.
func (x *search) fromOneLess(l *less, t style, nodes int, enough func() bool) {
	y := takeSearch()
	defer y.giveBack()
	q := l.problem
	y.begin(q)
	y.seekBest(q.bound(&q.start, worst()), nodes)
	x.nodes, l.score = x.nodes+y.nodes, y.score
	left := func() int { return fewNodes }
	if l.pours.vat >= 0 && !x.keeps { // water that is not there is water that is poured away
		first := move{atH: x.p.start.atH, kind: toWork, job: l.pours}
		x.leadsOn(t, nil, &x.p.start, append([]move{first}, y.best...), noLarger, left, enough)
	}
	for _, how := range []manner{noLarger, asLarge} {
		x.leadsOn(t, nil, &x.p.start, y.best, how, left, enough)
	}
}

// lessOf is how much less of a vat's water there is: little is left out at once.
func (p *problem) lessOf(litres, by float64) float64 {
	const little = 0.05 // of the system
	if litres >= little*p.tank.volL {
		return by * litres
	}
	if by > lessBy {
		return 0
	}
	return litres
}

// less is a problem with less of one thing, and what is poured away to have it; noJob where that is not possible.
type less struct {
	*problem
	pours job
	score score // of the plan last found
}

// withLess is the problem with less of one thing, what most often leads on first: of the water of a vat,
// of purified water, of salt, of heat in a vat, of the purifier's rate, or of room in a vat.
func (p *problem) withLess(by float64) (list []less) {
	with := func(has bool, take func(q *less)) {
		if !has {
			return
		}
		of := *p
		q := less{problem: &of, pours: noJob, score: worst()}
		q.vessels, q.scratch, q.start = slices.Clone(p.vessels), scratch{}, state{}
		q.start.copyFrom(&p.start)
		take(&q)
		for i := range q.vessels {
			v := &q.start.vats[i]
			q.heat(v, &q.vessels[i], v.course.FromC, v.baseH)
		}
		list = append(list, q)
	}
	for i := range p.vessels {
		w, v := &p.vessels[i], &p.start.vats[i]
		out := p.lessOf(v.volL-w.heelL, by)
		with(out > leastDrawL, func(q *less) {
			if q.start.vats[i].volL = max(w.heelL, v.volL-out); w.store >= 0 {
				q.pours = job{vat: i, removeL: out}
			}
		})
	}
	with(p.start.pure.litres > leastDrawL, func(q *less) { q.start.pure.litres *= 1 - by })
	for k, kg := range p.start.saltKg {
		with(kg > 0, func(q *less) { q.start.saltKg[k] *= 1 - by })
	}
	for i := range p.vessels {
		w := &p.vessels[i]
		with(w.heaterW > 0, func(q *less) { q.vessels[i].heaterW *= 1 - by })
	}
	with(p.works.rateLH > 0, func(q *less) { q.works.rateLH *= 1 - by })
	for i := range p.vessels {
		w, v := &p.vessels[i], &p.start.vats[i]
		with(w.mixes && w.capL > v.volL+leastDrawL, func(q *less) { q.vessels[i].capL = v.volL + (1-by)*(w.capL-v.volL) })
	}
	return list
}
