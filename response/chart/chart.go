// Package chart draws how much water an event asks for against how much there
// is, hour by hour: as SVG for a page and as plain characters for a terminal. It
// is drawn to be read in black and white: lines differ in dash and areas in
// hatching, and every one is named beside it.
package chart

import (
	"fmt"
	"math"

	"tidehold/refs/units"
)

// Point is a running total of litres L reached at hour H after the event
// begins. The total stays at L until the next point.
type Point struct {
	H float64 `json:"at_h"`
	L float64 `json:"volume_l"`
}

// Chart is one event's supply against its demand.
type Chart struct {
	// ID makes the names inside the SVG unique on a page that holds several;
	// letters, digits and hyphens.
	ID string
	// Title and Description are what a screen reader says.
	Title, Description string
	// Needed is the water the event would take were all of it ready; Available
	// what there is to take; Used what the plan takes. Each begins at hour 0 or
	// later, with hours and litres that never fall.
	Needed, Available, Used []Point
	// WithinH is the deadline in hours; 0 for none.
	WithinH float64
	// Units is the system the axis is labelled in.
	Units units.System
}

// check refuses what cannot be drawn.
func (c Chart) check() error {
	for _, s := range []struct {
		name   string
		points []Point
	}{{"needed", c.Needed}, {"available", c.Available}, {"used", c.Used}} {
		last := Point{}
		for i, p := range s.points {
			if !(p.H >= last.H && p.L >= last.L) || math.IsInf(p.H, 0) || math.IsInf(p.L, 0) {
				return fmt.Errorf("%s: point %d is %g L at %g h after %g L at %g h; hours and litres may not fall", s.name, i+1, p.L, p.H, last.L, last.H)
			}
			last = p
		}
	}
	if !(c.WithinH >= 0) || math.IsInf(c.WithinH, 0) {
		return fmt.Errorf("a deadline of %g h; zero or more is allowed", c.WithinH)
	}
	return nil
}

// at is the running total at hour h.
func at(points []Point, h float64) float64 {
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
func (c Chart) horizon() float64 {
	end := c.WithinH
	for _, points := range [][]Point{c.Needed, c.Used} {
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
func (c Chart) top() float64 {
	end, most := c.horizon(), 1.0
	for _, points := range [][]Point{c.Needed, c.Available, c.Used} {
		most = math.Max(most, at(points, end))
	}
	return most
}

// litresPer is one unit of the volume axis in litres, with the unit's name.
func litresPer(s units.System) (float64, string) {
	if s != units.US {
		return 1, "L"
	}
	gallon, err := units.Parse("1 gal", units.Volume)
	if err != nil {
		panic("the gallon is not a known unit") // a fault of the tables, not of the user
	}
	return gallon.Value, "gal"
}

// step is the distance between axis marks: the smallest of the given multiples
// of a power of ten that leaves at most n of them up to most.
func step(most float64, n int) float64 {
	power := math.Pow(10, math.Floor(math.Log10(most/float64(n))))
	for _, m := range []float64{1, 2, 5, 10} {
		if most/(m*power) <= float64(n) {
			return m * power
		}
	}
	return 20 * power
}

// hourStep is the distance between marks of the time axis: what a clock divides
// into, at most n of them.
func hourStep(most float64, n int) float64 {
	for _, h := range []float64{0.25, 0.5, 1, 2, 3, 6, 12, 24, 48, 96, 168} {
		if most/h <= float64(n) {
			return h
		}
	}
	return 168 * math.Ceil(most/168/float64(n))
}

// number prints an axis mark without needless digits.
func number(x float64) string { return fmt.Sprintf("%.6g", x) }
