package salinity

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"tidehold/refs/units"
)

// derivative is f'(x) by central differences of sixth order.
func derivative(f func(x float64) float64, x, h float64) float64 {
	out := 0.0
	for i, c := range []float64{3.0 / 4, -3.0 / 20, 1.0 / 60} {
		d := float64(i+1) * h
		out += c * (f(x+d) - f(x-d)) / h
	}
	return out
}

// TestSlopesAreDerivatives: the slopes that Newton's steps take, of the scale and of its low-salinity extension,
// beside differences of the curves themselves. With a wrong slope the steps still converge, only slower.
func TestSlopesAreDerivatives(t *testing.T) {
	for _, t68 := range []float64{-2, 0, 10, 15, 25, 35} {
		f := pssF(t68)
		for _, x := range []float64{0.01, 0.05, 0.2, 0.5, 0.9, 1, 1.1} {
			for name, c := range map[string]struct{ curve, slope func(x, f float64) float64 }{"scale": {pssSalinity, pssSlope}, "extension": {hill, hillSlope}} {
				want := derivative(func(x float64) float64 { return c.curve(x, f) }, x, 1e-3*x)
				if got := c.slope(x, f); !(math.Abs(got-want) <= 1e-8*(1+math.Abs(want))) {
					t.Errorf("%s at %v and %v °C: slope %v, differences give %v", name, x, t68, got, want)
				}
			}
		}
	}
}

// TestAPairIsWrittenAsItWasMeant: in °F where both temperatures are whole there and not in °C.
func TestAPairIsWrittenAsItWasMeant(t *testing.T) {
	for p, want := range map[Pair]string{
		{25, 25}: "25/25 °C", {20, 4}: "20/4 °C", Pair60F: "60/60 °F", {25, (60 - 32) / 1.8}: "77/60 °F", {(60 - 32) / 1.8, 25}: "60/77 °F",
		{20, 15.3}: "20/15.3 °C", {15.3, 20}: "15.3/20 °C", {15.3, 15.3}: "15.3/15.3 °C", {17.5, 17.5}: "17.5/17.5 °C", {22.5, 17.5}: "22.5/17.5 °C",
	} {
		if got := p.String(); got != want {
			t.Errorf("%#v: %s, want %s", p, got, want)
		}
	}
}

// TestHowFarTwoReadingsAreApart: ISO/IEC 17043, E_n: the difference over its expanded uncertainty.
func TestHowFarTwoReadingsAreApart(t *testing.T) {
	c, err := Compare(Determination{Salinity: 35, U: 0.3}, Determination{Salinity: 34, U: 0.4}, false)
	if err != nil || !(math.Abs(c.En-2) <= 1e-12) || c.Agree {
		t.Errorf("1 apart, ± 0.5: %+v, %v", c, err)
	}
}

// TestTheMeterOffsetInPercent: 0.137 of a pH is a factor of 1.371 (10^0.137), 37 % too much.
func TestTheMeterOffsetInPercent(t *testing.T) {
	a, err := UnionisedAmmonia(AmmoniaWater{TotalN: 1, PH: 8.1, Salinity: 35, Temperature: 25})
	if want := fmt.Sprintf("about %.0f %%;", 100*(math.Exp(0.137*math.Ln10)-1)); err != nil || want != "about 37 %;" || !strings.Contains(strings.Join(a.Warnings, "\n"), want) {
		t.Errorf("%q, %v", a.Warnings, err)
	}
}

