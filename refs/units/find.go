package units

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/shopspring/decimal"

	"tidehold/refs"
)

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
