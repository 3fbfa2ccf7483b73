package salinity

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
)

func measure(t *testing.T, r Reading) Determination {
	t.Helper()
	m, err := r.Salinity()
	if err != nil {
		t.Fatalf("%+v: %v", r, err)
	}
	return m
}

// TestFloatReadingBudget: 1.0264 ± 0.0005 at 25 ± 0.5 °C on a 25/25 glass float. By
// the worth of errors near salinity 35: 0.0005 in SG is 0.660, 1 °C of temperature on
// a glass float 0.369.
func TestFloatReadingBudget(t *testing.T) {
	m := measure(t, Reading{Instrument: InstrumentHydrometer, Scale: ScaleGravity, Value: 1.0264, U: 0.0005, Temperature: 25, TemperatureU: 0.5})
	near(t, "salinity", m.Salinity, 35.04, 0.005)
	want := math.Hypot(0.660, 0.5*0.369)
	near(t, "uncertainty", m.U, want, 0.01)
	if len(m.Assumptions) != 2 || m.Assumptions[0].Value != "25/25 °C" {
		t.Errorf("assumptions %+v", m.Assumptions)
	}
	sum := 0.0
	for _, c := range m.Budget {
		sum += c.Salinity * c.Salinity
	}
	near(t, "budget", 2*math.Sqrt(sum), m.U, 1e-12)
}

// TestReadingsOfOneWater: the same water, salinity 35 at 22 °C, on every scale.
func TestReadingsOfOneWater(t *testing.T) {
	const s, tc = 35.0, 22.0
	rho, _ := Density(s, tc)
	c, _ := Conductivity(s, tc)
	c25, _ := CompensatedConductivity(s, tc, 0.021)
	n, _ := RefractiveIndex(s, tc, SodiumD)
	sg, _ := SpecificGravity(s, Pair20)
	mark, _ := GlassFloat(Pair60F).Mark(s, tc)
	at60F, _ := SalinityFromGravity(mark, Pair60F)
	water60, _ := Density(0, Pair60F.Water)
	kg, _ := BrineMark(s, BrineGramsPerKg)
	litre, _ := BrineMark(s, BrineGramsPerLitre)
	gravity, _ := BrineMark(s, BrineGravity)
	seen := map[*method]bool{}
	for _, r := range []Reading{
		{Scale: ScaleSalinity, Value: s},
		{Scale: ScaleGravity, Value: sg, Pair: Pair20},
		{Scale: ScaleDensity, Value: float64(rho)},
		{Scale: ScaleConductivity, Value: float64(c)},
		{Scale: ScaleConductivity25, Value: float64(c25), Alpha: 0.021},
		{Scale: ScaleIndex, Value: n},
		{Instrument: InstrumentHydrometer, Scale: ScaleGravity, Value: mark, Pair: Pair60F},
		{Instrument: InstrumentHydrometer, Scale: ScaleSalinity, Value: float64(at60F), Pair: Pair60F},
		{Instrument: InstrumentHydrometer, Scale: ScaleDensity, Value: mark * float64(water60), Pair: Pair60F},
		{Instrument: InstrumentRefractometer, Scale: ScaleSalinity, Value: s},
		{Instrument: InstrumentRefractometer, Scale: ScaleGravity, Value: sg, Pair: Pair20},
		{Instrument: InstrumentRefractometer, Scale: ScaleIndex, Value: n},
		{Instrument: InstrumentRefractometer, Scale: ScaleBrineKg, Value: kg},
		{Instrument: InstrumentRefractometer, Scale: ScaleBrineLitre, Value: litre},
		{Instrument: InstrumentRefractometer, Scale: ScaleBrineGravity, Value: gravity},
		{Instrument: InstrumentConductivity, Scale: ScaleConductivity, Value: float64(c)},
		{Instrument: InstrumentConductivity, Scale: ScaleConductivity25, Value: float64(c25), Alpha: 0.021},
		{Instrument: InstrumentConductivity, Scale: ScaleSalinity, Value: s},
		{Instrument: InstrumentDensity, Scale: ScaleDensity, Value: float64(rho)},
		{Instrument: InstrumentDensity, Scale: ScaleGravity, Value: sg, Pair: Pair20},
	} {
		seen[methodOf(r.Instrument, r.Scale)] = true
		r.Temperature = tc
		near(t, string(r.Instrument)+" "+string(r.Scale), measure(t, r).Salinity, s, 1e-9)
		r.U = 1e-3
		r.TemperatureU = 0.1
		m := measure(t, r)
		if !(m.U > 0) || m.Method == "" || len(m.Sources) == 0 || len(m.Budget) == 0 {
			t.Errorf("%+v: %+v", r, m)
		}
		if _, err := json.Marshal(m); err != nil {
			t.Error(err)
		}
	}
	for i := range methods {
		if !seen[&methods[i]] {
			t.Errorf("%s on %q is not tested", methods[i].name, methods[i].instrument)
		}
	}
}

