package site

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"tidehold/refs/units"
)

// This file writes the regular expressions of written quantities: number, unit and ±,
// with the bounds of the key as far as whole numbers show them. They may let pass what
// Load refuses, never the other way round.

// numbers is a regular expression for plain decimals from low to high, both in the unit
// of the number: no leading zero, no exponent. once keeps three decimals out, where
// they would have two readings.
func numbers(low, high float64, once bool) string {
	const any, notThree = `(\.[0-9]+)?`, `(\.([0-9]{1,2}|[0-9]{4,}))?`
	var ways []string
	if low < 0 {
		ways = append(ways, "-"+numbers(0, -low, false))
		low = 0
	}
	if low > 0 {
		ways = append(ways, `0\.[0-9]*[1-9][0-9]*`)
	} else {
		ways = append(ways, "0"+any)
	}
	// What is above the whole number of the bound is for Load to say.
	most := strconv.FormatFloat(math.Floor(high+1e-9), 'f', 0, 64)
	for _, w := range wholeUpTo(most) {
		tail := any
		if once && w.digits <= 3 {
			tail = notThree
		}
		ways = append(ways, w.pattern+tail)
	}
	return "(" + strings.Join(ways, "|") + ")"
}

// wholes is a pattern for some of the whole numbers of at most so many digits.
type wholes struct {
	pattern string
	digits  int
}

// wholeUpTo gives patterns that together are the whole numbers from 1 to most, in
// plain digits.
func wholeUpTo(most string) []wholes {
	var out []wholes
	n := len(most)
	if n > 1 {
		// Shorter numbers all fit; those of up to three digits stand apart.
		out = append(out, wholes{repeat(min(n-1, 3)), min(n-1, 3)})
		if n-1 > 3 {
			out = append(out, wholes{`[1-9][0-9]{3,` + strconv.Itoa(n-2) + `}`, n - 1})
		}
	}
	for i := range n {
		from, to := byte('0'), most[i]-1
		if i == 0 {
			from = '1'
		}
		if most[i] == '0' || from > to {
			continue
		}
		out = append(out, wholes{most[:i] + "[" + string(from) + "-" + string(to) + "]" + strings.Repeat("[0-9]", n-1-i), n})
	}
	if most != "0" {
		out = append(out, wholes{most, n})
	}
	return out
}

// repeat is the pattern of a whole number of 1 to n digits.
func repeat(n int) string { return `[1-9][0-9]{0,` + strconv.Itoa(n-1) + `}` }

// written is the regular expression of a quantity of one of the units of d, low and high in
// base units.
func (s *spec) written(d units.Dimension) string {
	if d == units.Gravity {
		return writtenGravity()
	}
	var alone, before, behind []string
	for _, u := range d.Scales() {
		low, high := u.FromBase(s.low), u.FromBase(s.high)
		plain := numbers(low, high, false)
		once := numbers(low, high, d == units.Volume && u.Names[0] != "m3")
		unit := ""
		if len(u.Names) > 0 {
			unit = `\s*` + alternatives(u.Names)
		}
		if d.Bare() && unit != "" {
			unit = "(" + unit + ")?"
		}
		alone, before = append(alone, once+unit), append(before, plain+unit)
		if !d.Bare() {
			// The unit may stand behind the uncertainty only: 640 ± 50 L.
			behind = append(behind, plain+plusMinus+decimalRule+unit)
		}
	}
	below := ""
	if d == units.Concentration && !s.noLimit {
		below = `<?\s*`
	}
	ways := append([]string{strings.Join(alone, "|"), "(" + strings.Join(before, "|") + ")" + s.spreadRule(d)}, behind...)
	return `^\s*` + below + `(` + strings.Join(ways, "|") + `)\s*$`
}

// plusMinus is ± as it may be written.
const plusMinus = `\s*(±|\+/-|\+-)\s*`

// spreadRule is the ± of a quantity: an amount, or a share, which stays below the whole
// where all of it would leave nothing known.
func (s *spec) spreadRule(d units.Dimension) string {
	share := decimalRule
	if s.spread && d != units.Concentration && d != units.Share {
		share = numbers(0, 99, false)
	}
	amount := decimalRule + `(\s*` + alternatives(d.Spellings()) + `)?`
	if len(d.Spellings()) == 0 {
		amount = decimalRule
	}
	return plusMinus + `(` + amount + `|` + share + `\s*%)`
}

// writtenGravity is a specific gravity of seawater with its pair.
func writtenGravity() string {
	number, unit := `1(\.0[0-9]*)?`, alternatives(units.Gravity.Spellings())
	spread := `(\s*(±|\+/-|\+-)\s*` + decimalRule + `\s*(` + unit + `|%)?)?`
	pair := `\s*@\s*[0-9.]+\s*°?[CF]\s*/\s*[0-9.]+\s*°?[CF]\s*`
	return `^\s*` + number + `\s*` + unit + spread + pair + spread + `\s*$`
}

func alternatives(names []string) string {
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = regexp.QuoteMeta(n)
	}
	return "(" + strings.Join(quoted, "|") + ")"
}

// decimalRule is a plain decimal: no leading zero, no sign, no exponent.
const decimalRule = `(0|[1-9][0-9]*)(\.[0-9]+)?`
