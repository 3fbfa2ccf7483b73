package incident

import (
	"slices"
	"testing"
)

// TestResultsOfOneWaterThatCannotBothBeRight: below 5 and 14 of one sample were averaged to 5.5 ± 0.9.
// The lower is held out, whatever the order; results that may both be right stay, and one entered twice
// counts once. Three standard deviations of two results ± 3 (k = 2) are 6.4.
func TestResultsOfOneWaterThatCannotBothBeRight(t *testing.T) {
	at := func(id int, h, ugL, u float64, below bool, doses int) Sample {
		return Sample{ID: id, AtH: h, UgL: ugL, U: u, Below: below, doses: doses}
	}
	for name, c := range map[string]struct {
		samples []Sample
		kept    []int
		odd     []Contradiction
	}{
		"below a limit":          {[]Sample{at(1, 7, 5, 0, true, 2), at(2, 7, 14, 2.8, false, 2)}, []int{2}, []Contradiction{{1, 2}}},
		"in the other order":     {[]Sample{at(1, 7, 14, 2.8, false, 2), at(2, 7, 5, 0, true, 2)}, []int{1}, []Contradiction{{2, 1}}},
		"two values":             {[]Sample{at(1, 7, 14, 3, false, 2), at(2, 7.2, 21, 3, false, 2)}, []int{2}, []Contradiction{{1, 2}}},
		"within their ±":         {[]Sample{at(1, 7, 14, 3, false, 2), at(2, 7.2, 20, 3, false, 2)}, []int{1, 2}, nil},
		"a change between":       {[]Sample{at(1, 7, 21, 3, false, 1), at(2, 7.2, 14, 3, false, 2)}, []int{1, 2}, nil},
		"an hour between":        {[]Sample{at(1, 7, 21, 3, false, 2), at(2, 8, 14, 3, false, 2)}, []int{1, 2}, nil},
		"both below":             {[]Sample{at(1, 7, 5, 0, true, 2), at(2, 7, 50, 0, true, 2)}, []int{1, 2}, nil},
		"entered twice":          {[]Sample{at(1, 7, 14, 3, false, 2), at(2, 7, 14, 3, false, 2)}, []int{1}, nil},
		"twice and one to doubt": {[]Sample{at(1, 7, 5, 0, true, 2), at(2, 7, 14, 2.8, false, 2), at(3, 7, 14, 2.8, false, 2)}, []int{2}, []Contradiction{{1, 2}}},
	} {
		s, odd := (Series{Samples: c.samples}).believed()
		var kept []int
		for _, p := range s.Samples {
			kept = append(kept, p.ID)
		}
		if !slices.Equal(kept, c.kept) || !slices.Equal(odd, c.odd) {
			t.Errorf("%s: %v kept, %v; want %v, %v", name, kept, odd, c.kept, c.odd)
		}
	}
}
