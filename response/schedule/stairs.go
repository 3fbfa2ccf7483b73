package schedule

import (
	"math"
	"slices"

	"tidehold/response/dilution"
)

// stairs bounds the exposure of any plan for one aim from below, for the finished plan.
//
// A plan is a flight of stairs: the concentration stands still between changes, and each
// leaves a share of what is ahead of the cleanest water. All that is kept of the problem is
// that changes keep their interval, that none is larger than the most, and that all begun
// by a time have no more water than can be poured by then (reach).
//
// Of the exposure, what counts is that until some end, less what is allowed until then: no
// plan has less, whatever it does later. With the times of the changes fixed that is linear
// in the litres of each, and concave when litres are moved from one to another. So it is
// least at a corner, where each change is a full one, or takes all that there is by then,
// or is the odd one between two of those that takes what is over: dynamic programming over
// the changes that take all. By the time of the first change, the end that says most.
//
// Source: a function that is concave along all edges of a polytope is least at a corner
// (F. Tardella, 2004); the edges of this one are litres added to a change, or moved.
//
// Time is cut into cells. What happens in a cell happens at its start, with the water of
// its end. Cells that the best stairs use are cut finer until that makes no difference.
type stairs struct {
	p      *problem
	r      *reach
	volL   float64 // that the contaminant is diluted in
	mostL  float64 // of any change
	leaves float64 // share that a change of so much does
	leastL float64 // of any that does not end it, of the dirtiest water
	e0     float64 // ahead of the cleanest water at the start, and at the target
	goal   float64
	atH    float64
	firstH float64 // a change may begin
	cells  []cell
	ends   []end
	before [][]int // what earlier is, as far as it was asked
	lead   []lead  // by full changes, from the landing that is gone on from
	begun  []climb // of the best stairs, to each end
}

// cell is a stretch of time in which changes may begin.
type cell struct {
	fromH, endH float64
	startH      float64 // the first moment in it at which a change may begin; +Inf: none
	pourL       float64 // most that all changes begun before its end can have poured
	firstL      float64 // most that a first change in it can pour; notYet: not known
	grows       bool    // more can be poured at its end than at its start
}

// end is a time until which the exposure is counted, and the best stairs until then after a
// change in a cell that takes all there is.
type end struct {
	untilH  float64 // no change begins later,
	countsH float64 // but the exposure may count on: of a plan that falls short
	after   []climb
}

// climb is what is ahead at best, in hours times share, from a landing by a flight.
type climb struct {
	hours float64
	on    landing
	next  flight
}

// landing is a place on the stairs: a moment, from when on the next change may begin, what
// has been poured by then, and what share is still ahead.
type landing struct{ atH, nextH, poured, share float64 }

// flight is what the best stairs do next: changes up to the one in a cell that takes all
// there is, the odd one being which (0: none). No cell: full changes to the end.
type flight struct{ cell, changes, odd int }

const noCell = -1

// lead is where full changes lead from a landing, and what was ahead on the way, in hours times share.
type lead struct {
	on    landing
	hours float64
}

// share is what a change leaves.
func (x *stairs) share(litres float64) float64 { return max(0, 1-litres/x.volL) }

// stand is the landing after a change begun at a time.
func (x *stairs) stand(atH, poured, share float64) landing {
	return landing{atH, atH + x.p.tank.everyH, poured, share}
}

// may is the first moment from h on at which a change may begin in a cell or later.
func (x *stairs) may(c *cell, h float64) float64 {
	if h <= c.startH {
		return c.startH
	}
	return x.p.tank.awake.next(h)
}

// holds is the first cell by whose end so many litres can have been poured.
func (x *stairs) holds(litres float64) int {
	k, high := 0, len(x.cells)
	for litres *= 1 - tie; k < high; {
		if mid := (k + high) / 2; x.cells[mid].pourL >= litres {
			high = mid
		} else {
			k = mid + 1
		}
	}
	for k < len(x.cells) && math.IsInf(x.cells[k].startH, 1) {
		k++
	}
	return k
}

// earlier is the cell that so many full changes follow up to one: the first by whose end there can have
// been poured what that holds, less those.
func (x *stairs) earlier(cell, changes int) int {
	for list := &x.before[cell]; len(*list) <= changes; {
		*list = append(*list, x.holds(x.cells[cell].pourL-float64(len(*list))*x.mostL))
	}
	return x.before[cell][changes]
}

