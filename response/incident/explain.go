package incident

import (
	"math"
	"time"
)

// The grades of evidence on the scale of twice the logarithm of a Bayes factor, which
// differences of BIC approximate.
//
// Source: [kassraftery1995], section 3.2: 2 to 6 positive, 6 to 10 strong.
const (
	strongEvidence   = 6
	positiveEvidence = 2
)

const (
	// surprising is how far a result lies from what the others predict, in standard
	// deviations, before it is not believed alone: 3, as in control charts.
	surprising = 3
	// excluded is the fall in likelihood (−2 ln) at which a value is out of a
	// one-sided 95 % interval: the 90 % point of chi-square with one degree of freedom.
	excluded = 2.706
	// aheadH is how far ahead an effect must be felt to matter, in hours, and
	// matterShare the share of the level now (or the target, if larger) that it must
	// move by then.
	aheadH      = 24
	matterShare = 0.25
)

// Finding is what the results say about one contaminant.
type Finding struct {
	Series Series
	// Explanation, and the fits of all that were compared, the simplest first; none
	// where no result has a value.
	Explanation Explanation
	Fits        []Fit
	// Chosen is the fit whose values are used; nil where no result has a value.
	Chosen *Fit
	// MoreIn and LessIn say what is certain even where the explanation is not: more, or
	// less, is in the water than the changes explain.
	MoreIn, LessIn bool
	// Surprise is the entry of a single result that the others contradict: it is held
	// out until a second sample confirms it. 0: none.
	Surprise int
	// Start and VolumeL are what the results say of the two: by the explanation named,
	// or, undecided, averaged over all by their weight. SourceMgH is the source of the
	// still-adding fit; nil with fewer than two results.
	Start, VolumeL *Fitted
	SourceMgH      *Fitted
	// Now is the level at the moment asked for; nil: nothing is known of it. AtMost says
	// that it is a bound, from results below their reporting limits.
	Now    *Fitted
	AtMost bool
	// PlanFrom is the level to plan from: Now, with the ± of dilution alone as long as
	// nothing speaks for another explanation; and without a surprising result that nobody
	// has confirmed, which must not change the plan.
	PlanFrom *Fitted
	// Predicted is what the start supposed and the litres poured predict for now,
	// nothing fitted; nil: no start was supposed.
	Predicted *float64
	// Decider is the sample that would decide; nil: decided, or none would.
	Decider *Decider
	nowH    float64
	mixed   []Fit
	weights []float64
}

// Decider is a sample to take: what it would show by two explanations.
type Decider struct {
	AtH float64 // after T0
	// IfOne and IfOther are the levels by the explanations One and Other, µg/L.
	One, Other     Explanation
	IfOne, IfOther float64
	// Enough says that the difference is larger than the measurement can blur.
	Enough bool
}

// Explain weighs the explanations at a moment, for a target in µg/L (0: none).
func (s Series) Explain(now time.Time, target float64) Finding {
	f := Finding{Series: s, Explanation: Undecided}
	nowH := math.Max(0, now.Sub(s.T0).Hours())
	f.nowH = nowH
	f.Predicted = s.supposedAt(nowH)
	valued := 0
	for _, p := range s.Samples {
		if !p.Below {
			valued++
		}
	}
	if valued == 0 {
		f.bound(nowH)
		return f
	}
	without := map[int]bool{}
	if k, odd := s.surprise(); odd {
		f.Surprise = s.Samples[k].ID
		without[k] = true
	}
	obs := s.observations(without)
	f.Fits = s.fitAll(obs)
	f.choose(s, obs, target, nowH)
	f.summarise(nowH, s.fitAll(s.observations(nil)))
	if f.Explanation == Undecided {
		f.Decider = s.decider(f, obs, target, nowH)
	}
	return f
}

// summarise gives start, volume, source and the level now, with what not knowing the
// explanation adds to their uncertainty. With a result held out, the fits to all of
// them (all) weigh as much as those without it: the odd result may be the right one.
//
// Source: [buckland1997], weights from an information criterion, and the variance of an
// average: (Σ w·√(var + (θ − θ̄)²))².
func (f *Finding) summarise(nowH float64, all []Fit) {
	s := f.Series
	fits, weights := []Fit{*f.Chosen}, []float64{1}
	switch {
	case f.Surprise != 0:
		more, w := weighed(all)
		fits = append(fits, more...)
		weights = append(weights, w...)
	case f.Explanation == Undecided:
		fits, weights = weighed(f.Fits)
	}
	f.mixed, f.weights = fits, weights
	at := []point{s.pointAt(nowH)}
	f.Start = f.average(func(i int) Fitted { return f.mixed[i].Start })
	f.VolumeL = f.average(func(i int) Fitted { return f.mixed[i].VolumeL })
	f.Now = &f.levelsAt(at)[0]
	f.PlanFrom = f.Now
	steady := s.levels(*f.Chosen, at)[0]
	switch {
	case f.Surprise != 0:
		f.PlanFrom = &steady
	case f.Explanation == Undecided && !f.MoreIn && !f.LessIn:
		f.PlanFrom = &Fitted{f.Now.Value, steady.SE}
	}
	if len(f.Fits) > 1 {
		source := f.Fits[1].SourceMgH
		f.SourceMgH = &source
	}
}

// average is a quantity averaged over the fits by their weights.
func (f *Finding) average(of func(i int) Fitted) *Fitted {
	sum, off, se := 0.0, 0.0, 0.0
	first := of(0).Value // so that what is known and the same in all fits stays as it is
	for i, w := range f.weights {
		sum += w
		off += w * (of(i).Value - first)
	}
	mean := first + off/sum
	for i, w := range f.weights {
		x := of(i)
		se += w / sum * math.Hypot(x.SE, x.Value-mean)
	}
	return &Fitted{mean, se}
}

