package dilution

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestExtremesForEver: the peak and the lowest level of all time, and within a day, beside a search;
// half of the systems lose nothing, so that rounding
// alone is left of the slope long before the end.
func TestExtremesForEver(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 11))
	inside, twice := 0, 0
	for i := range 60 {
		d := someDynamics(r)
		d.BoundRatio, d.BoundRatePerH = 0.1+3*r.Float64(), 0.01*math.Pow(500, r.Float64())
		d.Source = Source{MgH: (0.0001 + 0.05*r.Float64()) * d.VolumeL, HalfLifeH: 0.3 * math.Pow(200, r.Float64())}
		if i%2 == 0 {
			d.ClearanceLH, d.CapacityMg, d.ExchangeLH = 0, 0, 0
		}
		s := someState(r, d)
		s.UgL *= math.Pow(r.Float64(), 2)
		peak, lowest, day := d.Peak(s), d.Lowest(s, math.Inf(1)), d.Lowest(s, 24)
		level := func(t float64) float64 { return d.After(s, t).UgL }
		least := searched(level, 1e9)
		most := -searched(func(t float64) float64 { return -level(t) }, 1e9)
		within := searched(level, 24)
		if !near(most, peak, 1e-6, 1e-6) || !near(least, lowest, 1e-6, 1e-6) || !near(within, day, 1e-6, 1e-6) {
			t.Fatalf("%v to %v (%v within a day), a search finds %v to %v (%v) (%+v from %+v)", lowest, peak, day, least, most, within, d, s)
		}
		if _, ok := d.FirstBelow(s, lowest*0.999, math.Inf(1)); ok {
			t.Fatalf("comes under the lowest of %v (%+v from %+v)", lowest, d, s)
		}
		if at, ok := d.FirstBelow(s, lowest*1.001, math.Inf(1)); !ok || !near(level(at), min(s.UgL, lowest*1.001), 0, 1e-6) {
			t.Fatalf("%v, %v after %v h, not near the lowest of %v (%+v from %+v)", ok, level(at), at, lowest, d, s)
		}
		if list, _ := d.phases(s, math.Inf(1)); true {
			if _, m := list[0].turningPoints(); m == 4 {
				twice++
			}
		}
		if last := level(1e9); peak > 1.01*max(last, s.UgL) || lowest < 0.99*min(last, s.UgL) {
			inside++
		}
	}
	if inside < 12 || twice == 0 {
		t.Errorf("only %d have an extreme on the way, %d two", inside, twice)
	}
}

// searched is the lowest of f from 0 to the end, at fifteen hundred moments, dense at first, and then between
// the neighbours of the lowest.
func searched(f func(float64) float64, end float64) float64 {
	const step = 1.02
	low, at := f(0), 0.0
	for t := 1e-3; t < end; t *= step {
		if c := f(t); c < low {
			low, at = c, t
		}
	}
	return min(low, f(end), trough(f, at/step, min(end, max(1e-3, at*step))))
}

// TestTheFirstMomentIsCountedFromNow: whatever the hour, and a part of the way when part has gone by.
func TestTheFirstMomentIsCountedFromNow(t *testing.T) {
	d := Dynamics{VolumeL: 100, ClearanceLH: 10}
	for _, at := range []float64{0, 7, 100} {
		s := State{AtH: at, UgL: 80}
		if h, ok := d.FirstBelow(s, 10, math.Inf(1)); !ok || !near(h, 10*math.Log(8), 0, 1e-8) {
			t.Errorf("from %v h: %v, %v", at, h, ok)
		}
		// 10·ln 8 = 20.8 h: within reach or not.
		for within, want := range map[float64]bool{20.7: false, 20.9: true} {
			if _, ok := d.FirstBelow(s, 10, within); ok != want {
				t.Errorf("within %v h: %v", within, ok)
			}
		}
	}
	// The source stops at 8 h: what is left of it after 5 h lasts three, and then the media clean.
	d.Source = Source{MgH: 1, UntilH: 8}
	s := State{AtH: 5, UgL: 80} // towards 100 for 3 h, then towards 0
	top := 100 - 20*math.Exp(-0.3)
	if h, ok := d.FirstBelow(s, 10, math.Inf(1)); !ok || !near(h, 3+10*math.Log(top/10), 0, 1e-8) {
		t.Errorf("%v, %v", h, ok)
	}
	if got := d.Peak(s); !near(got, top, 0, 1e-9) {
		t.Errorf("peak %v, want %v", got, top)
	}
}

