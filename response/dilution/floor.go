package dilution

import (
	"math"

	"tidehold/refs/units"
)

// lowest is the infimum of a concentration along a path; attained says that the
// path gets there rather than only towards it.
type lowest struct {
	ugL      float64
	attained bool
}

// reaches reports whether a path with this floor reaches the target.
func (l lowest) reaches(target float64) bool {
	return l.ugL < target || l.attained && Met(l.ugL, target)
}

// Floor returns the lowest concentration, µg/L, along the path of unlimited
// changes of changeL litres (above zero, at most the volume) every everyH hours
// (above zero) of water with newUgL µg/L, the first at once, from c0 µg/L; and
// whether the path gets there (attained) or only comes near. A target is reached
// if it lies above the floor, or on it and the floor is attained.
func (d Dynamics) Floor(c0, newUgL, changeL, everyH float64) (ugL float64, attained bool) {
	low := floorOf(d, c0, newUgL, changeL, everyH)
	return low.ugL, low.attained
}

// floorOf returns the lowest concentration, µg/L, along the path of unlimited
// changes of changeL litres (above 0) every everyH hours, the first at once,
// including the moments between changes.
func floorOf(d Dynamics, c0, newUgL, changeL, everyH float64) lowest {
	if d.Inert() {
		switch {
		case c0 <= newUgL:
			return lowest{c0, true}
		case changeL >= d.VolumeL:
			return lowest{newUgL, true}
		}
		return lowest{newUgL, false}
	}
	low, k := lowest{c0, true}, transitions{hours: everyH}
	s := d.Change(d.Start(c0), changeL, newUgL)
	nearing := false // still falling, by however little: a fading source ends so
	for n := range MaxChanges {
		end, mayHaveMinimum, ok := k.over(d, s)
		c := math.Min(s.UgL, end.UgL)
		if mayHaveMinimum || !ok {
			_, c, end = d.extremes(s, everyH)
		}
		nearing = n > 0 && c < low.ugL
		low.ugL = math.Min(low.ugL, c)
		next := d.Change(end, changeL, newUgL)
		if !d.fades(s) && same(s, next) || d.settled(s) && !d.turnsLater(s, next, changeL, everyH) {
			break
		}
		s = next
	}
	if d.Source.HalfLifeH > 0 || d.Source.UntilH > 0 {
		d.Source.MgH = 0 // in the end
	}
	limit := d.cycle(s, newUgL, changeL, everyH)
	if c := d.Lowest(limit, everyH); c < low.ugL*(1-1e-12) || nearing && d.settled(s) {
		return lowest{math.Min(c, low.ugL), false}
	}
	return low
}

// same reports whether two successive states differ only in their last digits.
func same(a, b State) bool {
	return math.Abs(a.UgL-b.UgL) <= 1e-13*a.UgL && math.Abs(a.BoundUg-b.BoundUg) <= 1e-13*a.BoundUg
}

// fades reports whether from s on a source is still to end or to fade.
func (d Dynamics) fades(s State) bool {
	return d.Source.MgH > 0 && (d.Source.UntilH == 0 || s.AtH < d.Source.UntilH) &&
		(d.Source.UntilH > 0 || d.Source.HalfLifeH > 0 && s.AtH < 40*d.Source.HalfLifeH)
}

// settled reports whether from s on the same things act for ever: no source is
// still to end or fade, and no media still to be used up.
func (d Dynamics) settled(s State) bool {
	usesUp := d.ClearanceLH > 0 && d.CapacityMg > 0 && s.CapturedUg < d.CapacityMg*units.UgPerMg
	return !d.fades(s) && !usesUp
}

// cycleMap is M of the map x → M·x + v that one interval and one change are to the
// amounts (W, B) after a change, when settled. No entry is negative and its
// determinant is positive, so both eigenvalues are real and positive.
type cycleMap struct{ ww, wb, bw, bb float64 }

func (d Dynamics) cycleMap(s State, changeL, everyH float64) cycleMap {
	l := d.linear(s)
	kept := 1 - changeL/d.VolumeL
	l.source, l.inflow = 0, 0
	ww, bw, _ := l.solve(1, 0, everyH)
	wb, bb, _ := l.solve(0, 1, everyH)
	return cycleMap{kept * ww, kept * wb, bw, bb}
}

// turnsLater reports whether the concentration after changes, falling from s to
// next, will rise later on. Differences of successive states follow M^n, a sum of
// two modes whose sign changes at most once: it does if and only if the slower
// mode has the other sign.
func (d Dynamics) turnsLater(s, next State, changeL, everyH float64) bool {
	dw, db := (next.UgL-s.UgL)*d.VolumeL, next.BoundUg-s.BoundUg
	if dw >= 0 {
		return false
	}
	m := d.cycleMap(s, changeL, everyH)
	return m.overFaster()*dw+m.wb*db > 0
}

// overFaster is ww less the faster mode's eigenvalue, zero or more, and zero without rock; not
// taken as the difference, whose sign rounding would decide there.
func (m cycleMap) overFaster() float64 {
	lean := (m.ww - m.bb) / 2
	root := math.Sqrt(lean*lean + m.wb*m.bw)
	if lean < 0 {
		return m.wb * m.bw / (root - lean)
	}
	return lean + root
}

// cycle returns the state just after a change to which unlimited changes lead
// from s on: the fixed point of x → M·x + v.
func (d Dynamics) cycle(s State, newUgL, changeL, everyH float64) State {
	m := d.cycleMap(s, changeL, everyH)
	zero := s
	zero.UgL, zero.BoundUg = 0, 0
	pushed := d.Change(d.After(zero, everyH), changeL, newUgL)
	vw, vb := pushed.UgL*d.VolumeL, pushed.BoundUg
	if d.BoundRatio == 0 || d.BoundRatePerH == 0 {
		s.UgL, s.BoundUg = vw/(1-m.ww)/d.VolumeL, 0
		return s
	}
	det := (1-m.ww)*(1-m.bb) - m.wb*m.bw
	s.UgL = ((1-m.bb)*vw + m.wb*vb) / det / d.VolumeL
	s.BoundUg = ((1-m.ww)*vb + m.bw*vw) / det
	return s
}
