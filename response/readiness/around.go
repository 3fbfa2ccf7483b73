package readiness

import (
	"math"
	"slices"
)

// Around an answer these shares of it are tried: below it nothing may mend, above it
// everything must.
var (
	below = []float64{0.9, 0.7}
	above = []float64{1.01, 1.1, 1.3}
)

// ladder are the shares tried below an amount that is shown as the smallest: a plan may find
// with less what it does not find with a little more.
var ladder = []float64{0.97, 0.94, 0.9, 0.86, 0.81, 0.75, 0.68, 0.6, 0.5, 0.4, 0.3, 0.2}

// wide are the rungs of which the dearest test is asked whatever the others say.
var wide = []float64{0.97, 0.9, 0.75, 0.5}

// island are the shares tried above an amount that was found below another: the stretch that
// mends may be short.
var island = []float64{1.01, 1.03, 1.06, 1.1, 1.15, 1.2, 1.3, 1.5, 2, 3}

// mendsBelow is an amount below one that mends which does too: the first of its shares that
// does; false where none does. Below one without hope there is none.
func mendsBelow(mends, hopeless func(float64) bool, amount float64, shares []float64) (float64, bool) {
	for _, share := range shares {
		x := amount * share
		if hopeless(x) {
			break
		}
		if mends(x) {
			return x, true
		}
	}
	return 0, false
}

// asking is a test by a dear one, which is asked of some shares of an amount, and of others only where a
// quick one says so.
func asking(shares []float64, amount float64, quick, dear func(float64) bool) func(float64) bool {
	return func(x float64) bool {
		always := slices.ContainsFunc(shares, func(share float64) bool { return x == amount*share })
		return (always || quick(x)) && dear(x)
	}
}

// climbedDown is an answer, or what the last test finds below it on the ladder, with where more of that is
// too much. That test is dear: it is asked of some rungs, and of the others where the one before it says so.
func climbedDown(found edge, tests []func(float64) bool, hopeless func(float64) bool, most float64) edge {
	last := len(tests) - 1
	quick, whole := tests[max(0, last-1)], tests[last]
	for range searchRounds {
		less, ok := mendsBelow(asking(wide, found.least, quick, whole), hopeless, found.least, ladder)
		if !ok || less < leastAmount {
			break
		}
		// A rung is seldom the least. Where the quick test does not see it, it does not lead to that either.
		seeing := tests
		if !quick(less) {
			seeing = tests[last:]
		}
		if found, ok = smallest(seeing, hopeless, less, 0); !ok {
			found = edge{least: less}
		}
		found.tooMuch = tooMuch(whole, found.least, most, island)
	}
	return found
}

// provedLeast is an answer of which one per cent less does not mend by the dearest test of all, the search that a plan
// is shown from to its end: asked last, and where it sees better than the others the answer is its own.
func provedLeast(found edge, dearest, hopeless func(float64) bool, most float64) edge {
	lower := found
	for range searchRounds {
		less := lower.least * proofStep
		if hopeless(less) || !dearest(less) {
			break
		}
		round := roundUp(bracket(dearest, 0, less, less*(1-nearby)), amountDigits)
		if round >= lower.least || !dearest(round) {
			break
		}
		lower.least = round
	}
	if lower.least == found.least {
		return found
	}
	// Between the two there may be what does not mend. What no measure can hit is no answer.
	if lower.tooMuch = tooMuch(dearest, lower.least, most, island); lower.tooMuch > 0 && lower.tooMuch < lower.least/proofStep {
		return found
	}
	return lower
}

// tooMuch is where above an amount that mends more no longer does, to bracketWidth; 0
// where all of its shares that are tried mend.
func tooMuch(mends func(float64) bool, amount, most float64, shares []float64) float64 {
	good, bad := amount, 0.0
	for _, share := range shares {
		x := math.Min(most, amount*share)
		if !mends(x) {
			bad = x
			break
		}
		good = x
	}
	for bad-good > bracketWidth*bad {
		if mid := (good + bad) / 2; mends(mid) {
			good = mid
		} else {
			bad = mid
		}
	}
	return bad
}
