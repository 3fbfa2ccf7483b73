package units

import "testing"

// What is past a limit is not printed as the limit: 24 h 13 min of 24 h was "1 d; 1 d is allowed".
func TestHoursPast(t *testing.T) {
	for _, c := range []struct {
		h, limit float64
		want     string
	}{{24.22, 24, "1 d 1 h"}, {24, 24, "1 d"}, {23.9, 24, "23 h 54 min"}, {26, 24, "1 d 2 h"}, {6.004, 6, "6 h 1 min"}, {5.999, 6, "6 h"}, {72.4, 72, "3 d 1 h"}} {
		if got := HoursPast(c.h, c.limit); got != c.want {
			t.Errorf("%g of %g: %q, want %q", c.h, c.limit, got, c.want)
		}
	}
}
