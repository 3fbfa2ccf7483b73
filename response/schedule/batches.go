package schedule

import "math"

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
	j.batchL, j.fromH, j.size = litres, w.s.atH, z
	begins := z != inTime && z != trickle
	if take := w.p.pureFor(w.s, litres); w.pureL < take*(1-tie) {
		begins = w.forPure(&j, take)
	}
	if !begins {
		return list
	}
	return addJob(list, j, from)
}

// forPure makes a batch as small, or as late, as the purified water asks that there is less of than it
// takes, and reports whether its size allows that.
func (w *wants) forPure(j *job, take float64) bool {
	p, s, rate, litres := w.p, w.s, w.p.works.rateLH, j.batchL
	cup := max(p.tank.leastL, leastEmpty*p.tank.volL) // nobody mixes less
	// pureBy is the purified water there is by a time if it is all kept for this batch.
	pureBy := func(h float64) float64 { return w.pureL + rate*max(0, h-max(s.atH, s.pure.atH)) }
	switch j.size {
	case fresh:
		j.batchL = min(p.litresFrom(s, w.pureL), litres)
		return j.batchL >= cup
	case atOnce:
		worth := min(leastBatch*p.tank.mostL, litres/2)
		j.batchL = min(p.litresFrom(s, w.pureL), litres)
		return j.batchL > leastDrawL && (rate <= 0 || j.batchL >= worth || w.again)
	case inTime:
		if j.fromH = s.nextH - p.works.mixH; rate <= 0 || j.fromH <= s.atH+slackH {
			return false
		}
		j.batchL = min(p.litresFrom(s, pureBy(j.fromH)), litres)
		return j.batchL >= leastEmpty*p.tank.volL
	case trickle:
		least := p.pureFor(s, min(cup, litres))
		j.fromH = max(s.atH, s.nextH-p.works.mixH, w.pureByH(least))
		j.batchL = min(p.litresFrom(s, pureBy(j.fromH)), litres)
	default:
		j.fromH = w.pureByH(take)
	}
	return rate > 0
}

// pureByH is when there is so much purified water, if it is all kept for that.
func (w *wants) pureByH(litres float64) float64 {
	return max(w.s.atH, w.s.pure.atH) + (litres-w.pureL)/w.p.works.rateLH
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
