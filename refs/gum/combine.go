package gum

import (
	"fmt"
	"math"

	"tidehold/refs/units"
)

// Combination is one value from several of the same thing.
type Combination struct {
	units.Measured
	// Weights of the values, in the order given; they add up to 1.
	Weights []float64
	// BirgeRatio is the root of chi squared over its degrees of freedom.
	BirgeRatio float64
	// Consistent is false if the values differ by more than their uncertainties
	// allow; U has then been widened by the Birge ratio, and one of them is
	// probably wrong.
	Consistent bool
}

// Combine weights two or more independent values by the inverse of their variances.
//
// Errors: fewer than two values; one whose uncertainty is not above 0, so that it
// cannot be weighed against the others.
//
// Source: [gum], eq. (10) applied to the weighted mean. The widening of inconsistent
// ones is Birge's (1932, Physical Review 40, 207).
func Combine(values []units.Measured) (Combination, error) {
	if len(values) < 2 {
		return Combination{}, fmt.Errorf("combining needs two values or more, not %d", len(values))
	}
	c := Combination{Weights: make([]float64, len(values))}
	var total, weighted float64
	for i, v := range values {
		if !(v.U > 0) || math.IsInf(v.U, 1) {
			return Combination{}, fmt.Errorf("value %d has no uncertainty, so it cannot be weighed against others", i+1)
		}
		u := v.U / Coverage
		c.Weights[i] = 1 / (u * u)
		total += c.Weights[i]
		weighted += c.Weights[i] * v.Value
	}
	c.Value = weighted / total
	var chi2 float64
	for i, v := range values {
		d := v.Value - c.Value
		chi2 += c.Weights[i] * d * d
		c.Weights[i] /= total
	}
	degrees := len(values) - 1
	c.BirgeRatio = math.Sqrt(chi2 / float64(degrees))
	c.Consistent = chi2 <= chiSquared95(degrees)
	c.U = Coverage / math.Sqrt(total)
	if !c.Consistent {
		c.U *= c.BirgeRatio
	}
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
