package figure

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
)

// LimitBar is one failure and the time until it reaches a limit.
type LimitBar struct {
	// Name is the device and how it fails, Limit what it reaches, End where it ends.
	Name, Limit, End string
	// Hours to the limit; nil: not known. 0: at once.
	Hours *float64
	// Guards are marks: true for one that counts.
	Guards []bool
}

// Limits are failures by the time they leave, the soonest first.
type Limits struct {
	Head
	Bars []LimitBar
}

// The ends of the logarithmic scale of hours: a minute and a month.
const (
	soonest, latest = 1.0 / 60, 720.0
)

// check refuses what cannot be drawn.
func (l Limits) check() error {
	for _, b := range l.Bars {
		if b.Hours != nil && !drawable(*b.Hours) {
			return fmt.Errorf("%s: %g h; zero or more is allowed", b.Name, *b.Hours)
		}
	}
	return nil
}

// time says the time in words, rounded down.
func (b LimitBar) time() string {
	switch {
	case b.Hours == nil:
		return "unknown"
	case *b.Hours < soonest:
		return "at once"
	}
	return units.Hours(units.Down.To(*b.Hours, soonest))
}

// SVG draws a bar for each failure on a logarithmic scale of hours: a short bar leaves
// little time. A filled dot behind it is a guard that counts, an empty one a guard
// that does not.
func (l Limits) SVG() (string, error) {
	if err := l.check(); err != nil {
		return "", err
	}
	const row = 46.0
	s := logScale{soonest, latest, left, 330}
	foot := float64(len(l.Bars))*row + 6
	return l.draw(foot+62, nil, func(c *canvas) {
		for i, b := range l.Bars {
			y := float64(i) * row
			time := b.time()
			c.bold(left, y+14, atStart, clip(b.Name, right-left-wide(time)-12))
			c.text(right, y+14, atEnd, time)
			for _, h := range []float64{1, 24, 168} {
				c.line(s.at(h), y+18, s.at(h), y+31, 0.8, "")
			}
			if b.Hours != nil {
				c.fill(s.x1, y+20, math.Max(2, s.at(*b.Hours)-s.x1), 9, solid)
			}
			for n, counts := range b.Guards {
				c.guard(342+float64(n)*13, y+24.5, counts)
			}
			below := b.Limit
			if b.End != "" {
				below += ", ends: " + b.End
			}
			c.text(left, y+41, atStart, clip(below, right-left))
		}
		c.line(left, foot, s.x2, foot, 1, "")
		for _, m := range []struct {
			h    float64
			text string
		}{{soonest, "1 min"}, {1, "1 h"}, {24, "1 d"}, {168, "7 d"}} {
			c.line(s.at(m.h), foot, s.at(m.h), foot+4, 1, "")
			c.text(s.at(m.h), foot+lineGap+2, inside(s.at(m.h), m.text), m.text)
		}
		c.guard(left+6, foot+42, true)
		c.text(left+16, foot+46, atStart, "guard that counts")
		c.guard(left+186, foot+42, false)
		c.text(left+196, foot+46, atStart, "one that does not")
	}), nil
}

// guard draws a guard: filled when it counts.
func (c *canvas) guard(x, y float64, counts bool) {
	paint := "currentColor"
	if !counts {
		paint = "none"
	}
	fmt.Fprintf(&c.b, `<circle cx="%.1f" cy="%.1f" r="4.5" fill="%s" stroke="currentColor" stroke-width="1.5"/>`+"\n", x, y, paint)
}

// Text draws one line for each failure in about width characters (at least 60): the
// time, a bar, the name, the limit, the guards that count.
func (l Limits) Text(columns int) (string, error) {
	if err := l.check(); err != nil {
		return "", err
	}
	if columns < 60 {
		return "", fmt.Errorf("bars of %d characters; at least 60 are needed", columns)
	}
	const n = 10
	name, limit := 4, 4
	for _, b := range l.Bars {
		name, limit = max(name, len([]rune(b.Name))), max(limit, len([]rune(b.Limit)))
	}
	room := columns - 12 - n - 4 - 9
	limit = min(limit, max(10, room-name-2))
	name = min(name, room-limit-2)
	s := logScale{soonest, latest, 0, 1}
	var out strings.Builder
	for _, b := range l.Bars {
		row := strings.Repeat(" ", n)
		if b.Hours != nil {
			row = bar(math.Max(1e-9, s.at(*b.Hours)), n, "█", "░")
		}
		guards := "NO GUARD"
		if count := strings.Count(fmt.Sprint(b.Guards), "true"); count > 0 {
			guards = units.Count(count, "guard")
		}
		fmt.Fprintf(&out, "%12s  %s  %s  %s  %s\n", b.time(), row, pad(b.Name, name), pad(b.Limit, limit), guards)
	}
	return out.String(), nil
}
