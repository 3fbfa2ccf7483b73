package volumes

import "math"

// segmentArea is the area of a circular segment of height h (sagitta) in a
// circle of radius r, 0 ≤ h ≤ 2r: r²/2 · (φ − sin φ), φ = 4·asin √(h/2r).
// The usual acos form loses half its digits near h = 0; this one does not.
func segmentArea(r, h float64) float64 {
	return r * r / 2 * minusSin(4*math.Asin(math.Sqrt(h/(2*r))))
}

// segmentOnChord is the area between a chord and an arc standing out by h in
// the middle, 0 < h ≤ chord/2.
func segmentOnChord(chord, h float64) float64 {
	r := (chord*chord/4 + h*h) / (2 * h)
	return r * r / 2 * minusSin(4*math.Atan(2*h/chord))
}

// minusSin is x − sin x without cancellation for small x: the Maclaurin series
// x³/3! − x⁵/5! + … (NIST DLMF 4.19.1) below 1, the difference above.
func minusSin(x float64) float64 {
	if x >= 1 {
		return x - math.Sin(x)
	}
	term, sum := x*x*x/6, 0.0
	for n := 4.0; math.Abs(term) > 1e-17*sum; n += 2 {
		sum += term
		term *= -x * x / (n * (n + 1))
	}
	return sum
}

// newLyingCylinder is a cylinder on its side with flat ends. A wall is on both
// ends and all round.
func newLyingCylinder(d dims) (Shape, error) {
	diameter, err := d.less("diameter", 2*d.wall)
	if err != nil {
		return nil, err
	}
	length, err := d.less("length", 2*d.wall)
	if err != nil {
		return nil, err
	}
	r := diameter / 2
	return &solid{kind: d.kind, heightCm: diameter, below: func(h float64) float64 {
		return length * segmentArea(r, h)
	}}, nil
}
