package units

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// System is the unit system results are shown in. Computation is always in base
// units.
type System int

// The two display systems.
const (
	Metric System = iota
	US
)

// ParseSystem reads "metric" or "us".
func ParseSystem(s string) (System, error) {
	switch s {
	case "metric":
		return Metric, nil
	case "us":
		return US, nil
	}
	return Metric, &Error{Found: fmt.Sprintf("%q is not a unit system", s), Allowed: "metric or us"}
}

func (s System) String() string {
	if s == US {
		return "us"
	}
	return "metric"
}

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

// Litres per US gallon and the other factors of display, exact (NIST HB 44).
const (
	litresPerGallon = 3.785411784
	KgPerPound      = 0.45359237 // the international pound
	cmPerInch       = 2.54
)

// Volume prints litres: 10 mL steps below 1 L, 0.1 L below 20 L, whole litres
// above; in US units 0.01 gal below 1 gal, 0.1 gal below 50 gal, whole gallons
// above.
func (s System) Volume(l float64, r Rounding) string {
	if impossible(l) {
		return noNumber
	}
	own, unit, bands := s.volumeBands()
	return stepped(l/own, r, unit, bands...)
}

// volumeBands are the litres of the unit in which volumes are shown, its name, and its steps.
func (s System) volumeBands() (litres float64, name string, bands []band) {
	if s == US {
		return litresPerGallon, "gal", []band{{1, 0.01}, {50, 0.1}, {math.Inf(1), 1}}
	}
	return 1, "L", []band{{1, 0.01}, {20, 0.1}, {math.Inf(1), 1}}
}

// VolumeShown is the litres that Volume prints.
func (s System) VolumeShown(l float64, r Rounding) float64 {
	own, _, bands := s.volumeBands()
	x, _ := bandOf(l/own, r, bands)
	return x * own
}

// VolumeParts prints volumes in litres that make up a total, so that what is printed of them
// adds up to the total as Volume prints it: in the total's own step, or a finer one where a part
// is smaller than that. What the total's rounding took or gave is shared out, the largest
// remainders first.
func (s System) VolumeParts(total float64, r Rounding, parts []float64) []string {
	own, name, bands := s.volumeBands()
	shown, decimals := bandOf(total/own, r, bands)
	sum := 0.0
	for _, x := range parts {
		sum += x
	}
	out := make([]string, len(parts))
	if !(sum > 0) || impossible(sum) || !(shown > 0) {
		for i, x := range parts {
			out[i] = s.Volume(x, Nearest)
		}
		return out
	}
	const finest = 2
	for ; ; decimals++ {
		steps := math.Pow(10, float64(decimals))
		counts := sharedOut(int(math.Round(shown*steps)), parts, sum)
		if slices.Contains(counts, 0) && decimals < finest {
			continue
		}
		for i, n := range counts {
			out[i] = Fixed(float64(n)/steps, decimals) + " " + name
		}
		return out
	}
}

// sharedOut splits whole steps in the proportion of the parts, by largest remainder.
func sharedOut(steps int, parts []float64, sum float64) []int {
	counts, order, rests := make([]int, len(parts)), make([]int, len(parts)), make([]float64, len(parts))
	left := steps
	for i, x := range parts {
		exact := x / sum * float64(steps)
		counts[i], order[i] = int(exact), i
		rests[i] = exact - float64(counts[i])
		left -= counts[i]
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rests[b], rests[a]) })
	for i := range left {
		counts[order[i%len(order)]]++
	}
	return counts
}

// Mass prints kilograms: grams below 1 kg, 0.01 kg below 10 kg, 0.1 kg below 500 kg,
// whole above; in US units 0.1 oz below 1 lb, 0.05 lb below 20 lb, 0.1 lb below 100 lb, whole above.
func (s System) Mass(kg float64, r Rounding) string {
	if impossible(kg) {
		return noNumber
	}
	if s == US {
		lb := kg / KgPerPound
		if lb < 1 {
			return stepped(lb*16, r, "oz", band{math.Inf(1), 0.1})
		}
		return stepped(lb, r, "lb", band{20, 0.05}, band{100, 0.1}, band{math.Inf(1), 1})
	}
	if kg < 1 {
		return stepped(kg*1000, r, "g", band{math.Inf(1), 1})
	}
	return stepped(kg, r, "kg", band{10, 0.01}, band{500, 0.1}, band{math.Inf(1), 1})
}

