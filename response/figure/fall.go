package figure

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
)

// Fall is one contaminant over time.
type Fall struct {
	Head
	// Points are in order of time, from hour 0 or later; two or more, or none.
	Points []Level
	// Target is the level to reach, in the unit of the points.
	Target float64
	// Unit stands beside every level: "µg/L", "% of the start".
	Unit string
	// ChangesAtH are the hours at which water is changed, marked on the time axis.
	ChangesAtH []float64
}

// check refuses what cannot be drawn.
func (c Fall) check() error {
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
	if !drawable(c.Target) {
		return fmt.Errorf("a target of %g; zero or more is allowed", c.Target)
	}
	return nil
}

// lastH is the last hour drawn; at least a minute, so that one change has a width.
func (c Fall) lastH() float64 { return math.Max(1.0/60, c.Points[len(c.Points)-1].H) }

// top is the highest level of the curve and its target.
func (c Fall) top() float64 {
	most := c.Target
	for _, p := range c.Points {
		most = math.Max(most, p.C)
	}
	return most
}

// at is the level at hour h: after the change where one is made then, and on the
// straight line between two points.
func (c Fall) at(h float64) float64 {
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
func (c Fall) Line(width int) (string, error) {
	if err := c.check(); err != nil {
		return "", err
	}
	first, last := c.Points[0].C, c.Points[len(c.Points)-1].C
	head := levelText(first) + " "
	tail := " " + levelText(last) + " " + c.Unit + " in " + units.Hours(c.Points[len(c.Points)-1].H)
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
		b.WriteRune(c.mark(c.at(c.lastH() * (float64(i) / float64(room-1)))))
	}
	b.WriteString(tail)
	return b.String(), nil
}

// mark is the character of a level.
func (c Fall) mark(level float64) rune {
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

// SVG draws the fall: the level a heavy solid line, the target a dashed one; a
// triangle on the time axis is a change of water.
func (c Fall) SVG() (string, error) {
	if err := c.check(); err != nil {
		return "", err
	}
	s := levelScaleTo(c.lastH(), c.top())
	first, last := c.Points[0], c.Points[len(c.Points)-1]
	return c.draw(268, nil, func(d *canvas) {
		d.levelAxis(s)
		d.bold(left, plotTop-16, atStart, "from "+c.label(first.C)+" to "+c.label(last.C))
		d.line(plotLeft, s.y(c.Target), plotRight, s.y(c.Target), 1.5, neededDash)
		d.path(s.path(c.Points), 2.5, "")
		d.changes(s, c.ChangesAtH)
		d.text(plotRight, levelBottom+38, atEnd, "from the start; triangle: a change of water")
		d.line(left, levelBottom+52, left+30, levelBottom+52, 1.5, neededDash)
		d.text(left+38, levelBottom+56, atStart, "target "+c.label(c.Target))
	}), nil
}

// label is a level with its unit.
func (c Fall) label(level float64) string { return levelText(level) + " " + c.Unit }
