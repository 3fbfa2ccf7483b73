package site

import (
	"math"
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
		if err != nil || !got.Known() || math.Abs(got.LossWK-18) > 1e-8 {
			t.Errorf("%+v: %+v, %v", loss, got, err)
		}
		// 340 W less the 17 W that hold it: by hand.
		if spare := got.SpareW(25.5, 19); math.Abs(spare-323) > 1e-7 {
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
		if got := h.SpareW(25.5, 19); err != nil || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v W/K: %v W spare, want %v (%v)", c.loss, got, c.want, err)
		}
	}
}