// TestEdgesOfTheCarbonateSystem: the pHs and the alkalinities named in its range, from both sides; what the
// borate and the hydroxide hold alone is more than nothing at pH 10 and less at pH 5.
func TestEdgesOfTheCarbonateSystem(t *testing.T) {
	for pH, ok := range map[float64]bool{5: true, 4.99: false, 5.5: true, 10: true, 10.01: false} {
		if _, err := CarbonateFromPH(pH, 30, 35, 25); (err == nil) != ok {
			t.Errorf("pH %v: %v", pH, err)
		}
	}
	for _, c := range []struct {
		pH, alkalinity float64
		ok             bool
	}{{5, 0, true}, {5, -1e-9, false}, {8, 50, true}, {8, 50.1, false}, {10, 0.3, false}} {
		_, err := CarbonateFromPH(c.pH, c.alkalinity, 35, 25)
		var e *RangeError
		if (err == nil) != c.ok || err != nil && (!errors.As(err, &e) || e.Low < 0 || e.High != 50 || c.pH == 5 && e.Low != 0 || c.pH == 10 && !(e.Low > 0.3)) {
			t.Errorf("%+v: %v", c, err)
		}
	}
}

// TestNoUncertaintyIsNone: a determination that states none has none among its forms, and none beside an error.
func TestNoUncertaintyIsNone(t *testing.T) {
	for _, c := range []struct {
		m    Determination
		want bool
	}{{Determination{Salinity: 35, Temperature: 25}, false}, {Determination{Salinity: 35, Temperature: 25, U: 0.01}, true}, {Determination{Salinity: -1, Temperature: 25, U: 0.01}, false}} {
		if f, _ := c.m.Forms(); (f.Uncertainty != nil) != c.want {
			t.Errorf("%+v: %v", c.m, f.Uncertainty)
		}
	}
}

// TestTheTwoColumnsOfGarciaAndGordonAgree: millilitres at standard conditions per litre are micromoles per kilogram
// by the molar volume of oxygen, 22.3916 L/mol, and the density: the two fits differ by less than 0.05 % from 0 to 36 °C.
func TestTheTwoColumnsOfGarciaAndGordonAgree(t *testing.T) {
	worst := 0.0
	for temp := 0.0; temp <= 36; temp += 2 {
		for s := 0.0; s <= 40; s += 5 {
			rho, err := Density(units.Practical(s), units.Celsius(temp))
			if err != nil {
				t.Fatal(err)
			}
			t68 := IPTS68(units.Celsius(temp))
			off := ggLitre.at(s, t68)/22.3916*1e3/(float64(rho)/1e3)/ggKg.at(s, t68) - 1
			if worst = max(worst, math.Abs(off)); !(math.Abs(off) <= 5e-4) {
				t.Errorf("salinity %v at %v °C: %+.4f %%", s, temp, 100*off)
			}
		}
	}
	t.Logf("worst %.4f %%", 100*worst)
}

// TestRefusalsNameWhatIsTaken: the ends that an error allows are taken, and a hundredth beyond is not.
func TestRefusalsNameWhatIsTaken(t *testing.T) {
	for name, c := range map[string]struct {
		far float64
		f   func(x float64) error
	}{
		"conductivity compensated at 15 °C": {500, func(x float64) error {
			_, err := FromCompensatedConductivity(units.MilliSiemensPerCm(x), 15, 0.02)
			return err
		}},
		"conductivity compensated at 30 °C": {500, func(x float64) error {
			_, err := FromCompensatedConductivity(units.MilliSiemensPerCm(x), 30, 0.0191)
			return err
		}},
		"refractive index":               {2, func(x float64) error { _, err := SalinityFromIndex(x, 20, 589.3); return err }},
		"refractive index, Quan and Fry": {2, func(x float64) error { _, err := SalinityFromIndexQuanFry(x, 20, 589.3); return err }},
		"pressure":                       {500, func(x float64) error { _, err := OxygenSaturationAt(35, 25, x); return err }},
	} {
		var e *RangeError
		if !errors.As(c.f(c.far), &e) || !(e.Low < e.High) {
			t.Errorf("%s: %v", name, c.f(c.far))
			continue
		}
		span := e.High - e.Low
		for x, ok := range map[float64]bool{e.Low + 1e-6*span: true, e.High - 1e-6*span: true, e.Low - 0.01*span: false, e.High + 0.01*span: false} {
			if err := c.f(x); (err == nil) != ok {
				t.Errorf("%s of %v, allowed %v to %v: %v", name, x, e.Low, e.High, err)
			}
		}
	}
	if bkPressure.Low*2 != StandardAtmosphereKPa || !(math.Abs(bkPressure.High/1.1-StandardAtmosphereKPa) <= 1e-12) {
		t.Errorf("%+v", bkPressure)
	}
}

