package chart

import (
	"fmt"
	"html"
	"strings"
)

// The drawing, in SVG user units.
const (
	svgWidth, svgHeight    = 720, 360
	plotLeft, plotRight    = 64, 700
	plotTop, plotBottom    = 20, 268
	legendTop              = 322
	fontSize, hatchSpacing = 13, 6
)

// Lines differ in dash, so that a black and white print tells them apart.
const (
	neededDash, deadlineDash = "7 4", "2 4"
	labelGrey                = "#333"
)

// SVG draws the chart as one <svg> element to be placed in a page or saved as a
// file. It has a title and a description for screen readers, and no colour: the
// water used is hatched, what is ready is grey under a solid line, what is
// needed is a heavy dashed line, the deadline a dotted one.
func (c Chart) SVG() (string, error) {
	if err := c.check(); err != nil {
		return "", err
	}
	s := scale{end: c.horizon()}
	s.per, s.unit = litresPer(c.Units)
	s.byVolume = step(c.top()/s.per, 6)
	s.top = s.byVolume * s.per
	for s.top < c.top() {
		s.top += s.byVolume * s.per
	}
	var b strings.Builder
	id := html.EscapeString(c.ID)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" role="img" aria-labelledby="%s-title %s-desc" font-family="sans-serif" font-size="%d">`+"\n", svgWidth, svgHeight, id, id, fontSize)
	fmt.Fprintf(&b, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, html.EscapeString(c.Title), id, html.EscapeString(c.Description))
	fmt.Fprintf(&b, `<defs><pattern id="%s-used" width="%d" height="%d" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="%d" height="%d" fill="#fff"/><line x1="0" y1="0" x2="0" y2="%d" stroke="#000" stroke-width="2"/></pattern></defs>`+"\n",
		id, hatchSpacing, hatchSpacing, hatchSpacing, hatchSpacing, hatchSpacing)
	fmt.Fprintf(&b, `<rect width="%d" height="%d" fill="#fff"/>`+"\n", svgWidth, svgHeight)
	s.axes(&b)
	if d := s.area(c.Available); d != "" {
		fmt.Fprintf(&b, `<path d="%s" fill="#ddd"/>`+"\n", d)
	}
	if d := s.area(c.Used); d != "" {
		fmt.Fprintf(&b, `<path d="%s" fill="url(#%s-used)" stroke="#000" stroke-width="1"/>`+"\n", d, id)
	}
	fmt.Fprintf(&b, `<path d="%s" fill="none" stroke="#000" stroke-width="1.5"/>`+"\n", s.line(c.Available))
	fmt.Fprintf(&b, `<path d="%s" fill="none" stroke="#000" stroke-width="3" stroke-dasharray="%s"/>`+"\n", s.line(c.Needed), neededDash)
	if c.WithinH > 0 {
		x := s.x(c.WithinH)
		fmt.Fprintf(&b, `<line x1="%.1f" y1="%d" x2="%.1f" y2="%d" stroke="#000" stroke-width="2" stroke-dasharray="%s"/>`+"\n", x, plotTop, x, plotBottom, deadlineDash)
		fmt.Fprintf(&b, `<text x="%.1f" y="%d" text-anchor="end" fill="%s">deadline %s h</text>`+"\n", x-4, plotTop+fontSize, labelGrey, number(c.WithinH))
	}
	legend(&b, id)
	b.WriteString("</svg>\n")
	return b.String(), nil
}

// scale places hours and litres on the drawing.
type scale struct {
	end, top      float64 // hours, litres at the edges of the plot
	per, byVolume float64 // litres in one axis unit; axis units between marks
	unit          string
}

func (s scale) x(h float64) float64 { return plotLeft + h/s.end*(plotRight-plotLeft) }
func (s scale) y(l float64) float64 { return plotBottom - l/s.top*(plotBottom-plotTop) }

// line is the path of a running total, level between its steps and cut at the
// edge of the plot.
func (s scale) line(points []Point) string {
	var b strings.Builder
	level := at(points, 0)
	fmt.Fprintf(&b, "M%.1f %.1f", s.x(0), s.y(level))
	for _, p := range points {
		if p.H <= 0 || p.H > s.end {
			continue
		}
		fmt.Fprintf(&b, "H%.1fV%.1f", s.x(p.H), s.y(p.L))
	}
	fmt.Fprintf(&b, "H%d", plotRight)
	return b.String()
}

// area is line closed along the time axis; "" when there is nothing under it.
func (s scale) area(points []Point) string {
	if at(points, s.end) == 0 {
		return ""
	}
	return fmt.Sprintf("%sV%dH%dZ", s.line(points), plotBottom, plotLeft)
}

// axes draws the frame, the marks and their labels with units.
func (s scale) axes(b *strings.Builder) {
	fmt.Fprintf(b, `<g stroke="#bbb" stroke-width="1">`)
	for l := s.byVolume * s.per; l <= s.top*(1+1e-9); l += s.byVolume * s.per {
		fmt.Fprintf(b, `<line x1="%d" y1="%.1f" x2="%d" y2="%.1f"/>`, plotLeft, s.y(l), plotRight, s.y(l))
	}
	fmt.Fprintf(b, "</g>\n"+`<g fill="%s">`, labelGrey)
	for l := 0.0; l <= s.top*(1+1e-9); l += s.byVolume * s.per {
		fmt.Fprintf(b, `<text x="%d" y="%.1f" text-anchor="end">%s</text>`, plotLeft-6, s.y(l)+4, number(l/s.per))
	}
	fmt.Fprintf(b, `<text x="%d" y="%d">%s</text>`, 8, plotTop+4, s.unit)
	for h, by := 0.0, hourStep(s.end, 9); h <= s.end; h += by {
		fmt.Fprintf(b, `<text x="%.1f" y="%d" text-anchor="middle">%s</text>`, s.x(h), plotBottom+18, number(h))
	}
	fmt.Fprintf(b, `<text x="%d" y="%d" text-anchor="end">hours after the event begins</text>`, plotRight, plotBottom+38)
	fmt.Fprintf(b, "</g>\n"+`<path d="M%d %dV%dH%d" fill="none" stroke="#000"/>`+"\n", plotLeft, plotTop, plotBottom, plotRight)
}

// legend names each line and area beside a sample of it.
func legend(b *strings.Builder, id string) {
	y := legendTop
	sample := func(x int, shape, text string) {
		fmt.Fprintf(b, `%s<text x="%d" y="%d">%s</text>`+"\n", shape, x+32, y+11, text)
	}
	sample(plotLeft, fmt.Sprintf(`<rect x="%d" y="%d" width="26" height="13" fill="url(#%s-used)" stroke="#000"/>`, plotLeft, y, id), "used by the plan")
	sample(plotLeft+210, fmt.Sprintf(`<rect x="%d" y="%d" width="26" height="13" fill="#ddd" stroke="#000" stroke-width="1.5"/>`, plotLeft+210, y), "ready to use")
	sample(plotLeft+390, fmt.Sprintf(`<line x1="%d" y1="%d" x2="%d" y2="%d" stroke="#000" stroke-width="3" stroke-dasharray="%s"/>`, plotLeft+390, y+7, plotLeft+416, y+7, neededDash), "needed, were all of it ready")
}
