package salinity

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os/exec"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/outside"
	"tidehold/refs/units"
)

// TestCarbonateBesideAnotherSetOfConstants: the one printed system of the R package
// seacarb's own test (other constants: pH 8.255611, alkalinity 2.4 and DIC 2.0 mmol/kg
// at S 35, 20 °C). An independent program with the constants used here gives DIC
// 2.00413, HCO3 1.71858, CO3 0.27812, CO2 0.00743; the choice of constants is worth
// 0.3 %.
func TestCarbonateBesideAnotherSetOfConstants(t *testing.T) {
	c, err := CarbonateFromPH(8.255611, 2.4, 35, 20)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		what                string
		got, same, other, u float64
	}{
		{"DIC", c.DIC, 2.00413, 2.0, 5e-6},
		{"HCO3", c.Bicarbonate, 1.71858, 1.715038, 5e-6},
		{"CO3", c.CarbonateIon, 0.27812, 0.2775481, 5e-6},
		{"CO2", c.CO2, 0.00743, 0.00741, 5e-6},
	} {
		near(t, x.what+" by the same constants", x.got, x.same, x.u)
		near(t, x.what+" by another set", x.got, x.other, 0.003*x.other)
	}
	near(t, "sum of the parts", c.CO2+c.Bicarbonate+c.CarbonateIon, c.DIC, 1e-15)
	near(t, "charge", c.Bicarbonate+2*c.CarbonateIon+c.Borate, 2.4, 0.012) // OH − H is the rest
}

// TestCarbonateThereAndBack: pH to DIC to pH over the range, and the alkalinity that
// the parts hold.
func TestCarbonateThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := units.Practical(rapid.Float64Range(19, 43).Draw(t, "s"))
		tc := units.Celsius(rapid.Float64Range(2, 35).Draw(t, "t"))
		pH := rapid.Float64Range(6.5, 9).Draw(t, "pH")
		alk := rapid.Float64Range(0.8, 8).Draw(t, "A")
		c, err := CarbonateFromPH(pH, alk, s, tc)
		if err != nil {
			t.Fatal(err)
		}
		back, err := CarbonateFromDIC(alk, c.DIC, s, tc)
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(back.PH-pH) <= 1e-11) || !(math.Abs(back.CO2-c.CO2) <= 1e-10) {
			t.Fatalf("pH %.15g came back as %.15g", pH, back.PH)
		}
		if more, err := CarbonateFromDIC(alk, c.DIC*1.01, s, tc); err != nil || !(more.PH < pH) {
			t.Fatalf("more carbon: pH %g, %v", more.PH, err)
		}
	})
}

func TestCarbonateIsRefusedOutsideItsRange(t *testing.T) {
	for _, c := range []struct {
		err      error
		argument string
	}{
		{second(CarbonateFromPH(8, 2.4, 18, 25)), "salinity"},
		{second(CarbonateFromPH(8, 2.4, 35, 1)), "temperature"},
		{second(CarbonateFromPH(8, 2.4, 35, 36)), "temperature"},
		{second(CarbonateFromPH(4.9, 2.4, 35, 25)), "pH"},
		{second(CarbonateFromPH(math.NaN(), 2.4, 35, 25)), "pH"},
		{second(CarbonateFromPH(8, math.NaN(), 35, 25)), "alkalinity"},
		{second(CarbonateFromPH(8, 51, 35, 25)), "alkalinity"},
		// Borate and hydroxide alone hold more than this at pH 9.5.
		{second(CarbonateFromPH(9.5, 0.3, 35, 25)), "alkalinity"},
		{second(CarbonateFromDIC(2.4, math.Inf(1), 35, 25)), "dissolved inorganic carbon"},
		{second(CarbonateFromDIC(2.4, -1, 35, 25)), "dissolved inorganic carbon"},
		{second(CarbonateFromDIC(2.4, 2, 44, 25)), "salinity"},
		{second(CarbonateFromDIC(30, 2, 35, 25)), "alkalinity"},
		{second(CarbonateFromDIC(math.NaN(), 2, 35, 25)), "alkalinity"},
	} {
		var e *RangeError
		if !errors.As(c.err, &e) || e.Argument != c.argument || !(e.Low < e.High) {
			t.Errorf("%v; want a range error of the %s", c.err, c.argument)
		}
	}
	for _, c := range []Carbonate{first(CarbonateFromDIC(0.5, 0, 35, 25)), first(CarbonateFromDIC(50, 49, 19, 2))} {
		if math.IsNaN(c.PH) || c.PH < 5 || c.PH > 10 {
			t.Errorf("at the ends: %+v", c)
		}
	}
}

