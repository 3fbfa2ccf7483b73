package units

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/shopspring/decimal"

	"tidehold/refs"
)

// writing is a text being read as a quantity. depth counts how often a spelling was
// tried again with one slip mended.
type writing struct {
	text  string
	dim   Dimension
	depth int
}

// mostSlips is how many slips of one text are mended for a hint.
const mostSlips = 4

// refuse builds an *Error that offers those of the candidates that can be read; of one
// with another slip, what is offered for that.
func (w writing) refuse(found string, candidates ...string) *Error {
	e := fault(w.dim, fmt.Sprintf(found, w.text), "")
	for _, c := range candidates {
		for _, fix := range w.mended(c) {
			if !slices.Contains(e.Fixes, fix) {
				e.Fixes = append(e.Fixes, fix)
			}
		}
	}
	if len(e.Fixes) > 0 {
		e.Hint = "write " + strings.Join(e.Fixes, " or ")
	}
	return e
}

// mended gives the spellings that a candidate leads to: itself if it can be read.
func (w writing) mended(candidate string) []string {
	if w.depth >= mostSlips || candidate == w.text {
		return nil
	}
	_, err := parse(writing{text: candidate, dim: w.dim, depth: w.depth + 1})
	if err == nil {
		return []string{candidate}
	}
	var e *Error
	if errors.As(err, &e) {
		return e.Fixes
	}
	return nil
}

// with is the text with the number at a place replaced; behind a number that had
// no unit nothing is added.
func (w writing) with(at int, number, replacement string) string {
	return w.text[:at] + replacement + w.text[at+len(number):]
}

// split separates a number from the unit behind it and refuses spellings that
// other readers would take for another number. s is the part of the text at a place.
func (w writing) split(s string, at int) (number, name string, err error) {
	end := 0
	for end < len(s) && (s[end] >= '0' && s[end] <= '9' || s[end] == '.' || s[end] == ',' || s[end] == '_' || end == 0 && (s[end] == '-' || s[end] == '+')) {
		end++
	}
	number, name = s[:end], strings.TrimSpace(s[end:])
	if w.dim == PerHour && strings.HasPrefix(name, "1/") {
		name = name[1:]
	}
	digits := strings.TrimLeft(number[:min(1, len(number))], "-+") + number[min(1, len(number)):]
	switch {
	case digits == "" || !strings.ContainsAny(digits, "0123456789"):
		return "", "", w.refuse("%q does not begin with a number")
	case digits == "0" && (strings.HasPrefix(name, "x") || strings.HasPrefix(name, "X")):
		return "", "", w.refuse("%q is not a plain decimal number")
	case strings.Contains(number, "_"):
		return "", "", w.refuse("%q has an underscore in the number", w.with(at, number, strings.ReplaceAll(number, "_", "")))
	case strings.Contains(number, ","):
		return "", "", w.refuse("%q has a comma", w.spelled(s, at, number)...)
	case strings.Count(digits, ".") > 1:
		return "", "", w.refuse("%q is not a plain decimal number", w.spelled(s, at, number)...)
	case len(digits) > 1 && digits[0] == '0' && digits[1] != '.':
		return "", "", w.refuse("%q has a leading zero", w.with(at+len(number)-len(digits), digits, whole(strings.TrimLeft(digits, "0"))))
	case strings.HasPrefix(digits, ".") || strings.HasSuffix(digits, "."):
		return "", "", w.refuse("%q is not a plain decimal number", w.with(at, number, strings.Replace(number, digits, whole(strings.TrimSuffix(digits, ".")), 1)))
	case exponent(name):
		return "", "", w.refuse("%q uses an exponent", w.writtenOut(at, number, name)...)
	}
	return strings.TrimPrefix(number, "+"), name, nil
}

// writtenOut is the text with a number such as 4e2 as 400; none for exponents of more
// than one digit, which no keeper means.
func (w writing) writtenOut(at int, number, name string) []string {
	digits := strings.TrimLeft(name[1:min(3, len(name))], "+-")
	size := 0
	for size < len(digits) && digits[size] >= '0' && digits[size] <= '9' {
		size++
	}
	end := at + len(number) + strings.Index(name, digits) + size
	if size != 1 || end > len(w.text) || end < len(w.text) && w.text[end] >= '0' && w.text[end] <= '9' {
		return nil
	}
	shift := int32(digits[0] - '0')
	if name[1] == '-' {
		shift = -shift
	}
	x, err := decimal.NewFromString(strings.TrimPrefix(number, "+"))
	if err != nil {
		return nil
	}
	return []string{w.text[:at] + plainly(x.Shift(shift).String(), w.dim) + w.text[end:]}
}

// whole puts a digit before the point.
func whole(digits string) string {
	if digits == "" || digits[0] == '.' {
		return "0" + digits
	}
	return digits
}

// spelled is the text once for each way its number can be read.
func (w writing) spelled(s string, at int, number string) []string {
	sign := ""
	if strings.HasPrefix(number, "-") {
		sign = "-"
	}
	var out []string
	for _, r := range readings(strings.TrimLeft(number, "-+")) {
		spelled := sign + plainly(r, w.dim)
		// 12.3450 stands for 12.345, which could be 12345 again.
		out = append(out, w.with(at+strings.Index(s, number), number, spelled))
	}
	return out
}

