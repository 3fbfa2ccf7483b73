package playbook

import (
	"strings"
	"testing"

	"tidehold/refs/units"
)

// TestBinsAreLookedForInWholeLitres: the card sent people to look for bins of 109.9 L.
func TestBinsAreLookedForInWholeLitres(t *testing.T) {
	for _, c := range []struct {
		litres     float64
		metric, us string
	}{{109.87, "110 L", "30 gal"}, {110, "110 L", "30 gal"}, {110.02, "111 L", "30 gal"}, {0.4, "1.0 L", "1.0 gal"}} {
		for u, want := range map[units.System]string{units.Metric: c.metric, units.US: c.us} {
			if got := (&Facts{BinL: &c.litres, Units: u}).bins(); got != want {
				t.Errorf("%v L: %s, want %s", c.litres, got, want)
			}
		}
	}
}

// TestWhoCarriesTheGenerator: the card had one person carry what may weigh more than one may lift.
func TestWhoCarriesTheGenerator(t *testing.T) {
	page := strings.Join(strings.Fields(Text(printedFor(t, siteOf(t, station), "outage"))), " ")
	if !strings.Contains(page, "over 23 kg by its plate takes two to carry") {
		t.Errorf("%s", page)
	}
}
