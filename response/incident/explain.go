package incident

import (
	"math"
	"time"

	"tidehold/response/dilution"
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
	// Contradictions are results of one water that cannot both be right.
	Contradictions []Contradiction
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

// Explain weighs the explanations at a moment, for a target in µg/L (0: none).
func (s Series) Explain(now time.Time, target float64) Finding {
	kept, odd := s.believed()
	f := kept.explain(now, target)
	f.Series, f.Contradictions = s, odd
	return f
}

// explain weighs the explanations of results that can all be right.
func (s Series) explain(now time.Time, target float64) Finding {
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

// supposedAt is the level that the supposed start and source lead to.
func (s Series) supposedAt(atH float64) *float64 {
	if s.Supposed == 0 {
		return nil
	}
	c := s.predict(s.supposed(), []point{s.pointAt(atH)})[0]
	return &c
}

// supposed are the event's start and source in the volume of the site file.
func (s Series) supposed() (x vector) {
	x[pStart], x[pVolume], x[pSource] = s.Supposed, s.VolumeL, s.SourceMgH
	return x
}

// diluted is the fit of dilution; to one result with what the event says is still added, which it cannot deny.
func (s Series) diluted(obs []observation) Fit {
	if len(obs) == 1 {
		return s.fit(obs, s.models()[0], map[int]float64{pSource: s.SourceMgH})
	}
	return s.fit(obs, s.models()[0], nil)
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
		switch {
		case m.name == Dilution:
			out = append(out, s.diluted(obs))
		case len(obs) >= 2:
			out = append(out, s.fit(obs, m, nil))
		}
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

// above is the entry of the newest result where it is not below the target, and lies more than three standard
// deviations above a fit that many older ones hold down: it may be right. 0: it does not.
func (s Series) above(x Fit, target float64) int {
	p := s.Samples[len(s.Samples)-1]
	level := s.levels(x, []point{{p.AtH, p.doses}})[0]
	if !p.Below && p.UgL-level.Value > surprising*math.Hypot(p.U/2, level.SE) && dilution.Judge(p.UgL, p.U, target, false) != dilution.Below {
		return p.ID
	}
	return 0
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
	strong := best != 0 && evidence(f.Fits, best) >= strongEvidence
	if strong {
		f.Chosen = &f.Fits[best]
	}
	if f.Surprise == 0 {
		f.Surprise = s.above(*f.Chosen, target)
	}
	if !strong {
		if f.Surprise == 0 && s.negligible(f.Fits[0], obs, target, nowH) {
			f.Explanation = Dilution
		}
		return
	}
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
