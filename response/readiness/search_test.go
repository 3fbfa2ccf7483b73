package readiness

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestSmallestAmountIsProvedAndTight: for a threshold anywhere, the amount found
// mends, one per cent less does not, and it is at most half a per cent too large.
func TestSmallestAmountIsProvedAndTight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		threshold := math.Exp(rapid.Float64Range(math.Log(1e-3), math.Log(1e5)).Draw(t, "log threshold"))
		most := threshold * rapid.Float64Range(0.5, 1e4).Draw(t, "most")
		runs := 0
		mends := func(x float64) bool { runs++; return x >= threshold }
		found, ok := smallest(by(mends), never, most, 0)
		x := found.least
		if ok != (most >= threshold) {
			t.Fatalf("found %v with %g of at most %g", ok, threshold, most)
		}
		if ok && (x < threshold || x*proofStep >= threshold || x > threshold*1.0051) {
			t.Fatalf("smallest %g for a threshold of %g", x, threshold)
		}
		if runs > 38 {
			t.Fatalf("%d runs", runs)
		}
	})
}

// TestSmallestWhereMoreIsNotAlwaysBetter: between 10 and 12 it mends, then from
// 50 on. Whatever stretch is found, its lower edge is.
func TestSmallestWhereMoreIsNotAlwaysBetter(t *testing.T) {
	stretches := func(x float64) bool { return x >= 50 || x >= 10 && x < 12 }
	found, ok := smallest(by(stretches), never, 1000, 0)
	x := found.least
	if !ok || (x < 50 || x > 50.5) && (x < 10 || x > 10.1) {
		t.Errorf("smallest %g, %v", x, ok)
	}
	// Everything mends: nothing above zero is the smallest.
	always := func(float64) bool { return true }
	if x, ok := smallest(by(always), never, 10, 0); ok {
		t.Errorf("found %g where any amount mends", x.least)
	}
	// The quick test misses what lies between 10 and 20.
	quick, full := func(x float64) bool { return x >= 20 }, func(x float64) bool { return x >= 10 }
	if x, ok := smallest(by(quick, full), never, 1000, 0); !ok || (x.least < 10 || full(x.least*proofStep)) {
		t.Errorf("smallest %g", x.least)
	}
}

// TestTheLastTestDecides: of three tests each misses less than the one before, or the first
// sees what is none; whatever the guess, the answer is by the last.
func TestTheLastTestDecides(t *testing.T) {
	from := func(edge float64) func(float64) bool { return func(x float64) bool { return x >= edge } }
	for _, guess := range []float64{0, 7, 10, 11, 40, 900} {
		for name, tests := range map[string][]func(float64) bool{
			"each knows better":       by(from(30), from(20), from(10)),
			"the second knows better": by(from(30), from(10), from(10)),
			"the first sees too much": by(from(3), from(10), from(10)),
			"the first sees nothing":  by(from(2000), from(10), from(10)),
		} {
			if found, ok := smallest(tests, never, 1000, guess); !ok || found.least < 10 || found.least > 10.1 || found.tooMuch != 0 {
				t.Errorf("%s, guess %g: %+v, %v", name, guess, found, ok)
			}
		}
	}
	if found, ok := smallest(by(from(3), func(float64) bool { return false }), never, 1000, 5); ok {
		t.Errorf("found %+v where nothing mends", found)
	}
	island := func(x float64) bool { return x >= 10 && x < 10.5 }
	if found, ok := smallest(by(island), never, 1000, 10.1); !ok || found.least > 10.1 || found.tooMuch < 10.45 || found.tooMuch > 10.6 {
		t.Errorf("%+v, %v", found, ok)
	}
}

func TestRoundUp(t *testing.T) {
	for _, c := range []struct{ x, want float64 }{
		{61.2377, 61.24}, {61.24, 61.24}, {0.00123451, 0.001235}, {123451, 123500}, {9999.5, 10000}, {1, 1},
	} {
		if got := roundUp(c.x, 4); math.Abs(got-c.want) > 1e-12*c.want {
			t.Errorf("roundUp(%g) = %g, want %g", c.x, got, c.want)
		}
	}
}

// TestHopeSavesTrials: where less than what mends is known to be hopeless for next to nothing, a
// handful of trials is enough.
func TestHopeSavesTrials(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		threshold := math.Exp(rapid.Float64Range(math.Log(1e-3), math.Log(1e5)).Draw(t, "log threshold"))
		share := rapid.Float64Range(0.2, 1).Draw(t, "hopeless below this share")
		most := threshold * rapid.Float64Range(0.5, 1e4).Draw(t, "most")
		runs := 0
		mends := func(x float64) bool { runs++; return x >= threshold }
		found, ok := smallest(by(mends), func(x float64) bool { return x < share*threshold }, most, 0)
		if ok != (most >= threshold) {
			t.Fatalf("found %v with %g of at most %g", ok, threshold, most)
		}
		if x := found.least; ok && (x < threshold || x*proofStep >= threshold || x > threshold*1.0051) {
			t.Fatalf("smallest %g for a threshold of %g", x, threshold)
		}
		if !ok && most < share*threshold && runs > 0 || ok && share > 0.998 && runs > 14 {
			t.Fatalf("%d runs", runs)
		}
	})
}

func never(float64) bool { return false }

func by(tests ...func(float64) bool) []func(float64) bool { return tests }
