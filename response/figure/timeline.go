package figure

import (
	"fmt"
	"math"
	"strings"
)

// SpanKind is what goes on in a vat.
type SpanKind int

// The kinds, in the order of the legend.
const (
	Mixing SpanKind = iota
	Warming
	Ready
	Drawn
)

// kinds are how each looks: its word, its filling and its character. What is ready is an
// empty frame.
var kinds = [...]struct {
	word string
	with hatch
	mark rune
}{
	Mixing:  {"mixing", slant, '~'},
	Warming: {"warming", thin, '^'},
	Ready:   {"ready", solid, '='},
	Drawn:   {"drawn", solid, '#'},
}

// Span is something that goes on from one hour to another.
type Span struct {
	FromH, ToH float64
	Kind       SpanKind
}

// Lane is one vat over the hours.
type Lane struct {
	Name  string
	Spans []Span
}

// Change is a change of water in the system: number, beginning and end.
type Change struct {
	N           int
	AtH, UntilH float64
}

// Timeline is a plan as lanes.
type Timeline struct {
	Head
	Lanes   []Lane
	Changes []Change
	// Nights are hours in which people sleep, from and to.
	Nights [][2]float64
	// WithinH is the time allowed; 0 for none.
	WithinH float64
}

// check refuses what cannot be drawn.
func (t Timeline) check() error {
	bad := func(from, to float64) bool { return !(from >= 0 && to >= from) || math.IsInf(to, 0) }
	for _, l := range t.Lanes {
		for _, s := range l.Spans {
			if bad(s.FromH, s.ToH) {
				return fmt.Errorf("lane %s: from %g h to %g h; hours from 0, that do not run back", l.Name, s.FromH, s.ToH)
			}
		}
	}
	for _, c := range t.Changes {
		if bad(c.AtH, c.UntilH) {
			return fmt.Errorf("change %d: from %g h to %g h; hours from 0, that do not run back", c.N, c.AtH, c.UntilH)
		}
	}
	if bad(0, t.WithinH) {
		return fmt.Errorf("a deadline of %g h; zero or more is allowed", t.WithinH)
	}
	return nil
}

// lastH is the last hour drawn, a little past all that happens; at least an hour.
func (t Timeline) lastH() float64 {
	last := math.Max(1, t.WithinH)
	for _, c := range t.Changes {
		last = math.Max(last, c.UntilH)
	}
	for _, l := range t.Lanes {
		for _, s := range l.Spans {
			if s.Kind != Ready {
				last = math.Max(last, s.ToH)
			}
		}
	}
	return last * 1.03
}

// The lanes lie between these.
const (
	laneLeft, laneRight = 86.0, width - 12
	laneHigh            = 26.0
	laneTop             = 40.0
)

// SVG draws the changes as numbered triangles above a lane for each vat, with the
// nights as bands behind them.
func (t Timeline) SVG() (string, error) {
	if err := t.check(); err != nil {
		return "", err
	}
	last := t.lastH()
	x := func(h float64) float64 { return laneLeft + math.Min(h, last)/last*(laneRight-laneLeft) }
	bottom := laneTop + laneHigh*float64(len(t.Lanes))
	return t.draw(bottom+84, []hatch{slant, thin, dots}, func(c *canvas) {
		for _, n := range t.Nights {
			if n[0] < last {
				c.fill(x(n[0]), laneTop-6, x(n[1])-x(n[0]), bottom-laneTop+6, dots)
			}
		}
		c.text(left, laneTop-12, atStart, "changes")
		t.changes(c, x)
		for i, l := range t.Lanes {
			y := laneTop + laneHigh*float64(i)
			c.text(left, y+16, atStart, clip(l.Name, laneLeft-left-4))
			for _, s := range l.Spans {
				c.span(x(s.FromH), x(s.ToH), y+4, laneHigh-8, s.Kind)
			}
		}
		if t.WithinH > 0 {
			c.line(x(t.WithinH), laneTop-24, x(t.WithinH), bottom, 2, deadlineDash)
		}
		c.hourAxis(laneLeft, laneRight, bottom+2, last, 5)
		t.legend(c, bottom+36)
	}), nil
}

