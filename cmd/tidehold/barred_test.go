package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestWhatBarsEveryChangeIsNamed: houses with water on hand and no change that their own limits allow were told
// that water on hand is what limits them.
func TestWhatBarsEveryChangeIsNamed(t *testing.T) {
	for _, c := range []struct {
		name, site string
		dilute     []string
		ready      string
		night      string
	}{
		{"a cold vat", `systems: [{id: tank, net_volume: 500 L, water: {salinity: 35, temperature: 26 C}, limits: {temperature_step: 0.5 C, temperature_per_day: 1 C}}]
stores: [{id: vat, holds: saltwater, volume: 480 L, heel: 10 L, salinity: 35.5, temperature: 12 C, mixed: 2026-11-20},{id: pure, holds: purified, volume: 20 L, temperature: 15 C}]
salts: [{id: s, on_hand: 1 kg, dose: 38 g/L, price: 4, bag: 10 kg}]
events: [{id: e, system: tank, contaminant: ammonia, start: 1 mg/L, target: 0.3 mg/L, within: 1 d, reheats: no}]
`, []string{"NO CHANGE CAN BE MADE to bring ammonia total in tank", "What limits it: smallest change planned 5 % (assumed; systems.tank.least_change): no change can be made; with 1 %: some can"},
			"", "smallest change planned 5 % (assumed; systems.tank.least_change): no change can be made; with 1 %: some can, but it is never done; else 466 L more saltwater (salinity 35.0, 26.0 °C) is needed"},
		{"a cold vat, heaters in the tank", `systems: [{id: tank, net_volume: 500 L, water: {salinity: 35, temperature: 26 C}, limits: {temperature_step: 0.5 C, temperature_per_day: 1 C}, equipment: [{id: h, kind: heater, power: 800 W}]}]
stores: [{id: vat, holds: saltwater, volume: 480 L, heel: 10 L, salinity: 35.5, temperature: 12 C, mixed: 2026-11-20}]
events: [{id: e, system: tank, contaminant: ammonia, start: 1 mg/L, target: 0.3 mg/L, within: 1 d, reheats: yes}]
`, []string{"smallest change planned 5 % (assumed; systems.tank.least_change): no change can be made; with 1 %: "}, "limited by smallest change planned", "smallest change planned 5 % (assumed; "},
		{"less may be out than a change is", `systems: [{id: tank, net_volume: 300 L, drawdown: 2 %, change_every: 1 h, least_change: 5 %, water: {salinity: 35, temperature: 25 C}}]
stores: [{id: z, holds: saltwater, volume: 400 L, temperature: 25 C, salinity: 35, mixed: 2026-11-20}]
events: [{id: e, system: tank, remove: 30 %, within: 1 d}]
`, []string{"smallest change planned 5 % (systems.tank.least_change): no change can be made; with 1 %: done after ",
			"systems.tank: least_change 5 % is more than drawdown 2 %, what may be out at once, so that no change is ever planned; write least_change: 2 % or less"},
			"limited by smallest change planned", "smallest change planned 5 % (systems.tank.least_change): no change can be made; with 1 %: done after "},
		{"a tank colder than is assumed of it", `systems: [{id: tank, net_volume: 900000 L, water: {salinity: 34, temperature: 18 C}}]
stores: [{id: pond, holds: saltwater, volume: 300000 L, heel: 2000 L, salinity: 33, temperature: 16 C, mixed: 2026-11-20, transfer: 60000 L/h},{id: pure, holds: purified, volume: 100000 L, transfer: 30000 L/h}]
salts: [{id: s, on_hand: 3000 kg, dose: 37 g/L, price: 1.2, bag: 1000 kg}]
purifier: {rate: 2000 L/h}
events: [{id: e, system: tank, contaminant: copper, start: 10 ug/L, target: 5 ug/L, within: 3 d}]
`, []string{"lowest temperature 22.0 °C (assumed; systems.tank.limits.temperature_low): no change can be made; with 17.0 °C: "}, "limited by lowest temperature", "lowest temperature 22.0 °C (assumed; "},
		{"nothing on hand", `systems: [{id: tank, net_volume: 300 L}]
stores: [{id: z, holds: saltwater, volume: 0 L, capacity: 200 L}]
events: [{id: e, system: tank, remove: 30 %, within: 1 d}]
`, []string{"NOT ENOUGH WATER to take out 30 %", "What limits it: water on hand: never done; with "}, "limited by water on hand", "no change can be made with what is on hand: "},
	} {
		file := filepath.Join(t.TempDir(), "site.yaml")
		if err := os.WriteFile(file, []byte("format: 1\n"+c.site), 0o600); err != nil {
			t.Fatal(err)
		}
		args := []string{"--site", file, "--event", "e", "--at", "2026-11-25T08:00:00Z"}
		_, out, _ := onTerminal(append([]string{"dilute"}, args...)...)
		said := strings.Join(strings.Fields(out), " ")
		for _, want := range c.dilute {
			if !strings.Contains(said, want) {
				t.Errorf("%s: dilute does not say %q:\n%s", c.name, want, out)
			}
		}
		if n := strings.Count(out, "\n"); n > screenLines {
			t.Errorf("%s: %d lines", c.name, n)
		}
		at := []string{"--site", file, "--at", "2026-11-25T03:00:00Z"}
		onTerminal(append([]string{"incident", "open", "e"}, at...)...)
		_, out, _ = onTerminal(append([]string{"incident", "status"}, at...)...)
		if said := strings.Join(strings.Fields(out), " "); !strings.Contains(said, "Next: "+c.night) {
			t.Errorf("%s: the night does not say %q:\n%s", c.name, c.night, out)
		}
		_, out, _ = onTerminal(append([]string{"playbook"}, args...)...)
		for want, there := range map[string]bool{"No row can be done; phone for more.": true, "Do the rows;": false, ", ,": false, ": °C": false} {
			if strings.Contains(strings.Join(strings.Fields(out), " "), want) != there {
				t.Errorf("%s: the card says %q: %v\n%s", c.name, want, !there, out)
			}
		}
		if c.ready == "" {
			continue // a second's work, and the next house has the same answer
		}
		if _, out, _ = onTerminal(append([]string{"ready"}, args...)...); !strings.Contains(strings.Join(strings.Fields(out), " "), c.ready) {
			t.Errorf("%s: ready does not say %q:\n%s", c.name, c.ready, out)
		}
	}
}
