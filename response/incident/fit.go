package incident

import (
	"math"

	"tidehold/response/dilution"
)

// Explanation names what makes the results what they are.
type Explanation string

// The explanations, the simplest first.
const (
	Dilution    Explanation = "dilution"     // the changes alone
	StillAdding Explanation = "still-adding" // something goes on adding it
	ComingBack  Explanation = "coming-back"  // rock and sand give back what they took up
	TakenOut    Explanation = "taken-out"    // carbon or resin takes it out besides
	Undecided   Explanation = "undecided"
)

// The parameters, by their place in a vector.
const (
	pStart  = iota // µg/L at T0
	pVolume        // L
	pSource        // mg/h
	pRatio         // bound per dissolved
	pRate          // ln of the rate per hour: it spans decades
	pClean         // L/h cleaned by media
	parameters
)

// vector holds one value per parameter.
type vector [parameters]float64

// model is one explanation with the parameters it frees.
type model struct {
	name Explanation
	free []int
}

// asked is the number of parameters that only the results can tell: one with a prior pays
// for itself by its row of ChiSquare.
func (m model) asked() int {
	n := 0
	for _, p := range m.free {
		if p != pVolume && p != pRate {
			n++
		}
	}
	return n
}

// models in the order of their parameters. Without a stated uncertainty the volume is
// known and not fitted.
func (s Series) models() []model {
	base := []int{pStart}
	if s.VolumeU > 0 {
		base = append(base, pVolume)
	}
	with := func(more ...int) []int { return append(append([]int(nil), base...), more...) }
	return []model{{Dilution, base}, {StillAdding, with(pSource)}, {ComingBack, with(pRatio, pRate)}, {TakenOut, with(pClean)}}
}

// The rate of exchange with rock has a prior, since a handful of results cannot tell a
// ratio and a rate apart: its logarithm is centred on PriorRatePerH, and PriorFactor either
// way is two standard deviations. An assumption, listed with the answer; no measured rate
// of a captive system was found.
const (
	PriorRatePerH = 0.1
	PriorFactor   = 10
	priorRateSD   = math.Ln10 / 2 // ln PriorFactor is two of them
)

// Fitted is a parameter with its standard error.
type Fitted struct{ Value, SE float64 }

// U is the expanded uncertainty (k = 2).
func (f Fitted) U() float64 { return 2 * f.SE }

// Fit is one explanation fitted to the results.
type Fit struct {
	Explanation Explanation
	// Start in µg/L at T0, VolumeL, SourceMgH; a parameter that was not fitted has
	// the value it was held at and no standard error.
	Start, VolumeL, SourceMgH Fitted
	// Ratio and RatePerH of the exchange with rock and sand; CleanedLH by media.
	Ratio, RatePerH, CleanedLH Fitted
	// ChiSquare is the sum of squared weighted residuals, the priors' included; K the
	// parameters without a prior, N the results; BIC = ChiSquare + K·ln N.
	ChiSquare float64
	K, N      int
	BIC       float64
	theta     vector
	cov       [][]float64 // of the free parameters
	free      []int
	converged bool
}

// dynamics is what acts, by a vector; the source is kept apart (predict).
func (s Series) dynamics(x vector) dilution.Dynamics {
	d := dilution.Dynamics{VolumeL: x[pVolume], ClearanceLH: math.Max(0, x[pClean])}
	if x[pRatio] > 0 {
		d.BoundRatio, d.BoundRatePerH = x[pRatio], math.Exp(x[pRate])
	}
	return d
}

// predict gives the level at each point. It is linear in start and source, so that a
// fitted source below zero, which the closed forms do not take, still has a meaning.
func (s Series) predict(x vector, points []point) []float64 {
	d := s.dynamics(x)
	out := s.course(d, math.Max(0, x[pStart]), 1, points)
	if x[pSource] != 0 {
		d.Source.MgH = 1
		for i, c := range s.course(d, 0, 0, points) {
			out[i] += x[pSource] * c
		}
	}
	return out
}

// residuals are the weighted rows of the problem: one per result, then the priors.
func (s Series) residuals(obs []observation, m model, x vector) []float64 {
	points := make([]point, len(obs))
	for i, o := range obs {
		points[i] = o.at
	}
	rows := make([]float64, 0, len(obs)+2)
	for i, c := range s.predict(x, points) {
		r := (c - obs[i].ugL) / obs[i].sd
		if obs[i].below {
			r = math.Max(0, r) // a bound: anything below it will do
		}
		rows = append(rows, r)
	}
	for _, p := range m.free {
		switch p {
		case pVolume:
			rows = append(rows, (x[pVolume]-s.VolumeL)/(s.VolumeU/2))
		case pRate:
			rows = append(rows, (x[pRate]-math.Log(PriorRatePerH))/priorRateSD)
		}
	}
	return rows
}

