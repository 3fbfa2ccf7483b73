package schedule

import "math"

// What counts as useful work on a vat.
const (
	// leastBatch is the share of a full-size change below which a batch is not started
	// while more water is still being purified: a trickle of small batches is much work
	// for little.
	leastBatch = 0.25
	// leastEmpty is the share of the system's volume below which a vat counts as empty.
	leastEmpty = 0.01
	// oddSalinity is how far a vat's salinity lies from the system's before it is worth
	// correcting by itself.
	oddSalinity = 0.25
	// leastCorrection is the least that a correction changes: what a meter for salinity shows.
	leastCorrection = 0.1
	// leastPoured is the share of a vat's water below which none is poured away.
	leastPoured = 0.01
)

// jobs lists the ways to work on the next vat that may be worked on now, the first
// choice first, and moves s.ask.workFrom to that vat; noJob among them leaves it alone.
func (p *problem) jobs(s *state, r *rules, list []job) []job {
	if s.ask.planned.vat >= 0 || s.spent.changes >= mostSteps {
		return list
	}
	if !p.up(s) {
		return list
	}
	w := wants{p: p, s: s, r: r}
	for ; s.ask.workFrom < len(s.vats); s.ask.workFrom++ {
		if !p.free(s, s.ask.workFrom) {
			continue
		}
		if !w.known {
			w.look()
		}
		if list = w.on(s.ask.workFrom, list); len(list) > 0 {
			return list
		}
	}
	return list
}

// free reports whether a vat can be worked on now.
func (p *problem) free(s *state, vat int) bool {
	v, w := &s.vats[vat], &p.vessels[vat]
	return w.store >= 0 && (v.readyH <= s.atH+slackH || w.overAge && v.batch == 0) && max(v.usedH, w.fromH, w.freeH) <= s.atH+slackH
}

// wants is what more water is wanted at a moment.
type wants struct {
	p     *problem
	s     *state
	r     *rules
	known bool
	again bool // what has been decided on is not too small
	// needL is what changes still ask for beyond what is there, fitL the same if water
	// that fits badly is left out, nextL what the next full-size change lacks.
	needL, fitL, nextL  float64
	aheadL, idealL      float64 // all that changes still ask for, of what is there; with what is still to be made
	pureL, saltL, readL float64
	fitNowL             float64 // what is ready and within a step of the system's
}

func (w *wants) look() {
	p, s := w.p, w.s
	w.known = true
	ideal := p.idealAhead(s, 0)
	w.aheadL = ideal
	all := p.outsideL - p.reserveL
	fit, ready, fitNow := all, all, all
	for i := range s.vats {
		v, x := &s.vats[i], max(0, s.vats[i].volL-p.vessels[i].heelL)
		if p.vessels[i].fromH > s.atH+slackH || math.IsInf(v.readyH, 1) || p.barred(v, s.atH) {
			continue
		}
		all += x
		c := v.at(s.atH)
		if !math.IsInf(v.warmH, 1) {
			c = max(c, v.toC)
		}
		if p.mismatch(s, v, c) <= 1 {
			fit += x
		}
		if v.readyH <= s.atH+slackH {
			ready += x
			if p.mismatch(s, v, v.at(s.atH)) <= 1 {
				fitNow += x
			}
		}
	}
	w.fitNowL = max(0, fitNow)
	// What is made may be dirtier than what is there.
	if lacks := ideal - max(0, all); lacks > leastDrawL && !math.IsInf(ideal, 1) {
		if more := p.idealAhead(s, lacks/ideal); !math.IsInf(more, 1) {
			ideal = more
		}
	}
	w.idealL, w.needL, w.fitL = ideal, ideal-all, ideal-fit
	w.readL = max(0, ready)
	w.nextL = min(ideal, p.tank.mostL) - w.readL
	w.pureL, w.saltL = p.pureAt(s, s.atH), p.saltLitres(s)
}

