package dilution

import "math"

// linear is the system of one phase, in amounts: W µg in the water, B µg bound,
//
//	dW/dt = −loss·W − bindRate·(ratio·W − B) + source·e^(−decay·t) + inflow
//	dB/dt = bindRate·(ratio·W − B)
//
// Its matrix has off-diagonals of one sign, so both eigenvalues are real:
// −(T/2 ± q) with T = loss + bindRate·(1 + ratio) and
// q² = ((loss + bindRate·(ratio − 1))/2)² + bindRate²·ratio.
type linear struct {
	volume          float64 // L
	loss, media     float64 // per hour; media is the part of loss that is captured
	bindRate, ratio float64
	source, decay   float64 // µg/h at the start of the phase, per hour
	inflow          float64 // µg/h
	slow, fast      float64 // eigenvalues, fast ≤ slow ≤ 0
	pSlow, pFast    float64 // weights of the two modes in W(t)/W(0), sum 1
}

// prepared fills in eigenvalues and weights. The slow eigenvalue comes from the
// product loss·bindRate and the smaller weight from pSlow·pFast = bindRate²·ratio/4q²,
// so that neither is a difference of nearly equal numbers.
func (l linear) prepared() linear {
	half := (l.loss + l.bindRate*(1+l.ratio)) / 2
	lean := (l.loss + l.bindRate*(l.ratio-1)) / 2
	coupling := l.bindRate * l.bindRate * l.ratio
	q := math.Sqrt(lean*lean + coupling)
	l.fast = -(half + q)
	if l.fast < 0 {
		l.slow = l.loss * l.bindRate / l.fast
	}
	switch {
	case q == 0:
		l.slow, l.pSlow = l.fast, 1
	case lean > 0:
		l.pFast = (1 + lean/q) / 2
		l.pSlow = coupling / (4 * q * q) / l.pFast
	default:
		l.pSlow = (1 - lean/q) / 2
		l.pFast = coupling / (4 * q * q) / l.pSlow
	}
	return l
}

// solve returns W and B after t hours, and ∫W dt. From amounts that are zero or
// positive every term is zero or positive: nothing cancels or turns negative.
func (l *linear) solve(w0, b0, t float64) (w, b, integral float64) {
	slow, fast := math.Exp(l.slow*t), math.Exp(l.fast*t)
	bind := l.bindRate * l.ratio
	cross := spread2(l.slow, l.fast, t)
	w = (l.pSlow*slow + l.pFast*fast) * w0
	b = (l.pFast*slow + l.pSlow*fast) * b0
	w += l.bindRate * cross * b0
	b += bind * cross * w0
	integral = (l.pSlow*spread2(l.slow, 0, t) + l.pFast*spread2(l.fast, 0, t)) * w0
	if l.bindRate > 0 {
		integral += l.bindRate * spread3(l.slow, l.fast, 0, t) * b0
	}
	if l.source != 0 {
		w += l.source * (l.pSlow*spread2(l.slow, -l.decay, t) + l.pFast*spread2(l.fast, -l.decay, t))
		b += bind * l.source * spread3(l.slow, l.fast, -l.decay, t)
		integral += l.source * (l.pSlow*spread3(l.slow, -l.decay, 0, t) + l.pFast*spread3(l.fast, -l.decay, 0, t))
	}
	if l.inflow > 0 {
		w += l.inflow * (l.pSlow*spread2(l.slow, 0, t) + l.pFast*spread2(l.fast, 0, t))
		b += bind * l.inflow * spread3(l.slow, l.fast, 0, t)
		integral += l.inflow * (l.pSlow*spread3(l.slow, 0, 0, t) + l.pFast*spread3(l.fast, 0, 0, t))
	}
	return w, b, integral
}

// adds reports whether something is added for ever at a rate that does not fade.
func (l *linear) adds() bool { return l.inflow > 0 || l.source > 0 && l.decay == 0 }

// horizon is a time in hours by which every fading mode has fallen below e^(−60)
// of what it was, less than the last bit of any sum.
func (l *linear) horizon() float64 {
	slowest := math.Inf(1)
	for _, rate := range []float64{-l.slow, -l.fast, l.decay} {
		if rate > 0 {
			slowest = math.Min(slowest, rate)
		}
	}
	if math.IsInf(slowest, 1) {
		return 1
	}
	return 60 / slowest
}

// spread2 is ∫e^(a(t−s))·e^(bs) ds over 0 to t: t times the first divided
// difference of exp at at and bt. It is smooth through a = b.
func spread2(a, b, t float64) float64 {
	if a < b {
		a, b = b, a
	}
	gap := (a - b) * t
	if gap == 0 {
		return t * math.Exp(a*t)
	}
	return t * math.Exp(a*t) * -math.Expm1(-gap) / gap
}

// spread3 is the same for three exponentials: t² times the second divided
// difference of exp at at, bt and ct. Where all three are close it is summed as
// a series; elsewhere the recursion over the outer two loses less than two bits.
func spread3(a, b, c, t float64) float64 {
	if a < b {
		a, b = b, a
	}
	if b < c {
		b, c = c, b
	}
	if a < b {
		a, b = b, a
	}
	if (a-c)*t >= 1 {
		return (spread2(a, b, t) - spread2(b, c, t)) / (a - c)
	}
	return t * t * math.Exp(b*t) * series3((a-b)*t, (c-b)*t)
}

// series3 is the second divided difference of exp at x, 0 and y for |x|, |y| ≤ 1:
// Σ h_n/(n+2)!, h_n the complete homogeneous polynomial x^n + x^(n−1)·y + … + y^n.
func series3(x, y float64) float64 {
	sum, h, power, factorial := 0.0, 1.0, 1.0, 2.0
	for n := 1; n < 25; n++ {
		sum += h / factorial
		power *= y
		h = h*x + power
		factorial *= float64(n + 2)
	}
	return sum
}
