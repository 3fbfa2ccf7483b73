package site

import (
	"math"
	"strings"
	"testing"

	"tidehold/refs/units"
)

func tank(loss HeatLoss) System {
	return System{
		ID: "tank", NetVolume: 640, Water: Chemistry{Salinity: 35, Temperature: 25.5}, Ambient: Ambient{19, 14, 28}, HeatLoss: loss,
		Equipment: []Equipment{{Kind: Heater, PowerW: 340}, {Kind: Return, PowerW: 100}, {Kind: Air, PowerW: 7}},
	}
}

// One tank in three spellings: 18 W/K hold 25.5 °C in a room of 19 °C with 117 W:
// 100 W of pump and 5 % of 340 W. The cooling test is what such a tank does in 3 h.
func TestThreeWaysOfStatingALossAreOneTank(t *testing.T) {
	coefficient, duty := 18.0, 0.05
	stated := tank(HeatLoss{Coefficient: &coefficient})
	h, err := stated.Heat()
	if err != nil {
		t.Fatal(err)
	}
	to := h.Body(640, h.PumpW, 19).Course(25.5).At(3)
	for _, loss := range []HeatLoss{{Coefficient: &coefficient}, {HeaterDuty: &duty}, {CoolingTest: &CoolingTest{25.5, units.Celsius(to), 3}}} {
		sys := tank(loss)
		got, err := sys.Heat()
		if err != nil || !got.Known() || !(math.Abs(got.LossWK-18) <= 1e-8) {
			t.Errorf("%+v: %+v, %v", loss, got, err)
		}
		// 340 W less the 17 W that hold it: by hand.
		if spare := got.SpareW(25.5, 19); !(math.Abs(spare-323) <= 1e-7) {
			t.Errorf("%s: %v W spare", got.Basis, spare)
		}
	}
}

func TestALossThatCannotBeFoundSaysWhy(t *testing.T) {
	zero, duty := 0.0, 0.05
	for _, c := range []struct {
		loss   HeatLoss
		change func(*System)
		want   HeatBasis
	}{
		{HeatLoss{}, nil, NoHeatLoss},
		{HeatLoss{Coefficient: &zero}, nil, ZeroLoss},
		{HeatLoss{HeaterDuty: &duty}, func(s *System) { s.Ambient.Usual = 26 }, WarmRoom},
		{HeatLoss{HeaterDuty: &duty}, func(s *System) { s.Equipment = nil }, NoPower},
		{HeatLoss{CoolingTest: &CoolingTest{25, 25, 3}}, nil, NoFallToRoom},
	} {
		sys := tank(c.loss)
		if c.change != nil {
			c.change(&sys)
		}
		h, err := sys.Heat()
		if err != nil || h.Known() || h.Basis != c.want || h.SpareW(25.5, 19) != 0 {
			t.Errorf("want %q: %+v, %v", c.want, h, err)
		}
	}
	salty := tank(HeatLoss{})
	salty.Water.Salinity = 350
	if _, err := salty.Heat(); err == nil {
		t.Error("salinity 350 has a heat capacity")
	}
}

// Where the pumps alone hold the temperature, the heaters have all their power to
// spare, and no more.
func TestSpareHeat(t *testing.T) {
	for _, c := range []struct{ loss, want float64 }{{4, 340}, {18, 323}, {100, 0}} {
		sys := tank(HeatLoss{Coefficient: &c.loss})
		h, err := sys.Heat()
		if got := h.SpareW(25.5, 19); err != nil || !(math.Abs(got-c.want) <= 1e-9) {
			t.Errorf("%v W/K: %v W spare, want %v (%v)", c.loss, got, c.want, err)
		}
	}
}

// TestWhoHeatsBetweenChanges: the contract's default. A chilled wall and a jelly tank without a
// heater were told that their own heaters work; of two heaters one is left when one breaks.
// By hand: 60 W/K · (25.6 − 21.1 °C) = 266.7 W in the usual room.
func TestWhoHeatsBetweenChanges(t *testing.T) {
	heater := func(w string) string { return "{id: h" + w + ", kind: heater, power: " + w + " W}" }
	const loss, pump = ", heat_loss: {coefficient: 60 W/K}", "{id: p, kind: return, power: 40 W}"
	for _, c := range []struct {
		more, equipment string
		yes, left       bool
		why, whyLeft    string
	}{
		{"", "", true, false, HeatersNotNamed, HeaterBroke},
		{"", heater("300"), true, false, HeatersWork, HeaterBroke},
		{"", pump, false, false, NoHeaterNamed, HeaterBroke},
		{"", heater("300") + "," + heater("301"), true, false, HeatersWork, RestNotReckoned},
		{loss, heater("1000") + "," + heater("1001"), true, true, HeatersWork, RestHolds},
		{loss, heater("1000") + "," + heater("266"), true, false, HeatersWork, RestTooWeak},
		{loss, heater("1000") + "," + heater("267"), true, true, HeatersWork, RestHolds},
		{loss, heater("1000") + "," + heater("227") + "," + pump, true, true, HeatersWork, RestHolds},
		{loss, heater("200"), false, false, RestTooWeak, HeaterBroke},
		{", ambient: 30 C", "{id: c, kind: chiller, power: 200 W}", true, false, ChillerWorks, HeaterBroke},
		{", ambient: 12 C", "{id: c, kind: chiller, power: 200 W}", false, false, NoHeaterNamed, HeaterBroke},
	} {
		if c.more != ", ambient: 30 C" && c.more != ", ambient: 12 C" {
			c.more += ", ambient: 70 F"
		}
		text := "format: 1\nsystems: [{id: tank, net_volume: 900 gal, water: {temperature: 78 F}" + c.more + ", equipment: [" + c.equipment + "]}]\nstores: [{id: vat, holds: saltwater, volume: 150 L, mixed: 2026-11-01}]\n" +
			"events: [{id: spill, remove: 50 %}, {id: broke, playbook: heater-break, remove: 50 %}, {id: told, remove: 50 %, reheats: no}]\n"
		if c.equipment == "" {
			text = strings.Replace(text, ", equipment: []", "", 1)
		}
		s, faults := Load("x", []byte(text))
		if len(faults) > 0 {
			t.Fatalf("%s%s: %v", c.more, c.equipment, faults)
		}
		if s.Events[0].Reheats != c.yes || s.Events[1].Reheats != c.left || s.Events[2].Reheats {
			t.Errorf("%s%s: %v, after a break %v", c.more, c.equipment, s.Events[0].Reheats, s.Events[1].Reheats)
		}
		for _, a := range s.Assumptions {
			if a.What == "events.spill.reheats" && a.Source != c.why || a.What == "events.broke.reheats" && a.Source != c.whyLeft {
				t.Errorf("%s%s: %+v", c.more, c.equipment, a)
			}
		}
	}
}
