package schedule

import "math"

// closer is a bound on the score of any plan, from close by: for the best plan found, where
// the quick bound does not prove it.
func (p *problem) closer(quick, best score, moves []move) score {
	s := &p.start
	b := score{finishH: quick.finishH, waterL: quick.waterL, exposure: s.spent.exposure}
	lastH := p.horizonH
	if best.never == 0 {
		lastH = lastChange(moves)
	}
	for a := range p.aims {
		m := &p.aims[a]
		if s.reached(a) { // at the start, so in time
			continue
		}
		ahead, finishH := 0.0, 0.0
		if m.dynamics.ClearanceLH > 0 || m.dynamics.ExchangeLH > 0 {
			ahead, finishH = p.aheadActing(s, a, math.Inf(1))
		} else {
			// What is added, or comes back out of rock, only makes it more.
			r := p.reach(s, a)
			ahead, finishH = p.leastExposure(r, a, lastH, best.exposure), p.earliest(r, a, m.misses)
		}
		b.exposure += ahead
		if m.misses(finishH) {
			b.missed++
		}
		if p.never(finishH) {
			b.never++
		}
	}
	if p.quickHolds() {
		b.exposure = max(b.exposure, quick.exposure)
		b.missed, b.never = max(b.missed, quick.missed), max(b.never, quick.never)
	}
	return b
}

// quickHolds reports whether the quick bound holds for all that a keeper can do: it knows
// nothing of cutting water that a search would not cut.
func (p *problem) quickHolds() bool {
	for a := range p.aims {
		if p.aims[a].purest < p.aims[a].cleanest {
			return false
		}
	}
	return true
}

// lastChange is when the last change of a plan begins.
func lastChange(moves []move) (h float64) {
	for k := range moves {
		if moves[k].kind == toChange {
			h = moves[k].atH
		}
	}
	return h
}

// lowest is less than the concentration of any plan at a time.
func (p *problem) lowest(r *reach, a int, h float64) float64 {
	m, first := &p.aims[a], p.tank.awake.next(max(r.s.atH, r.s.nextH))
	if h < first {
		return r.s.conc[a].UgL
	}
	n := math.Floor((h-first)/p.tank.everyH+slackH) + 1
	return p.least(a, r.s.conc[a].UgL, m.purest, r.litresBy(h, n))
}

// earliest is the earliest time at which an aim can be reached; +Inf: not before the
// horizon. It is found no closer than it takes to tell whether that is late; nil: to the end.
func (p *problem) earliest(r *reach, a int, late func(h float64) bool) float64 {
	m, awake := &p.aims[a], &p.tank.awake
	first := awake.next(max(r.s.atH, r.s.nextH))
	reached := func(h float64) bool { return p.lowest(r, a, h) <= m.target*(1+2*tie) }
	low, high := first, p.horizonH
	switch {
	case first > high || !reached(high):
		return math.Inf(1)
	case reached(low):
		return low
	}
	for high-low > finestH && (late == nil || late(awake.next(low)) != late(awake.next(high))) {
		if mid := (low + high) / 2; reached(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return awake.next(low)
}

// leastExposure is less than the exposure of any plan for an aim that nothing but changes
// takes out of. It stops once it is enough.
func (p *problem) leastExposure(r *reach, a int, lastH, enough float64) (most float64) {
	m := &p.aims[a]
	x := &stairs{p: p, r: r, volL: m.dynamics.VolumeL, atH: r.s.atH}
	x.e0, x.goal = r.s.conc[a].UgL-m.purest, m.target-m.purest
	x.firstH = p.tank.awake.next(max(r.s.atH, r.s.nextH))
	lastH = min(lastH, p.horizonH)
	onH := 0.0 // and so long after the horizon; what follows an earlier end may be changed yet
	if lastH >= p.horizonH {
		onH = p.afterH
	}
	if x.e0 <= 0 || lastH <= x.firstH {
		return max(0, x.e0-x.goal) * (max(0, min(x.firstH, lastH)-x.atH) + onH) / m.target
	}
	untilH := min(lastH, x.firstH+mostCells/2*p.tank.everyH) // what comes later is given away
	x.prepare(untilH)
	if untilH < lastH {
		last := m.exposed(p.lowest(r, a, p.horizonH), onH)
		enough -= last
		defer func() { most += last }()
	} else {
		x.ends[0].countsH += onH
	}
	x.climb(&x.ends[0])
	return x.closeIn(m.target, enough)
}

// closeIn begins with the stairs of one end, cuts time finer and looks from other ends, until what they
// prove is enough, or hardly grows.
func (x *stairs) closeIn(target, enough float64) (most float64) {
	idle := 0
	for range x.p.rounds {
		exposure, first, best, e := x.worst(target)
		if idle++; exposure-most > worthRound*(enough-most) {
			idle = 0
		}
		most = max(most, exposure)
		if left := enough - most; left <= provedTo/2*enough || idle > mostIdle || len(x.cells) > mostCells {
			break
		}
		finer, another := x.refine(first), x.another(e, best)
		switch {
		case finer:
			for k := range x.ends {
				x.climb(&x.ends[k])
			}
		case another:
			x.climb(&x.ends[len(x.ends)-1])
		default:
			return most
		}
	}
	return most
}

// What the close bound may take, and a time that makes no difference, in hours.
const (
	worthRound = 0.03 // share of what is left that a round is to gain,
	mostIdle   = 3    // so many may not
	mostCells  = 128
	mostEnds   = 5
	finestH    = 2e-4
)
