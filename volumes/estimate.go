package volumes

import (
	"fmt"
	"math"
	"slices"

	"tidehold/refs/units"
)

// Estimate is a net volume found in one way.
type Estimate struct {
	// Method is "walls", "exchange", "dose" or "salt"; "combined" for several.
	Method string
	// Volume is the net volume in litres, U its expanded uncertainty (k = 2).
	Volume, U units.Litres
	// Budget lists what each uncertain input contributes, the largest first.
	Budget []Contribution
	// Unreliable is true when an input is so uncertain that the result does not
	// follow it in a straight line, so that U understates the doubt.
	Unreliable bool
}

// Largest is the input that adds most to the uncertainty; false if none was stated.
func (e Estimate) Largest() (Contribution, bool) { return Net{Budget: e.Budget}.Largest() }

// Walls makes an estimate of a net volume built from parts.
func (n Net) Walls() Estimate {
	return Estimate{Method: "walls", Volume: n.Volume, U: n.U, Budget: n.Budget}
}

// named is one input of an estimate.
type named struct {
	what string
	Measured
}

// An estimate is called unreliable when the steps up and down of an input differ
// by more than half their mean (for a difference of two readings: when it is less
// than twice its own uncertainty) and the input matters, by 1 % of the volume.
const crooked, matters = 0.5, 0.01

// propagate evaluates f at the inputs and moves each uncertain one by its
// standard uncertainty up and down. Inputs are taken as independent.
// Source: [gum], eq. (10) and 5.1.3 note 2.
func propagate(method string, in []named, f func(x []float64) (float64, error)) (Estimate, error) {
	x := make([]float64, len(in))
	for i, q := range in {
		if !(q.U >= 0) || math.IsInf(q.U, 0) {
			return Estimate{}, fmt.Errorf("the uncertainty of %s is %s; 0 or more is allowed", q.what, number(q.U))
		}
		x[i] = q.Value
	}
	v, err := f(x)
	if err != nil {
		return Estimate{}, err
	}
	e := Estimate{Method: method, Volume: units.Litres(v)}
	var sum float64
	for i, q := range in {
		if q.U == 0 {
			continue
		}
		x[i] = q.Value + q.U/2
		up, upErr := f(x)
		x[i] = q.Value - q.U/2
		down, downErr := f(x)
		x[i] = q.Value
		var step float64
		switch {
		case upErr == nil && downErr == nil:
			step = (up - down) / 2
			bent := math.Abs(up-2*v+down) > crooked*math.Abs(step)
			e.Unreliable = e.Unreliable || bent && math.Abs(step) > matters*v
		case upErr == nil:
			step, e.Unreliable = up-v, true
		case downErr == nil:
			step, e.Unreliable = v-down, true
		default:
			return Estimate{}, fmt.Errorf("the uncertainty of %s, ±%s, is too large to tell a volume: %w", q.what, number(q.U), upErr)
		}
		u := 2 * math.Abs(step)
		e.Budget = append(e.Budget, Contribution{What: q.what, U: units.Litres(u)})
		sum += u * u
	}
	e.U = units.Litres(math.Sqrt(sum))
	sortBudget(e.Budget)
	return e, nil
}

// sortBudget puts the largest contribution first and keeps the order of equals.
func sortBudget(budget []Contribution) {
	slices.SortStableFunc(budget, func(a, b Contribution) int {
		switch {
		case a.U > b.U:
			return -1
		case a.U < b.U:
			return 1
		}
		return 0
	})
}

// Comparison sets one estimate beside another.
type Comparison struct {
	// Better is true if the estimate is less uncertain than the other.
	Better bool
	// Agree is true if the two differ by no more than their uncertainties allow.
	Agree bool
	// En is the difference over the root sum of squares of the two expanded
	// uncertainties; Agree means |En| ≤ 1. It is 0 if neither has one and they
	// are equal.
	En float64
	// Difference is the estimate less the other, litres.
	Difference units.Litres
}

// Against compares an estimate with another, usually the one from the walls.
// Unreliable estimates are never better.
// Source: [iso13528], 9.7, the En score.
func (e Estimate) Against(other Estimate) Comparison {
	c := Comparison{Difference: e.Volume - other.Volume}
	c.Better = e.U > 0 && (e.U < other.U || other.U == 0) && !e.Unreliable
	spread := math.Hypot(float64(e.U), float64(other.U))
	if spread > 0 {
		c.En = float64(c.Difference) / spread
		c.Agree = math.Abs(c.En) <= 1
	} else {
		c.Agree = c.Difference == 0
	}
	return c
}

// Combination is one volume from several estimates.
type Combination struct {
	Estimate
	// Weights of the estimates, in the order given; they add up to 1.
	Weights []float64
	// BirgeRatio is the root of chi squared over its degrees of freedom.
	BirgeRatio float64
	// Consistent is false if the estimates differ by more than their
	// uncertainties allow; U has then been widened by the Birge ratio, and one
	// of them is probably wrong.
	Consistent bool
}

// Combine weights two or more estimates by the inverse of their variances, taken
// as independent. Every estimate needs an uncertainty above 0.
// Source: [gum], eq. (10) applied to the weighted mean. The widening of
// inconsistent ones is Birge's (1932, Physical Review 40, 207).
func Combine(estimates []Estimate) (Combination, error) {
	if len(estimates) < 2 {
		return Combination{}, fmt.Errorf("combining needs two estimates or more, not %d", len(estimates))
	}
	var total, weighted float64
	c := Combination{Weights: make([]float64, len(estimates))}
	for i, e := range estimates {
		if !(e.U > 0) {
			return Combination{}, fmt.Errorf("the estimate from %s has no uncertainty, so it cannot be weighed against others", e.Method)
		}
		u := float64(e.U) / 2
		c.Weights[i] = 1 / (u * u)
		total += c.Weights[i]
		weighted += c.Weights[i] * float64(e.Volume)
		c.Unreliable = c.Unreliable || e.Unreliable
	}
	mean, u := weighted/total, 1/math.Sqrt(total)
	var chi2 float64
	for i, e := range estimates {
		d := float64(e.Volume) - mean
		chi2 += c.Weights[i] * d * d
		c.Weights[i] /= total
		c.Budget = append(c.Budget, Contribution{What: e.Method, U: units.Litres(c.Weights[i] * float64(e.U))})
	}
	sortBudget(c.Budget)
	c.BirgeRatio = math.Sqrt(chi2 / float64(len(estimates)-1))
	c.Consistent = chi2 <= chiSquared95(len(estimates)-1)
	if !c.Consistent {
		u *= c.BirgeRatio
	}
	c.Method, c.Volume, c.U = "combined", units.Litres(mean), units.Litres(2*u)
	return c, nil
}

// chiSquared95 is the 95 % point of chi squared: tabulated to ten degrees of
// freedom, by Wilson and Hilferty's cube above (within 0.1 there).
// The table is that of the NIST/SEMATECH e-Handbook, 1.3.6.7.4.
func chiSquared95(degrees int) float64 {
	table := []float64{3.841, 5.991, 7.815, 9.488, 11.070, 12.592, 14.067, 15.507, 16.919, 18.307}
	if degrees <= len(table) {
		return table[degrees-1]
	}
	n := float64(degrees)
	z := 1 - 2/(9*n) + 1.6448536*math.Sqrt(2/(9*n))
	return n * z * z * z
}
