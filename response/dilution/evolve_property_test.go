package dilution

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestNearlyEqualRootsAndResonance drives the closed forms through the places
// where a naive formula divides by zero: equal eigenvalues, a source that fades at
// the rate of a mode, and rates within 1e-9 of either.
func TestNearlyEqualRootsAndResonance(t *testing.T) {
	for _, gap := range []float64{0, 1e-15, 1e-12, 1e-9, 1e-6, 1e-3} {
		rate := 0.2 * (1 + gap)
		for name, d := range map[string]Dynamics{
			"bound relaxes at the rate of the media": {VolumeL: 100, ClearanceLH: 20, BoundRatio: gap, BoundRatePerH: rate},
			"source fades at the rate of the media":  {VolumeL: 100, ClearanceLH: 20, Source: Source{MgH: 1, HalfLifeH: math.Ln2 / rate}},
			"source fades at the rate of exchange":   {VolumeL: 100, Source: Source{MgH: 1, HalfLifeH: math.Ln2 / (rate * 2)}, BoundRatio: 1, BoundRatePerH: 0.2},
			"all three":                              {VolumeL: 100, ClearanceLH: 20, BoundRatio: gap, BoundRatePerH: rate, Source: Source{MgH: 1, HalfLifeH: math.Ln2 / rate}},
			"hardly anything":                        {VolumeL: 100, ClearanceLH: 1e-9, BoundRatio: 1, BoundRatePerH: gap, Source: Source{MgH: 1e-9, HalfLifeH: 1e9}},
		} {
			s := d.Start(50)
			s.BoundUg *= 1.5
			for _, dt := range []float64{1e-6, 0.5, 4, 48} {
				want, exposure := rk4(d, s, 10, dt, 3000)
				got := d.After(s, dt)
				for what, pair := range map[string][2]float64{
					"concentration": {got.UgL, want.UgL},
					"bound":         {got.BoundUg, want.BoundUg},
					"captured":      {got.CapturedUg, want.CapturedUg},
					"excess":        {d.Excess(s, 10, dt), exposure},
				} {
					if !near(pair[0], pair[1], 1e-6, 1e-9) {
						t.Errorf("%s, gap %v, %v h: %s = %v, integration gives %v", name, gap, dt, what, pair[0], pair[1])
					}
				}
			}
		}
	}
}

func TestMassIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDynamics(t)
		d.ExchangeLH = 0
		s := d.Start(rapid.Float64Range(0, 500).Draw(t, "c0"))
		dt := rapid.Float64Range(0, 200).Draw(t, "dt")
		// ∫S dt to the end of the source, from its formula.
		added, until := d.Source.MgH*1000, dt
		if d.Source.UntilH > 0 {
			until = math.Min(dt, d.Source.UntilH)
		}
		if h := d.Source.HalfLifeH; h > 0 {
			added *= -math.Expm1(-math.Ln2*until/h) * h / math.Ln2
		} else {
			added *= until
		}
		before := s.UgL*d.VolumeL + s.BoundUg + added
		after := d.After(s, dt)
		if total := after.UgL*d.VolumeL + after.BoundUg + after.CapturedUg; !near(total, before, 1e-9, 1e-11) {
			t.Fatalf("%v µg after %v h, %v before (%+v)", total, dt, before, d)
		}
		removed := rapid.Float64Range(0, 1).Draw(t, "share") * d.VolumeL
		newUgL := rapid.Float64Range(0, 600).Draw(t, "new")
		changed := d.Change(after, removed, newUgL)
		want := after.UgL*(d.VolumeL-removed) + newUgL*removed
		if !near(changed.UgL*d.VolumeL, want, 1e-9, 1e-12) || changed.BoundUg != after.BoundUg || changed.CapturedUg != after.CapturedUg {
			t.Fatalf("change of %v L: %+v from %+v", removed, changed, after)
		}
	})
}

func TestTimeAddsUpAndNothingTurnsNegative(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDynamics(t)
		s := d.Start(rapid.Float64Range(0, 500).Draw(t, "c0"))
		a, b := rapid.Float64Range(0, 80).Draw(t, "a"), rapid.Float64Range(0, 80).Draw(t, "b")
		once, twice := d.After(s, a+b), d.After(d.After(s, a), b)
		for what, pair := range map[string][2]float64{
			"time": {once.AtH, twice.AtH}, "concentration": {once.UgL, twice.UgL},
			"bound": {once.BoundUg, twice.BoundUg}, "captured": {once.CapturedUg, twice.CapturedUg},
		} {
			if !near(pair[0], pair[1], 1e-9, 1e-9) {
				t.Fatalf("%s: %v at once, %v in two parts (%+v)", what, pair[0], pair[1], d)
			}
			if !(pair[0] >= 0) || math.IsInf(pair[0], 0) {
				t.Fatalf("%s = %v (%+v)", what, pair[0], d)
			}
		}
		if limit := d.CapacityMg * 1000; limit > 0 && once.CapturedUg > limit*(1+1e-12) {
			t.Fatalf("captured %v µg of %v", once.CapturedUg, limit)
		}
		whole := d.Excess(s, 20, a+b)
		if parts := d.Excess(s, 20, a) + d.Excess(d.After(s, a), 20, b); !near(parts, whole, 1e-6, 1e-8) {
			t.Fatalf("excess %v at once, %v in two parts", whole, parts)
		}
	})
}

