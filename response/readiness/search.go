package readiness

import "math"

const (
	// bracketWidth is how closely the smallest amount is bracketed, relative: with
	// rounding up to four digits (at most 0.1 %) the amount printed is at most half a
	// per cent above the smallest that mends.
	bracketWidth = 0.004
	// amountDigits is the number of significant digits an amount is rounded up to.
	amountDigits = 4
	// proofStep is what must not be enough: the amount less one per cent.
	proofStep = 0.99
	// searchRounds bounds the search when more is not always better.
	searchRounds = 6
	// hopeWidth is how closely the amount below which there is no hope is found, relative.
	hopeWidth = 0.008
	// nearby is how far off a guess is taken to be.
	nearby = 0.03
	// leastAmount of anything (L, kg, L/h, W, h) is none: a search that misses its plan by chance
	// finds it with next to nothing more.
	leastAmount = 1e-5
)

// edge is the smallest amount that mends, and the smallest above it that was seen not
// to: 0 where every larger one tried mends too.
type edge struct{ least, tooMuch float64 }

// smallest finds the least amount in (0, most], rounded up to four significant
// digits, that mends; false when most itself does not. The amount has been tried, and so
// has one per cent less, which does not mend. Then
// less and more is tried around it: where a smaller one mends the search goes on from
// there, and where a larger one does not, the edge from which on it is too much is found.
//
// tests say whether an amount mends, the quickest first; each may miss a way of mending that
// those after it do not. The search is led by the first, and by a later one once that is
// seen to know better; what comes out is by the last. hopeless says at next to no cost of an
// amount that no test can find it to mend, and of more of it less often. guess is where the
// answer may lie, 0 for no idea: a good one saves most of the trials. rungs are the shares tried
// below the answer; those of below where there are none. Nothing mends at 0.
func smallest(tests []func(float64) bool, hopeless func(float64) bool, most, guess float64, rungs ...float64) (edge, bool) {
	if len(rungs) == 0 {
		rungs = below
	}
	if !(most > 0) || hopeless(most) {
		return edge{}, false
	}
	last := len(tests) - 1
	low, high := edgeOfHope(hopeless, most), most
	level, low, high, ok := leader(tests, low, high, guess)
	if !ok {
		return edge{}, false
	}
	first := around(guess)
	enough := most  // mends, if anything does
	var proved edge // the same, seen by the last
	for range searchRounds {
		high = bracket(tests[level], low, high, first...)
		amount, ok := rounded(tests[last], high, most)
		if !ok {
			// The quick test saw a way of mending that is none: on above it, by the last.
			if level = last; !tests[last](enough) {
				break
			}
			low, high, first = amount, enough, nil
			continue
		}
		if better := knowsBetter(tests, level, amount*proofStep); better > level {
			level, low, high, first = better, 0, amount*proofStep, []float64{amount * (1 - nearby)}
			continue
		}
		if amount < leastAmount {
			return edge{}, false
		}
		// Most rungs mend by no test: the quickest is asked first of all but the widest steps.
		if less, ok := mendsBelow(asking(below, amount, tests[0], tests[last]), hopeless, amount, rungs); ok {
			proved.least, enough = less, less
			low, high, first = 0, less, nil
			continue
		}
		if proved.least > 0 {
			return edge{amount, tooMuch(tests[last], amount, most, island)}, true
		}
		return edge{amount, tooMuch(tests[max(level, min(1, last))], amount, most, above)}, true
	}
	return proved, proved.least > 0
}

// rounded is an amount in four digits, or else as it is; false where neither mends.
func rounded(mends func(float64) bool, x, most float64) (float64, bool) {
	if round := math.Min(most, roundUp(x, amountDigits)); mends(round) {
		return round, true
	}
	return x, mends(x)
}

// leader is the test that the search is led by, the quickest that mends: right above low, near the
// guess, or at high. low and high come closer to where it did not, and where it did.
func leader(tests []func(float64) bool, low, high, guess float64) (level int, _, _ float64, ok bool) {
	edge := low
	for _, near := range []float64{edge * (1 + hopeWidth + bracketWidth), guess * (1 + nearby), high} {
		if near <= low || near > high {
			continue
		}
		for level := range min(2, len(tests)) {
			if tests[level](near) {
				if level > 0 {
					low = edge // the quicker test, which missed this, was all that spoke against less
				}
				return level, low, near, true
			}
		}
		low = near
	}
	return 0, low, high, false
}

// knowsBetter is the first test from a level on by which x mends; the level where it mends by
// none.
func knowsBetter(tests []func(float64) bool, level int, x float64) int {
	for k := level + 1; k < len(tests); k++ {
		if tests[k](x) {
			return k
		}
	}
	return level
}

// edgeOfHope is an amount that is hopeless, at most hopeWidth below the least that is not; 0
// where there seems to be none.
func edgeOfHope(hopeless func(float64) bool, most float64) float64 {
	high := most
	low := high / 8
	for ; !hopeless(low); low = high / 8 {
		if high = low; high < most*1e-4 {
			return 0
		}
	}
	for high > low*(1+hopeWidth) {
		if mid := math.Sqrt(low * high); hopeless(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// around are the amounts that a guess is tried by: itself, which most often is the very edge, just below it,
// and well below it.
func around(guess float64) []float64 {
	if !(guess > 0) {
		return nil
	}
	round := roundUp(guess, amountDigits)
	const justBelow = 0.9 * bracketWidth
	return []float64{round, round * (1 - justBelow), guess * (1 - nearby)}
}

// bracket halves (low, high] until its upper end, which mends, is within
// bracketWidth of a lower end that does not. It first tries those of some amounts that lie between, then
// steps down from 0 by eighths until the first failure, so that small amounts are reached as
// quickly as large ones.
func bracket(mends func(float64) bool, low, high float64, first ...float64) float64 {
	for high-low > bracketWidth*high {
		mid := (low + high) / 2
		for len(first) > 0 && (first[0] <= low || first[0] >= high) {
			first = first[1:]
		}
		switch {
		case len(first) > 0:
			mid = first[0]
		case low > 0 && high > 2*low:
			mid = math.Sqrt(low * high)
		case low > 0:
		default:
			if mid = high / 8; mid < 1e-6 {
				return high
			}
		}
		if mends(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	// The roundest number between is easier to say, and may be the very edge.
	for digits := 1; digits < amountDigits; digits++ {
		if round := roundDown(high, digits); round > low {
			if round < high && mends(round) {
				return round
			}
			break
		}
	}
	return high
}

// roundDown rounds a positive x down to n significant digits.
func roundDown(x float64, n int) float64 {
	return toDigits(x, n, func(y float64) float64 { return math.Floor(y + 1e-9) })
}

// roundUp rounds a positive x up to n significant digits.
func roundUp(x float64, n int) float64 {
	return toDigits(x, n, func(y float64) float64 { return math.Ceil(y - 1e-9) })
}

// toDigits rounds a positive x to n significant digits, exactly as the decimal reads: it is
// scaled by whole powers of ten alone.
func toDigits(x float64, n int, round func(float64) float64) float64 {
	digits := n - 1 - int(math.Floor(math.Log10(x)))
	if digits >= 0 {
		scale := math.Pow(10, float64(digits))
		return round(x*scale) / scale
	}
	scale := math.Pow(10, float64(-digits))
	return round(x/scale) * scale
}
