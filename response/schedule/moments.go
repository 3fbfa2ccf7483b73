package schedule

import (
	"math"
)

// advance takes the frame to the next moment at which something can be decided and
// reports whether there is one before the horizon; if not, the frame stands at the
// horizon.
func (j *job) advance(f *frame) bool {
	next, decide := j.nextMoment(f)
	if next > j.opt.HorizonH {
		j.evolve(f, j.opt.HorizonH)
		return false
	}
	j.evolve(f, next)
	if f.done() {
		return true
	}
	f.decide, f.mix = decide && f.atH >= f.nextH-slackH, true
	if f.atH >= f.freedH {
		f.freedH = math.Inf(1)
	}
	if f.waiting.vat >= 0 && f.atH >= f.waiting.fromH {
		if f.waiting.fromH = f.vats[f.waiting.vat].usedH; f.waiting.fromH <= f.atH {
			j.mixIn(f, f.waiting.vat, f.waiting.litres)
		}
	}
	for f.comes < len(j.deliveries) && j.deliveries[f.comes].atH <= f.atH {
		f.saltKg[0] += j.deliveries[f.comes].kg
		f.comes++
	}
	return true
}

// nextMoment returns the time of the next moment and whether a change may be
// decided then: the interval has passed, or more water is usable.
func (j *job) nextMoment(f *frame) (next float64, decide bool) {
	next = math.Inf(1)
	meet := func(h float64, change bool) {
		switch {
		case h <= f.atH || h > next:
		case h == next:
			decide = decide || change
		default:
			next, decide = h, change
		}
	}
	if f.changes < mostSteps {
		meet(f.nextH, true)
		for i := range f.vats {
			v := &f.vats[i]
			if v.volL > j.vessels[i].heelL+leastDrawL {
				meet(v.readyH, true)
				if v.warmH > f.nextH || v.warmH > v.readyH {
					meet(v.warmH, true)
				}
			}
		}
		if f.dayCap {
			for _, h := range f.held {
				meet(max(h.untilH+perDayH, f.nextH), true)
			}
		}
	}
	meet(f.freedH, false)
	for i := range j.vessels {
		meet(j.vessels[i].mixFromH, false)
	}
	if f.waiting.vat >= 0 {
		meet(f.waiting.fromH, false)
	}
	if f.comes < len(j.deliveries) {
		meet(j.deliveries[f.comes].atH, false)
	}
	return next, decide
}

// evolve lets time pass up to the given one.
func (j *job) evolve(f *frame, to float64) {
	dt := to - f.atH
	for a := range f.conc {
		m := &j.aims[a]
		s := f.conc[a]
		if m.inert {
			f.exposure += max(0, s.UgL-m.target) * dt / m.target
			continue
		}
		f.exposure += m.dynamics.Excess(s, m.target, dt) / m.target
		if !f.reached(a) {
			if h, ok := m.dynamics.FirstBelow(s, m.target, dt); ok {
				f.doneH[a] = max(f.atH+h, f.finishH)
			}
		}
		f.conc[a] = m.dynamics.After(s, dt)
	}
	f.atH = to
}