// readings are the numbers that digits with points and commas can mean: one of the
// two marks decimals, the other groups thousands.
func readings(digits string) []string {
	var out []string
	for _, marks := range []struct{ point, group string }{{",", "."}, {".", ","}} {
		before, after, has := strings.Cut(digits, marks.point)
		if strings.Contains(after, marks.point) || strings.Contains(after, marks.group) || has && after == "" {
			continue
		}
		if !grouped(before, marks.group) {
			continue
		}
		r := strings.ReplaceAll(before, marks.group, "")
		if has {
			r += "." + after
		}
		out = append(out, whole(r))
	}
	// The one with decimals is the smaller: it goes first.
	slices.SortFunc(out, func(a, b string) int { return len(strings.SplitN(a, ".", 2)[0]) - len(strings.SplitN(b, ".", 2)[0]) })
	return out
}

// grouped says that the groups of a number have three digits each, the first one to three
// and no leading zero; a number without groups is one.
func grouped(number, mark string) bool {
	groups := strings.Split(number, mark)
	if len(groups) == 1 {
		return true
	}
	for i, g := range groups {
		if len(g) != 3 && (i > 0 || len(g) == 0 || len(g) > 3) || i == 0 && g[0] == '0' {
			return false
		}
	}
	return true
}

// plainly spells a number so that it has one reading: without the zeros that end it,
// and with one more where it is a volume of three decimals.
func plainly(number string, d Dimension) string {
	if strings.Contains(number, ".") {
		number = strings.TrimSuffix(strings.TrimRight(number, "0"), ".")
	}
	if d == Volume && ambiguous(number) {
		number += "0"
	}
	return number
}

// ambiguous says that a point in a number may mark its decimals or group its
// thousands: 1.000 is 1 or 1000, while 0.500 and 1234.500 have one reading.
func ambiguous(number string) bool {
	return strings.Contains(number, ".") && grouped(number, ".")
}

// twoReadings says that a volume has exactly three decimals and nothing else tells what
// is meant. Cubic metres do: their three decimals are litres.
func (w writing) twoReadings(number string, un unit) bool {
	return w.dim == Volume && ambiguous(number) && un.factor != "1000"
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
func (w writing) find(name, number, tail string) (unit, error) {
	d, text := w.dim, w.text
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
		return unit{}, w.refuse("%q has no unit", withUnit(number, tail, d)...)
	}
	if other, ok := dimensionOf(name); ok {
		return unit{}, fault(d, fmt.Sprintf("%q is %s", text, An(other)), "")
	}
	if joined := strings.Map(noBlank, text); name[0] >= '0' && name[0] <= '9' && joined != text {
		return unit{}, w.refuse("%q has a blank in the number", joined)
	}
	var all []string
	for _, un := range dim.units {
		all = append(all, un.names...)
	}
	if near, ok := refs.Nearest(short(name), all); ok && near != "" {
		i, j := strings.Index(text, name), strings.LastIndex(text, name)
		e := w.refuse("%q has the unknown unit "+strings.ReplaceAll(fmt.Sprintf("%q", name), "%", "%%"), w.with(i, name, near), w.with(j, name, near))
		e.Hint = strings.Replace(e.Hint, "write ", "did you mean ", 1) + "?"
		return unit{}, e
	}
	return unit{}, fault(d, fmt.Sprintf("%q has the unknown unit %q", text, name), "")
}

// likely are the two units that a bare number of a dimension most often stands in:
// one alone would be taken for the right one.
var likely = map[Dimension][2]string{
	Volume: {"L", "gal"}, Mass: {"kg", "g"}, Length: {"cm", "in"}, Area: {"m2", "ft2"}, Temperature: {"C", "F"}, TempStep: {"C", "F"},
	Duration: {"h", "d"}, Flow: {"L/h", "gal/h"}, Concentration: {"mg/L", "ug/L"}, Alkalinity: {"dKH", "meq/L"}, Dose: {"g/L", "lb/gal"},
}

// withUnit are the ways a number without a unit may have been meant; tail is its ±.
func withUnit(number, tail string, d Dimension) []string {
	if two, ok := likely[d]; ok {
		number = plainly(number, d)
		return []string{number + " " + two[0] + tail, number + " " + two[1] + tail}
	}
	if d == Share {
		// 0.45 is a fraction: 45 %.
		if x, err := decimal.NewFromString(number); err == nil && x.IsPositive() && x.LessThanOrEqual(decimal.NewFromInt(1)) {
			number = x.Shift(2).String()
		}
	}
	return []string{number + " " + dimensions[d].units[0].names[0] + tail}
}

// noBlank takes blanks of every kind out.
func noBlank(r rune) rune {
	if unicode.IsSpace(r) {
		return -1
	}
	return r
}

// short keeps the comparison of a unit short.
func short(name string) string { return name[:min(len(name), 40)] }

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
	allowed := An(dim.name)
	if names := d.Units(); len(names) > 0 {
		allowed += " in " + strings.Join(names, ", ")
	}
	if dim.bare {
		allowed += " as a plain number"
		if names := d.Units(); len(names) > 0 {
			allowed = An(dim.name) + " as a plain number or with " + strings.Join(names, ", ")
		}
	}
	return &Error{Found: found, Allowed: allowed, Hint: hint}
}
