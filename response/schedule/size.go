package schedule

import (
	"math"

	"tidehold/response/dilution"
)

// size sets, for each aim, what new water brings, the floor, what is planned for,
// and the start and volume for which the litres are to suffice with the confidence
// asked.
func (p *problem) size() {
	k := math.Sqrt2 * math.Erfinv(2*p.confidence-1)
	f := &p.start
	f.conc, f.doneH = f.conc[:0], f.doneH[:0]
	for a := range p.aims {
		m := &p.aims[a]
		m.newUgL, m.cleanest = p.newWater(a)
		m.purest = min(m.cleanest, p.purestMixed(a))
		for k := range p.works.salts {
			m.saltUgL = max(m.saltUgL, p.works.salts[k].background[a])
		}
		m.floor = p.floorOf(m)
		m.reachable = m.target > m.floor*(1+dilution.Slack) || m.startUgL <= m.target
		if !m.reachable {
			m.target = m.floor + nearFloor*(m.startUgL-m.floor)
		}
		p.allowFor(m, p.demand.Aims[a].StartU/2, float64(p.demand.System.NetVolumeU)/2, k)
		f.conc = append(f.conc, m.dynamics.Start(m.startUgL))
		done := math.Inf(1)
		if dilution.Met(m.startUgL, m.target) {
			done = 0
		}
		f.doneH = append(f.doneH, done)
	}
}

// nearFloor is how close to the floor a plan for an unreachable target comes, as a
// share of what changes can take out at all.
const nearFloor = 0.05

// newWater returns what the site's new water brings of an aim's contaminant: the
// mean of what is stored, or the cleanest where the mean would not do, and the
// least of any.
func (p *problem) newWater(a int) (mean, cleanest float64) {
	cleanest = math.Inf(1)
	litres := 0.0
	for i := range p.start.vats {
		x := max(0, p.start.vats[i].volL-p.vessels[i].heelL)
		level := p.start.levels[i*len(p.aims)+a]
		if x > 0 {
			mean, litres = mean+x*level, litres+x
			cleanest = min(cleanest, level)
		}
	}
	for k := range p.works.salts {
		cleanest = min(cleanest, p.works.salts[k].background[a])
	}
	switch {
	case math.IsInf(cleanest, 1):
		return 0, 0
	case litres == 0 || mean/litres >= p.aims[a].target:
		return cleanest, cleanest
	}
	return mean / litres, cleanest
}

// purestMixed is the least that any water can be brought to by mixing: what is at the
// bottom of a vat may be less than all that can be drawn, and purified water brings nothing.
func (p *problem) purestMixed(a int) float64 {
	least := math.Inf(1)
	for i := range p.start.vats {
		if v := &p.start.vats[i]; v.volL > 0 {
			level := p.start.levels[i*len(p.aims)+a]
			if v.s > p.tank.own.s {
				level /= p.toSalinity(v.s)
			}
			least = min(least, level)
		}
	}
	return least
}

// allowFor moves the start and the volume to the point of their joint normal
// distribution at k standard deviations where the logarithm of the ratio to be
// reached is worst (the design point of a linear reliability estimate): a plan that
// meets the target there meets it with the confidence that k stands for. With an
// uncertain volume alone that is exact; with an uncertain start alone too.
func (p *problem) allowFor(m *aim, startSD, volumeSD, k float64) {
	// A start at or below the target may lie above it: what counts is where it is at k deviations.
	at := m.startUgL
	if at <= m.target && m.target > m.floor*(1+dilution.Slack) {
		at += max(0, k) * startSD
	}
	if k <= 0 || startSD == 0 && volumeSD == 0 || dilution.Met(at, m.target) {
		return
	}
	needed := math.Log((at - m.newUgL) / (m.target - m.newUgL))
	full := -math.Log1p(-min(p.tank.mostL/p.tank.volL, 1-1e-9))
	// d(Σ −ln(1 − r/V))/d(ln V) = Σ x/(1 − x)
	perLnV := math.Expm1(needed)
	if n := needed / full; n > 1 {
		perLnV = n * math.Expm1(full)
	}
	ofStart := startSD / (at - m.newUgL)
	ofVolume := perLnV * volumeSD / p.tank.volL
	both := math.Hypot(ofStart, ofVolume)
	m.startUgL += k * startSD * ofStart / both
	m.dynamics.VolumeL += k * volumeSD * ofVolume / both
}
