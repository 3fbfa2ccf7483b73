package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tidehold/refs/units"
)

// TestAMistypedValueIsAskedAboutBeforeWhatIsNext: 300 mg for µg stood under "take a second sample now, and meanwhile go on",
// with a plan by the wrong value and its command between: whoever stops reading there never learned of it.
func TestAMistypedValueIsAskedAboutBeforeWhatIsNext(t *testing.T) {
	siteFile := oneWaterAt(t, "incident open glass --at 2026-11-25T02:40:00Z", "incident reading --salinity 35 --temp 25C --at 2026-11-25T02:45:00Z")
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

// TestNobodyIsHandedTheCloseBeforeTheSecondSample: "confirm it with a second sample a day later, then:" stood over the command to
// close, which whoever types what is printed typed at once; and of a goal that nobody had measured a second sample was asked.
func TestNobodyIsHandedTheCloseBeforeTheSecondSample(t *testing.T) {
	siteFile := filepath.Join(t.TempDir(), "site.yaml")
	if err := os.WriteFile(siteFile, []byte(`format: 1
systems: [{id: tank, net_volume: 100 L, water: {salinity: 35, temperature: 25 C}}]
stores: [{id: vat, holds: saltwater, capacity: 200 L, volume: 200 L, salinity: 35, temperature: 25 C, mixed: 2026-11-20}]
events: [{id: spill, system: tank, contaminant: copper, start: 6 ug/L, target: 5 ug/L, within: 24 h}]
`), 0o600); err != nil {
		t.Fatal(err)
	}
	onSite(siteFile, "incident open spill --at 2026-11-25T02:40:00Z")
	for _, c := range []struct{ command, next string }{
		{"incident change 25L --from vat --salinity 35 --temp 25C --at 2026-11-25T03:20:00Z", "Next: it is reached by reckoning alone: take a sample, and enter what is found: tidehold incident result copper=VALUE"},
		{"incident result copper=3.5±0.3ug/L --sampled 2026-11-25T04:00:00Z --at 2026-11-25T04:00:00Z", "Next: confirm it with a second sample a day later, and enter what is found: tidehold incident result copper=VALUE"},
		{"incident result copper=3.6±0.3ug/L --sampled 2026-11-26T04:30:00Z --at 2026-11-26T04:30:00Z", "Next: two samples a day apart are at the goal: tidehold incident close"},
	} {
		if _, out, errs := onSite(siteFile, c.command); !strings.Contains(flat(out), c.next) {
			t.Errorf("%s: no %q:\n%s%s", c.command, c.next, out, errs)
		}
	}
}
