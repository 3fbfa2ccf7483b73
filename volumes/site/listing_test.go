package site

import (
	"slices"
	"strings"
	"testing"

	"tidehold/refs"
	"tidehold/refs/units"
)

func TestDefaultsAreListedWithTheirBasis(t *testing.T) {
	list := Defaults()
	if len(list) < 20 {
		t.Errorf("only %d defaults", len(list))
	}
	for _, a := range list {
		if a.What == "" || a.Value == "" || a.Source == "" {
			t.Errorf("%+v is incomplete", a)
		}
	}
	if !slices.IsSortedFunc(list, func(a, b refs.Assumption) int { return strings.Compare(a.What, b.What) }) {
		t.Error("not in order of path")
	}
}

// TestRespellInTheUnitsOfTheSite: by the key's own kind of quantity; 0.5 C of a step are 0.9 F,
// and 20 C of a temperature 68 F.
func TestRespellInTheUnitsOfTheSite(t *testing.T) {
	for _, c := range []struct{ path, text, want string }{
		{"systems.limits.temperature_step", "0.5 C", "0.9 F"}, {"systems.limits.temperature_low", "20 C", "68 F"}, {"stores.heel", "15 L", "3.963 gal"},
		{"systems.drawdown", "20 %", "20 %"}, {"events.reheats", "no", "no"}, {"systems.limits.salinity_low", "30", "30"}, {"no.such", "1 L", "1 L"}, {"stores.heel", "much", "much"},
	} {
		if got := Respell(c.path, c.text, units.US); got != c.want {
			t.Errorf("%s %s: %q, want %q", c.path, c.text, got, c.want)
		}
		if got := Respell(c.path, c.text, units.Metric); got != c.text {
			t.Errorf("%s %s: %q in metric", c.path, c.text, got)
		}
	}
}
