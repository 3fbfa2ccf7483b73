package schedule

import (
	"math"

	"tidehold/response/dilution"
	"tidehold/response/plan"
)

// draw is what one change takes from one vat.
type draw struct {
	vat    int
	litres float64
}

// change is the largest change that a moment permits.
type change struct {
	litres  float64
	draws   []draw
	after   water
	by      plan.Limit
	trimmed bool
}

// mixture is the system's water while a change is put together.
type mixture struct {
	own    content // of a litre of the system
	ownAlk float64
	volL   float64
	new    content
	alk    float64 // dKH·L of the new water
	litres float64
	nearC  float64
}

// with returns temperature, salinity and alkalinity of the system after the change
// and x more litres of a water.
func (m *mixture) with(litre content, alk, x float64) [3]float64 {
	left := m.volL - m.litres - x
	all := content{}.plus(m.own, left)
	all.kg, all.salt, all.heat = all.kg+m.new.kg, all.salt+m.new.salt, all.heat+m.new.heat
	s, t := all.plus(litre, x).state(m.nearC)
	return [3]float64{ofTemperature: t, ofSalinity: s, ofAlkalinity: (m.ownAlk*left + m.alk + alk*x) / m.volL}
}

func (m *mixture) add(litre content, alk, x float64) {
	m.new = m.new.plus(litre, x)
	m.alk += alk * x
	m.litres += x
}

// offer is a vat that water can be drawn from now.
type offer struct {
	vat      int
	litres   float64
	mismatch float64
	c        float64
	litre    content
}

// largest returns the largest change permitted at this moment; its draws are valid
// until the next call at the same depth. Water is taken from the closest match to
// the furthest, as much of each as the limits leave.
func (j *job) largest(f *frame, draws []draw) change {
	ch := change{draws: draws[:0], after: f.system, by: plan.ByDrawdown}
	most := j.mostL
	if d := j.drawable(f); d < most {
		most, ch.by = d, plan.ByWater
	}
	if most <= 0 {
		ch.by = plan.ByWater
		return ch
	}
	var room [16]offer
	offers := j.offers(f, room[:0])
	m := mixture{own: litreOf(f.system.s, f.system.c), ownAlk: f.system.alk, volL: j.volL, nearC: f.system.c}
	cancels := j.fill(f, &ch, &m, offers, most)
	if m.litres >= most-leastDrawL {
		ch.by = plan.ByDrawdown
		if most < j.mostL {
			ch.by = plan.ByWater
		}
	}
	ch.litres = m.litres
	j.trim(f, &ch, cancels)
	j.finish(f, &ch, offers)
	return ch
}

// fill takes as much of each offer as the limits leave, up to most litres in all. It
// goes through them twice, since a water taken later may lean the other way and make
// room for an earlier one, and reports whether it did.
func (j *job) fill(f *frame, ch *change, m *mixture, offers []offer, most float64) (cancels bool) {
	b := j.allowed(f)
	f.dayCap = false
	state := [3]float64{f.system.c, f.system.s, f.system.alk}
	for pass := range 2 {
		for i := range offers {
			o := &offers[i]
			x := min(o.litres, most-m.litres)
			if x <= leastDrawL {
				continue
			}
			alk := f.vats[o.vat].alk
			share, next, by := j.fit(m, &b, o, alk, x, state)
			if share < 1 {
				ch.by, f.dayCap = by, f.dayCap || perDay(by)
			}
			if x *= share; x > leastDrawL {
				m.add(o.litre, alk, x)
				o.litres -= x
				state = next
				ch.take(o.vat, x)
				cancels = cancels || pass > 0
			}
		}
		if m.litres >= most-leastDrawL {
			break
		}
	}
	return cancels
}

// leastDrawL is a volume nobody measures, in litres.
const leastDrawL = 1e-9

// take adds x litres from a vat.
func (ch *change) take(vat int, x float64) {
	for i := range ch.draws {
		if ch.draws[i].vat == vat {
			ch.draws[i].litres += x
			return
		}
	}
	ch.draws = append(ch.draws, draw{vat, x})
}

// offers lists the vats with water ready, the closest match to the system first;
// among equals those a batch can be made in, then the order of the site file.
func (j *job) offers(f *frame, list []offer) []offer {
	for i := range f.vats {
		v := &f.vats[i]
		x := v.usable(&j.vessels[i], f.atH)
		if x <= leastDrawL {
			continue
		}
		c := v.at(f.atH)
		o := offer{vat: i, litres: x, c: c, mismatch: j.mismatch(f, v, c), litre: litreOf(v.s, c)}
		k := len(list)
		list = append(list, o)
		for ; k > 0 && j.before(&o, &list[k-1]); k-- {
			list[k] = list[k-1]
		}
		list[k] = o
	}
	return list
}

