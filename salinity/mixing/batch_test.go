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

var house = Dose{GPerL: 38.4, Per: Finished, Salinity: 35, Temperature: 25}

func drawDose(t *rapid.T) Dose {
	return Dose{
		GPerL:       rapid.Float64Range(37, 45).Draw(t, "dose g/L"),
		Per:         rapid.SampledFrom([]Basis{Finished, Purified}).Draw(t, "per"),
		Salinity:    units.Practical(rapid.Float64Range(30, 35).Draw(t, "dose salinity")),
		Temperature: units.Celsius(rapid.Float64Range(5, 35).Draw(t, "dose °C")),
	}
}

func TestBatchConservesMassAndSalt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDose(t)
		s := units.Practical(rapid.Float64Range(0, 42).Draw(t, "salinity"))
		b, err := New(units.Litres(rapid.Float64Range(0.1, 1e6).Draw(t, "litres")), s,
			units.Celsius(rapid.Float64Range(0, 40).Draw(t, "°C")), units.Celsius(rapid.Float64Range(0, 40).Draw(t, "source °C")), d)
		if err != nil {
			t.Fatal(err)
		}
		made := Water{Volume: b.Volume, Salinity: s, Temperature: b.Temperature}
		salt, err := made.SaltKg()
		if err != nil {
			t.Fatal(err)
		}
		within(t, "mass", b.SaltKg+b.WaterKg, b.MassKg, 1e-12)
		within(t, "salt", b.SaltKg*b.DryFraction, salt, 1e-12)
	})
}

func TestBatchFromItsOwnWaterOrSaltIsItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Recipe{
			Salinity:    units.Practical(rapid.Float64Range(1, 42).Draw(t, "salinity")),
			Temperature: units.Celsius(rapid.Float64Range(0, 40).Draw(t, "°C")),
			Source:      units.Celsius(rapid.Float64Range(0, 40).Draw(t, "source °C")),
			Dose:        drawDose(t),
		}
		b, err := New(units.Litres(rapid.Float64Range(1, 1e5).Draw(t, "litres")), r.Salinity, r.Temperature, r.Source, r.Dose)
		if err != nil {
			t.Fatal(err)
		}
		byWater, err := FromWater(b.Water, r)
		if err != nil {
			t.Fatal(err)
		}
		bySalt, err := FromSalt(b.SaltKg, r)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []Batch{byWater, bySalt} {
			within(t, "salt", c.SaltKg, b.SaltKg, 1e-12)
			within(t, "water", float64(c.Water), float64(b.Water), 1e-12)
			within(t, "volume", float64(c.Volume), float64(b.Volume), 1e-12)
		}
	})
}

func TestDoublingTheVolumeDoublesEveryMass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDose(t)
		v := units.Litres(rapid.Float64Range(0.1, 1e5).Draw(t, "litres"))
		s := units.Practical(rapid.Float64Range(0, 42).Draw(t, "salinity"))
		one, err := New(v, s, 25, 18, d)
		if err != nil {
			t.Fatal(err)
		}
		two, err := New(2*v, s, 25, 18, d)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "salt", two.SaltKg, 2*one.SaltKg, 1e-12)
		within(t, "water", two.WaterKg, 2*one.WaterKg, 1e-12)
		within(t, "mass", two.MassKg, 2*one.MassKg, 1e-12)
		within(t, "heat", two.HeatKWh, 2*one.HeatKWh, 1e-12)
	})
}

// A dose is a batch of one litre: mixing by it must give it back.
func TestDoseIsReproducedByItsOwnBatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDose(t)
		b, err := New(1, d.Salinity, d.Temperature, d.Temperature, d)
		if err != nil {
			t.Fatal(err)
		}
		per := float64(b.Volume)
		if d.Per == Purified {
			per = float64(b.Water)
		}
		within(t, "g/L", 1000*b.SaltKg/per, d.GPerL, 1e-12)
	})
}

func TestBatchOfFreshWaterTakesNoSalt(t *testing.T) {
	b, err := New(100, 0, 25, 18, house)
	if err != nil || b.SaltKg != 0 {
		t.Fatal(b, err)
	}
	// 100 L at 25 °C weigh as much as 99.84 L at 18 °C: CRC Handbook of Chemistry
	// and Physics, density of water 997.047 and 998.597 kg/m³.
	if want := 100 * 997.047 / 998.597; !(math.Abs(float64(b.Water)-want) <= 0.001) {
		t.Errorf("%v L, want %v", b.Water, want)
	}
	if b.HeatKWh <= 0 {
		t.Errorf("warming from 18 to 25 °C takes %v kWh", b.HeatKWh)
	}
}

