package dilution

import (
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/refs/units"
)

// TestWhichIntervalsAreMapped: the map of an interval is used unless the source ends or the media are used
// up on the way; and a dip is suspected only where the level falls first and rises last, or where a
// fading source bends it, as finite differences of the closed form show.
func TestWhichIntervalsAreMapped(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 10))
	counts := map[string]int{}
	for range 4000 {
		d := someDynamics(r)
		if r.IntN(2) == 0 { // rock that is filling takes from the water before a source lifts it
			d.BoundRatio, d.BoundRatePerH, d.Source.MgH, d.Source.UntilH = 0.2+4*r.Float64(), 0.05+2*r.Float64(), (0.0001+0.02*r.Float64())*d.VolumeL, 0
		}
		s := someState(r, d)
		s.BoundUg *= math.Pow(r.Float64(), 2)
		k := transitions{hours: 24 * math.Pow(r.Float64(), 2)}
		_, mayDip, ok := k.over(d, s)
		list, n := d.phases(s, k.hours)
		if ok != (n == 1 && !(d.Source.MgH > 0 && s.AtH < d.Source.UntilH && d.Source.UntilH < s.AtH+k.hours)) {
			t.Fatalf("mapped: %v, but %d phases in %v h (%+v from %+v)", ok, n, k.hours, d, s)
		}
		if !ok || d.Inert() {
			continue
		}
		p := &list[0]
		first, last := levelSlopes(p, 0), levelSlopes(p, k.hours)
		if !first.sure || !last.sure {
			counts["too flat to say"]++
			continue
		}
		turns := first.slope < 0 && last.slope > 0
		fading := p.system.source > 0 && p.system.decay > 0
		switch {
		case !fading:
			counts["no fading source"]++
		case !first.sureBend || !last.sureBend:
			counts["bend too small to say"]++
			continue
		case first.bend*last.bend < 0:
			counts["bends over"]++
			turns = true
		default:
			counts["fading source"]++
		}
		if turns {
			counts["turns"]++
		}
		if mayDip != turns {
			t.Fatalf("a dip is suspected: %v, slopes %+v and %+v (%+v from %+v, %v h)", mayDip, first, last, d, s, k.hours)
		}
	}
	t.Logf("%v", counts)
	for _, what := range []string{"no fading source", "fading source", "bends over", "turns"} {
		if counts[what] < 40 {
			t.Errorf("only %d: %s", counts[what], what)
		}
	}
}

// slopes are those of the amount in the water, and whether their signs are beyond doubt.
type slopes struct {
	slope, bend    float64
	sure, sureBend bool
}

// levelSlopes are finite differences of the amount in the water, t hours into a phase.
func levelSlopes(p *phase, t float64) slopes {
	l := &p.system
	rate := max(-l.fast, l.decay)
	h := 0.02 / rate
	amount := func(h float64) float64 { return p.at(t+h).UgL * l.volume }
	first, second := differences(amount, h)
	x := slopes{slope: first, bend: second + l.decay*first}
	_, _, scale := l.slopesAt(amount(0), p.at(t).BoundUg, l.source*math.Exp(-l.decay*t))
	x.sure = math.Abs(x.slope) > 1e-6*scale+1e-12*amount(0)/h
	x.sureBend = math.Abs(x.bend) > 1e-6*scale*rate+1e-12*amount(0)/h/h
	return x
}

// TestEdgesOfAnInterval: a source that ends just with the interval acts all through it; media that were used
// up before are none; a level that has come to rest may have been lower.
func TestEdgesOfAnInterval(t *testing.T) {
	d := Dynamics{VolumeL: 100, Source: Source{MgH: 1, UntilH: 8}}
	k := transitions{hours: 4}
	for at, mapped := range map[float64]bool{0: true, 4: true, 4.5: false, 7.9: false, 8: true, 9: true} {
		end, _, ok := k.over(d, State{AtH: at, UgL: 5})
		if want := 5 + 10*min(4, max(0, 8-at)); ok != mapped || ok && !near(end.UgL, want, 0, 1e-12) {
			t.Errorf("from %v h: %v, %v; want %v", at, end.UgL, ok, want)
		}
	}
	d = Dynamics{VolumeL: 100, ClearanceLH: 50, CapacityMg: 1}
	for captured, mapped := range map[float64]bool{0: false, 990: false, 1000: true} {
		if _, _, ok := (&transitions{hours: 4}).over(d, State{UgL: 60, CapturedUg: captured}); ok != mapped {
			t.Errorf("media with %v of 1000 µg: %v", captured, ok)
		}
	}
	if _, _, ok := (&transitions{hours: 4}).over(d, State{UgL: 5}); !ok {
		t.Error("500 µg in the water use up media for 1000")
	}
	// The maps with media and without are not mixed up in the course of one plan.
	kept := &transitions{hours: 4}
	before, _, ok1 := kept.over(d, State{UgL: 5})
	after, _, ok2 := kept.over(d, State{UgL: 5, CapturedUg: 1000})
	if !ok1 || !ok2 || !near(before.UgL, 5*math.Exp(-2), 0, 1e-12) || after.UgL != 5 || after.CapturedUg != 1000 {
		t.Errorf("with media %+v, when used up %+v", before, after)
	}
	// 20 µg/L are the balance of 1 mg/h and 50 L/h: 100 h on nothing but rounding moves the level.
	d = Dynamics{VolumeL: 100, Source: Source{MgH: 1}, ClearanceLH: 50}
	if _, mayDip, _ := (&transitions{hours: 100}).over(d, State{UgL: 60}); !mayDip {
		t.Error("a level at rest is taken to have been no lower")
	}
}