// barred reports whether no drop of a vat's water as it is may ever be used: the system is
// kept at a limit, and the water lies beyond it and will not be warmed.
func (p *problem) barred(v *vat, atH float64) bool {
	l, c := p.tank.limits, v.at(atH)
	beyond := func(own, new, low, high float64) bool {
		return new < low-limitSlack && own <= low+limitSlack || new > high+limitSlack && own >= high-limitSlack
	}
	return math.IsInf(v.warmH, 1) && beyond(p.tank.own.c, c, float64(l.TemperatureLow), float64(l.TemperatureHigh)) ||
		beyond(p.tank.own.s, v.s, float64(l.SalinityLow), float64(l.SalinityHigh))
}

// on lists the ways to work on one vat: nothing first where its water could be drawn.
func (w *wants) on(vat int, list []job) []job {
	p, s := w.p, w.s
	v, vessel := &s.vats[vat], &p.vessels[vat]
	usable := max(0, v.volL-vessel.heelL)
	overAge := math.IsInf(v.readyH, 1)
	odd := math.Abs(v.s-p.tank.own.s) >= oddSalinity
	empty := usable <= max(leastDrawL, leastEmpty*p.tank.volL)
	barred := p.barred(v, s.atH)
	correct := w.r.Correct || w.r.Leave
	if !overAge && !empty {
		if odd && correct {
			list = w.corrections(vat, list)
		}
		list = w.sheds(vat, usable, list)
	}
	mixes := vessel.mixes && len(p.works.salts) > 0 && w.saltL > leastDrawL && (w.r.Leave || !w.r.Idle)
	n := len(list)
	switch {
	case !mixes:
	case empty && !overAge:
		list = w.batches(job{vat: vat, correct: odd && correct && v.volL > leastDrawL}, list)
	default:
		if w.r.Empty && !v.fresh && (overAge || !p.hoards && (barred || odd || w.r.Leave && p.mismatch(s, v, v.at(s.atH)) > 1)) {
			list = w.batches(job{vat: vat, removeL: usable, all: true}, list)
		}
		if !overAge && (w.r.TopUp || w.r.Fill || s.atH+p.works.mixH <= s.nextH || w.readL < leastEmpty*p.tank.volL) {
			list = w.batches(job{vat: vat, correct: odd && correct}, list)
		}
	}
	// first is what the style does: leave the vat alone, or the first in the list.
	leave := w.r.Idle || w.r.Sizes[0] != fresh && max(w.needL, w.fitL) <= leastDrawL || !overAge && !barred && !empty && !w.r.Fill && w.readL >= leastEmpty*p.tank.volL || !w.r.Correct && n > 0
	// Who only cuts does so before all else, but not with every drop that has been purified since.
	cuts := w.r.Idle && w.r.Correct && (p.works.rateLH <= 0 || w.pureL >= leastBatch*p.tank.mostL)
	leave = leave && !((w.r.Lean || cuts) && n > 0)
	switch empty = empty && !overAge; {
	case len(list) == 0 || empty && !w.r.Leave:
		return list
	case w.r.Fill && n > 0 && n < len(list):
		list[0], list[n] = list[n], list[0]
	}
	list = append(list, noJob)
	if n := len(list) - 1; leave {
		list[0], list[n] = list[n], list[0]
	}
	return list
}

// sheds pour part of a vat away that is still being warmed, so that the rest is warm sooner. What
// stays is what the next change lacks beside water that is fit by now, what it needs in all, or
// what the next two need.
func (w *wants) sheds(vat int, usable float64, list []job) []job {
	p, s := w.p, w.s
	lean := w.r.Lean && s.atH <= p.start.atH+slackH
	v := &s.vats[vat]
	if p.hoards || !w.r.Shed && !lean || v.warmH <= max(s.atH, s.nextH) || p.vessels[vat].heaterW <= 0 {
		return list
	}
	const worth = 0.02
	shed := func(keep float64) {
		if keep > leastDrawL && keep < usable*(1-worth) && v.mayLose(usable-keep) {
			list = addJob(list, job{vat: vat, removeL: usable - keep}, 0)
		}
	}
	shed(min(w.idealL, p.tank.mostL) - w.fitNowL)
	for changes := 1.0; changes <= 2; changes++ {
		shed(min(w.aheadL, changes*p.tank.mostL))
	}
	return list
}
