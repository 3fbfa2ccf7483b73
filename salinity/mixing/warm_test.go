package mixing

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// integrate steps the heat balance by the midpoint rule with the heat capacity of
// each temperature, and returns the hours to reach h.To.
func integrate(t rapid.TB, h Heating) float64 {
	t.Helper()
	kg, err := h.Water.MassKg()
	if err != nil {
		t.Fatal(err)
	}
	const steps = 4000
	dT := float64(h.To-h.Water.Temperature) / steps
	var seconds float64
	for i := range steps {
		at := float64(h.Water.Temperature) + (float64(i)+0.5)*dT
		cp, err := salinity.HeatCapacity(h.Water.Salinity, units.Celsius(at))
		if err != nil {
			t.Fatal(err)
		}
		seconds += kg * cp * dT / (h.Watts - h.LossWK*(at-float64(h.Room)))
	}
	return seconds / 3600
}

func drawHeating(t *rapid.T) Heating {
	h := Heating{Water: drawWater(t, "vat"), Watts: rapid.Float64Range(50, 5000).Draw(t, "W")}
	h.Water.Temperature = units.Celsius(rapid.Float64Range(5, 25).Draw(t, "from"))
	h.To = h.Water.Temperature + units.Celsius(rapid.Float64Range(0.5, 12).Draw(t, "rise"))
	h.Room = units.Celsius(rapid.Float64Range(0, 30).Draw(t, "room"))
	if rapid.Bool().Draw(t, "loses?") {
		h.LossWK = rapid.Float64Range(0.1, 100).Draw(t, "W/K")
	}
	return h
}

func TestWarmAgreesWithIntegrationOfTheHeatBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawHeating(t)
		w, err := Warm(h)
		if err != nil {
			t.Fatal(err)
		}
		if !w.Possible {
			if w.Hours != nil || w.EnergyKWh != nil || h.Watts > w.HoldW*(1+1e-9) {
				t.Errorf("impossible with %v W where %v W hold it: %+v", h.Watts, w.HoldW, w)
			}
			return
		}
		if h.Watts < 1.05*w.HoldW {
			return // close to where it settles, the time grows without bound
		}
		// Midpoint rule: its own error is of second order in the step. The rest is
		// the mean heat capacity, which varies by less than 0.5 % over 12 K.
		within(t, "hours", *w.Hours, integrate(t, h), 1e-3)
	})
}

func TestWarmTimeGivesBackItsWatts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawHeating(t)
		w, err := Warm(h)
		if err != nil {
			t.Fatal(err)
		}
		if !w.Possible || *w.Hours > 1000 {
			return
		}
		watts, err := WattsFor(h, *w.Hours)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "W", watts, h.Watts, 1e-6)
	})
}

// Energy is power times time, whatever is lost: 600 W for 5 h are 3 kWh.
func TestEnergyIsPowerTimesTime(t *testing.T) {
	for _, loss := range []float64{0, 8} {
		h := Heating{Water: Water{Volume: 400, Salinity: 35, Temperature: 18}, To: 23, Watts: 600, Room: 16, LossWK: loss}
		w, err := Warm(h)
		if err != nil || !w.Possible {
			t.Fatalf("%+v, %v", w, err)
		}
		within(t, "kWh", *w.EnergyKWh, 0.6**w.Hours, 1e-12)
		within(t, "first K/h", w.FirstKPerH, (600-loss*2)*3600/(400*4.093e3), 2e-3) // 4.093 kJ/K a litre: 1.0255 · 3.991
	}
}

func TestSmallLossesApproachNoLoss(t *testing.T) {
	h := Heating{Water: Water{Volume: 400, Salinity: 35, Temperature: 25}, To: 28, Watts: 600, Room: 20}
	without, err := Warm(h)
	if err != nil {
		t.Fatal(err)
	}
	h.LossWK = 1e-9
	with, err := Warm(h)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "hours", *with.Hours, *without.Hours, 1e-9)
	if without.Highest != nil || with.Highest == nil {
		t.Errorf("settling: %v without loss, %v with", without.Highest, with.Highest)
	}
}

func TestHeaterThatIsTooSmallNeverGetsThere(t *testing.T) {
	h := Heating{Water: Water{Volume: 400, Salinity: 35, Temperature: 18}, To: 25, Watts: 100, Room: 15, LossWK: 10}
	w, err := Warm(h)
	if err != nil || w.Possible || w.Hours != nil || w.HoldW != 100 || *w.Highest != 25 {
		t.Errorf("%+v, %v: a heater that just holds 25 °C reaches it only in the limit", w, err)
	}
	h.Watts = 0
	h.LossWK = 0
	if w, err = Warm(h); err != nil || w.Possible {
		t.Errorf("no heater: %+v, %v", w, err)
	}
	h.LossWK, h.Room = 10, 30
	if w, err = Warm(h); err != nil || !w.Possible || *w.EnergyKWh != 0 {
		t.Errorf("a warm room does it alone: %+v, %v", w, err)
	}
	if watts, err := WattsFor(h, *w.Hours*2); err != nil || watts != 0 {
		t.Errorf("%v W (%v), want none", watts, err)
	}
	h.To = h.Water.Temperature
	if w, err = Warm(h); err != nil || !w.Possible || *w.Hours != 0 {
		t.Errorf("already warm: %+v, %v", w, err)
	}
}

func TestWarmRefusals(t *testing.T) {
	good := Heating{Water: Water{Volume: 400, Salinity: 35, Temperature: 18}, To: 25, Watts: 100, Room: 15, LossWK: 10}
	var in *InputError
	var out *salinity.RangeError
	for _, c := range []struct {
		name   string
		change func(*Heating)
		want   any
	}{
		{"no volume", func(h *Heating) { h.Water.Volume = 0 }, &in},
		{"negative watts", func(h *Heating) { h.Watts = -1 }, &in},
		{"watts no number", func(h *Heating) { h.Watts = math.NaN() }, &in},
		{"negative loss", func(h *Heating) { h.LossWK = -1 }, &in},
		{"room no number", func(h *Heating) { h.Room = units.Celsius(math.NaN()) }, &in},
		{"cooling", func(h *Heating) { h.To = 10 }, &in},
		{"hot", func(h *Heating) { h.To = 41 }, &out},
		{"salty", func(h *Heating) { h.Water.Salinity = 43 }, &out},
	} {
		h := good
		c.change(&h)
		if w, err := Warm(h); err == nil || !errors.As(err, c.want) || w != (Warming{}) {
			t.Errorf("%s: %+v, %v", c.name, w, err)
		}
	}
	if _, err := WattsFor(good, 0); !errors.As(err, &in) {
		t.Error(err)
	}
	good.Water.Volume = 0
	if _, err := WattsFor(good, 1); !errors.As(err, &in) {
		t.Error(err)
	}
}