// parts is how many changes so many litres take, and the litres of the odd one.
func (x *stairs) parts(litres float64) (n int, odd float64) {
	n = max(1, int(math.Ceil(litres/x.mostL*(1-tie))))
	return n, litres - float64(n-1)*x.mostL
}

// climb finds the best stairs until an end, from each cell on.
func (x *stairs) climb(e *end) {
	e.after = slices.Grow(e.after[:0], len(x.cells))[:len(x.cells)]
	for k := len(x.cells) - 1; k >= 0; k-- {
		if c := &x.cells[k]; c.startH < e.untilH {
			e.after[k] = x.goOn(e, x.stand(c.startH, c.pourL, 1), k)
		}
	}
}

// begin finds the best stairs whose first change is in a cell: as large or as small as that
// can be, or the odd one of its flight.
func (x *stairs) begin(e *end, k int) climb {
	c := &x.cells[k]
	if c.startH >= e.untilH {
		return climb{e.countsH - x.atH, landing{x.atH, e.untilH, 0, 1}, flight{cell: noCell}}
	}
	wait, litres, least := c.startH-x.atH, x.first(c), x.leastL
	if litres < least && x.share(litres)*x.e0 > x.goal*(1+dilution.Slack) {
		return climb{math.Inf(1), landing{x.atH, e.untilH, 0, 1}, flight{cell: noCell}} // too small, and does not end it
	}
	best := x.goOn(e, x.stand(c.startH, litres, x.share(litres)), k)
	if least < litres {
		if small := x.goOn(e, x.stand(c.startH, least, x.share(least)), k); small.hours < best.hours {
			best = small
		}
	}
	for l := k + 1; l < len(x.cells); l++ {
		n, odd := x.parts(x.cells[l].pourL)
		if x.cells[l].startH >= e.untilH || n < 2 || odd <= least || odd >= litres {
			continue // by night, too
		}
		on, f := x.stand(c.startH, odd, x.share(odd)), flight{l, n - 1, 0}
		if hours, ok := x.fly(e, lead{on: on}, f, 1, best.hours); ok {
			best = climb{hours, on, f}
		}
	}
	best.hours += wait
	return best
}

// goOn finds how stairs go on best from a landing in a cell.
func (x *stairs) goOn(e *end, on landing, in int) climb {
	best := climb{x.full(e, on, nil), on, flight{cell: noCell}}
	done := on.poured + leastDrawL // later cells with no more water are no better
	x.lead = append(x.lead[:0], lead{on, 0})
	for k := in + 1; k < len(x.cells); k++ {
		c := &x.cells[k]
		if c.pourL <= done || c.startH >= e.untilH {
			continue
		}
		n, odd := x.parts(c.pourL - on.poured)
		if n == 1 && on.nextH <= c.startH {
			done = c.pourL
		}
		if n == 1 && on.share*(c.startH-on.atH) >= best.hours {
			continue
		}
		small := x.share(odd)
		for which := 1; which <= n && (n <= mostOdd || which == 1) && x.leads(which-1, c); which++ {
			f := flight{k, n, which}
			if hours, ok := x.fly(e, x.lead[which-1], f, small, best.hours); ok {
				best.hours, best.next = hours, f
			}
		}
	}
	return best
}

// leads reports whether so many full changes can be made before one in a cell.
func (x *stairs) leads(changes int, c *cell) bool {
	for k := len(x.lead); k <= changes; k++ {
		l := x.lead[k-1]
		in := x.holds(l.on.poured + x.mostL)
		if in == len(x.cells) {
			return false
		}
		next := x.may(&x.cells[in], l.on.nextH)
		l.hours += l.on.share * (next - l.on.atH)
		l.on = x.stand(next, l.on.poured+x.mostL, l.on.share*x.leaves)
		x.lead = append(x.lead, l)
	}
	return x.lead[changes].on.atH < c.endH
}

// mostOdd is the number of places in a flight that are tried for its odd change. One of
// more changes is given what each place is best at: little water first, and full changes.
const mostOdd = 8

// takesOdd is which change of a flight takes out what is odd.
func (f flight) takesOdd() int {
	if f.odd > 0 && f.changes > mostOdd {
		return f.changes
	}
	return f.odd
}