// TestAmmoniaAsNitrogen: 17.031/14.007 of it is ammonia (atomic masses of IUPAC), of both the same share is un-ionised.
func TestAmmoniaAsNitrogen(t *testing.T) {
	a, err := UnionisedAmmonia(AmmoniaWater{TotalN: 0.4, PH: 8.1, Salinity: 35, Temperature: 25})
	if len(a.Alternatives) == 0 {
		t.Error("no other relation")
	}
	for _, o := range a.Alternatives {
		if !(math.Abs(o.NH3-o.Fraction*a.TotalNH3) <= 1e-15) {
			t.Errorf("%+v of %v", o, a.TotalNH3)
		}
	}
	if err != nil || !(math.Abs(a.NH3N-0.4*a.Fraction) <= 1e-15) || !(math.Abs(a.NH3/a.NH3N-17.031/14.007) <= 1e-4) || !(math.Abs(a.TotalNH3/0.4-17.031/14.007) <= 1e-4) {
		t.Errorf("%+v, %v", a, err)
	}
}

// TestWhatAMeterMayCompensateWith: the two coefficients in use besides 2 %/°C are within what is reckoned with, the
// further one at its end.
func TestWhatAMeterMayCompensateWith(t *testing.T) {
	further := max(math.Abs(0.0191-CompensationAlpha), math.Abs(0.021-CompensationAlpha))
	if !(math.Abs(further-compensationAlphaLimits) <= 1e-15) {
		t.Errorf("%v from %v, reckoned with is %v", further, CompensationAlpha, compensationAlphaLimits)
	}
}

// TestTheFitOfDensityInSalinity: its standard error over the slope of density in salinity, by differences.
func TestTheFitOfDensityInSalinity(t *testing.T) {
	for _, s := range []float64{1, 5, 20, 35, 42} {
		for _, temp := range []units.Celsius{0, 15, 30} {
			slope := derivative(func(x float64) float64 {
				rho, err := Density(units.Practical(x), temp)
				if err != nil {
					rho = units.KgPerM3(math.NaN())
				}
				return float64(rho)
			}, min(s, 41.9), 0.02)
			if got := densityFloor(Reading{Temperature: temp}, min(s, 41.9))[0].Salinity; !(math.Abs(got*slope/eosFitError-1) <= 1e-7) {
				t.Errorf("salinity %v at %v °C: %v, by differences %v", s, temp, got, eosFitError/slope)
			}
		}
	}
}

// TestOnlyWhatIsInDoubtIsInTheBudget: what is exact has no line, what is ± 2 (a standard uncertainty of one) has.
func TestOnlyWhatIsInDoubtIsInTheBudget(t *testing.T) {
	r := Reading{Instrument: InstrumentConductivity, Scale: ScaleConductivity, Value: 53, Temperature: 25}
	for _, c := range []struct{ u, tempU float64 }{{0.5, 2}, {2, 0.5}, {2, 2}} {
		r.U, r.TemperatureU = c.u, c.tempU
		m, err := r.Salinity()
		if err != nil {
			t.Fatal(err)
		}
		lines := map[string]float64{}
		for _, b := range m.Budget {
			if b.Standard == 0 {
				t.Errorf("%+v", b)
			}
			lines[b.What] = b.Standard
		}
		if lines["reading"] != c.u/2 || lines[temperatureInput] != c.tempU/2 || lines["coefficient of the meter"] != 0 || lines["expansion of the float"] != 0 {
			t.Errorf("%+v: %v", c, m.Budget)
		}
	}
}

