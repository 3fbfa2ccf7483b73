package dilution

import (
	"math"
	"testing"

	"tidehold/refs/units"
)

// normal is one uncertain input: normal with deviation U/2, only what lies above the bound.
type normal struct {
	units.Measured
	above float64
}

// phi is the standard normal distribution function.
func phi(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// upTo is the share of the cases up to x.
func (n normal) upTo(x float64) float64 {
	if n.U == 0 {
		return map[bool]float64{true: 1}[n.Value <= x]
	}
	sd := n.U / 2
	cut := phi((n.above - n.Value) / sd)
	return max(0, phi((x-n.Value)/sd)-cut) / (1 - cut)
}

// mean is the mean of f over the cases, by Simpson's rule on either side of a place where f may break
// off: so many parts each, an even number, within seven deviations.
func (n normal) mean(parts int, breaks float64, f func(x float64) float64) float64 {
	if n.U == 0 {
		return f(n.Value)
	}
	sd := n.U / 2
	low, high := max(n.above, n.Value-7*sd), n.Value+7*sd
	breaks = min(max(breaks, low), high)
	sum, mass := 0.0, 0.0
	for _, piece := range [][2]float64{{low, breaks}, {breaks, high}} {
		h := (piece[1] - piece[0]) / float64(parts)
		for i := range parts + 1 {
			x := piece[0] + h*(float64(i)+1e-9*float64(parts/2-i)) // not on the break itself
			weight := h * math.Exp(-(x-n.Value)*(x-n.Value)/(2*sd*sd))
			if i > 0 && i < parts {
				weight *= float64(2 + 2*(i%2))
			}
			sum += weight * f(x)
			mass += weight
		}
	}
	return sum / mass
}

// law is a problem's distribution by quadrature: a plan leaves old·start + fresh·new water + rest, which over
// volume and one of the two is integrated on a grid, over the other by its distribution function.
type law struct {
	known                map[int]float64 // of full-size changes
	target               float64
	volume, start, water normal
	left                 func(volume float64, k int, litres float64) (old, fresh, rest float64)
}

// share is the share of the cases in which the start is at the target, or k changes, the last of them of
// litres, bring it there.
func (l law) share(k int, litres float64) float64 {
	return l.volume.mean(160, l.volume.Value, func(v float64) float64 {
		old, fresh, rest := l.left(v, k, litres)
		if k == 0 {
			return l.start.upTo(l.target)
		}
		if old*l.start.U >= fresh*l.water.U {
			breaks := (l.target*(1-old) - rest) / fresh
			return l.water.mean(40, breaks, func(n float64) float64 { return l.start.upTo(max(l.target, (l.target-rest-fresh*n)/old)) })
		}
		return l.start.mean(40, l.target, func(c float64) float64 {
			if c <= l.target {
				return 1
			}
			return l.water.upTo((l.target - rest - old*c) / fresh)
		})
	})
}

// full is the share in which k full-size changes suffice.
func (l law) full(k int, changeL float64) float64 {
	if _, known := l.known[k]; !known {
		l.known[k] = l.share(k, changeL)
	}
	return l.known[k]
}

// changes is the smallest number of full-size changes that suffices in a share of the cases, one for an exchange;
// -1 when 100 do not.
func (l law) changes(p Problem, share float64) int {
	switch {
	case l.full(0, 0) >= share:
		return 0
	case p.Continuous:
		return 1
	case l.full(100, p.ChangeL) < share:
		return -1
	}
	n := 1
	for l.full(n, p.ChangeL) < share {
		n++
	}
	return n
}

// lawOf is the law of a problem of one contaminant with a steady source at the most.
func lawOf(p Problem) law {
	c := p.Contaminants[0]
	l := law{known: map[int]float64{}, target: c.Target, volume: normal{p.Volume, p.ChangeL}, start: normal{c.Start, 0}, water: normal{c.New, 0}}
	if p.Continuous {
		l.volume.above = 0
		l.left = func(v float64, _ int, litres float64) (old, fresh, rest float64) {
			return math.Exp(-litres / v), -math.Expm1(-litres / v), 0
		}
		return l
	}
	l.left = func(v float64, k int, litres float64) (old, fresh, rest float64) {
		old = 1
		for i := range k {
			f := p.ChangeL / v
			if i == k-1 {
				f = litres / v
			}
			if i > 0 {
				rest += c.Source.MgH * 1000 * p.EveryH / v
			}
			old, fresh, rest = old*(1-f), fresh*(1-f)+f, rest*(1-f)
		}
		return old, fresh, rest
	}
	return l
}

// TestPercentilesBesideAQuadrature: for each number of changes the share of the trials that it suffices for,
// and the share in which the trimmed last change of a percentile suffices (or the litres of an exchange), beside
// an integral of the density of the inputs. Allowed are 4.5 standard errors of a share p of n
// trials, √(p(1−p)/n): one comparison in 150,000 is further off by chance.
func TestPercentilesBesideAQuadrature(t *testing.T) {
	of := func(volume, start, fresh units.Measured, target, change float64) Problem {
		return Problem{Volume: volume, ChangeL: change, EveryH: 4, Trim: true, Trials: 100_000, Confidence: 0.9, Seed: 3,
			Contaminants: []Contaminant{{Start: start, Target: target, New: fresh}}}
	}
	ex := units.Exact
	with := func(value, u float64) units.Measured { return units.Measured{Value: value, U: u} }
	cases := map[string]Problem{
		"all uncertain":                of(with(640, 51.2), with(60, 8), with(1, 0.5), 3.1, 288),
		"a volume near the change":     of(with(330, 120), with(60, 8), ex(1), 3.1, 288),
		"a start that may be met":      of(ex(640), with(6, 9), with(1, 0.5), 3.1, 160),
		"new water that may be dirty":  of(ex(640), with(60, 20), with(2.1, 2), 3.1, 288),
		"small changes":                of(with(100, 4), with(20, 3), ex(0), 2, 5),
		"little of everything":         of(with(0.4, 0.05), with(0.06, 0.01), with(0.001, 0.0005), 0.0031, 0.18),
		"a source":                     of(with(640, 51.2), with(60, 8), with(1, 0.5), 4.5, 288),
		"run through":                  of(with(640, 51.2), with(60, 8), with(1, 0.5), 3.1, 288),
		"run through with a flow":      of(with(640, 51.2), with(60, 8), with(1, 0.5), 3.1, 288),
		"run through, hardly anything": of(with(0.4, 0.05), with(3.3, 0.4), ex(1), 3.1, 0.1),
	}
	change := func(name string, by func(p *Problem)) { p := cases[name]; by(&p); cases[name] = p }
	change("a source", func(p *Problem) { p.Contaminants[0].Source.MgH, p.Trials = 0.06, 20_000 })
	change("run through", func(p *Problem) { p.Continuous = true })
	change("run through with a flow", func(p *Problem) { p.Continuous, p.FlowLH, p.Trials = true, 0.7, 20_000 })
	change("run through, hardly anything", func(p *Problem) { p.Continuous = true })
	compared, worst := 0, 0.0
	for name, p := range cases {
		l, tally := lawOf(p), p.run(p.Trials, anyNumber)
		trials := float64(p.Trials)
		sum, done := 0, tally.never
		for k, g := range tally.byCount {
			done += g.trials
			if sum += g.trials; p.Continuous {
				continue
			}
			want := l.full(k, p.ChangeL)
			off := math.Abs(float64(sum)/trials-want) / math.Max(math.Sqrt(want*(1-want)/trials), 0.5/trials)
			if compared, worst = compared+1, max(worst, off); !(off <= 2.8) {
				t.Errorf("%s: %d changes suffice in %v of the trials, by quadrature in %v: %.1f standard errors", name, k, float64(sum)/trials, want, off)
			}
		}
		if done != p.Trials {
			t.Errorf("%s: %d trials of %d", name, done, p.Trials)
		}
		for _, share := range []float64{0.5, 0.9, 0.95, 0.99} {
			n, most := l.changes(p, share), tally.changes(share)
			if n < 0 || most == nil || *most != n {
				if n >= 0 || most != nil {
					t.Errorf("%s: %v changes in %v of the trials, by quadrature %d", name, most, share, n)
				}
				continue
			}
			litres := tally.last(share, n)
			off := math.Abs(l.share(n, litres)-share) / math.Sqrt(share*(1-share)/trials)
			if compared, worst = compared+1, max(worst, off); n > 0 && off > 4.5 {
				t.Errorf("%s: %v L in %v of the trials, by quadrature in %v: %.1f standard errors", name, litres, share, l.share(n, litres), off)
			}
			if share != p.Confidence {
				continue
			}
			if plan := mustPlan(t, p); plan.Steps[len(plan.Steps)-1].AddL != litres || !p.Continuous && plan.Changes != n {
				t.Errorf("%s: the trials ask for %d changes, the last of %v L; planned are %+v", name, n, litres, plan.Steps)
			}
		}
	}
	if compared < 100 {
		t.Errorf("only %d compared", compared)
	}
	t.Logf("%d compared, the worst off by %.1f standard errors", compared, worst)
}

// TestPercentilesAreThoseNamed: where a number of changes suffices in a quarter of a per cent more of the cases than
// a percentile's share it is that percentile's, where in as much less the next one is.
func TestPercentilesAreThoseNamed(t *testing.T) {
	for _, share := range []float64{0.5, 0.9, 0.95} {
		for more, want := range map[float64]int{0.0025: 4, -0.0025: 5} {
			p := Problem{Volume: units.Exact(100), ChangeL: 50, EveryH: 4, Trials: 1_000_000, Confidence: 0.9,
				Contaminants: []Contaminant{{Start: units.Measured{Value: 100, U: 20}, Target: 1}}}
			// Four halves suffice up to 16 times the target.
			low, high := -5.0, 5.0
			for range 60 {
				if z := (low + high) / 2; phi(z) < share+more {
					low = z
				} else {
					high = z
				}
			}
			p.Contaminants[0].Target = (100 + 10*low) / 16
			plan := mustPlan(t, p)
			if got := map[float64]*int{0.5: plan.P50, 0.9: plan.P90, 0.95: plan.P95}[share]; got == nil || *got != want {
				t.Errorf("four changes suffice in %v of cases: %v in %v, want %d", share+more, *got, share, want)
			}
		}
	}
}
