package salinity

import (
	"fmt"
	"math"
	"testing"

	"tidehold/refs/units"
)

// TestSpecificGravityTable: EOS-80 values, with which TEOS-10 agrees to 1e-5; both
// were computed apart from this code, to five decimals.
func TestSpecificGravityTable(t *testing.T) {
	pairs := []Pair{Pair25, Pair20, Pair60F, {17.5, 17.5}, {15, 15}, {20, 4}, {15, 4}, {25, 4}}
	for s, row := range map[units.Practical][]float64{
		0:  {1.00000, 1.00000, 1.00000, 1.00000, 1.00000, 0.99823, 0.99913, 0.99707},
		20: {1.01505, 1.01518, 1.01533, 1.01526, 1.01536, 1.01339, 1.01447, 1.01207},
		30: {1.02259, 1.02279, 1.02301, 1.02291, 1.02304, 1.02098, 1.02215, 1.01959},
		35: {1.02637, 1.02660, 1.02686, 1.02674, 1.02690, 1.02479, 1.02600, 1.02337},
		40: {1.03017, 1.03043, 1.03072, 1.03059, 1.03076, 1.02861, 1.02986, 1.02715},
	} {
		for i, p := range pairs {
			got, err := SpecificGravity(s, p)
			if err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("SG of S %g, %s", float64(s), p), got, row[i], 5.1e-6)
		}
	}
}

// TestFloatTable: salinities for marks read at other temperatures than the float
// was made for, computed apart from this code to two decimals.
func TestFloatTable(t *testing.T) {
	temps := []units.Celsius{20, 22, 24, 25, 26, 28, 30}
	for _, row := range []struct {
		pair Pair
		mark float64
		want []float64
	}{
		{Pair25, 1.0250, []float64{31.51, 32.14, 32.83, 33.19, 33.56, 34.34, 35.16}},
		{Pair25, 1.0264, []float64{33.34, 33.98, 34.67, 35.04, 35.41, 36.19, 37.02}},
		{Pair20, 1.0264, []float64{34.73, 35.38, 36.08, 36.44, 36.82, 37.60, 38.43}},
		{Pair60F, 1.0264, []float64{35.67, 36.32, 37.02, 37.39, 37.77, 38.55, 39.39}},
		{Pair{15, 4}, 1.0250, []float64{35.11, 35.76, 36.46, 36.82, 37.20, 37.98, 38.82}},
	} {
		for i, tc := range temps {
			got, err := GlassFloat(row.pair).Salinity(row.mark, tc)
			if err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("float %s at %g, %g °C", row.pair, row.mark, float64(tc)), float64(got), row.want[i], 0.0051)
		}
	}
}

func TestGlassExpansionIsNotPlastic(t *testing.T) {
	for expansion, want := range map[float64]float64{0: 37.71, 23e-6: 37.41, GlassExpansion: 37.39, 30e-6: 37.32, 2e-4: 35.15} {
		got, err := Float{Pair60F, expansion}.Salinity(1.0264, 25)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("1.0264 on a 60/60 °F float of expansion %g at 25 °C", expansion), float64(got), want, 0.0051)
	}
	rho, err := GlassFloat(Pair60F).Density(1.0264, 25)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "density", float64(rho), 1025.1474, 5e-5)
}

// TestFormulasOfIndexDifferByTheFloor: the floor of the method is the largest
// difference of the two formulas, no more and no less.
func TestFormulasOfIndexDifferByTheFloor(t *testing.T) {
	var index, salt worst
	for s := 0.0; s <= 35; s += 0.5 {
		for tc := 0.0; tc <= 30; tc += 0.5 {
			a, err := RefractiveIndex(units.Practical(s), units.Celsius(tc), SodiumD)
			if err != nil {
				t.Fatal(err)
			}
			b, err := RefractiveIndexQuanFry(units.Practical(s), units.Celsius(tc), SodiumD)
			if err != nil {
				t.Fatal(err)
			}
			at := fmt.Sprintf("S %g, %g °C", s, tc)
			index.see(at, a, b)
			_, slope := millardSeaver(tc, SodiumD)
			salt.see(at, (b-a)/slope, 0)
		}
	}
	index.within(t, "Quan and Fry against Millard and Seaver", 2.42e-5)
	salt.within(t, "the same in salinity", indexFloor)
	if salt.delta < indexFloor-0.001 {
		t.Errorf("the formulas differ by %g only; the floor is %g", salt.delta, indexFloor)
	}
}

// TestRefractiveIndexValues: values computed apart from this code, to six decimals and
// for a wavelength that may differ by 0.02 nm: one unit of the last digit.
func TestRefractiveIndexValues(t *testing.T) {
	temps := []units.Celsius{0, 10, 20, 25, 30}
	for i, tc := range temps {
		for name, c := range map[string]struct {
			f    func(units.Practical, units.Celsius, float64) (float64, error)
			s    units.Practical
			want float64
		}{
			"Quan and Fry, fresh":   {RefractiveIndexQuanFry, 0, []float64{1.333956, 1.333682, 1.333004, 1.332514, 1.331923}[i]},
			"Quan and Fry, sea":     {RefractiveIndexQuanFry, 35, []float64{1.340868, 1.340283, 1.339406, 1.338858, 1.338237}[i]},
			"Millard and Seaver":    {RefractiveIndex, 35, []float64{1.340853, 1.340297, 1.339385, 1.338836, 1.338242}[i]},
			"Millard and Seaver, 0": {RefractiveIndex, 0, []float64{1.333948, 1.333689, 1.332987, 1.332502, 1.331939}[i]},
		} {
			got, err := c.f(c.s, tc, SodiumD)
			if err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("%s at %g °C", name, float64(tc)), got, c.want, 1.01e-6)
		}
	}
}

