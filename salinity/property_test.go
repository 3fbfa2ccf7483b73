package salinity

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
)

// invertible is one quantity that rises with salinity, with its inverse.
type invertible struct {
	inside  *domain
	forward func(s units.Practical, t units.Celsius) (float64, error)
	inverse func(x float64, t units.Celsius) (units.Practical, error)
}

var invertibles = map[string]invertible{
	"density": {&eosDomain,
		func(s units.Practical, t units.Celsius) (float64, error) {
			rho, err := Density(s, t)
			return float64(rho), err
		},
		func(x float64, t units.Celsius) (units.Practical, error) {
			return SalinityFromDensity(units.KgPerM3(x), t)
		}},
	"conductivity": {&pssDomain,
		func(s units.Practical, t units.Celsius) (float64, error) {
			c, err := Conductivity(s, t)
			return float64(c), err
		},
		func(x float64, t units.Celsius) (units.Practical, error) {
			return FromConductivity(units.MilliSiemensPerCm(x), t)
		}},
	"compensated conductivity": {&pssDomain,
		func(s units.Practical, t units.Celsius) (float64, error) {
			c, err := CompensatedConductivity(s, t, 0.021)
			return float64(c), err
		},
		func(x float64, t units.Celsius) (units.Practical, error) {
			return FromCompensatedConductivity(units.MilliSiemensPerCm(x), t, 0.021)
		}},
	"specific gravity": {&eosDomain,
		func(s units.Practical, t units.Celsius) (float64, error) { return SpecificGravity(s, Pair{t, 4}) },
		func(x float64, t units.Celsius) (units.Practical, error) { return SalinityFromGravity(x, Pair{t, 4}) }},
	"float": {&eosDomain, GlassFloat(Pair60F).Mark, GlassFloat(Pair60F).Salinity},
	"refractive index": {&msDomain,
		func(s units.Practical, t units.Celsius) (float64, error) { return RefractiveIndex(s, t, SodiumD) },
		func(x float64, t units.Celsius) (units.Practical, error) { return SalinityFromIndex(x, t, SodiumD) }},
	"refractive index by Quan and Fry": {&qfDomain,
		func(s units.Practical, t units.Celsius) (float64, error) { return RefractiveIndexQuanFry(s, t, 450) },
		func(x float64, t units.Celsius) (units.Practical, error) { return SalinityFromIndexQuanFry(x, t, 450) }},
	"brine in g/kg": {&msDomain, brineMark(BrineGramsPerKg), brineSalinity(BrineGramsPerKg)},
	"brine in g/L":  {&msDomain, brineMark(BrineGramsPerLitre), brineSalinity(BrineGramsPerLitre)},
	"brine in sg":   {&msDomain, brineMark(BrineGravity), brineSalinity(BrineGravity)},
}

func brineMark(b BrineScale) func(units.Practical, units.Celsius) (float64, error) {
	return func(s units.Practical, _ units.Celsius) (float64, error) { return BrineMark(s, b) }
}

func brineSalinity(b BrineScale) func(float64, units.Celsius) (units.Practical, error) {
	return func(x float64, _ units.Celsius) (units.Practical, error) { return SalinityFromBrineMark(x, b) }
}

// TestInversesReturnTheSalinity: to 1e-9 of the salinity, or to 2e-11 where the
// quantity itself (a number near 1 or 1000) has no more digits to give.
func TestInversesReturnTheSalinity(t *testing.T) {
	for name, q := range invertibles {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			s, tc := drawWater(t, q.inside)
			x, err := q.forward(s, tc)
			if err != nil {
				t.Fatal(err)
			}
			back, err := q.inverse(x, tc)
			if err != nil {
				t.Fatalf("forward gave %.17g: %v", x, err)
			}
			if d := math.Abs(float64(back - s)); !(d <= 1e-9*float64(s)+2e-11) {
				t.Fatalf("salinity %.17g at %g °C came back as %.17g", float64(s), float64(tc), float64(back))
			}
		}))
	}
}

// TestEndsOfTheRangeComeBack: the ends are allowed in both directions.
func TestEndsOfTheRangeComeBack(t *testing.T) {
	for name, q := range invertibles {
		for _, s := range []float64{q.inside.s.Low, q.inside.s.High} {
			for tc := q.inside.t.Low; tc <= q.inside.t.High; tc += 0.5 {
				x, err := q.forward(units.Practical(s), units.Celsius(tc))
				if err != nil {
					t.Fatalf("%s: %v", name, err)
				}
				back, err := q.inverse(x, units.Celsius(tc))
				if err != nil {
					t.Errorf("%s at S %g, %g °C: %v", name, s, tc, err)
					continue
				}
				near(t, name, float64(back), s, 2e-11)
			}
		}
	}
}

