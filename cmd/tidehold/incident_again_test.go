package main

import (
	"strings"
	"testing"

	"tidehold/refs/units"
)

// TestAMistypedValueIsAskedAboutBeforeWhatIsNext: 300 mg for µg stood under "take a second sample now, and meanwhile go on",
// with a plan by the wrong value and its command between: whoever stops reading there never learned of it.
func TestAMistypedValueIsAskedAboutBeforeWhatIsNext(t *testing.T) {
	siteFile := twoWatersAt(t, "incident open glass --at 2026-11-25T02:40:00Z", "incident reading --salinity 35 --temp 25C --at 2026-11-25T02:45:00Z")
	_, out, errs := onSite(siteFile, "incident reading --salinity 3.5 --at 2026-11-25T02:50:00Z")
	out = flat(out)
	again, next := strings.Index(out, "WARNING: read it again: salinity 3.5"), strings.Index(out, "Next: ")
	if again < 0 || next < 0 || again > next || strings.Count(out, "read it again") != 1 {
		t.Errorf("once, and before what is next:\n%s%s", out, errs)
	}
	onSite(siteFile, "incident undo --at 2026-11-25T02:53:00Z")
	if _, out, _ := onSite(siteFile, "incident reading --salinity 3.5 --at 2026-11-25T02:55:00Z --format json"); strings.Contains(out, `"warnings": []`) {
		t.Errorf("no warning in JSON:\n%s", out)
	}
}

// TestWhatIsUsedUpIsEnteredAsFarAsItGoes: the last 2.258 kg of salt were rounded up to 2.26 in the command to type, which was then
// refused as more than was on hand.
func TestWhatIsUsedUpIsEnteredAsFarAsItGoes(t *testing.T) {
	for _, c := range []struct {
		amount, onHand float64
		want           string
	}{{2.2575, 2.258, "2.25kg"}, {2.258, 2.258, "2.25kg"}, {2.2, 2.258, "2.20kg"}, {3, 2.258, "3.00kg"}, {2.251, 20, "2.26kg"}} {
		if got := used(c.amount, c.onHand, units.Metric.MassToPour, units.Mass); got != c.want {
			t.Errorf("%g of %g: %s, want %s", c.amount, c.onHand, got, c.want)
		}
	}
	if got := used(25.68, 25.684, units.Metric.VolumeToPour, units.Volume); got != "25.6L" {
		t.Errorf("25.68 L of 25.684: %s", got)
	}
}
