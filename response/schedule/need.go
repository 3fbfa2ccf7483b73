package schedule

import (
	"math"

	"tidehold/response/dilution"
)

// litresNeeded is the water that full-size changes of matching water, the last one
// trimmed, still take from this state, and how many changes that is. +Inf when they
// do not get there within needSteps.
func (p *problem) litresNeeded(f *state) (litres float64, changes int) {
	return p.litresWithin(f, needSteps, 0)
}

// needSteps is how many changes ahead water is planned for.
const needSteps = 40

// litresInAll is litresNeeded however many changes it takes: what is printed. +Inf
// only when they never get there.
func (p *problem) litresInAll(f *state) (litres float64, changes int) {
	return p.litresWithin(f, pathSteps, 0)
}

// litresWithin is litresNeeded in no more than most changes, a share of it water that is
// still to be made.
func (p *problem) litresWithin(f *state, most int, made float64) (litres float64, changes int) {
	if len(p.aims) == 1 && p.aims[0].inert {
		if f.reached(0) {
			return 0, 0
		}
		return p.pureDilution(&p.aims[0], p.aims[0].brings(made), f.conc[0].UgL)
	}
	conc := append([]dilution.State(nil), f.conc...)
	for changes < most {
		x := 0.0
		for a := range p.aims {
			if f.reached(a) {
				continue
			}
			m := &p.aims[a]
			level := m.brings(made)
			switch c := conc[a].UgL; {
			case c <= m.target:
			case c <= level:
				return math.Inf(1), changes
			default:
				x = max(x, m.dynamics.VolumeL*(c-m.target)/(c-level))
			}
		}
		if x == 0 {
			return litres, changes
		}
		last := x <= p.tank.mostL
		x = min(x, p.tank.mostL)
		litres += x
		changes++
		if last {
			return litres, changes
		}
		for a := range p.aims {
			m := &p.aims[a]
			conc[a] = m.dynamics.After(m.dynamics.Change(conc[a], x, m.brings(made)), p.tank.everyH)
		}
	}
	return math.Inf(1), changes
}

// brings is what new water brings of the aim's contaminant where a share of it is still to
// be made.
func (m *aim) brings(made float64) float64 {
	return m.newUgL + made*max(0, m.saltUgL-m.newUgL)
}

// pureDilution is litresNeeded for one aim on which nothing acts but the changes:
// the excess over the background falls by the same factor each time.
func (p *problem) pureDilution(m *aim, level, c float64) (litres float64, changes int) {
	switch {
	case c <= m.target:
		return 0, 0
	case m.target <= level:
		return math.Inf(1), 0
	}
	q := dilutes{m.target, m.dynamics.VolumeL, level, c}
	if d, ok := p.scratch.diluted.find(q); ok {
		return d.litres, d.changes
	}
	d := p.scratch.diluted.keep(q, p.pureDiluted(q))
	return d.litres, d.changes
}

// dilutes is from where to where water is diluted, and with what; diluted what that takes.
type (
	dilutes struct{ target, volL, level, c float64 }
	diluted struct {
		litres  float64
		changes int
	}
)

// pureDiluted works out pureDilution for water above its target, which is above the level of
// what is added.
func (p *problem) pureDiluted(q dilutes) diluted {
	share := p.tank.mostL / q.volL
	left := math.Log((q.target - q.level) / (q.c - q.level)) // below zero
	full := math.Floor(left / math.Log1p(-share) * (1 + tie))
	if share >= 1 {
		full = 0
	}
	rest := -q.volL * math.Expm1(left-full*math.Log1p(-share))
	if share >= 1 {
		rest = -q.volL * math.Expm1(left)
	}
	if rest <= p.tank.mostL*tie {
		return diluted{full * p.tank.mostL, int(full)}
	}
	return diluted{full*p.tank.mostL + rest, int(full) + 1}
}

// pathSteps is how many changes a path is followed for: far beyond any plan.
const pathSteps = 2000

// floorOf is the lowest concentration that full-size changes of the cleanest water
// lead to along the path, without end.
func (p *problem) floorOf(m *aim) float64 {
	if m.inert {
		return min(m.startUgL, m.newUgL)
	}
	const still = 1e-12
	s := m.dynamics.Start(m.startUgL)
	lowest := s.UgL
	for range pathSteps {
		last := s
		s = m.dynamics.Change(s, p.tank.mostL, m.newUgL)
		lowest = min(lowest, min(s.UgL, m.dynamics.Lowest(s, p.tank.everyH)))
		s = m.dynamics.After(s, p.tank.everyH)
		if math.Abs(s.UgL-last.UgL) <= still*s.UgL && math.Abs(s.BoundUg-last.BoundUg) <= still*s.BoundUg {
			break
		}
	}
	return lowest
}

// idealAhead is the water still needed, a share of it still to be made: where something is
// added or comes back out of rock, also as things will stand when a batch begun now is mixed.
func (p *problem) idealAhead(f *state, made float64) float64 {
	ideal, _ := p.litresWithin(f, needSteps, made)
	inert := true
	for a := range p.aims {
		inert = inert && p.aims[a].inert
	}
	if inert || f.nextH > f.atH+p.works.mixH {
		return ideal
	}
	now := append([]dilution.State(nil), f.conc...)
	for a := range f.conc {
		f.conc[a] = p.aims[a].dynamics.After(f.conc[a], p.works.mixH)
	}
	later, _ := p.litresWithin(f, needSteps, made)
	copy(f.conc, now)
	return max(ideal, later)
}
