package figure

import (
	"fmt"
	"html"
	"math"
	"strings"
	"unicode/utf8"
)

// The drawing, in SVG user units.
const (
	width    = 400.0 // of every drawing on a page
	fontSize = 12.5
	lineGap  = 16.0 // from one line of text to the next
	left     = 8.0  // of labels
	right    = width - 8
)

// Head is what every drawing has.
type Head struct {
	// ID makes the names inside the SVG unique on a page that holds several;
	// letters, digits and hyphens.
	ID string
	// Title and Description are what a screen reader says.
	Title, Description string
}

// drawable says that an amount has a place in a drawing: it is zero or more, and finite.
func drawable(x float64) bool { return x >= 0 && !math.IsInf(x, 0) }

// canvas collects one drawing.
type canvas struct {
	b  strings.Builder
	id string
}

// hatch is a filling that tells areas apart without colour.
type hatch string

// The fillings: by the letters' own colour, and by patterns.
const (
	solid hatch = ""
	slant hatch = "slant"
	dots  hatch = "dots"
	thin  hatch = "thin"
)

// hatches are the tiles of the patterns.
var hatches = map[hatch]string{
	slant: `<line x1="0" y1="0" x2="0" y2="6" stroke="currentColor" stroke-width="2.4"/>`,
	dots:  `<circle cx="2" cy="2" r="1.1" fill="currentColor"/>`,
	thin:  `<line x1="0" y1="0" x2="0" y2="6" stroke="currentColor" stroke-width="0.9"/>`,
}

// draw opens the SVG, lets body fill it and closes it. fillings names the hatches
// that are used.
func (h Head) draw(height float64, fillings []hatch, body func(c *canvas)) string {
	c := &canvas{id: html.EscapeString(h.ID)}
	c.open(h, fmt.Sprintf(`viewBox="0 0 %g %.0f"`, width, height), fontSize)
	if len(fillings) > 0 {
		c.b.WriteString("<defs>")
		for _, name := range fillings {
			fmt.Fprintf(&c.b, `<pattern id="%s-%s" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">%s</pattern>`, c.id, name, hatches[name])
		}
		c.b.WriteString("</defs>\n")
	}
	body(c)
	c.b.WriteString("</svg>\n")
	return c.b.String()
}

// open begins a drawing of a size, given as the attributes that say it, with letters of
// fontSize units and the title and description for those who do not see it.
func (c *canvas) open(h Head, size string, fontSize float64) {
	fmt.Fprintf(&c.b, `<svg xmlns="http://www.w3.org/2000/svg" %s role="img" aria-labelledby="%s-title %s-desc" font-family="Verdana, 'DejaVu Sans', sans-serif" font-size="%g" fill="currentColor">`+"\n", size, c.id, c.id, fontSize)
	fmt.Fprintf(&c.b, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", c.id, html.EscapeString(h.Title), c.id, html.EscapeString(h.Description))
}

// anchor is where a text stands to its point.
type anchor string

const (
	atStart  anchor = "start"
	atMiddle anchor = "middle"
	atEnd    anchor = "end"
)

func (c *canvas) text(x, y float64, a anchor, s string) { c.styled(x, y, a, "", s) }

func (c *canvas) bold(x, y float64, a anchor, s string) {
	c.styled(x, y, a, ` font-weight="bold"`, s)
}

func (c *canvas) styled(x, y float64, a anchor, style, s string) {
	if s == "" {
		return
	}
	at := ""
	if a != atStart {
		at = fmt.Sprintf(` text-anchor="%s"`, a)
	}
	fmt.Fprintf(&c.b, `<text x="%.1f" y="%.1f"%s%s>%s</text>`+"\n", x, y, at, style, html.EscapeString(s))
}

// line draws a straight stroke; dash "" is a solid one.
func (c *canvas) line(x1, y1, x2, y2, weight float64, dash string) {
	if dash != "" {
		dash = ` stroke-dasharray="` + dash + `"`
	}
	fmt.Fprintf(&c.b, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="currentColor" stroke-width="%g"%s/>`+"\n", x1, y1, x2, y2, weight, dash)
}

// path draws a stroke along d.
func (c *canvas) path(d string, weight float64, dash string) {
	if dash != "" {
		dash = ` stroke-dasharray="` + dash + `"`
	}
	fmt.Fprintf(&c.b, `<path d="%s" fill="none" stroke="currentColor" stroke-width="%g" stroke-linejoin="round"%s/>`+"\n", d, weight, dash)
}

// shape fills d with the colour of the text.
func (c *canvas) shape(d string) { fmt.Fprintf(&c.b, `<path d="%s"/>`+"\n", d) }

// frame draws an empty rectangle.
func (c *canvas) frame(x, y, w, h, weight float64) {
	fmt.Fprintf(&c.b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="none" stroke="currentColor" stroke-width="%g"/>`+"\n", x, y, max(w, 0), h, weight)
}

// fill fills a rectangle.
func (c *canvas) fill(x, y, w, h float64, with hatch) {
	if w <= 0 || h <= 0 {
		return
	}
	paint := ""
	if with != solid {
		paint = fmt.Sprintf(` fill="url(#%s-%s)"`, c.id, with)
	}
	fmt.Fprintf(&c.b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f"%s/>`+"\n", x, y, w, h, paint)
}

// fillPath fills an area with a hatching.
func (c *canvas) fillPath(d string, with hatch) {
	fmt.Fprintf(&c.b, `<path d="%s" fill="url(#%s-%s)"/>`+"\n", d, c.id, with)
}

// letter is the mean width of a character of the fonts used, in units: Verdana's, the
// widest of them.
const letter = 0.6 * fontSize

// wide is about how wide a text is drawn.
func wide(s string) float64 { return letter * float64(utf8.RuneCountInString(s)) }

// cut shortens a text to n characters, with a mark that it was cut.
func cut(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:max(0, n-1)]) + "…"
}

// clip cuts a text to what fits in w units.
func clip(s string, w float64) string { return cut(s, int(w/letter)) }

// pad brings a text to a number of characters, or cuts it to that.
func pad(s string, n int) string {
	s = cut(s, n)
	return s + strings.Repeat(" ", n-utf8.RuneCountInString(s))
}

// bar is a row of characters: full of them solid, the rest of n light.
func bar(share float64, n int, full, rest string) string {
	k := int(min(max(share, 0), 1)*float64(n) + 0.5)
	if share > 0 && k == 0 {
		k = 1
	}
	return strings.Repeat(full, k) + strings.Repeat(rest, n-k)
}
