package mixing

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
)

func TestParseWater(t *testing.T) {
	w, err := ParseWater("100L, 35 ppt, 77F, copper=60ug/L,iron = 1mg/L")
	if err != nil {
		t.Fatal(err)
	}
	if w.Volume != 100 || w.Salinity != 35 || !(math.Abs(float64(w.Temperature)-25) <= 1e-9) || w.Solutes["copper"] != 60 || w.Solutes["iron"] != 1000 {
		t.Errorf("%+v", w)
	}
	if w, err = ParseWater("0L,0,0C"); err != nil || w.Solutes != nil {
		t.Errorf("%+v, %v", w, err)
	}
}

func TestParseWaterRefusals(t *testing.T) {
	for text, says := range map[string]string{
		"":                               "1 of 3 parts",
		"100L,35":                        "2 of 3 parts",
		"100,35,25C":                     "has no unit",
		"100L,35,25":                     "has no unit",
		"1,5L,35,25C":                    "has no unit",
		"100L,35,5,25C":                  "has no unit",
		"100L,35,25C,5":                  "one part too many",
		"100L,43,25C":                    "0 to 42",
		"100L,35,41C":                    "0 to 40",
		"100L,35,-1C":                    "0 to 40",
		"-100L,35,25C":                   "negative",
		"NaN,35,25C":                     "number",
		"100L±5%,35,25C":                 "leave out the ±",
		"100L,35,25C,copper=<2ug/L":      "leave out the <",
		"100L,35,25C,copper=2":           "copper: ",
		"100L,35,25C,=2ug/L":             "one part too many",
		"100L,35,25C,cu=2ug/L,cu=3ug/L":  "twice",
		"100L,35,25C,copper=99999999g/L": "out of range",
		"99999999999L,35,25C":            "out of range",
		"100L,1.026,25C":                 "write 1.026 sg@25C/25C",
	} {
		w, err := ParseWater(text)
		var notation *NotationError
		if !errors.As(err, &notation) || !strings.Contains(err.Error(), says) || w.Volume != 0 {
			t.Errorf("ParseWater(%q) = %+v, %v; want an error with %q", text, w, err, says)
		} else if errors.Unwrap(notation) == nil || !strings.HasPrefix(err.Error(), "water ") {
			t.Errorf("%q does not name the text", err)
		}
	}
}

func TestParseWaterReadsWhatIsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := units.Fixed(rapid.Float64Range(0, 1e6).Draw(t, "litres"), 4)
		s := units.Fixed(rapid.Float64Range(0, 42).Draw(t, "salinity"), 3)
		c := units.Fixed(rapid.Float64Range(0, 40).Draw(t, "°C"), 2)
		w, err := ParseWater(v + " L," + s + " ppt," + c + " C")
		if err != nil {
			t.Fatal(err)
		}
		if units.Fixed(float64(w.Volume), 4) != v || units.Fixed(float64(w.Salinity), 3) != s || units.Fixed(float64(w.Temperature), 2) != c {
			t.Errorf("%s, %s, %s read as %+v", v, s, c, w)
		}
	})
}

// FuzzParseWater: whatever is read can be blended, and nothing makes it panic.
func FuzzParseWater(f *testing.F) {
	for _, s := range []string{"100L,35,25C", "50L,0,18C,copper=60ug/L", "1,5L,35,25C", "", ",,", "NaN,NaN,NaN", "1e9L,35,25C", "0450L,35,25C", "100 gal, 35 ppt, 77 F"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		w, err := ParseWater(s)
		if err != nil {
			return
		}
		mix, err := Blend(w, Water{Volume: 1, Salinity: w.Salinity, Temperature: w.Temperature})
		if err != nil {
			t.Fatalf("ParseWater(%q) = %+v, which does not blend: %v", s, w, err)
		}
		for _, x := range []float64{float64(mix.Volume), float64(mix.Salinity), float64(mix.Temperature)} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("ParseWater(%q) = %+v blends to %+v", s, w, mix)
			}
		}
	})
}
