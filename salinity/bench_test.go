package salinity

import (
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/refs/units"
)

// benchPoints are waters over the range that the reference is timed on: random, so
// that no branch is predicted by habit.
func benchPoints() (s []units.Practical, t []units.Celsius) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 1 << 12 {
		s = append(s, units.Practical(2+40*r.Float64()))
		t = append(t, units.Celsius(35*r.Float64()))
	}
	return s, t
}

const benchMask = 1<<12 - 1

func BenchmarkDensityPerValue(b *testing.B) {
	s, t := benchPoints()
	b.ReportAllocs()
	var sum units.KgPerM3
	for i := 0; b.Loop(); i++ {
		rho, err := Density(s[i&benchMask], t[i&benchMask])
		if err != nil {
			b.Fatal(err)
		}
		sum += rho
	}
	_ = sum
}

func BenchmarkFromConductivityPerValue(b *testing.B) {
	s, t := benchPoints()
	c := make([]units.MilliSiemensPerCm, len(s))
	for i := range s {
		c[i], _ = Conductivity(s[i], t[i])
	}
	b.ReportAllocs()
	var sum units.Practical
	for i := 0; b.Loop(); i++ {
		x, err := FromConductivity(c[i&benchMask], t[i&benchMask])
		if err != nil {
			b.Fatal(err)
		}
		sum += x
	}
	_ = sum
}

func BenchmarkSalinityFromDensityPerValue(b *testing.B) {
	s, t := benchPoints()
	rho := make([]units.KgPerM3, len(s))
	for i := range s {
		rho[i], _ = Density(s[i], t[i])
	}
	b.ReportAllocs()
	var sum units.Practical
	for i := 0; b.Loop(); i++ {
		x, err := SalinityFromDensity(rho[i&benchMask], t[i&benchMask])
		if err != nil {
			b.Fatal(err)
		}
		sum += x
	}
	_ = sum
}

func TestHotFunctionsDoNotAllocate(t *testing.T) {
	for name, f := range map[string]func(){
		"Density":             func() { _, _ = Density(35, 25) },
		"SalinityFromDensity": func() { _, _ = SalinityFromDensity(1023.3, 25) },
		"FromConductivity":    func() { _, _ = FromConductivity(53.1, 25) },
		"Conductivity":        func() { _, _ = Conductivity(35, 25) },
	} {
		if n := testing.AllocsPerRun(100, f); n != 0 {
			t.Errorf("%s allocates %g times per call", name, n)
		}
	}
}

func BenchmarkConductivityPerValue(b *testing.B) {
	s, t := benchPoints()
	b.ReportAllocs()
	var sum units.MilliSiemensPerCm
	for i := 0; b.Loop(); i++ {
		c, err := Conductivity(s[i&benchMask], t[i&benchMask])
		if err != nil {
			b.Fatal(err)
		}
		sum += c
	}
	_ = sum
}

func BenchmarkOxygenSaturationGarciaGordonPerValue(b *testing.B) {
	s, t := benchPoints()
	b.ReportAllocs()
	var sum float64
	for i := 0; b.Loop(); i++ {
		o, err := OxygenSaturationGarciaGordon(s[i&benchMask], t[i&benchMask])
		if err != nil {
			b.Fatal(err)
		}
		sum += o
	}
	_ = sum
}

// The fewest steps that reach rounding are taken: the salinity of the answer is the
// one asked for, over the whole domain.
func TestConductivityIsSolvedToRounding(t *testing.T) {
	worst := 0.0
	for s := pssLow + 0.0; s <= 42; s += 0.25 {
		for t68 := -2.0; t68 <= 35; t68 += 0.5 {
			f := pssF(t68)
			worst = math.Max(worst, math.Abs(pssSalinity(pssRoot(s, f), f)/s-1))
		}
	}
	t.Logf("worst relative miss %.2g", worst)
	if !(worst <= 2e-15) {
		t.Errorf("conductivity of a salinity gives it back but for %.2g", worst)
	}
}

func TestSalinityFromDensityIsSolvedToRounding(t *testing.T) {
	for s := units.Practical(0.01); s <= 42; s += 0.05 {
		for c := units.Celsius(0.0); c <= 40; c += 0.5 {
			rho, err := Density(s, c)
			if err != nil {
				t.Fatal(err)
			}
			// A density is a double of 1000 kg/m³: no salinity is told apart closer than this.
			if back, err := SalinityFromDensity(rho, c); err != nil || !(math.Abs(float64(back-s)) <= 5e-13) {
				t.Fatalf("%g at %g °C: %g off (%v)", s, c, back-s, err)
			}
		}
	}
}

func TestScaledTemperatureIsTheLogarithm(t *testing.T) {
	for c := -2.0; c <= 40.02; c += 0.01 {
		if want := math.Log((298.15 - c) / (273.15 + c)); !(math.Abs(ggScaled(c)-want) <= 4e-16) { // the ratio rounds too
			t.Fatalf("%g °C: %g, want %g", c, ggScaled(c), want)
		}
	}
}
