package mixing

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// buffered is water whose alkalinity is given in mmol/kg.
func buffered(l, s, t, pH, mmolKg float64) Buffered {
	a, err := salinity.AlkalinityFromMolality(mmolKg, units.Practical(s), units.Celsius(t))
	if err != nil {
		panic(err)
	}
	return Buffered{Water{Volume: units.Litres(l), Salinity: units.Practical(s), Temperature: units.Celsius(t)}, pH, a.MeqPerLitre}
}

// TestPHOfTwoWaters: worked by an independent program with the same constants.
func TestPHOfTwoWaters(t *testing.T) {
	for _, c := range []struct {
		name        string
		tank, fresh Buffered
		want        float64
	}{
		{"45 % of pH 8.2 into 7.8", buffered(55, 35, 25.5, 7.8, 2.9), buffered(45, 35, 25.5, 8.2, 2.9), 8.0019},
		{"30 % of pH 8.3 into 7.9", buffered(70, 35, 25, 7.9, 2.86), buffered(30, 35, 25, 8.3, 2.86), 8.0382},
	} {
		got, err := BlendPH(c.tank, c.fresh)
		if err != nil || !(math.Abs(got-c.want) <= 5e-5) {
			t.Errorf("%s: pH %.6f, %v; want %.4f", c.name, got, err, c.want)
		}
	}
}

func TestBlendPHLiesBetweenAndForgetsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) Buffered {
			return buffered(rapid.Float64Range(1, 100).Draw(t, name+" L"), 35, 25,
				rapid.Float64Range(7.2, 8.8).Draw(t, name+" pH"), 2.5)
		}
		a, b, c := draw("a"), draw("b"), draw("c")
		one, err := BlendPH(a, b, c)
		if err != nil {
			t.Fatal(err)
		}
		two, err := BlendPH(c, a, b)
		if err != nil || !(math.Abs(one-two) <= 1e-10) {
			t.Fatalf("pH %.12f, in another order %.12f, %v", one, two, err)
		}
		// With one alkalinity, salinity and temperature the mixture lies between.
		if low, high := min(a.PH, b.PH, c.PH), max(a.PH, b.PH, c.PH); one < low-1e-9 || one > high+1e-9 {
			t.Fatalf("pH %g of waters of %g to %g", one, low, high)
		}
	})
}

func TestBlendPHOutsideItsConstants(t *testing.T) {
	fresh := buffered(40, 12, 25, 8.4, 2)
	tank := buffered(60, 12, 25, 7.6, 2)
	var e *salinity.RangeError
	if _, err := BlendPH(tank, fresh); !errors.As(err, &e) {
		t.Errorf("salinity 12: %v", err)
	}
	pH, outside, err := BlendPHOrHighest(tank, fresh)
	if err != nil || outside == nil || outside.Argument != "salinity" || pH != 8.4 {
		t.Errorf("salinity 12: pH %g, outside %v, %v; want the higher", pH, outside, err)
	}
	// Two waters inside the range whose blend is inside too.
	if pH, outside, err := BlendPHOrHighest(buffered(60, 30, 20, 8, 2.3), buffered(40, 36, 30, 8, 2.3)); err != nil || outside != nil || !(math.Abs(pH-8) <= 0.02) {
		t.Errorf("pH %g, outside %v, %v", pH, outside, err)
	}
	// No water at all is no pH at all.
	if pH, _, err := BlendPHOrHighest(); pH != 0 || !errors.Is(err, ErrNoWater) {
		t.Errorf("no water: pH %g, %v", pH, err)
	}
	bad := tank
	bad.Volume = -1
	var in *InputError
	if _, _, err := BlendPHOrHighest(bad); !errors.As(err, &in) {
		t.Errorf("a negative volume: %v", err)
	}
	// What is outside and has no volume does not count.
	none := fresh
	none.Volume = 0
	if pH, outside, err := BlendPHOrHighest(buffered(60, 35, 25, 7.6, 2), none); err != nil || outside != nil || !(math.Abs(pH-7.6) <= 1e-9) {
		t.Errorf("pH %g, outside %v, %v", pH, outside, err)
	}
}

