package schedule

import (
	"cmp"
	"math"
	"slices"

	"tidehold/response/plan"
)

// offer is a vat that water can be drawn from now.
type offer struct {
	vat      int
	litres   float64
	mismatch float64 // from the system, in steps of its limits
	fall     float64 // what a litre takes off the aims, in shares of their targets
	minutes  float64
	c, alk   float64
	litre    content
}

// taste is an order in which waters are taken where there is a choice.
type taste int8

// The tastes, the first one first. Which is best depends on what comes later, so the
// search tries those that lead to different changes.
const (
	mostFall     taste = iota // what takes out most, then what matches
	closest                   // what matches best
	leastFall                 // the dirtiest: the clean water is kept for the end
	furthest                  // what matches worst, while the limits still have room for it
	fastest                   // by the pump
	matchingOnly              // nothing that the limits would feel
	oddestOnly                // what matches worst and nothing else: what matches better is kept
	tastes
)

// before orders two offers by a taste.
func (t taste) before(a, b *offer) int {
	fall, match := cmp.Compare(b.fall, a.fall), cmp.Compare(a.mismatch, b.mismatch)
	if math.Abs(a.fall-b.fall) <= 1e-9*math.Abs(a.fall) {
		fall = 0
	}
	fast := cmp.Compare(a.minutes, b.minutes)
	switch t {
	case mostFall:
		return cmp.Or(fall, match, fast)
	case leastFall:
		return cmp.Or(-fall, match, fast)
	case furthest, oddestOnly:
		return cmp.Or(-match, fall, fast)
	case fastest:
		return cmp.Or(fast, match, fall)
	}
	return cmp.Or(match, fast, fall)
}

// table is where a change is put together: what there is, what is permitted, and the
// memory for trying.
type table struct {
	own     content // a litre of the system's water
	offers  []offer
	order   []int
	litres  []float64 // of each offer
	bands   bands
	most    float64
	mostBy  plan.Limit
	changes [tastes + 1]change
	n       int
	kept    int            // 1 + the vat whose water is not put on the table; 0: none
	tried   [tastes]uint64 // orders
	nTried  int
}

// leastDrawL is a volume nobody measures, in litres.
const leastDrawL = 1e-9

// leastPour is the share of the system's volume that nobody pours beside other water.
const leastPour = 1e-5

// matching is a mismatch that no limit feels.
const matching = 0.02

// options lists the different changes that are worth considering now, that of a taste
// first, then the others in order; where one is enough, the first. They are valid until the
// next call.
func (t *table) options(p *problem, s *state, first, most taste, one bool) []change {
	return t.optionsKeeping(0, p, s, first, most, one)
}

// optionsKeeping are options that leave a vat alone: kept is 1 + the vat, 0: none.
func (t *table) optionsKeeping(kept int, p *problem, s *state, first, most taste, one bool) []change {
	t.n, t.nTried, t.kept = 0, 0, kept
	s.ask.dayCap = false
	t.most, t.mostBy = p.tank.mostL, plan.ByDrawdown
	if d := p.drawable(s); d < t.most {
		t.most, t.mostBy = d, plan.ByWater
	}
	if t.most <= leastDrawL {
		return nil
	}
	t.lay(p, s)
	if len(t.offers) == 0 {
		return nil
	}
	t.bands = p.allowed(s)
	t.try(p, s, first)
	for k := range most {
		if len(t.offers) == 1 || one && t.n > 0 {
			break
		}
		if k != first {
			t.try(p, s, k)
		}
	}
	return t.changes[:t.n]
}

// lay puts the waters that are ready on the table.
func (t *table) lay(p *problem, s *state) {
	t.own = litreOf(s.water.s, s.water.c)
	t.offers, t.order, t.litres = t.offers[:0], t.order[:0], t.litres[:0]
	for i := range s.vats {
		v, w := &s.vats[i], &p.vessels[i]
		x := v.usable(w, s.atH)
		if x <= leastPour*p.tank.volL || i == t.kept-1 {
			continue
		}
		c := v.at(s.atH)
		o := offer{vat: i, litres: x, c: c, alk: v.alk, litre: litreOf(v.s, c), minutes: w.minutesPerL(), mismatch: p.mismatch(s, v, c)}
		for a := range p.aims {
			if !s.reached(a) {
				o.fall += p.fall(s, a, i) / p.aims[a].target
			}
		}
		t.order = append(t.order, len(t.offers))
		t.offers, t.litres = append(t.offers, o), append(t.litres, 0)
	}
}

