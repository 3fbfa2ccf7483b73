package figure

import (
	"fmt"
	"math"
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
	if !(c.Target >= 0) || math.IsInf(c.Target, 0) {
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
	mark := tidy(c.top()/5, 1, 2, 5)
	top := mark * math.Max(1, math.Ceil(c.top()/mark-1e-9))
	x := func(h float64) float64 { return plotLeft + h/c.lastH()*(plotRight-plotLeft) }
	y := func(level float64) float64 { return fallBottom - math.Min(level, top)/top*(fallBottom-plotTop) }
	return c.draw(274, []string{"thin"}, func(d *canvas) {
		for n := 0; float64(n)*mark <= top*(1+1e-9); n++ {
			d.line(plotLeft, y(float64(n)*mark), plotRight, y(float64(n)*mark), 0.4, "")
			d.text(plotLeft-5, y(float64(n)*mark)+4, atEnd, number(float64(n)*mark))
		}
		d.bold(left, plotTop-16, atStart, c.Unit)
		if len(c.Band) > 0 {
			d.fillPath(c.area(x, y), "thin")
			var mid strings.Builder
			for i, b := range c.Band {
				fmt.Fprintf(&mid, "%c%.1f %.1f", pen(i), x(b.H), y(b.Mid))
			}
			d.path(mid.String(), 2, "")
		}
		if c.Target > 0 {
			d.line(plotLeft, y(c.Target), plotRight, y(c.Target), 1.5, neededDash)
			d.text(plotRight, y(c.Target)-5, atEnd, "goal "+levelText(c.Target))
		}
		for _, s := range c.Samples {
			c.sample(d, s, x(s.H), y)
		}
		for _, h := range c.ChangesAtH {
			d.solid(fmt.Sprintf("M%.1f %.1fl-5 -9h10z", x(h), fallBottom))
		}
		d.hourAxis(plotLeft, plotRight, fallBottom, c.lastH(), 5)
		d.text(left, fallBottom+38, atStart, "line and hatching: predicted, 9 cases in 10;")
		d.text(left, fallBottom+38+lineGap, atStart, "dots: measured with ±; triangles below: changes")
	}), nil
}

// sample draws one result at x.
func (c Measured) sample(d *canvas, s Sample, x float64, y func(float64) float64) {
	if s.Below {
		d.solid(fmt.Sprintf("M%.1f %.1fl-5 -8h10z", x, y(s.C)+8))
		return
	}
	d.line(x, y(s.C+s.U), x, y(math.Max(0, s.C-s.U)), 1.5, "")
	fill := "currentColor"
	if s.Odd {
		fill = "Canvas"
	}
	fmt.Fprintf(&d.b, `<circle cx="%.1f" cy="%.1f" r="4" fill="%s" stroke="currentColor" stroke-width="1.5"/>`+"\n", x, y(s.C), fill)
}

// area is the outline of the band.
func (c Measured) area(x, y func(float64) float64) string {
	var b strings.Builder
	for i, l := range c.Band {
		fmt.Fprintf(&b, "%c%.1f %.1f", pen(i), x(l.H), y(l.High))
	}
	for i := len(c.Band) - 1; i >= 0; i-- {
		fmt.Fprintf(&b, "L%.1f %.1f", x(c.Band[i].H), y(c.Band[i].Low))
	}
	return b.String() + "Z"
}

// pen is the command of the i-th point of a path: move, then draw.
func pen(i int) rune {
	if i == 0 {
		return 'M'
	}
	return 'L'
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
