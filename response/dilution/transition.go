package dilution

import (
	"math"

	"tidehold/refs/units"
)

// transition is the linear map of one interval between two changes, worked out once and
// used for every interval in which the same things act: what each unit in the
// water, bound, or of source rate at the start leaves at the end, and what media
// catch of it. Trials follow thousands of courses through hundreds of intervals.
type transition struct {
	system               linear
	hours                float64
	fade                 float64 // of the source's rate over the interval
	ofWater, ofBound     response
	ofSource, ofExchange response
}

// response is what one unit becomes: in the water, bound, and its ∫W dt.
type response struct{ w, b, integral float64 }

// transitions holds the maps with the media at work and used up.
type transitions struct {
	hours  float64
	cached [2]*transition
}

// transition returns the map of the interval that begins at s.
func (k *transitions) transition(d Dynamics, s State) *transition {
	l := d.linear(s)
	slot := &k.cached[0]
	if l.media == 0 {
		slot = &k.cached[1]
	}
	if *slot == nil {
		*slot = newTransition(d, l, k.hours)
	}
	return *slot
}

func newTransition(d Dynamics, l linear, hours float64) *transition {
	if d.Source.HalfLifeH > 0 {
		l.decay = math.Ln2 / d.Source.HalfLifeH
	}
	t := &transition{system: l, hours: hours, fade: math.Exp(-l.decay * hours)}
	l.source, l.inflow = 0, 0
	unit := func(w, b float64) (r response) {
		r.w, r.b, r.integral = l.solve(w, b, hours)
		return r
	}
	t.ofWater, t.ofBound = unit(1, 0), unit(0, 1)
	l.source = 1
	t.ofSource = unit(0, 0)
	l.source, l.inflow = 0, 1
	t.ofExchange = unit(0, 0)
	return t
}

// over returns the state at the end of the interval that begins at s, and whether
// the concentration may have been lower in between than at both ends. False where
// the source ends or the media are used up on the way: that interval is for After.
func (k *transitions) over(d Dynamics, s State) (end State, mayHaveMinimum, ok bool) {
	if d.Source.MgH > 0 && s.AtH < d.Source.UntilH && d.Source.UntilH < s.AtH+k.hours {
		return s, false, false
	}
	t := k.transition(d, s)
	l := &t.system
	source, inflow := d.sourceAt(s.AtH), l.inflow
	w, b := s.UgL*d.VolumeL, s.BoundUg
	captured := s.CapturedUg + l.media*(t.ofWater.integral*w+t.ofBound.integral*b+t.ofSource.integral*source+t.ofExchange.integral*inflow)
	if l.media > 0 && d.CapacityMg > 0 && captured >= d.CapacityMg*units.UgPerMg {
		return s, false, false
	}
	endW := t.ofWater.w*w + t.ofBound.w*b + t.ofSource.w*source + t.ofExchange.w*inflow
	endB := t.ofWater.b*w + t.ofBound.b*b + t.ofSource.b*source + t.ofExchange.b*inflow
	end = State{AtH: s.AtH + k.hours, UgL: endW / d.VolumeL, BoundUg: endB, CapturedUg: captured}
	return end, l.mayDip(w, b, source, endW, endB, source*t.fade), true
}

// mayDip reports whether W can have had a lowest point between two states, the
// sources given as rates; see turningPoints for why two signs decide. What rounding may
// have turned counts as possible.
func (l *linear) mayDip(w0, b0, source0, w1, b1, source1 float64) bool {
	slope0, bend0, scale0 := l.slopesAt(w0, b0, source0)
	slope1, bend1, scale1 := l.slopesAt(w1, b1, source1)
	if source0 > 0 && l.decay > 0 {
		rate := l.loss + l.bindRate*(1+l.ratio) + l.decay
		sure0, sure1 := math.Abs(bend0) > slopeNoise*rate*scale0, math.Abs(bend1) > slopeNoise*rate*scale1
		if !sure0 || !sure1 || bend0*bend1 < 0 {
			return true
		}
	}
	return slope0 < 0 && slope1 > -slopeNoise*scale1
}

// slopeNoise is the relative size under which the sign of a slope is not trusted.
const slopeNoise = 1e-10

// slopesAt returns dW/dt and d²W/dt² + decay·dW/dt, and the size of the terms that
// the first is a difference of.
func (l *linear) slopesAt(w, b, source float64) (slope, bend, scale float64) {
	exchange := l.bindRate * (l.ratio*w - b)
	slope = source + l.inflow - l.loss*w - exchange
	bend = -l.decay*source - l.loss*slope - l.bindRate*(l.ratio*slope-exchange) + l.decay*slope
	scale = source + l.inflow + l.loss*w + l.bindRate*(l.ratio*w+b)
	return slope, bend, scale
}
