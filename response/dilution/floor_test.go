package dilution

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// path follows unlimited changes of litres of a water, from a start on.
type path struct {
	d              Dynamics
	litres, newUgL float64
	everyH         float64
	low            float64
}

// look lowers the lowest level seen to that of the interval from s on, searched for at 6 moments and
// then between the neighbours of the lowest.
func (x *path) look(s State) {
	const parts = 6
	best, at := s.UgL, 0.0
	level := func(t float64) float64 { return x.d.After(s, t).UgL }
	for i := 1; i <= parts; i++ {
		if c := level(x.everyH * float64(i) / parts); c < best {
			best, at = c, x.everyH*float64(i)/parts
		}
	}
	if best >= x.low*(1+1e-3) {
		return
	}
	x.low = min(x.low, best, trough(level, max(0, at-x.everyH/parts), min(x.everyH, at+x.everyH/parts)))
}

// trough is the lowest of a function between a and b, where it falls and then rises: by thirds.
func trough(f func(float64) float64, a, b float64) float64 {
	for range 45 {
		if t, u := a+(b-a)/3, b-(b-a)/3; f(t) < f(u) {
			b = u
		} else {
			a = t
		}
	}
	return f(a)
}

func (x *path) next(s State) State {
	return x.d.Change(x.d.After(s, x.everyH), x.litres, x.newUgL)
}

// forEver is where 2^50 more changes lead when nothing is still to end or fade: the map of one of
// them, probed at three states, squared fifty times.
func (x *path) forEver(s State) State {
	probe := func(c, b float64) (float64, float64) {
		y := s
		y.UgL, y.BoundUg = c, b
		z := x.next(y)
		return z.UgL * x.d.VolumeL, z.BoundUg
	}
	v := x.d.VolumeL
	var m [3][3]float64
	m[0][2], m[1][2] = probe(0, 0)
	w, b := probe(1/v, 0)
	m[0][0], m[1][0] = w-m[0][2], b-m[1][2]
	w, b = probe(0, 1)
	m[0][1], m[1][1] = w-m[0][2], b-m[1][2]
	m[2][2] = 1
	for range 50 {
		var n [3][3]float64
		for i := range 3 {
			for j := range 3 {
				for k := range 3 {
					n[i][j] += m[i][k] * m[k][j]
				}
			}
		}
		m = n
	}
	c0, b0 := s.UgL*v, s.BoundUg
	s.UgL, s.BoundUg = (m[0][0]*c0+m[0][1]*b0+m[0][2])/v, m[1][0]*c0+m[1][1]*b0+m[1][2]
	return s
}

// turning holds what is said of a path against what comes: that the level after the changes is yet to turn.
type turning struct {
	t    *testing.T
	d    Dynamics
	said int // 1: a turn is to come; -1: none is
}

func (x *turning) follow(s, next State, turns bool) {
	rises := next.UgL > s.UgL*(1+1e-9)
	switch {
	case rises && turns:
		x.t.Fatalf("a rise from %v to %v is yet to turn (%+v)", s, next, x.d)
	case rises && x.said < 0:
		x.t.Fatalf("rises from %v to %v, though it was said not to (%+v)", s, next, x.d)
	case comes(x.d, s) || next.UgL > s.UgL*(1-1e-9):
		x.said = 0
	case x.said > 0 && !turns || x.said < 0 && turns:
		x.t.Fatalf("still falling from %v to %v, but no longer the same is said of a turn: %v (%+v)", s, next, turns, x.d)
	case turns:
		x.said = 1
	default:
		x.said = -1
	}
}

// comes reports whether something is still to end from s on: the source, or the media.
func comes(d Dynamics, s State) bool {
	source := d.Source.MgH > 0 && (d.Source.UntilH > s.AtH || d.Source.UntilH == 0 && d.Source.HalfLifeH > 0 && s.AtH < 60*d.Source.HalfLifeH)
	return source || d.ClearanceLH > 0 && d.CapacityMg > 0 && s.CapturedUg < d.CapacityMg*1000
}

