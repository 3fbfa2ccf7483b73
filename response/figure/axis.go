package figure

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
)

// tidy is the smallest of the multiples of a power of ten at or above x; 1 for 0.
func tidy(x float64, multiples ...float64) float64 {
	if x <= 0 {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range multiples {
		if m*power >= x*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// clockStep is the smallest step at or above x hours that a clock or a calendar
// divides into.
func clockStep(x float64) float64 {
	for _, h := range []float64{1.0 / 60, 1.0 / 12, 0.25, 0.5, 1, 2, 3, 4, 6, 12, 24, 48, 72, 168} {
		if h >= x*(1-1e-9) {
			return h
		}
	}
	return 168 * math.Ceil(x/168)
}

// number prints an axis mark without needless digits.
func number(x float64) string { return units.Given(x, 6) }

// hours prints an hour of an axis as a clock reads: 4 h, 30 min, 3 d.
func hours(h float64) string {
	switch {
	case h == 0:
		return "0"
	case h < 1:
		return fmt.Sprintf("%.3g min", h*60)
	case h >= 48 && math.Mod(h, 24) == 0:
		return number(h/24) + " d"
	}
	return number(h) + " h"
}

// hourAxis draws the time axis at y from x1 (hour 0) to x2 (hour end) with about n
// labels below.
func (c *canvas) hourAxis(x1, x2, y, end float64, n int) {
	c.line(x1, y, x2, y, 1, "")
	by := clockStep(end / float64(n))
	for i := 0; float64(i)*by <= end*(1+1e-9); i++ {
		h := float64(i) * by
		x := x1 + h/end*(x2-x1)
		c.line(x, y, x, y+4, 1, "")
		label := hours(h)
		c.text(x, y+lineGap, inside(x, label), label)
	}
}

// inside keeps a label that would be centred at x within the drawing.
func inside(x float64, label string) anchor {
	switch {
	case x+wide(label)/2 > width:
		return atEnd
	case x-wide(label)/2 < 0:
		return atStart
	}
	return atMiddle
}

// logScale places positive values between two ends on a logarithmic line.
type logScale struct{ low, high, x1, x2 float64 }

// at is where v stands; what lies outside stands at the end.
func (s logScale) at(v float64) float64 {
	if v <= s.low {
		return s.x1
	}
	if v >= s.high {
		return s.x2
	}
	return s.x1 + math.Log(v/s.low)/math.Log(s.high/s.low)*(s.x2-s.x1)
}

// timeAxis draws the line below the plot with a mark at each labelled hour. A label that would run over
// the end ends at its mark, or is left out where another stands there.
func timeAxis(cols int, end float64) (axis, labels string) {
	line := []rune(strings.Repeat("-", cols))
	text := []rune(strings.Repeat(" ", cols))
	by := clockStep(end / float64(cols/9))
	for h := 0.0; h <= end; h += by {
		i := min(cols-1, int(h/end*float64(cols)))
		line[i] = '+'
		label := []rune(hours(h))
		if i += min(0, cols-i-len(label)); i > 0 && text[i-1] != ' ' {
			continue
		}
		copy(text[i:], label)
	}
	return string(line), strings.TrimRight(string(text), " ")
}
