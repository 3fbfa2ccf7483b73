package salinity

import (
	"math"
	"testing"

	"tidehold/refs/outside"
)

var near = outside.Near

// worst follows the largest difference of a comparison.
type worst struct {
	n     int
	at    string
	delta float64
}

func (w *worst) see(at string, got, want float64) {
	w.n++
	if d := math.Abs(got - want); !(d <= w.delta) {
		w.delta, w.at = d, at
	}
}

func (w *worst) within(t *testing.T, what string, tolerance float64) {
	t.Helper()
	if w.n == 0 {
		t.Errorf("%s: compared nothing", what)
	}
	if !(w.delta <= tolerance) {
		t.Errorf("%s: differs by %g at %s, more than %g", what, w.delta, w.at, tolerance)
	}
	t.Logf("%s: %d compared, worst %.3g at %s, allowed %g", what, w.n, w.delta, w.at, tolerance)
}
