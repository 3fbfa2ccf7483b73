package volumes

import (
	"fmt"
	"math"

	"tidehold/refs/gum"
	"tidehold/refs/units"
)

// Estimate is a net volume found in one way.
type Estimate struct {
	// Method is "walls", "exchange", "dose" or "salt"; "combined" for several.
	Method string
	// Volume is the net volume in litres, U its expanded uncertainty (k = 2).
	Volume, U units.Litres
	// Budget lists what each uncertain input contributes, the largest first.
	Budget []gum.Contribution
	// Unreliable is true when an input is so uncertain that the result does not
	// follow it in a straight line, so that U understates the doubt.
	Unreliable bool
}

// propagate evaluates f at the inputs with their uncertainties.
func propagate(method string, in []gum.Input, f func(x []float64) (float64, error)) (Estimate, error) {
	r, err := gum.Propagate(in, f)
	return Estimate{Method: method, Volume: units.Litres(r.Value), U: units.Litres(r.U), Budget: r.Budget, Unreliable: r.Unreliable}, err
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
// as independent (gum.Combine). Errors: fewer than two; one without an uncertainty.
func Combine(estimates []Estimate) (Combination, error) {
	values := make([]units.Measured, len(estimates))
	for i, e := range estimates {
		if !(e.U > 0) {
			return Combination{}, fmt.Errorf("the estimate from %s has no uncertainty, so it cannot be weighed against others", e.Method)
		}
		values[i] = units.Measured{Value: float64(e.Volume), U: float64(e.U)}
	}
	m, err := gum.Combine(values)
	if err != nil {
		return Combination{}, err
	}
	c := Combination{Weights: m.Weights, BirgeRatio: m.BirgeRatio, Consistent: m.Consistent}
	c.Method, c.Volume, c.U = "combined", units.Litres(m.Value), units.Litres(m.U)
	for i, e := range estimates {
		c.Unreliable = c.Unreliable || e.Unreliable
		c.Budget = append(c.Budget, gum.Contribution{What: e.Method, U: m.Weights[i] * float64(e.U)})
	}
	gum.Sort(c.Budget)
	return c, nil
}