// TestCertainIntervals: an interval is passed without a search only where one contaminant is above its
// target all the while, and then for all of them.
func TestCertainIntervals(t *testing.T) {
	course := func(list ...Contaminant) *course {
		p := Problem{Volume: units.Exact(100), ChangeL: 10, EveryH: 4, Contaminants: list}
		return p.nominal()
	}
	rising := Contaminant{Start: units.Exact(9), Target: 10, Source: Source{MgH: 0.1}}                                     // met until 1 h
	falling := Contaminant{Start: units.Exact(12), Target: 10, ClearanceLH: 100 * math.Log(1.2) / 0.5}                     // met from 0.5 h on
	late := Contaminant{Start: units.Exact(12), Target: 10, ClearanceLH: 100 * math.Log(1.2) / 1.5}                        // met from 1.5 h on
	far := Contaminant{Start: units.Exact(90), Target: 10, ClearanceLH: 1}                                                 // not met
	dipping := Contaminant{Start: units.Exact(12), Target: 10, ClearanceLH: 50, CapacityMg: 0.6, Source: Source{MgH: 0.3}} // media used up on the way
	// 9, at 40 − 31·e^(−t/2) through 10 after 4 minutes to 21.2 at 1 h, then down through 10 at 1 + 2·ln 2.12 h.
	back := Contaminant{Start: units.Exact(9), Target: 10, ClearanceLH: 50, Source: Source{MgH: 2, UntilH: 1}}
	backAt := 1 + 2*math.Log(4-3.1*math.Exp(-0.5))
	for name, c := range map[string]struct {
		list    []Contaminant
		certain bool
		at      float64 // when all are met; 0: never
	}{
		"far above":                {[]Contaminant{far}, true, 0},
		"falls to it":              {[]Contaminant{falling}, false, 0.5},
		"one far above":            {[]Contaminant{falling, far}, true, 0},
		"the other way round":      {[]Contaminant{far, falling}, true, 0},
		"one leaves, one comes":    {[]Contaminant{rising, falling}, false, 0.5},
		"one comes, one leaves":    {[]Contaminant{falling, rising}, false, 0.5},
		"one leaves too early":     {[]Contaminant{rising, late}, false, 0},
		"the same, the other way":  {[]Contaminant{late, rising}, false, 0},
		"media end, not certain":   {[]Contaminant{dipping}, false, 2 * math.Log(1.5)},
		"media end, one far above": {[]Contaminant{dipping, far}, true, 0},
		"leaves and comes back":    {[]Contaminant{back, late}, false, backAt},
		"the same, late first":     {[]Contaminant{late, back}, false, backAt},
		"met already":              {[]Contaminant{rising}, false, 1e-99},
	} {
		x := course(c.list...)
		if got := x.passInterval(); got != c.certain {
			t.Errorf("%s: certain %v", name, got)
		}
		if x.members[0].s.AtH != map[bool]float64{true: 4}[c.certain] {
			t.Errorf("%s: now at %v h", name, x.members[0].s.AtH)
		}
		y := course(c.list...)
		met := y.pass(4)
		if met != (c.at > 0) {
			t.Errorf("%s: met %v", name, met)
		}
		for i := range y.members {
			want := 4.0
			if met {
				want = c.at
			}
			if m := y.members[i]; !(math.Abs(m.s.AtH-want) <= 0.005) || !near(m.s.UgL, m.d.After(m.d.Start(c.list[i].Start.Value), m.s.AtH).UgL, 0, 1e-9) {
				t.Errorf("%s: number %d at %v h, want %v: %+v", name, i, m.s.AtH, want, m.s)
			}
		}
	}
}

// TestNoMoreChangesThanAllowed: a need of three changes is found within three and not within two.
func TestNoMoreChangesThanAllowed(t *testing.T) {
	p := Problem{Volume: units.Exact(100), ChangeL: 50, EveryH: 4, Contaminants: []Contaminant{{Start: units.Exact(60), Target: 9, Source: Source{MgH: 0.01}}}}
	for limit, ok := range map[int]bool{3: true, 2: false, 4: true, 0: false} {
		n, last, found := p.nominal().need(limit)
		// 60 → 30, 30.4 → 15.2, 15.6 → 7.8: the third trimmed leaves 9 of 15.6.
		if found != ok || ok && (n != 3 || !near(last, 100*(15.6-9)/15.6, 0, 1e-9)) || !ok && n != limit {
			t.Errorf("within %d: %d, the last of %v L, %v", limit, n, last, found)
		}
	}
}

// TestADipLongPast: after twelve days the level falls so slowly that rounding alone bends it; that it fell to
// 14 µg/L in the first hours and came back is suspected all the same.
func TestADipLongPast(t *testing.T) {
	d := Dynamics{VolumeL: 734, Source: Source{MgH: 0.578, HalfLifeH: 14.2}, BoundRatio: 1.42, BoundRatePerH: 1.16, ExchangeLH: 272, ExchangeUgL: 36.1}
	s := State{AtH: 24.3, UgL: 19.1, BoundUg: 1665}
	end, mayDip, ok := (&transitions{hours: 287}).over(d, s)
	if low := d.Lowest(s, 287); !ok || !mayDip || !near(low, 14, 0, 0.01) || end.UgL < 36 || !near(low, searched(func(t float64) float64 { return d.After(s, t).UgL }, 287), 0, 1e-7) {
		t.Errorf("from 19.1 down to %v and up to %v: suspected %v", low, end.UgL, mayDip)
	}
}