func TestNaturalAlkalinity(t *testing.T) {
	a, err := NaturalAlkalinityMeqL(Water{Salinity: 35, Temperature: 25})
	if err != nil || !(math.Abs(a-2.358) <= 0.0005) {
		t.Errorf("natural alkalinity %g meq/L, %v; want 2.358", a, err)
	}
	if _, err := NaturalAlkalinityMeqL(Water{Salinity: 50, Temperature: 25}); err == nil {
		t.Error("salinity 50 was accepted")
	}
}

// The case in which the higher of the two pHs forbade a change that helps: 45 % of
// pH 8.2 into pH 7.8. The mixture has 0.86 of the NH3.
func TestTheHigherPHForbadeAChangeThatHelps(t *testing.T) {
	tank := Ammoniacal{buffered(100, 35, 25.5, 7.8, 2.9), 2}
	c, err := ChangeAmmonia(tank, Ammoniacal{buffered(45, 35, 25.5, 8.2, 2.9), 0})
	if err != nil {
		t.Fatal(err)
	}
	if c.Rises || c.Outside != nil || !(math.Abs(c.After.PH-8.0019) <= 5e-5) || !(math.Abs(c.After.NH3/c.Now.NH3-0.86) <= 0.005) {
		t.Errorf("pH %.4f, NH3 × %.3f, rises %v", c.After.PH, c.After.NH3/c.Now.NH3, c.Rises)
	}
	if c.Worst.PH != 8.2 || !(c.Worst.NH3 > c.Now.NH3) {
		t.Errorf("worst case: pH %g, NH3 %g of %g", c.Worst.PH, c.Worst.NH3, c.Now.NH3)
	}
	// 22 %: pH 7.91, × 0.98.
	c, err = ChangeAmmonia(tank, Ammoniacal{buffered(22, 35, 25.5, 8.2, 2.9), 0})
	if err != nil || c.Rises || !(math.Abs(c.After.NH3/c.Now.NH3-0.98) <= 0.005) {
		t.Errorf("22 %%: × %.3f, %v", c.After.NH3/c.Now.NH3, err)
	}
	// Some change does raise it: 22 % of pH 8.5.
	c, err = ChangeAmmonia(tank, Ammoniacal{buffered(22, 35, 25.5, 8.5, 2.9), 0})
	if err != nil || !c.Rises {
		t.Errorf("22 %% of pH 8.5: × %.3f, %v", c.After.NH3/c.Now.NH3, err)
	}
}

func TestChangeAmmoniaConserves(t *testing.T) {
	tank := Ammoniacal{buffered(100, 35, 25, 8.1, 2.3), 2}
	c, err := ChangeAmmonia(tank, Ammoniacal{buffered(20, 35, 25, 8.1, 2.3), 0.5}, Ammoniacal{buffered(10, 35, 25, 8.1, 2.3), 0})
	if err != nil || !(math.Abs(c.After.TotalN-(0.7*2+0.2*0.5)) <= 1e-12) || !(math.Abs(c.After.NH3/c.Now.NH3-0.75) <= 1e-9) {
		t.Errorf("total after %g, NH3 × %g, %v", c.After.TotalN, c.After.NH3/c.Now.NH3, err)
	}
	// All of it replaced: what is left is the new water.
	if c, err = ChangeAmmonia(tank, Ammoniacal{buffered(100, 33, 24, 8.3, 2.3), 0.1}); err != nil || !(math.Abs(c.After.PH-8.3) <= 1e-9) || !(math.Abs(c.After.TotalN-0.1) <= 1e-12) {
		t.Errorf("all replaced: pH %g, total %g, %v", c.After.PH, c.After.TotalN, err)
	}
	// Outside the carbonate constants the mixture is at the higher pH, and why is told.
	brackish := Ammoniacal{buffered(100, 12, 25, 7.8, 2), 2}
	if c, err = ChangeAmmonia(brackish, Ammoniacal{buffered(20, 12, 25, 8.2, 2), 0}); err != nil || c.Outside == nil || c.Outside.Argument != "salinity" || c.After.PH != 8.2 || c.After.NH3 != c.Worst.NH3 {
		t.Errorf("salinity 12: pH %g, outside %v, %v", c.After.PH, c.Outside, err)
	}
	var in *InputError
	if _, err := ChangeAmmonia(tank, Ammoniacal{buffered(120, 35, 25, 8.1, 2.3), 0}); !errors.As(err, &in) {
		t.Errorf("120 %% replaced: %v", err)
	}
	var e *salinity.RangeError
	bad := tank
	bad.PH = math.NaN()
	if _, err := ChangeAmmonia(bad, Ammoniacal{buffered(20, 35, 25, 8.1, 2.3), 0}); !errors.As(err, &e) {
		t.Errorf("no pH: %v", err)
	}
	bad = Ammoniacal{buffered(20, 35, 25, 8.1, 2.3), 0}
	bad.Salinity = 50
	if _, err := ChangeAmmonia(tank, bad); !errors.As(err, &e) {
		t.Errorf("salinity 50: %v", err)
	}
	bad = Ammoniacal{buffered(20, 35, 25, 8.1, 2.3), 0}
	bad.PH = 20
	if _, err := ChangeAmmonia(tank, bad); !errors.As(err, &e) {
		t.Errorf("pH 20: %v", err)
	}
}

