package gum

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/outside"
	"tidehold/refs/units"
)

var near = outside.Near

func pm(x, u float64) units.Measured { return units.Measured{Value: x, U: u} }

// The calibration of a 50 mm end gauge: l = l_s + d − l_s·(δα·θ + α_s·δθ).
// Source: JCGM 100:2008, annex H.1, table H.1: contributions in nm; the combined
// standard uncertainty is 32 nm (1002 nm²). Seen: the rows of the table, quoted in
// the tests of an independent implementation; the printed sum is from memory, and
// equals the sum of the rows.
func TestEndGaugeOfTheGuide(t *testing.T) {
	const length, alpha, theta = 50e6, 11.5e-6, -0.1 // nm, per °C, °C
	in := []Input{
		Named("standard", pm(length, 2*25)), Named("comparison", pm(215, 2*9.7)),
		Named("difference of expansion", pm(0, 2*0.58e-6)), Named("difference of temperature", pm(0, 2*0.029)),
		Named("expansion", pm(alpha, 2*1.2e-6)), Named("temperature", pm(theta, 2*0.41)),
	}
	r, err := Propagate(in, func(x []float64) (float64, error) {
		return x[0] + x[1] - x[0]*(x[2]*x[5]+x[4]*x[3]), nil
	})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "length", r.Value, length+215, 1e-6)
	want := map[string]float64{"standard": 25, "comparison": 9.7, "difference of expansion": 2.9, "difference of temperature": 16.6, "expansion": 0, "temperature": 0}
	for _, c := range r.Budget {
		near(t, c.What, c.U/Coverage, want[c.What], 0.1) // the table rounds 16.68 down
	}
	near(t, "combined", r.U/Coverage, 31.7, 0.1)
	if r.Budget[0].What != "standard" || len(r.Budget) != len(in) {
		t.Errorf("not the largest first: %+v", r.Budget)
	}
}

// A sum and a product have exact answers.
func TestPropagateMatchesExactCases(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Float64Range(1, 100).Draw(t, "x"), rapid.Float64Range(1, 100).Draw(t, "y")
		ux, uy := rapid.Float64Range(0, 0.3).Draw(t, "ux")*x, rapid.Float64Range(0, 0.3).Draw(t, "uy")*y
		in := []Input{Named("x", pm(x, ux)), Named("y", pm(y, uy))}
		sum, _ := Propagate(in, func(v []float64) (float64, error) { return v[0] - v[1], nil })
		near(t, "U of a difference", sum.U, math.Hypot(ux, uy), 1e-9*(x+y))
		product, _ := Propagate(in, func(v []float64) (float64, error) { return v[0] * v[1], nil })
		near(t, "U of a product", product.U, math.Hypot(ux*y, uy*x), 1e-9*x*y)
		if product.Unreliable {
			t.Error("a product is straight in each factor")
		}
	})
}

// One over a number near zero does not follow it in a straight line.
func TestABentResultIsUnreliable(t *testing.T) {
	for _, c := range []struct {
		u          float64
		unreliable bool
	}{{0.1, false}, {1.8, true}} {
		r, err := Propagate([]Input{Named("x", pm(1, c.u))}, func(x []float64) (float64, error) { return 1 / x[0], nil })
		if err != nil || r.Unreliable != c.unreliable {
			t.Errorf("1/(1 ± %v): unreliable %v, %v", c.u, r.Unreliable, err)
		}
	}
	// An input that does nothing is not a bent one.
	r, err := Propagate([]Input{Named("x", pm(0, 0.2))}, func(x []float64) (float64, error) { return 5 + x[0]*x[0]/1000, nil })
	if err != nil || r.Unreliable || r.U != 0 {
		t.Errorf("at the bottom of a shallow bowl: %+v, %v", r, err)
	}
}

var errEdge = errors.New("over the edge")