// TestFloorBesideThePathItself: the lowest of all changes until nothing more ends or fades, and of
// where they lead for ever, is the floor; it is attained where the path went under where it leads.
func TestFloorBesideThePathItself(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 9))
	counts := map[string]int{}
	for range 160 {
		p := someProblem(r)
		k := p.Contaminants[0]
		if r.IntN(3) == 0 { // what dips under its limit: a source for ever, and rock that is still filling
			k.Source.UntilH, k.Source.HalfLifeH, k.CapacityMg = 0, 0, 0
			k.BoundRatio, k.BoundRatePerH, p.EveryH = 0.3+3*r.Float64(), 0.002+0.1*r.Float64(), p.EveryH*2
		}
		if r.IntN(8) == 0 {
			p.ChangeL = p.Volume.Value
		}
		d := k.Dynamics(p.Volume.Value)
		floor, attained := d.Floor(k.Start.Value, k.New.Value, p.ChangeL, p.EveryH)
		x := &path{d: d, litres: p.ChangeL, newUgL: k.New.Value, everyH: p.EveryH, low: k.Start.Value}
		s := d.Change(d.Start(k.Start.Value), p.ChangeL, k.New.Value)
		n := 0
		turn := &turning{t: t, d: d}
		for ; n < 300; n++ {
			x.look(s)
			next := x.next(s)
			turn.follow(s, next, d.turnsLater(s, next, p.ChangeL, p.EveryH))
			if !comes(d, s) && math.Abs(next.UgL-s.UgL) < 1e-10*s.UgL && math.Abs(next.BoundUg-s.BoundUg) <= 1e-10*s.BoundUg {
				break
			}
			s = next
		}
		if x.low < floor*(1-1e-9) {
			t.Fatalf("%v on the path, floor %v (%+v, %+v)", x.low, floor, p, k)
		}
		if comes(d, s) {
			counts["still to come"]++
			continue
		}
		d.Source.HalfLifeH *= 1e-9 // what is left of a source that faded
		y := &path{d: d, litres: p.ChangeL, newUgL: k.New.Value, everyH: p.EveryH, low: math.Inf(1)}
		y.look(y.forEver(s))
		if want := min(x.low, y.low); !near(floor, want, 1e-9, 1e-7) {
			t.Fatalf("floor %v, but the path comes down to %v and leads to %v (%+v, %+v)", floor, x.low, y.low, p, k)
		}
		under := x.low < y.low*(1-1e-6)
		if p.ChangeL < p.Volume.Value && attained != under {
			t.Fatalf("attained %v, but the path comes down to %v and leads to %v (%+v, %+v)", attained, x.low, y.low, p, k)
		}
		if under && x.low < k.Start.Value {
			counts["under where it leads"]++
		} else if !under {
			counts["where it leads"]++
		}
	}
	t.Logf("%v", counts)
	if counts["where it leads"] < 80 || counts["under where it leads"] < 15 || counts["still to come"] > 30 {
		t.Errorf("%v", counts)
	}
}

// TestFloorOfDilutionAlone: water that is no cleaner leaves the start, all of the water at once leaves
// the new water, parts of it come near it only.
func TestFloorOfDilutionAlone(t *testing.T) {
	d := Dynamics{VolumeL: 100}
	for _, c := range []struct {
		start, fresh, litres, floor float64
		attained                    bool
	}{
		{60, 70, 30, 60, true}, {60, 60, 30, 60, true}, {60, 59, 30, 59, false}, {60, 5, 100, 5, true}, {60, 5, 99.9, 5, false}, {0, 0, 30, 0, true},
	} {
		if floor, attained := d.Floor(c.start, c.fresh, c.litres, 4); floor != c.floor || attained != c.attained {
			t.Errorf("%+v: %v, %v", c, floor, attained)
		}
	}
	for _, c := range []struct {
		low    lowest
		target float64
		ok     bool
	}{{lowest{3, true}, 3, true}, {lowest{3, false}, 3, false}, {lowest{3, false}, 3.01, true}, {lowest{3, true}, 2.99, false}, {lowest{3, false}, 2.99, false}} {
		if got := c.low.reaches(c.target); got != c.ok {
			t.Errorf("%+v reaches %v: %v", c.low, c.target, got)
		}
	}
}

// TestNothingIsOnlyComeNear: media and clean water leave less and less and never nothing, however rounding falls
// in the slower and the faster mode of a water whose rock holds none.
func TestNothingIsOnlyComeNear(t *testing.T) {
	for i := range 40 {
		rate := 0.05 + 0.05*float64(i)
		d := Dynamics{VolumeL: 24.469593445090165, ClearanceLH: 24 * rate, BoundRatePerH: 0.0169}
		for _, everyH := range []float64{1.3, 7.1, 18.83} {
			if floor, attained := d.Floor(277, 0, 11.3, everyH); floor > 1e-280 || attained {
				t.Errorf("%v/h, every %v h: %v, attained %v", rate, everyH, floor, attained)
			}
		}
	}
}

// TestTheFasterModeIsARoot: of the characteristic polynomial of the map, (ww − x)(bb − x) = wb·bw, and the smaller
// one; with rock that holds nothing it is ww itself.
func TestTheFasterModeIsARoot(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 13))
	for range 200 {
		m := cycleMap{r.Float64(), r.Float64(), r.Float64(), r.Float64()}
		if r.IntN(2) == 0 {
			m.wb *= 1e-12 // rock that hardly exchanges
		}
		over := m.overFaster()
		if other := over + m.bb - m.ww; !near(over*other, m.wb*m.bw, 0, 1e-9) && over < 1e-3 || over < 0 || other < -1e-15 {
			t.Errorf("%+v: ww less %v is no eigenvalue under both", m, over)
		}
	}
	if over := (cycleMap{0.3, 0, 0.1, 0.7}).overFaster(); over != 0 {
		t.Errorf("without rock: %v", over)
	}
}

