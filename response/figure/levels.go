package figure

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
)

// Level is a concentration or share C at an hour. A change of water is two of them at
// one hour.
type Level struct {
	H float64 `json:"at_h"`
	C float64 `json:"level"`
}

// levelText prints a level to three digits; what no instrument would find as such.
func levelText(level float64) string {
	if level > 0 && level < 1e-4 {
		return "<0.0001"
	}
	return units.Significant(level, 3)
}

// levelBottom is the foot of a plot of levels.
const levelBottom = 204.0

// levelScale places hours and levels on a plot; mark is from one labelled level to the next.
type levelScale struct{ endH, top, mark float64 }

// levelScaleTo is a scale up to the last hour and the highest level.
func levelScaleTo(lastH, most float64) levelScale {
	mark := tidy(most/5, 1, 2, 5)
	return levelScale{lastH, mark * math.Max(1, math.Ceil(most/mark-1e-9)), mark}
}

func (s levelScale) x(h float64) float64 { return plotLeft + h/s.endH*(plotRight-plotLeft) }

// y is where a level stands; what is higher than the scale stands at its top.
func (s levelScale) y(level float64) float64 {
	return levelBottom - math.Min(level, s.top)/s.top*(levelBottom-plotTop)
}

// path is a line through levels.
func (s levelScale) path(levels []Level) string {
	var b strings.Builder
	for i, p := range levels {
		fmt.Fprintf(&b, "%c%.1f %.1f", pen(i), s.x(p.H), s.y(p.C))
	}
	return b.String()
}

// pen is the command of the i-th point of a path: move, then draw.
func pen(i int) rune {
	if i == 0 {
		return 'M'
	}
	return 'L'
}

// levelAxis draws a line for each labelled level.
func (c *canvas) levelAxis(s levelScale) {
	for n := 0; float64(n)*s.mark <= s.top*(1+1e-9); n++ {
		level := float64(n) * s.mark
		c.line(plotLeft, s.y(level), plotRight, s.y(level), 0.4, "")
		c.text(plotLeft-5, s.y(level)+4, atEnd, number(level))
	}
}

// changes draws the time axis with a triangle for each change of water.
func (c *canvas) changes(s levelScale, atH []float64) {
	for _, h := range atH {
		c.shape(fmt.Sprintf("M%.1f %.1fl-5 -9h10z", s.x(h), levelBottom))
	}
	c.hourAxis(plotLeft, plotRight, levelBottom, s.endH, 5)
}