func TestOneSideAloneGivesTheStep(t *testing.T) {
	for _, limit := range []float64{1, -1} {
		r, err := Propagate([]Input{Named("level", pm(0, 2))}, func(x []float64) (float64, error) {
			if x[0]*limit > 0 {
				return 0, errEdge
			}
			return 3 * x[0], nil
		})
		if err != nil || r.U != 6 || !r.Unreliable {
			t.Errorf("edge at %v: %+v, %v", limit, r, err)
		}
	}
	_, err := Propagate([]Input{Named("level", pm(0, 2))}, func(x []float64) (float64, error) {
		if x[0] != 0 {
			return 0, errEdge
		}
		return 1, nil
	})
	if !errors.Is(err, errEdge) || !strings.Contains(err.Error(), "level, ±2, is too large") {
		t.Errorf("no side at all: %v", err)
	}
	if _, err := Propagate([]Input{Named("x", pm(0, 1))}, func([]float64) (float64, error) { return 0, errEdge }); !errors.Is(err, errEdge) {
		t.Errorf("the calculation itself fails: %v", err)
	}
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := Propagate([]Input{Named("mass", pm(1, bad))}, func(x []float64) (float64, error) { return x[0], nil }); err == nil || !strings.Contains(err.Error(), "of mass is") {
			t.Errorf("U %v: %v", bad, err)
		}
	}
}

func TestRectangularAndQuadrature(t *testing.T) {
	// JCGM 100, eq. (7): u² = a²/3.
	near(t, "±3", math.Pow(Rectangular(3), 2), 3, 1e-12)
	near(t, "3, 4 and 12", Quadrature(3, -4, 12), 13, 1e-12)
	if Quadrature() != 0 {
		t.Error("nothing adds up to something")
	}
}

// Three measurements of a resistance, 11 ± 1, 12 ± 1, 10 ± 3 (one standard
// deviation), weighted: 11.42 ± 0.69. Taylor, An Introduction to Error Analysis,
// section 7.3 (from memory; the arithmetic is checked by hand: weights 1, 1, 1/9).
func TestWeightedMeanOfATextbook(t *testing.T) {
	c, err := Combine([]units.Measured{pm(11, 2), pm(12, 2), pm(10, 6)})
	if err != nil || !c.Consistent {
		t.Fatalf("%+v, %v", c, err)
	}
	near(t, "mean", c.Value, 11.42, 0.005)
	near(t, "standard uncertainty", c.U/Coverage, 0.69, 0.005)
	near(t, "weight of the third", c.Weights[2], (1.0/9)/(2+1.0/9), 1e-12)
}

// Birge by hand: three values 50 apart with standard uncertainty 5: chi squared is
// 2·(50/5)² = 200 over two degrees of freedom, so the ratio is 10 and U is
// 10/√3·10; two values 100 apart: 2·(50/5)² over one, U = 10/√2·√200 = 100.
func TestInconsistentValuesAreWidened(t *testing.T) {
	three, err := Combine([]units.Measured{pm(640, 10), pm(540, 10), pm(590, 10)})
	if err != nil || three.Consistent {
		t.Fatalf("%+v, %v", three, err)
	}
	near(t, "ratio of three", three.BirgeRatio, 10, 1e-9)
	near(t, "U of three", three.U, 100/math.Sqrt(3), 1e-9)
	two, err := Combine([]units.Measured{pm(640, 10), pm(540, 10)})
	if err != nil || two.Consistent {
		t.Fatalf("%+v, %v", two, err)
	}
	near(t, "U of two", two.U, 100, 1e-9)
	if _, err := Combine([]units.Measured{pm(1, 1)}); err == nil {
		t.Error("one value was combined")
	}
	for _, bad := range []float64{0, math.NaN(), math.Inf(1)} {
		if _, err := Combine([]units.Measured{pm(1, 1), pm(2, bad)}); err == nil || !strings.Contains(err.Error(), "value 2 has no uncertainty") {
			t.Errorf("U %v: %v", bad, err)
		}
	}
	// NIST/SEMATECH e-Handbook 1.3.6.7.4, upper-tail critical values.
	for n, want := range map[int]float64{1: 3.841, 10: 18.307, 12: 21.026, 20: 31.410, 50: 67.505} {
		near(t, "chi squared", chiSquared95(n), want, 0.1)
	}
}
