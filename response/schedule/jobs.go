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
		if w.r.Empty && !v.fresh && (overAge || barred || odd || w.r.Leave && p.mismatch(s, v, v.at(s.atH)) > 1) {
			list = w.batches(job{vat: vat, removeL: usable, all: true}, list)
		}
		if !overAge && (w.r.TopUp || w.r.Fill || s.atH+p.works.mixH <= s.nextH || w.readL < leastEmpty*p.tank.volL) {
			list = w.batches(job{vat: vat, correct: odd && correct}, list)
		}
	}
	// first is what the style does: leave the vat alone, or the first in the list.
	leave := w.r.Idle || w.r.Sizes[0] != fresh && max(w.needL, w.fitL) <= leastDrawL || !overAge && !barred && !empty && !w.r.Fill && w.readL >= leastEmpty*p.tank.volL || !w.r.Correct && n > 0
	leave = leave && !(w.r.Lean && n > 0)
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

// corrections bring the vat to the system's salinity: all of it or, where there is not
// enough purified water, as much as there is enough for; or so near that a change may be made
// of it, which is warmer, and saves water for another.
func (w *wants) corrections(vat int, list []job) []job {
	p, s := w.p, w.s
	v, brim := &s.vats[vat], p.vessels[vat].capL
	c := p.correction(s, vat, v.volL)
	if c.pureL > 0 && w.pureL <= leastDrawL || c.saltL > w.saltL || math.IsInf(c.grows, 1) {
		return list
	}
	over := max(0, v.volL-brim/c.grows)
	list = append(list, job{vat: vat, removeL: over, correct: true})
	if enough := v.volL * w.pureL / c.pureL; enough < v.volL-over && enough > p.vessels[vat].heelL {
		list = append(list, job{vat: vat, removeL: v.volL - enough, correct: true})
	}
	if off := math.Abs(v.s - p.tank.own.s); w.r.Leave && off > p.tank.limits.SalinityStep && p.tank.limits.SalinityStep > 0 {
		near := job{vat: vat, correct: true, share: 1 - p.tank.limits.SalinityStep/off}
		list = append(list, p.settled(s, near))
	}
	return w.laterCuts(vat, over, c, list)
}

// laterCuts wait for purified water: for all of the vat, or for what there is so late that
// the cut is done for the next change.
func (w *wants) laterCuts(vat int, over float64, c correction, list []job) []job {
	p, s := w.p, w.s
	v, rate := &s.vats[vat], p.works.rateLH
	all := c.pureL * (v.volL - over) / v.volL
	if rate <= 0 || w.pureL >= all {
		return list
	}
	j := job{vat: vat, removeL: over, correct: true, fromH: max(s.atH, s.pure.atH) + (all-w.pureL)/rate}
	if next := s.nextH - p.works.cutH; next < j.fromH && next > s.atH+slackH {
		list = append(list, job{vat: vat, correct: true, fromH: next})
	}
	return append(list, j)
}

// begins is the job that is waited for, once its water has come and its vat is free.
func (p *problem) begins(s *state) (j job, ok bool) {
	j = s.ask.planned
	if s.atH < j.fromH {
		return j, false
	}
	if used := s.vats[j.vat].usedH; used > s.atH {
		s.ask.planned.fromH = used
		return j, false
	}
	j = p.settled(s, j)
	p.due(s)
	return j, true
}

// settled is a job that has waited, with the vat as it is by now: of a cut, as much as
// there is purified water for.
func (p *problem) settled(s *state, j job) job {
	v, w := &s.vats[j.vat], &p.vessels[j.vat]
	usable := max(0, v.volL-w.heelL)
	if j.correct && j.batchL <= 0 && v.volL > leastDrawL {
		c, way := p.correction(s, j.vat, v.volL), j.way()
		keep := min(v.volL, w.capL/(1+(c.grows-1)*way))
		if pure := p.pureAt(s, s.atH); c.pureL*way > pure {
			keep = min(keep, v.volL*pure/(c.pureL*way))
		}
		j.removeL = v.volL - keep
	}
	j.removeL = min(j.removeL, usable)
	j.batchL = min(j.batchL, w.capL-(v.volL-j.removeL))
	return j
}

// correction is what bringing water to the system's salinity takes.
type correction struct {
	pureL float64 // purified water, to cut it
	saltL float64 // salt to lift it, as the litres it would make
	grows float64 // by how much the volume grows
}

// correction works out what correcting some litres of a vat's water takes.
func (p *problem) correction(s *state, vat int, litres float64) correction {
	v := &s.vats[vat]
	c, target := v.at(s.atH), saltShare(p.tank.own.s)
	all := content{}.plus(litreOf(v.s, c), litres)
	if target <= 0 {
		return correction{grows: math.Inf(1)}
	}
	var x correction
	if over := all.salt/target - all.kg; over > 0 {
		pureC := p.pureC(s)
		x.pureL = over / kgPerLitre(0, pureC)
		all = all.plus(litreOf(0, pureC), x.pureL)
	} else if len(p.works.salts) > 0 {
		salt := &p.works.salts[0]
		kg := (all.kg*target - all.salt) / (salt.dry - target)
		x.saltL = kg / salt.kgPerL
		all = all.salted(kg, salt.dry, c)
	}
	sal, t := all.state(c)
	x.grows = all.kg / kgPerLitre(sal, t) / litres
	return x
}

