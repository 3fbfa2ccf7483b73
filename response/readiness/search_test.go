package readiness

import (
	"math"
	"strconv"
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
		if got := roundUp(c.x, 4); !(math.Abs(got-c.want) <= 1e-12*c.want) {
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

// TestAmountsAreSaidInFourDigits, upwards, as exact decimals: 61.24 and not 61.240000000000002,
// which is what the last digit of JSON and of a shopping list would be.
func TestAmountsAreSaidInFourDigits(t *testing.T) {
	decimal := func(x float64, digits int) float64 {
		d, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	for n := 1003; n < 10000; n += 7 {
		for _, power := range []string{"e-6", "e-3", "e-2", "e-1", "e0", "e1", "e2", "e3"} {
			want, err := strconv.ParseFloat(strconv.Itoa(n)+power, 64)
			if err != nil {
				t.Fatal(err)
			}
			if got := roundUp(want*(1-0.3/float64(n)), 4); got != want {
				t.Fatalf("three tenths of the last digit below %v: %v", want, got)
			}
			if got := roundUp(want, 4); got != want {
				t.Fatalf("%v: %v", want, got)
			}
		}
	}
	for _, threshold := range []float64{0.0123456, 0.71238, 1.0101, 61.2377, 777.77, 5432.1, 98765} {
		found, ok := smallest(by(func(x float64) bool { return x >= threshold }), never, 1e6, 0)
		if !ok || found.least != decimal(found.least, 4) {
			t.Errorf("from %g on: %v, %v", threshold, found.least, ok)
		}
	}
}

// TestRoundDown keeps as many digits, at every size.
func TestRoundDown(t *testing.T) {
	for _, c := range []struct {
		x    float64
		n    int
		want float64
	}{
		{61.2377, 1, 60}, {61.2377, 2, 61}, {61.2377, 3, 61.2}, {0.0987, 1, 0.09}, {0.0987, 2, 0.098}, {1234, 4, 1234}, {1234, 3, 1230}, {1999, 1, 1000},
		{5, 1, 5}, {9999, 1, 9000}, {99.99, 2, 99}, {1000.5, 1, 1000}, {0.00123, 2, 0.0012},
	} {
		if got := roundDown(c.x, c.n); !(math.Abs(got-c.want) <= 1e-12*c.want) {
			t.Errorf("%g to %d digits: %g, want %g", c.x, c.n, got, c.want)
		}
	}
}

// TestARoundNumberBetweenIsTaken: where the smallest amount is a round number it is said, not
// one that is found a little above it; and no round number is, that was seen not to mend.
func TestARoundNumberBetweenIsTaken(t *testing.T) {
	for _, edge := range []float64{0.02, 0.5, 1, 3, 12, 40, 50, 75, 200, 1250, 40000} {
		runs := 0
		mends := func(x float64) bool { runs++; return x >= edge }
		if got := bracket(mends, 0, edge*15.7); got != edge {
			t.Errorf("mends from %g on: %g", edge, got)
		}
		if got := bracket(mends, edge*0.9983, edge*1.0017); got != edge {
			t.Errorf("mends from %g on, known to 0.3 per cent: %g", edge, got)
		}
		just := edge * 1.00001
		if got := bracket(func(x float64) bool { return x >= just }, 0, edge*15.7); got < just || got > just*1.0041 {
			t.Errorf("mends from %g on: %g", just, got)
		}
	}
}

// TestAllOfItBelowNothing: amounts that no balance shows are not looked for: where the least
// thing tried mends, it is said to be that.
func TestAllOfItBelowNothing(t *testing.T) {
	for _, most := range []float64{1e-5, 1, 1000} {
		least := math.Inf(1)
		got := bracket(func(x float64) bool { least = min(least, x); return true }, 0, most)
		if least < 1e-6 || got > 8.1e-6 || got < 1e-6*0.99 {
			t.Errorf("up to %g: %g, and %g was tried", most, got, least)
		}
	}
}

// TestWhereMoreIsTooMuchAtEverySize: kilograms of salt as litres of water, found by few trials.
func TestWhereMoreIsTooMuchAtEverySize(t *testing.T) {
	for _, scale := range []float64{1e-3, 1, 1e3} {
		for _, edge := range []float64{1.005, 1.05, 1.2} {
			runs := 0
			got := tooMuch(func(x float64) bool { runs++; return x <= edge*scale }, scale, 1e6, above)
			if got <= edge*scale || got > edge*scale*1.0041 || runs > 9 {
				t.Errorf("mends from %g to %g: too much from %g, by %d trials", scale, edge*scale, got, runs)
			}
		}
	}
}

// TestHopeIsFoundClosely at every size and by few questions: each sets up a plan.
func TestHopeIsFoundClosely(t *testing.T) {
	for _, most := range []float64{0.5, 800, 1e6} {
		for _, share := range []float64{0.9, 0.3, 0.126, 0.124, 0.01, 2e-4} {
			runs := 0
			edge := most * share
			got := edgeOfHope(func(x float64) bool { runs++; return x < edge }, most)
			if got >= edge || got < edge/(1+hopeWidth) || runs > 14 {
				t.Errorf("hopeless below %g of %g: %g, by %d questions", edge, most, got, runs)
			}
		}
		runs := 0
		if got := edgeOfHope(func(float64) bool { runs++; return false }, most); got != 0 || runs > 6 {
			t.Errorf("never hopeless up to %g: %g, by %d questions", most, got, runs)
		}
	}
}

// TestNothingIsFoundInNothing: no amount, or one that is hopeless, is not even tried.
func TestNothingIsFoundInNothing(t *testing.T) {
	fine := func(float64) bool { t.Error("tried"); return true }
	for _, most := range []float64{0, -1, math.NaN()} {
		if found, ok := smallest(by(fine), never, most, 0); ok {
			t.Errorf("up to %g: %+v", most, found)
		}
	}
	if found, ok := smallest(by(fine), func(float64) bool { return true }, 10, 5); ok {
		t.Errorf("%+v where all is hopeless", found)
	}
	if found, ok := smallest(by(func(x float64) bool { return x >= 0.5 }), never, 0.6, 0); !ok || found.least != 0.5 {
		t.Errorf("%+v, %v below one", found, ok)
	}
}

// TestALesserStretchBelow: 100 on mends, and so does from 68 to 72 or from 88 to 92: what is found
// is the lower edge of the lowest stretch that was tried.
func TestALesserStretchBelow(t *testing.T) {
	for _, scale := range []float64{0.01, 1, 10} {
		for _, share := range []float64{68, 88} {
			low, high := share*scale, (share+4)*scale
			mends := func(x float64) bool { return x >= 100*scale || x >= low && x < high }
			found, ok := smallest(by(mends), never, 101*scale, 99*scale)
			if !ok || found.least < low || found.least > low*1.0051 || found.tooMuch < high || found.tooMuch > high*1.0041 {
				t.Errorf("mends from %g to %g and from %g on: %+v, %v", low, high, 100*scale, found, ok)
			}
		}
	}
}

// TestAGapAboveIsSeen: one per cent, a tenth and three tenths above an answer are tried, as a keeper who
// buys a little more would; where one of them does not mend, it is said where the gap begins.
func TestAGapAboveIsSeen(t *testing.T) {
	for _, share := range []float64{1.01, 1.1, 1.3} {
		begins, ends := 100*share-0.4, 100*share+0.4
		got := tooMuch(func(x float64) bool { return x < begins || x > ends }, 100, 1000, above)
		if got < begins || got > begins*1.0041 {
			t.Errorf("a gap from %g to %g: %g", begins, ends, got)
		}
	}
	if got := tooMuch(func(x float64) bool { return x < 103 || x > 104 }, 100, 1000, above); got != 0 {
		t.Errorf("too much from %g", got)
	}
}
