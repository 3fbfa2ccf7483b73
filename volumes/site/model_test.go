package site_test

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"tidehold/refs/outside"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// flat lists every number and text of a site by its place in the model.
func flat(t *testing.T, s *site.Site) map[string]any {
	t.Helper()
	data, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(data, &tree); err != nil {
		t.Fatal(err)
	}
	out := map[string]any{}
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, x := range v {
				walk(path+"."+k, x)
			}
		case []any:
			for i, x := range v {
				walk(path+"."+strconv.Itoa(i), x)
			}
		case string:
			if x, err := strconv.ParseFloat(v, 64); err == nil {
				out[path] = x // an exact decimal
				return
			}
			out[path] = v
		default:
			out[path] = v
		}
	}
	walk("", tree)
	return out
}

// A file in inches, gallons, pounds and °F describes the same site. Its numbers
// are rounded to twelve decimals, so that no value may differ by more than 1e-9.
// Factors: NIST Handbook 44, appendix C.
func TestSameSiteInUSUnits(t *testing.T) {
	metric, us := flat(t, load(t, "whole.yaml")), flat(t, load(t, "whole-us.yaml"))
	compared := 0
	for path, want := range metric {
		if path == ".Units" {
			continue
		}
		got, ok := us[path]
		x, isNumber := want.(float64)
		y, alsoNumber := got.(float64)
		switch {
		case !ok:
			t.Errorf("%s is missing", path)
		case strings.HasPrefix(path, ".Assumptions"):
		case isNumber && alsoNumber:
			compared++
			if !(math.Abs(x-y) <= 1e-9*math.Max(1, math.Abs(x))) {
				t.Errorf("%s: %v in metric, %v in US units", path, x, y)
			}
		case got != want:
			t.Errorf("%s: %v in metric, %v in US units", path, want, got)
		}
	}
	if compared < 100 {
		t.Errorf("only %d numbers compared", compared)
	}
}

var near = outside.Near

// Values worked out by hand from what the file says.
func TestEveryKeyReachesTheModelInBaseUnits(t *testing.T) {
	s := load(t, "every-key.yaml")
	lab, nursery, cold := s.Systems[0], s.Systems[1], s.Systems[2]
	near(t, "change every", lab.ChangeEveryH, 1.5, 0)
	near(t, "temperature", float64(lab.Water.Temperature), 25, 1e-12)
	// TEOS-10 gives a specific gravity of 1.0264 (25/25 °C) for salinity 35, to the
	// four places printed: half of the last is worth 0.07.
	near(t, "salinity from gravity", float64(lab.Water.Salinity), 35, 0.07)
	near(t, "alkalinity", *lab.Water.AlkalinityDKH, 2.9*2.80385, 1e-9)
	near(t, "calcium", *lab.Water.CalciumMgL, 420, 1e-9)
	near(t, "magnesium", *lab.Water.MagnesiumMgL, 1300, 1e-9)
	near(t, "temperature step", lab.Limits.TemperatureStep, 2/1.8, 1e-12)
	near(t, "heat loss", *lab.HeatLoss.Coefficient, 18, 1e-12)
	near(t, "drains back", float64(*lab.DrainsBack), 18, 0)
	near(t, "fish", lab.Livestock.FishSizeG, 20, 1e-9)
	near(t, "oxygen", lab.Limits.OxygenLow, 4.5, 1e-12)
	near(t, "heater", lab.Equipment[0].PowerW, 300, 0)
	near(t, "doser", lab.Equipment[3].FlowLH, 1.2, 1e-12)
	near(t, "strength", lab.Equipment[4].Strength, 47, 0)
	near(t, "battery", lab.Equipment[9].EnergyWh, 600, 0)
	near(t, "fuel", lab.Equipment[10].FuelL, 3*3.785411784, 1e-9)
	near(t, "fuel use", lab.Equipment[10].UsePerHourL, 0.3*3.785411784, 1e-9)
	// Display 340 L, sump 78 L, refuge 81 L to their levels, less 9 L of rock, 14 L of
	// sand and 6 L of the rest; each rounded.
	if lab.NetVolumeU <= 0 || lab.NetVolume < 440 || lab.NetVolume > 490 {
		t.Errorf("net volume %v ± %v", lab.NetVolume, lab.NetVolumeU)
	}
	near(t, "nursery", float64(nursery.NetVolumeU), 2*3.785411784, 1e-9)
	near(t, "one ambient", float64(nursery.Ambient.Coldest), 20, 0)
	near(t, "cooling test", nursery.HeatLoss.CoolingTest.InH, 2.5, 1e-12)
	near(t, "duty", *cold.HeatLoss.HeaterDuty, 0.2, 0)
	cone, drum := s.StoreByID("cone"), s.StoreByID("drum")
	near(t, "copper by its symbol", cone.Background["copper"], 0.8, 0)
	near(t, "its spread", cone.BackgroundU["copper"], 0.3, 0)
	near(t, "below a limit", cone.Background["lead"], 0.5, 0)
	near(t, "alkalinity in the background", *cone.Water.AlkalinityDKH, 7.9, 0)
	near(t, "magnesium in the background", *cone.Water.MagnesiumMgL, 1290, 0)
	if _, stray := cone.Background["alkalinity"]; stray {
		t.Error("alkalinity counted as a substance")
	}
	// Between 18 gal at 12 in and 52 gal at 30 in.
	near(t, "strapping", drum.Volume.InexactFloat64(), (18+34*8.0/18)*3.785411784, 1e-5)
	near(t, "age", cone.MaxAgeH, 21*24, 0)
	near(t, "salt", s.Salts[0].OnHand.InexactFloat64(), 55*0.45359237, 1e-9)
	near(t, "spread in percent", s.Salts[0].BackgroundU["copper"], 0.18, 1e-12)
	near(t, "purifier", s.Purifier.RateLH, 75*3.785411784/24, 1e-6)
	near(t, "delivery", s.Deliveries[1].SaltKg, 44*0.45359237, 1e-9)
	near(t, "medium", *s.Media[0].CapacityMg, 300, 1e-9)
	near(t, "share", s.Media[0].SinglePass["copper"], 0.6, 1e-12)
	near(t, "start", s.Events[0].StartUUgL, 10, 0)
	if s.Media[1].CapacityMg != nil || s.Contacts[0].Phone != "555 0100" || s.Contacts[1].Phone != "" || s.Contacts[1].Name != "" {
		t.Errorf("media or contacts: %+v %+v", s.Media[1], s.Contacts)
	}
	if e := s.EventByID("solvent"); e == nil || e.Contaminant != "wood-glue" || e.WithinH != 24 || e.Reheats { // an air pump is all its equipment
		t.Errorf("event %+v", e)
	}
	if s.EventByID("none") != nil || s.SystemByID("none") != nil || s.StoreByID("none") != nil {
		t.Error("found what is not there")
	}
	near(t, "usable", float64(cone.Usable()), cone.Volume.InexactFloat64()-3, 1e-9)
	near(t, "room", float64(cone.Room()), float64(cone.Capacity)-cone.Volume.InexactFloat64(), 1e-9)
}