// TestNoTimeIsNoChange, and a source that ends, acts until then and no longer.
func TestNoTimeIsNoChange(t *testing.T) {
	d := Dynamics{VolumeL: 100, Source: Source{MgH: 1, UntilH: 8}, ClearanceLH: 5, CapacityMg: 9, BoundRatio: 1, BoundRatePerH: 0.5}
	s := d.Start(12)
	if got := d.After(s, 0); got.AtH != 0 || !near(got.UgL, 12, 0, 1e-14) || !near(got.BoundUg, 1200, 0, 1e-14) || got.CapturedUg != 0 {
		t.Errorf("%+v", got)
	}
	if low, peak, excess := d.Lowest(s, 0), d.Peak(s), d.Excess(s, 3, 0); !near(low, 12, 0, 1e-14) || excess != 0 || peak < 12 {
		t.Errorf("within no time: down to %v, excess %v", low, excess)
	}
	d = Dynamics{VolumeL: 100, Source: Source{MgH: 1, UntilH: 8}}
	for at, want := range map[float64]float64{0: 45, 4: 45, 4.5: 40, 7.5: 10, 8: 5, 9: 5} {
		if got := d.After(State{AtH: at, UgL: 5}, 4); !near(got.UgL, want, 0, 1e-12) || got.AtH != at+4 {
			t.Errorf("4 h from %v h: %+v, want %v", at, got, want)
		}
		if got := d.After(State{AtH: at, UgL: 5}, 0.25); at != 7.5 && !near(got.UgL, 5+(want-5)/16, 0, 1e-12) && at < 4.5 {
			t.Errorf("a quarter of an hour from %v h: %+v", at, got)
		}
	}
}

// TestWhatActs: each influence alone, however weak, is one; half of rock's is none.
func TestWhatActs(t *testing.T) {
	for _, c := range []struct {
		d     Dynamics
		inert bool
	}{
		{Dynamics{VolumeL: 100}, true}, {Dynamics{VolumeL: 100, Source: Source{UntilH: 4, HalfLifeH: 3}, CapacityMg: 3, ExchangeUgL: 4}, true},
		{Dynamics{VolumeL: 100, Source: Source{MgH: 1}}, false}, {Dynamics{VolumeL: 100, Source: Source{MgH: 0.01}}, false},
		{Dynamics{VolumeL: 100, ClearanceLH: 1}, false}, {Dynamics{VolumeL: 100, ClearanceLH: 0.01}, false},
		{Dynamics{VolumeL: 100, ExchangeLH: 1}, false}, {Dynamics{VolumeL: 100, ExchangeLH: 0.01}, false},
		{Dynamics{VolumeL: 100, BoundRatio: 1, BoundRatePerH: 1}, false}, {Dynamics{VolumeL: 100, BoundRatio: 0.01, BoundRatePerH: 0.01}, false},
		{Dynamics{VolumeL: 100, BoundRatio: 1}, true}, {Dynamics{VolumeL: 100, BoundRatePerH: 1}, true}, {Dynamics{VolumeL: 100, BoundRatePerH: 0.5}, true}, {Dynamics{VolumeL: 100, BoundRatio: 0.5}, true},
	} {
		if got := c.d.Inert(); got != c.inert {
			t.Errorf("%+v: inert %v", c.d, got)
		}
	}
}

