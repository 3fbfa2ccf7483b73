package schedule

import "math"

// corrections bring the vat to the system's salinity: all of it or, where there is not
// enough purified water, as much as there is enough for; or so near that a change may be made
// of it, which is warmer, and saves water for another.
func (w *wants) corrections(vat int, list []job) []job {
	p, s := w.p, w.s
	v, brim := &s.vats[vat], p.vessels[vat].capL
	c := p.correction(s, vat, v.volL)
	if c.pureL <= 0 && c.saltL <= 0 || c.pureL > 0 && w.pureL <= leastDrawL || c.saltL > w.saltL || math.IsInf(c.grows, 1) {
		return list
	}
	over := max(0, v.volL-brim/c.grows)
	list = append(list, job{vat: vat, removeL: over, correct: true, thin: c.pureL*(v.volL-over) > w.pureL*v.volL})
	if enough := v.volL * w.pureL / c.pureL; !p.hoards && enough < v.volL-over && enough > p.vessels[vat].heelL {
		list = append(list, job{vat: vat, removeL: v.volL - enough, correct: true})
	}
	if step := p.tank.limits.SalinityStep; w.r.Leave && step > 0 && math.Abs(v.s-p.tank.own.s) > step {
		near := job{vat: vat, correct: true, share: p.wayTo(v.s, p.tank.own.s+math.Copysign(step, v.s-p.tank.own.s))}
		list = append(list, p.settled(s, near))
	}
	list = w.laterCuts(vat, over, c, list)
	if n := len(list); !p.hoards && (w.r.Shed || w.r.Sparing) {
		if list = w.sized(vat, v.volL-over, c, list); w.r.Sparing && len(list) > n {
			list[0], list[n] = list[n], list[0]
		}
	}
	return list
}

// sized are corrections of what the next change lacks beside water that is fit by now, and no more, where there is not
// the purified water for all: at once, or as soon as there is enough for that; all the way, or as far as that change
// asks.
func (w *wants) sized(vat int, most float64, c correction, list []job) []job {
	p, s := w.p, w.s
	v, heel := &s.vats[vat], p.vessels[vat].heelL
	next := min(w.idealL, p.tank.mostL) - w.fitNowL
	if next < max(leastDrawL, p.tank.leastL) || c.pureL*most/v.volL <= w.pureL {
		return list
	}
	from := len(list)
	for _, share := range []float64{1, w.shareFor(vat, next)} {
		keep := (next + heel) * (1 + contraction) / (1 + (c.grows-1)*share)
		if share <= 0 || keep > most*(1-leastPoured) {
			continue
		}
		j := job{vat: vat, removeL: v.volL - keep, keepL: keep, correct: true, fromH: s.atH}
		if share < 1 {
			j.share = share
		}
		if take := c.pureL * share * keep / v.volL; take-w.pureL > leastDrawL {
			if p.works.rateLH <= 0 {
				continue
			}
			j.fromH = w.pureByH(take)
		}
		list = addJob(list, j, from)
	}
	return list
}

// shareFor is the share of the way to the system's salinity that a vat's water must go for a change of so many litres
// of it alone; 1: all of it.
func (w *wants) shareFor(vat int, litres float64) float64 {
	s, v := w.s, &w.s.vats[vat]
	b := w.p.allowed(s)[ofSalinity]
	end := b.high
	if v.s < w.p.tank.own.s {
		end = b.low
	}
	return w.p.wayTo(v.s, s.water.s+(end-s.water.s)*w.p.tank.volL/litres)
}

// wayTo is the share of the purified water, or of the salt, that brings water of a salinity all the way to the system's
// with which it comes to another in between: what a litre is cut with goes as the inverse of the salinity.
func (p *problem) wayTo(from, to float64) float64 {
	own := p.tank.own.s
	way := (from - to) / (from - own)
	if from > own {
		way *= own / to
	}
	return min(1, max(0, way))
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
	j := job{vat: vat, removeL: over, correct: true, fromH: w.pureByH(all)}
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
	if !p.up(s) {
		s.ask.planned.fromH = p.tank.awake.next(s.atH)
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
		if j.keepL > 0 {
			keep = min(keep, j.keepL)
		}
		if pure := p.pureAt(s, s.atH); !j.thin && c.pureL*way > pure {
			keep = min(keep, v.volL*pure/(c.pureL*way))
		}
		j.removeL = v.volL - keep
	}
	j.removeL = min(j.removeL, usable)
	p.hoard(s, &j)
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