// TestHowMuchAmmoniaIsTaken: up to a litre of it in a litre.
func TestHowMuchAmmoniaIsTaken(t *testing.T) {
	for total, ok := range map[float64]bool{0: true, 1e6: true, 1.005e6: false, -1e-9: false} {
		if _, err := UnionisedAmmonia(AmmoniaWater{TotalN: total, PH: 8.1, Salinity: 35, Temperature: 25}); (err == nil) != ok {
			t.Errorf("%v mg/L: %v", total, err)
		}
	}
}

// TestBufferingIsASlope: of the alkalinity in pH, which Newton's steps divide by.
func TestBufferingIsASlope(t *testing.T) {
	for _, s := range []units.Practical{19, 35, 43} {
		e, err := equilibriaAt(s, 25)
		if err != nil {
			t.Fatal(err)
		}
		for _, dic := range []float64{0, 0.5, 2, 20} {
			for pH := 5.0; pH <= 10; pH += 0.5 {
				want := derivative(func(x float64) float64 { return e.alkalinity(x, dic) }, pH, 0.01)
				if got := e.buffering(pH, dic); !(math.Abs(got-want) <= 1e-8*(1+math.Abs(want))) {
					t.Errorf("pH %v, DIC %v: %v, differences give %v", pH, dic, got, want)
				}
			}
		}
	}
}

// TestAGravityKeepsItsDoubt up to either end of the range: its ± becomes that of a salinity, by the slope there.
func TestAGravityKeepsItsDoubt(t *testing.T) {
	for _, s := range []float64{0.05, 1, 20, 35, 41.98} {
		sg, err := SpecificGravity(units.Practical(s), Pair25)
		if err != nil {
			t.Fatal(err)
		}
		q, err := ParsePractical(fmt.Sprintf("%.9f sg@25C/25C ± 0.0005", sg))
		slope := 1e-4 / (1e-4 * 0.755e-3) // salinity per gravity, within a few per cent
		if err != nil || !(math.Abs(q.Value-s) <= 1e-5) || !(math.Abs(q.U/(0.0005*slope)-1) <= 0.05) {
			t.Errorf("salinity %v, sg %v: %v ± %v, %v", s, sg, q.Value, q.U, err)
		}
	}
}

// TestOneOfSalinityInGravity: what a hand refractometer is good for on either scale is the same, near salinity 35.
func TestOneOfSalinityInGravity(t *testing.T) {
	slope := derivative(func(s float64) float64 {
		sg, err := SpecificGravity(units.Practical(s), Pair20)
		if err != nil {
			return math.NaN()
		}
		return sg
	}, 35, 0.1)
	if got := refractometerU(Reading{Scale: ScaleGravity}).value; got != math.Round(slope*1e5)/1e5 {
		t.Errorf("%v in gravity, 1 in salinity is %v", got, slope)
	}
}

// TestCoefficientsThatAMeterCanHave: none to 3 % per °C.
func TestCoefficientsThatAMeterCanHave(t *testing.T) {
	for alpha, ok := range map[float64]bool{0: true, -1e-9: false, 0.02: true, 0.03: true, 0.0302: false} {
		if _, err := FromCompensatedConductivity(50, 24, alpha); (err == nil) != ok {
			t.Errorf("%v: %v", alpha, err)
		}
	}
}

// TestTheEndsOfTheLight: 500 to 700 nm for the one formula, 400 to 700 nm for the other.
func TestTheEndsOfTheLight(t *testing.T) {
	for name, c := range map[string]struct {
		f   func(nm float64) error
		low float64
	}{
		"Millard and Seaver": {func(nm float64) error { _, err := RefractiveIndex(35, 20, nm); return err }, 500},
		"Quan and Fry":       {func(nm float64) error { _, err := RefractiveIndexQuanFry(35, 20, nm); return err }, 400},
	} {
		for nm, ok := range map[float64]bool{c.low: true, c.low - 0.5: false, 700: true, 700.5: false} {
			if err := c.f(nm); (err == nil) != ok {
				t.Errorf("%s at %v nm: %v", name, nm, err)
			}
		}
	}
}
