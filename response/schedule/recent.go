package schedule

import "math"

// scratch is memory of a problem that changes no answer: for trying, and of what has been
// worked out.
type scratch struct {
	outlook outlook
	lp      simplex // for blending
	memory  *memory // of the search for a plan; nil: there is none
	// What toSalinity and lifted found for salinities: vats keep theirs for long. What dilution
	// takes.
	grown, lifts recent[float64, float64]
	diluted      recent[dilutes, diluted]
	leaves       [][]float64 // by aim and full-size changes: see afterFull
}

// recent remembers what was worked out last for a few questions: a search asks the same
// again and again, as long as nothing has changed that matters to them.
type recent[K comparable, V any] struct {
	keys   [mostRecent]K
	values [mostRecent]V
	n, at  int // how many are remembered, and which is overwritten next
}

const mostRecent = 8

// find is what was worked out for a question; false: not lately.
func (r *recent[K, V]) find(k K) (v V, ok bool) {
	for i := range r.keys[:r.n] {
		if r.keys[i] == k {
			return r.values[i], true
		}
	}
	return v, false
}

// keep remembers an answer, and returns it.
func (r *recent[K, V]) keep(k K, v V) V {
	r.keys[r.at], r.values[r.at] = k, v
	r.at = (r.at + 1) % mostRecent
	r.n = min(r.n+1, mostRecent)
	return v
}

// shelf remembers what was worked out for more questions, each in a place of its own that others share:
// what was there is overwritten. What it remembers hangs on nothing but the question.
type shelf[K comparable, V any] struct {
	places [1 << shelfBits]struct {
		key   K
		value V
		known bool
	}
}

const shelfBits = 9

// golden spreads what it multiplies over the places: 2⁶⁴ over the golden ratio.
const golden = 0x9e3779b97f4a7c15

// place is where a question and its answer belong, by two numbers that tell it apart; false: they are
// not there.
func (r *shelf[K, V]) place(k K, a, b float64) (v *V, ok bool) {
	sum := (math.Float64bits(a)*golden ^ math.Float64bits(b)) * golden
	p := &r.places[sum>>(64-shelfBits)]
	ok = p.known && p.key == k
	p.key, p.known = k, true
	return &p.value, ok
}