// levelsAt is the level at points, averaged over the fits.
func (f *Finding) levelsAt(points []point) []Fitted {
	by := make([][]Fitted, len(f.mixed))
	for i, x := range f.mixed {
		by[i] = f.Series.levels(x, points)
	}
	out := make([]Fitted, len(points))
	for k := range points {
		out[k] = *f.average(func(i int) Fitted { return by[i][k] })
	}
	return out
}

// weighed gives the fits that can be true with their weights, which sum to 1.
func weighed(fits []Fit) (kept []Fit, weights []float64) {
	sum := 0.0
	for k := range fits {
		if e := evidence(fits, k); k == 0 || fits[k].cov != nil && !math.IsInf(e, -1) {
			kept, weights = append(kept, fits[k]), append(weights, math.Exp(min(e, 100)/2))
			sum += weights[len(weights)-1]
		}
	}
	for i := range weights {
		weights[i] /= sum
	}
	return kept, weights
}

// supposedAt is the level that the supposed start leads to by dilution alone.
func (s Series) supposedAt(atH float64) *float64 {
	if s.Supposed == 0 {
		return nil
	}
	var x vector
	x[pStart], x[pVolume] = s.Supposed, s.VolumeL
	c := s.predict(x, []point{s.pointAt(atH)})[0]
	return &c
}

// bound is the finding where every result is below its reporting limit: the lowest
// limit, carried on to now.
func (f *Finding) bound(nowH float64) {
	s := f.Series
	if len(s.Samples) == 0 {
		if f.Predicted != nil {
			// The start is what the event supposes: its ± is all that is known.
			f.Now = &Fitted{Value: *f.Predicted, SE: *f.Predicted * s.SupposedU / 2 / s.Supposed}
			f.PlanFrom = f.Now
		}
		return
	}
	least := math.Inf(1)
	for _, p := range s.Samples {
		var x vector
		x[pVolume], x[pStart] = s.VolumeL, 1
		at := s.course(s.dynamics(x), 1, 0, []point{{p.AtH, p.doses}, s.pointAt(nowH)})
		base := s.course(s.dynamics(x), 0, 1, []point{{p.AtH, p.doses}, s.pointAt(nowH)})
		level := base[1]
		if at[0] > 0 { // else nothing of the start was left by then
			level += math.Max(0, p.UgL-base[0]) * at[1] / at[0]
		}
		least = math.Min(least, level)
	}
	f.Now, f.AtMost = &Fitted{Value: least}, true
	f.PlanFrom = f.Now
}

// fitAll fits every explanation that the results can carry: with one result there is
// nothing to tell them apart by.
func (s Series) fitAll(obs []observation) []Fit {
	var out []Fit
	for _, m := range s.models() {
		if m.name != Dilution && len(obs) < 2 {
			break
		}
		out = append(out, s.fit(obs, m, nil))
	}
	return out
}

// evidence is by how much a fit's BIC is better than dilution's; an effect of the
// wrong sign is none.
func evidence(fits []Fit, k int) float64 {
	f := fits[k]
	if f.Explanation == StillAdding && f.SourceMgH.Value <= 0 {
		return math.Inf(-1)
	}
	return fits[0].BIC - f.BIC
}

// surprise is the one result that the others contradict by more than three standard
// deviations where dilution explains all the others.
func (s Series) surprise() (int, bool) {
	all := s.observations(nil)
	if len(all) < 2 {
		return 0, false
	}
	base := s.models()[0]
	if s.fit(all, base, nil).ChiSquare < surprising*surprising {
		return 0, false
	}
	// The first result is what all others are compared with: it is never the odd one.
	odd, count := 0, 0
	for i := 1; i < len(s.Samples); i++ {
		rest := s.observations(map[int]bool{i: true})
		f := s.fit(rest, base, nil)
		if f.ChiSquare < excluded {
			odd = i
			count++
		}
	}
	return odd, count == 1
}

// choose names the explanation and the fit whose values are used.
func (f *Finding) choose(s Series, obs []observation, target, nowH float64) {
	f.Chosen = &f.Fits[0]
	if len(f.Fits) == 1 {
		return
	}
	best := 0
	for k := 1; k < len(f.Fits); k++ {
		if evidence(f.Fits, k) > math.Max(0, evidence(f.Fits, best)) {
			best = k
		}
	}
	if best == 0 || evidence(f.Fits, best) < strongEvidence {
		if f.Surprise == 0 && s.negligible(f.Fits[0], obs, target, nowH) {
			f.Explanation = Dilution
		}
		return
	}
	f.Chosen = &f.Fits[best]
	name := f.Chosen.Explanation
	f.MoreIn, f.LessIn = name != TakenOut, name == TakenOut
	if f.Surprise != 0 || !s.robust(obs, best) {
		return
	}
	for k := 1; k < len(f.Fits); k++ {
		if k != best && f.Fits[k].ChiSquare-f.Chosen.ChiSquare < positiveEvidence {
			return // both explain it
		}
	}
	f.Explanation = name
}

// robust reports whether a fit beats dilution whichever one of the results is left out.
func (s Series) robust(obs []observation, k int) bool {
	if len(obs) < 3 {
		return false
	}
	for i := range obs {
		rest := append(append([]observation(nil), obs[:i]...), obs[i+1:]...)
		if evidence(s.fitAll(rest), k) <= 0 {
			return false
		}
	}
	return true
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
