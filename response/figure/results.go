package figure

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
)

// Result is one laboratory result beside what is natural and what is asked for, in
// µg/L.
type Result struct {
	Name string
	// Word is the verdict, with its sign.
	Word string
	Sign Sign
	// Value with its ±; Below says that it is a reporting limit.
	Value, U float64
	Below    bool
	// Natural and Criterion are nil where there is none.
	Natural, Criterion *float64
}

// Results are results on lines of their own.
type Results struct {
	Head
	List []Result
}

// check refuses what cannot be drawn.
func (r Results) check() error {
	for _, x := range r.List {
		for _, v := range []*float64{&x.Value, &x.U, x.Natural, x.Criterion} {
			if v != nil && !drawable(*v) {
				return fmt.Errorf("%s: %g; zero or more is allowed", x.Name, *v)
			}
		}
	}
	return nil
}

// without is the span of a line, as a factor, where natural or criterion is unknown.
const without = 100

// scale is the line of one result: natural stands at n, the criterion at k.
func (r Result) scale(n, k float64) logScale {
	low, high := 0.0, 0.0
	if r.Natural != nil {
		low = *r.Natural
	}
	if r.Criterion != nil {
		high = *r.Criterion
	}
	switch {
	case low <= 0 && high <= 0:
		low, high = r.Value/10, r.Value*10
	case low <= 0:
		low = high / without
	case high <= low:
		high = low * without
	}
	if !(high > low) || low <= 0 {
		low, high = 1, without
	}
	// The line goes on as far to the left and right as half of what lies between.
	f := math.Pow(high/low, 0.35)
	return logScale{low / f, high * f, n - 0.35*(k-n), k + 0.35*(k-n)}
}

// value says the result in words.
func (r Result) value() string {
	s := units.Dissolved(r.Value)
	if r.Below {
		return "below " + s
	}
	return s
}

// SVG draws each result on a logarithmic line of its own, natural always at one place
// and the criterion at another: what lies to the right of the bar is too high. A
// diamond is the result, a line through it its ±; an arrow says that it lies beyond.
func (r Results) SVG() (string, error) {
	if err := r.check(); err != nil {
		return "", err
	}
	const row, natural, criterion = 50.0, 116.0, 284.0
	foot := float64(len(r.List)) * row
	return r.draw(foot+28, nil, func(c *canvas) {
		for i, x := range r.List {
			y := float64(i) * row
			x.Sign.draw(c, 16, y+12)
			word := strings.ToUpper(x.Word)
			c.bold(30, y+16, atStart, clip(x.Name+" "+x.value(), right-40-wide(word)*1.15))
			c.bold(right, y+16, atEnd, word)
			c.result(x, y+36, x.scale(natural, criterion), natural, criterion)
		}
		c.text(natural, foot+16, atMiddle, "natural")
		c.text(criterion, foot+16, atMiddle, "criterion")
	}), nil
}

// result draws one line at y.
func (c *canvas) result(r Result, y float64, s logScale, natural, criterion float64) {
	c.line(s.x1, y, s.x2, y, 1, "")
	if r.Natural != nil {
		fmt.Fprintf(&c.b, `<circle cx="%.1f" cy="%.1f" r="4" fill="none" stroke="currentColor" stroke-width="1.5"/>`+"\n", natural, y)
		c.text(natural-8, y-6, atEnd, units.Significant(*r.Natural, 2))
	}
	if r.Criterion != nil {
		c.line(criterion, y-9, criterion, y+9, 3, "")
		c.text(criterion+6, y-6, atStart, units.Significant(*r.Criterion, 2))
	}
	at := s.at(r.Value)
	if r.U > 0 {
		c.line(s.at(r.Value-r.U), y, s.at(r.Value+r.U), y, 3, "")
	}
	switch {
	case r.Value > s.high:
		c.shape(fmt.Sprintf("M%.1f %.1fl-10 -6v12z", at+8, y))
	case r.Below:
		c.shape(fmt.Sprintf("M%.1f %.1fl9 -6v12z", at-9, y))
	default:
		c.shape(fmt.Sprintf("M%.1f %.1fl6 6l-6 6l-6 -6z", at, y-6))
	}
}