// mismatch is the largest of the differences from the system, each in steps.
func (p *problem) mismatch(s *state, v *vat, c float64) float64 {
	l := p.tank.limits
	worst := max(steps(c-s.water.c, l.TemperatureStep), steps(v.s-s.water.s, l.SalinityStep))
	if p.tank.hasAlk {
		worst = max(worst, steps(v.alk-s.water.alk, l.AlkalinityPerDay))
	}
	return worst
}

func steps(difference, step float64) float64 {
	const least = 1e-3 // where a limit forbids any change, small differences still order
	return math.Abs(difference) / max(step, least)
}

// try adds the largest change of a taste, if it differs from those already there.
func (t *table) try(p *problem, s *state, k taste) {
	slices.SortStableFunc(t.order, func(a, b int) int { return k.before(&t.offers[a], &t.offers[b]) })
	if t.triedLike(k) {
		return
	}
	left := t.most
	for n, i := range t.order {
		o := &t.offers[i]
		x := min(o.litres, left)
		if x < leastPour*p.tank.volL || (k == leastFall || k == mostFall) && o.fall <= 0 || k == matchingOnly && o.mismatch > matching || k == oddestOnly && n > 0 {
			x = 0
		}
		t.litres[i] = x
		left -= x
	}
	ch := &t.changes[t.n]
	ch.by, ch.trimmed, ch.share, ch.taste, ch.kept = t.mostBy, false, 0, k, t.kept
	if left > leastDrawL {
		ch.by = plan.ByWater
	}
	inside := p.inside(s)
	if _, by, out := t.bands.leave(inside, t.mixed(p, s, 1)); out {
		if k < matchingOnly && len(t.offers) > 1 {
			t.blend(p, s, k)
		}
		t.shrink(p, s)
		if t.sum() < t.most-leastDrawL {
			ch.by = by
			if at, ok := t.bands.reached(inside, t.mixed(p, s, 1)); ok {
				ch.by = at
			}
			s.ask.dayCap = s.ask.dayCap || perDay(ch.by)
		}
	}
	t.take(p, s, ch)
}

// triedLike reports whether another taste has taken the waters in this order before.
func (t *table) triedLike(k taste) bool {
	const few = 8
	if len(t.order) > few || k >= matchingOnly || k == leastFall {
		return false
	}
	order := uint64(1)
	for _, i := range t.order {
		order = order<<few | uint64(i)
	}
	for _, o := range t.tried[:t.nTried] {
		if o == order {
			return true
		}
	}
	t.tried[t.nTried] = order
	t.nTried++
	return false
}

// sum is the litres on the table.
func (t *table) sum() float64 {
	sum := 0.0
	for _, x := range t.litres {
		sum += x
	}
	return sum
}

// take writes the litres on the table down as a change, trimmed where it reaches every
// target, unless it is too small or known already.
func (t *table) take(p *problem, s *state, ch *change) {
	ch.draws, ch.litres = ch.draws[:0], 0
	for _, i := range t.order {
		if x := t.litres[i]; x > leastDrawL {
			ch.draws = append(ch.draws, draw{t.offers[i].vat, x})
			ch.litres += x
		}
	}
	t.trim(p, s, ch)
	if ch.litres <= 0 || !ch.trimmed && ch.litres < p.tank.leastL*(1-tie) || t.known(ch) {
		return
	}
	t.finish(p, s, ch)
	t.n++
}

// known reports whether a change is like one already listed.
func (t *table) known(ch *change) bool {
	for k := range t.changes[:t.n] {
		if sameDraws(&t.changes[k], ch) {
			return true
		}
	}
	return false
}
