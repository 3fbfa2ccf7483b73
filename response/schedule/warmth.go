package schedule

import (
	"math"

	"tidehold/response/dilution"
)

// warmEnough is the time, not before the next change may start, at which the vats that
// are being warmed are warm enough for a change as large as is wanted; +Inf: it needs no
// waiting for, or warmth alone does not bring it. A change before is smaller, one that
// waits until every vat has the system's temperature is later than it has to be.
func (p *problem) warmEnough(s *state) float64 {
	from, until := max(s.atH, s.nextH), 0.0
	for i := range s.vats {
		if v := &s.vats[i]; v.volL > p.vessels[i].heelL+leastDrawL && v.toC > v.course.FromC && !math.IsInf(v.warmH, 1) {
			until = max(until, v.warmH)
		}
	}
	if until <= from+worthWaitingH {
		return math.Inf(1)
	}
	want, _ := p.litresNeeded(s)
	want = min(want, p.tank.mostL)
	b := p.allowed(s)
	m := p.scratch.memory
	if m == nil {
		return p.warmTo(s, from, until, want, &b)
	}
	salt := b[ofSalinity]
	m.question = append(m.question[:0], from, until, want, b[ofTemperature].low, salt.low, salt.high, s.water.s, s.water.c)
	for i := range s.vats {
		v := &s.vats[i]
		m.question = append(m.question, v.volL, v.readyH, v.s, v.baseH, v.course.FromC, v.toC, v.warmH)
	}
	at, known := m.warm.place(m.question)
	if !known {
		at.put(m.warm.of, m.question, p.warmTo(s, from, until, want, &b))
	}
	return at.answer[0]
}

// warmTo is the earliest time between two at which it is warm enough for the least change, else for
// one as large as is wanted.
func (p *problem) warmTo(s *state, from, until, want float64, b *bands) float64 {
	if least := p.tank.leastL; least < want {
		if h := p.warmFor(s, from, until, least, b); !math.IsInf(h, 1) {
			return h
		}
	}
	return p.warmFor(s, from, until, want, b)
}

// warmFor is the earliest time between two at which it is warm enough for a change; +Inf:
// at the first already, or not even at the last.
func (p *problem) warmFor(s *state, from, until, want float64, b *bands) float64 {
	// Litres hold heats that differ by less than this in all that can be mixed.
	const unlike = 0.1 // kelvin
	low := b[ofTemperature].low
	if p.warmAt(s, from, want, low, b) > unlike*p.tank.volL {
		return math.Inf(1)
	}
	h, ok := p.warmFrom(s, from, until, want, low, b)
	if !ok {
		return math.Inf(1)
	}
	// Once more with what heat really adds up to: litres hold a little more or less of it
	// by their salinity and temperature, and a change that is a cup short is no use.
	const margin = 1e-4 // kelvin
	h, ok = p.warmFrom(s, h, until, want, low+max(0, low-p.mixedAt(s, h, want, b))+margin, b)
	if !ok || h <= from {
		return math.Inf(1)
	}
	return h
}

// warmFrom is the earliest time from one on at which it is warm enough; false: not even at
// another.
func (p *problem) warmFrom(s *state, from, until, want, low float64, b *bands) (h float64, ok bool) {
	room := func(h float64) float64 { return p.warmAt(s, h, want, low, b) }
	if room(until) < 0 {
		return 0, false
	}
	return dilution.Crossing(room, from, until, shortestWaitH), true
}

// mixedAt is the system's temperature after a change of the warmest water at a time.
func (p *problem) mixedAt(s *state, h, want float64, b *bands) float64 {
	all, stays := content{}, p.tank.volL
	for i, litres := range p.warmest(s, h, want, b) {
		l := &p.scratch.outlook.lots[i]
		all = all.plus(litreOf(l.s, l.c), litres)
		stays -= litres
	}
	_, c := all.plus(litreOf(s.water.s, s.water.c), stays).state(s.water.c)
	return c
}

// willBeWarmer reports whether there is such a time ahead.
func (p *problem) willBeWarmer(s *state) bool {
	if s.ask.warmerH == 0 {
		s.ask.warmerH = p.warmEnough(s)
	}
	return s.ask.warmerH > s.atH+slackH && !math.IsInf(s.ask.warmerH, 1)
}

// worthWaitingH is the least wait for warmer water, in hours, that is told apart from
// none.
const worthWaitingH = 0.02

// shortestWaitH is how closely such a time is found, in hours: closer than any difference that counts,
// so that the same house in other units has the same plan.
const shortestWaitH = 1e-10

// warmAt is how much too warm, in kelvins times litres, a change of the warmest water that is
// ready at a time would leave the system; below zero: it would be colder than low. Litres
// count alike whatever their salinity: whether it is so is looked at again when the change is
// put together.
func (p *problem) warmAt(s *state, h, want, low float64, b *bands) float64 {
	room, stays := 0.0, p.tank.volL
	for i, litres := range p.warmest(s, h, want, b) {
		room += litres * (p.scratch.outlook.lots[i].c - low)
		stays -= litres
	}
	return room + stays*(s.water.c-low)
}

// warmest is what a change of so many litres takes of each lot at a time: the warmest water that is ready
// or, where the salinity that it brings is too far off, the most that there can be of all of it, and of
// that the warmest. Where that comes to less, waiting for warmth does not make it more.
func (p *problem) warmest(s *state, h, want float64, b *bands) []float64 {
	want = min(want, p.lotsAt(s, h)+p.outsideL-p.reserveL)
	w := &p.scratch.outlook
	w.taken = w.taken[:0]
	left, shift := want, 0.0 // litres times salinity
	for i := range w.lots {
		x := min(left, w.lots[i].litres)
		left -= x
		shift += x * (w.lots[i].s - s.water.s)
		w.taken = append(w.taken, x)
	}
	fall, rise := p.tank.volL*(s.water.s-b[ofSalinity].low), p.tank.volL*(b[ofSalinity].high-s.water.s)
	if shift >= -fall && shift <= rise {
		return w.taken
	}
	x := &p.scratch.lp
	x.begin(len(w.lots))
	all, saltier, fresher := x.constrain(want), x.constrain(rise), x.constrain(fall)
	for i, l := range w.lots {
		x.most[i], x.gain[i] = l.litres, 1+1e-3*float64(len(w.lots)-i)/float64(len(w.lots))
		all[i], saltier[i], fresher[i] = 1, l.s-s.water.s, s.water.s-l.s
	}
	x.solve(w.taken)
	return w.taken
}

// lotsAt lists the water that is ready at a time, the warmest first, and returns how much
// it is.
func (p *problem) lotsAt(s *state, h float64) (sum float64) {
	w := &p.scratch.outlook
	w.lots = w.lots[:0]
	for i := range s.vats {
		v := &s.vats[i]
		if x := v.volL - p.vessels[i].heelL; v.readyH <= h+slackH && x > 0 {
			w.lots = append(w.lots, lot{litres: x, c: v.at(h), s: v.s})
			sum += x
			for k := len(w.lots) - 1; k > 0 && w.lots[k].c > w.lots[k-1].c; k-- { // a few: in place
				w.lots[k], w.lots[k-1] = w.lots[k-1], w.lots[k]
			}
		}
	}
	return sum
}
