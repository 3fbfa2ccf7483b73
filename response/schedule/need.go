package schedule

import (
	"math"
)

// litresNeeded is the water that full-size changes of matching water, the last one
// trimmed, still take from this state, and how many changes that is. +Inf when they
// do not get there within the most steps of a plan.
func (j *job) litresNeeded(f *frame) (litres float64, changes int) {
	return j.litresWithin(f, mostSteps)
}

// litresInAll is litresNeeded however many changes it takes: what is printed. +Inf
// only when they never get there.
func (j *job) litresInAll(f *frame) (litres float64, changes int) {
	return j.litresWithin(f, pathSteps)
}

func (j *job) litresWithin(f *frame, most int) (litres float64, changes int) {
	if len(j.aims) == 1 && j.aims[0].inert {
		if f.reached(0) {
			return 0, 0
		}
		return j.pureDilution(&j.aims[0], f.conc[0].UgL)
	}
	conc := append(j.ahead[:0], f.conc...)
	j.ahead = conc
	for changes < most {
		x := 0.0
		for a := range j.aims {
			if f.reached(a) {
				continue
			}
			m := &j.aims[a]
			switch c := conc[a].UgL; {
			case c <= m.target:
			case c <= m.newUgL:
				return math.Inf(1), changes
			default:
				x = max(x, m.dynamics.VolumeL*(c-m.target)/(c-m.newUgL))
			}
		}
		if x == 0 {
			return litres, changes
		}
		last := x <= j.mostL
		x = min(x, j.mostL)
		litres += x
		changes++
		if last {
			return litres, changes
		}
		for a := range j.aims {
			m := &j.aims[a]
			conc[a] = m.dynamics.After(m.dynamics.Change(conc[a], x, m.newUgL), j.everyH)
		}
	}
	return math.Inf(1), changes
}

// pureDilution is litresNeeded for one aim on which nothing acts but the changes:
// the excess over the background falls by the same factor each time.
func (j *job) pureDilution(m *aim, c float64) (litres float64, changes int) {
	switch {
	case c <= m.target:
		return 0, 0
	case m.target <= m.newUgL:
		return math.Inf(1), 0
	}
	share := j.mostL / m.dynamics.VolumeL
	left := math.Log((m.target - m.newUgL) / (c - m.newUgL)) // below zero
	full := math.Floor(left / math.Log1p(-share) * (1 + tie))
	if share >= 1 {
		full = 0
	}
	rest := -m.dynamics.VolumeL * math.Expm1(left-full*math.Log1p(-share))
	if share >= 1 {
		rest = -m.dynamics.VolumeL * math.Expm1(left)
	}
	if rest <= j.mostL*tie {
		return full * j.mostL, int(full)
	}
	return full*j.mostL + rest, int(full) + 1
}

// pathSteps is how many changes a path is followed for: far beyond any plan.
const pathSteps = 2000

// floorOf is the lowest concentration that full-size changes of the cleanest water
// lead to along the path, without end.
func (j *job) floorOf(m *aim) float64 {
	if m.inert {
		return min(m.startUgL, m.newUgL)
	}
	const still = 1e-12
	s := m.dynamics.Start(m.startUgL)
	lowest := s.UgL
	for range pathSteps {
		last := s
		s = m.dynamics.Change(s, j.mostL, m.newUgL)
		lowest = min(lowest, min(s.UgL, m.dynamics.Lowest(s, j.everyH)))
		s = m.dynamics.After(s, j.everyH)
		if math.Abs(s.UgL-last.UgL) <= still*s.UgL && math.Abs(s.BoundUg-last.BoundUg) <= still*s.BoundUg {
			break
		}
	}
	return lowest
}
