package figure

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
)

// EventBar is one event: how long it takes of the time allowed, how much water there
// is of the water it needs.
type EventBar struct {
	Name string
	// Word is the verdict, with its sign.
	Word string
	Sign Sign
	// TakenH is when it is done, hours; nil: never. AllowedH is the time allowed, 0: any.
	TakenH   *float64
	AllowedH float64
	// HaveL is what is usable, NeedL what the event takes; nil: not known.
	HaveL float64
	NeedL *float64
}

// Events are the events of a site, the worst first.
type Events struct {
	Head
	Bars  []EventBar
	Units units.System
}

// check refuses what cannot be drawn.
func (e Events) check() error {
	for _, b := range e.Bars {
		for _, x := range []*float64{b.TakenH, &b.AllowedH, &b.HaveL, b.NeedL} {
			if x != nil && !drawable(*x) {
				return fmt.Errorf("event %s: %g; zero or more is allowed", b.Name, *x)
			}
		}
	}
	return nil
}

// time says the time in words.
func (b EventBar) time() string {
	taken := "never"
	if b.TakenH != nil {
		taken = units.Hours(*b.TakenH)
	}
	if b.AllowedH == 0 {
		return taken
	}
	return taken + " of " + units.Hours(b.AllowedH)
}

// water says the water in words.
func (b EventBar) water(u units.System) string {
	have := u.Volume(b.HaveL, units.Down)
	if b.NeedL == nil {
		return have
	}
	return have + " of " + u.Volume(*b.NeedL, units.Up)
}

// shares are how full the two bars are: 1 is all that is allowed, all that is needed.
// Time above 1 is beyond the time allowed.
func (b EventBar) shares() (time, water float64) {
	switch {
	case b.TakenH == nil:
		time = math.Inf(1)
	case b.AllowedH > 0:
		time = *b.TakenH / b.AllowedH
	}
	water = 1
	if b.NeedL != nil && *b.NeedL > 0 {
		water = math.Min(1, b.HaveL / *b.NeedL)
	}
	return time, water
}

// SVG draws the events: the frame of the first bar is the time allowed, filled as far
// as time is taken and hatched beyond; that of the second the water needed, filled as
// far as there is some.
func (e Events) SVG() (string, error) {
	if err := e.check(); err != nil {
		return "", err
	}
	const row, x1, x2 = 66.0, 58.0, 232.0
	return e.draw(float64(len(e.Bars))*row+24, []hatch{slant, dots}, func(c *canvas) {
		for i, b := range e.Bars {
			y := float64(i) * row
			b.Sign.draw(c, 16, y+14)
			word := strings.ToUpper(b.Word)
			c.bold(30, y+18, atStart, clip(b.Name, right-40-wide(word)*1.15))
			c.bold(right, y+18, atEnd, word)
			time, water := b.shares()
			c.text(left, y+37, atStart, "time")
			c.timeBar(x1, x2, y+27, time)
			c.text(x2+8, y+37, atStart, b.time())
			c.text(left, y+55, atStart, "water")
			c.fill(x1, y+45, (x2-x1)*water, 12, dots)
			c.frame(x1, y+45, x2-x1, 12, 1)
			c.text(x2+8, y+55, atStart, b.water(e.Units))
		}
		c.text(left, float64(len(e.Bars))*row+14, atStart, "frame: time allowed, water needed")
	}), nil
}

// timeBar draws a time of share on the time allowed.
func (c *canvas) timeBar(x1, x2, y, share float64) {
	if share <= 1 {
		c.fill(x1, y, (x2-x1)*share, 12, solid)
		c.frame(x1, y, x2-x1, 12, 1)
		return
	}
	allowed := x1 + (x2-x1)/share // 0 wide when it is never done
	c.fill(x1, y, allowed-x1, 12, solid)
	c.fill(allowed, y, x2-allowed, 12, slant)
	c.frame(x1, y, x2-x1, 12, 1)
	c.line(allowed, y-3, allowed, y+15, 2, "")
}

// Text draws one line for each event in about width characters (at least 60).
func (e Events) Text(columns int) (string, error) {
	if err := e.check(); err != nil {
		return "", err
	}
	if columns < 60 {
		return "", fmt.Errorf("bars of %d characters; at least 60 are needed", columns)
	}
	name, words, time, water := 4, 4, 4, 4
	for _, b := range e.Bars {
		name, words = max(name, len([]rune(b.Name))), max(words, len(b.Word))
		time, water = max(time, len([]rune(b.time()))), max(water, len([]rune(b.water(e.Units))))
	}
	n := min(14, (columns-name-words-time-water-9)/2)
	if n < 4 { // the names give way to the bars
		name -= 2 * (4 - n)
		n = 4
	}
	var out strings.Builder
	for _, b := range e.Bars {
		t, w := b.shares()
		bars := bar(t, n, "█", "░")
		if t > 1 {
			bars = bar(1/t, n, "█", "▒")
		}
		fmt.Fprintf(&out, "%s %s  %s  %s %s  %s %s\n", b.Sign.mark(), pad(b.Name, max(name, 4)), pad(strings.ToUpper(b.Word), words),
			bars, pad(b.time(), time), bar(w, n, "█", "░"), b.water(e.Units))
	}
	return out.String(), nil
}
