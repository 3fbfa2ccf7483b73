package schedule

import "slices"

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
	if sparing(nodes) {
		return 1
	}
	return 3
}

// bestStarts makes the starting plans and returns the best of them, the best first; with
// what was found before, if that is among them.
func (x *search) bestStarts(styles []style, nodes int) []started {
	most, least, end := startsWithin(nodes), leastStart, x.nodes+nodes
	if sparing(nodes) {
		least = 1
	}
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
		if (t.Lean || t.Sparing) && x.keeps {
			continue
		}
		x.found, x.score = false, worst()
		if len(list) == most {
			x.found, x.score = true, list[len(list)-1].score
		}
		was := x.score
		x.run(t.straight(), 0, max(least, end-x.nodes))
		if x.score.better(was) {
			keep(t)
		}
	}
	x.goOnFrom(list[0])
	x.found = true
	return list
}

// leastStart are the nodes that each starting plan may take, where nodes are not spared: one that waits for every drop of purified water left
// the others none.
const leastStart = 100

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

// fromEach alters the starting plan of every style, however far behind it is, each within a budget of nodes and all
// within most: a plan that makes nothing and is never done, altered, was in time with 15 % less exposure than all that the best three led to.
func (x *search) fromEach(nodes, most int, enough func() bool) {
	best, end := x.snapshot(), x.nodes+most // hundreds of changes take hundreds of nodes each time
	var tried []score
	for _, t := range styles {
		if enough() || x.nodes >= end || (t.Lean || t.Sparing) && x.keeps {
			continue
		}
		x.score, x.found = worst(), false
		x.run(t.straight(), 0, nodes)
		if !x.found || slices.Contains(tried, x.score) {
			continue
		}
		tried = append(tried, x.score)
		if x.vary(t, nodes, enough); x.score.better(best.score) {
			best = x.snapshot()
		}
	}
	x.goOnFrom(best)
	x.found = true
}

// snapshot is the best plan found, to go on from it later.
func (x *search) snapshot() started { return started{moves: slices.Clone(x.best), score: x.score} }

// goOnFrom takes a plan for the best found.
func (x *search) goOnFrom(s started) { x.best, x.score = append(x.best[:0], s.moves...), s.score }