// TestRockThatExchangesNothing holds what it holds: with a ratio or a rate alone the floor is that of no rock.
func TestRockThatExchangesNothing(t *testing.T) {
	d := Dynamics{VolumeL: 640, Source: Source{MgH: 0.64}}
	want, attained := d.Floor(60, 1, 320, 4)
	for _, rock := range []Dynamics{{BoundRatio: 2}, {BoundRatePerH: 0.3}} {
		d.BoundRatio, d.BoundRatePerH = rock.BoundRatio, rock.BoundRatePerH
		if got, there := d.Floor(60, 1, 320, 4); !near(got, want, 0, 1e-12) || there != attained || !near(want, 5, 0, 1e-9) {
			t.Errorf("%+v: floor %v %v, without rock %v %v", rock, got, there, want, attained)
		}
	}
}

// TestWhatIsSettled: a source that is still to end or to fade, and media that are still to be used up, are not.
func TestWhatIsSettled(t *testing.T) {
	for _, c := range []struct {
		d    Dynamics
		s    State
		want bool
	}{
		{Dynamics{}, State{}, true}, {Dynamics{Source: Source{MgH: 0.5}}, State{}, true},
		{Dynamics{Source: Source{MgH: 0.5, UntilH: 0.5}}, State{}, false}, {Dynamics{Source: Source{MgH: 0.5, UntilH: 8}}, State{AtH: 7.9}, false}, {Dynamics{Source: Source{MgH: 0.5, UntilH: 8}}, State{AtH: 8}, true},
		{Dynamics{Source: Source{MgH: 0.5, HalfLifeH: 0.5}}, State{}, false}, {Dynamics{Source: Source{MgH: 0.5, HalfLifeH: 0.5}}, State{AtH: 19}, false}, {Dynamics{Source: Source{MgH: 0.5, HalfLifeH: 0.5}}, State{AtH: 21}, true},
		{Dynamics{Source: Source{MgH: 0.5, UntilH: 8, HalfLifeH: 0.1}}, State{AtH: 7}, false}, {Dynamics{Source: Source{MgH: 0.5, UntilH: 8, HalfLifeH: 4}}, State{AtH: 9}, true},
		{Dynamics{Source: Source{UntilH: 8, HalfLifeH: 4}}, State{}, true},
		{Dynamics{ClearanceLH: 0.5, CapacityMg: 0.5}, State{}, false}, {Dynamics{ClearanceLH: 0.5, CapacityMg: 0.5}, State{CapturedUg: 499}, false}, {Dynamics{ClearanceLH: 0.5, CapacityMg: 0.5}, State{CapturedUg: 500}, true},
		{Dynamics{ClearanceLH: 0.5}, State{}, true}, {Dynamics{ClearanceLH: 0.5}, State{CapturedUg: 3}, true}, {Dynamics{CapacityMg: 0.5}, State{}, true},
	} {
		if got := c.d.settled(c.s); got != c.want {
			t.Errorf("%+v at %+v: settled %v", c.d, c.s, got)
		}
	}
}

// TestWhetherAFallTurnsIsWhatComes: with rock that may hold more or less than its share, the levels after
// changes fall and rise again if and only if that is said beforehand, from each change on.
func TestWhetherAFallTurnsIsWhatComes(t *testing.T) {
	r := rand.New(rand.NewPCG(19, 4))
	counts := map[bool]int{}
	for range 300 {
		v := 20 + 2000*r.Float64()
		d := Dynamics{VolumeL: v, BoundRatio: math.Exp(4*r.Float64() - 2), BoundRatePerH: math.Exp(6*r.Float64() - 5)}
		if r.IntN(2) == 0 {
			d.ClearanceLH = v * math.Exp(4*r.Float64()-5)
		}
		if r.IntN(2) == 0 {
			d.Source.MgH = v * math.Exp(4*r.Float64()-8)
		}
		changeL, everyH, newUgL := v*(0.05+0.8*r.Float64()), math.Exp(3*r.Float64()-1), 5*r.Float64()
		s := d.Start(100 * r.Float64())
		if s.BoundUg *= 4 * r.Float64(); d.Source.MgH > 0 {
			s.BoundUg *= 0.02 // rock that is still filling
		}
		s = d.Change(s, changeL, newUgL)
		var levels []float64
		var said []bool
		for range 400 {
			next := d.Change(d.After(s, everyH), changeL, newUgL)
			levels, said = append(levels, s.UgL), append(said, d.turnsLater(s, next, changeL, everyH))
			s = next
		}
		for i := 0; i+2 < len(levels); i++ {
			if levels[i+1] >= levels[i]*(1-1e-6) {
				break // it rises by now, or no more falls by enough to tell
			}
			lowest := slices.Min(levels[i:])
			rises := levels[len(levels)-1] > lowest*(1+1e-6)
			if !rises && levels[len(levels)-1] > lowest*(1+1e-12) {
				continue // by too little to tell
			}
			counts[rises]++
			if said[i] != rises {
				t.Fatalf("change %d of %+v, %g L every %g h: said to turn %v, levels %v …, lowest %v, at the end %v", i, d, changeL, everyH, said[i], levels[i:i+3], lowest, levels[len(levels)-1])
			}
		}
	}
	if counts[true] < 100 || counts[false] < 100 {
		t.Errorf("%v", counts)
	}
}
