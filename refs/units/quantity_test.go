package units

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

func TestParseKnownSpellings(t *testing.T) {
	for _, c := range []struct {
		text  string
		dim   Dimension
		value float64
		u     float64
	}{
		{"640 L", Volume, 640, 0},
		{"640L", Volume, 640, 0},
		{"170 gal", Volume, 170 * 3.785411784, 0},
		{"1 impgal", Volume, 4.54609, 0},
		{"0 L", Volume, 0, 0},
		{"78 F", Temperature, (78 - 32) / 1.8, 0},
		{"-2 C", Temperature, -2, 0},
		{"25±0.5C", Temperature, 25, 0.5},
		{"77 F ± 0.9 F", Temperature, 25, 0.5},
		{"1.8 F", TempStep, 1, 0},
		{"1.0264 sg", Gravity, 1.0264, 0},
		{"1.0264sg±0.0005", Gravity, 1.0264, 0.0005},
		{"53.1 mS/cm", Conductivity, 53.1, 0},
		{"35", Salinity, 35, 0},
		{"35 ppt", Salinity, 35, 0},
		{"8.2 dKH", Alkalinity, 8.2, 0},
		{"2.9 meq/L", Alkalinity, 2.9 * 2.80385, 0},
		{"120 ± 15 ug/L", Concentration, 120, 15},
		{"120 +- 15 ug/L", Concentration, 120, 15},
		{"120+/-15 µg/L", Concentration, 120, 15},
		{"0.12 mg/L ± 15 ug/L", Concentration, 120, 15},
		{"640 L ± 8 %", Volume, 640, 51.2},
		{"45 % ± 5 %", Share, 0.45, 0.05},
		{"4 h", Duration, 4, 0},
		{"3 d", Duration, 72, 0},
		{"1500 L/h", Flow, 1500, 0},
		{"30 mL/min", Flow, 1.8, 0},
		{"0.5 mg/h", MassRate, 0.5, 0},
		{"0.1/h", PerHour, 0.1, 0},
		{"18 W/K", HeatLoss, 18, 0},
	} {
		q, err := Parse(c.text, c.dim)
		if err != nil {
			t.Errorf("Parse(%q): %v", c.text, err)
			continue
		}
		if !(math.Abs(q.Value-c.value) <= 1e-12*math.Max(1, math.Abs(c.value))) || !(math.Abs(q.U-c.u) <= 1e-12*math.Max(1, c.u)) {
			t.Errorf("Parse(%q) = %v ± %v, want %v ± %v", c.text, q.Value, q.U, c.value, c.u)
		}
	}
}

func TestReportingLimitAndPair(t *testing.T) {
	q, err := Parse("<2 ug/L", Concentration)
	if err != nil || !q.Below || q.Value != 2 {
		t.Errorf("got %+v, %v", q, err)
	}
	for _, text := range []string{"1.0264 sg@60F/60F", "1.0264sg±0.0005@60F/60F", "1.0264 sg@60F/60F ± 0.0005"} {
		q, err := Parse(text, Gravity)
		if err != nil || q.Pair != "60F/60F" || q.Value != 1.0264 {
			t.Errorf("Parse(%q) = %+v, %v", text, q, err)
		}
	}
}

