package volumes

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// gauss holds the nodes and weights of the 20-point Gauss-Legendre rule, found
// by Newton's method on the Legendre polynomial.
var gauss = func() (rule [20]struct{ x, w float64 }) {
	const n = 20
	for i := range rule {
		x := math.Cos(math.Pi * (float64(i) + 0.75) / (n + 0.5))
		var slope float64
		for range 20 {
			p0, p1 := 1.0, x
			for k := 2.0; k <= n; k++ {
				p0, p1 = p1, ((2*k-1)*x*p1-(k-1)*p0)/k
			}
			slope = n * (x*p1 - p0) / (x*x - 1)
			x -= p1 / slope
		}
		rule[i].x, rule[i].w = x, 2/((1-x*x)*slope*slope)
	}
	return rule
}()

// integrate is ∫ f from a to b on eight panels.
func integrate(f func(float64) float64, a, b float64) float64 {
	const panels = 8
	var sum float64
	for p := range panels {
		lo := a + (b-a)*float64(p)/panels
		hi := a + (b-a)*float64(p+1)/panels
		for _, g := range gauss {
			sum += g.w * f(lo+(hi-lo)*(g.x+1)/2) * (hi - lo) / 2
		}
	}
	return sum
}

// refine halves a range until both halves together equal the whole.
func refine(between func(a, b float64) float64, a, b, whole, tolerance float64) float64 {
	mid := (a + b) / 2
	left, right := between(a, mid), between(mid, b)
	if math.Abs(left+right-whole) <= tolerance || b-a < 1e-9 {
		return left + right
	}
	return refine(between, a, mid, left, tolerance) + refine(between, mid, b, right, tolerance)
}

// section gives the horizontal cross-section in cm² at a level, from the inner
// outline of each solid, without the volume formulas. With a wall it measures
// the distance to the outer faces instead of shifting dimensions.
func section(kind string, v map[string]float64) func(z float64) float64 {
	w := v["wall"]
	// face is how wide the inside is, seen from the axis, behind a flat face of
	// thickness w whose outer half-width runs from bottom to top over height.
	face := func(bottom, top, height, zOuter float64) float64 {
		slope := (top - bottom) / height
		lo, hi := 0.0, math.Max(bottom, top)
		for range 60 {
			mid := (lo + hi) / 2
			distance := (bottom + slope*zOuter - mid) / math.Sqrt(1+slope*slope)
			if distance >= w {
				lo = mid
			} else {
				hi = mid
			}
		}
		return lo
	}
	switch kind {
	case "box":
		return func(float64) float64 { return (v["length"] - 2*w) * (v["width"] - 2*w) }
	case "upright_cylinder":
		r := v["diameter"]/2 - w
		disc := integrate(func(a float64) float64 { return r * r * math.Cos(a) * math.Cos(a) * 2 }, -math.Pi/2, math.Pi/2)
		return func(float64) float64 { return disc }
	case "lying_cylinder":
		r, length := v["diameter"]/2-w, v["length"]-2*w
		return func(z float64) float64 { return length * 2 * math.Sqrt(math.Max(0, r*r-(r-z)*(r-z))) }
	case "tapered_round":
		return func(z float64) float64 {
			r := face(v["bottom_diameter"]/2, v["top_diameter"]/2, v["height"], z+w)
			return math.Pi * r * r
		}
	case "tapered_rect":
		return func(z float64) float64 {
			return 4 * face(v["bottom_length"]/2, v["top_length"]/2, v["height"], z+w) * face(v["bottom_width"]/2, v["top_width"]/2, v["height"], z+w)
		}
	case "polygon":
		return func(float64) float64 {
			n := int(v["sides"])
			apothem := v["across_flats"] / 2
			if side, ok := v["side"]; ok {
				apothem = side / 2 / math.Tan(math.Pi/float64(n))
			}
			corner := (apothem - w) / math.Cos(math.Pi/float64(n))
			var shoelace float64
			for i := range n {
				a, b := 2*math.Pi*float64(i)/float64(n), 2*math.Pi*float64(i+1)/float64(n)
				shoelace += corner * corner * (math.Cos(a)*math.Sin(b) - math.Cos(b)*math.Sin(a)) / 2
			}
			return shoelace
		}
	case "bow_front":
		length, width, bow := v["length"], v["width"], v["bow"]
		r := (length*length/4 + bow*bow) / (2 * bow)
		depth := func(x float64) float64 {
			front := width + bow - r + math.Sqrt((r-w)*(r-w)-x*x)
			return front - w
		}
		area := integrate(depth, -length/2+w, length/2-w)
		return func(float64) float64 { return area }
	case "cone_bottom":
		return func(z float64) float64 {
			r, out, cone := v["diameter"]/2, v["bottom_diameter"]/2, v["cone_height"]
			tan := (r - out) / cone
			bottom := w
			if apex := (w*math.Sqrt(1+tan*tan) - out) / tan; apex > bottom {
				bottom = apex
			}
			inner := math.Min(r-w, out+tan*(z+bottom)-w*math.Sqrt(1+tan*tan))
			return math.Pi * inner * inner
		}
	}
	panic("no section for " + kind)
}

// TestEveryShapeEqualsTheIntegralOfItsSections: of every kind, with walls and without.
func TestEveryShapeEqualsTheIntegralOfItsSections(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ofEveryKind(t, func(k KindSpec, v map[string]float64) {
			s, err := New(k.Name, v, nil)
			if err != nil {
				return // no room inside
			}
			level := s.HeightCm() * rapid.Float64Range(0.01, 1).Draw(t, "share of height")
			equalsItsSections(t, s, k.Name, v, level)
		})
	})
}

// equalsItsSections compares what a shape holds up to a level with the integral of its sections, to a
// millionth of what it holds in all.
func equalsItsSections(t *rapid.T, s Shape, kind string, v map[string]float64, level float64) {
	got, err := s.VolumeAt(level)
	if err != nil {
		t.Fatal(err)
	}
	// z = level·(1−cos a)/2 takes the root out of the lying cylinder's ends;
	// halving the range again and again closes in on a cone's shoulder.
	area := section(kind, v)
	between := func(a, b float64) float64 {
		return integrate(func(a float64) float64 {
			return area(level*(1-math.Cos(a))/2) * level / 2 * math.Sin(a)
		}, a, b) / 1000
	}
	want := refine(between, 0, math.Pi, between(0, math.Pi), 1e-10*float64(s.Full()))
	if d := math.Abs(float64(got)-want) / float64(s.Full()); !(d <= 1e-6) {
		t.Fatalf("%s %v at %v cm: %v L, integral %v L, off by %g of full", kind, v, level, got, want, d)
	}
}