// TestUncertaintyAgainstSampling: linear propagation against 20,000 draws of the
// inputs, for the meter whose salinity bends most.
func TestUncertaintyAgainstSampling(t *testing.T) {
	r := Reading{Instrument: InstrumentConductivity, Scale: ScaleConductivity, Value: 53.07, U: 0.5, Temperature: 25, TemperatureU: 0.4}
	m := measure(t, r)
	rng := rand.New(rand.NewPCG(7, 7))
	var sum, squares float64
	const n = 20_000
	for range n {
		s, err := FromConductivity(units.MilliSiemensPerCm(r.Value+r.U/2*rng.NormFloat64()), r.Temperature+units.Celsius(r.TemperatureU/2*rng.NormFloat64()))
		if err != nil {
			t.Fatal(err)
		}
		sum += float64(s)
		squares += float64(s) * float64(s)
	}
	mean := sum / n
	sd := math.Sqrt(squares/n - mean*mean)
	// The standard error of a standard deviation from n draws is sd/sqrt(2n) = 0.5 %.
	near(t, "expanded uncertainty", m.U, 2*sd, 0.02*m.U)
	near(t, "1 mS/cm", m.Budget[0].Salinity/0.25, 0.742, 0.001)
	near(t, "1 °C", m.Budget[1].Salinity/0.2, -0.775, 0.001)
}

func TestUsualUncertaintiesAreListed(t *testing.T) {
	for _, c := range []struct {
		r    Reading
		want string
		low  float64
		high float64
	}{
		{Reading{Instrument: InstrumentHydrometer, Scale: ScaleGravity, Value: 1.0264, Temperature: 25}, "0.001 in specific gravity", 1.2, 1.4},
		{Reading{Instrument: InstrumentHydrometer, Scale: ScaleSalinity, Value: 35, Temperature: 25}, "0.001 in specific gravity, 1.3 in salinity", 1.2, 1.4},
		{Reading{Instrument: InstrumentHydrometer, Scale: ScaleDensity, Value: 1023.3, Temperature: 25}, "1 kg/m³", 1.2, 1.4},
		{Reading{Instrument: InstrumentRefractometer, Scale: ScaleSalinity, Value: 35, Temperature: 25}, "1 in salinity", 1, 1.2},
		{Reading{Instrument: InstrumentRefractometer, Scale: ScaleGravity, Value: 1.0264, Temperature: 25}, "0.00076 in specific gravity, 1 in salinity", 1, 1.2},
		{Reading{Instrument: InstrumentRefractometer, Scale: ScaleBrineKg, Value: 36, Temperature: 25}, "1 in salinity", 1, 1.3},
		{Reading{Instrument: InstrumentConductivity, Scale: ScaleConductivity25, Value: 53, Temperature: 25}, "1 % of the reading", 0.35, 0.45},
	} {
		m := measure(t, c.r)
		last := m.Assumptions[len(m.Assumptions)-1]
		if last.Value != c.want {
			t.Errorf("%s: assumed %+v, want %q", m.Method, last, c.want)
		}
		if !(m.U > c.low && m.U < c.high) {
			t.Errorf("%s: uncertainty %g, want %g to %g", m.Method, m.U, c.low, c.high)
		}
	}
	m := measure(t, Reading{Scale: ScaleDensity, Value: 1023.3, Temperature: 25})
	if len(m.Warnings) != 2 || !(m.U > 0.009 && m.U < 0.010) {
		t.Errorf("density without uncertainty: U %g, warnings %q", m.U, m.Warnings)
	}
}

