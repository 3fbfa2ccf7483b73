package schedule

import (
	"math"
	"slices"

	"tidehold/response/plan"
)

// draw is what one change takes from one vat.
type draw struct {
	vat    int
	litres float64
}

// change is one that a moment permits.
type change struct {
	litres  float64
	draws   []draw
	after   water
	by      plan.Limit
	trimmed bool
	taste   taste
	share   float64 // of the largest that was permitted; 0: all of it
	kept    int     // 1 + the vat that was kept for later; 0: none
}

// drawsFrom reports whether a change takes water of a vat.
func (c *change) drawsFrom(vat int) bool {
	return slices.ContainsFunc(c.draws, func(d draw) bool { return d.vat == vat })
}

func sameDraws(a, b *change) bool {
	if len(a.draws) != len(b.draws) || math.Abs(a.litres-b.litres) > 1e-6 {
		return false
	}
	for _, d := range a.draws {
		if !slices.ContainsFunc(b.draws, func(e draw) bool { return d.vat == e.vat && math.Abs(d.litres-e.litres) <= 1e-6 }) {
			return false
		}
	}
	return true
}
