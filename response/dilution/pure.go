package dilution

import "math"

// MaxChanges bounds the plans that are looked for: more changes than this are no
// plan for an emergency.
const MaxChanges = 10000

// AfterChanges returns the concentration after n changes that each replace a
// share (0 to 1) of the water, when nothing else acts:
// C = C_new + (C0 − C_new)·(1 − share)^n. Concentrations in any one unit.
func AfterChanges(c0, newC, share float64, n int) float64 {
	return newC + (c0-newC)*math.Pow(1-share, float64(n))
}

// ChangesNeeded returns the smallest number of changes of a share (above 0, at
// most 1) that bring c0 to the target, when nothing else acts: the next whole
// number at or above ln((target − C_new)/(C0 − C_new)) / ln(1 − share). False
// when no number of them does. Concentrations in any one unit.
func ChangesNeeded(c0, target, newC, share float64) (int, bool) {
	if Met(c0, target) {
		return 0, true
	}
	n, ok := changesByLog(c0, target, newC, math.Log1p(-share))
	if !ok || n > math.MaxInt32 {
		return 0, false
	}
	return int(n), true
}

// changesByLog is ChangesNeeded for c0 above the target, with ln(1 − share) at
// hand.
func changesByLog(c0, target, newC, logKept float64) (float64, bool) {
	limit := target * (1 + Slack)
	switch {
	case math.IsInf(logKept, -1):
		return 1, newC <= limit
	case newC >= target:
		return 0, false
	}
	return max(1, math.Ceil(math.Log((limit-newC)/(c0-newC))/logKept)), true
}

// LastChange returns the litres of the one change that brings c exactly to the
// target: V·(C − target)/(C − C_new), zero when c is there. It needs
// newC < target; volumeL in litres, concentrations in any one unit.
func LastChange(volumeL, c, target, newC float64) float64 {
	if c <= target {
		return 0
	}
	return volumeL * (c - target) / (c - newC)
}

// AfterExchange returns the concentration after a continuous exchange of so many
// volumes Q/V of well-mixed water, when nothing else acts:
// C = C_new + (C0 − C_new)·e^(−Q/V). Concentrations in any one unit.
func AfterExchange(c0, newC, volumes float64) float64 {
	return newC + (c0-newC)*math.Exp(-volumes)
}

// ExchangeNeeded returns the volumes Q/V of a continuous exchange that bring c0
// to the target, when nothing else acts: ln((C0 − C_new)/(target − C_new)). False
// when no amount does.
func ExchangeNeeded(c0, target, newC float64) (float64, bool) {
	switch {
	case Met(c0, target):
		return 0, true
	case newC >= target:
		return 0, false
	}
	return math.Log((c0 - newC) / (target - newC)), true
}
