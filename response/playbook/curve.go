package playbook

import (
	"fmt"
	"strings"
)

// The drawing of the curve, in SVG user units.
const (
	curveWide, curveHigh = 640, 260
	curveLeft, curveTop  = 72, 16
	curveRight           = 620
	curveBottom          = 200
)

// CurveSVG draws the share left over time as inline SVG; "" without points. id
// makes the names inside unique on a page. Lines take the colour of the text.
func CurveSVG(points []CurvePoint, id string) string {
	if len(points) < 2 {
		return ""
	}
	end := points[len(points)-1].H * 1.05
	if end <= 0 {
		end = 1
	}
	x := func(h float64) float64 { return curveLeft + (curveRight-curveLeft)*h/end }
	y := func(left float64) float64 { return curveBottom - (curveBottom-curveTop)*left }
	var b strings.Builder
	fmt.Fprintf(&b, `<svg role="img" aria-labelledby="%s-curve" viewBox="0 0 %d %d" xmlns="http://www.w3.org/2000/svg" fill="none" stroke="currentColor" font-size="19">`, id, curveWide, curveHigh)
	fmt.Fprintf(&b, `<title id="%s-curve">Share left of what went in, falling with each change to %.0f %% after %.0f h</title>`, id, points[len(points)-1].Left*100, points[len(points)-1].H)
	for _, share := range []float64{0, 0.25, 0.5, 0.75, 1} {
		fmt.Fprintf(&b, `<path d="M%d %.1fH%d" stroke-width="0.5"/><text x="%d" y="%.1f" text-anchor="end" stroke="none" fill="currentColor">%.0f %%</text>`,
			curveLeft, y(share), curveRight, curveLeft-6, y(share)+5, share*100)
	}
	for _, h := range hourMarks(end) {
		fmt.Fprintf(&b, `<path d="M%.1f %dv5" stroke-width="1"/><text x="%.1f" y="%d" text-anchor="middle" stroke="none" fill="currentColor">%g</text>`,
			x(h), curveBottom, x(h), curveBottom+24, h)
	}
	fmt.Fprintf(&b, `<text x="%d" y="%d" text-anchor="middle" stroke="none" fill="currentColor">hours after the start; share left</text>`, (curveLeft+curveRight)/2, curveHigh-8)
	fmt.Fprintf(&b, `<path d="M%.1f %.1f`, x(points[0].H), y(points[0].Left))
	for _, p := range points[1:] {
		fmt.Fprintf(&b, "L%.1f %.1f", x(p.H), y(p.Left))
	}
	b.WriteString(`" stroke-width="3"/></svg>`)
	return b.String()
}

// hourMarks are at most eight round hours up to end.
func hourMarks(end float64) []float64 {
	step := 168.0 * 4
	for _, s := range []float64{0.25, 0.5, 1, 2, 4, 6, 12, 24, 48, 96, 168} {
		if end/s <= 8 {
			step = s
			break
		}
	}
	for end/step > 8 {
		step *= 2
	}
	var out []float64
	for h := 0.0; h <= end; h += step {
		out = append(out, h)
	}
	return out
}