// sheds pour part of a vat away that is still being warmed, so that the rest is warm sooner. What
// stays is what the next change lacks beside water that is fit by now, what it needs in all, or
// what the next two need.
func (w *wants) sheds(vat int, usable float64, list []job) []job {
	p, s := w.p, w.s
	lean := w.r.Lean && s.atH <= p.start.atH+slackH
	v := &s.vats[vat]
	if !w.r.Shed && !lean || v.warmH <= max(s.atH, s.nextH) || p.vessels[vat].heaterW <= 0 {
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

// batches lists the batches that the rules ask for in a vat.
func (w *wants) batches(j job, list []job) []job {
	p, s := w.p, w.s
	v, vessel := &s.vats[j.vat], &p.vessels[j.vat]
	had := v.volL - j.removeL
	if j.correct {
		c := p.correction(s, j.vat, had)
		if c.pureL > max(0, w.pureL) || c.saltL > w.saltL { // less than none: the reserve is not full
			return list
		}
		had *= c.grows
		w.pureL, w.saltL = w.pureL-c.pureL, w.saltL-c.saltL
		defer func() { w.pureL, w.saltL = w.pureL+c.pureL, w.saltL+c.saltL }()
	}
	dead := max(0, vessel.heelL-had) // out of reach once it is in
	room := min(vessel.capL-had, w.saltL)
	if p.staysCold(s, v, vessel, had) || room <= dead+leastDrawL {
		return list
	}
	lost := 0.0
	if !math.IsInf(v.readyH, 1) && !p.barred(v, s.atH) {
		lost = j.removeL
	}
	from := len(list)
	for _, z := range w.r.Sizes {
		if len(list)-from >= w.r.MostSizes {
			break
		}
		x := w.litres(z) + lost
		if x-lost <= leastDrawL {
			continue
		}
		x = max(x, leastEmpty*p.tank.volL) + dead // nobody mixes a cupful
		if j.correct {
			x += contraction * (had + x)
		}
		x = min(x, room)
		list = w.start(j, z, x, list, from)
	}
	return list
}

// contraction is more than the share by which warm and cold, or salt and fresh, water
// shrink when they are mixed: without it a change would be a cup short of the target.
const contraction = 1e-3

// litres is how much a size asks for.
func (w *wants) litres(z size) float64 {
	switch z {
	case forNext:
		return min(w.nextL, max(w.needL, w.fitL))
	case unfitToo:
		return w.fitL
	case half:
		if w.needL/2 < leastBatch*w.p.tank.mostL {
			return 0
		}
		return w.needL / 2
	case inTime, trickle:
		return max(w.needL, w.fitL)
	case fresh:
		return min(w.idealL, w.p.tank.mostL)
	case ample:
		const more = 0.02
		return w.needL + more*w.p.tank.mostL
	}
	if w.needL <= leastDrawL {
		return w.fitL
	}
	return w.needL
}

// start adds a batch of a size: now, or when there is enough purified water.
func (w *wants) start(j job, z size, litres float64, list []job, from int) []job {
	p, s := w.p, w.s
	take := p.pureFor(s, litres)
	j.batchL, j.fromH, j.size = litres, s.atH, z
	rate := p.works.rateLH
	if w.pureL >= take*(1-tie) {
		if z == inTime || z == trickle {
			return list
		}
		return addJob(list, j, from)
	}
	cup := max(p.tank.leastL, leastEmpty*p.tank.volL) // nobody mixes less
	// pureBy is the purified water there is by a time if it is all kept for this batch.
	pureBy := func(h float64) float64 { return w.pureL + rate*max(0, h-max(s.atH, s.pure.atH)) }
	switch z {
	case fresh:
		if j.batchL = min(p.litresFrom(s, w.pureL), litres); j.batchL < cup {
			return list
		}
	case atOnce:
		worth := min(leastBatch*p.tank.mostL, litres/2)
		if j.batchL = min(p.litresFrom(s, w.pureL), litres); j.batchL <= leastDrawL || rate > 0 && j.batchL < worth && !w.again {
			return list
		}
	case inTime:
		if j.fromH = s.nextH - p.works.mixH; rate <= 0 || j.fromH <= s.atH+slackH {
			return list
		}
		if j.batchL = min(p.litresFrom(s, pureBy(j.fromH)), litres); j.batchL < leastEmpty*p.tank.volL {
			return list
		}
	case trickle:
		if rate <= 0 {
			return list
		}
		least := p.pureFor(s, min(cup, litres))
		j.fromH = max(s.atH, s.nextH-p.works.mixH, max(s.atH, s.pure.atH)+(least-w.pureL)/rate)
		j.batchL = min(p.litresFrom(s, pureBy(j.fromH)), litres)
	default:
		if rate <= 0 {
			return list
		}
		j.fromH = max(s.atH, s.pure.atH) + (take-w.pureL)/rate
	}
	return addJob(list, j, from)
}

// addJob leaves out what is already listed from a place on.
func addJob(list []job, j job, from int) []job {
	for _, o := range list[from:] {
		if o.vat == j.vat && near(o.batchL, j.batchL) && near(o.fromH, j.fromH) && near(o.removeL, j.removeL) {
			return list
		}
	}
	return append(list, j)
}

// staysCold reports whether what is mixed in a vat could never be used: the vat has no
// heater, the system is kept at its lowest temperature, and the water is below that.
func (p *problem) staysCold(s *state, v *vat, w *vessel, had float64) bool {
	low := float64(p.tank.limits.TemperatureLow)
	c := p.pureC(s)
	if had > leastDrawL {
		c = max(c, v.at(s.atH))
	}
	return w.heaterW <= 0 && p.tank.own.c <= low+limitSlack && c < low-limitSlack
}
