package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// BandLevel is what is predicted for an hour: a level with what about 90 % of cases lie
// between. Two of one hour are before and after a change of water.
type BandLevel struct{ H, Low, Mid, High float64 }

// Sample is a result: a level with its ±.
type Sample struct {
	H, C, U float64
	// Below says that the level is at most C.
	Below bool
	// Odd marks a result that the others contradict.
	Odd bool
}

// Measured is what was predicted against what was measured.
type Measured struct {
	Head
	// Band is in order of time, from hour 0 or later; none, or two or more.
	Band    []BandLevel
	Samples []Sample
	// Target is the level to reach, 0 for none, in Unit as all levels.
	Target float64
	Unit   string
	// ChangesAtH are the hours of the changes of water.
	ChangesAtH []float64
}

// check refuses what cannot be drawn.
func (c Measured) check() error {
	if len(c.Band)+len(c.Samples) < 2 {
		return fmt.Errorf("a drawing of %d levels; at least 2 are needed", len(c.Band)+len(c.Samples))
	}
	last := 0.0
	for i, b := range c.Band {
		if !(b.H >= last && b.Low >= 0 && b.Mid >= b.Low && b.High >= b.Mid) || math.IsInf(b.High, 0) || math.IsInf(b.H, 0) {
			return fmt.Errorf("level %d of the band is %g, %g to %g, at %g h; hours may not fall, and levels are zero or more, the low one first", i+1, b.Mid, b.Low, b.High, b.H)
		}
		last = b.H
	}
	for i, s := range c.Samples {
		if !(s.H >= 0 && s.C >= 0 && s.U >= 0) || math.IsInf(s.H+s.C+s.U, 0) {
			return fmt.Errorf("result %d is %g ± %g at %g h; zero or more is allowed", i+1, s.C, s.U, s.H)
		}
	}
	if !drawable(c.Target) {
		return fmt.Errorf("a target of %g; zero or more is allowed", c.Target)
	}
	return nil
}

// lastH is the last hour drawn, and top the highest level.
func (c Measured) lastH() float64 {
	end := 1.0 / 60
	for _, b := range c.Band {
		end = math.Max(end, b.H)
	}
	for _, s := range c.Samples {
		end = math.Max(end, s.H)
	}
	return end
}

// top leaves out what is far above every result: a band may be very wide.
func (c Measured) top() float64 {
	most := c.Target
	for _, s := range c.Samples {
		most = math.Max(most, s.C+s.U)
	}
	for _, b := range c.Band {
		most = math.Max(most, b.Mid)
	}
	return most
}

// SVG draws the band hatched, its middle a line, each result a dot with its ± as a bar,
// a bound as a triangle that points down, an odd result as an open dot.
func (c Measured) SVG() (string, error) {
	if err := c.check(); err != nil {
		return "", err
	}
	s := levelScaleTo(c.lastH(), c.top())
	return c.draw(274, []hatch{thin}, func(d *canvas) {
		d.levelAxis(s)
		d.bold(left, plotTop-16, atStart, c.Unit)
		if len(c.Band) > 0 {
			d.fillPath(c.area(s), thin)
			mid := make([]Level, len(c.Band))
			for i, b := range c.Band {
				mid[i] = Level{b.H, b.Mid}
			}
			d.path(s.path(mid), 2, "")
		}
		if c.Target > 0 {
			d.line(plotLeft, s.y(c.Target), plotRight, s.y(c.Target), 1.5, neededDash)
			d.text(plotRight, s.y(c.Target)-5, atEnd, "goal "+levelText(c.Target))
		}
		for _, one := range c.Samples {
			d.sample(one, s)
		}
		d.changes(s, c.ChangesAtH)
		d.text(left, levelBottom+38, atStart, "line and hatching: predicted, 9 cases in 10;")
		d.text(left, levelBottom+38+lineGap, atStart, "dots: measured with ±; triangles below: changes")
	}), nil
}

// sample draws one result.
func (c *canvas) sample(r Sample, s levelScale) {
	x := s.x(r.H)
	if r.Below {
		c.shape(fmt.Sprintf("M%.1f %.1fl-5 -8h10z", x, s.y(r.C)+8))
		return
	}
	c.line(x, s.y(r.C+r.U), x, s.y(math.Max(0, r.C-r.U)), 1.5, "")
	fill := "currentColor"
	if r.Odd {
		fill = "Canvas"
	}
	fmt.Fprintf(&c.b, `<circle cx="%.1f" cy="%.1f" r="4" fill="%s" stroke="currentColor" stroke-width="1.5"/>`+"\n", x, s.y(r.C), fill)
}

