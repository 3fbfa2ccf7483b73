package mixing

import (
	"errors"
	"fmt"
	"math"

	"tidehold/refs/units"
)

// ErrNoWater says that there was nothing to mix.
var ErrNoWater = errors.New("there is no water to mix: every volume is zero")

// InputError says that an amount cannot be used: what it is, the value found,
// what is allowed and, where it helps, what to do.
type InputError struct {
	What    string
	Found   string
	Allowed string
	Hint    string
}

func (e *InputError) Error() string {
	s := fmt.Sprintf("%s %s cannot be used; allowed is %s", e.What, e.Found, e.Allowed)
	if e.Hint != "" {
		s += "; " + e.Hint
	}
	return s
}

// checkVolume refuses a volume that is negative or no number.
func checkVolume(what string, v units.Litres) error {
	return checkAmount(what, float64(v), "L")
}

// checkAmount refuses an amount that is negative or no number.
func checkAmount(what string, x float64, unit string) error {
	if x >= 0 && x <= math.MaxFloat64 {
		return nil
	}
	return &InputError{What: what, Found: short(x) + " " + unit, Allowed: "zero or more " + unit}
}

// checkPositive refuses zero too.
func checkPositive(what string, x float64, unit string) error {
	if x > 0 && x <= math.MaxFloat64 {
		return nil
	}
	return &InputError{What: what, Found: short(x) + " " + unit, Allowed: "more than 0 " + unit}
}

// short prints a number for an error message: up to six significant digits.
func short(x float64) string { return units.Given(x, 6) }
