package refs

import (
	"strings"
	"testing"
)

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
		// A source by its key, or the words for what is known by doing it.
		bracket := strings.Contains(p.Basis, "[") && strings.Contains(p.Basis, "]")
		either := p.Low == "no" && p.High == "yes"
		if !bracket && !either && !strings.Contains(p.Basis, "common practice") {
			t.Errorf("%s rests on %q: neither a source nor common practice", p.Path, p.Basis)
		}
		if got, ok := PlausibleRange(p.Path); !ok || got != p {
			t.Errorf("%s is not found", p.Path)
		}
	}
	if _, ok := PlausibleRange("systems.livestock.fish_mass"); ok {
		t.Error("a matter of counting has a range")
	}
}