// change is the i-th of a flight: what has been poured with it, and what it takes out.
func (x *stairs) change(f flight, i int, odd float64) (pours, takes float64) {
	pours, takes = x.mostL, x.mostL
	if i == f.odd {
		pours = odd
	}
	if i == f.takesOdd() {
		takes = odd
	}
	return pours, takes
}

// fly is what is ahead with a flight first, in hours times share, of which the changes before the odd one
// have been made, and that leaves a share; false where its changes do not find the time, or where it is
// enough already.
func (x *stairs) fly(e *end, l lead, f flight, odd, enough float64) (hours float64, ok bool) {
	last, takesOdd := &x.cells[f.cell], f.takesOdd()
	on, hours := l.on, l.hours
	for i := max(1, f.odd); i <= f.changes; i++ {
		next := x.may(&x.cells[x.earlier(f.cell, f.changes-i)], on.nextH)
		hours += on.share * (next - on.atH)
		if next >= last.endH || hours >= enough {
			return 0, false
		}
		left := x.leaves
		if i == takesOdd {
			left = odd
		}
		on = x.stand(next, 0, on.share*left)
	}
	// What is ahead of the cell was reckoned from its start.
	hours += on.share * max(0, e.after[f.cell].hours-(on.atH-last.startH))
	return hours, hours < enough
}

// full is what is ahead with full changes to the end; it notes them where asked to.
func (x *stairs) full(e *end, on landing, note func(k int, on landing)) (hours float64) {
	for {
		k := x.holds(on.poured + x.mostL)
		if k == len(x.cells) {
			break
		}
		next := x.may(&x.cells[k], on.nextH)
		if next >= e.untilH {
			break
		}
		hours += on.share * (next - on.atH)
		on = x.stand(next, on.poured+x.mostL, on.share*x.leaves)
		if note != nil {
			note(k, on)
		}
	}
	return hours + on.share*max(0, e.countsH-on.atH)
}

// follow tells each change of the stairs: its cell and where it leads.
func (x *stairs) follow(e *end, c climb, note func(k int, on landing)) {
	on, f := c.on, c.next
	if on.share < 1 {
		note(x.cellAt(on.atH), on)
	}
	for f.cell != noCell {
		_, odd := x.parts(x.cells[f.cell].pourL - on.poured)
		for i := 1; i <= f.changes; i++ {
			pours, takes := x.change(f, i, odd)
			k := f.cell
			if i < f.changes {
				k = x.holds(on.poured + pours)
			}
			on = x.stand(x.may(&x.cells[k], on.nextH), on.poured+pours, on.share*x.share(takes))
			note(k, on)
		}
		last := &x.cells[f.cell]
		on, f = x.stand(last.startH, last.pourL, on.share), e.after[f.cell].next
	}
	x.full(e, on, note)
}

// worst is the least exposure, in shares of the target times hours, and the stairs that have
// it: by the cell of the first change, with the end that says most. first is that cell; noCell: none.
func (x *stairs) worst(target float64) (exposure float64, first int, stairs climb, until *end) {
	last := &x.ends[0]
	for i := range x.ends {
		if x.ends[i].untilH > last.untilH {
			last = &x.ends[i]
		}
	}
	exposure, until = (x.e0-x.goal)*(last.countsH-x.atH)/target, last // without any change
	stairs, first = climb{on: landing{x.atH, last.untilH, 0, 1}, next: flight{cell: noCell}}, noCell
	var begun []climb
	for k := range x.cells {
		if (x.e0-x.goal)*(x.cells[k].startH-x.atH)/target >= exposure {
			continue // too late, or by night
		}
		most, best, by := math.Inf(-1), climb{}, last
		begun = begun[:0]
		for i := range x.ends {
			c := x.begin(&x.ends[i], k)
			begun = append(begun, c)
			if v := (x.e0*c.hours - x.goal*(x.ends[i].countsH-x.atH)) / target; v > most {
				most, best, by = v, c, &x.ends[i]
			}
			if most >= exposure {
				break
			}
		}
		if most < exposure {
			exposure, first, stairs, until = most, k, best, by
			x.begun, begun = begun, x.begun
		}
	}
	return exposure, first, stairs, until
}