func TestEveryQuantityRisesWithSalinity(t *testing.T) {
	for name, q := range invertibles {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			s, tc := drawWater(t, q.inside)
			more := s + units.Practical(rapid.Float64Range(1e-6, 1).Draw(t, "more"))
			if !q.inside.s.holds(float64(more)) {
				t.Skip("above the range")
			}
			a, err := q.forward(s, tc)
			if err != nil {
				t.Fatal(err)
			}
			b, err := q.forward(more, tc)
			if err != nil {
				t.Fatal(err)
			}
			if !(b > a) {
				t.Fatalf("%g at salinity %g, %g at %g", a, float64(s), b, float64(more))
			}
		}))
	}
}

func TestHeatAndOxygenFallWithSalinity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, tc := drawWater(t, &bkDomain)
		more := s + 0.001
		if !bkDomain.s.holds(float64(more)) {
			t.Skip("above the range")
		}
		for name, f := range map[string]func(units.Practical, units.Celsius) (float64, error){
			"heat capacity": HeatCapacity, "oxygen": OxygenSaturation,
		} {
			a, errA := f(s, tc)
			b, errB := f(more, tc)
			if errA != nil || errB != nil || !(b < a) {
				t.Fatalf("%s: %g at %g, %g at %g (%v, %v)", name, a, float64(s), b, float64(more), errA, errB)
			}
		}
	})
}

// TestReferenceSalinityAndBack holds for any number, in range or not.
func TestReferenceSalinityAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := units.Practical(rapid.Float64Range(0, 42).Draw(t, "s"))
		if back := PracticalFromReference(ReferenceSalinity(s)); !(math.Abs(float64(back-s)) <= 1e-14*float64(s)) {
			t.Fatalf("%g came back as %g", float64(s), float64(back))
		}
	})
}

// A litre at 25 °C weighs 1.023343 kg at salinity 35 and 1.010550 kg at 18, by the published polynomial [unesco44].
func TestProportion(t *testing.T) {
	if x, err := Proportion(18, 35); err != nil || !(math.Abs(x-18*1.010550/(35*1.023343)) <= 1e-6) {
		t.Errorf("of 35 at 18: %g, %v", x, err)
	}
	if x, err := Proportion(0, 35); err != nil || x != 0 {
		t.Errorf("pure water: %g, %v", x, err)
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := units.Practical(rapid.Float64Range(0.1, 42).Draw(t, "a")), units.Practical(rapid.Float64Range(0.1, 42).Draw(t, "b"))
		x, err := Proportion(a, b)
		y, err2 := Proportion(b, a)
		if err != nil || err2 != nil || !(math.Abs(x*y-1) <= 1e-12) || (x < 1) != (a < b) && a != b {
			t.Fatalf("%g of %g: %g and %g", a, b, x, y)
		}
	})
	for _, out := range [][2]units.Practical{{43, 35}, {35, 43}, {-1, 35}} {
		if x, err := Proportion(out[0], out[1]); err == nil {
			t.Errorf("%v: %g", out, x)
		}
	}
}

// HeatAndCapacity is both functions to the last bit, and refuses what they refuse.
func TestHeatAndCapacityAreBoth(t *testing.T) {
	for s := -1.0; s <= 43; s += 0.37 {
		for c := -1.0; c <= 41; c += 0.41 {
			s, c := units.Practical(s), units.Celsius(c)
			h, cp, err := HeatAndCapacity(s, c)
			wantH, errH := Enthalpy(s, c)
			wantCp, errCp := HeatCapacity(s, c)
			if h != wantH || cp != wantCp || (err == nil) != (errH == nil) || (err == nil) != (errCp == nil) {
				t.Fatalf("S %g, %g °C: %g and %g (%v), one by one %g (%v) and %g (%v)", float64(s), float64(c), h, cp, err, wantH, errH, wantCp, errCp)
			}
		}
	}
}

// TestEnthalpyIsTheIntegralOfHeatCapacity against Simpson's rule, which is exact to
// the third degree and has 200 panels for the fourth and fifth.
func TestEnthalpyIsTheIntegralOfHeatCapacity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, tc := drawWater(t, &cpDomain)
		const panels = 200
		h := float64(tc) / panels
		sum := 0.0
		for i := range panels {
			for k, weight := range []float64{1, 4, 1} {
				cp, err := HeatCapacity(s, units.Celsius(min(float64(tc), h*(float64(i)+float64(k)/2))))
				if err != nil {
					t.Fatal(err)
				}
				sum += weight * cp * h / 6
			}
		}
		got, err := Enthalpy(s, tc)
		if err != nil || !(math.Abs(got-sum) <= 1e-9*sum+1e-9) {
			t.Fatalf("enthalpy %.15g, integral %.15g, %v", got, sum, err)
		}
		back, err := TemperatureFromEnthalpy(got, s)
		if err != nil || !(math.Abs(float64(back-tc)) <= 1e-9*float64(tc)+1e-12) {
			t.Fatalf("%.15g °C came back as %.15g, %v", float64(tc), float64(back), err)
		}
	})
}

func drawWater(t *rapid.T, d *domain) (units.Practical, units.Celsius) {
	s := rapid.Float64Range(d.s.Low, d.s.High).Draw(t, "s")
	tc := rapid.Float64Range(d.t.Low, d.t.High).Draw(t, "t")
	return units.Practical(s), units.Celsius(tc)
}