// TestUnstatedAlphaWidensTheUncertainty: away from 25 °C a meter's unknown
// coefficient costs what the two common settings differ by.
func TestUnstatedAlphaWidensTheUncertainty(t *testing.T) {
	r := Reading{Instrument: InstrumentConductivity, Scale: ScaleConductivity25, Value: 53, U: 0.05, Temperature: 15, TemperatureU: 0.1}
	unknown := measure(t, r)
	r.Alpha = CompensationAlpha
	known := measure(t, r)
	near(t, "salinity", unknown.Salinity, known.Salinity, 1e-12)
	if !(unknown.U > known.U+0.2) || len(unknown.Assumptions) != 1 || len(known.Assumptions) != 0 {
		t.Errorf("U %g without alpha, %g with it", unknown.U, known.U)
	}
}

func TestUncertaintyAtTheEndOfTheRange(t *testing.T) {
	// One side is pure water or beyond 42: the other side alone is used.
	low := measure(t, Reading{Scale: ScaleSalinity, Value: 0, U: 0.2, Temperature: 25})
	near(t, "at 0", low.U, 0.2, 1e-12)
	high := measure(t, Reading{Scale: ScaleSalinity, Value: 42, U: 0.2, Temperature: 25})
	near(t, "at 42", high.U, 0.2, 1e-12)
	if _, err := (Reading{Scale: ScaleSalinity, Value: 30, U: 200, Temperature: 25}).Salinity(); err == nil {
		t.Error("an uncertainty larger than the whole range was propagated")
	}
}

func TestBadReadings(t *testing.T) {
	good := Reading{Instrument: InstrumentHydrometer, Scale: ScaleGravity, Value: 1.0264, U: 0.0005, Temperature: 25}
	nan := math.NaN()
	for name, change := range map[string]func(*Reading){
		"value":         func(r *Reading) { r.Value = nan },
		"zero":          func(r *Reading) { r.Value = 0 },
		"uncertainty":   func(r *Reading) { r.U = nan },
		"negative U":    func(r *Reading) { r.U = -1 },
		"temperature":   func(r *Reading) { r.Temperature = units.Celsius(nan) },
		"cold":          func(r *Reading) { r.Temperature = -30 },
		"temperature U": func(r *Reading) { r.TemperatureU = math.Inf(1) },
		"expansion":     func(r *Reading) { r.Expansion = 1 },
		"pair":          func(r *Reading) { r.Pair = Pair{60, 60} },
		"pair, salinity": func(r *Reading) {
			r.Scale, r.Value, r.Pair = ScaleSalinity, 35, Pair{60, 60}
		},
		"pair, density": func(r *Reading) { r.Scale, r.Value, r.Pair = ScaleDensity, 1023, Pair{60, 60} },
		"salinity":      func(r *Reading) { r.Instrument, r.Scale, r.Value = InstrumentNone, ScaleSalinity, 50 },
		"brine":         func(r *Reading) { r.Instrument, r.Scale, r.Value = InstrumentRefractometer, ScaleBrineKg, 50 },
	} {
		r := good
		change(&r)
		m, err := r.Salinity()
		var e *RangeError
		if !errors.As(err, &e) || m.Salinity != 0 {
			t.Errorf("%s: %+v, %v; want a range error", name, m, err)
		}
	}
	for want, r := range map[string]Reading{
		"hydrometer is not read as conductivity; allowed: specific gravity, salinity, density":                                                                         {Instrument: InstrumentHydrometer, Scale: ScaleConductivity},
		"no instrument \"sonde\"; known: hydrometer, refractometer, conductivity, density":                                                                             {Instrument: "sonde", Scale: ScaleSalinity},
		"a value without an instrument is not read as brine-g-kg; allowed: salinity, specific gravity, density, conductivity, conductivity at 25 °C, refractive index": {Scale: ScaleBrineKg},
	} {
		_, err := r.Salinity()
		var e *ScaleError
		if !errors.As(err, &e) || err.Error() != want {
			t.Errorf("%q, want %q", err, want)
		}
	}
}

