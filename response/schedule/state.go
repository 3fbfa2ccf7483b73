package schedule

import (
	"math"

	"tidehold/response/dilution"
)

// state is a plan under way at a moment: what the system, the vats, the purified water
// and the salt have come to. Its transitions are all in this file: time passing
// (passTo), a change (change), and work on a vat (work).
type state struct {
	atH    float64
	nextH  float64 // the next change may start
	water  water
	held   []held
	conc   []dilution.State
	doneH  []float64 // by aim; +Inf: not yet
	vats   []vat
	levels []float64 // background of each vat, by aim
	pure   pool
	saltKg []float64
	comes  int // next arrival
	spent  spent
	ask    ask
}

// spent is what is judged and counted.
type spent struct {
	exposure, waterL, finishH float64
	changes, batches          int
}

// ask is what is still to be decided at this moment, and what to look out for.
type ask struct {
	change   bool
	workFrom int // vats from this one on may be worked on; past the last: none
	planned  job // a batch or a cut that waits for its purified water
	freedH   float64
	warmerH  float64 // vats are warm enough for a larger change; 0: not known
	dayCap   bool    // a limit per day held the last decision back
}

// water is the system's.
type water struct{ s, c, alk, ca, mg, ph float64 }

// held is a state of the system that lasted until a time.
type held struct{ s, c, alk, untilH float64 }

// pool is the purified water less the reserve: litres at a time, and how warm.
type pool struct{ litres, c, atH float64 }

// job is work on one vat: take out removeL, bring the rest to the system's salinity
// (correct), make batchL of new water in it. None of it: nothing to do.
type job struct {
	vat     int // -1: none
	removeL float64
	correct bool
	batchL  float64
	fromH   float64
	// size is the rule that batchL follows, share how much of what it says, or of what would
	// bring the water all the way where no batch is made (0: all).
	size  size
	share float64
	all   bool    // removeL is all that can be taken out
	keepL float64 // no more than this is corrected; 0: all that stays
	thin  bool    // none is poured away for want of purified water: it is corrected as far as there is any
}

var noJob = job{vat: -1}

// copyFrom makes s a copy of t, reusing the memory of s.
func (s *state) copyFrom(t *state) {
	held, conc, done := s.held[:0], s.conc[:0], s.doneH[:0]
	vats, levels, salt := s.vats[:0], s.levels[:0], s.saltKg[:0]
	*s = *t
	s.held, s.conc, s.doneH = append(held, t.held...), append(conc, t.conc...), append(done, t.doneH...)
	s.vats, s.levels, s.saltKg = append(vats, t.vats...), append(levels, t.levels...), append(salt, t.saltKg...)
}

// reached reports whether an aim has been reached.
func (s *state) reached(a int) bool { return !math.IsInf(s.doneH[a], 1) }

// done reports whether every aim has been reached.
func (s *state) done() bool {
	for a := range s.doneH {
		if !s.reached(a) {
			return false
		}
	}
	return true
}

// score judges the plan that ends here.
func (p *problem) score(s *state) score {
	x := score{exposure: s.spent.exposure, waterL: s.spent.waterL, finishH: s.spent.finishH}
	if s.done() {
		x.finishH = 0
	}
	for a, h := range s.doneH {
		x.finishH = max(x.finishH, h)
		if p.aims[a].misses(h) {
			x.missed++
		}
		if p.never(h) {
			x.never++
		}
	}
	x.exposure += p.after(s)
	return x
}

// after is the exposure that is still to come of a plan that ends here and falls short.
func (p *problem) after(s *state) (exposure float64) {
	for a := range p.aims {
		if !s.reached(a) {
			exposure += p.aims[a].ahead(s.conc[a], p.afterH)
		}
	}
	return exposure
}

// exposed is the exposure of some hours at one concentration, in shares of the target times
// hours.
func (m *aim) exposed(c, hours float64) float64 { return max(0, c-m.target) * hours / m.target }

// ahead is the exposure of some hours in which no change is made.
func (m *aim) ahead(c dilution.State, hours float64) float64 {
	if m.inert {
		return m.exposed(c.UgL, hours)
	}
	return m.dynamics.Excess(c, m.target, hours) / m.target
}