func TestMoreOfAnythingAddedGivesMore(t *testing.T) {
	// An atom of copper weighs 1.1e-16 µg: a level of 1e-154 µg/L, which a draw may lead to, is none, and its twelfth
	// digit is rounding.
	const atom = 1e-16
	rapid.Check(t, func(t *rapid.T) {
		d := drawDynamics(t)
		d.CapacityMg = 0
		c0, dt := rapid.Float64Range(0, 500).Draw(t, "c0"), rapid.Float64Range(0, 80).Draw(t, "dt")
		base := d.After(d.Start(c0), dt).UgL
		more, stronger, cleaner := d, d, d
		more.Source.MgH *= 1.1
		stronger.ExchangeUgL += 1
		cleaner.ClearanceLH += 1
		for what, higher := range map[string]float64{
			"a higher start":       d.After(d.Start(c0+1), dt).UgL,
			"a stronger source":    more.After(more.Start(c0), dt).UgL,
			"dirtier new water":    stronger.After(stronger.Start(c0), dt).UgL,
			"media, the other way": 2*base - cleaner.After(cleaner.Start(c0), dt).UgL,
		} {
			if higher < base*(1-1e-12)-atom {
				t.Fatalf("%s lowers the concentration from %v to %v (%+v)", what, base, higher, d)
			}
		}
	})
}

// TestCrossingsAndExtremesMatchASearchOverTime compares the first moment below,
// the peak and the lowest with a fine search over time.
func TestCrossingsAndExtremesMatchASearchOverTime(t *testing.T) {
	reached := 0
	rapid.Check(t, func(t *rapid.T) {
		d := drawDynamics(t)
		s := d.Start(rapid.Float64Range(0, 300).Draw(t, "c0"))
		s.BoundUg *= rapid.Float64Range(0, 3).Draw(t, "out of equilibrium")
		target := rapid.Float64Range(0.01, 300).Draw(t, "target")
		within := rapid.Float64Range(0.1, 100).Draw(t, "within")
		first, ok := d.FirstBelow(s, target, within)
		lowest, peak := d.Lowest(s, within), d.Peak(s)
		if first < 0 || first > within {
			t.Fatalf("first below at %v h of %v", first, within)
		}
		if ok {
			reached++
			if c := d.After(s, first).UgL; !near(c, target, 0, 1e-8) && c > target {
				t.Fatalf("C = %v at the first moment below %v", c, target)
			}
		} else if Met(lowest, target) {
			t.Fatalf("never below %v, yet the lowest is %v", target, lowest)
		}
		seen := math.Inf(1)
		for i := range 400 {
			at := within * float64(i) / 399
			c := d.After(s, at).UgL
			seen = math.Min(seen, c)
			if (!ok || at < first*(1-1e-9)) && c <= target {
				t.Fatalf("C = %v at %v h, but first below %v at %v (%v)", c, at, target, first, ok)
			}
			if c > peak*(1+1e-9) || c < lowest*(1-1e-9) {
				t.Fatalf("C = %v at %v h outside %v to %v", c, at, lowest, peak)
			}
		}
		if seen > lowest && !near(seen, lowest, 0.5, 0.05) {
			t.Fatalf("lowest %v, but %v is the lowest of a search (%+v from %+v)", lowest, seen, d, s)
		}
	})
	if reached == 0 {
		t.Fatal("no target was ever reached")
	}
}