func sumOfSquares(rows []float64) float64 {
	sum := 0.0
	for _, r := range rows {
		sum += r * r
	}
	return sum
}

// keep holds a vector where the closed forms are defined: levels and amounts of zero or
// more, a volume larger than any change.
func (s Series) keep(x vector) vector {
	x[pStart] = math.Max(0, x[pStart])
	largest := 0.0
	for _, d := range s.doses {
		largest = math.Max(largest, d.litres)
	}
	x[pVolume] = math.Min(math.Max(x[pVolume], math.Max(s.VolumeL/4, largest*1.001)), 4*s.VolumeL)
	x[pRatio] = math.Min(math.Max(0, x[pRatio]), 100)
	x[pRate] = math.Min(math.Max(math.Log(1e-4), x[pRate]), math.Log(100))
	x[pClean] = math.Min(math.Max(0, x[pClean]), 100*s.VolumeL)
	return x
}

// initial are the vectors a fit is tried from: least squares in ratio, rate and
// clearance may have more than one valley.
func (s Series) initial(obs []observation, name Explanation) []vector {
	var x vector
	x[pVolume], x[pRate] = s.VolumeL, math.Log(PriorRatePerH)
	// The first result undone: what the start was if dilution alone acted.
	unit := s.course(s.dynamics(x), 1, 0, []point{obs[0].at})[0]
	fresh := s.course(s.dynamics(x), 0, 1, []point{obs[0].at})[0]
	if unit > 0 {
		x[pStart] = math.Max(0, obs[0].ugL-fresh) / unit
	}
	list := []vector{x}
	switch name {
	case ComingBack:
		list = list[:0]
		for _, rate := range []float64{0.03, 0.1, 0.4} {
			for _, ratio := range []float64{0.2, 1} {
				y := x
				y[pRatio], y[pRate] = ratio, math.Log(rate)
				list = append(list, y)
			}
		}
	case TakenOut:
		list = list[:0]
		for _, share := range []float64{0, 0.01, 0.1} {
			y := x
			y[pClean] = share * s.VolumeL
			list = append(list, y)
		}
	}
	return list
}

// hopeless is a sum of squares so large that the volume may lie in another valley.
const hopeless = 20

// fit finds the least sum of squares of a model. held are parameters held at a value.
func (s Series) fit(obs []observation, m model, held map[int]float64) Fit {
	var best Fit
	starts := s.initial(obs, m.name)
	for i := 0; i < len(starts); i++ {
		x := starts[i]
		for p, v := range held {
			x[p] = v
		}
		f := s.descend(obs, m, s.keep(x))
		if i == 0 || f.ChiSquare < best.ChiSquare {
			best = f
		}
		if i == 0 && f.ChiSquare > hopeless {
			for _, share := range []float64{0.5, 0.7, 1.4} {
				y := starts[0]
				y[pVolume] *= share
				starts = append(starts, y)
			}
		}
	}
	best.BIC = best.ChiSquare + float64(best.K)*math.Log(float64(best.N))
	best.describe()
	return best
}

// descend takes damped Gauss-Newton steps (Levenberg, Marquardt) until they no longer
// help.
func (s Series) descend(obs []observation, m model, x vector) Fit {
	const most = 60
	damp := 1e-3
	rows := s.residuals(obs, m, x)
	cost := sumOfSquares(rows)
	f := Fit{Explanation: m.name, K: m.asked(), N: len(obs), free: m.free}
	for range most {
		j := s.jacobian(obs, m, x, len(rows))
		moving := s.inside(m.free, j, rows, x)
		info, gradient := normal(columns(j, moving), rows)
		moved := false
		for damp < 1e12 {
			step, ok := solve(damped(info, damp), gradient)
			if !ok {
				damp *= 10
				continue
			}
			y := x
			for i, k := range moving {
				y[m.free[k]] -= step[i]
			}
			y = s.keep(y)
			next := s.residuals(obs, m, y)
			if c := sumOfSquares(next); c < cost {
				moved = cost-c > 1e-12*(1+cost)
				x, rows, cost = y, next, c
				damp = math.Max(damp/10, 1e-12)
				break
			}
			damp *= 10
		}
		if !moved {
			f.converged = true
			break
		}
	}
	f.theta, f.ChiSquare = x, cost
	info, _ := normal(s.jacobian(obs, m, x, len(rows)), rows)
	f.cov, _ = inverse(info)
	return f
}

