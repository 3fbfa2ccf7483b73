package gum

import (
	"fmt"
	"math"
	"slices"

	"tidehold/refs/units"
)

// Coverage is the factor k between a standard and an expanded uncertainty, for a
// level of confidence of about 95 %.
//
// Source: [gum], clause 6.3.3.
const Coverage = 2

// Rectangular returns the standard uncertainty of a quantity that lies within
// ±halfWidth with equal probability, in the unit of halfWidth (zero or more).
//
// Source: [gum], eq. (7).
func Rectangular(halfWidth float64) float64 { return halfWidth / math.Sqrt(3) }

// Quadrature adds independent contributions: the root of the sum of their squares.
//
// Source: [gum], eq. (10).
func Quadrature(contributions ...float64) float64 {
	sum := 0.0
	for _, c := range contributions {
		sum += c * c
	}
	return math.Sqrt(sum)
}

// Input is one uncertain input of a calculation: its name and its value ± U.
type Input struct {
	What string
	units.Measured
}

// Named is an input.
func Named(what string, m units.Measured) Input { return Input{What: what, Measured: m} }

// Contribution is what one input adds to the uncertainty of a result.
type Contribution struct {
	// What names the input: "display length".
	What string
	// U is the expanded uncertainty that this input alone would give, in the
	// result's unit.
	U float64
}

// Result is a calculated value with its expanded uncertainty.
type Result struct {
	units.Measured
	// Budget lists every uncertain input, the largest contribution first.
	Budget []Contribution
	// Unreliable is true when an input is so uncertain that the result does not
	// follow it in a straight line, so that U understates the doubt.
	Unreliable bool
}

// A result is called unreliable when the steps up and down of an input differ by
// more than half their mean (for a difference of two readings: when it is less than
// twice its own uncertainty) and the input moves the result by 1 % or more.
const maxCurvature, minInfluence = 0.5, 0.01

// Effect is what one standard uncertainty of an input does to a result.
type Effect struct {
	// Step is half the difference between the results with the input one standard
	// uncertainty up and down, with the sign of the sensitivity.
	Step float64
	// Bend is by how much the two sides differ in size, zero or more; OneSided says
	// that the calculation exists on one side alone, whose whole difference Step is.
	Bend     float64
	OneSided bool
}

// Sensitivity moves an input one standard uncertainty up and down. f is the result
// with the input moved by an amount, and y the result with it unmoved. At an end of
// what is possible (a level at the brim) one side alone gives the step. It returns
// the error of f upwards when there is neither side.
//
// Source: [gum], 5.1.3 note 2.
func Sensitivity(y, standard float64, f func(by float64) (float64, error)) (Effect, error) {
	up, errUp := f(standard)
	down, errDown := f(-standard)
	switch {
	case errUp == nil && errDown == nil:
		return Effect{Step: (up - down) / 2, Bend: math.Abs(up - 2*y + down)}, nil
	case errUp == nil:
		return Effect{Step: up - y, OneSided: true}, nil
	case errDown == nil:
		return Effect{Step: y - down, OneSided: true}, nil
	}
	return Effect{}, errUp
}

// curved says that an effect on a result y does not follow its input in a straight
// line, and matters.
func (e Effect) curved(y float64) bool {
	step := math.Abs(e.Step)
	return e.OneSided || e.Bend > maxCurvature*step && step > minInfluence*math.Abs(y)
}

// Propagate evaluates f at the inputs and finds what the uncertainty of each does to
// it. x, as f is given it, holds the values of the inputs in their order.
//
// Errors: that of f at the inputs as they are; an uncertainty that is negative or no
// number; one so large that f has no value on either side of it.
//
// Source: [gum], eq. (10) and 5.1.3 note 2.
func Propagate(in []Input, f func(x []float64) (float64, error)) (Result, error) {
	x := make([]float64, len(in))
	for i, q := range in {
		if err := Check(q.What, q.U); err != nil {
			return Result{}, err
		}
		x[i] = q.Value
	}
	y, err := f(x)
	if err != nil {
		return Result{}, err
	}
	r := Result{Measured: units.Exact(y)}
	for i, q := range in {
		if q.U == 0 {
			continue
		}
		e, err := Sensitivity(y, q.U/Coverage, func(by float64) (float64, error) {
			x[i] = q.Value + by
			return f(x)
		})
		x[i] = q.Value
		if err != nil {
			return Result{}, TooLarge(q, err)
		}
		r.Unreliable = r.Unreliable || e.curved(y)
		r.Budget = append(r.Budget, Contribution{q.What, Coverage * math.Abs(e.Step)})
	}
	Sort(r.Budget)
	r.U = Total(r.Budget)
	return r, nil
}

// TooLarge says that an input's uncertainty leaves nothing to calculate with, and why.
func TooLarge(q Input, err error) error {
	return fmt.Errorf("the uncertainty of %s, ±%s, is too large: %w", q.What, units.Trimmed(q.U, 6), err)
}

// Check refuses an expanded uncertainty that is negative or no number.
func Check(what string, u float64) error {
	if u >= 0 && !math.IsInf(u, 1) {
		return nil
	}
	return fmt.Errorf("the uncertainty of %s is %s; 0 or more is allowed", what, units.Trimmed(u, 6))
}

// Total is the expanded uncertainty of a budget of independent contributions.
//
// Source: [gum], eq. (10).
func Total(budget []Contribution) float64 {
	all := make([]float64, len(budget))
	for i, c := range budget {
		all[i] = c.U
	}
	return Quadrature(all...)
}

// Sort puts the largest contribution first and keeps the order of equals.
func Sort(budget []Contribution) {
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
