package units

import (
	"fmt"
	"math"
	"strings"

	"github.com/shopspring/decimal"
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
	// Fixes are the spellings that Hint offers: every way the text can be read, the
	// likelier first. Parse accepts each of them.
	Fixes []string
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
func Parse(text string, d Dimension) (Quantity, error) { return parse(writing{text: text, dim: d}) }

func parse(w writing) (Quantity, error) {
	text, d := w.text, w.dim
	s := strings.TrimSpace(text)
	q := Quantity{Dim: d}
	if s == "" {
		return q, fault(d, "empty value", "")
	}
	if rest, ok := strings.CutPrefix(s, "<"); ok {
		if d != Concentration {
			return q, w.refuse("%q is a reporting limit", strings.TrimSpace(rest))
		}
		q.Below, s = true, strings.TrimSpace(rest)
	}
	if d == Gravity {
		s, q.Pair = cutPair(s)
	}
	left, right, spread := cutSpread(s)
	// One before and one behind the @ would be put together to a text nobody wrote.
	if _, _, again := cutSpread(right); again {
		return q, fault(d, fmt.Sprintf("%q has more than one ±", text), "keep one")
	}
	value, err := w.split(left, strings.Index(text, left))
	if err != nil {
		return q, err
	}
	if !spread {
		return w.alone(q, value, left)
	}
	u, err := w.split(right, strings.LastIndex(text, right))
	if err != nil {
		return q, err
	}
	if value.unit == "" && (u.unit != percent || d == Share) {
		value.unit = u.unit
	}
	return w.withSpread(q, value, u, right)
}

// percent is the unit of a ± that is a share of its value.
const percent = "%"

// alone completes q by a value without ±, which stands in the text as left.
func (w writing) alone(q Quantity, value amount, left string) (Quantity, error) {
	un, err := w.find(value.unit, value.number, "")
	if err != nil {
		return q, err
	}
	if w.twoReadings(value.number, un) {
		return q, w.refuse("%q can be read in two ways", w.spelled(left, strings.Index(w.text, left), value.number)...)
	}
	return q.fill(w, value, un)
}

// withSpread completes q by a value and its ±, which stands in the text as right: a
// percentage of the value, or an amount in a unit of its own, else the value's.
func (w writing) withSpread(q Quantity, value, u amount, right string) (Quantity, error) {
	un, err := w.find(value.unit, value.number, " ± "+right)
	if err != nil {
		return q, err
	}
	if q, err = q.fill(w, value, un); err != nil {
		return q, err
	}
	spread, err := decimal.NewFromString(u.number)
	if err != nil || spread.IsNegative() {
		return q, fault(w.dim, fmt.Sprintf("%q has no usable amount behind ±", w.text), "")
	}
	if u.unit == percent && w.dim != Share {
		q.U = math.Abs(q.Value) * spread.InexactFloat64() / 100
		return q, nil
	}
	if u.unit != "" {
		if un, err = w.find(u.unit, u.number, ""); err != nil {
			return q, err
		}
	}
	q.U = spread.Mul(decimal.RequireFromString(un.factor)).InexactFloat64()
	return q, nil
}

// fill converts a value to the base unit and checks sign and finiteness.
func (q Quantity) fill(w writing, value amount, un unit) (Quantity, error) {
	d, text := q.Dim, w.text
	raw, err := decimal.NewFromString(value.number)
	if err != nil {
		return q, fault(d, fmt.Sprintf("%q is not a number", text), "")
	}
	if raw.IsNegative() && !dimensions[d].signs {
		return q, fault(d, fmt.Sprintf("%q is negative", text), "zero or more")
	}
	q.Unit = value.unit
	q.Exact = un.toBase(raw)
	q.Value = q.Exact.InexactFloat64()
	if math.Abs(q.Value) > 1e15 {
		return q, fault(d, fmt.Sprintf("%q is too large to be %s", text, An(d.String())), "")
	}
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

// Sure returns an *Error where the ± of q is as large as q itself: such a value is not
// known at all, and a plan would have to do without it.
func (q Quantity) Sure(text string) error {
	if q.U == 0 || q.U < math.Abs(q.Value)*(1-1e-9) {
		return nil
	}
	return fault(q.Dim, fmt.Sprintf("%q has a ± as large as the value", text), "measure it, or state a ± below 100 %")
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