// Watts prints a power in W to the whole unit, from 10 kW on in kW to a tenth: 60 kW, 12.5 kW.
func Watts(w float64) string {
	if impossible(w) {
		return noNumber
	}
	if math.Round(w) < 1e4 {
		return Fixed(w, 0) + " W"
	}
	return strings.TrimSuffix(Fixed(w/1000, 1), ".0") + " kW"
}

// PerArea prints a load on a floor in kg/m², or lb/ft², to the whole unit.
func (s System) PerArea(kgM2 float64) string {
	if impossible(kgM2) {
		return noNumber
	}
	if s == US {
		return Fixed(kgM2/KgM2PerLbFt2, 0) + " lb/ft²"
	}
	return Fixed(kgM2, 0) + " kg/m²"
}

// KgM2PerLbFt2 is the load of one pound on a square foot; a foot is twelve inches.
const KgM2PerLbFt2 = KgPerPound / (CmPerFoot * CmPerFoot) * 1e4

// Temperature prints °C or °F to 0.1.
func (s System) Temperature(c float64) string {
	if s == US {
		return Fixed(c*9/5+32, 1) + " °F"
	}
	return Fixed(c, 1) + " °C"
}

// TempStep prints a difference of temperatures to 0.1.
func (s System) TempStep(k float64) string {
	if s == US {
		return Fixed(k*9/5, 1) + " °F"
	}
	return Fixed(k, 1) + " °C"
}

// Length prints centimetres to 0.5 cm, or inches to 0.25 in: what can be read
// off a dipstick.
func (s System) Length(cm float64, r Rounding) string {
	if impossible(cm) {
		return noNumber
	}
	if s == US {
		return stepped(cm/cmPerInch, r, "in", band{math.Inf(1), 0.25})
	}
	return stepped(cm, r, "cm", band{math.Inf(1), 0.5})
}

// Flow prints litres or gallons per hour, three significant digits.
func (s System) Flow(lh float64) string {
	if impossible(lh) {
		return noNumber
	}
	if s == US {
		return Significant(lh/litresPerGallon, 3) + " gal/h"
	}
	return Significant(lh, 3) + " L/h"
}

// Dissolved prints µg/L to three significant digits, as mg/L from 1000 up.
func Dissolved(ugL float64) string {
	if impossible(ugL) {
		return noNumber
	}
	if ugL >= 999.5 {
		return Significant(ugL/1000, 3) + " mg/L"
	}
	return Significant(ugL, 3) + " µg/L"
}

// Hours prints a duration given in hours as days, hours and minutes, to the
// minute below a day and to the hour above.
func Hours(h float64) string {
	if impossible(h) || h > maxHours {
		return noNumber
	}
	minutes := int64(math.Round(h * 60))
	switch {
	case minutes < 60:
		return fmt.Sprintf("%d min", minutes)
	case minutes < 24*60:
		if m := minutes % 60; m != 0 {
			return fmt.Sprintf("%d h %d min", minutes/60, m)
		}
		return fmt.Sprintf("%d h", minutes/60)
	}
	hours := int64(math.Round(h))
	if r := hours % 24; r != 0 {
		return fmt.Sprintf("%d d %d h", hours/24, r)
	}
	return fmt.Sprintf("%d d", hours/24)
}

// HoursTo is Hours of a duration that is needed, or had: rounded the one way at the minute or
// the hour that is shown.
func HoursTo(h float64, r Rounding) string {
	if up := r.To(h, 1.0/60); up < 24 {
		return Hours(up)
	}
	return Hours(r.To(h, 1))
}

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