func first[T any](x T, _ error) T { return x }

// TestCarbonateAgainstScipy holds the solver to an independent program: SciPy's
// root finding on the charge balance with its own transcription of the constants,
// over salinity, temperature and pH.
func TestCarbonateAgainstScipy(t *testing.T) {
	python := pythonWith("scipy.optimize, numpy")
	if python == "" {
		outside.Missing(t, "python3-scipy is not installed: the comparison with an independent solver is left out")
	}
	type point struct{ s, t, pH, alk, dic float64 }
	var points []point
	var in strings.Builder
	for s := 19.0; s <= 43; s += 4 {
		for tc := 2.0; tc <= 35; tc += 5.5 {
			for pH := 7.0; pH <= 9; pH += 0.25 {
				c, err := CarbonateFromPH(pH, 2.4, units.Practical(s), units.Celsius(tc))
				if err != nil {
					t.Fatal(err)
				}
				points = append(points, point{s, tc, pH, 2.4, c.DIC})
				fmt.Fprintf(&in, "%.17g %.17g %.17g %.17g\n", s, tc, 2.4, c.DIC)
			}
		}
	}
	cmd := exec.Command(python, "../.ci/carbonate_scipy.py")
	cmd.Stdin = strings.NewReader(in.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Fields(string(out))
	if len(lines) != len(points) {
		t.Fatalf("%d answers for %d points", len(lines), len(points))
	}
	var w worst
	for i, p := range points {
		c, err := CarbonateFromDIC(p.alk, p.dic, units.Practical(p.s), units.Celsius(p.t))
		if err != nil {
			t.Fatal(err)
		}
		at := fmt.Sprintf("S %g, %g °C, pH %g", p.s, p.t, p.pH)
		w.see(at, c.PH, outside.Number(t, lines[i]))
		w.see(at+", there and back", c.PH, p.pH)
	}
	w.within(t, "pH from alkalinity and DIC against SciPy", 1e-9)
}

func TestUndissociatedSulfide(t *testing.T) {
	// An independent program with the same coefficients gives pK 6.510426 at S 35,
	// 25 °C.
	f, err := UndissociatedSulfide(8.2, 35, 25)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "share at pH 8.2", f, 1/(1+math.Pow(10, 8.2-6.510426)), 3e-8) // half the last digit of the pK
	half, err := UndissociatedSulfide(6.510426, 35, 25)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "share at pH = pK", half, 0.5, 1e-6)
	for _, bad := range [][3]float64{{15, 35, 25}, {8, 46, 25}, {8, 35, 46}, {math.NaN(), 35, 25}} {
		var e *RangeError
		if _, err := UndissociatedSulfide(bad[0], units.Practical(bad[1]), units.Celsius(bad[2])); !errors.As(err, &e) {
			t.Errorf("%v: %v", bad, err)
		}
	}
	near(t, "H2S per sulfur", H2SPerSulfur, 34.08/32.06, 1e-12)
}

func TestCarbonateIsJSON(t *testing.T) {
	c, err := CarbonateFromPH(8.1, 2.4, 35, 25)
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(c)
	if err != nil || !strings.Contains(string(text), `"dic_mmol_kg"`) {
		t.Errorf("%s, %v", text, err)
	}
}
