package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestWhatAnotherTankNeedsIsNotPouredAwayUnsaid: a tub of 200 L at salinity 28 was the more pressing, and its keeper was told to
// cut the one vat and pour most of it away: followed to the letter, the reef beside it was past saving.
func TestWhatAnotherTankNeedsIsNotPouredAwayUnsaid(t *testing.T) {
	siteFile := filepath.Join(t.TempDir(), "site.yaml")
	const house = `format: 1
systems:
  - {id: reef, net_volume: 1100 L, water: {salinity: 35, temperature: 25 C}, equipment: [{id: h1, kind: heater, power: 900 W}, {id: h2, kind: heater, power: 900 W}]}
  - {id: tub, net_volume: 200 L, water: {salinity: 28, temperature: 24 C}, limits: {salinity_low: 25, salinity_high: 36}, equipment: [{id: h3, kind: heater, power: 200 W}]}
stores:
  - {id: vat, holds: saltwater, capacity: 1000 L, volume: 900 L, salinity: 35, temperature: 24 C, mixed: 2026-11-20, transfer: 2000 L/h}
  - {id: pure, holds: purified, capacity: 800 L, volume: 250 L, temperature: 20 C}
events:
  - {id: spill, system: reef, remove: 50 %, within: 48 h}
  - {id: half, system: tub, remove: 50 %, within: 12 h}
`
	if err := os.WriteFile(siteFile, []byte(house), 0o600); err != nil {
		t.Fatal(err)
	}
	onSite(siteFile, "incident open spill --at 2026-11-25T02:00:00Z")
	_, out, errs := onSite(siteFile, "incident open half --at 2026-11-25T02:30:00Z")
	out = flat(out)
	if !strings.Contains(out, "away") {
		t.Fatalf("nothing is poured away:\n%s%s", out, errs)
	}
	said := strings.Index(out, "WARNING: this takes water that reef needs: it is late so, and alone is done")
	if said < 0 || said > strings.Index(out, "Next: ") || !strings.Contains(out, "write priority: 1 into its event spill") {
		t.Errorf("not said before it is poured:\n%s%s", out, errs)
	}
	_, out, errs = onSite(siteFile, "incident status --system reef --at 2026-11-25T02:30:00Z")
	if out = flat(out); !strings.Contains(out, "the most pressing first. Alone this is done") || !strings.Contains(out, "priority: 1 in event spill") {
		t.Errorf("not said of the one that is late:\n%s%s", out, errs)
	}
	// What it says helps.
	if err := os.WriteFile(siteFile, []byte(strings.Replace(house, "within: 48 h}", "within: 48 h, priority: 1}", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	_, out, errs = onSite(siteFile, "incident status --system reef --at 2026-11-25T02:30:00Z")
	if out = flat(out); strings.Contains(out, "not enough") || strings.Contains(out, "done late") || strings.Contains(out, "this takes water") || strings.Contains(out, "Alone this is done") {
		t.Errorf("with its priority:\n%s%s", out, errs)
	}
}
