package incident

import "math"

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
	if p := s.Samples[len(s.Samples)-1]; p.ID == f.Surprise { // its own level is not out of the question
		f.Now.SE = math.Max(f.Now.SE, (p.UgL-f.Now.Value)/2)
	}
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
