package figure

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
)

// Total is a running total of litres L reached at hour H after the event begins. It
// stays at L until the next one.
type Total struct {
	H float64 `json:"at_h"`
	L float64 `json:"volume_l"`
}

// Supply is one event's supply against its demand.
type Supply struct {
	Head
	// Needed is the water the event would take were all of it ready; Available
	// what there is to take; Used what the plan takes. Each begins at hour 0 or
	// later, with hours and litres that never fall.
	Needed, Available, Used []Total
	// WithinH is the deadline in hours; 0 for none.
	WithinH float64
	// Units is the system the axis is labelled in.
	Units units.System
}

// check refuses what cannot be drawn.
func (c Supply) check() error {
	for _, s := range []struct {
		name   string
		points []Total
	}{{"needed", c.Needed}, {"available", c.Available}, {"used", c.Used}} {
		last := Total{}
		for i, p := range s.points {
			if !(p.H >= last.H && p.L >= last.L) || math.IsInf(p.H, 0) || math.IsInf(p.L, 0) {
				return fmt.Errorf("%s: point %d is %g L at %g h after %g L at %g h; hours and litres may not fall", s.name, i+1, p.L, p.H, last.L, last.H)
			}
			last = p
		}
	}
	if !drawable(c.WithinH) {
		return fmt.Errorf("a deadline of %g h; zero or more is allowed", c.WithinH)
	}
	return nil
}

// totalAt is the running total at hour h.
func totalAt(points []Total, h float64) float64 {
	total := 0.0
	for _, p := range points {
		if p.H > h {
			break
		}
		total = p.L
	}
	return total
}

// horizon is the last hour shown: past the deadline and every change, by a
// twentieth so that the last step can be seen. Supply that comes long after all
// of that is cut off.
func (c Supply) horizon() float64 {
	end := c.WithinH
	for _, points := range [][]Total{c.Needed, c.Used} {
		if n := len(points); n > 0 {
			end = math.Max(end, points[n-1].H)
		}
	}
	if end == 0 {
		end = 1
	}
	return end * 1.05
}

// top is the largest total within the horizon, litres; at least one.
func (c Supply) top() float64 {
	end, most := c.horizon(), 1.0
	for _, points := range [][]Total{c.Needed, c.Available, c.Used} {
		most = math.Max(most, totalAt(points, end))
	}
	return most
}

// Where the plot lies in the drawing.
const (
	plotLeft, plotRight = 54.0, width - 12
	plotTop             = 34.0
	supplyBottom        = 214.0
	neededDash          = "7 4"
	deadlineDash        = "2 4"
)

// SVG draws the supply: the water used is hatched, what is ready but not used is
// dotted under a solid line, what is needed a heavy dashed line, the deadline a dotted
// one; each is named below.
func (c Supply) SVG() (string, error) {
	if err := c.check(); err != nil {
		return "", err
	}
	per := c.Units.LitresPer()
	_, unit := c.Units.VolumeIn(0)
	mark := tidy(c.top()/per/5, 1, 2, 5) * per
	s := supplyScale{end: c.horizon(), top: mark * math.Ceil(c.top()/mark-1e-9)}
	return c.draw(334, []hatch{slant, dots}, func(d *canvas) {
		for l := 0.0; l <= s.top*(1+1e-9); l += mark {
			d.line(plotLeft, s.y(l), plotRight, s.y(l), 0.4, "")
			d.text(plotLeft-5, s.y(l)+4, atEnd, number(l/per))
		}
		d.text(left, plotTop-16, atStart, unit)
		if totalAt(c.Available, s.end) > 0 {
			d.fillPath(s.area(c.Available), dots)
		}
		if totalAt(c.Used, s.end) > 0 {
			d.fillPath(s.area(c.Used), slant)
		}
		d.path(s.path(c.Available), 1.5, "")
		d.path(s.path(c.Needed), 3, neededDash)
		if c.WithinH > 0 {
			x := s.x(c.WithinH)
			d.line(x, plotTop-6, x, supplyBottom, 2, deadlineDash)
			d.text(x-4, plotTop-12, atEnd, "deadline "+hours(c.WithinH))
		}
		d.hourAxis(plotLeft, plotRight, supplyBottom, s.end, 5)
		d.supplyLegend(supplyBottom + 48)
	}), nil
}

// supplyLegend names each line and area beside a sample of it.
func (c *canvas) supplyLegend(y float64) {
	c.text(plotRight, y-14, atEnd, "after the event begins")
	c.fill(left, y, 26, 12, slant)
	c.frame(left, y, 26, 12, 1)
	c.text(left+34, y+11, atStart, "used by the plan")
	c.fill(left, y+22, 26, 12, dots)
	c.frame(left, y+22, 26, 12, 1.5)
	c.text(left+34, y+33, atStart, "ready to use")
	c.line(left, y+50, left+26, y+50, 3, neededDash)
	c.text(left+34, y+55, atStart, "needed, were all of it ready")
}

// supplyScale places hours and litres on the drawing.
type supplyScale struct{ end, top float64 }

func (s supplyScale) x(h float64) float64 { return plotLeft + h/s.end*(plotRight-plotLeft) }
func (s supplyScale) y(l float64) float64 { return supplyBottom - l/s.top*(supplyBottom-plotTop) }

// path is a running total, level between its steps and cut at the edge of the plot.
func (s supplyScale) path(points []Total) string {
	var b strings.Builder
	fmt.Fprintf(&b, "M%.1f %.1f", s.x(0), s.y(totalAt(points, 0)))
	for _, p := range points {
		if p.H > 0 && p.H <= s.end {
			fmt.Fprintf(&b, "H%.1fV%.1f", s.x(p.H), s.y(p.L))
		}
	}
	fmt.Fprintf(&b, "H%.1f", plotRight)
	return b.String()
}

// area is the path closed along the time axis.
func (s supplyScale) area(points []Total) string {
	return fmt.Sprintf("%sV%.1fH%.1fZ", s.path(points), supplyBottom, plotLeft)
}
