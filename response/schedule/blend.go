package schedule

import (
	"cmp"
	"math"
	"slices"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity"
)

// draw is what one change takes from one vat.
type draw struct {
	vat    int
	litres float64
}

// change is one that a moment permits.
type change struct {
	litres  float64
	draws   []draw
	after   water
	by      plan.Limit
	trimmed bool
	taste   taste
	share   float64 // of the largest that was permitted; 0: all of it
	kept    int     // 1 + the vat that was kept for later; 0: none
}

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
	if _, by, out := t.bands.leave(p.inside(s), t.mixed(p, s, 1)); out {
		if k < matchingOnly && len(t.offers) > 1 {
			t.blend(p, s, k)
		}
		t.shrink(p, s)
		if t.sum() < t.most-leastDrawL {
			ch.by = by
			if at, ok := t.bands.at(t.mixed(p, s, 1)); ok {
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

// drawsFrom reports whether a change takes water of a vat.
func (c *change) drawsFrom(vat int) bool {
	return slices.ContainsFunc(c.draws, func(d draw) bool { return d.vat == vat })
}

func sameDraws(a, b *change) bool {
	if len(a.draws) != len(b.draws) || math.Abs(a.litres-b.litres) > 1e-6 {
		return false
	}
	for _, d := range a.draws {
		if !slices.ContainsFunc(b.draws, func(e draw) bool { return d.vat == e.vat && math.Abs(d.litres-e.litres) <= 1e-6 }) {
			return false
		}
	}
	return true
}

// inside is the system's water now.
func (p *problem) inside(s *state) [3]float64 {
	return [3]float64{ofTemperature: s.water.c, ofSalinity: s.water.s, ofAlkalinity: s.water.alk}
}

// mixed is the system's water after a share of what is on the table.
func (t *table) mixed(p *problem, s *state, share float64) [3]float64 {
	left, alk := p.tank.volL, 0.0
	all := content{}
	for i, x := range t.litres {
		x *= share
		left -= x
		all = all.plus(t.offers[i].litre, x)
		alk += t.offers[i].alk * x
	}
	sal, c := p.stateOf(all.plus(t.own, left), s.water.c)
	return [3]float64{ofTemperature: c, ofSalinity: sal, ofAlkalinity: (s.water.alk*left + alk) / p.tank.volL}
}

// blend puts the best blend within the limits on the table, or the one that was found when the same
// waters and limits were asked about before.
func (t *table) blend(p *problem, s *state, k taste) {
	m := p.scratch.memory
	if m == nil {
		t.blendAnew(p, s, k)
		return
	}
	// What the tastes from the second on ask of a blend differs by their order alone, but for the
	// dirtiest first.
	kind := min(k, closest)
	if k == leastFall {
		kind = k
	}
	q := append(m.question[:0], float64(kind), t.most, s.water.s, s.water.c, s.water.alk)
	for i := range t.bands {
		q = append(q, t.bands[i].low, t.bands[i].high)
	}
	for _, i := range t.order {
		o := &t.offers[i]
		q = append(q, float64(i), o.litres, o.fall, o.alk, o.litre.kg, o.litre.salt, o.litre.heat)
	}
	m.question = q
	at, known := m.blends.place(q)
	if known {
		copy(t.litres, at.answer)
		return
	}
	t.blendAnew(p, s, k)
	at.put(m.blends.of, q, t.litres...)
}

// blendAnew puts the best blend within the limits on the table: a linear programme in the
// litres of each water. Mass, salt, heat and alkalinity are linear in the litres; that
// the temperature of a heat depends on the salinity is allowed for by solving it again
// with the salinity found.
func (t *table) blendAnew(p *problem, s *state, k taste) {
	sal := s.water.s
	for range 6 {
		t.program(p, s, k, sal)
		p.scratch.lp.solve(t.litres)
		was := sal
		if sal = t.mixed(p, s, 1)[ofSalinity]; math.Abs(sal-was) < 1e-8 {
			break
		}
	}
	for i := range t.litres {
		if t.litres[i] < leastPour*p.tank.volL {
			t.litres[i] = 0
		}
	}
}

// blendSlack keeps a blend a hair inside its limits, where the salinity that the heat
// was reckoned with differs a little from the one that comes out.
const blendSlack = 1e-7

// program lays the linear programme out.
func (t *table) program(p *problem, s *state, k taste, sal float64) {
	x, n := &p.scratch.lp, len(t.offers)
	x.begin(n)
	best := 0.0
	for i := range t.offers {
		best = max(best, t.offers[i].fall)
	}
	for rank, i := range t.order {
		// The taste decides between waters that do as much.
		x.most[i] = t.offers[i].litres
		x.gain[i] = t.offers[i].fall / max(best, math.SmallestNonzeroFloat64)
		if k != mostFall {
			x.gain[i] = 1
		}
		if k == leastFall && t.offers[i].fall <= 0 {
			x.most[i] = 0
		}
		x.gain[i] += 1e-3 * float64(n-rank) / float64(n)
	}
	row := x.constrain(t.most)
	for i := range row {
		row[i] = 1
	}
	for q := range t.bands {
		b := &t.bands[q]
		for _, sign := range [2]float64{1, -1} { // above the low end, below the high one
			end := b.low
			if sign < 0 {
				end = b.high
			}
			if math.IsInf(end, 0) {
				continue
			}
			over := above(q, end+sign*blendSlack, sal)
			mine := sign * over.of(&t.own, s.water.alk)
			row := x.constrain(p.tank.volL * mine)
			for i := range t.offers {
				row[i] = mine - sign*over.of(&t.offers[i].litre, t.offers[i].alk)
			}
		}
	}
}

// excess is by how much a litre lies above a value of a quantity, in what adds up when
// waters are mixed: joules, kilograms of salt, or alkalinity. (No function: a search makes
// hundreds of thousands, each of which would be garbage.)
type excess struct {
	q  int
	at float64 // what a kilogram has at the value; the alkalinity itself
}

func above(q int, value, sal float64) excess {
	switch q {
	case ofTemperature:
		value, _ = salinity.Enthalpy(units.Practical(sal), units.Celsius(min(max(value, coldest), warmest)))
	case ofSalinity:
		value = saltShare(min(max(value, 0), saltiest))
	}
	return excess{q, value}
}

func (e excess) of(l *content, alk float64) float64 {
	switch e.q {
	case ofTemperature:
		return (l.heat - l.kg*e.at) * 1e-3
	case ofSalinity:
		return (l.salt - l.kg*e.at) * 1e3
	}
	return alk - e.at
}

// shrink takes all waters back alike until every limit is kept. The quantities are
// almost linear in the share: false position from none at all.
func (t *table) shrink(p *problem, s *state) {
	state := p.inside(s)
	outside := t.mixed(p, s, 1)
	low, high := 0.0, 1.0
	way, _, left := t.bands.leave(state, outside)
	if !left {
		return
	}
	for range 8 {
		mid := low + way*(high-low)
		if mid <= low || mid >= high {
			break
		}
		at := t.mixed(p, s, mid)
		if _, _, out := t.bands.leave(state, at); out {
			high, outside = mid, at
		} else {
			low, state = mid, at
		}
		if way, _, left = t.bands.leave(state, outside); !left || way*(high-low) < 1e-12 {
			break
		}
	}
	for i := range t.litres {
		t.litres[i] *= low
	}
}

// trim gives back what is not needed to reach every target that is still ahead: from the
// last water on or, where the rest would then break a limit, from all alike.
func (t *table) trim(p *problem, s *state, ch *change) {
	share, reaches := p.shareNeeded(s, ch.draws)
	if !reaches {
		return
	}
	ch.trimmed, ch.by = true, plan.ToTarget
	if t.cut(p, s, ch) {
		return
	}
	ch.litres = 0
	for i := range ch.draws {
		ch.draws[i].litres *= share
		ch.litres += ch.draws[i].litres
	}
}

// shareNeeded is the share of the draws that just reaches every target; false when all of
// them do not.
func (p *problem) shareNeeded(s *state, draws []draw) (share float64, reaches bool) {
	for a := range p.aims {
		ahead := s.conc[a].UgL - p.aims[a].target
		if s.reached(a) || ahead <= 0 {
			continue
		}
		fall := 0.0
		for _, d := range draws {
			fall += p.fall(s, a, d.vat) * d.litres
		}
		if !(fall > 0) {
			return 0, false
		}
		share = max(share, ahead/fall)
	}
	// What was mixed to measure may be short of it by rounding.
	return min(share, 1), share > 0 && share <= 1+tie
}

// cut shortens the last draws to what is needed and reports whether the limits are kept.
func (t *table) cut(p *problem, s *state, ch *change) bool {
	kept := len(ch.draws)
	for kept > 1 {
		if _, ok := p.shareNeeded(s, ch.draws[:kept-1]); !ok {
			break
		}
		kept--
	}
	last := ch.draws[kept-1].litres
	low, high := 0.0, last
	need := 0.0
	for a := range p.aims {
		ahead := s.conc[a].UgL - p.aims[a].target
		if s.reached(a) || ahead <= 0 {
			continue
		}
		for _, d := range ch.draws[:kept-1] {
			ahead -= p.fall(s, a, d.vat) * d.litres
		}
		if ahead > 0 {
			need = max(need, ahead/p.fall(s, a, ch.draws[kept-1].vat))
		}
	}
	if need = min(max(low, need), high); math.IsNaN(need) {
		return false
	}
	clear(t.litres)
	for k, d := range ch.draws[:kept] {
		x := d.litres
		if k == kept-1 {
			x = need
		}
		for i := range t.offers {
			if t.offers[i].vat == d.vat {
				t.litres[i] = x
			}
		}
	}
	if _, _, out := t.bands.leave(p.inside(s), t.mixed(p, s, 1)); out {
		return false
	}
	ch.draws = ch.draws[:kept]
	ch.draws[kept-1].litres = need
	ch.litres = t.sum()
	return true
}

// finish works out the system's water after the change.
func (t *table) finish(p *problem, s *state, ch *change) {
	clear(t.litres)
	share := 1 - ch.litres/p.tank.volL
	ch.after = s.water
	ch.after.ca, ch.after.mg = s.water.ca*share, s.water.mg*share
	for _, d := range ch.draws {
		v := &s.vats[d.vat]
		for i := range t.offers {
			if t.offers[i].vat == d.vat {
				t.litres[i] = d.litres
			}
		}
		ch.after.ca += v.ca * d.litres / p.tank.volL
		ch.after.mg += v.mg * d.litres / p.tank.volL
		if s.water.ph != 0 {
			ch.after.ph = max(ch.after.ph, v.ph)
		}
	}
	x := t.mixed(p, s, 1)
	ch.after.c, ch.after.s, ch.after.alk = x[ofTemperature], x[ofSalinity], x[ofAlkalinity]
}

// bucketL litres a bucket and minutesPerBucket for carrying it one way: common
// practice, for buckets carried within a room by one person.
const (
	bucketL          = 10
	minutesPerBucket = 1
)

// minutesPerL is how long a litre takes one way.
func (w *vessel) minutesPerL() float64 { return minutesPerL(w.pumpLH) }

// minutesPerL is how long a litre takes one way by a pump of so many L/h; 0: by bucket.
func minutesPerL(pumpLH float64) float64 {
	if pumpLH > 0 {
		return 60 / pumpLH
	}
	return minutesPerBucket / float64(bucketL)
}
