package mixing

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// drawWater draws a parcel that any blend can hold: below the temperature at
// which unlike waters blend to just above 40 °C.
func drawWater(t *rapid.T, label string) Water {
	w := Water{
		Volume:      units.Litres(rapid.Float64Range(0.01, 5000).Draw(t, label+" litres")),
		Salinity:    units.Practical(rapid.Float64Range(0, 42).Draw(t, label+" salinity")),
		Temperature: units.Celsius(rapid.Float64Range(0, 39.9).Draw(t, label+" °C")),
	}
	if rapid.Bool().Draw(t, label+" copper?") {
		w.Solutes = map[string]float64{"copper": rapid.Float64Range(0, 1000).Draw(t, label+" copper")}
	}
	return w
}

func within(t rapid.TB, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Max(math.Abs(want), 1e-9)) {
		t.Errorf("%s: got %.17g, want %.17g within %g of it", what, got, want, relative)
	}
}

func mustContent(t rapid.TB, w Water) content {
	t.Helper()
	c, err := contentOf(w)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestBlendConservesMassSaltHeatAndSolutes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var waters []Water
		var want content
		var copper float64
		for range rapid.IntRange(1, 5).Draw(t, "waters") {
			w := drawWater(t, "water")
			waters = append(waters, w)
			want.add(mustContent(t, w))
			copper += float64(w.Volume) * w.Solutes["copper"]
		}
		mix, err := Blend(waters...)
		if err != nil {
			t.Fatal(err)
		}
		got := mustContent(t, mix)
		within(t, "mass", got.massKg, want.massKg, 1e-12)
		within(t, "salt", got.saltKg, want.saltKg, 1e-12)
		// The inverse of enthalpy is good to 1e-9 relative.
		within(t, "heat", got.heatJ, want.heatJ, 1e-9)
		within(t, "copper", float64(mix.Volume)*mix.Solutes["copper"], copper, 1e-12)
	})
}

func sameWater(t rapid.TB, a, b Water) {
	t.Helper()
	within(t, "litres", float64(a.Volume), float64(b.Volume), 1e-11)
	within(t, "salinity", float64(a.Salinity), float64(b.Salinity), 1e-11)
	within(t, "°C", float64(a.Temperature), float64(b.Temperature), 1e-9)
	within(t, "copper", a.Solutes["copper"], b.Solutes["copper"], 1e-11)
}

func TestBlendDependsNeitherOnOrderNorOnGrouping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := drawWater(t, "a"), drawWater(t, "b"), drawWater(t, "c")
		all, err := Blend(a, b, c)
		if err != nil {
			t.Fatal(err)
		}
		for _, order := range [][3]Water{{a, b, c}, {b, c, a}, {c, a, b}, {c, b, a}} {
			first, err := Blend(order[0], order[1])
			if err != nil {
				t.Fatal(err)
			}
			mix, err := Blend(order[2], first)
			if err != nil {
				t.Fatal(err)
			}
			sameWater(t, mix, all)
		}
	})
}

func TestBlendWithNothingIsItself(t *testing.T) {
	w := Water{Volume: 100, Salinity: 42, Temperature: 40}
	mix, err := Blend(w, Water{Salinity: 0, Temperature: 5}, w)
	if err != nil {
		t.Fatal(err)
	}
	sameWater(t, mix, Water{Volume: 200, Salinity: 42, Temperature: 40})
}

func TestBlendRefusals(t *testing.T) {
	var r *salinity.RangeError
	var in *InputError
	if _, err := Blend(); !errors.Is(err, ErrNoWater) {
		t.Errorf("no waters: %v", err)
	}
	if _, err := Blend(Water{Salinity: 35, Temperature: 25}); !errors.Is(err, ErrNoWater) {
		t.Errorf("no volume: %v", err)
	}
	for _, w := range []Water{
		{Volume: 1, Salinity: 43, Temperature: 25},
		{Volume: 1, Salinity: 35, Temperature: 41},
		{Volume: 1, Salinity: units.Practical(math.NaN()), Temperature: 25},
		{Volume: 1, Salinity: 35, Temperature: units.Celsius(math.Inf(1))},
	} {
		if _, err := Blend(w); !errors.As(err, &r) {
			t.Errorf("Blend(%+v): %v, want a range error", w, err)
		}
	}
	for _, v := range []units.Litres{-1, units.Litres(math.NaN()), units.Litres(math.Inf(1))} {
		if _, err := Blend(Water{Volume: v, Salinity: 35, Temperature: 25}); !errors.As(err, &in) {
			t.Errorf("volume %v: %v, want an input error", v, err)
		}
	}
	// Equal volumes of unlike waters at 40 °C blend to 40.03 °C, which the heat
	// relation does not cover.
	if _, err := Blend(Water{Volume: 1, Temperature: 40}, Water{Volume: 1, Salinity: 35, Temperature: 40}); !errors.As(err, &r) {
		t.Errorf("blend above 40 °C: %v, want a range error", err)
	}
}
