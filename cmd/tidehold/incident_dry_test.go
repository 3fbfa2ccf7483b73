package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// dryVat is a house with a heated vat that is all but empty, and another that is full.
const dryVat = `format: 1
systems: [{id: reef, net_volume: 520 L, water: {salinity: 35, temperature: 25 C}}]
stores:
  - {id: low, holds: saltwater, capacity: 200 L, volume: 0.9 L, salinity: 35, temperature: 20 C, mixed: 2026-11-18, heater: 300 W}
  - {id: full, holds: saltwater, capacity: 200 L, volume: 180 L, salinity: 35, temperature: 20 C, mixed: 2026-11-18, heater: 300 W}
  - {id: pure, holds: purified, capacity: 200 L, volume: 180 L, temperature: 19 C}
salts: [{id: bag, on_hand: 20 kg, dose: 38 g/L}]
events: [{id: glass, system: reef, playbook: heater-break, remove: 50 %, within: 24 h}]
`

// oneWater is a house whose plans cost a test next to nothing: one tank, and enough of its water.
const oneWater = `format: 1
systems: [{id: reef, net_volume: 520 L, water: {salinity: 35, temperature: 25 C}}, {id: tub, net_volume: 80 L, water: {salinity: 35, temperature: 25 C}}]
stores: [{id: salty, holds: saltwater, capacity: 500 L, volume: 500 L, salinity: 35, temperature: 25 C, mixed: 2026-11-18}]
events: [{id: glass, system: reef, playbook: heater-break, remove: 50 %, within: 24 h}]
`

// oneWaterAt is that house after some entries.
func oneWaterAt(t *testing.T, commands ...string) (siteFile string) {
	t.Helper()
	siteFile = filepath.Join(t.TempDir(), "site.yaml")
	if err := os.WriteFile(siteFile, []byte(oneWater), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range commands {
		if code, _, errs := onSite(siteFile, c); code != exitDone {
			t.Fatalf("%s: exit %d: %s", c, code, errs)
		}
	}
	return siteFile
}

// TestNoHeaterIsOnInADryVat: "Heaters of low and full on from the start, under water", and low held 0.9 L.
func TestNoHeaterIsOnInADryVat(t *testing.T) {
	siteFile := filepath.Join(t.TempDir(), "site.yaml")
	if err := os.WriteFile(siteFile, []byte(dryVat), 0o600); err != nil {
		t.Fatal(err)
	}
	onSite(siteFile, "incident open glass --at 2026-11-25T02:40:00Z")
	for _, c := range []string{"incident status --at 2026-11-25T02:40:00Z", "dilute --event glass --at 2026-11-25T02:40:00Z"} {
		_, out, errs := onSite(siteFile, c)
		out = flat(out)
		if !strings.Contains(out, "Heaters of full on from the start, under water") || !strings.Contains(out, "Heaters of low only once there is water over them") {
			t.Errorf("%s: %s%s", c, out, errs)
		}
	}
}

// inTheNight runs one command on a site file at a moment of the night itself.
func inTheNight(siteFile, command string, now time.Time) (code int, out, errs string) {
	var stdout, stderr bytes.Buffer
	code = run(append(strings.Fields(command), "--site", siteFile), streams{
		In: strings.NewReader(""), Out: &stdout, Err: &stderr, Width: 80, Now: func() time.Time { return now }, Getenv: func(string) string { return "" },
	})
	return code, stdout.String(), stderr.String()
}

// TestEveryAnswerThatAsksForAChangeSaysWhatIsOffFirst: after the first entry the answers went on to the next change
// without a word of heaters and pumps that run dry as the water goes out.
func TestEveryAnswerThatAsksForAChangeSaysWhatIsOffFirst(t *testing.T) {
	siteFile := oneWaterAt(t, "incident open glass --at 2026-11-25T02:40:00Z")
	for _, c := range []string{"incident change 130L --from salty --at 2026-11-25T03:20:00Z", "incident note quiet --at 2026-11-25T03:30:00Z"} {
		_, out, errs := inTheNight(siteFile, c, time.Date(2026, 11, 25, 3, 35, 0, 0, time.UTC))
		out = flat(out)
		off, next := strings.Index(out, dryCaution), strings.Index(out, "Next: ")
		if next < 0 || off < 0 || off > next {
			t.Errorf("%s: what is off, then what is next:\n%s%s", c, out, errs)
		}
	}
}
