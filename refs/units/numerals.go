package units

import (
	"math"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// Percent prints a fraction as a percentage with the given decimals.
func Percent(fraction float64, decimals int) string { return Fixed(fraction*100, decimals) + " %" }

// Fixed prints x with a fixed number of decimals and never prints "-0".
// What is no number is told in words, never as an amount.
func Fixed(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return noNumber
	}
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// Significant prints x to n significant digits in plain decimal notation.
func Significant(x float64, n int) string {
	switch {
	case x == 0:
		return "0"
	case math.IsNaN(x) || math.IsInf(x, 0):
		return noNumber
	}
	decimals := n - 1 - magnitude(x)
	scale := math.Pow(10, float64(decimals))
	x = math.Round(x*scale) / scale
	// 9.996 is 10.0 then: one digit more before the point is one less behind it.
	return Fixed(x, max(0, n-1-magnitude(x)))
}

// magnitude is the power of ten of the first digit: 2 for 999, 3 for 1000, where the
// logarithm of 1000 is 2.9999999999999996.
func magnitude(x float64) int {
	_, power, _ := strings.Cut(strconv.FormatFloat(x, 'e', -1, 64), "e")
	n, _ := strconv.Atoi(power) // always a number
	return n
}

// Trimmed prints x to n significant digits without the zeros that end a fraction.
func Trimmed(x float64, n int) string {
	text := Significant(x, n)
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// Entered prints litres as they were entered, in metric: to the centilitre, and below a litre
// to the millilitre. Three decimals of a litre are never printed, for they can be read as
// thousands, and are refused where they are typed.
func Entered(litres decimal.Decimal) string {
	if ml := litres.Round(3); ml.Exponent() == -3 && !ml.Equal(ml.Round(2)) && ml.LessThan(decimal.NewFromInt(1)) {
		return ml.Shift(3).String() + " mL"
	}
	return litres.Round(2).String() + " L"
}

// Given prints what was given, for a message that refuses it: x to n significant digits in
// plain decimal notation, and by its name what is no number, which only a program can give.
func Given(x float64, n int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return Trimmed(x, n)
}

// noNumber stands for what was not worked out or cannot be, maxHours bounds a duration that can
// be told in minutes.
const (
	noNumber = "unknown"
	maxHours = 1e12
)

// impossible says that there can be no such amount: it is no number, without end, or less
// than none by more than rounding leaves.
func impossible(amount float64) bool {
	return math.IsNaN(amount) || math.IsInf(amount, 0) || amount < -1e-9
}