func TestDoseRefusals(t *testing.T) {
	var dose *DoseError
	for _, d := range []Dose{
		{GPerL: 30, Per: Finished, Salinity: 35, Temperature: 25},
		{GPerL: 35.9, Per: Finished, Salinity: 35, Temperature: 25},
		{GPerL: 36.3, Per: Purified, Salinity: 35, Temperature: 25},
	} {
		_, err := d.DryFraction()
		if !errors.As(err, &dose) {
			t.Fatalf("%+v: %v, want a dose error", d, err)
		}
		// The least dose it names is one that works, barely.
		d.GPerL = dose.LeastGPerL * (1 + 1e-12)
		if w, err := d.DryFraction(); err != nil || w < 0.999999 {
			t.Errorf("%+v: dry fraction %v, %v", d, w, err)
		}
		for _, part := range []string{"cannot reach salinity 35", "moisture", string(d.Per)} {
			if !strings.Contains(dose.Error(), part) {
				t.Errorf("%q does not say %q", dose.Error(), part)
			}
		}
	}
	var in *InputError
	var out *salinity.RangeError
	nan := math.NaN()
	for _, d := range []Dose{
		{GPerL: 0, Per: Finished, Salinity: 35, Temperature: 25},
		{GPerL: -1, Per: Finished, Salinity: 35, Temperature: 25},
		{GPerL: nan, Per: Finished, Salinity: 35, Temperature: 25},
		{GPerL: 38, Per: "bucket", Salinity: 35, Temperature: 25},
		{GPerL: 38, Per: Finished, Salinity: 0, Temperature: 25},
	} {
		if _, err := d.DryFraction(); !errors.As(err, &in) {
			t.Errorf("%+v: %v, want an input error", d, err)
		}
	}
	for _, d := range []Dose{
		{GPerL: 38, Per: Finished, Salinity: 50, Temperature: 25},
		{GPerL: 38, Per: Purified, Salinity: 50, Temperature: 25},
		{GPerL: 38, Per: Purified, Salinity: 35, Temperature: 50},
		{GPerL: 38, Per: Purified, Salinity: units.Practical(nan), Temperature: 25},
	} {
		if _, err := d.DryFraction(); !errors.As(err, &out) {
			t.Errorf("%+v: %v, want a range error", d, err)
		}
	}
}

func TestBatchRefusals(t *testing.T) {
	weak := Dose{GPerL: 2000, Per: Finished, Salinity: 35, Temperature: 25}
	var in *InputError
	var out *salinity.RangeError
	var tooWeak *WeakError
	var bad *DoseError
	recipe := Recipe{35, 25, 18, house}
	for _, c := range []struct {
		name string
		do   func() (Batch, error)
		want any
	}{
		{"no volume", func() (Batch, error) { return New(0, 35, 25, 18, house) }, &in},
		{"no number", func() (Batch, error) { return New(units.Litres(math.NaN()), 35, 25, 18, house) }, &in},
		{"too salty", func() (Batch, error) { return New(1, 43, 25, 18, house) }, &out},
		{"hot source", func() (Batch, error) { return New(1, 35, 25, 41, house) }, &out},
		{"impossible dose", func() (Batch, error) { return New(1, 35, 25, 18, Dose{20, Finished, 35, 25}) }, &bad},
		{"weak mix", func() (Batch, error) { return New(1, 42, 25, 18, weak) }, &tooWeak},
		{"no water", func() (Batch, error) { return FromWater(0, recipe) }, &in},
		{"no salt", func() (Batch, error) { return FromSalt(0, recipe) }, &in},
		{"fresh from salt", func() (Batch, error) { return FromSalt(1, Recipe{0, 25, 18, house}) }, &in},
	} {
		b, err := c.do()
		if err == nil || !errors.As(err, c.want) {
			t.Errorf("%s: %+v, %v", c.name, b, err)
			continue
		}
		if b != (Batch{}) || strings.Contains(err.Error(), "NaN") && c.name != "no number" {
			t.Errorf("%s: a value beside the error: %+v, %v", c.name, b, err)
		}
	}
	if msg := tooWeak.Error(); !strings.Contains(msg, "1.79929 %") {
		t.Errorf("%q does not say how weak", msg)
	}
}
