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
	if math.Abs(m.Value-0.12) > 1e-12 || math.Abs(m.U-0.015) > 1e-12 {
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
			if back := s.FromBase(q.Value); math.Abs(back-12) > 1e-9 {
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
