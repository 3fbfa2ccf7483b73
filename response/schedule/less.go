package schedule

import "slices"

// What can be done with less can be done with more. A search does not see that by itself: where there
// is more to choose from it may end at another plan, and a worse one. So the house with less of one
// thing is planned for too, and what comes of it carried out with all there is, and altered.

// lessBy are the shares by which the house has less of something: a little, and then all of it. Plans that
// do without lie further apart: a search with more room in a vat cut another first, and had 26 % more exposure.
var lessBy = []float64{0.25, 1}

// fromLess goes on from the plans of houses with less of one thing that the best plan needs, until
// one is good enough: first from what a quick look at each house finds, then, where more than a verdict
// is asked, from what a longer one does. What they lead to differs by a quarter either way.
func (x *search) fromLess(t style, enough func() bool) {
	most, houses := x.p.finishing, x.p.withLess() // a house of many vats took seconds
	if x.verdict {
		most /= 2
	}
	end := x.nodes + most
	for _, nodes := range []int{mostNodes, fewNodes} {
		for k := range houses {
			if enough() || x.nodes >= end {
				return
			}
			x.fromOneLess(&houses[k], t, nodes, enough)
		}
		if x.verdict {
			return
		}
	}
}

// fromOneLess goes on from the plan of one such house, found within a budget of nodes.
func (x *search) fromOneLess(l *less, t style, nodes int, enough func() bool) {
	y := takeSearch()
	defer y.giveBack()
	q := l.problem
	y.begin(q)
	y.seekBest(q.bound(&q.start, worst()), nodes)
	x.nodes += y.nodes
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
	if by > lessBy[0] {
		return 0
	}
	return litres
}

// less is a problem with less of one thing, and what is poured away to have it; noJob where that is not possible.
type less struct {
	*problem
	pours job
}

// withLess is the problem with less of one thing, what most often leads on first: of the water of a vat,
// of purified water, of salt, of heat in a vat, of the purifier's rate, or of room in a vat.
func (p *problem) withLess() (list []less) {
	for _, by := range lessBy {
		list = p.withLessBy(by, list)
	}
	return list
}

// withLessBy adds the houses with so much less.
func (p *problem) withLessBy(by float64, list []less) []less {
	with := func(has bool, take func(q *less)) {
		if !has {
			return
		}
		of := *p
		q := less{problem: &of, pours: noJob}
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
