package units

import "math"

// Rounding is how a number is brought to a precision a keeper can measure: what
// is needed rounds Up, what is on hand rounds Down.
type Rounding int

// The three roundings. Nearest is half away from zero.
const (
	Nearest Rounding = iota
	Up
	Down
)

// To rounds x to a multiple of step. A value within 1e-9 of a step counts as on
// it, so that 12.000000000001 does not round up to 13.
func (r Rounding) To(x, step float64) float64 {
	n := x / step
	whole := math.Round(n)
	if math.Abs(n-whole) < 1e-9*math.Max(1, math.Abs(n)) {
		return whole * step
	}
	switch r {
	case Up:
		whole = math.Ceil(n)
	case Down:
		whole = math.Floor(n)
	}
	return whole * step
}

// band is a rounding step that holds below a limit.
type band struct{ below, step float64 }

// stepped rounds x by the first band it falls in and prints it with the unit.
func stepped(x float64, r Rounding, name string, bands ...band) string {
	if x == 0 {
		return "0 " + name
	}
	rounded, decimals := bandOf(x, r, bands)
	return Fixed(rounded, decimals) + " " + name
}

// bandOf is x rounded by the first band that it falls in, and the decimals of that band. What
// is rounded up to the end of its band is shown as the next one shows it: 20 L, not 20.0 L.
func bandOf(x float64, r Rounding, bands []band) (rounded float64, decimals int) {
	for _, b := range bands {
		if x >= b.below {
			continue
		}
		rounded = r.To(x, b.step)
		if rounded >= b.below*(1-1e-12) {
			continue
		}
		for s := b.step; decimals < 4 && math.Abs(s-math.Round(s)) > 1e-9; s *= 10 {
			decimals++
		}
		return rounded, decimals
	}
	return math.Round(x), 0
}
