package units

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

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
