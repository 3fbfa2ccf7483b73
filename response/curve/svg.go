package curve

import (
	"fmt"
	"html"
	"math"
	"strings"
)

// The drawing, in SVG user units.
const (
	svgWidth, svgHeight = 720, 340
	plotLeft, plotRight = 64, 690
	plotTop, plotBottom = 28, 268
	fontSize            = 13
	targetDash          = "7 4"
)

// SVG draws the curve as one <svg> element to be placed in a page or saved as a
// file. It has a title and a description for screen readers, and no colour but
// that of the text around it (black in a file): the level is a heavy solid line,
// the target a dashed one, both named on the drawing; a triangle on the time axis
// is a change of water.
func (c Curve) SVG() (string, error) {
	if err := c.check(); err != nil {
		return "", err
	}
	s := scale{end: c.end(), mark: tidy(c.top()/5, 1, 2, 5)}
	s.top = s.mark * math.Max(1, math.Ceil(c.top()/s.mark-1e-9))
	var b strings.Builder
	id := html.EscapeString(c.ID)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" role="img" aria-labelledby="%s-title %s-desc" font-family="sans-serif" font-size="%d" fill="currentColor">`+"\n", svgWidth, svgHeight, id, id, fontSize)
	fmt.Fprintf(&b, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, html.EscapeString(c.Title), id, html.EscapeString(c.Description))
	s.axes(&b, c.Unit)
	for _, h := range c.ChangesAtH {
		x := s.x(h)
		fmt.Fprintf(&b, `<path d="M%.1f %dl-5 -9h10z"/>`+"\n", x, plotBottom)
	}
	y := s.y(c.Target)
	fmt.Fprintf(&b, `<line x1="%d" y1="%.1f" x2="%d" y2="%.1f" stroke="currentColor" stroke-width="1.5" stroke-dasharray="%s"/>`+"\n", plotLeft, y, plotRight, y, targetDash)
	fmt.Fprintf(&b, `<text x="%d" y="%.1f">target %s</text>`+"\n", plotLeft+6, y-5, c.label(c.Target))
	fmt.Fprintf(&b, `<path d="%s" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linejoin="round"/>`+"\n", s.path(c.Points))
	first, last := c.Points[0], c.Points[len(c.Points)-1]
	fmt.Fprintf(&b, `<text x="%.1f" y="%d" font-weight="bold">starts at %s</text>`+"\n", s.x(first.H)+6, plotTop-10, c.label(first.C))
	fmt.Fprintf(&b, `<text x="%d" y="%d" text-anchor="end" font-weight="bold">ends at %s</text>`+"\n", plotRight, plotTop-10, c.label(last.C))
	b.WriteString("</svg>\n")
	return b.String(), nil
}

// label is a level with its unit.
func (c Curve) label(level float64) string {
	return html.EscapeString(number(level) + " " + c.Unit)
}

// scale places hours and levels on the drawing.
type scale struct{ end, top, mark float64 }

func (s scale) x(h float64) float64 { return plotLeft + h/s.end*(plotRight-plotLeft) }
func (s scale) y(c float64) float64 { return plotBottom - c/s.top*(plotBottom-plotTop) }

// path joins the points; a change is a vertical stroke.
func (s scale) path(points []Point) string {
	var b strings.Builder
	for i, p := range points {
		command := 'L'
		if i == 0 {
			command = 'M'
		}
		fmt.Fprintf(&b, "%c%.1f %.1f", command, s.x(p.H), s.y(p.C))
	}
	return b.String()
}

// axes draws the frame, the marks and their labels with units.
func (s scale) axes(b *strings.Builder, unit string) {
	b.WriteString(`<g stroke="currentColor" stroke-width="0.4">`)
	for n := 1; float64(n)*s.mark <= s.top*(1+1e-9); n++ {
		y := s.y(float64(n) * s.mark)
		fmt.Fprintf(b, `<line x1="%d" y1="%.1f" x2="%d" y2="%.1f"/>`, plotLeft, y, plotRight, y)
	}
	b.WriteString("</g>\n" + `<g>`)
	for n := 0; float64(n)*s.mark <= s.top*(1+1e-9); n++ {
		level := float64(n) * s.mark
		fmt.Fprintf(b, `<text x="%d" y="%.1f" text-anchor="end">%s</text>`, plotLeft-6, s.y(level)+4, fmt.Sprintf("%.6g", level))
	}
	fmt.Fprintf(b, `<text x="8" y="%d">%s</text>`, plotTop-12, html.EscapeString(unit))
	by := clockStep(s.end / 9)
	for n := 0; float64(n)*by <= s.end*(1+1e-9); n++ {
		h := float64(n) * by
		fmt.Fprintf(b, `<text x="%.1f" y="%d" text-anchor="middle">%s</text>`, s.x(h), plotBottom+18, fmt.Sprintf("%.4g", h))
	}
	fmt.Fprintf(b, `<text x="%d" y="%d" text-anchor="end">hours from the start; a triangle is a change of water</text>`, plotRight, plotBottom+40)
	fmt.Fprintf(b, "</g>\n"+`<path d="M%d %dV%dH%d" fill="none" stroke="currentColor"/>`+"\n", plotLeft, plotTop, plotBottom, plotRight)
}

// tidy is the smallest of the multiples of a power of ten at or above x; 1 for 0.
func tidy(x float64, multiples ...float64) float64 {
	if x <= 0 {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range multiples {
		if m*power >= x*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// clockStep is the smallest step at or above x hours that a clock or a calendar
// divides into.
func clockStep(x float64) float64 {
	for _, h := range []float64{1.0 / 60, 1.0 / 12, 0.25, 0.5, 1, 2, 3, 4, 6, 12, 24, 48, 72, 168} {
		if h >= x {
			return h
		}
	}
	return 168 * math.Ceil(x/168)
}
