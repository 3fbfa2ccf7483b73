package units

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tidehold/refs"
)

// Quantity is a parsed number with its unit and uncertainty, in the base unit of
// its dimension.
type Quantity struct {
	// Value in the base unit of Dim.
	Value float64
	// Exact is Value as an exact decimal, for what is counted and added up. °F
	// and the sixtieths of an hour are rounded to 28 places.
	Exact decimal.Decimal
	// U is the expanded uncertainty (k = 2) in the base unit; 0 when not stated.
	U float64
	// Below says the text was "<x": the true value is under a reporting limit.
	Below bool
	// Unit is the unit as written, "" for a bare number.
	Unit string
	// Pair is the temperature pair behind "@" of a specific gravity, as written
	// ("60F/60F"), "" when missing.
	Pair string
	Dim  Dimension
}

// Error says what is wrong with a written quantity, what is allowed and, where
// there is one, the nearest valid spelling. The caller adds the place.
type Error struct {
	Found   string // the fault, naming the text as written
	Allowed string // what would be accepted
	Hint    string // the nearest fix, "" when there is none
}

func (e *Error) Error() string {
	s := e.Found + "; " + e.Allowed
	if e.Hint != "" {
		s += "; " + e.Hint
	}
	return s
}

// Parse reads text as a quantity of dimension d: a number, a unit (with or
// without a blank between) and optionally ± with an amount or a percentage.
// Numbers are plain decimals with a point. It returns an *Error for anything
// else; the result is always finite.
func Parse(text string, d Dimension) (Quantity, error) {
	s := strings.TrimSpace(text)
	q := Quantity{Dim: d}
	if s == "" {
		return q, fault(d, "empty value", "")
	}
	if rest, ok := strings.CutPrefix(s, "<"); ok {
		if d != Concentration {
			return q, fault(d, fmt.Sprintf("%q is a reporting limit", text), "leave out the <")
		}
		q.Below, s = true, strings.TrimSpace(rest)
	}
	if d == Gravity {
		s, q.Pair = cutPair(s)
	}
	left, right, spread := cutSpread(s)
	number, name, err := split(left, text, d)
	if err != nil {
		return q, err
	}
	var uNumber, uName string
	if spread {
		if uNumber, uName, err = split(right, text, d); err != nil {
			return q, err
		}
		if name == "" && (uName != "%" || d == Share) {
			name = uName
		}
	}
	tail := ""
	if spread {
		tail = " ± " + right
	}
	un, err := find(name, text, number, tail, d)
	if err != nil {
		return q, err
	}
	return q.fill(text, number, name, un, uNumber, uName, spread)
}

// fill converts the parts to the base unit and checks sign and finiteness.
func (q Quantity) fill(text, number, name string, un unit, uNumber, uName string, spread bool) (Quantity, error) {
	d := q.Dim
	raw, err := decimal.NewFromString(number)
	if err != nil {
		return q, fault(d, fmt.Sprintf("%q is not a number", text), "")
	}
	if raw.IsNegative() && !dimensions[d].signs {
		return q, fault(d, fmt.Sprintf("%q is negative", text), "zero or more")
	}
	q.Unit = name
	q.Exact = un.toBase(raw)
	q.Value = q.Exact.InexactFloat64()
	if math.Abs(q.Value) > 1e15 {
		return q, fault(d, fmt.Sprintf("%q is too large to be a %s", text, d), "")
	}
	if !spread {
		return q, nil
	}
	spreadRaw, err := decimal.NewFromString(uNumber)
	if err != nil || spreadRaw.IsNegative() {
		return q, fault(d, fmt.Sprintf("%q has no usable amount behind ±", text), "")
	}
	if uName == "%" && d != Share {
		q.U = math.Abs(q.Value) * spreadRaw.InexactFloat64() / 100
		return q, nil
	}
	uUnit := un
	if uName != "" {
		if uUnit, err = find(uName, text, uNumber, "", d); err != nil {
			return q, err
		}
	}
	q.U = spreadRaw.Mul(decimal.RequireFromString(uUnit.factor)).InexactFloat64()
	return q, nil
}

// toBase converts an exact number of this unit into the base unit.
func (un unit) toBase(raw decimal.Decimal) decimal.Decimal {
	if un.offset != "" {
		raw = raw.Sub(decimal.RequireFromString(un.offset))
	}
	if un.factor == "1" {
		return raw
	}
	return raw.Mul(decimal.RequireFromString(un.factor))
}

// cutPair takes "@60F/60F" off the end of a specific gravity; the uncertainty
// may stand on either side of it.
func cutPair(s string) (rest, pair string) {
	before, after, found := strings.Cut(s, "@")
	if !found {
		return s, ""
	}
	pair, spread, more := cutSpread(after)
	if more {
		before += "±" + spread
	}
	return before, strings.TrimSpace(pair)
}

// cutSpread splits at the first ±, +/- or +-.
func cutSpread(s string) (left, right string, found bool) {
	for _, mark := range []string{"±", "+/-", "+-"} {
		if l, r, ok := strings.Cut(s, mark); ok {
			return strings.TrimSpace(l), strings.TrimSpace(r), true
		}
	}
	return s, "", false
}

