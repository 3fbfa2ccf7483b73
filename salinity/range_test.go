package salinity

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"tidehold/refs/units"
)

// TestBadArgumentsAreRefusedByName: for every function, values outside the range
// and values that are not finite give a *RangeError and zero.
func TestBadArgumentsAreRefusedByName(t *testing.T) {
	bad := []float64{math.NaN(), math.Inf(1), math.Inf(-1), -3, 1e6}
	type call struct {
		argument string
		f        func(x float64) (float64, error)
	}
	p := func(s units.Practical, err error) (float64, error) { return float64(s), err }
	for name, c := range map[string]call{
		"Density s":     {"salinity", func(x float64) (float64, error) { r, err := Density(units.Practical(x), 25); return float64(r), err }},
		"Density t":     {"temperature", func(x float64) (float64, error) { r, err := Density(35, units.Celsius(x)); return float64(r), err }},
		"FromDensity":   {"density", func(x float64) (float64, error) { return p(SalinityFromDensity(units.KgPerM3(x), 25)) }},
		"FromDensity t": {"temperature", func(x float64) (float64, error) { return p(SalinityFromDensity(1023, units.Celsius(x))) }},
		"Conductivity s": {"salinity", func(x float64) (float64, error) {
			r, err := Conductivity(units.Practical(x), 25)
			return float64(r), err
		}},
		"Conductivity t": {"temperature", func(x float64) (float64, error) { r, err := Conductivity(35, units.Celsius(x)); return float64(r), err }},
		"FromConductivity": {"conductivity", func(x float64) (float64, error) {
			return p(FromConductivity(units.MilliSiemensPerCm(x), 25))
		}},
		"FromConductivity t": {"temperature", func(x float64) (float64, error) { return p(FromConductivity(53, units.Celsius(x))) }},
		"FromCompensated": {"conductivity at 25 °C", func(x float64) (float64, error) {
			return p(FromCompensatedConductivity(units.MilliSiemensPerCm(x), 20, 0.02))
		}},
		"FromCompensated t": {"temperature", func(x float64) (float64, error) {
			return p(FromCompensatedConductivity(53, units.Celsius(x), 0.02))
		}},
		"FromCompensated alpha": {"temperature coefficient", func(x float64) (float64, error) {
			return p(FromCompensatedConductivity(53, 20, x))
		}},
		"Compensated alpha": {"temperature coefficient", func(x float64) (float64, error) {
			c, err := CompensatedConductivity(35, 20, x)
			return float64(c), err
		}},
		"SpecificGravity s":      {"salinity", func(x float64) (float64, error) { return SpecificGravity(units.Practical(x), Pair25) }},
		"SpecificGravity sample": {"temperature", func(x float64) (float64, error) { return SpecificGravity(35, Pair{units.Celsius(x), 25}) }},
		"SpecificGravity water":  {"temperature", func(x float64) (float64, error) { return SpecificGravity(35, Pair{25, units.Celsius(x)}) }},
		"FromGravity":            {"specific gravity", func(x float64) (float64, error) { return p(SalinityFromGravity(x, Pair25)) }},
		"FromGravity sample":     {"temperature", func(x float64) (float64, error) { return p(SalinityFromGravity(1.02, Pair{units.Celsius(x), 25})) }},
		"FromGravity water":      {"temperature", func(x float64) (float64, error) { return p(SalinityFromGravity(1.02, Pair{25, units.Celsius(x)})) }},
		"Float mark":             {"specific gravity", func(x float64) (float64, error) { return p(GlassFloat(Pair60F).Salinity(x, 25)) }},
		"Float t":                {"temperature", func(x float64) (float64, error) { return p(GlassFloat(Pair60F).Salinity(1.02, units.Celsius(x))) }},
		"Float density t": {"temperature", func(x float64) (float64, error) {
			r, err := GlassFloat(Pair60F).Density(1.02, units.Celsius(x))
			return float64(r), err
		}},
		"Float water":     {"temperature", func(x float64) (float64, error) { return p(GlassFloat(Pair{25, units.Celsius(x)}).Salinity(1.02, 25)) }},
		"Float expansion": {"thermal expansion", func(x float64) (float64, error) { return p(Float{Pair25, x}.Salinity(1.02, 25)) }},
		"Float mark s":    {"salinity", func(x float64) (float64, error) { return GlassFloat(Pair60F).Mark(units.Practical(x), 25) }},
		"Float mark t":    {"temperature", func(x float64) (float64, error) { return GlassFloat(Pair60F).Mark(35, units.Celsius(x)) }},
		"Index s":         {"salinity", func(x float64) (float64, error) { return RefractiveIndex(units.Practical(x), 25, SodiumD) }},
		"Index t":         {"temperature", func(x float64) (float64, error) { return RefractiveIndex(35, units.Celsius(x), SodiumD) }},
		"Index nm":        {"wavelength", func(x float64) (float64, error) { return RefractiveIndex(35, 25, x) }},
		"FromIndex":       {"refractive index", func(x float64) (float64, error) { return p(SalinityFromIndex(x, 25, SodiumD)) }},
		"FromIndex nm":    {"wavelength", func(x float64) (float64, error) { return p(SalinityFromIndex(1.338, 25, x)) }},
		"QuanFry s":       {"salinity", func(x float64) (float64, error) { return RefractiveIndexQuanFry(units.Practical(x), 25, SodiumD) }},
		"FromQuanFry":     {"refractive index", func(x float64) (float64, error) { return p(SalinityFromIndexQuanFry(x, 25, SodiumD)) }},
		"FromQuanFry t":   {"temperature", func(x float64) (float64, error) { return p(SalinityFromIndexQuanFry(1.338, units.Celsius(x), SodiumD)) }},
		"Brine g/kg":      {"reading", func(x float64) (float64, error) { return p(SalinityFromBrineMark(x, BrineGramsPerKg)) }},
		"Brine g/L":       {"reading", func(x float64) (float64, error) { return p(SalinityFromBrineMark(x, BrineGramsPerLitre)) }},
		"Brine sg":        {"reading", func(x float64) (float64, error) { return p(SalinityFromBrineMark(x, BrineGravity)) }},
		"BrineMark":       {"salinity", func(x float64) (float64, error) { return BrineMark(units.Practical(x), BrineGramsPerKg) }},
		"HeatCapacity s":  {"salinity", func(x float64) (float64, error) { return HeatCapacity(units.Practical(x), 25) }},
		"Enthalpy t":      {"temperature", func(x float64) (float64, error) { return Enthalpy(35, units.Celsius(x)) }},
		"FromEnthalpy h": {"enthalpy", func(x float64) (float64, error) {
			t, err := TemperatureFromEnthalpy(x*1e3, 35)
			return float64(t), err
		}},
		"FromEnthalpy s": {"salinity", func(x float64) (float64, error) {
			t, err := TemperatureFromEnthalpy(1e5, units.Practical(x))
			return float64(t), err
		}},
		"Oxygen s":        {"salinity", func(x float64) (float64, error) { return OxygenSaturation(units.Practical(x), 25) }},
		"Oxygen at t":     {"temperature", func(x float64) (float64, error) { return OxygenSaturationAt(35, units.Celsius(x), 101) }},
		"Oxygen pressure": {"pressure", func(x float64) (float64, error) { return OxygenSaturationAt(35, 25, x) }},
		"Garcia t":        {"temperature", func(x float64) (float64, error) { return OxygenSaturationGarciaGordon(35, units.Celsius(x)) }},
		"Weiss t":         {"temperature", func(x float64) (float64, error) { return OxygenSaturationWeiss(35, units.Celsius(x)) }},
		"Ammonia pH":      {"pH", func(x float64) (float64, error) { return UnionisedFraction(EPA1989, x, 35, 25) }},
		"Ammonia s":       {"salinity", func(x float64) (float64, error) { return UnionisedFraction(Bell, 8, units.Practical(x), 25) }},
		"Ammonia t":       {"temperature", func(x float64) (float64, error) { return UnionisedFraction(YaoMillero, 8, 35, units.Celsius(x)) }},
		"Alkalinity of mol": {"salinity", func(x float64) (float64, error) {
			a, err := AlkalinityFromMolality(2.3, units.Practical(x), 25)
			return a.DKH, err
		}},
	} {
		for _, x := range bad {
			got, err := c.f(x)
			var e *RangeError
			if !errors.As(err, &e) {
				t.Errorf("%s of %g = %g, %v; want a range error", name, x, got, err)
				continue
			}
			if got != 0 {
				t.Errorf("%s of %g gives %g beside its error", name, x, got)
			}
			if e.Argument != c.argument || !(e.Low < e.High) || e.Relation == "" {
				t.Errorf("%s of %g: %q names %q, range %g to %g; want %q", name, x, err, e.Argument, e.Low, e.High, c.argument)
			}
			if !strings.Contains(err.Error(), e.Relation) {
				t.Errorf("%q does not name %q", err, e.Relation)
			}
		}
	}
}

