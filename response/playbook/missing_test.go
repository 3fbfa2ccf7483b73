package playbook

import (
	"testing"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// TestWhatIsMissingIsSaidAsWater: another keeper is phoned for it, whose water is another: a tub at 16 was
// lacking so and so many litres, and saltwater at 35 would have come.
func TestWhatIsMissingIsSaidAsWater(t *testing.T) {
	litres := 111.52
	for _, c := range []struct {
		f    Facts
		want string
	}{
		{Facts{}, "all they can spare"},
		{Facts{LackingL: &litres}, "111.6 L"},
		{Facts{LackingL: &litres, Water: &site.Chemistry{Salinity: 16}}, "111.6 L at 16.0 salinity"},
		{Facts{LackingL: &litres, Water: &site.Chemistry{Salinity: 16}, Units: units.US}, "29.5 gal at 16.0 salinity"},
	} {
		if got := (&filler{facts: &c.f, seen: map[string]bool{}, cautions: map[string]bool{}}).text("{{missing}}"); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