func TestParseRefusals(t *testing.T) {
	for _, c := range []struct {
		text, want string
		dim        Dimension
	}{
		{"", "empty", Volume},
		{"0450", "leading zero; a volume in L", Volume},
		{"0450 L", "write 450 L", Volume},
		{"450", "has no unit", Volume},
		{"0", "write 0 L or 0 gal", Volume},
		{"640±120%", "write 640 L ± 120% or 640 gal ± 120%", Volume},
		{"0.45", "write 45 %", Share},
		{"45", "write 45 %", Share},
		{"1", "write 1 mg/L or 1 ug/L", Concentration},
		{"6.4", "write 6.4 kg or 6.4 g", Mass},
		{"640 Lt ± 8 %", "did you mean 640 L ± 8 %?", Volume},
		{"1,5 L", "write 1.5 L", Volume},
		{".nan", "does not begin with a number", Volume},
		{"NaN L", "does not begin with a number", Volume},
		{".inf", "does not begin with a number", Volume},
		{"-5 L", "negative", Volume},
		{"0x1p3", "not a plain decimal", Volume},
		{"1_000 L", "write 1000 L", Volume},
		{"1e3 L", "exponent", Volume},
		{".5 L", "0.5", Volume},
		{"5. L", "plain decimal", Volume},
		{"640 Lt", "did you mean 640 L?", Volume},
		{"640 kg", "is a mass", Volume},
		{"640 furlong", "unknown unit", Volume},
		{"35 mg/L", "is a", Salinity},
		{"<2 L", "reporting limit", Volume},
		{"2 L ± -1", "behind ±", Volume},
		{"2 L ± 3 kg", "is a mass", Volume},
		{"2 L ±", "does not begin with a number", Volume},
		{"9999999999999999999999 L", "too large", Volume},
	} {
		q, err := Parse(c.text, c.dim)
		if err == nil {
			t.Errorf("Parse(%q) = %+v, want an error with %q", c.text, q, c.want)
			continue
		}
		if !strings.Contains(err.Error(), c.want) {
			t.Errorf("Parse(%q): %q does not say %q", c.text, err, c.want)
		}
	}
}

func TestWithinNamesBounds(t *testing.T) {
	q, err := Parse("350", Salinity)
	if err != nil {
		t.Fatal(err)
	}
	_, err = q.Within("350", 0, 42)
	if err == nil || !strings.Contains(err.Error(), "practical salinity 0 to 42; write 35.0 if the decimal point was lost") {
		t.Errorf("got %v", err)
	}
	if _, err = q.Within("350", 0, 400); err != nil {
		t.Error(err)
	}
	for text, want := range map[string]string{
		"2 gal":    "volume 10 to 100 L (2.642 to 26.41 gal)", // what the bound allows is never overstated
		"3 L":      "volume 10 to 100 L",
		"5000 mL":  "volume 10 to 100 L (10000 to 100000 mL)",
		"2.5 floz": "volume 10 to 100 L (338.2 to 3381 floz)",
	} {
		q, err := Parse(text, Volume)
		if err != nil {
			t.Fatal(err)
		}
		var out *Error
		if _, err = q.Within(text, 10, 100); !errors.As(err, &out) || out.Allowed != want {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
	}
	if _, err = (Quantity{Value: math.NaN()}).Within("x", 0, 1); err == nil {
		t.Error("NaN passed")
	}
}

// Exact conversion factors against NIST SP 811 (2008), appendix B.8, and NIST
// Handbook 44 (appendix C) as printed there.
func TestFactorsAgainstNIST(t *testing.T) {
	for _, c := range []struct {
		text string
		dim  Dimension
		want float64
	}{
		{"1 gal", Volume, 3.785411784}, // HB 44: 231 in³
		{"1 impgal", Volume, 4.54609},  // SP 811: 4.54609 E-03 m³
		{"1 qt", Volume, 0.946352946},  // HB 44
		{"1 ft3", Volume, 28.316846592},
		{"1 in3", Volume, 0.016387064},
		{"1 lb", Mass, 0.45359237},
		{"1 oz", Mass, 0.028349523125},
		{"1 in", Length, 2.54},
		{"1 ft", Length, 30.48},
		{"1 ft2", Area, 0.09290304},
		{"32 F", Temperature, 0},
		{"212 F", Temperature, 100},
		{"12 sqft", Area, 12 * 0.09290304},
		{"1 sq ft", Area, 0.09290304},
		{"1 gal/min", Flow, 227.12470704},
		{"300 gph", Flow, 300 * 3.785411784}, // as US pumps and purifiers are labelled
		{"1 gpm", Flow, 227.12470704},
		{"100 GPD", Flow, 100 * 0.157725491},
		{"1 lb/gal", Dose, 119.826427316896}, // SP 811: 1.198264 E+02 kg/m³
		{"1 oz/gal", Dose, 7.489151707306},   // SP 811: 7.489152 kg/m³
		{"1 atm", Pressure, 101.325},
		{"1 inHg", Pressure, 3.386389}, // SP 811: conventional inch of mercury 3.386389 kPa
	} {
		q, err := Parse(c.text, c.dim)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
		} else if !(math.Abs(q.Value-c.want) <= 1e-12*math.Max(1, c.want)) {
			t.Errorf("%s = %v, want %v", c.text, q.Value, c.want)
		}
	}
}