// passTo lets time pass: the contaminants act, deliveries come.
func (p *problem) passTo(s *state, to float64) {
	p.evolve(s, to)
	for s.comes < len(p.works.comes) && p.works.comes[s.comes].atH <= s.atH {
		a := &p.works.comes[s.comes]
		if len(s.saltKg) > 0 {
			s.saltKg[0] += a.saltKg
		}
		if a.pureL > 0 {
			c := p.pureC(s)
			x := p.pureAt(s, s.atH)
			s.pure = pool{x + a.pureL, c, max(s.atH, s.pure.atH)}
			if x+a.pureL > 0 {
				s.pure.c = (max(0, x)*c + a.pureL*a.pureC) / (max(0, x) + a.pureL)
			}
		}
		s.comes++
	}
	if s.atH >= s.ask.freedH {
		s.ask.freedH = math.Inf(1)
	}
}

// evolve lets what acts on the contaminants act, up to a time.
func (p *problem) evolve(s *state, to float64) {
	dt := to - s.atH
	for a := range s.conc {
		m := &p.aims[a]
		c := s.conc[a]
		if m.inert {
			s.spent.exposure += m.exposed(c.UgL, dt)
			continue
		}
		s.spent.exposure += m.dynamics.Excess(c, m.target, dt) / m.target
		if !s.reached(a) {
			if h, ok := m.dynamics.FirstBelow(c, m.target, dt); ok {
				s.doneH[a] = max(s.atH+h, s.spent.finishH)
			}
		}
		s.conc[a] = m.dynamics.After(c, dt)
	}
	s.atH = to
}

// change carries a change out now.
func (p *problem) change(s *state, ch *change) {
	s.held = append(s.held, held{s.water.s, s.water.c, s.water.alk, s.atH})
	end := s.atH + 2*p.minutes(ch.draws)/60
	for a := range s.conc {
		c := s.conc[a].UgL
		for _, d := range ch.draws {
			c -= p.fall(s, a, d.vat) * d.litres
		}
		s.conc[a].UgL = c
		if !s.reached(a) && dilution.Met(c, p.aims[a].target) {
			s.doneH[a] = end
		}
	}
	for _, d := range ch.draws {
		v, w := &s.vats[d.vat], &p.vessels[d.vat]
		c := v.at(s.atH)
		v.volL -= d.litres
		v.usedH, v.fresh = end, false
		p.heat(v, w, c, s.atH)
	}
	s.water = ch.after
	if p.tank.reheats {
		s.water.c = p.tank.own.c
	}
	s.spent.waterL += ch.litres
	s.spent.changes++
	s.spent.finishH = max(s.spent.finishH, end)
	s.nextH = max(s.atH+p.tank.everyH, end)
	s.ask.freedH = end
	s.ask.change, s.ask.workFrom, s.ask.warmerH = false, 0, 0
}

// fall is what a litre from a vat takes off an aim's concentration.
func (p *problem) fall(s *state, a, vat int) float64 {
	return (s.conc[a].UgL - s.levels[vat*len(p.aims)+a]) / p.aims[a].dynamics.VolumeL
}

// minutes a change takes for draining, and as many again for filling.
func (p *problem) minutes(draws []draw) float64 {
	sum := 0.0
	for _, d := range draws {
		sum += d.litres * p.vessels[d.vat].minutesPerL()
	}
	return sum
}

// worked is what work on a vat took.
type worked struct{ pureL, saltKg, heldL float64 }

// work carries work on a vat out now: water goes out, what is left is brought to the
// system's salinity as far as there is purified water or salt for it, and a batch is
// made on top. The vat may be drawn from after the cut time, or the mixing time where
// salt went in. Pouring away and filling take no time of their own.
func (p *problem) work(s *state, j job) worked {
	v, w := &s.vats[j.vat], &p.vessels[j.vat]
	c := v.at(s.atH)
	v.volL -= j.removeL
	took := worked{heldL: v.volL}
	all := content{}.plus(litreOf(v.s, c), v.volL)
	if j.correct && v.volL > leastDrawL {
		p.correct(s, j.vat, j.way(), &all, &took)
	}
	if j.batchL > 0 {
		p.batch(s, j.vat, j.batchL, &all, &took)
		s.spent.batches++
		v.batch, v.fresh = s.spent.batches, true
	}
	if all.kg > 0 {
		v.s, c = all.state(c)
		v.volL = all.kg / kgPerLitre(v.s, c)
		if j.batchL > 0 && !j.correct {
			v.volL = took.heldL + j.batchL
		}
	}
	if v.volL > 0 {
		v.stored *= min(1, took.heldL/v.volL)
	}
	switch {
	case took.saltKg > 0:
		v.readyH = s.atH + p.works.mixH
	case took.pureL > 0:
		v.readyH = s.atH + p.works.cutH
	}
	v.usedH = s.atH
	p.heat(v, w, c, s.atH)
	s.ask.workFrom, s.ask.warmerH = j.vat+1, 0
	return took
}