func TestTwoReadingsCompared(t *testing.T) {
	a := Determination{Salinity: 35, U: 0.6}
	b := Determination{Salinity: 34.5, U: 0.8}
	c, err := Compare(a, b, false)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "difference", c.Difference, 0.5, 1e-12)
	near(t, "its uncertainty", c.DifferenceU, 1, 1e-12)
	near(t, "En", c.En, 0.5, 1e-12)
	// Weights as 1/0.6² and 1/0.8².
	near(t, "weight", c.WeightFirst, 0.64, 1e-12)
	near(t, "weighted", c.Weighted, 0.64*35+0.36*34.5, 1e-12)
	near(t, "its uncertainty", c.WeightedU, 0.48, 1e-12)
	if !c.Agree || len(c.Warnings) != 0 {
		t.Errorf("%+v", c)
	}
	b.Salinity = 33.9
	if c, err = Compare(a, b, false); err != nil || c.Agree || len(c.Warnings) != 1 {
		t.Errorf("1.1 apart with uncertainty 1: %+v, %v", c, err)
	}
	var e *NoUncertaintyError
	if _, err := Compare(Determination{Salinity: 35}, Determination{Salinity: 35}, true); !errors.As(err, &e) || err.Error() == "" {
		t.Errorf("neither has an uncertainty: %v", err)
	}
}

// TestCommonThermometerIsNotCountedTwice: a float and a meter move in opposite
// directions with a wrong temperature, so that a common one widens the difference.
func TestCommonThermometerIsNotCountedTwice(t *testing.T) {
	float := measure(t, Reading{Instrument: InstrumentHydrometer, Scale: ScaleGravity, Value: 1.0264, U: 0.0001, Temperature: 25, TemperatureU: 1})
	meter := measure(t, Reading{Instrument: InstrumentConductivity, Scale: ScaleConductivity, Value: 53.07, U: 0.1, Temperature: 25, TemperatureU: 1})
	apart, err := Compare(float, meter, false)
	if err != nil {
		t.Fatal(err)
	}
	together, err := Compare(float, meter, true)
	if err != nil {
		t.Fatal(err)
	}
	if !(together.DifferenceU > apart.DifferenceU+0.1) || !(together.WeightedU < apart.WeightedU) {
		t.Errorf("difference ± %g apart, ± %g together; mean ± %g, ± %g", apart.DifferenceU, together.DifferenceU, apart.WeightedU, together.WeightedU)
	}
	same, err := Compare(float, float, true)
	if err != nil {
		t.Fatal(err)
	}
	if !(same.DifferenceU < float.U*math.Sqrt2) {
		t.Errorf("one float twice: ± %g", same.DifferenceU)
	}
	// A reading without a temperature in its budget shares nothing.
	alone, err := Compare(float, Determination{Salinity: 35, U: 0.5}, true)
	if err != nil || !alone.Agree {
		t.Errorf("%+v, %v", alone, err)
	}
}

func TestWeightedMeanLiesBetweenTheReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) Determination {
			u := rapid.Float64Range(1e-3, 3).Draw(t, name+" u")
			share := rapid.Float64Range(-1, 1).Draw(t, name+" share") * u / 2
			return Determination{Salinity: rapid.Float64Range(0, 42).Draw(t, name), U: u, Budget: []Contribution{{temperatureInput, 0.1, "°C", share}}}
		}
		a, b := draw("a"), draw("b")
		c, err := Compare(a, b, true)
		var none *NoUncertaintyError
		if errors.As(err, &none) {
			return // one and the same error in both: their difference is exact
		}
		if err != nil {
			t.Fatal(err)
		}
		low, high := min(a.Salinity, b.Salinity), max(a.Salinity, b.Salinity)
		if c.Weighted < low-1e-12 || c.Weighted > high+1e-12 || c.WeightedU > max(a.U, b.U)*(1+1e-12) || !(c.En >= 0) {
			t.Fatalf("%+v of %+v and %+v", c, a, b)
		}
	})
}
