package dilution

import (
	"math"
	"slices"
)

// tally is what trials say together. Neither the sums nor the order statistics
// depend on the order in which parts are merged.
type tally struct {
	trials  int
	byCount []group // by the number of changes needed
	never   int
}

// group is the trials that need one number of changes, and their last ones where
// they were kept.
type group struct {
	trials int
	lasts  []float64
}

// add counts one trial in.
func (t *tally) add(r need, lastOf int) {
	if r.n == never {
		t.never++
		return
	}
	n := int(r.n)
	if n >= len(t.byCount) {
		t.grow(n)
	}
	g := &t.byCount[n]
	g.trials++
	if lastOf == anyNumber || lastOf == n {
		g.lasts = append(g.lasts, r.last)
	}
}

// grow makes room for groups up to n.
func (t *tally) grow(n int) {
	for n >= len(t.byCount) {
		t.byCount = append(t.byCount, group{})
	}
}

// merge adds another tally's groups.
func (t *tally) merge(other tally) {
	t.never += other.never
	t.grow(len(other.byCount) - 1)
	for n, g := range other.byCount {
		mine := &t.byCount[n]
		mine.trials += g.trials
		if mine.lasts == nil {
			mine.lasts = g.lasts
			continue
		}
		mine.lasts = append(mine.lasts, g.lasts...)
	}
}

// rank is how many trials a share of them is, rounded up.
func (t tally) rank(share float64) int {
	return max(1, int(math.Ceil(share*float64(t.trials)-1e-9)))
}

// changes returns the smallest number of full-size changes that suffices in the
// given share of the trials; nil when none does.
func (t tally) changes(share float64) *int {
	sum, rank := 0, t.rank(share)
	for n, g := range t.byCount {
		if sum += g.trials; sum >= rank {
			return &n
		}
	}
	return nil
}

// last returns the smallest last change that, after n − 1 full-size ones, suffices
// in the given share of the trials, n being changes(share), whose last changes were
// kept.
func (t tally) last(share float64, n int) float64 {
	rank := t.rank(share) - 1
	for _, g := range t.byCount[:n] {
		rank -= g.trials
	}
	return ranked(t.byCount[n].lasts, rank)
}

// ranked returns the element that would stand at index rank were x sorted: the
// values are counted into buckets, and only the bucket it falls in is sorted.
func ranked(x []float64, rank int) float64 {
	const buckets = 4096
	low, high := slices.Min(x), slices.Max(x)
	scale := (buckets - 1) / (high - low)
	if math.IsInf(scale, 1) {
		return low
	}
	var counts [buckets]int
	for _, v := range x {
		counts[int((v-low)*scale)]++
	}
	bucket := 0
	for rank >= counts[bucket] {
		rank -= counts[bucket]
		bucket++
	}
	inside := make([]float64, 0, counts[bucket])
	for _, v := range x {
		if int((v-low)*scale) == bucket {
			inside = append(inside, v)
		}
	}
	slices.Sort(inside)
	return inside[rank]
}