// TestCrossingEndsOnItsBracket: the place found is where f is zero or positive, and a hair before it f
// is negative; of a stretch of zeros it is the beginning. Smooth curves take few looks; no
// curve takes more than a bisection every second time would.
func TestCrossingEndsOnItsBracket(t *testing.T) {
	for name, c := range map[string]struct {
		f       func(t float64) float64
		a, b, x float64
		looks   int
	}{
		"a straight line":        {func(t float64) float64 { return t - 3 }, 0, 7, 3, 96},
		"a fall":                 {func(t float64) float64 { return 0.1 - math.Exp(-t) }, 0, 60, math.Log(10), 24},
		"a fall, near its end":   {func(t float64) float64 { return 0.1 - math.Exp(-t) }, 2, 3, math.Log(10), 24},
		"a rise":                 {func(t float64) float64 { return math.Exp(t) - 9 }, 0, 8, math.Log(9), 96},
		"a square":               {func(t float64) float64 { return t*t - 2 }, 0, 2, math.Sqrt2, 24},
		"a ninth power":          {func(t float64) float64 { return math.Pow(t, 9) - 1e-9 }, 0, 1, 0.1, 96},
		"a step":                 {func(t float64) float64 { return math.Copysign(1, t-0.3) }, 0, 1, 0.3, 96},
		"a step of a million":    {func(t float64) float64 { return max(-1, math.Copysign(1e6, t-0.3)) }, 0, 1, 0.3, 96},
		"a step of a millionth":  {func(t float64) float64 { return min(1e-6, math.Copysign(1, t-0.3)) }, 0, 1, 0.3, 96},
		"zero for a while":       {func(t float64) float64 { return min(0, t-1) + max(0, t-2) }, 0, 5, 1, 96},
		"zero at the very start": {func(t float64) float64 { return t }, 0, 5, 0, 96},
		"above at the start":     {func(t float64) float64 { return t + 0.5 }, 0, 5, 0, 96},
		"zero at the very end":   {func(t float64) float64 { return t - 5 }, 0, 5, 5, 96},
	} {
		looks := 0
		x := crossing(func(t float64) float64 { looks++; return c.f(t) }, c.a, c.b)
		if !near(x, c.x, 0, 4e-14) || c.f(x) < 0 || x > 0 && c.f(x*(1-3e-14)) >= 0 && c.f(c.a) < 0 {
			t.Errorf("%s: %v, want %v; f there is %v", name, x, c.x, c.f(x))
		}
		if looks > c.looks {
			t.Errorf("%s: %d looks", name, looks)
		}
	}
}

// TestMediaThatLastForYears: a trickle uses them up in the end, long after every mode has faded, and then the level
// goes where the trickle takes it: 0.01 µg an hour fill 1 mg in eleven years.
func TestMediaThatLastForYears(t *testing.T) {
	d := Dynamics{VolumeL: 100, ClearanceLH: 1, CapacityMg: 1, ExchangeLH: 0.001, ExchangeUgL: 10}
	if got := d.Peak(d.Start(0)); !near(got, 10, 0, 1e-6) {
		t.Errorf("new water of 10 µg/L takes it to %v", got)
	}
	d = Dynamics{VolumeL: 100, ClearanceLH: 1, CapacityMg: 1, Source: Source{MgH: 1e-5}}
	if got := d.Peak(d.Start(0)); !math.IsInf(got, 1) {
		t.Errorf("a source of 0.01 µg/h takes it to %v", got)
	}
	// 1,000 µg and what is in the water when they are full: 1 µg, the balance of source and media.
	if at, ok := (Dynamics{VolumeL: 100, ClearanceLH: 1, CapacityMg: 1, Source: Source{MgH: 1e-5}}).usedUp(); !ok || !near(at, 1e5+100, 0, 1e-6) {
		t.Errorf("used up after %v h, %v", at, ok)
	}
	// Without the trickle they never are.
	if _, ok := (Dynamics{VolumeL: 100, ClearanceLH: 1, CapacityMg: 1}).usedUp(); ok {
		t.Error("media for 1 mg are used up by nothing")
	}
}

// usedUp is when media are used up that begin with clean water.
func (d Dynamics) usedUp() (float64, bool) {
	list, n := d.phases(d.Start(0), math.Inf(1))
	return list[0].durH, n == 2
}