// TestBrineScalesReadSeawaterWrong: 4 % high in g/kg, more in g/L, and the specific
// gravity scale low. Computed apart from this code with a slope from the handbook's
// rows up to 6 %, which is 0.08 % smaller.
func TestBrineScalesReadSeawaterWrong(t *testing.T) {
	for s, want := range map[units.Practical][3]float64{30: {31.2, 31.9, 1.0223}, 33: {34.4, 35.2, 1.0246}, 35: {36.5, 37.3, 1.0261}, 38: {39.6, 40.6, 1.0283}} {
		for i, scale := range []BrineScale{BrineGramsPerKg, BrineGramsPerLitre, BrineGravity} {
			got, err := BrineMark(s, scale)
			if err != nil {
				t.Fatal(err)
			}
			tolerance := []float64{0.1, 0.1, 6e-5}[i]
			near(t, fmt.Sprintf("%s at S %g", scale, float64(s)), got, want[i], tolerance)
		}
	}
	s, err := SalinityFromBrineMark(35, BrineGramsPerKg)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "35 on a g/kg brine scale", float64(s), 33.6, 0.05)
}

// TestCompensatedMeterErrors: what a meter's alpha costs when its 25 °C value is
// taken at face value, for true salinity 35.
func TestCompensatedMeterErrors(t *testing.T) {
	for tc, want := range map[units.Celsius][3]float64{
		15: {-0.02, 0.43, 0.93}, 20: {-0.07, 0.13, 0.35}, 22: {-0.05, 0.06, 0.19}, 28: {0.08, -0.02, -0.13}, 30: {0.15, -0.01, -0.19},
	} {
		for i, alpha := range []float64{0.0191, 0.020, 0.021} {
			c25, err := CompensatedConductivity(35, tc, alpha)
			if err != nil {
				t.Fatal(err)
			}
			naive, err := FromConductivity(c25, 25)
			if err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("error of alpha %g at %g °C", alpha, float64(tc)), float64(naive)-35, want[i], 0.0051)
			s, err := FromCompensatedConductivity(c25, tc, alpha)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "compensation undone", float64(s), 35, 1e-10)
		}
	}
}

func TestConductivityBelowTheResolutionIsZero(t *testing.T) {
	for _, c := range []units.MilliSiemensPerCm{0, 0.0001, 0.001} {
		s, err := FromConductivity(c, 25)
		if err != nil || s != 0 {
			t.Errorf("salinity of %g mS/cm = %g, %v; want 0", float64(c), float64(s), err)
		}
	}
	// The extension meets PSS-78 at 2 from both sides.
	for tc := 0.0; tc <= 35; tc++ {
		f := pssF(IPTS68(units.Celsius(tc)))
		x := pssRoot(pssLow, f)
		near(t, "extension at 2", scaledHill(x, f), 2, 1e-14)
		near(t, "unscaled extension at 2", hill(x, f), 2, 3.4e-4)
	}
}

func TestOxygenPressure(t *testing.T) {
	at1, err := OxygenSaturation(35, 25)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "saturation at S 35, 25 °C", at1, 6.7721, 1e-3)
	near(t, "vapour pressure, atm", vapourPressure(35, 25), 0.030651, 5e-7)
	for p, factor := range map[float64]float64{0.80: 0.79378, 0.90: 0.89690, 0.95: 0.94845, 1: 1, 1.02: 1.02062} {
		c, err := OxygenSaturationAt(35, 25, p*StandardAtmosphereKPa)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("factor at %g atm", p), c/at1, factor, 6e-6)
	}
	// Weiss is a quarter of a percent lower.
	w, err := OxygenSaturationWeiss(35, 25)
	if err != nil {
		t.Fatal(err)
	}
	const mgPerMl = 1.42905
	near(t, "Weiss against Benson and Krause", w*mgPerMl/at1, 1-0.0026, 5e-4)
}

func TestSaltInSeawater(t *testing.T) {
	// 100 L at salinity 35 and 25 °C weigh 102.334 kg and hold 3.5986 kg of salt.
	rho, err := Density(35, 25)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mass", 0.1*float64(rho), 102.334, 5e-4)
	near(t, "salt", 0.1*float64(rho)*float64(ReferenceSalinity(35))/1000, 3.5986, 5e-5)
}

func TestAlkalinityUnits(t *testing.T) {
	for _, a := range []Alkalinity{AlkalinityFromMeq(1), AlkalinityFromDKH(2.80385)} {
		near(t, "meq/L", a.MeqPerLitre, 1, 1e-6)
		near(t, "dKH", a.DKH, 2.80385, 1e-6)
		near(t, "mg/L CaCO3", a.CaCO3, 50.043, 1e-4)
	}
	a, err := AlkalinityFromMolality(2.3, 35, 25)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "2.300 mmol/kg in meq/L", a.MeqPerLitre, 2.354, 5e-4)
	near(t, "2.300 mmol/kg in dKH", a.DKH, 6.60, 5e-3)
}

func TestTemperatureScaleMatters(t *testing.T) {
	// Leaving the factor out costs at most 0.0040 kg/m³.
	var w worst
	for tc := 0.0; tc <= 40; tc++ {
		w.see(fmt.Sprint(tc), eos80(35, tc), eos80(35, IPTS68(units.Celsius(tc))))
	}
	if !(math.Abs(w.delta-0.004) <= 5e-4) {
		t.Errorf("the scales differ by %g kg/m³, want 0.0040", w.delta)
	}
}