func TestRangeErrorText(t *testing.T) {
	for want, err := range map[string]error{
		"temperature 45 °C is outside 0 to 40 °C, the range of EOS-80 density":                            second(Density(35, 45)),
		"salinity NaN is outside 0 to 42, the range of EOS-80 density":                                    second(Density(units.Practical(math.NaN()), 25)),
		"specific gravity 1.2 is outside 1 to 1.03169, the range of EOS-80 density":                       second(SalinityFromGravity(1.2, Pair25)),
		"conductivity 90 mS/cm is outside 0 to 62.35813 mS/cm, the range of PSS-78 conductivity":          second(FromConductivity(90, 25)),
		"density 900 kg/m³ is outside 997.0464 to 1028.643 kg/m³, the range of EOS-80 density":            second(SalinityFromDensity(900, 25)),
		"reading 50 g/kg is outside 0 to 41.62522 g/kg, the range of sodium chloride refractometer scale": second(SalinityFromBrineMark(50, BrineGramsPerKg)),
	} {
		if err == nil || err.Error() != want {
			t.Errorf("error %q, want %q", err, want)
		}
	}
}

func second[T any](_ T, err error) error { return err }

func TestRelationsListTheirCoefficientsAndSources(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range Relations() {
		if seen[r.Name] {
			t.Errorf("%s is listed twice", r.Name)
		}
		seen[r.Name] = true
		if len(r.Sources) == 0 || r.Basis == "" || len(r.Coefficients) == 0 {
			t.Errorf("%s lacks a source, a basis or coefficients", r.Name)
		}
		for _, c := range r.Coefficients {
			if c.Name == "" || math.IsNaN(c.Value) || math.IsInf(c.Value, 0) {
				t.Errorf("%s: coefficient %+v", r.Name, c)
			}
		}
	}
	for _, d := range []domain{eosDomain, pssDomain, cpDomain, bkDomain, msDomain, qfDomain, ggDomain, weissDomain, luekerDomain, dicksonDomain, waterDomain, sulfideDomain} {
		if !seen[d.relation] {
			t.Errorf("errors name %q, which is not listed", d.relation)
		}
	}
	if _, err := json.Marshal(Relations()); err != nil {
		t.Error(err)
	}
}