// changes draws a triangle for each change; a number where there is room beside the
// last one that has one.
func (t Timeline) changes(c *canvas, x func(float64) float64) {
	free := 0.0
	for _, ch := range t.Changes {
		at := x(ch.AtH)
		c.shape(fmt.Sprintf("M%.1f %.1fl-4.5 -8h9z", at, laneTop-8))
		label := fmt.Sprint(ch.N)
		if at-wide(label)/2 >= free && at+wide(label)/2 <= width {
			c.text(at, laneTop-20, atMiddle, label)
			free = at + wide(label)/2 + 4
		}
	}
}

// span draws one stretch of a lane; what is over in a moment is still seen.
func (c *canvas) span(x1, x2, y, h float64, kind SpanKind) {
	w := math.Max(x2-x1, 2.5)
	switch kind {
	case Ready:
		c.frame(x1, y+h/2-3, w, 6, 1)
	case Drawn:
		c.fill(x1, y, w, h, kinds[kind].with)
	default:
		c.fill(x1, y, w, h, kinds[kind].with)
		c.frame(x1, y, w, h, 0.8)
	}
}

// legend names the fillings.
func (t Timeline) legend(c *canvas, y float64) {
	at := left
	for k := range kinds {
		c.span(at, at+18, y, 12, SpanKind(k))
		c.text(at+23, y+11, atStart, kinds[k].word)
		at += 34 + wide(kinds[k].word)
	}
	at = left
	if len(t.Nights) > 0 {
		c.fill(at, y+22, 18, 12, dots)
		c.text(at+23, y+33, atStart, "night")
		at += 34 + wide("night")
	}
	if t.WithinH > 0 {
		c.line(at+9, y+21, at+9, y+36, 2, deadlineDash)
		c.text(at+18, y+33, atStart, "time allowed")
	}
}

// Text draws the timeline in width characters (at least 40): one row for the changes,
// one for each vat.
func (t Timeline) Text(columns int) (string, error) {
	if err := t.check(); err != nil {
		return "", err
	}
	if columns < 40 {
		return "", fmt.Errorf("a timeline of %d characters; at least 40 are needed", columns)
	}
	name := len("changes")
	for _, l := range t.Lanes {
		name = min(16, max(name, len([]rune(l.Name))))
	}
	n, last := columns-name-2, t.lastH()
	cell := func(h float64) int { return min(n-1, int(h/last*float64(n))) }
	var out strings.Builder
	row := func(label string, cells []rune) {
		fmt.Fprintln(&out, strings.TrimRight(pad(label, name)+"  "+string(cells), " "))
	}
	row("changes", t.changeCells(n, cell))
	for _, l := range t.Lanes {
		row(l.Name, l.cells(n, last, cell))
	}
	if len(t.Nights) > 0 {
		row("night", t.nightCells(n, last, cell))
	}
	axis, labels := timeAxis(n, last)
	row("", []rune(axis))
	row("", []rune(strings.TrimRight(labels, " ")))
	var words []string
	for _, k := range kinds {
		words = append(words, string(k.mark)+" "+k.word)
	}
	row("", []rune(strings.Join(words, "  ")))
	return out.String(), nil
}

// cells are the marks of a lane in n characters up to hour last.
func (l Lane) cells(n int, last float64, cell func(h float64) int) []rune {
	cells := []rune(strings.Repeat(" ", n))
	for _, k := range []SpanKind{Ready, Warming, Mixing, Drawn} { // the later stand over the earlier
		for _, s := range l.Spans {
			if s.Kind == k && s.FromH <= last {
				for i := cell(s.FromH); i <= cell(s.ToH); i++ {
					cells[i] = kinds[k].mark
				}
			}
		}
	}
	return cells
}

// nightCells are the marks of the nights.
func (t Timeline) nightCells(n int, last float64, cell func(h float64) int) []rune {
	cells := []rune(strings.Repeat(" ", n))
	for _, night := range t.Nights {
		for i := cell(night[0]); i <= cell(night[1]) && night[0] < last; i++ {
			cells[i] = ':'
		}
	}
	return cells
}

// changeCells places the number of each change where there is room for it, a dot where
// there is none.
func (t Timeline) changeCells(n int, cell func(float64) int) []rune {
	cells := []rune(strings.Repeat(" ", n))
	for _, ch := range t.Changes {
		i, label := cell(ch.AtH), []rune(fmt.Sprint(ch.N))
		if i+len(label) > n || i > 0 && cells[i-1] != ' ' || strings.TrimSpace(string(cells[i:i+len(label)])) != "" {
			cells[i] = '.'
			continue
		}
		copy(cells[i:], label)
	}
	return cells
}
