package units

import (
	"errors"
	"fmt"
	"slices"
	"strings"
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

// amount is a number as it is written, and the unit behind it, "" for none.
type amount struct{ number, unit string }

// split separates a number from the unit behind it and refuses spellings that
// other readers would take for another number. s is the part of the text at a place.
func (w writing) split(s string, at int) (amount, error) {
	end := 0
	for end < len(s) && (s[end] >= '0' && s[end] <= '9' || s[end] == '.' || s[end] == ',' || s[end] == '_' || end == 0 && (s[end] == '-' || s[end] == '+')) {
		end++
	}
	number, name := s[:end], strings.TrimSpace(s[end:])
	if w.dim == PerHour && strings.HasPrefix(name, "1/") {
		name = name[1:]
	}
	digits := strings.TrimLeft(number[:min(1, len(number))], "-+") + number[min(1, len(number)):]
	switch {
	case digits == "" || !strings.ContainsAny(digits, "0123456789"):
		return amount{}, w.refuse("%q does not begin with a number")
	case digits == "0" && (strings.HasPrefix(name, "x") || strings.HasPrefix(name, "X")):
		return amount{}, w.refuse("%q is not a plain decimal number")
	case strings.Contains(number, "_"):
		return amount{}, w.refuse("%q has an underscore in the number", w.with(at, number, strings.ReplaceAll(number, "_", "")))
	case strings.Contains(number, ","):
		return amount{}, w.refuse("%q has a comma", w.spelled(s, at, number)...)
	case strings.Count(digits, ".") > 1:
		return amount{}, w.refuse("%q is not a plain decimal number", w.spelled(s, at, number)...)
	case len(digits) > 1 && digits[0] == '0' && digits[1] != '.':
		return amount{}, w.refuse("%q has a leading zero", w.with(at+len(number)-len(digits), digits, whole(strings.TrimLeft(digits, "0"))))
	case strings.HasPrefix(digits, ".") || strings.HasSuffix(digits, "."):
		return amount{}, w.refuse("%q is not a plain decimal number", w.with(at, number, strings.Replace(number, digits, whole(strings.TrimSuffix(digits, ".")), 1)))
	case exponent(name):
		return amount{}, w.refuse("%q uses an exponent", w.writtenOut(at, number, name)...)
	}
	return amount{strings.TrimPrefix(number, "+"), name}, nil
}
