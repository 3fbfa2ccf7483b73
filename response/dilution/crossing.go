package dilution

import "math"

// Slack is the relative amount by which a concentration may lie above a target
// and still count as having reached it, so that a plan trimmed to hit the target
// exactly is not failed by the last bit.
const Slack = 1e-9

// Met reports whether a concentration counts as at or below a target.
func Met(ugL, targetUgL float64) bool { return ugL <= targetUgL*(1+Slack) }

// overshoot is how far below the level that counts a moment is looked for, relative: worked
// out by another way the level there differs in its last bits, and must count all the same.
const overshoot = 1e-12

// FirstBelow returns the hours from s to the first moment within withinH hours
// (which may be +Inf) at which the concentration is at or below the target, with
// no change made; false when there is none.
func (d Dynamics) FirstBelow(s State, targetUgL, withinH float64) (float64, bool) {
	if Met(s.UgL, targetUgL) {
		return 0, true
	}
	if _, rises := d.steady(); rises || d.Inert() {
		return 0, false
	}
	limit := targetUgL * (1 + Slack)
	aim := limit * (1 - overshoot)
	list, n := d.phases(s, withinH)
	for i := range list[:n] {
		p := &list[i]
		marks, m := p.turningPoints()
		for j := 1; j < m; j++ {
			if end := p.at(marks[j]).UgL; end <= limit {
				t := marks[j]
				if end < aim {
					t = crossing(func(t float64) float64 { return aim - p.at(t).UgL }, marks[j-1], marks[j])
				}
				return p.start.AtH + t - s.AtH, true
			}
		}
	}
	return 0, false
}

// Excess returns ∫max(C − target, 0) dt over dtH hours (finite) from s with no
// change made, in µg·h/L: the exposure that is above the target.
func (d Dynamics) Excess(s State, targetUgL, dtH float64) float64 {
	if d.Inert() {
		return math.Max(0, s.UgL-targetUgL) * dtH
	}
	if rise, ok := d.steady(); ok {
		end := s.UgL + rise*dtH - targetUgL
		if over := s.UgL - targetUgL; over >= 0 {
			return (over + end) / 2 * dtH
		}
		return math.Max(0, end) * math.Max(0, end) / (2 * rise)
	}
	total := 0.0
	list, n := d.phases(s, dtH)
	for i := range list[:n] {
		p := &list[i]
		marks, m := p.turningPoints()
		for j := 1; j < m; j++ {
			total += p.excess(targetUgL, marks[j-1], marks[j])
		}
	}
	return total
}

// Peak returns the highest concentration from s on, for ever, with no change
// made, in µg/L: +Inf where something is added that nothing removes.
func (d Dynamics) Peak(s State) float64 {
	highest, _, _ := d.extremes(s, math.Inf(1))
	return highest
}

// Lowest returns the lowest concentration within dtH hours (which may be +Inf)
// from s with no change made, in µg/L.
func (d Dynamics) Lowest(s State, dtH float64) float64 {
	_, lowest, _ := d.extremes(s, dtH)
	return lowest
}

// extremes returns the highest and the lowest concentration within dtH hours from
// s, and the state at their end when dtH is finite.
func (d Dynamics) extremes(s State, dtH float64) (highest, lowest float64, end State) {
	highest, lowest = s.UgL, s.UgL
	if d.Inert() {
		s.AtH += dtH
		return highest, lowest, s
	}
	list, n := d.phases(s, dtH)
	for i := range list[:n] {
		p := &list[i]
		marks, m := p.turningPoints()
		for _, t := range marks[:m] {
			c := p.at(t).UgL
			highest, lowest = math.Max(highest, c), math.Min(lowest, c)
		}
		if math.IsInf(p.durH, 1) && p.system.adds() && p.system.loss == 0 {
			highest = math.Inf(1)
		}
	}
	return highest, lowest, list[n-1].end
}

// excess integrates max(C − target, 0) from a to b, between which the
// concentration is monotonic.
func (p *phase) excess(target, a, b float64) float64 {
	above := func(t float64) float64 { return p.at(t).UgL - target }
	fromA, fromB := above(a), above(b)
	switch {
	case fromA <= 0 && fromB <= 0:
		return 0
	case fromB < 0:
		b = crossing(func(t float64) float64 { return -above(t) }, a, b)
	case fromA < 0:
		a = crossing(above, a, b)
	}
	s := p.at(a)
	_, _, integral := p.from(a).solve(s.UgL*p.system.volume, s.BoundUg, b-a)
	return math.Max(0, integral/p.system.volume-target*(b-a))
}