// mismatch is the largest of the differences from the system, each in steps.
func (j *job) mismatch(f *frame, v *vat, c float64) float64 {
	l := j.limits
	worst := max(steps(c-f.system.c, l.TemperatureStep), steps(v.s-f.system.s, l.SalinityStep))
	if j.hasAlk {
		worst = max(worst, steps(v.alk-f.system.alk, l.AlkalinityPerDay))
	}
	return worst
}

func steps(difference, step float64) float64 {
	const least = 1e-3 // where a limit forbids any change, small differences still order
	return math.Abs(difference) / max(step, least)
}

// before orders two offers.
func (j *job) before(a, b *offer) bool {
	va, vb := &j.vessels[a.vat], &j.vessels[b.vat]
	if j.fastFirst && va.minutesPerL() != vb.minutesPerL() {
		return va.minutesPerL() < vb.minutesPerL()
	}
	if a.mismatch != b.mismatch {
		return a.mismatch < b.mismatch
	}
	return va.mixes && !vb.mixes
}

// fit returns the share of x litres of an offer that keeps all bands, the state
// with it, and the limit that stopped it.
func (j *job) fit(m *mixture, b *bands, o *offer, alk, x float64, inside [3]float64) (share float64, state [3]float64, by plan.Limit) {
	outside := m.with(o.litre, alk, x)
	way, by, left := b.leave(inside, outside)
	if !left {
		return 1, outside, ""
	}
	// The quantities are almost linear in the litres: false position from inside.
	low, high := 0.0, 1.0
	state = inside
	for range 8 {
		mid := low + way*(high-low)
		if mid <= low || mid >= high {
			break
		}
		at := m.with(o.litre, alk, mid*x)
		if _, _, out := b.leave(state, at); out {
			high, outside = mid, at
		} else {
			low, state = mid, at
		}
		if way, _, left = b.leave(state, outside); !left || way*(high-low) < 1e-12 {
			break
		}
	}
	return low, state, by
}

// finish works out the system's water after the change.
func (j *job) finish(f *frame, ch *change, offers []offer) {
	m := mixture{own: litreOf(f.system.s, f.system.c), ownAlk: f.system.alk, volL: j.volL, nearC: f.system.c}
	share := 1 - ch.litres/j.volL
	ch.after.ca, ch.after.mg = f.system.ca*share, f.system.mg*share
	for _, d := range ch.draws {
		v := &f.vats[d.vat]
		for i := range offers {
			if offers[i].vat == d.vat {
				m.add(offers[i].litre, v.alk, d.litres)
			}
		}
		ch.after.ca += v.ca * d.litres / j.volL
		ch.after.mg += v.mg * d.litres / j.volL
		if f.system.ph != 0 {
			ch.after.ph = max(ch.after.ph, v.ph)
		}
	}
	x := m.with(content{}, 0, 0)
	ch.after.c, ch.after.s, ch.after.alk = x[ofTemperature], x[ofSalinity], x[ofAlkalinity]
}

// minutes a change takes for draining, and as many again for filling.
func (j *job) minutes(draws []draw) float64 {
	sum := 0.0
	for _, d := range draws {
		sum += d.litres * j.vessels[d.vat].minutesPerL()
	}
	return sum
}

// bucketL litres a bucket and minutesPerBucket for carrying it one way: common
// practice, for buckets carried within a room by one person.
const (
	bucketL          = 10
	minutesPerBucket = 1
)

// minutesPerL is how long a litre takes one way.
func (w *vessel) minutesPerL() float64 {
	if w.pumpLH > 0 {
		return 60 / w.pumpLH
	}
	return minutesPerBucket / float64(bucketL)
}

// make carries a change out at the present moment.
func (j *job) make(f *frame, ch *change) {
	f.held = append(f.held, held{f.system.s, f.system.c, f.system.alk, f.atH})
	minutes := j.minutes(ch.draws)
	end := f.atH + 2*minutes/60
	for a := range f.conc {
		j.dilute(f, a, ch, end)
	}
	for _, d := range ch.draws {
		v, w := &f.vats[d.vat], &j.vessels[d.vat]
		c := v.at(f.atH)
		v.volL -= d.litres
		v.usedH = end
		v.heat(w, c, f.atH, j.ownC)
	}
	f.system = ch.after
	if j.demand.Reheats {
		f.system.c = j.ownC
	}
	f.waterL += ch.litres
	f.changes++
	f.nextH = max(f.atH+j.everyH, end)
	f.freedH = end
	f.finishH = max(f.finishH, end)
}

// dilute takes one aim through a change that ends at the given time.
func (j *job) dilute(f *frame, a int, ch *change, end float64) {
	c := f.conc[a].UgL
	for _, d := range ch.draws {
		c -= j.fall(f, a, d.vat) * d.litres
	}
	f.conc[a].UgL = c
	if !f.reached(a) && dilution.Met(c, j.aims[a].target) {
		f.doneH[a] = end
	}
}