// await keeps the purified water for a batch that is decided on.
func (p *problem) await(s *state, j job) {
	s.pure = pool{p.pureAt(s, s.atH), p.pureC(s), max(s.atH, s.pure.atH)}
	s.ask.planned = j
	s.ask.workFrom = j.vat + 1
}

// due ends the waiting of a batch or a cut: what it has waited for is at hand, room or not.
func (p *problem) due(s *state) {
	if s.ask.planned.vat < 0 {
		return
	}
	s.pure = pool{p.pureAt(s, s.atH), p.pureC(s), max(s.atH, s.pure.atH)}
	s.ask.planned = noJob
}

// takePure takes purified water from the pool and returns its temperature.
func (p *problem) takePure(s *state, litres float64) float64 {
	c := p.pureC(s)
	s.pure = pool{p.pureAt(s, s.atH) - litres, c, max(s.atH, s.pure.atH)}
	return c
}

// way is the share of the way to the system's salinity that a correction goes: all of it under a batch.
func (j *job) way() float64 {
	if j.batchL > 0 {
		return 1
	}
	return orAll(j.share)
}

// correct brings what a vat holds a share of the way to the system's salinity.
func (p *problem) correct(s *state, vat int, way float64, all *content, took *worked) {
	target := saltShare(p.tank.own.s)
	was := s.vats[vat].volL
	grown := func(more float64) {
		v := &s.vats[vat]
		share := was / (was + more)
		v.alk, v.ca, v.mg = v.alk*share, v.ca*share, v.mg*share
		for a := range p.aims {
			s.levels[vat*len(p.aims)+a] *= share
		}
	}
	if over := all.salt/target - all.kg; over > 0 {
		rho := kgPerLitre(0, p.pureC(s))
		litres := min(way*over/rho, max(0, p.pureAt(s, s.atH)))
		c := p.takePure(s, litres)
		*all = all.plus(litreOf(0, c), litres)
		took.pureL += litres
		grown(litres)
		return
	}
	for k := range p.works.salts {
		salt := &p.works.salts[k]
		need := way * (all.kg*target - all.salt) / (salt.dry - target)
		kg := min(need, s.saltKg[k])
		if kg <= 0 || salt.dry <= target {
			continue
		}
		*all = all.salted(kg, salt.dry, s.vats[vat].at(s.atH))
		s.saltKg[k] -= kg
		took.saltKg += kg
		p.season(s, vat, k, kg/salt.kgPerL/max(s.vats[vat].volL, leastDrawL))
	}
}

// season adds what a salt brings beside salinity: share is the part of the vat's water
// that this much salt would make.
func (p *problem) season(s *state, vat, k int, share float64) {
	v, salt := &s.vats[vat], &p.works.salts[k]
	v.alk, v.ca, v.mg = v.alk+salt.alk*share, v.ca+salt.ca*share, v.mg+salt.mg*share
	v.ph = max(v.ph, salt.ph)
	for a := range p.aims {
		s.levels[vat*len(p.aims)+a] += salt.background[a] * share
	}
}

// batch makes new water in a vat.
func (p *problem) batch(s *state, vat int, litres float64, all *content, took *worked) {
	pure := p.pureFor(s, litres)
	c := p.takePure(s, pure)
	had := 0.0 // litres, at their own temperature and not at that of the purified water
	if all.kg > 0 {
		had = all.kg / kgPerLitre(all.state(c))
	}
	left := litres
	for k := range p.works.salts {
		x := min(left, s.saltKg[k]/p.works.salts[k].kgPerL)
		if x <= 0 {
			continue
		}
		s.saltKg[k] -= x * p.works.salts[k].kgPerL
		took.saltKg += x * p.works.salts[k].kgPerL
		left -= x
		p.pour(s, vat, k, had, x)
		had += x
	}
	took.pureL += pure
	*all = all.plus(litreOf(p.tank.own.s, c), litres)
}

// pour adds x litres made with salt k to the chemistry of the had litres in a vat.
func (p *problem) pour(s *state, vat, k int, had, x float64) {
	v, salt := &s.vats[vat], &p.works.salts[k]
	old := had / (had + x)
	mean := func(a, b float64) float64 { return a*old + b*(1-old) }
	v.alk, v.ca, v.mg = mean(v.alk, salt.alk), mean(v.ca, salt.ca), mean(v.mg, salt.mg)
	v.ph = max(v.ph, salt.ph)
	for a := range p.aims {
		l := &s.levels[vat*len(p.aims)+a]
		*l = mean(*l, salt.background[a])
	}
}
