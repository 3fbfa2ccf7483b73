package plan

import "testing"

// A batch is drawn from by a change that takes water of its vat once it may be used; before, the change
// takes what was there.
func TestDrawn(t *testing.T) {
	b := Batch{StoreID: "vat", StartH: 2, MixedH: 4}
	for _, c := range []struct {
		atH   float64
		store string
		want  bool
	}{{4, "vat", true}, {9, "vat", true}, {3.9, "vat", false}, {4, "other", false}} {
		p := Plan{Steps: []Step{{AtH: c.atH, From: []Draw{{StoreID: "third"}, {StoreID: c.store}}}}}
		if got := p.Drawn(&b); got != c.want {
			t.Errorf("at %g h from %s: %v", c.atH, c.store, got)
		}
	}
	if (&Plan{}).Drawn(&b) {
		t.Error("drawn by no change")
	}
}