// from is the phase's system as it acts from t hours into the phase on.
func (p *phase) from(t float64) *linear {
	l := p.system
	l.source *= math.Exp(-l.decay * t)
	return &l
}

// turningPoints returns the moments between which the concentration is monotonic within
// the phase, both ends included; an infinite phase ends at its horizon.
//
// C is a sum of up to three exponentials and a constant. C″ + decay·C′ is a sum of
// two, so it has at most one zero; between its zeros e^(decay·t)·C′ is monotonic,
// so C′ has at most one zero in each part (Rolle).
func (p *phase) turningPoints() (marks [4]float64, n int) {
	slope, bend := p.slopes()
	end := math.Min(p.durH, p.system.horizon())
	parts := [3]float64{0, end}
	m := 2
	if t, ok := p.system.signChange(bend, 0, end); ok {
		parts[1], parts[2], m = t, end, 3
	}
	n = 1
	for i := 1; i < m; i++ {
		if t, ok := p.system.signChange(slope, parts[i-1], parts[i]); ok {
			marks[n] = t
			n++
		}
	}
	marks[n] = end
	if !math.IsInf(p.durH, 1) {
		marks[n] = p.durH
	}
	return marks, n + 1
}

// slopes returns dW/dt and d²W/dt² + decay·dW/dt as functions of the hours into
// the phase. Both are solved from their own start values rather than taken as
// differences at t, where near the end of a fall rounding would decide the sign.
func (p *phase) slopes() (slope, bend func(t float64) float64) {
	l := p.system
	w, b := p.start.UgL*l.volume, p.start.BoundUg
	exchange := l.bindRate * (l.ratio*w - b)
	dw, db := l.source+l.inflow-l.loss*w-exchange, exchange
	l.source, l.inflow = -l.decay*l.source, 0
	slope = func(t float64) float64 {
		first, _, _ := l.solve(dw, db, t)
		return first
	}
	exchange = l.bindRate * (l.ratio*dw - db)
	zw, zb := l.source-l.loss*dw-exchange+l.decay*dw, exchange+l.decay*db
	free := l
	free.source = 0
	bend = func(t float64) float64 {
		second, _, _ := free.solve(zw, zb, t)
		return second
	}
	return slope, bend
}

// signChange finds where f, which changes sign at most once between a and b, does
// so. Long after the fast modes have died f is what rounding left of the slow
// ones, so the sign is looked for along the way too, in steps of a factor of four
// from the fastest mode's own time on.
func (l *linear) signChange(f func(float64) float64, a, b float64) (float64, bool) {
	from := f(a)
	if from == 0 {
		return 0, false
	}
	up := func(t float64) float64 { return -math.Copysign(1, from) * f(t) }
	if up(b) > 0 {
		return crossing(up, a, b), true
	}
	fastest := math.Max(-l.fast, l.decay)
	if fastest*(b-a) < 16 {
		return 0, false
	}
	for step := 1 / fastest; a+step < b; step *= 4 {
		if t := a + step; up(t) > 0 {
			return crossing(up, a, t), true
		}
	}
	return 0, false
}

// crossing is Crossing to a relative width of 1e-14.
func crossing(f func(float64) float64, a, b float64) float64 { return Crossing(f, a, b, 0) }

// Crossing returns the end of a bracket at which f is zero or positive, given f(a) < 0 ≤ f(b),
// 0 ≤ a < b and f monotonic; a, if f(a) ≥ 0. The bracket is no wider than a width, or than 1e-14 of b:
// false position with the stale end halved (Illinois), and a bisection whenever that does not
// halve the bracket.
func Crossing(f func(float64) float64, a, b, width float64) float64 {
	fa, fb := f(a), f(b)
	if fa >= 0 {
		return a
	}
	bisect, side := false, 0
	least := max(width, 1e-14*b)
	for i := 0; i < 400 && b-a > least; i++ {
		width := b - a
		mid := b - fb*(b-a)/(fb-fa)
		if bisect || !(mid > a && mid < b) {
			mid = a + (b-a)/2
		}
		if mid <= a || mid >= b {
			break
		}
		fm := f(mid)
		if fm >= 0 {
			b, fb = mid, fm
			if side == 1 {
				fa /= 2
			}
			side = 1
		} else {
			a, fa = mid, fm
			if side == -1 {
				fb /= 2
			}
			side = -1
		}
		bisect = !bisect && b-a > width/2
	}
	return b
}
