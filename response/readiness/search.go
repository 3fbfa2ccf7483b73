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

// smallest returns the least amount in (0, most], rounded up to four significant
// digits, for which mends is true, and false when most itself does not mend. The
// amount has been proved: proves is true of it and false of one per cent less.
// mends may be a quicker test than proves that now and then misses a way of
// mending. Both are taken to be false of 0.
//
// Where more is not always better, the amount returned is the upper edge of one
// stretch that mends, with a failing amount right below it.
func smallest(mends, proves func(float64) bool, most float64) (float64, bool) {
	if !(most > 0) || !mends(most) {
		return 0, false
	}
	high := most
	for range searchRounds {
		high = bracket(mends, high)
		amount := math.Min(most, roundUp(high, amountDigits))
		if !proves(amount) {
			if amount = high; !proves(amount) {
				return 0, false
			}
		}
		below := amount * proofStep
		if !proves(below) {
			return amount, true
		}
		high = below
	}
	return 0, false
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
