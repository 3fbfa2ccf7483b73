package schedule

// scratch is memory of a problem that changes no answer: for trying, and of what has been
// worked out.
type scratch struct {
	outlook outlook
	lp      simplex // for blending
	memory  *memory // of the search for a plan; nil: there is none
	// What toSalinity and lifted found for salinities: vats keep theirs for long. What dilution
	// takes, and what waters come to: salinity and temperature.
	grown, lifts recent[float64, float64]
	diluted      recent[dilutes, diluted]
	states       recent[contentNear, [2]float64]
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