// area is the outline of the band: along its upper edge and back along the lower.
func (c Measured) area(s levelScale) string {
	var edge []Level
	for _, l := range c.Band {
		edge = append(edge, Level{l.H, l.High})
	}
	for _, l := range slices.Backward(c.Band) {
		edge = append(edge, Level{l.H, l.Low})
	}
	return s.path(edge) + "Z"
}

// The marks of the text form.
const (
	bandMark   = '.'
	midMark    = '-'
	resultMark = 'O'
	spreadMark = '|'
	boundMark  = 'v'
	changeMark = '^'
	targetMark = '='
)

// Text draws the same in characters: width columns (at least 30), height rows (at least
// 4) of plot, with a legend.
func (c Measured) Text(width, height int) (string, error) {
	if err := c.check(); err != nil {
		return "", err
	}
	if width < 30 || height < 4 {
		return "", fmt.Errorf("a drawing of %d by %d characters; at least 30 by 4 is allowed", width, height)
	}
	const margin = 8
	cols, end := width-margin, c.lastH()
	perRow := rowStep(math.Max(c.top(), math.SmallestNonzeroFloat64), height)
	rows := max(1, int(math.Ceil(c.top()/perRow-1e-9)))
	plot := make([][]rune, rows)
	for i := range plot {
		plot[i] = []rune(strings.Repeat(" ", cols))
	}
	put := func(col, row int, r rune) {
		if row >= 0 && row < rows {
			plot[row][min(max(col, 0), cols-1)] = r
		}
	}
	column := func(h float64) int { return min(cols-1, int(h/end*float64(cols))) }
	level := func(x float64) int { return int(math.Min(x/perRow, float64(rows)-1e-9)) }
	for col := range cols {
		if c.Target > 0 {
			put(col, level(c.Target), targetMark)
		}
		if b, ok := c.at((float64(col) + 0.5) / float64(cols) * end); ok {
			for r := level(b.Low); r <= level(b.High); r++ {
				put(col, r, bandMark)
			}
			put(col, level(b.Mid), midMark)
		}
	}
	for _, s := range c.Samples {
		if s.Below {
			put(column(s.H), level(s.C), boundMark)
			continue
		}
		for r := level(math.Max(0, s.C-s.U)); r <= level(s.C+s.U); r++ {
			put(column(s.H), r, spreadMark)
		}
		put(column(s.H), level(s.C), resultMark)
	}
	return c.framed(plot, perRow, margin, cols, end), nil
}

// framed puts the axes round a plot.
func (c Measured) framed(plot [][]rune, perRow float64, margin, cols int, end float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%*s\n", margin-1, c.Unit)
	for row := len(plot) - 1; row >= 0; row-- {
		label := ""
		if (len(plot)-1-row)%2 == 0 {
			label = number(float64(row+1) * perRow)
		}
		fmt.Fprintf(&b, "%*s |%s\n", margin-2, label, strings.TrimRight(string(plot[row]), " "))
	}
	axis, labels := timeAxis(cols, end)
	marked := []rune(axis)
	for _, h := range c.ChangesAtH {
		if h <= end {
			marked[min(cols-1, int(h/end*float64(cols)))] = changeMark
		}
	}
	fmt.Fprintf(&b, "%*s +%s\n%*s  %s\n", margin-2, "0", string(marked), margin-2, "", labels)
	fmt.Fprintf(&b, "%*s%c predicted  %c 9 cases in 10  %c measured, %c its ±  %c at most  %c change", margin, "", midMark, bandMark, resultMark, spreadMark, boundMark, changeMark)
	if c.Target > 0 {
		fmt.Fprintf(&b, "  %c goal", targetMark)
	}
	return b.String() + "\n"
}

// at is the band at an hour, on the straight line between two of its levels; false
// where there is none.
func (c Measured) at(h float64) (BandLevel, bool) {
	if len(c.Band) == 0 || h < c.Band[0].H || h > c.Band[len(c.Band)-1].H {
		return BandLevel{}, false
	}
	for i := len(c.Band) - 1; i > 0; i-- {
		p, q := c.Band[i-1], c.Band[i]
		if p.H <= h && h <= q.H && q.H > p.H {
			w := (h - p.H) / (q.H - p.H)
			return BandLevel{h, p.Low + w*(q.Low-p.Low), p.Mid + w*(q.Mid-p.Mid), p.High + w*(q.High-p.High)}, true
		}
	}
	return c.Band[0], true
}
