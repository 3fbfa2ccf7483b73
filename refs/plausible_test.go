package refs

import "testing"

// TestPlausibleRangesAreWhole: each row has both ends, a basis and a way to measure.
func TestPlausibleRangesAreWhole(t *testing.T) {
	list := PlausibleRanges()
	if len(list) < 20 {
		t.Errorf("only %d rows", len(list))
	}
	seen := map[string]bool{}
	for _, p := range list {
		if p.Path == "" || p.Low == "" || p.High == "" || p.Low == p.High || p.Basis == "" || p.Measure == "" || seen[p.Path] {
			t.Errorf("%+v", p)
		}
		seen[p.Path] = true
		if got, ok := PlausibleRange(p.Path); !ok || got != p {
			t.Errorf("%s is not found", p.Path)
		}
	}
	if _, ok := PlausibleRange("systems.livestock.fish_mass"); ok {
		t.Error("a matter of counting has a range")
	}
}
