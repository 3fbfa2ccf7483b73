package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Of events out of reach, which no list of purchases mends, the screen of a house says why and what to do, and not
// the verdict alone; and a house of which no equipment is named is not taken for one where little can go wrong.
func TestWhatNoListMendsIsSaid(t *testing.T) {
	const house = `format: 1
systems: [{id: tank, net_volume: 40 L}, {id: tub, net_volume: 30 L, equipment: [{id: h, kind: heater, power: 50 W}]}]
stores: [{id: vat, holds: saltwater, volume: 150 L, temperature: 25 C, mixed: 2026-11-20, background: {copper: 6 ug/L}}]
events:
  - {id: below, system: tank, contaminant: copper, start: 30 ug/L, target: 5 ug/L, within: 3 d}
  - {id: fed, system: tank, contaminant: copper, start: 30 ug/L, target: 7 ug/L, within: 3 d, source: 1 mg/h}
  - {id: again, system: tub, contaminant: copper, start: 30 ug/L, target: 4 ug/L, within: 3 d}
`
	file := filepath.Join(t.TempDir(), "site.yaml")
	if err := os.WriteFile(file, []byte(house), 0o600); err != nil {
		t.Fatal(err)
	}
	for command, wants := range map[string][]string{
		"ready": {"below (tank): no number of changes brings copper below 6.00 µg/L (target 5.00 µg/L); the new water itself brings 6.00 µg/L: use water that brings less.",
			"fed (tank): no number", "stop the source.", "1 more event that no list mends: --all says why."},
		"hazards":              {"No heater, top-off or other equipment is named for tank: none is looked at."},
		"hazards --system tub": {"h breaks"},
	} {
		_, out, _ := onTerminal(append(strings.Fields(command), "--site", file, "--at", "2026-11-25T08:00:00Z")...)
		said := strings.Join(strings.Fields(out), " ")
		for _, want := range wants {
			if !strings.Contains(said, want) {
				t.Errorf("%s: no %q in\n%s", command, want, out)
			}
		}
		if n := strings.Count(out, "\n"); n > screenLines || strings.Contains(command, "tub") && strings.Contains(out, "No heater") {
			t.Errorf("%s: %d lines\n%s", command, n, out)
		}
	}
}
