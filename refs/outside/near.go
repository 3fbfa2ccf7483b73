package outside

import "math"

// Near fails a test when got is not within tolerance of want, which NaN never is. t is a
// *testing.T or the like of a property's.
func Near(t interface {
	Helper()
	Errorf(format string, args ...any)
}, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.17g, want %.17g ± %g", what, got, want, tolerance)
	}
}
