package units

import (
	"math"
	"testing"
)

// TestMeasuredInOtherUnits: 120 ± 15 µg/L is 0.12 ± 0.015 mg/L; an exact value stays so.
func TestMeasuredInOtherUnits(t *testing.T) {
	q, err := Parse("120 ± 15 ug/L", Concentration)
	if err != nil {
		t.Fatal(err)
	}
	m := q.Measured().Times(1e-3)
	if !(math.Abs(m.Value-0.12) <= 1e-12) || !(math.Abs(m.U-0.015) <= 1e-12) {
		t.Errorf("%+v", m)
	}
	if e := Exact(3).Times(2); e != (Measured{Value: 6}) {
		t.Errorf("%+v", e)
	}
}

// TestAVolumeKnownToNothingIsRefused: a ± as large as the value says nothing of it.
func TestAVolumeKnownToNothingIsRefused(t *testing.T) {
	for text, sure := range map[string]bool{"640 L": true, "640 L ± 8 %": true, "640 L ± 99 %": true, "640 L ± 100 %": false, "640 L ± 1000 %": false} {
		q, err := Parse(text, Volume)
		if err != nil {
			t.Fatal(err)
		}
		if got := q.Sure(text) == nil; got != sure {
			t.Errorf("%s: %v", text, q.Sure(text))
		}
	}
}

// TestScalesInvert: every unit of every dimension converts back to what Parse reads.
func TestScalesInvert(t *testing.T) {
	for _, d := range []Dimension{Volume, Mass, Temperature, Duration, Concentration, Length, Flow} {
		for _, s := range d.Scales() {
			if len(s.Names) == 0 {
				continue
			}
			q, err := Parse("12 "+s.Names[0], d)
			if err != nil {
				t.Fatalf("12 %s: %v", s.Names[0], err)
			}
			if back := s.FromBase(q.Value); !(math.Abs(back-12) <= 1e-9) {
				t.Errorf("12 %s reads %g and comes back as %g", s.Names[0], q.Value, back)
			}
		}
	}
}

// TestLoadsOnAFloor: 40 lb/ft² is 195 kg/m² (the usual design value of a dwelling, as
// the ASCE discussion in refs states both).
func TestLoadsOnAFloor(t *testing.T) {
	if got := US.PerArea(40 * KgM2PerLbFt2); got != "40 lb/ft²" {
		t.Error(got)
	}
	if got := Metric.PerArea(40 * KgM2PerLbFt2); got != "195 kg/m²" {
		t.Error(got)
	}
}

// TestWhatIsNoNumberIsToldInWords: no NaN and no infinity is ever printed as an amount.
func TestWhatIsNoNumberIsToldInWords(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, got := range []string{Fixed(x, 1), Significant(x, 3), Metric.Volume(x, Nearest), US.Volume(x, Up), Metric.Mass(x, Down)} {
			if got != noNumber {
				t.Errorf("%v is printed as %q", x, got)
			}
		}
	}
}

// TestNoAmountIsBelowNothing: litres, kilograms, hours and what is dissolved are none at the
// least; what rounding leaves of none is none. Temperatures and steps keep their sign.
func TestNoAmountIsBelowNothing(t *testing.T) {
	for _, s := range []System{Metric, US} {
		for _, r := range []Rounding{Nearest, Up, Down} {
			for _, x := range []float64{-1e-6, -0.3, -5, -1602, -1e9} {
				for what, got := range map[string]string{"volume": s.Volume(x, r), "mass": s.Mass(x, r), "length": s.Length(x, r), "flow": s.Flow(x), "load": s.PerArea(x), "dissolved": Dissolved(x), "hours": Hours(x)} {
					if got != noNumber {
						t.Errorf("a %s of %g is printed as %q", what, x, got)
					}
				}
			}
		}
	}
	const spent = -1e-12
	for got, want := range map[string]string{
		Metric.Volume(spent, Down): "0.00 L", US.Volume(spent, Up): "0.00 gal", Metric.Mass(spent, Up): "0 g", US.Mass(spent, Up): "0.0 oz", Hours(spent): "0 min",
		Metric.Temperature(-1.8): "-1.8 °C", US.Temperature(-20): "-4.0 °F", Metric.TempStep(-1.5): "-1.5 °C", US.TempStep(-1): "-1.8 °F", Fixed(-2.25, 2): "-2.25", Significant(-0.0123, 2): "-0.012",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
