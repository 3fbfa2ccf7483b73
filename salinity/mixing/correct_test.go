package mixing

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// checkCorrection puts the correction's parts together again by mass and salt.
func checkCorrection(t rapid.TB, vat Water, c Correction, m Means) {
	t.Helper()
	vat.Volume = c.Left
	left := mustContent(t, vat)
	added := mustContent(t, Water{Volume: c.AddWater, Temperature: m.Source})
	dry := 0.0
	if m.Dose != nil {
		var err error
		if dry, err = m.Dose.DryFraction(); err != nil {
			t.Fatal(err)
		}
	}
	made := mustContent(t, Water{Volume: c.Volume, Salinity: c.Salinity, Temperature: c.Temperature})
	within(t, "mass", left.massKg+added.massKg+c.AddSaltKg, made.massKg, 1e-9)
	within(t, "salt", left.saltKg+c.AddSaltKg*dry, made.saltKg, 1e-9)
	if c.Remove < 0 || c.AddWater < 0 || c.AddSaltKg < 0 || c.Left < 0 {
		t.Errorf("negative amount in %+v", c)
	}
}

func TestCorrectReachesItsTargetWithinTheBrim(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		vat := Water{
			Volume:      units.Litres(rapid.Float64Range(1, 1000).Draw(t, "litres")),
			Salinity:    units.Practical(rapid.Float64Range(0, 42).Draw(t, "salinity")),
			Temperature: units.Celsius(rapid.Float64Range(0, 39).Draw(t, "°C")),
		}
		d := drawDose(t)
		m := Means{Dose: &d, Source: units.Celsius(rapid.Float64Range(0, 39).Draw(t, "source °C"))}
		if rapid.Bool().Draw(t, "brim?") {
			m.Brim = vat.Volume * units.Litres(rapid.Float64Range(1, 1.5).Draw(t, "brim"))
			if rapid.Bool().Draw(t, "fill?") {
				m.Fill = m.Brim * units.Litres(rapid.Float64Range(0.1, 1).Draw(t, "fill"))
			}
		}
		to := units.Practical(rapid.Float64Range(0.5, 42).Draw(t, "to"))
		c, err := Correct(vat, to, m)
		if err != nil {
			t.Fatal(err)
		}
		checkCorrection(t, vat, c, m)
		if c.Salinity != to {
			t.Errorf("salinity %v, want %v", c.Salinity, to)
		}
		if m.Brim > 0 && c.Volume > m.Brim*(1+1e-9) {
			t.Errorf("%v L in a vat of %v L", c.Volume, m.Brim)
		}
		if m.Fill > 0 {
			within(t, "fill", float64(c.Volume), float64(m.Fill), 1e-9)
		}
		// Nothing is removed while there is room: a removal ends at the brim or at
		// the volume wanted.
		if c.Remove > 1e-6*vat.Volume && m.Brim > 0 && m.Fill == 0 {
			within(t, "brim after a removal", float64(c.Volume), float64(m.Brim), 1e-9)
		}
		// Salt and water together are never added after removing.
		if c.Remove > 1e-6*vat.Volume && c.AddSaltKg > 1e-6 && c.AddWater > 1e-6*vat.Volume {
			t.Errorf("removes, then adds both: %+v", c)
		}
	})
}

func TestCorrectScalesWithTheVat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := units.Litres(rapid.Float64Range(1, 1000).Draw(t, "litres"))
		s := units.Practical(rapid.Float64Range(0, 42).Draw(t, "salinity"))
		to := units.Practical(rapid.Float64Range(1, 42).Draw(t, "to"))
		m := Means{Dose: &house, Source: 18, Brim: 1.1 * v}
		one, err := Correct(Water{Volume: v, Salinity: s, Temperature: 25}, to, m)
		if err != nil {
			t.Fatal(err)
		}
		m.Brim *= 2
		two, err := Correct(Water{Volume: 2 * v, Salinity: s, Temperature: 25}, to, m)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "salt", two.AddSaltKg, 2*one.AddSaltKg, 1e-9)
		within(t, "water", float64(two.AddWater), 2*float64(one.AddWater), 1e-9)
		within(t, "volume", float64(two.Volume), 2*float64(one.Volume), 1e-9)
	})
}

// A vat of 300 L at 33 that should be 35: with S_R = 1.0047154·S_P (Millero et
// al. 2008) the salt balance m·(s2−s)/(w−s2) by hand, with the density of 33 at
// 25 °C 1021.826 kg/m³ (TEOS-10 1021.83).
func TestCorrectUpByHand(t *testing.T) {
	c, err := Correct(Water{Volume: 300, Salinity: 33, Temperature: 25}, 35, Means{Dose: &house, Brim: 310})
	if err != nil {
		t.Fatal(err)
	}
	dry := 0.03516504 * 1023.343 / 38.4
	want := 300 * 1.02183 * (0.03516504 - 33*0.03516504/35) / (dry - 0.03516504)
	if !(math.Abs(c.AddSaltKg-want) <= 2e-4*want) || c.Remove != 0 || c.AddWater != 0 {
		t.Errorf("%+v, want %v kg of salt and nothing else", c, want)
	}
	if c.Volume < 300 || c.Volume > 300.5 || c.Temperature != 25 {
		t.Errorf("afterwards %+v", c)
	}
}

