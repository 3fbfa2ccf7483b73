package incident

import "math"

// Decider is a sample to take: what it would show by two explanations.
type Decider struct {
	AtH float64 // after T0
	// IfOne and IfOther are the levels by the explanations One and Other, µg/L.
	One, Other     Explanation
	IfOne, IfOther float64
	// Enough says that the difference is larger than the measurement can blur.
	Enough bool
}

// negligible reports whether the results exclude every effect that would matter within
// a day: dilution is named only then.
func (s Series) negligible(base Fit, obs []observation, target, nowH float64) bool {
	for _, h := range s.least(base, target, nowH) {
		if s.fit(obs, h.model, h.held).ChiSquare-base.ChiSquare < excluded {
			return false
		}
	}
	return true
}

// hypothesis is an effect of a given size.
type hypothesis struct {
	model model
	held  map[int]float64
}

// rates of exchange with rock that are tried, per hour: a day and a half to two hours.
var rates = []float64{0.03, 0.1, 0.5}

// least are the smallest effects that matter: they move the level by a quarter, or by
// the target, within a day.
func (s Series) least(base Fit, target, nowH float64) []hypothesis {
	models := s.models()
	free := models[0].free
	x := base.theta
	level := s.predict(x, []point{s.pointAt(nowH)})[0]
	move := math.Max(target, matterShare*level)
	list := []hypothesis{{model{StillAdding, free}, map[int]float64{pSource: move * x[pVolume] / aheadH / 1000}}}
	if share := math.Min(0.9, move/math.Max(level, math.SmallestNonzeroFloat64)); level > 0 {
		list = append(list, hypothesis{model{TakenOut, free}, map[int]float64{pClean: -x[pVolume] * math.Log1p(-share) / aheadH}})
	}
	for _, rate := range rates {
		x[pRate] = math.Log(rate)
		if ratio, ok := s.ratioFor(x, move, nowH); ok {
			list = append(list, hypothesis{model{ComingBack, free}, map[int]float64{pRatio: ratio, pRate: math.Log(rate)}})
		}
	}
	return list
}

// ratioFor is the amount bound, as a ratio, that makes the level rise by move within a
// day from now; false where none does.
func (s Series) ratioFor(x vector, move, nowH float64) (float64, bool) {
	rise := func(ratio float64) float64 {
		x[pRatio] = ratio
		at := s.pointAt(nowH)
		c := s.predict(x, []point{at, {nowH + aheadH, at.doses}})
		return c[1] - c[0] - move
	}
	low, high := 0.0, 10.0
	if rise(high) < 0 {
		return 0, false
	}
	for range 40 {
		if mid := (low + high) / 2; rise(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return high, true
}

// hoursAhead are the samples considered, from now.
var hoursAhead = []float64{1, 2, 3, 4, 6, 8, 12, 18, 24, 36, 48}

// decider finds the earliest sample that would tell the two likeliest explanations
// apart, or the best within two days.
func (s Series) decider(f Finding, obs []observation, target, nowH float64) *Decider {
	one, other := f.Fits[0], Fit{}
	switch {
	case f.MoreIn && len(f.Fits) > 2:
		one, other = f.Fits[1], f.Fits[2]
	case f.LessIn: // a source would not explain it
		other = *f.Chosen
	default:
		h := s.least(f.Fits[0], target, nowH)[0]
		other = s.fit(obs, h.model, h.held)
	}
	doses := s.pointAt(nowH).doses
	points := make([]point, len(hoursAhead))
	for i, h := range hoursAhead {
		points[i] = point{nowH + h, doses}
	}
	share := s.relative()
	a, b := s.levels(one, points), s.levels(other, points)
	best, most := -1, 0.0
	for i := range points {
		blur := math.Sqrt(a[i].SE*a[i].SE + square(share*(a[i].Value+b[i].Value)/2))
		ratio := math.Abs(a[i].Value-b[i].Value) / math.Max(blur, math.SmallestNonzeroFloat64)
		if ratio > most {
			best, most = i, ratio
		}
		if ratio >= surprising {
			break
		}
	}
	if best < 0 {
		return nil
	}
	return &Decider{AtH: points[best].atH, One: one.Explanation, Other: other.Explanation, IfOne: a[best].Value, IfOther: b[best].Value, Enough: most >= surprising}
}

func square(x float64) float64 { return x * x }

// relative is the standard deviation of the latest result as a share of it.
func (s Series) relative() float64 {
	for i := len(s.Samples) - 1; i >= 0; i-- {
		if p := s.Samples[i]; p.UgL > 0 {
			return math.Min(1, p.U/2/p.UgL)
		}
	}
	return AssumedShare / 2
}
