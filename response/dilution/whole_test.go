package dilution

import (
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/refs/units"
)

// TestAllOfTheWaterByWaterAtTheTarget: one change of everything, for one contaminant and for two
// of which one needs less.
func TestAllOfTheWaterByWaterAtTheTarget(t *testing.T) {
	of := func(start, target, fresh float64) Contaminant {
		return Contaminant{Name: "x", Start: units.Exact(start), Target: target, New: units.Exact(fresh)}
	}
	for _, c := range []struct {
		list   []Contaminant
		litres float64
	}{
		{[]Contaminant{of(60, 0, 0)}, 640}, {[]Contaminant{of(60, 3, 3)}, 640}, {[]Contaminant{of(60, 30, 0)}, 320},
		{[]Contaminant{of(60, 30, 0), of(5, 1, 1)}, 640}, {[]Contaminant{of(60, 30, 0), of(1, 1, 1)}, 320},
	} {
		p := Problem{Volume: units.Exact(640), ChangeL: 640, Trim: true, EveryH: 4, Confidence: 0.9, Contaminants: c.list}
		plan, err := p.Plan()
		if err != nil || !plan.Reached || plan.Changes != 1 || !(math.Abs(plan.WaterL-c.litres) <= 1e-6) {
			t.Errorf("%+v: %d changes, %g L, reached %v, %v; want one of %g L", c.list, plan.Changes, plan.WaterL, plan.Reached, err, c.litres)
		}
	}
}

// TestDrawsAreOfANormalCutOff: mean and variance of a normal of mean 1 and deviation 1 kept
// above 0 are 1 + λ and 1 − λ − λ² with λ = φ(1)/Φ(1) = 0.287600 (from the tables of
// the normal: φ(1) = 0.241971, Φ(1) = 0.841345), and without a bound 1 and 1.
func TestDrawsAreOfANormalCutOff(t *testing.T) {
	const n, lambda = 400_000, 0.241971 / 0.841345
	for _, c := range []struct{ above, mean, variance float64 }{{0, 1 + lambda, 1 - lambda - lambda*lambda}, {-10, 1, 1}} {
		col := column{input: units.Measured{Value: 1, U: 2}, above: c.above, draws: make([]float64, n)}
		col.draw(rand.New(rand.NewPCG(1, 2)), n)
		sum, squares := 0.0, 0.0
		for _, x := range col.draws {
			if !(x > c.above) {
				t.Fatalf("%g is not above %g", x, c.above)
			}
			sum += x
			squares += x * x
		}
		mean := sum / n
		// Standard errors are 0.0016 and 0.0025: four of them.
		if variance := squares/n - mean*mean; !(math.Abs(mean-c.mean) <= 0.0065) || !(math.Abs(variance-c.variance) <= 0.01) {
			t.Errorf("above %g: mean %.4f, variance %.4f; want %.4f, %.4f", c.above, mean, variance, c.mean, c.variance)
		}
	}
	exact := column{input: units.Exact(3), draws: make([]float64, 5)}
	if exact.draw(rand.New(rand.NewPCG(1, 2)), 5); exact.draws[4] != 3 {
		t.Errorf("%v", exact.draws)
	}
}
