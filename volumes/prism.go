package volumes

import (
	"fmt"
	"math"
)

// prism is any vessel with upright walls: volume is base area times level.
func prism(kind string, areaCm2, heightCm float64) Shape {
	return &solid{kind: kind, heightCm: heightCm, below: func(h float64) float64 { return areaCm2 * h }}
}

// newBox is length × width × height. A wall is on all four sides and below.
func newBox(d dims) (Shape, error) {
	length, err := d.less("length", 2*d.wall)
	if err != nil {
		return nil, err
	}
	width, err := d.less("width", 2*d.wall)
	if err != nil {
		return nil, err
	}
	height, err := d.less("height", d.wall)
	if err != nil {
		return nil, err
	}
	return prism(d.kind, length*width, height), nil
}

// newUprightCylinder is a standing cylinder with a flat floor.
func newUprightCylinder(d dims) (Shape, error) {
	diameter, err := d.less("diameter", 2*d.wall)
	if err != nil {
		return nil, err
	}
	height, err := d.less("height", d.wall)
	if err != nil {
		return nil, err
	}
	return prism(d.kind, math.Pi/4*diameter*diameter, height), nil
}

// maxSides is where a regular polygon stops being told from a circle by a ruler
// (area within 0.1 % of the circle).
const maxSides = 64

// newPolygon is a regular polygon with upright walls, given by its side or,
// with an even number of sides, by the distance between opposite flats.
// Area n/4 · f² · tan(π/n) with f = side / tan(π/n), twice the inradius.
func newPolygon(d dims) (Shape, error) {
	n := d.value["sides"]
	if n != math.Trunc(n) || n < 3 || n > maxSides {
		return nil, fmt.Errorf("%s: sides is %s; a whole number from 3 to %d is allowed", d.kind, number(n), maxSides)
	}
	slope := math.Tan(math.Pi / n)
	flats, given := d.value["across_flats"]
	if !given {
		flats = d.value["side"] / slope
	} else if math.Mod(n, 2) != 0 {
		return nil, fmt.Errorf("%s: across_flats needs an even number of sides, not %s; give side instead", d.kind, number(n))
	}
	flats -= 2 * d.wall
	if flats <= 0 {
		return nil, fmt.Errorf("%s: a wall of %s cm leaves no room between the flats", d.kind, number(d.wall))
	}
	height, err := d.less("height", d.wall)
	if err != nil {
		return nil, err
	}
	return prism(d.kind, n/4*flats*flats*slope, height), nil
}

// newBowFront is a box whose front bulges: length is the straight back, width
// the depth at the ends, bow how far the front stands out beyond that in the
// middle. The front is an arc of a circle; with a wall the inner arc has the
// same centre.
func newBowFront(d dims) (Shape, error) {
	length, width, bow := d.value["length"], d.value["width"], d.value["bow"]
	if bow > length/2 {
		return nil, fmt.Errorf("%s: bow %s cm is more than half the length, %s cm; the front would be wider than the back", d.kind, number(bow), number(length/2))
	}
	height, err := d.less("height", d.wall)
	if err != nil {
		return nil, err
	}
	if d.wall > 0 {
		half := length/2 - d.wall
		radius := (length*length/4 + bow*bow) / (2 * bow)
		centre := width + bow - radius
		inner := radius - d.wall
		if half <= 0 || inner < half {
			return nil, fmt.Errorf("%s: a wall of %s cm leaves no room inside a length of %s cm", d.kind, number(d.wall), number(length))
		}
		edge := centre + math.Sqrt(inner*inner-half*half)
		bow = width + bow - d.wall - edge
		length, width = 2*half, edge-d.wall
		if width <= 0 {
			return nil, fmt.Errorf("%s: a wall of %s cm leaves no room inside a width of %s cm", d.kind, number(d.wall), number(d.value["width"]))
		}
	}
	return prism(d.kind, length*width+segmentOnChord(length, bow), height), nil
}