func TestWarningsNameThePlace(t *testing.T) {
	all := strings.Join(site.Texts(load(t, "every-key.yaml").Warnings), "\n")
	for _, want := range []string{
		`events[1].contaminant: "wood-glue" is not in the tables`,
		"systems.cold: heat_loss is given as the duty of the heaters, but no heater is named",
		"stores.tub: no date of mixing",
		"stores.spare: neither level nor volume is given",
		"media.carbon: no measured capacity",
		`events.solvent: playbook "our-own-sheet" is not one of this tool's`,
	} {
		if !strings.Contains(all, want) {
			t.Errorf("no warning %q in\n%s", want, all)
		}
	}
}

func TestMoreWarnings(t *testing.T) {
	base := "format: 1\nsystems: [{id: tank, net_volume: 400 L%s}]\nstores: [{id: vat, holds: saltwater, volume: 150 L, mixed: 2026-11-01}, {id: pure, holds: purified, volume: 50 L}]\n"
	for text, want := range map[string]string{
		strings.Replace(base, "%s", " ± 40 %", 1):                                                                                              "systems.tank: the net volume is uncertain by 40 %",
		strings.Replace(base, "%s", ", drawdown: 30 % ± 5 %", 1):                                                                               "systems[0].drawdown: the ± of \"30 % ± 5 %\" is not used",
		strings.Replace(base, "%s", ", water: {salinity: 30}", 1):                                                                              "systems.tank.water: salinity 30 is outside the limits assumed for it, 32 to 37; where its animals are kept so, write limits: {salinity_low: ...}",
		strings.Replace(base, "%s", ", water: {temperature: 30 C}", 1):                                                                         "systems.tank.water: temperature 30.0 °C is outside the limits assumed for it, 22.0 °C to 28.0 °C; where its animals are kept so, write limits: {temperature_high: ...}",
		strings.Replace(base, "%s", ", water: {alkalinity: 8.5 meq/L}", 1):                                                                     "systems.tank.water: alkalinity 23.8 dKH is not one that tanks are kept at (common practice: 7 to 11 dKH); is the unit right? 1 meq/L is 2.8 dKH",
		strings.Replace(base, "%s", ", water: {temperature: 22.5 C}", 1):                                                                       "systems.tank.water: temperature 22.5 °C is 0.5 °C above the lowest assumed for it, less than one step: water from a colder vat is put off until it is warm; where its animals are kept so, write limits: {temperature_low: ...}",
		strings.Replace(base, "%s", ", water: {salinity: 30}, limits: {salinity_low: 31}", 1):                                                  "systems.tank.water: salinity 30 is outside its own limits, 31 to 37",
		strings.Replace(base, "%s", ", water: {salinity: 27.5}, livestock: {sensitivity: fish}", 1):                                            "systems.tank.water: salinity 27.5 is outside the limits assumed for it, 28 to 37",
		strings.Replace("units: us\n"+base, "%s", ", water: {temperature: 86 F}", 1):                                                           "systems.tank.water: temperature 86.0 °F is outside the limits assumed for it, 71.6 °F to 82.4 °F;",
		strings.Replace("units: us\n"+base, "%s", "", 1) + "reserve: {saltwater: 50 gal}\n":                                                    "reserve.saltwater: the reserve is 50 gal, all stores together hold 39.6 gal",
		strings.Replace(base, "%s", ", limits: {salinity_step: 5}", 1):                                                                         "systems.tank.limits: a limit for one step is above",
		strings.Replace(base, "%s", "", 1) + "reserve: {saltwater: 200 L}\n":                                                                   "reserve.saltwater: the reserve is 200 L, all stores together hold 150 L",
		strings.Replace(base, "%s", "", 1) + "reserve: {purified: 60 L}\n":                                                                     "reserve.purified: the reserve is 60 L, all stores together hold 50 L",
		strings.Replace(base, "%s", "", 1) + "mixing: {emergency_time: 1 d}\n":                                                                 "mixing: the emergency mixing time is longer",
		strings.Replace(base, "%s", "", 1) + "events: [{id: e, contaminant: copper, start: 3 ug/L, target: 3 ug/L}]\n":                         "events.e: the start is not above the target",
		strings.Replace(base, "%s", "", 1) + "salts: [{id: blend, dose: 36 g/L, dose_at: {salinity: 35, temperature: 25 C, per: purified}}]\n": "salts.blend.dose: 36 g/L per purified litre cannot give salinity 35: even dry salt takes 36.34 g/L. 36.4 g/L is counted",
		strings.Replace(base, "%s", ", parts: [{id: p, shape: {box: {length: 100 cm, width: 100 cm, height: 100 cm}}, level: 90 cm}]", 1):      "systems.tank: the parts add up to 900 L, the net volume stated is 400 L",
	} {
		s, faults := site.Load("x", []byte(text))
		if len(faults) > 0 {
			t.Errorf("%s: %v", text, faults)
			continue
		}
		if all := strings.Join(site.Texts(s.Warnings), "\n"); !strings.Contains(all, want) {
			t.Errorf("no warning %q in %q", want, all)
		}
	}
}

