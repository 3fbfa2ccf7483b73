// Package curve draws how a concentration falls over time: as SVG for a page and
// as one line of characters for a terminal. The drawing is meant to be read in
// black and white: lines differ in weight and dash, and each is named beside it.
package curve

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
)

// Point is a level at an hour. A change of water is two points at one hour.
type Point struct {
	H float64 `json:"at_h"`
	C float64 `json:"level"`
}

// Curve is one contaminant over time.
type Curve struct {
	// ID makes the names inside the SVG unique on a page that holds several;
	// letters, digits and hyphens.
	ID string
	// Title and Description are what a screen reader says.
	Title, Description string
	// Points are in order of time, from hour 0 or later; two or more, or none.
	Points []Point
	// Target is the level to reach, in the unit of the points.
	Target float64
	// Unit stands beside every level: "µg/L", "% of the start".
	Unit string
	// ChangesAtH are the hours at which water is changed, marked on the time axis.
	ChangesAtH []float64
}

// check refuses what cannot be drawn.
func (c Curve) check() error {
	if len(c.Points) < 2 {
		return fmt.Errorf("a curve of %d points; at least 2 are needed", len(c.Points))
	}
	last := 0.0
	for i, p := range c.Points {
		if !(p.H >= last && p.C >= 0) || math.IsInf(p.H, 0) || math.IsInf(p.C, 0) {
			return fmt.Errorf("point %d is %g at %g h; hours may not fall, and levels are zero or more", i+1, p.C, p.H)
		}
		last = p.H
	}
	if !(c.Target >= 0) || math.IsInf(c.Target, 0) {
		return fmt.Errorf("a target of %g; zero or more is allowed", c.Target)
	}
	return nil
}

// end is the last hour drawn; at least a minute, so that one change has a width.
func (c Curve) end() float64 { return math.Max(1.0/60, c.Points[len(c.Points)-1].H) }

// top is the highest level of the curve and its target.
func (c Curve) top() float64 {
	most := c.Target
	for _, p := range c.Points {
		most = math.Max(most, p.C)
	}
	return most
}

// at is the level at hour h: after the change where one is made then, and on the
// straight line between two points.
func (c Curve) at(h float64) float64 {
	level := c.Points[0].C
	for i, p := range c.Points {
		if p.H > h {
			if q := c.Points[max(0, i-1)]; p.H > q.H {
				level = q.C + (p.C-q.C)*(h-q.H)/(p.H-q.H)
			}
			break
		}
		level = p.C
	}
	return level
}

// blocks are the heights of a text curve, lowest first, and below is what stands
// for a level at or under the target.
var blocks = []rune("▁▂▃▄▅▆▇█")

const below = '.'

// Line draws the curve in one line of about width characters (at least 30): the
// first level, a row of blocks, the last level and the hours it takes. Heights
// are logarithmic between the target and the top, since a change takes away a
// share; a dot is a level at or under the target.
func (c Curve) Line(width int) (string, error) {
	if err := c.check(); err != nil {
		return "", err
	}
	first, last := c.Points[0].C, c.Points[len(c.Points)-1].C
	head := number(first) + " "
	tail := " " + number(last) + " " + c.Unit + " in " + units.Hours(c.Points[len(c.Points)-1].H)
	room := width - len([]rune(head)) - len([]rune(tail))
	if width < 30 || room < 4 {
		return "", fmt.Errorf("a line of %d characters; at least 30 and room for the curve are needed", width)
	}
	room = min(room, 48)
	var b strings.Builder
	b.WriteString(head)
	for i := range room {
		if i == 0 {
			b.WriteRune(c.mark(first)) // before a change made at once
			continue
		}
		// i/(room − 1) is exactly 1 at the end: the last change is shown.
		b.WriteRune(c.mark(c.at(c.end() * (float64(i) / float64(room-1)))))
	}
	b.WriteString(tail)
	return b.String(), nil
}

// number prints a level to three digits; what no instrument would find as such.
func number(level float64) string {
	if level > 0 && level < 1e-4 {
		return "<0.0001"
	}
	return units.Significant(level, 3)
}

// mark is the character of a level.
func (c Curve) mark(level float64) rune {
	top := c.top()
	if level <= c.Target*(1+1e-9) {
		return below
	}
	share := level / top
	if c.Target > 0 && top > c.Target {
		share = math.Log(level/c.Target) / math.Log(top/c.Target)
	}
	n := int(math.Ceil(share*float64(len(blocks)) - 1e-9))
	return blocks[min(max(n, 1), len(blocks))-1]
}
