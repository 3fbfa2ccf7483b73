package site_test

import (
	"strings"
	"testing"

	"tidehold/refs/yamlwalk"
	"tidehold/volumes/site"
)

func TestSetReplacesOneValueByItsPathOfIDs(t *testing.T) {
	data := read(t, "sites", "whole.yaml")
	for _, c := range []struct {
		set string
		get func(*site.Site) any
		was any
		now any
	}{
		{"stores.vat-a.volume=200L", func(s *site.Site) any { return s.StoreByID("vat-a").Volume.String() }, "344.593444", "200"},
		{"stores.vat-a.level=50 cm", func(s *site.Site) any { return s.StoreByID("vat-a").Volume.String() }, "344.593444", "220.893233"},
		{"stores.pure-a.volume = 10 gal", func(s *site.Site) any { return s.StoreByID("pure-a").Volume.String() }, "252", "37.85411784"},
		{"purifier.feed=6C", func(s *site.Site) any { return float64(s.Purifier.Feed) }, 12.0, 6.0},
		{"systems.hall-reef.drawdown=30%", func(s *site.Site) any { return s.Systems[0].Drawdown }, 0.45, 0.3},
		{"systems.hall-reef.water.salinity=33", func(s *site.Site) any { return float64(s.Systems[0].Water.Salinity) }, 35.0, 33.0},
		{"systems.hall-reef.ambient=22C", func(s *site.Site) any { return float64(s.Systems[0].Ambient.Coldest) }, 14.0, 22.0},
		{"systems.hall-reef.heat_loss.coefficient=20 W/K", func(s *site.Site) any { return s.Systems[0].HeatLoss.HeaterDuty == nil }, false, true},
		{"systems.hall-reef.equipment.heater-1.power=500W", func(s *site.Site) any { return s.Systems[0].Equipment[0].PowerW }, 300.0, 500.0},
		{"salts.house.on_hand=10kg", func(s *site.Site) any { return s.Salts[0].OnHand.String() }, "42", "10"},
		{"reserve.saltwater=0L", func(s *site.Site) any { return float64(s.Reserve.Saltwater) }, 60.0, 0.0},
		{"events.broken-heater.within=6h", func(s *site.Site) any { return s.EventByID("broken-heater").WithinH }, 72.0, 6.0},
		{"events.broken-heater.remove=90%", func(s *site.Site) any { return s.EventByID("broken-heater").Contaminant }, "copper", ""},
		{"routine.hall-reef.volume=50L", func(s *site.Site) any { return float64(s.Routine[0].Volume) }, 90.0, 50.0},
		{"kit.copper test.have=0", func(s *site.Site) any { return s.Kit[1].Have }, 1, 0},
		{"mixing.in=[vat-a]", func(s *site.Site) any { return len(s.Mixing.In) }, 1, 1},
		{"stores.vat-a.background.copper=2 ug/L", func(s *site.Site) any { return s.StoreByID("vat-a").Background["copper"] }, 1.0, 2.0},
		{"stores.pure-a.background.copper=2 ug/L", func(s *site.Site) any { return s.StoreByID("pure-a").Background["copper"] }, 0.0, 2.0},
	} {
		before, faults := site.Load("whole.yaml", data)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if got := c.get(before); got != c.was {
			t.Errorf("before %s: %v, want %v", c.set, got, c.was)
		}
		after, faults := site.LoadWith("whole.yaml", data, []string{c.set})
		if len(faults) > 0 {
			t.Errorf("%s: %v", c.set, yamlwalk.Faults(faults))
			continue
		}
		if got := c.get(after); got != c.now {
			t.Errorf("after %s: %v, want %v", c.set, got, c.now)
		}
	}
}

func TestSetsActInOrderAndMakeWhatIsMissing(t *testing.T) {
	s, faults := site.LoadWith("x", read(t, "sites", "three-lines.yaml"), []string{"purifier.rate=5 L/h", "purifier.rate=6 L/h", "systems.tank.limits.temperature_step=3 C"})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if s.Purifier.RateLH != 6 || s.Systems[0].Limits.TemperatureStep != 3 {
		t.Errorf("rate %v, step %v", s.Purifier.RateLH, s.Systems[0].Limits.TemperatureStep)
	}
}

