package figure

import (
	"fmt"
)

// Sign is how good an answer is, as a shape: it stands beside the word and tells it
// without colour.
type Sign int

// The signs: a ring that is closed, a triangle as for a warning, a cross, a question.
const (
	Good Sign = iota
	Late
	Bad
	Unclear
)

// mark is the sign on a terminal.
func (s Sign) mark() string { return [...]string{"o", "!", "x", "?"}[s] }

// draw draws the sign in a square of 12 around its middle.
func (s Sign) draw(c *canvas, x, y float64) {
	switch s {
	case Good:
		fmt.Fprintf(&c.b, `<circle cx="%.1f" cy="%.1f" r="5" fill="none" stroke="currentColor" stroke-width="2"/>`+"\n", x, y)
		c.path(fmt.Sprintf("M%.1f %.1fl2 2.5l4 -5", x-3, y), 1.8, "")
	case Late:
		c.path(fmt.Sprintf("M%.1f %.1fl6 11h-12z", x, y-6), 1.8, "")
		c.line(x, y-2, x, y+1.6, 1.6, "")
		c.line(x, y+2.8, x, y+4, 1.6, "")
	case Bad:
		c.path(fmt.Sprintf("M%.1f %.1fl10 10m0 -10l-10 10", x-5, y-5), 3, "")
	default:
		c.bold(x-4, y+4.5, atStart, "?")
	}
}
