package schedule

import "math"

// bound is a score that no plan going on from s can beat. It relaxes the problem: from
// the next permitted moment on a full-size change of the cleanest water at every
// interval, and never more water in all than can have become usable by then.
//
// Either alone keeps the concentration of any real plan from falling below it: all
// that acts on it is linear and order-preserving, and for a given volume of water
// full-size changes take out most (package dilution). Limits on temperature,
// salinity and alkalinity only make real plans slower. The count of changes is that of
// the intervals themselves, however wide the steps in which the bound is summed.
//
// It stops early, with what it has, once it is no better than enough.
func (p *problem) bound(s *state, enough score) score {
	b := score{exposure: s.spent.exposure, finishH: s.spent.finishH, waterL: s.spent.waterL}
	if s.done() {
		return p.score(s)
	}
	for a := range p.aims {
		m := &p.aims[a]
		if s.reached(a) {
			if m.misses(s.doneH[a]) {
				b.missed++
			}
			b.finishH = max(b.finishH, s.doneH[a])
			continue
		}
		most, late := math.Inf(1), math.Inf(1)
		if b.missed >= enough.missed {
			most = enough.exposure - b.exposure
		}
		if b.missed+1 >= enough.missed && b.never >= enough.never {
			late = enough.exposure - b.exposure
		}
		exposure, finishH := 0.0, 0.0
		if m.inert {
			exposure, finishH = p.aheadInert(s, a, most, late)
		} else {
			exposure, finishH = p.aheadActing(s, a, most)
		}
		b.exposure += exposure
		b.finishH = max(b.finishH, finishH)
		if m.misses(finishH) {
			b.missed++
		}
		if p.never(finishH) {
			b.never++
		}
	}
	return b
}

// aheadInert returns the least exposure still before an aim on which nothing acts but
// the changes, and the earliest time it can be reached. It stops at an exposure of most, or of
// late once the aim misses its deadline.
func (p *problem) aheadInert(s *state, a int, most, late float64) (exposure, finishH float64) {
	m, c0 := &p.aims[a], s.conc[a].UgL
	met := m.target * (1 + 2*tie)
	w := p.outlook(s)
	first := p.tank.awake.next(max(s.atH, s.nextH))
	if late < 0 && math.IsInf(most, 1) { // its deadline is all that is asked
		if h, ok := w.soon(a, met, first); ok {
			return 0, h
		}
	}
	ever := p.least(a, c0, m.cleanest, w.litresBy(p.horizonH, math.Inf(1)))
	h, step, next := s.atH, p.tank.everyH, first
	for n := 0; ; n++ {
		next = min(next, p.horizonH)
		c, held := w.lowest(a, c0, first, next)
		if c <= met {
			return exposure, h
		}
		exposure += m.exposed(c, next-h)
		h = next
		if h >= p.horizonH {
			return exposure + m.exposed(c, p.afterH), math.Inf(1)
		}
		if ever > met && c <= ever*(1+tie) {
			return exposure + m.exposed(ever, p.horizonH-h+p.afterH), math.Inf(1)
		}
		// Misses the deadline: the time counts no more, the exposure may.
		if m.misses(h) {
			most = min(most, late)
		}
		if exposure > most*(1+2*tie) && !math.IsInf(most, 1) {
			return exposure, h
		}
		if held || n > wideAfter {
			step *= wider
		}
		next = h + step
	}
}

// soon tells by two moments, where they do, whether the steps of aheadInert find an aim reached in time:
// now, or never.
func (w *outlook) soon(a int, met, first float64) (finishH float64, ok bool) {
	p, c0 := w.p, w.s.conc[a].UgL
	by := min(p.aims[a].withinH*(1+tie), p.horizonH)
	if c, _ := w.lowest(a, c0, first, by); c <= met {
		return w.s.atH, true
	}
	// No step that begins by then is longer than half the time until then and one interval.
	end := min(max(first, by+(by-first)/2+p.tank.everyH), p.horizonH)
	c, _ := w.lowest(a, c0, first, end)
	return math.Inf(1), c > met
}

// lowest is less than the concentration of an aim at a time, where the first change is made no sooner than
// at another, and reports whether the water there is by then holds a plan back more than the interval.
func (w *outlook) lowest(a int, c0, first, h float64) (c float64, held bool) {
	p, changes := w.p, 0.0 // made before h
	if h > first {
		changes = math.Ceil((h-first)/p.tank.everyH - 1e-9)
	}
	if changes == 0 {
		return c0, false
	}
	supplied, most := w.litresBy(h, changes), changes*p.tank.mostL
	return p.least(a, c0, p.aims[a].cleanest, min(supplied, most)), supplied < most
}

// wider is by how much the steps of the bound grow once the water that is there holds
// a plan back more than the interval does, or after many steps.
const (
	wider     = 1.5
	wideAfter = 200
)

// aheadActing is aheadInert where something acts between changes.
func (p *problem) aheadActing(s *state, a int, most float64) (exposure, finishH float64) {
	m, c := &p.aims[a], s.conc[a]
	met := m.target * (1 + 2*tie)
	h := s.atH
	next := p.tank.awake.next(max(h, s.nextH))
	for n := 0; ; n++ {
		if c.UgL <= met {
			return exposure, h
		}
		next = min(next, p.horizonH)
		exposure += m.dynamics.Excess(c, m.target, next-h) / m.target
		if at, ok := m.dynamics.FirstBelow(c, m.target, next-h); ok {
			return exposure, h + at
		}
		c = m.dynamics.After(c, next-h)
		h = next
		switch {
		case h >= p.horizonH:
			return exposure + m.ahead(c, p.afterH), math.Inf(1)
		case exposure > most*(1+2*tie), n > wideAfter:
			return exposure, h
		}
		if c.UgL > m.cleanest {
			c = m.dynamics.Change(c, p.tank.mostL, m.cleanest)
		}
		next = h + p.tank.everyH
	}
}

// least is the concentration that the given litres can lead to at best, in full-size
// changes of the cleanest water.
func (p *problem) least(a int, c, cleanest, litres float64) float64 {
	if c <= cleanest || litres <= 0 {
		return c
	}
	full := math.Floor(litres / p.tank.mostL)
	left := max(0, 1-(litres-full*p.tank.mostL)/p.aims[a].dynamics.VolumeL)
	return cleanest + (c-cleanest)*p.afterFull(a, full)*left
}

// afterFull is the share of an aim's excess that a number of full-size changes leave. What few leave is
// asked for all the time, and remembered.
func (p *problem) afterFull(a int, changes float64) float64 {
	const few = 64
	share := 1 - p.tank.mostL/p.aims[a].dynamics.VolumeL
	if !(changes < few) {
		return math.Pow(share, changes)
	}
	x := &p.scratch
	for len(x.leaves) <= a {
		x.leaves = append(x.leaves, nil)
	}
	for len(x.leaves[a]) <= int(changes) {
		x.leaves[a] = append(x.leaves[a], math.Pow(share, float64(len(x.leaves[a]))))
	}
	return x.leaves[a][int(changes)]
}
