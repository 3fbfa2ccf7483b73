package schedule

import (
	"math"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// limit adds the limits on what the system's water may come to.
func (r *reach) limit(h, changes float64) {
	b := r.bands(h, changes)
	for q := range b {
		if low := b[q].low; !math.IsInf(low, -1) && !(q == ofAlkalinity && r.lifts(h)) {
			r.keep(q, 1, b[q], h, changes)
		}
		if high := b[q].high; !math.IsInf(high, 1) {
			r.keep(q, -1, b[q], h, changes)
		}
	}
}

// keep adds that a quantity stays above the low end (sign 1) or below the high one (-1).
func (r *reach) keep(q int, sign float64, b band, h, changes float64) {
	end, far := b.low, b.high
	if sign < 0 {
		end, far = far, end
	}
	over := r.above(q, sign, end)
	room, displaced, some := r.before(q, sign, end, far, over, changes)
	if !some {
		return
	}
	row := r.lp.constrain(max(0, room))
	lifts, made := r.lifts(h), r.madeBy(h)
	for k := range r.waters {
		switch w := &r.waters[k]; {
		case w.kind != lifting:
			fresh := r.p.tank.own.s - w.s
			row[k] = displaced - r.beyond(w, q, over, lifts && w.grows > 1, made > 0)
			if q == ofTemperature && fresh > 0 && row[k] < displaced {
				row[k] -= (displaced - row[k]) * saltHeat * fresh // of salt that lifts it
			}
		case q == ofSalinity:
			row[k] = -over(0, 0, w.litre)
		}
	}
	for k := len(r.waters); q == ofTemperature && sign > 0 && k < len(row); k++ {
		row[k] = -1
	}
}

// before is how far the system is above an end before the changes, and what each litre that they take
// out is at least above it; false where any changes keep it.
// With one change what it displaces is as the system is now. With several it lies at least
// within the band: all that is poured is counted from the end; but where the system is
// brought back to its temperature, each change is like the first. Any one change is largest
// where the system is a step from the end.
func (r *reach) before(q int, sign, end, far float64, over surplus, changes float64) (room, displaced float64, some bool) {
	p, s := r.p, r.s
	now := r.now(over, p.inside(s))
	room = p.tank.volL * now
	switch again := q == ofTemperature && p.tank.reheats; {
	case again && math.IsInf(changes, 1):
		return 0, 0, false
	case again && changes != 1:
		at := p.inside(s)
		at[ofTemperature] = p.tank.own.c
		own := r.now(over, at)
		return p.tank.volL * max(1, changes) * max(now, own) * (1 + r.drift), min(now, own) / (1 + r.drift), true
	case changes == anyOne:
		at := p.inside(s)
		if at[q] = end + sign*r.step(q); sign*at[q] > sign*far {
			at[q] = far
		}
		displaced = r.now(over, at)
		return p.tank.volL * displaced * spread, displaced, true
	case changes == 1:
		return room, now, true
	case q == ofTemperature && sign > 0:
		if fall := s.water.c - end; fall > 0 {
			room *= used(s.water.c, end, r.coldest, changes) / fall
		}
	}
	return room * spread, 0, true
}

// beyond is the most that a litre of a water, cut or lifted as may be, lies above an end: lifted by salt,
// or mixed of waters of several temperatures.
func (r *reach) beyond(w *source, q int, over surplus, lifted, mixed bool) float64 {
	x := over(w.s, w.alk, w.litre)
	if q == ofSalinity { // warmer water is lighter
		x = max(x, over(w.s, w.alk, w.warmed))
	}
	if lifted && x < 0 { // a litre that salt has gone into is less than one of it
		if x /= w.grows; q == ofTemperature {
			x /= 1 + saltCools*(r.p.tank.own.s-w.s)
		}
	}
	if q == ofTemperature && mixed {
		gaps := r.gaps
		if w.kind == cutting {
			gaps = r.gapsPure
		}
		x += pooled(gaps, over, w.s, w.alk)
	}
	return x
}

// surplus is by how much a litre of a salinity and an alkalinity lies above an end, in what adds up when
// waters are mixed.
type surplus func(sal, alk float64, l content) float64

// pooled is more than a litre can gain, of what lies above an end, where waters of several temperatures
// are mixed and a plan takes their litres for as many of the mean temperature.
func pooled(gaps []content, over surplus, s, alk float64) (most float64) {
	const more, least = 1.1, 1e-4 // what lies between the temperatures looked at
	for _, gap := range gaps {
		most = max(most, over(s, alk, gap))
	}
	if len(gaps) == 0 {
		return 0
	}
	return most*more + least
}

// gapsBetween are what a litre of a mean temperature holds more than the parts of litres that it is
// mixed of, for waters of one salinity between two temperatures: mass and heat are no straight lines.
func gapsBetween(s, low, high float64) []content {
	if high <= low {
		return nil
	}
	const parts = 16
	cold, warm := litreOf(s, low), litreOf(s, high)
	gaps := make([]content, 0, parts-1)
	for k := 1.0; k < parts; k++ {
		l, w := litreOf(s, low+(high-low)*k/parts), k/parts
		gaps = append(gaps, content{kg: l.kg - cold.kg*(1-w) - warm.kg*w, heat: l.heat - cold.heat*(1-w) - warm.heat*w})
	}
	return gaps
}

// lookAtMixing lists what batches gain by being mixed of purified waters, and on top of what is in the vats.
func (r *reach) lookAtMixing() {
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range r.pures {
		low, high = min(low, x.c), max(high, x.c)
	}
	r.gapsPure = gapsBetween(0, low, high)
	for k := range r.waters {
		if w := &r.waters[k]; len(r.pures) > 0 && (w.kind == stored || w.kind == heel) {
			low, high = min(low, w.c), max(high, w.c)
		}
	}
	if len(r.heaters) > 0 {
		high = max(high, r.p.tank.own.c)
	}
	r.gaps = gapsBetween(r.p.tank.own.s, low, high)
}

// saltHeat is more than the share by which salt that lifts water by one adds to its mass.
const saltHeat = 2e-3

// saltCools is more than the share by which what a litre lacks of heat falls, beyond what it grows
// by, where salt lifts it by one: at salinities of 0 to 42 and 0 to 40 °C at most 7.2e-4.
const saltCools = 8e-4

// now is how far the system's water is from an end, where it is as given.
func (r *reach) now(over surplus, at [3]float64) float64 {
	return over(at[ofSalinity], at[ofAlkalinity], litreOf(at[ofSalinity], at[ofTemperature]))
}

// step is the limit for one change.
func (r *reach) step(q int) float64 {
	switch q {
	case ofTemperature:
		return r.p.tank.limits.TemperatureStep
	case ofSalinity:
		return r.p.tank.limits.SalinityStep
	}
	return r.p.tank.limits.AlkalinityPerDay
}

// above returns by how much a litre lies above a low end, or below a high one, in what adds
// up when waters are mixed. The heat at a temperature is all but linear in the salinity,
// and convex: mixtures have no less than along a tangent, and no more than their parts.
func (r *reach) above(q int, sign, end float64) surplus {
	switch q {
	case ofTemperature:
		end = min(max(end, coldest), warmest)
		if sign > 0 {
			const apart = 0.01
			at := min(max(r.s.water.s, apart), saltiest-apart)
			h := enthalpy(at, end)
			slope := (enthalpy(at+apart, end) - enthalpy(at-apart, end)) / (2 * apart)
			return func(sal, _ float64, l content) float64 { return (l.heat - l.kg*(h+slope*(sal-at))) * 1e-3 }
		}
		at, h := math.NaN(), 0.0 // one water is asked about many times in a row
		return func(sal, _ float64, l content) float64 {
			if sal != at {
				at, h = sal, enthalpy(sal, end)
			}
			return (l.kg*h - l.heat) * 1e-3
		}
	case ofSalinity:
		w := saltShare(min(max(end, 0), saltiest))
		return func(_, _ float64, l content) float64 { return sign * (l.salt - l.kg*w) * 1e3 }
	}
	return func(_, alk float64, _ content) float64 { return sign * (alk - end) }
}

func enthalpy(s, c float64) float64 {
	h, _ := salinity.Enthalpy(units.Practical(s), units.Celsius(c))
	return h
}

// bands are where the system's water may be after so many changes by time h, and at any
// time before; a hair wider, for rounding.
func (r *reach) bands(h, changes float64) bands {
	p, s := r.p, r.s
	was := s.atH
	s.atH = max(h, was)
	b := p.allowed(s)
	s.atH = was
	if changes != 1 {
		first := b[ofTemperature]
		if changes == anyOne {
			changes = math.Inf(1)
		}
		b = r.wider(h, changes)
		if l := p.tank.limits; p.tank.reheats {
			by := min(l.TemperatureStep, l.TemperaturePerDay)
			low, high := max(p.tank.own.c-by, float64(l.TemperatureLow)), min(p.tank.own.c+by, float64(l.TemperatureHigh))
			b[ofTemperature] = band{low: min(low, first.low, p.tank.own.c), high: max(high, first.high, p.tank.own.c)}
		}
	}
	for q := range b {
		b[q].low, b[q].high = b[q].low-hair, b[q].high+hair
	}
	return b
}

const hair = 1e-7

// wider are the bands after several changes.
func (r *reach) wider(h, changes float64) bands {
	p, l := r.p, r.p.tank.limits
	days := math.Floor(max(0, h-r.s.atH)/perDayH) + 1
	now := p.inside(r.s)
	b := bands{everywhere(), everywhere(), everywhere()}
	narrow := func(q int, step, day, low, high float64) {
		by := min(changes*step, days*day) // 0 times no limit: no limit
		if math.IsNaN(by) {
			by = math.Inf(1)
		}
		b[q].narrow(max(low, now[q]-by), min(high, now[q]+by), "", "")
		b[q].stretch(now[q])
	}
	narrow(ofTemperature, l.TemperatureStep, l.TemperaturePerDay, float64(l.TemperatureLow), float64(l.TemperatureHigh))
	narrow(ofSalinity, l.SalinityStep, l.SalinityPerDay, float64(l.SalinityLow), float64(l.SalinityHigh))
	if p.tank.hasAlk {
		narrow(ofAlkalinity, math.Inf(1), l.AlkalinityPerDay, math.Inf(-1), math.Inf(1))
	}
	return b
}

// lifts reports whether salt can have made fresher water saltier by time h.
func (r *reach) lifts(h float64) bool {
	if h < r.s.atH+r.p.works.mixH {
		return false
	}
	for _, kg := range r.s.saltKg {
		if kg > 0 {
			return true
		}
	}
	return len(r.p.works.comes) > r.s.comes
}
