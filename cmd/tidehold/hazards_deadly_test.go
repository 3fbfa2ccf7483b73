package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What kills within a day stands on the first screen, before warnings: of a shop of three systems it left out three
// heaters that stay on, for the same two warnings of each.
func TestWhatKillsIsShownBeforeWarnings(t *testing.T) {
	const shop = `format: 1
systems:
  - {id: fish-wall, net_volume: 1400 L, ambient: {usual: 21 C, coldest: 15 C, hottest: 30 C}, unattended: 15 h, livestock: {fish_mass: 3 kg, sensitivity: fish}, equipment: [{id: hw, kind: heater, power: 800 W}, {id: tow, kind: top-off, reservoir: 100 L, flow: 30 L/h}]}
  - {id: coral-tables, net_volume: 900 L, ambient: {usual: 21 C, coldest: 15 C, hottest: 30 C}, unattended: 15 h, equipment: [{id: hc, kind: heater, power: 500 W}, {id: ca, kind: doser, doses: calcium, strength: 100 mg/mL, reservoir: 5 L, flow: 1 L/h}]}
  - {id: invert, net_volume: 350 L, ambient: {usual: 21 C, coldest: 15 C, hottest: 30 C}, unattended: 15 h, equipment: [{id: hi, kind: heater, power: 200 W}]}
stores: [{id: vat, holds: purified, capacity: 1000 L, volume: 800 L, filled_by: purifier}]
purifier: {rate: 30 L/h}
`
	file := filepath.Join(t.TempDir(), "site.yaml")
	if err := os.WriteFile(file, []byte(shop), 0o600); err != nil {
		t.Fatal(err)
	}
	_, out, _ := onTerminal("hazards", "--site", file)
	said := strings.Join(strings.Fields(out), " ")
	for _, want := range []string{"fish-wall outage: oxygen", "coral-tables hc stuck on", "fish-wall hw stuck on", "invert hi stuck on",
		"! fish-wall, coral-tables and invert: heat_loss is not given"} {
		if !strings.Contains(said, want) {
			t.Errorf("no %q", want)
		}
	}
	if n := strings.Count(out, "\n"); n > screenLines || t.Failed() {
		t.Errorf("%d lines:\n%s", n, out)
	}
	if _, out, _ := tidehold("hazards", "--site", file, "--format", "json"); strings.Count(out, "heat_loss is not given") != 3 {
		t.Errorf("data keep each warning:\n%s", out)
	}
}