func TestFaultsOfSetNameTheFlag(t *testing.T) {
	for set, want := range map[string]string{
		"purifier.feed":                 `--set: "purifier.feed" is not an assignment; PATH=VALUE with ids in the path, as stores.vat-a.volume=200L`,
		"=5":                            `--set: "=5" is not an assignment; PATH=VALUE with ids in the path, as stores.vat-a.volume=200L`,
		"purifier.feed=6X":              `--set purifier.feed: "6X" has the unknown unit "X"; a temperature in C, F`,
		"purifier.feed=":                `--set purifier.feed: empty value; a temperature in C, F`,
		"purifer.feed=6C":               `--set purifer.feed: unknown key "purifer"; allowed: format, systems, name, units, currency, time_zone, stores, salts, purifier, mixing, reserve, routine, deliveries, awake, media, kit, drills, contacts, events, together; did you mean "purifier"?`,
		"purifier.fed=6C":               `--set purifier.fed: unknown key "fed"; allowed: rate, rated_at, feed, guards; did you mean "feed"?`,
		"stores.vat-x.volume=200L":      `--set stores.vat-x.volume: there is no "vat-x" in the file; allowed: vat-a, pure-a; did you mean "vat-a"?`,
		"stores.vat-a.volume=2000L":     `--set stores.vat-a.volume: "2000L" is above the brim; at most 441.78 L`,
		"stores.vat-a.level=2 m":        `--set stores.vat-a.level: "2 m" is above the brim; a level from 0 to 100 cm (1 m)`,
		"stores.vat-a.volume=200 gal":   `--set stores.vat-a.volume: "200 gal" is above the brim; at most 441.78 L (116.7 gal)`,
		"stores.vat-a.salinity=350":     `--set stores.vat-a.salinity: "350" is out of range; practical salinity 0 to 42; write 35.0 if the decimal point was lost`,
		"stores=5":                      `--set stores: "5" is a single value; a list of mappings with id, holds, shape, capacity, level, volume, heel, salinity, temperature, ph, alkalinity, calcium, magnesium, mixed, max_age, heater, heat_loss, transfer, background, filled_by`,
		"stores.vat-a=5":                `--set stores.vat-a: stores is a list and has no keys; PATH=VALUE with ids in the path, as stores.vat-a.volume=200L`,
		"name.short=x":                  `--set name.short: name is a single value and has no keys; PATH=VALUE with ids in the path, as stores.vat-a.volume=200L`,
		"name.short.er=x":               `--set name.short.er: short would stand in a single value; PATH=VALUE with ids in the path, as stores.vat-a.volume=200L; set the whole in its place`,
		"mixing.in=[vat-a":              `--set mixing.in: "[vat-a" is not well formed; one value, [a, b] or {key: value}`,
		"mixing.in=[vat-b]":             `--set mixing.in: there is no saltwater store "vat-b"; allowed: vat-a; did you mean "vat-a"?`,
		"contacts.vet.phone=1":          `--set contacts.vet.phone: the list is empty, it has no "vet"; an id that stands in the file`,
		"events.broken-heater.within=0": `--set events.broken-heater.within: "0" has no unit; a duration in h, min, s, d, wk; write 0 h or 0 d`,
		"stores.0.volume=5L":            `--set stores.0.volume: 0 is a place in the list, not a name; the id of one of its items: vat-a, pure-a; write vat-a for 0`,
		"kit.1.have=0":                  `--set kit.1.have: 1 is a place in the list, not a name; the item of one of its items: transfer pump, copper test; write copper test for 1`,
		"format=2":                      `--set format: "2" is out of range; only 1`,
	} {
		s, faults := site.LoadWith("whole.yaml", read(t, "sites", "whole.yaml"), []string{set})
		var got []string
		for _, f := range faults {
			got = append(got, f.Error())
		}
		if s != nil || strings.Join(got, "\n") != want {
			t.Errorf("%s\ngot  %s\nwant %s", set, strings.Join(got, "\n"), want)
		}
	}
}

// What was written in US units is answered in them too, and no message shows the
// digits of a conversion.
func TestFaultsNameBoundsInTheUnitWritten(t *testing.T) {
	for set, want := range map[string]string{
		"stores.vat-a.level=50 in":                      `a level from 0 to 100 cm (39.37 in)`,
		"stores.vat-a.heel=200 gal":                     `at most 441.78 L (116.7 gal)`,
		"routine.hall-reef.volume=900 gal":              `at most 640 L (169 gal)`,
		"systems.hall-reef.water.temperature=180 F":     `temperature 0 to 40 C (32 to 104 F)`,
		"systems.hall-reef.net_volume=0 gal":            `volume 0.1 to 10000000 L (0.02642 to 2641000 gal)`,
		"systems.hall-reef.ambient.coldest=70 F":        `at most 66.2 F`,
		"systems.hall-reef.ambient.hottest=60 F":        `at least 66.2 F`,
		"systems.hall-reef.limits.temperature_low=85 F": `temperature_low is 85 F and temperature_high is 84.2 F`,
	} {
		_, faults := site.LoadWith("whole-us.yaml", read(t, "sites", "whole-us.yaml"), []string{set})
		if len(faults) != 1 || !strings.Contains(faults[0].Error(), want) {
			t.Errorf("%s: %v, want %q", set, faults, want)
		}
	}
}

func TestSetOnAListThatIsNotThere(t *testing.T) {
	_, faults := site.LoadWith("x", read(t, "sites", "three-lines.yaml"), []string{"salts.house.on_hand=3kg"})
	want := "--set salts.house.on_hand: the file has no salts; an id that stands in the file"
	if got := yamlwalk.Faults(faults).Error(); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