// inside lists the free parameters, by their place, that may move: one that stands at an
// edge and would go beyond it holds still, and the others move without it.
func (s Series) inside(free []int, j [][]float64, rows []float64, x vector) []int {
	_, gradient := normal(j, rows)
	var out []int
	for k, p := range free {
		beyond := x
		beyond[p] -= math.Copysign(s.scale(p, x)*1e-6, gradient[k])
		if s.keep(beyond) != x {
			out = append(out, k)
		}
	}
	return out
}

// columns picks columns of a matrix.
func columns(j [][]float64, list []int) [][]float64 {
	out := make([][]float64, len(j))
	for i := range j {
		out[i] = make([]float64, len(list))
		for n, k := range list {
			out[i][n] = j[i][k]
		}
	}
	return out
}

// jacobian of the rows by the free parameters, by central differences: the closed forms
// are smooth and cheap, and agree with a fine difference to nine digits.
func (s Series) jacobian(obs []observation, m model, x vector, rows int) [][]float64 {
	j := make([][]float64, rows)
	for i := range j {
		j[i] = make([]float64, len(m.free))
	}
	for k, p := range m.free {
		h := s.scale(p, x) * 1e-5
		up, down := x, x
		up[p] += h
		down[p] -= h
		if p != pSource && p != pRate {
			down[p] = math.Max(0, down[p])
		}
		a, b := s.residuals(obs, m, up), s.residuals(obs, m, down)
		for i := range a {
			j[i][k] = (a[i] - b[i]) / (up[p] - down[p])
		}
	}
	return j
}

// scale is the size of a parameter, for differences.
func (s Series) scale(p int, x vector) float64 {
	least := map[int]float64{pStart: 1e-3, pVolume: 1, pSource: 1e-3, pRatio: 1e-2, pRate: 1, pClean: 1e-3 * s.VolumeL}[p]
	return math.Max(math.Abs(x[p]), least)
}

// bounded is a standard error that can be printed: where the arithmetic overflows, nothing
// is known, which is as good as the largest level that is taken.
func bounded(se float64) float64 {
	if !(se <= maxUgL) {
		return maxUgL
	}
	return se
}

// describe fills the fields a reader wants from the vector.
func (f *Fit) describe() {
	se := map[int]float64{}
	for k, p := range f.free {
		if f.cov != nil {
			se[p] = bounded(math.Sqrt(math.Max(0, f.cov[k][k])))
		}
	}
	x := f.theta
	f.Start, f.VolumeL = Fitted{x[pStart], se[pStart]}, Fitted{x[pVolume], se[pVolume]}
	f.SourceMgH, f.CleanedLH = Fitted{x[pSource], se[pSource]}, Fitted{x[pClean], se[pClean]}
	f.Ratio = Fitted{x[pRatio], se[pRatio]}
	f.RatePerH = Fitted{math.Exp(x[pRate]), bounded(math.Exp(x[pRate]) * se[pRate])}
}

// levels predicts at points, each with its standard error from the covariance of the
// parameters.
func (s Series) levels(f Fit, points []point) []Fitted {
	out := make([]Fitted, len(points))
	for i, c := range s.predict(f.theta, points) {
		out[i].Value = math.Max(0, c)
	}
	if f.cov == nil {
		return out
	}
	gradient := make([][]float64, len(f.free))
	for k, p := range f.free {
		h := s.scale(p, f.theta) * 1e-5
		up, down := f.theta, f.theta
		up[p] += h
		down[p] -= h
		if p != pSource && p != pRate {
			down[p] = math.Max(0, down[p])
		}
		a, b := s.predict(up, points), s.predict(down, points)
		gradient[k] = make([]float64, len(points))
		for i := range a {
			gradient[k][i] = (a[i] - b[i]) / (up[p] - down[p])
		}
	}
	for i := range points {
		v := 0.0
		for a := range gradient {
			for b := range gradient {
				v += gradient[a][i] * f.cov[a][b] * gradient[b][i]
			}
		}
		out[i].SE = bounded(math.Sqrt(math.Max(0, v)))
	}
	return out
}