// TestPeakForGood checks where a concentration goes in the end against the
// mass balance: with nothing that removes, the bound and the water share all.
func TestPeakForGood(t *testing.T) {
	rebound := Dynamics{VolumeL: 200, BoundRatio: 3, BoundRatePerH: 0.05}
	s := rebound.Change(rebound.Start(40), 200, 0)
	if got := rebound.Peak(s); !near(got, 30, 0, 1e-9) {
		t.Errorf("all of the water changed over rock with three parts of four: rises to %v, want 30", got)
	}
	fading := Dynamics{VolumeL: 200, Source: Source{MgH: 1, HalfLifeH: 10}}
	if got, want := fading.Peak(fading.Start(0)), 1000*10/math.Ln2/200; !near(got, want, 0, 1e-9) {
		t.Errorf("a fading source into 200 L: rises to %v, want %v", got, want)
	}
	for name, d := range map[string]Dynamics{
		"a source for ever":               {VolumeL: 10, Source: Source{MgH: 1}},
		"a source and media with an end":  {VolumeL: 10, Source: Source{MgH: 1}, ClearanceLH: 50, CapacityMg: 500},
		"the same with rock and sand too": {VolumeL: 10, Source: Source{MgH: 1}, ClearanceLH: 50, CapacityMg: 500, BoundRatio: 2, BoundRatePerH: 0.01},
	} {
		if got := d.Peak(d.Start(5)); !math.IsInf(got, 1) {
			t.Errorf("%s: rises to %v, want no limit", name, got)
		}
	}
	steady := Dynamics{VolumeL: 10, Source: Source{MgH: 1}, ClearanceLH: 50}
	if got := steady.Peak(steady.Start(5)); !near(got, 20, 0, 1e-9) {
		t.Errorf("1 mg/h against 50 L/h of clean water: rises to %v, want 20", got)
	}
}

// TestTransitionMatchesAfter: the map of one interval gives what After gives, and where
// it says that nothing has a minimum in between, the lowest is at one of the ends.
func TestTransitionMatchesAfter(t *testing.T) {
	mapped, dipped := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		d := drawDynamics(t)
		s := d.Start(rapid.Float64Range(0, 500).Draw(t, "c0"))
		s.BoundUg *= rapid.Float64Range(0, 3).Draw(t, "out of equilibrium")
		s.AtH = rapid.Float64Range(0, 100).Draw(t, "at")
		k := transitions{hours: rapid.Float64Range(0.1, 48).Draw(t, "hours")}
		for range 4 {
			want := d.After(s, k.hours)
			end, mayHaveMinimum, ok := k.over(d, s)
			if !ok {
				s = want
				continue
			}
			mapped++
			for what, pair := range map[string][2]float64{
				"time": {end.AtH, want.AtH}, "concentration": {end.UgL, want.UgL},
				"bound": {end.BoundUg, want.BoundUg}, "captured": {end.CapturedUg, want.CapturedUg},
			} {
				if !near(pair[0], pair[1], 1e-9, 1e-10) {
					t.Fatalf("%s: mapped to %v, After gives %v (%+v from %+v)", what, pair[0], pair[1], d, s)
				}
			}
			low := d.Lowest(s, k.hours)
			if mayHaveMinimum {
				dipped++
			} else if low < math.Min(s.UgL, end.UgL)*(1-1e-9) {
				t.Fatalf("mayHaveMinimum to %v between %v and %v (%+v from %+v)", low, s.UgL, end.UgL, d, s)
			}
			s = end
		}
	})
	if mapped < 50 || dipped == mapped {
		t.Fatalf("%d transitions, %d of them might dip", mapped, dipped)
	}
}

// A source that never ends and one that ends after a hundred years are the same for a month: the first
// goes in straight lines, the second by the general solution.
func TestSteadyIsTheGeneralSolution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Dynamics{VolumeL: rapid.Float64Range(10, 5000).Draw(t, "volume"), Source: Source{MgH: rapid.Float64Range(1e-3, 50).Draw(t, "source")}}
		if rapid.Bool().Draw(t, "bound for good") {
			d.BoundRatio = 0.7
		}
		general := d
		general.Source.UntilH = 876_000
		s := d.Start(rapid.Float64Range(0, 500).Draw(t, "c0"))
		dt, target := rapid.Float64Range(0, 720).Draw(t, "dt"), rapid.Float64Range(0, 600).Draw(t, "target")
		got, want := d.After(s, dt), general.After(s, dt)
		if !near(got.UgL, want.UgL, 1e-9, 1e-12) || !near(got.BoundUg, want.BoundUg, 1e-9, 1e-12) || got.AtH != want.AtH {
			t.Errorf("after %v h %+v, generally %+v", dt, got, want)
		}
		if got, want := d.Excess(s, target, dt), general.Excess(s, target, dt); !near(got, want, 1e-6, 1e-6) {
			t.Errorf("excess over %v in %v h: %v, generally %v", target, dt, got, want)
		}
		h, is := d.FirstBelow(s, target, dt)
		if hG, isG := general.FirstBelow(s, target, dt); h != hG || is != isG {
			t.Errorf("first below %v: %v %v, generally %v %v", target, h, is, hG, isG)
		}
	})
}
