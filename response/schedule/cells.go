package schedule

import (
	"math"
	"slices"
)

// prepare lays out the cells up to an end, cut at the moments at which there is more water
// at once.
func (x *stairs) prepare(untilH float64) {
	p, s := x.p, x.r.s
	x.mostL = min(p.tank.mostL, x.r.vatsL, x.volL, max(x.r.litresBy(p.horizonH, anyOne), x.r.litresBy(p.horizonH, 1)))
	x.leaves = x.share(x.mostL)
	x.leastL = p.tank.leastL * (1 - tie)
	for _, w := range x.r.waters {
		if w.kind != lifting {
			x.leastL = min(x.leastL, p.tank.leastL*(1-tie)*w.worth)
		}
	}
	x.reachTo(untilH)
	cut := func(h float64) {
		if k := x.cellAt(h); k < len(x.cells) && h > x.cells[k].fromH+finestH && h < x.cells[k].endH-finestH {
			x.cut(k, h)
		}
	}
	cut(s.atH + p.works.mixH)
	cut(s.atH + p.works.cutH)
	for i := range s.vats {
		cut(s.vats[i].readyH)
	}
	for _, c := range p.works.comes[s.comes:] {
		cut(c.atH)
		cut(c.atH + p.works.mixH)
		cut(c.atH + p.works.cutH)
	}
	x.level()
}

// reachTo adds an end, and cells up to it.
func (x *stairs) reachTo(untilH float64) {
	from := x.firstH
	if n := len(x.cells); n > 0 {
		from = x.cells[n-1].endH
	}
	for from < untilH {
		to := from + x.p.tank.everyH
		x.cells = append(x.cells, x.cell(from, to))
		from = to
	}
	x.level()
	x.ends = append(x.ends, end{untilH: untilH, countsH: untilH})
}

// cell is the stretch between two times.
func (x *stairs) cell(from, end float64) cell {
	c := cell{fromH: from, endH: end, startH: x.p.tank.awake.next(from), firstL: notYet}
	if c.startH >= end {
		c.startH = math.Inf(1)
	}
	n := max(1, math.Ceil((end-x.firstH)/x.p.tank.everyH-slackH))
	// Draining and filling for the earlier changes took their time.
	c.pourL = min(x.r.litresBy(end-slackH, n), n*x.mostL, x.mostL+x.r.pumpLH/2*max(0, end-x.firstH))
	return c
}

const notYet = -1

// first is the most that a first change in a cell can pour.
func (x *stairs) first(c *cell) float64 {
	if c.firstL == notYet {
		c.firstL = min(x.mostL, x.r.litresBy(c.endH-slackH, 1))
	}
	return min(c.firstL, c.pourL)
}

// level sees to it that what can be poured never falls, once cells have been added or cut.
func (x *stairs) level() {
	x.before = slices.Grow(x.before[:0], len(x.cells))[:len(x.cells)]
	for k := range x.before {
		x.before[k] = append(x.before[k][:0], k)
	}
	for k := 1; k < len(x.cells); k++ {
		x.cells[k].pourL = max(x.cells[k].pourL, x.cells[k-1].pourL)
	}
}

// cellAt is the cell with a moment in it.
func (x *stairs) cellAt(h float64) int {
	for k := range x.cells {
		if x.cells[k].endH > h {
			return k
		}
	}
	return len(x.cells)
}

// cut cuts a cell in two.
func (x *stairs) cut(k int, at float64) {
	c := x.cells[k]
	first := x.cell(c.fromH, at)
	first.grows = c.grows
	c.fromH, c.startH = at, x.p.tank.awake.next(max(at, c.fromH))
	if c.startH >= c.endH {
		c.startH = math.Inf(1)
	}
	x.cells[k] = c
	x.cells = append(x.cells, cell{})
	copy(x.cells[k+1:], x.cells[k:])
	x.cells[k] = first
}

// refine cuts the cells that the best stairs from a first cell to any end use, where that can make a
// difference, and reports whether there were any.
func (x *stairs) refine(first int) bool {
	if first == noCell {
		return false
	}
	var at []float64
	use := func(k int, on landing) {
		c := &x.cells[k]
		h := on.atH
		if h < c.fromH+finestH {
			h = c.fromH + (c.endH-c.fromH)/4
		}
		if h > c.fromH+finestH && h < c.endH-finestH && !x.flat(c) {
			at = append(at, h)
		}
	}
	for k := range x.ends {
		x.follow(&x.ends[k], x.begun[k], use)
	}
	for _, h := range at {
		if k := x.cellAt(h); h > x.cells[k].fromH+finestH {
			x.cut(k, h)
		}
	}
	x.level()
	return len(at) > 0
}

// flat reports whether no more can be poured at the end of a cell than at its start. Where
// it grows, so it does in its parts.
func (x *stairs) flat(c *cell) bool {
	if !c.grows {
		start := x.cell(c.fromH, c.fromH+2*slackH)
		c.grows = start.pourL < c.pourL*(1-asMuch) || c.firstL != notYet && x.first(&start) < x.first(c)*(1-asMuch)
	}
	return !c.grows
}

// asMuch is a difference that cells are not cut for.
const asMuch = 1e-6

// another adds an end that says more of the best stairs, and reports whether there is one:
// the time at which they reach the target, where that is before the end, else a later one.
func (x *stairs) another(e *end, best climb) bool {
	if len(x.ends) >= mostEnds {
		return false
	}
	until := math.Inf(1)
	x.follow(e, best, func(_ int, on landing) {
		if on.share*x.e0 < x.goal*(1-tie) && on.atH < until {
			until = on.atH
		}
	})
	if math.IsInf(until, 1) {
		if until = e.untilH + x.p.tank.everyH; until > x.p.horizonH {
			return false
		}
	}
	for k := range x.ends {
		if math.Abs(x.ends[k].untilH-until) < finestH {
			return false
		}
	}
	if until <= x.firstH {
		return false
	}
	x.reachTo(until)
	return true
}