// TestFishAloneAreKeptFrom28: a school's fish at salinity 30 were told that they stood outside the
// limits of corals, 32 to 37, and every change was planned to keep those. Hadfield 2021: many
// aquaria aim for 28 to 35, the lower end for fish (reference practice table, usual ranges).
func TestFishAloneAreKeptFrom28(t *testing.T) {
	load := func(more string) *site.Site {
		s, faults := site.Load("x", []byte("format: 1\nsystems: [{id: tank, net_volume: 400 L, water: {salinity: 30}"+more+"}]\nstores: [{id: vat, holds: saltwater, volume: 150 L, mixed: 2026-11-01}]\n"))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return s
	}
	for more, low := range map[string]units.Practical{
		"": 32, ", livestock: {sensitivity: coral}": 32, ", livestock: {sensitivity: invertebrate}": 32, ", livestock: {sensitivity: fish}": 28,
		", livestock: {sensitivity: fish}, limits: {salinity_low: 30}": 30, ", livestock: {sensitivity: fish}, limits: {salinity_high: 31}": 28,
	} {
		s := load(more)
		if got := s.Systems[0].Limits.SalinityLow; got != low {
			t.Errorf("%s: salinity_low %v, want %v", more, got, low)
		}
		if warned := strings.Contains(strings.Join(site.Texts(s.Warnings), "\n"), "is outside"); warned != (low == 32) {
			t.Errorf("%s: warned %v", more, warned)
		}
	}
	for _, a := range load(", livestock: {sensitivity: fish}").Assumptions {
		if a.What == "systems.tank.limits.salinity_low" && (a.Value != "28" || a.Source != site.BasisFishOnly) {
			t.Errorf("listed as %+v", a)
		}
	}
}