func TestCorrectRemovesOnlyWhatTheBrimForces(t *testing.T) {
	vat := Water{Volume: 300, Salinity: 40, Temperature: 25}
	free, err := Correct(vat, 35, Means{Source: 25})
	if err != nil || free.Remove != 0 || free.Volume < 340 {
		t.Fatalf("%+v, %v", free, err)
	}
	tight, err := Correct(vat, 35, Means{Source: 25, Brim: 310})
	if err != nil || tight.Remove < 20 {
		t.Fatalf("%+v, %v", tight, err)
	}
	within(t, "litres", float64(tight.Volume), 310, 1e-9)
	same, err := Correct(vat, 40, Means{Brim: 300, Source: 25})
	if err != nil || same.Remove != 0 || same.AddWater != 0 || same.AddSaltKg != 0 {
		t.Errorf("nothing to do: %+v, %v", same, err)
	}
	emptied, err := Correct(vat, 0, Means{Brim: 300, Fill: 300, Source: 25})
	if err != nil || emptied.Remove != 300 {
		t.Errorf("to fresh water: %+v, %v", emptied, err)
	}
	lowered, err := Correct(Water{Volume: 100, Temperature: 25}, 0, Means{Fill: 40, Source: 25})
	if err != nil || !(math.Abs(float64(lowered.Remove)-60) <= 1e-9) || lowered.AddWater != 0 {
		t.Errorf("less fresh water: %+v, %v", lowered, err)
	}
}

func TestCorrectRefusals(t *testing.T) {
	vat := Water{Volume: 300, Salinity: 33, Temperature: 25}
	nan := units.Litres(math.NaN())
	for _, c := range []struct {
		name string
		vat  Water
		to   units.Practical
		m    Means
		says string
	}{
		{"empty vat", Water{Salinity: 33, Temperature: 25}, 35, Means{Dose: &house}, "the vat's volume 0 L"},
		{"brim below the water", vat, 35, Means{Dose: &house, Brim: 200}, "at least the 300 L"},
		{"brim no number", vat, 35, Means{Dose: &house, Brim: nan}, "brim NaN"},
		{"fill no number", vat, 35, Means{Dose: &house, Fill: nan}, "volume wanted NaN"},
		{"fill above the brim", vat, 35, Means{Dose: &house, Brim: 310, Fill: 320}, "up to the brim at 310 L"},
		{"up without a dose", vat, 35, Means{}, "give the dose"},
		{"fill without a dose", vat, 33, Means{Fill: 310}, "give the dose"},
		{"to nothing", vat, 0, Means{}, "empty the vat"},
		{"target out of range", vat, 43, Means{Dose: &house}, "salinity wanted: salinity 43 is outside 0 to 42"},
		{"vat out of range", Water{Volume: 1, Salinity: 50, Temperature: 25}, 35, Means{}, "the vat: salinity 50"},
		{"boiling source", vat, 30, Means{Source: 100}, "purified water: temperature 100"},
		{"impossible dose", vat, 35, Means{Dose: &Dose{20, Finished, 35, 25}}, "cannot reach"},
		{"weak mix", vat, 42, Means{Dose: &Dose{2000, Finished, 35, 25}}, "check the dose"},
	} {
		got, err := Correct(c.vat, c.to, c.m)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %+v, %v; want %q", c.name, got, err, c.says)
		}
	}
	var out *salinity.RangeError
	if _, err := Correct(vat, 43, Means{Dose: &house}); !errors.As(err, &out) {
		t.Errorf("the range error is lost: %v", err)
	}
}

// TestASmallVesselHasABrim: a beaker of 0.31 L is no vat without a brim. What is corrected in it
// is a thousandth of what is in a vat of 310 L.
func TestASmallVesselHasABrim(t *testing.T) {
	at := func(v units.Litres) Correction {
		c, err := Correct(Water{Volume: 300 * v, Salinity: 38, Temperature: 25}, 33, Means{Dose: &house, Brim: 310 * v})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	vat, beaker := at(1), at(1e-3)
	if vat.Remove <= 0 || vat.Volume > 310*(1+1e-9) {
		t.Errorf("%+v", vat)
	}
	within(t, "removed", float64(beaker.Remove), float64(vat.Remove)/1000, 1e-9)
	within(t, "in the beaker", float64(beaker.Volume), 0.31, 1e-9)
}
