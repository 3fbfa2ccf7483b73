package salinity

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"tidehold/refs/units"
)

func TestFormsHaveTheDocumentedKeys(t *testing.T) {
	f, err := FormsOf(35, 25)
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]*float64
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	// Library values: TEOS-10 for density, conductivity and heat capacity.
	want := map[string][2]float64{
		"salinity": {35, 0}, "reference_salinity_g_kg": {35.16504, 1e-9}, "density_kg_m3": {1023.3436, 0.009},
		"sg_25_25": {1.02637, 1e-5}, "sg_60f_60f": {1.02686, 1e-5}, "sg_20_20": {1.02660, 1e-5},
		"conductivity_ms_cm": {53.071, 5e-4}, "conductivity_25c_ms_cm": {53.071, 5e-4},
		"refractive_index": {1.338836, 5e-7}, "heat_capacity_j_kg_k": {3997.69, 0.01}, "oxygen_saturation_mg_l": {6.7721, 1e-3},
	}
	for key, w := range want {
		if got[key] == nil {
			t.Errorf("no %s", key)
			continue
		}
		near(t, key, *got[key], w[0], w[1])
	}
	if _, ok := got["salinity_uncertainty"]; !ok || got["salinity_uncertainty"] != nil {
		t.Error("salinity_uncertainty must be present and null without a reading")
	}
	if len(got) != len(want)+1 || len(f.Warnings) != 0 {
		t.Errorf("%d keys, warnings %q", len(got), f.Warnings)
	}
}

func TestFormsOutOfReachAreNull(t *testing.T) {
	f, err := FormsOf(41, 36)
	if err != nil {
		t.Fatal(err)
	}
	if f.Density == nil || f.RefractiveIndex != nil || f.OxygenSaturation != nil || f.Conductivity != nil || f.Conductivity25 == nil {
		t.Errorf("%+v", f)
	}
	if len(f.Warnings) != 3 || !strings.Contains(f.Warnings[1], "no refractive index: salinity 41 is outside 0 to 40") {
		t.Errorf("warnings %q", f.Warnings)
	}
	for _, w := range [][2]float64{{43, 25}, {-1, 25}, {math.NaN(), 25}, {35, 50}, {35, math.Inf(-1)}} {
		var e *RangeError
		if _, err := FormsOf(units.Practical(w[0]), units.Celsius(w[1])); !errors.As(err, &e) {
			t.Errorf("S %g at %g °C: %v", w[0], w[1], err)
		}
	}
}

func TestMeasuredForms(t *testing.T) {
	m := measure(t, Reading{Instrument: InstrumentConductivity, Scale: ScaleConductivity, Value: 53.1, U: 0.3, Temperature: 25})
	f, err := m.Forms()
	if err != nil || f.Uncertainty == nil || *f.Uncertainty != m.U || f.Salinity != m.Salinity {
		t.Errorf("%+v, %v", f, err)
	}
	if _, err := (Determination{Salinity: 99}).Forms(); err == nil {
		t.Error("salinity 99 has forms")
	}
}

func TestParsePair(t *testing.T) {
	for text, want := range map[string]struct {
		p    Pair
		back string
	}{
		"25/25":        {Pair25, "25/25 °C"},
		"60F/60F":      {Pair60F, "60/60 °F"},
		"60/60F":       {Pair60F, "60/60 °F"},
		"20C/4":        {Pair{20, 4}, "20/4 °C"},
		" 20 C / 4 C ": {Pair{20, 4}, "20/4 °C"},
		"17.5/17.5":    {Pair{17.5, 17.5}, "17.5/17.5 °C"},
	} {
		p, err := ParsePair(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		near(t, text, float64(p.Sample), float64(want.p.Sample), 1e-12)
		near(t, text, float64(p.Water), float64(want.p.Water), 1e-12)
		if p.String() != want.back {
			t.Errorf("%q prints as %q, want %q", text, p, want.back)
		}
	}
	for _, text := range []string{"", "25", "25/", "/25", "25/x", "60C/60C", "25/25/25", "nan/25", "-1/25", "25 ± 1/25", "0/0", "32F/32F"} {
		if p, err := ParsePair(text); err == nil {
			t.Errorf("%q is read as %v", text, p)
		}
	}
}

// FuzzParsePair: whatever the text, a pair that is accepted is usable, and its
// printed form means the same.
func FuzzParsePair(f *testing.F) {
	for _, s := range []string{"25/25", "60F/60F", "20C/4C", "17.5/17.5", "1/", "°/°", "25 ± 1/25"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ParsePair(text)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("empty error")
			}
			return
		}
		if _, err := SpecificGravity(35, p); err != nil {
			t.Fatalf("%q gives %v, which is not usable: %v", text, p, err)
		}
		again, err := ParsePair(p.String())
		if err != nil || !(math.Abs(float64(again.Sample-p.Sample)) <= 1e-9) || !(math.Abs(float64(again.Water-p.Water)) <= 1e-9) {
			t.Fatalf("%q → %q → %v, %v", text, p, again, err)
		}
	})
}
