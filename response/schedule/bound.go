package schedule

import "math"

// hopeless reports whether no plan that goes on from f can beat the best found. It
// compares with a bound that no plan can pass: from the next permitted moment on a
// full-size change of the cleanest water at every interval, and never more water
// than can have become usable by then, used as if no interval held it back.
//
// Either alone keeps the concentration of any real plan from falling below it: all
// that acts on it is linear and order-preserving, and for a given volume of water
// full-size changes take out most (package dilution). Limits on temperature,
// salinity and alkalinity only make real plans slower.
func (j *job) hopeless(f *frame) bool {
	if !j.found {
		return false
	}
	bound := score{exposure: f.exposure, finishH: f.finishH, waterL: f.waterL}
	for a := range j.aims {
		if f.reached(a) {
			if j.misses(a, f.doneH[a]) {
				bound.missed++
			}
			bound.finishH = max(bound.finishH, f.doneH[a])
			continue
		}
		exposure, finishH := j.aheadOf(f, a, j.score.exposure-bound.exposure)
		bound.exposure += exposure
		bound.finishH = max(bound.finishH, finishH)
		if j.misses(a, finishH) {
			bound.missed++
		}
	}
	return !bound.better(j.score)
}

// aheadOf returns the least exposure that an aim has still before it and the
// earliest time it can be reached. It stops early, with what it has, once the
// exposure exceeds enough.
func (j *job) aheadOf(f *frame, a int, enough float64) (exposure, finishH float64) {
	m := &j.aims[a]
	s := f.conc[a]
	excess := func(c, dt float64) float64 { return max(0, c-m.target) * dt / m.target }
	h := f.atH
	ever := j.suppliedBy(f, j.opt.HorizonH)
	step := j.everyH
	for n := 0; ; n++ {
		next := h + step
		if n == 0 {
			next = max(h, f.nextH)
		}
		next = min(next, j.opt.HorizonH)
		c := s.UgL // with a change at every interval
		if m.inert {
			supplied := j.suppliedBy(f, next)
			atBest := m.least(f.conc[a].UgL, supplied, j.mostL)
			c = max(c, atBest)
			if supplied >= ever && s.UgL <= atBest && atBest > m.target*(1+2*tie) {
				return exposure + excess(c, j.opt.HorizonH-h), math.Inf(1)
			}
			if s.UgL <= atBest {
				step *= wider
			}
			if c <= m.target*(1+2*tie) {
				return exposure, h
			}
			exposure += excess(c, next-h)
		} else {
			if c <= m.target*(1+2*tie) {
				return exposure, h
			}
			exposure += m.dynamics.Excess(s, m.target, next-h) / m.target
			if at, ok := m.dynamics.FirstBelow(s, m.target, next-h); ok {
				return exposure, h + at
			}
			s = m.dynamics.After(s, next-h)
		}
		h = next
		switch {
		case h >= j.opt.HorizonH:
			return exposure, math.Inf(1)
		case exposure > enough*(1+2*tie) || n > mostSteps:
			return exposure, h
		}
		if s.UgL > m.cleanest {
			s = m.dynamics.Change(s, j.mostL, m.cleanest)
		}
	}
}

// wider is by how much the steps of the bound grow once the water that is there holds
// a plan back more than the interval does.
const wider = 1.5

// least is the concentration that the given litres can lead to at best, in
// full-size changes of the cleanest water.
func (m *aim) least(c, litres, mostL float64) float64 {
	if c <= m.cleanest || litres <= 0 {
		return c
	}
	share := mostL / m.dynamics.VolumeL
	full := math.Floor(litres / mostL)
	left := max(0, 1-(litres-full*mostL)/m.dynamics.VolumeL)
	return m.cleanest + (c-m.cleanest)*math.Pow(1-share, full)*left
}

// suppliedBy is the most saltwater that can have become usable by time h: what is
// in the vats, and batches of all purified water there can be by then.
func (j *job) suppliedBy(f *frame, h float64) float64 {
	sum := j.outsideL - j.reserveL
	for i := range f.vats {
		if v := &f.vats[i]; v.readyH <= h {
			sum += max(0, v.volL-j.vessels[i].heelL)
		}
	}
	if len(j.salts) == 0 || h < f.atH+j.mixH {
		return max(0, sum)
	}
	salt, leanest := 0.0, math.Inf(1)
	for k := range j.salts {
		salt += f.saltKg[k] / j.salts[k].kgPerL
		leanest = min(leanest, j.salts[k].purePerL)
	}
	for _, d := range j.deliveries[f.comes:] {
		salt += d.kg / j.salts[0].kgPerL
	}
	pure := f.pureL + j.rateLH*max(0, h-j.mixH-f.pureH)
	return max(0, sum+min(salt, max(0, pure)/leanest))
}