// split separates a number from the unit behind it and refuses spellings that
// other readers would take for another number.
func split(s, text string, d Dimension) (number, name string, err error) {
	end := 0
	for end < len(s) && (s[end] >= '0' && s[end] <= '9' || s[end] == '.' || s[end] == ',' || s[end] == '_' || end == 0 && (s[end] == '-' || s[end] == '+')) {
		end++
	}
	number, name = s[:end], strings.TrimSpace(s[end:])
	if d == PerHour && strings.HasPrefix(name, "1/") {
		name = name[1:]
	}
	digits := strings.TrimPrefix(strings.TrimPrefix(number, "-"), "+")
	behind := suffix(name)
	if name == "" && !dimensions[d].bare {
		behind = suffix(dimensions[d].units[0].names[0])
	}
	switch {
	case digits == "" || !strings.ContainsAny(digits, "0123456789"):
		return "", "", fault(d, fmt.Sprintf("%q does not begin with a number", text), "")
	case digits == "0" && (strings.HasPrefix(name, "x") || strings.HasPrefix(name, "X")):
		return "", "", fault(d, fmt.Sprintf("%q is not a plain decimal number", text), "")
	case strings.Contains(number, ","):
		return "", "", fault(d, fmt.Sprintf("%q has a comma", text), "write "+strings.Replace(number, ",", ".", 1)+behind+" if the comma is a decimal mark")
	case strings.Contains(number, "_"):
		return "", "", fault(d, fmt.Sprintf("%q has an underscore in the number", text), "write "+strings.ReplaceAll(number, "_", "")+behind)
	case len(digits) > 1 && digits[0] == '0' && digits[1] != '.':
		plain := strings.TrimLeft(digits, "0")
		if plain == "" || plain[0] == '.' {
			plain = "0" + plain
		}
		return "", "", fault(d, fmt.Sprintf("%q has a leading zero", text), "write "+plain+behind)
	case strings.HasPrefix(digits, ".") || strings.HasSuffix(digits, ".") || strings.Count(digits, ".") > 1:
		return "", "", fault(d, fmt.Sprintf("%q is not a plain decimal number", text), "write a digit on both sides of one point, as in 0.5")
	case strings.HasPrefix(number, "+"):
		number = digits
	}
	if exponent(name) {
		return "", "", fault(d, fmt.Sprintf("%q uses an exponent", text), "write the number out")
	}
	return number, name, nil
}

// exponent reports whether the text behind a number continues it as 1e3.
func exponent(name string) bool {
	if len(name) < 2 || name[0] != 'e' && name[0] != 'E' {
		return false
	}
	c := name[1]
	return c >= '0' && c <= '9' || c == '-' || c == '+'
}

func suffix(name string) string {
	if name == "" {
		return ""
	}
	return " " + name
}

// find looks a unit name up in dimension d, and says which dimension it belongs
// to when it is of another one.
func find(name, text, number, tail string, d Dimension) (unit, error) {
	dim := dimensions[d]
	if name == "" && dim.bare {
		return dim.units[0], nil
	}
	for _, un := range dim.units {
		for _, n := range un.names {
			if n == name && n != "" {
				return un, nil
			}
		}
	}
	if name == "" {
		return unit{}, fault(d, fmt.Sprintf("%q has no unit", text), "write "+withUnit(number, tail, d))
	}
	if other, ok := dimensionOf(name); ok {
		return unit{}, fault(d, fmt.Sprintf("%q is a %s", text, other), "")
	}
	var all []string
	for _, un := range dim.units {
		all = append(all, un.names...)
	}
	if near, ok := refs.Nearest(name, all); ok && near != "" {
		return unit{}, fault(d, fmt.Sprintf("%q has the unknown unit %q", text, name), "did you mean "+number+" "+near+tail)
	}
	return unit{}, fault(d, fmt.Sprintf("%q has the unknown unit %q", text, name), "")
}

// likely are the two units that a bare number of a dimension most often stands in:
// one alone would be taken for the right one.
var likely = map[Dimension][2]string{
	Volume: {"L", "gal"}, Mass: {"kg", "g"}, Length: {"cm", "in"}, Area: {"m2", "ft2"}, Temperature: {"C", "F"}, TempStep: {"C", "F"},
	Duration: {"h", "d"}, Flow: {"L/h", "gal/h"}, Concentration: {"mg/L", "ug/L"}, Alkalinity: {"dKH", "meq/L"}, Dose: {"g/L", "lb/gal"},
}

// withUnit words how a number without a unit may have been meant; tail is its ±.
func withUnit(number, tail string, d Dimension) string {
	if two, ok := likely[d]; ok {
		return number + " " + two[0] + tail + " or " + number + " " + two[1] + tail
	}
	if d == Share {
		// 0.45 is a fraction: 45 %.
		if x, err := decimal.NewFromString(number); err == nil && x.IsPositive() && x.LessThanOrEqual(decimal.NewFromInt(1)) {
			number = x.Shift(2).String()
		}
	}
	return number + " " + dimensions[d].units[0].names[0] + tail
}

// dimensionOf names a dimension in which the unit is known.
func dimensionOf(name string) (string, bool) {
	for _, dim := range dimensions {
		for _, un := range dim.units {
			for _, n := range un.names {
				if n == name && n != "" {
					return dim.name, true
				}
			}
		}
	}
	return "", false
}

// fault builds an *Error with what dimension d allows.
func fault(d Dimension, found, hint string) *Error {
	dim := dimensions[d]
	allowed := "a " + dim.name
	if names := d.Units(); len(names) > 0 {
		allowed += " in " + strings.Join(names, ", ")
	}
	if dim.bare {
		allowed += " as a plain number"
		if names := d.Units(); len(names) > 0 {
			allowed = "a " + dim.name + " as a plain number or with " + strings.Join(names, ", ")
		}
	}
	return &Error{Found: found, Allowed: allowed, Hint: hint}
}

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
