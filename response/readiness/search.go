package readiness

import "math"

const (
	// bracketWidth is how closely the smallest amount is bracketed, relative: with
	// rounding up to four digits (at most 0.1 %) the amount printed is never more
	// than half a per cent above the smallest that mends.
	bracketWidth = 0.004
	// amountDigits is the number of significant digits an amount is rounded up to.
	amountDigits = 4
	// proofStep is what must not be enough: the amount less one per cent.
	proofStep = 0.99
	// searchRounds bounds the search when more is not always better.
	searchRounds = 6
)

// Around an answer that is proved, these shares of it are tried: below it nothing may
// mend, above it everything must.
var (
	sharesBelow = []float64{0.9, 0.5}
	sharesAbove = []float64{1.01, 1.5}
)

// edge is the smallest amount that mends, and the smallest above it that was seen not
// to: 0 where every larger one tried mends too.
type edge struct{ least, tooMuch float64 }

// smallest finds the least amount in (0, most], rounded up to four significant
// digits, for which mends is true; false when most itself does not mend. The
// amount has been proved: proves is true of it and false of one per cent less. Then
// half of it, and a tenth less, are tried too, and a half more: where one of the
// smaller ones mends the search goes on from there, and where a larger one does not,
// the edge from which on it is too much is found.
//
// mends may be a quicker test than proves that now and then misses a way of mending.
// Both are taken to be false of 0.
func smallest(mends, proves func(float64) bool, most float64) (edge, bool) {
	if !(most > 0) || !mends(most) {
		return edge{}, false
	}
	high := most
	for range searchRounds {
		high = bracket(mends, high)
		amount := math.Min(most, roundUp(high, amountDigits))
		if !proves(amount) {
			if amount = high; !proves(amount) {
				return edge{}, false
			}
		}
		below := amount * proofStep
		if !proves(below) {
			below = 0
			for _, share := range sharesBelow {
				if mends(amount * share) {
					below = amount * share
					break
				}
			}
			if below == 0 {
				return edge{amount, tooMuch(mends, amount, most)}, true
			}
		}
		high = below
	}
	return edge{}, false
}

// tooMuch is where above an amount that mends more no longer does, to bracketWidth; 0
// where all that is tried mends.
func tooMuch(mends func(float64) bool, amount, most float64) float64 {
	good := amount
	for _, share := range sharesAbove {
		x := math.Min(most, amount*share)
		if mends(x) {
			good = x
			continue
		}
		for bad := x; ; {
			if bad-good <= bracketWidth*bad {
				return bad
			}
			if mid := (good + bad) / 2; mends(mid) {
				good = mid
			} else {
				bad = mid
			}
		}
	}
	return 0
}

// bracket halves (0, high] until its upper end, which mends, is within
// bracketWidth of a lower end that does not. It steps down by eighths until the
// first failure, so that small amounts are reached as quickly as large ones.
func bracket(mends func(float64) bool, high float64) float64 {
	low := 0.0
	for high-low > bracketWidth*high {
		mid := (low + high) / 2
		if low == 0 {
			mid = high / 8
			if mid < 1e-6 {
				return high
			}
		}
		if mends(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

// roundUp rounds a positive x up to n significant digits.
func roundUp(x float64, n int) float64 {
	digits := n - 1 - int(math.Floor(math.Log10(x)))
	if digits >= 0 {
		scale := math.Pow(10, float64(digits))
		return math.Ceil(x*scale-1e-9) / scale
	}
	scale := math.Pow(10, float64(-digits))
	return math.Ceil(x/scale-1e-9) * scale
}
