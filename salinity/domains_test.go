package salinity

import (
	"math"
	"testing"
)

// TestRangesAsPublished: each relation from the least to the most its authors fitted it to (where
// that was not seen, to what this tool holds it to), and
// not a hair beyond. Temperatures as the relation takes them.
func TestRangesAsPublished(t *testing.T) {
	domains := map[*domain][4]float64{
		&pssDomain: {0, 42, -2, 35}, &eosDomain: {0, 42, 0, 40}, &cpDomain: {0, 42, 0, 40}, &bkDomain: {0, 40, 0, 40}, &weissDomain: {0, 40, -1, 40}, &msDomain: {0, 40, 0, 30}, &qfDomain: {0, 35, 0, 30},
		&dicksonDomain: {5, 45, 0, 45}, &luekerDomain: {19, 43, 2, 35}, &sulfideDomain: {0, 45, 0, 45}, &waterDomain: {0, 45, 0, 45},
	}
	for i := range ammoniaRelations {
		r := &ammoniaRelations[i]
		switch r.method {
		case YaoMillero:
			domains[&r.domain] = [4]float64{0, 40, 0, 40}
		case Bell:
			domains[&r.domain] = [4]float64{5, 40, 5, 25}
		case EPA1989:
			domains[&r.domain] = [4]float64{0, 40, 0, 35}
		default:
			domains[&r.domain] = [4]float64{0, 40, -2, 40}
		}
	}
	const hair = 1e-6
	for d, want := range domains {
		s, temp := (want[0]+want[1])/2, (want[2]+want[3])/2
		for _, c := range []struct {
			s, t float64
			ok   bool
		}{
			{want[0], temp, true}, {want[1], temp, true}, {s, want[2], true}, {s, want[3], true},
			{want[0] - hair, temp, false}, {want[1] + hair, temp, false}, {s, want[2] - hair, false}, {s, want[3] + hair, false}, {math.NaN(), temp, false}, {s, math.NaN(), false},
		} {
			if d.holds(c.s, c.t) != c.ok {
				t.Errorf("%s: salinity %g at %g °C: %v", d.relation, c.s, c.t, !c.ok)
			}
		}
	}
}
