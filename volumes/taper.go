package volumes

import (
	"fmt"
	"math"
)

// frustumBelow is the volume below level h of a round taper whose radius runs
// from r0 at 0 to r1 at height: πh/3 · (r0² + r0·r + r²), r the radius at h.
func frustumBelow(r0, r1, height, h float64) float64 {
	r := r0 + (r1-r0)*h/height
	return math.Pi * h / 3 * (r0*r0 + r0*r + r*r)
}

// leaning gives the inner half-widths of a wall of thickness w whose outer face
// runs from half-width bottom to top over height: at the inner floor (w above
// the outer one) and at the brim. A leaning wall is w/cos θ wide along the
// horizontal, θ its angle from the vertical.
func leaning(bottom, top, height, w float64) (innerBottom, innerTop float64) {
	slope := (top - bottom) / height
	across := w * math.Hypot(1, slope)
	return bottom + slope*w - across, top - across
}

// newTaperedRound is a bucket: round, straight-sided, wider at one end.
func newTaperedRound(d dims) (Shape, error) {
	height, err := d.less("height", d.wall)
	if err != nil {
		return nil, err
	}
	r0, r1 := leaning(d.value["bottom_diameter"]/2, d.value["top_diameter"]/2, d.value["height"], d.wall)
	if r0 <= 0 || r1 <= 0 {
		return nil, fmt.Errorf("%s: a wall of %s cm leaves no room inside", d.kind, number(d.wall))
	}
	return &solid{kind: d.kind, heightCm: height, below: func(h float64) float64 {
		return frustumBelow(r0, r1, height, h)
	}}, nil
}

// newTaperedRect is a trough: four flat sides, each leaning by its own amount.
// The area is quadratic in the level, so the prismoidal formula
// h/6 · (A₀ + 4A½ + A) is exact.
func newTaperedRect(d dims) (Shape, error) {
	height, err := d.less("height", d.wall)
	if err != nil {
		return nil, err
	}
	a0, a1 := leaning(d.value["bottom_length"]/2, d.value["top_length"]/2, d.value["height"], d.wall)
	b0, b1 := leaning(d.value["bottom_width"]/2, d.value["top_width"]/2, d.value["height"], d.wall)
	if min(a0, a1, b0, b1) <= 0 {
		return nil, fmt.Errorf("%s: a wall of %s cm leaves no room inside", d.kind, number(d.wall))
	}
	area := func(h float64) float64 {
		return 4 * (a0 + (a1-a0)*h/height) * (b0 + (b1-b0)*h/height)
	}
	return &solid{kind: d.kind, heightCm: height, below: func(h float64) float64 {
		return h / 6 * (area(0) + 4*area(h/2) + area(h))
	}}, nil
}

// newConeBottom is a standing cylinder on a cone that narrows to a point or, with
// bottom_diameter, to a flat outlet. height is that of the cylinder alone.
func newConeBottom(d dims) (Shape, error) {
	r, rOut := d.value["diameter"]/2, d.value["bottom_diameter"]/2
	cone, straight := d.value["cone_height"], d.value["height"]
	if rOut >= r {
		return nil, fmt.Errorf("%s: bottom_diameter %s cm is not less than diameter %s cm", d.kind, number(2*rOut), number(2*r))
	}
	if d.wall > 0 {
		// Inside, the cone's face is w/cos θ nearer the axis and the cylinder's w,
		// so that the two meet w·tan(θ/2) above the outer corner.
		tan := (r - rOut) / cone
		across := d.wall * math.Hypot(1, tan)
		meet := (across - d.wall) / tan
		floor := d.wall
		if rOut+tan*floor-across < 0 {
			floor = (across - rOut) / tan
		}
		rOut = max(0, rOut+tan*floor-across)
		r, cone, straight = r-d.wall, cone+meet-floor, straight-meet
		if r <= 0 || cone <= 0 || straight <= 0 {
			return nil, fmt.Errorf("%s: a wall of %s cm leaves no room inside", d.kind, number(d.wall))
		}
	}
	return &solid{kind: d.kind, heightCm: cone + straight, below: func(h float64) float64 {
		if h <= cone {
			return frustumBelow(rOut, r, cone, h)
		}
		return frustumBelow(rOut, r, cone, cone) + math.Pi*r*r*(h-cone)
	}}, nil
}
