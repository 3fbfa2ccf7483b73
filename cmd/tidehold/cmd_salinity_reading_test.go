package main

import (
	"math"
	"testing"

	"tidehold/salinity"
)

// FuzzParseReading: no text makes a reading that is not a finite number, and what
// is read is either worked out or refused.
func FuzzParseReading(f *testing.F) {
	for _, s := range []string{"1.0264sg±0.0005", "1.0264 sg@60F/60F", "53.1 mS/cm", "35", "35ppt", "1.3394nD", "1023.3kg/m3", "37.3g/L", "@/", "1±", "NaN"} {
		f.Add(s, "", false)
		f.Add(s, "brine-g-l", true)
	}
	f.Fuzz(func(t *testing.T, text, scale string, compensated bool) {
		switch scale {
		case "", "brine-g-kg", "brine-g-l", "brine-sg":
		default:
			return
		}
		r, _, err := parseReading(readingText{text: text, scale: scale, compensated: compensated})
		if err != nil {
			return
		}
		if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) || !(r.U >= 0) {
			t.Fatalf("parseReading(%q) = %+v", text, r)
		}
		r.Temperature = 25
		m, err := r.Salinity()
		if err == nil && !(m.Salinity >= 0 && m.Salinity <= 42 && m.U >= 0) {
			t.Fatalf("%q is salinity %v ± %v", text, m.Salinity, m.U)
		}
	})
}

// The instrument is inferred from the unit alone.
func TestInstrumentFromTheUnit(t *testing.T) {
	for text, want := range map[string]salinity.Instrument{
		"1.0264sg":       salinity.InstrumentHydrometer,
		"1.0264@60F/60F": salinity.InstrumentHydrometer,
		"1.3394nD":       salinity.InstrumentRefractometer,
		"1023.3kg/m3":    salinity.InstrumentDensity,
		"53.1mS/cm":      salinity.InstrumentConductivity,
		"35":             salinity.InstrumentNone,
		"35ppt":          salinity.InstrumentNone,
		"0.5":            salinity.InstrumentNone,
	} {
		r, _, err := parseReading(readingText{text: text})
		if err != nil || r.Instrument != want {
			t.Errorf("%s: %q, %v; want %q", text, r.Instrument, err, want)
		}
	}
}
