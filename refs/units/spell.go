package units

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

// Within returns q when low ≤ q.Value ≤ high (base units) and an *Error that
// names the bounds otherwise. NaN fails.
func (q Quantity) Within(text string, low, high float64) (Quantity, error) {
	if q.Value >= low && q.Value <= high {
		return q, nil
	}
	base := suffix(dimensions[q.Dim].units[0].names[0])
	allowed := fmt.Sprintf("%s %s to %s%s", q.Dim, plain(low, q.Dim), plain(high, q.Dim), base)
	if own := q.InOwnUnit(high, Down); own != "" {
		allowed += fmt.Sprintf(" (%s to %s)", strings.TrimSuffix(q.InOwnUnit(low, Up), suffix(q.Unit)), own)
	}
	return q, &Error{Found: fmt.Sprintf("%q is out of range", text), Allowed: allowed, Hint: q.lostPoint(low, high)}
}

// lostPoint is the hint for a salinity such as 350, that fits with a decimal point
// before its last digit.
func (q Quantity) lostPoint(low, high float64) string {
	if tenth := q.Value / 10; q.Dim == Salinity && q.Pair == "" && q.Value >= 100 && q.Value == math.Trunc(q.Value) && tenth >= low && tenth <= high {
		return "write " + Fixed(tenth, 1) + " if the decimal point was lost"
	}
	return ""
}

// InOwnUnit prints x, in the base unit of q, with the unit that q was written in,
// to four significant digits rounded as asked. It is "" where nothing would be
// gained: q has no unit, or the one that messages use anyway.
func (q Quantity) InOwnUnit(x float64, r Rounding) string {
	const digits = 4
	for _, un := range dimensions[q.Dim].units[1:] {
		if !slices.Contains(un.names, q.Unit) {
			continue
		}
		own := un.fromBase(x)
		if own != 0 {
			own = r.To(own, math.Pow(10, math.Floor(math.Log10(math.Abs(own)))+1-digits))
		}
		return Trimmed(own, digits) + suffix(q.Unit)
	}
	return ""
}

// Respell writes q as a site file in the units of s would, to four significant
// digits. It is text, the metric spelling, wherever no other unit is customary.
func (s System) Respell(text string, q Quantity) string {
	customary := map[Dimension]string{Volume: "gal", Mass: "lb", Length: "in", Area: "ft2", Temperature: "F", TempStep: "F", Flow: "gal/h"}
	if s == US {
		if own := (Quantity{Dim: q.Dim, Unit: customary[q.Dim]}).InOwnUnit(q.Value, Nearest); own != "" {
			return own
		}
	}
	return text
}

// fromBase converts a number of the base unit into this unit.
func (un unit) fromBase(x float64) float64 {
	x /= decimal.RequireFromString(un.factor).InexactFloat64()
	if un.offset != "" {
		x += decimal.RequireFromString(un.offset).InexactFloat64()
	}
	return x
}

// plain prints a bound in the first unit of its dimension, without exponent. That
// unit is the base unit, save for shares, which are written in percent.
func plain(x float64, d Dimension) string {
	factor := decimal.RequireFromString(dimensions[d].units[0].factor)
	return decimal.NewFromFloat(x).DivRound(factor, 12).String()
}