// Break-even is a vat some 0.4 pH above the tank for changes of 22 to 45 % of a tank at
// pH 7.7 to 8.0, as an independent reckoning has it.
func TestHelpfulPH(t *testing.T) {
	for _, pH := range []float64{7.7, 8.0} {
		for _, litres := range []float64{22, 45} {
			now := Ammoniacal{buffered(100, 35, 25.5, pH, 2.9), 2}
			fresh := Ammoniacal{buffered(litres, 35, 25.5, 7, 2.9), 0}
			got, ok := HelpfulPH(now, fresh)
			if !ok || got < pH+0.3 || got > pH+0.7 {
				t.Errorf("pH %g, %g %%: %g, %v", pH, litres, got, ok)
			}
			for _, d := range []float64{-0.001, 0.002} {
				fresh.PH = got + d
				if c, err := ChangeAmmonia(now, fresh); err != nil || c.Rises != (d > 0) {
					t.Errorf("pH %g, %g %%: at %g rises %v, %v", pH, litres, fresh.PH, c.Rises, err)
				}
			}
			t.Logf("pH %g, %g %%: helps up to %.2f", pH, litres, got)
		}
	}
	tank := Ammoniacal{buffered(100, 35, 25, 8, 2.9), 2}
	if _, ok := HelpfulPH(tank, Ammoniacal{buffered(30, 35, 25, 8, 2.9), 3}); ok {
		t.Error("water with more ammonia helps")
	}
	if pH, ok := HelpfulPH(tank, Ammoniacal{buffered(100, 35, 25, 8, 2.9), 0}); !ok || pH != 9.5 {
		t.Errorf("all of it replaced by water without ammonia: %g, %v", pH, ok)
	}
	if _, ok := HelpfulPH(Ammoniacal{buffered(100, 12, 25, 8, 2), 2}, Ammoniacal{buffered(30, 12, 25, 8, 2), 0}); ok {
		t.Error("salinity 12 was worked out")
	}
}

// The rule of the ammonia card: a vat up to 0.3 pH above the tank still lowers the NH3
// when a fifth to a half is changed. Over the tanks that people keep.
func TestThreeTenthsOfPHStillHelp(t *testing.T) {
	least, at := 9.0, ""
	for pH := 7.4; pH <= 8.41; pH += 0.2 {
		for _, share := range []float64{20, 35, 50} {
			for _, alk := range []float64{1.8, 2.5, 4.5} {
				for _, water := range [][2]float64{{30, 20}, {35, 25.5}, {37, 29}} {
					now := Ammoniacal{buffered(100, water[0], water[1], pH, alk), 2}
					fresh := Ammoniacal{buffered(share, water[0], water[1], pH, alk), 0}
					got, ok := HelpfulPH(now, fresh)
					if !ok {
						t.Fatalf("pH %g, %g %%, alkalinity %g, S %g: not worked out", pH, share, alk, water[0])
					}
					if got-pH < least {
						least, at = got-pH, fmt.Sprintf("pH %.1f, %g %%, alkalinity %g mmol/kg, S %g, %g °C", pH, share, alk, water[0], water[1])
					}
				}
			}
		}
	}
	t.Logf("helps up to %.3f above the tank at least, at %s", least, at)
	if least < 0.3 {
		t.Errorf("0.3 above the tank raises the NH3 at %s: at most %.3f helps", at, least)
	}
}