func TestExactKeepsTheDecimalsAsWritten(t *testing.T) {
	a, _ := Parse("0.1 kg", Mass)
	b, _ := Parse("0.2 kg", Mass)
	if got := a.Exact.Add(b.Exact).String(); got != "0.3" {
		t.Errorf("0.1 + 0.2 = %s", got)
	}
}

func TestEveryUnitRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Dimension(rapid.IntRange(0, len(dimensions)-1).Draw(t, "dimension"))
		un := rapid.SampledFrom(dimensions[d].units).Draw(t, "unit")
		x := rapid.Float64Range(0.001, 1e6).Draw(t, "x")
		text := Significant(x, 12) + " " + un.names[0]
		q, err := Parse(text, d)
		if err != nil {
			t.Fatalf("Parse(%q, %s): %v", text, d, err)
		}
		first := dimensions[d].units[0]
		back, err := Parse(Fixed(q.Value/first.toBase(decimal.NewFromInt(1)).InexactFloat64(), 15)+" "+first.names[0], d)
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(back.Value-q.Value) <= 1e-9*math.Max(1e-3, math.Abs(q.Value))) {
			t.Fatalf("%q: %v then %v", text, q.Value, back.Value)
		}
	})
}

func TestOneSpreadIsEnough(t *testing.T) {
	for _, s := range []string{"1.0264 sg ±0,0005 @60F/60F ±0,1", "1.02±0.1±0.2", "1.02 +/- 0.1 +- 0.2"} {
		if _, err := Parse(s, Gravity); err == nil || !strings.Contains(err.Error(), "more than one ±") {
			t.Errorf("Parse(%q): %v", s, err)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"640 L ± 8 %", "<2 ug/L", "1.0264sg±0.0005@60F/60F", "0450", "1,5", ".nan", "-2 C", "1e9 L", "1.0264sg±0,0005@60F/60F±0,1"} {
		f.Add(s, 0)
		f.Add(s, 9)
	}
	f.Fuzz(func(t *testing.T, s string, d int) {
		if d < 0 || d >= len(dimensions) {
			return
		}
		q, err := Parse(s, Dimension(d))
		if err != nil {
			return
		}
		if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) || math.IsNaN(q.U) || math.IsInf(q.U, 0) || q.U < 0 {
			t.Fatalf("Parse(%q) = %+v", s, q)
		}
	})
}

// The listings that schema, help and refs print must be what Parse accepts.
func TestListingsAreWhatParseAccepts(t *testing.T) {
	if len(Dimensions()) != len(dimensions) {
		t.Errorf("%d dimensions listed, %d there", len(Dimensions()), len(dimensions))
	}
	for _, d := range Dimensions() {
		for _, s := range d.Spellings() {
			if _, err := Parse("1 "+s, d); err != nil {
				t.Errorf("%s: listed spelling %q: %v", d, s, err)
			}
		}
		if _, err := Parse("1", d); (err == nil) != d.Bare() {
			t.Errorf("%s: bare number: %v", d, err)
		}
		if len(d.Spellings()) == 0 {
			continue
		}
		if _, err := Parse("-1 "+d.Spellings()[0], d); (err == nil) != dimensions[d].signs {
			t.Errorf("%s: negative number: %v", d, err)
		}
	}
}

func TestRespellKeepsWhatHasNoCustomaryUnit(t *testing.T) {
	for _, c := range []struct {
		text string
		dim  Dimension
		want string
	}{
		{"0 L", Volume, "0 gal"}, {"150 L", Volume, "39.63 gal"}, {"25 C", Temperature, "77 F"}, {"1 C", TempStep, "1.8 F"},
		{"50 g", Mass, "0.1102 lb"}, {"422 mg/L", Concentration, "422 mg/L"}, {"35", Salinity, "35"}, {"28 d", Duration, "28 d"},
	} {
		q, err := Parse(c.text, c.dim)
		if err != nil {
			t.Fatal(err)
		}
		if got := US.Respell(c.text, q); got != c.want {
			t.Errorf("%s in US units: %s, want %s", c.text, got, c.want)
		}
		if got := Metric.Respell(c.text, q); got != c.text {
			t.Errorf("%s in metric units: %s", c.text, got)
		}
	}
}
