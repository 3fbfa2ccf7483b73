package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// twoWaters is a house whose vats hold water of two salinities, for a reef and a quarantine tub.
const twoWaters = `format: 1
systems:
  - {id: reef, net_volume: 520 L, water: {salinity: 35, temperature: 25 C}}
  - {id: tub, net_volume: 80 L, water: {salinity: 16, temperature: 25 C}}
stores:
  - {id: salty, holds: saltwater, capacity: 200 L, volume: 180 L, salinity: 35, temperature: 25 C, mixed: 2026-11-18}
  - {id: fresh, holds: saltwater, capacity: 150 L, volume: 100 L, salinity: 16, temperature: 25 C, mixed: 2026-11-20}
events: [{id: glass, system: reef, playbook: heater-break, remove: 50 %, within: 24 h}]
`

// twoWatersAt is that house after some entries.
func twoWatersAt(t *testing.T, commands ...string) (siteFile string) {
	t.Helper()
	siteFile = filepath.Join(t.TempDir(), "site.yaml")
	if err := os.WriteFile(siteFile, []byte(twoWaters), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range commands {
		if code, _, errs := onSite(siteFile, c); code != exitDone {
			t.Fatalf("%s: exit %d: %s", c, code, errs)
		}
	}
	return siteFile
}

// flat is an answer without its line breaks.
func flat(out string) string { return strings.Join(strings.Fields(out), " ") }

// TestPeopleBeforeWater: the answer to "incident open" went straight on to the first change, of a tank in which a heater
// lay broken open; no word of the card, and none of hands.
func TestPeopleBeforeWater(t *testing.T) {
	siteFile := twoWatersAt(t)
	for _, c := range []struct{ command, card string }{
		{"incident open glass --at 2026-11-25T02:40:00Z", "tidehold playbook --event glass"},
		{"incident open smells-odd --system tub --at 2026-11-25T02:41:00Z", "tidehold playbook unknown --system tub"},
	} {
		code, out, errs := onSite(siteFile, c.command)
		if code != exitDone {
			t.Fatalf("%s: exit %d: %s", c.command, code, errs)
		}
		out = flat(out)
		people, next := strings.Index(out, "hands, nets and tools stay out of the water"), strings.Index(out, "Next: ")
		if people < 0 || next < people || !strings.Contains(out, c.card) {
			t.Errorf("%s: people first, then %q, then what is next:\n%s", c.command, c.card, out)
		}
		// The card that is named must be one that prints.
		if code, _, errs := onSite(siteFile, strings.TrimPrefix(c.card, "tidehold ")); code != exitDone {
			t.Errorf("%s: exit %d: %s", c.card, code, errs)
		}
	}
}

// TestAReadingThatAnimalsDoNotBear: 2 mg/L of oxygen, 21 °C and 31 °C were entered, and answered by a change in four hours.
func TestAReadingThatAnimalsDoNotBear(t *testing.T) {
	limits := site.Limits{TemperatureLow: 22, TemperatureHigh: 28, SalinityLow: 32, SalinityHigh: 37, OxygenLow: 4}
	is := func(x float64) *float64 { return &x }
	for _, c := range []struct {
		own  float64
		read incident.Values
		want string
	}{
		{35, incident.Values{OxygenMgL: is(2)}, "oxygen 2.0 mg/L is no more than the lowest allowed, 4.0 mg/L: air into the water now, then the card: tidehold playbook unknown --system reef"},
		{35, incident.Values{TempC: is(22)}, "temperature 22.0 °C is no more than the lowest allowed, 22.0 °C: tidehold playbook too-cold --system reef"},
		{35, incident.Values{TempC: is(28.5)}, "temperature 28.5 °C is no less than the highest allowed, 28.0 °C: tidehold playbook too-hot --system reef"},
		{35, incident.Values{TempC: is(31)}, ""}, // from 25 °C: to be read again first
		{35, incident.Values{Salinity: is(31)}, "salinity 31.0 is no more than the lowest allowed, 32.0: tidehold playbook top-off-overrun --system reef"},
		{35, incident.Values{Salinity: is(3.5)}, ""}, // salt into a tank at 35 would be the harm
		{35, incident.Values{Salinity: is(38)}, "salinity 38.0 is no less than the highest allowed, 37.0: phone the veterinarian"},
		{35, incident.Values{TempC: is(24), Salinity: is(34), OxygenMgL: is(6)}, ""},
		{16, incident.Values{Salinity: is(16)}, ""}, // kept so: the limits are those of a reef
	} {
		n := nightOf(nil)
		n.System = &site.System{ID: "reef", Limits: limits, Water: site.Chemistry{Temperature: 25, Salinity: units.Practical(c.own)}}
		n.Log = incident.Log{OpenedAt: n.State.Now, Items: []incident.Item{{ID: 3, Kind: stock.Reading, At: n.State.Now, Values: &c.read}}}
		n.Water = incident.Water{State: plan.State{Temperature: 25, Salinity: c.own}}
		if c.read.TempC != nil {
			n.Water.State.Temperature = *c.read.TempC
		}
		if c.read.Salinity != nil {
			n.Water.State.Salinity = *c.read.Salinity
		}
		var said []string
		for _, b := range n.breachLines(n.breaches()) {
			said = append(said, b.Text)
		}
		if got := strings.TrimPrefix(strings.Join(said, " "), "WARNING: "); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	cool := nightOf(nil) // kept at 16 °C, under limits that are a reef's
	cool.System = &site.System{ID: "pool", Limits: limits, Water: site.Chemistry{Temperature: 16, Salinity: 35}}
	cool.Log = incident.Log{OpenedAt: cool.State.Now, Items: []incident.Item{{ID: 3, Kind: stock.Reading, At: cool.State.Now, Values: &incident.Values{TempC: is(15.5)}}}}
	if list := cool.Log.Breaches(cool.System, 3); len(list) > 0 {
		t.Errorf("kept at 16 °C, 15.5 °C is beyond limits of other animals: %v", list)
	}
	// It reaches the screen.
	siteFile := oneWaterAt(t, "incident open glass --at 2026-11-25T02:40:00Z")
	for _, c := range []struct {
		command string
		said    bool
	}{
		{"incident reading --oxygen 2mg/L --at 2026-11-25T02:50:00Z", true},
		{"incident note quiet --at 2026-11-25T02:52:00Z", true}, // the answer to another entry, and the state, had no word of it
		{"incident status --at 2026-11-25T02:53:00Z", true},
		{"incident reading --oxygen 6mg/L --at 2026-11-25T02:55:00Z", false},
		{"incident status --at 2026-11-25T02:56:00Z", false},
	} {
		_, out, errs := onSite(siteFile, c.command)
		out = flat(out)
		air, next := strings.Index(out, "air into the water now, then the card: tidehold playbook unknown --system reef"), strings.Index(out, "Next: ")
		if c.said != (air >= 0) || air > next || strings.Contains(errs, "tidehold:") {
			t.Errorf("%s:\n%s%s", c.command, out, errs)
		}
	}
}

// TestOneReadingOfTwoWaters: one --salinity was taken for both vats, so that 27.7 L of 16 counted as 35: the tank stood at
// 35.0 with none of a day's limit used, and was at 34.0 with half of it gone.
func TestOneReadingOfTwoWaters(t *testing.T) {
	siteFile := twoWatersAt(t, "incident open glass --at 2026-11-25T02:40:00Z")
	const change = "incident change 129.2L --from salty=101.5L --from fresh=27.7L --at 2026-11-25T03:20:00Z"
	code, _, errs := onSite(siteFile, change+" --salinity 35")
	if want := "salty holds 35.0 and fresh 16.0 by the record, which make 30.9"; code != exitUsage || !strings.Contains(errs, want) {
		t.Errorf("exit %d, want %q: %s", code, want, errs)
	}
	// Poured together first and measured then, it is one water.
	if code, _, errs := onSite(siteFile, change+" --salinity 30.8"); code != exitDone {
		t.Errorf("exit %d: %s", code, errs)
	}
	// Of one water in two vats a reading is one of both.
	siteFile = twoWatersAt(t, "stock tested fresh --salinity 35 --at 2026-11-24T20:00:00Z", "incident open glass --at 2026-11-25T02:40:00Z")
	if code, _, errs := onSite(siteFile, change+" --salinity 33.9"); code != exitDone {
		t.Errorf("exit %d: %s", code, errs)
	}
}

// TestOneReadingIsNotAskedOfTwoWaters: the command that was to be typed asked for one --salinity of two waters, which
// is then refused or, before, was taken for both.
func TestOneReadingIsNotAskedOfTwoWaters(t *testing.T) {
	siteFile := filepath.Join(t.TempDir(), "site.yaml")
	heated := strings.Replace(twoWaters, "salinity: 35, temperature: 25 C, mixed", "salinity: 35, temperature: 20 C, heater: 300 W, mixed", 1)
	if err := os.WriteFile(siteFile, []byte(heated), 0o600); err != nil {
		t.Fatal(err)
	}
	_, out, errs := onSite(siteFile, "incident open glass --at 2026-11-25T02:40:00Z")
	out = strings.ReplaceAll(flat(out), "\\ ", "")
	if !strings.Contains(out, "--from fresh=") || !strings.Contains(out, "--from salty=") {
		t.Fatalf("the first change is not of both waters: %s%s", out, errs)
	}
	if strings.Contains(out, "--salinity VALUE") || !strings.Contains(out, "--temp VALUE") {
		t.Errorf("one --temp, and no --salinity:\n%s", out)
	}
}
