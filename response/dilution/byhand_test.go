package dilution

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tidehold/refs/units"
)

// usual is a problem that can be planned.
func usual() Problem {
	return Problem{Volume: units.Exact(640), ChangeL: 288, EveryH: 4, Confidence: 0.9, Trials: 1000, Trim: true,
		Contaminants: []Contaminant{{Name: "copper", Start: units.Exact(60), Target: 3.1, New: units.Exact(1)}}}
}

// TestWhatCanBePlanned: each bound from both sides, and the words for what lies outside.
func TestWhatCanBePlanned(t *testing.T) {
	unsure := func(p *Problem) { p.Contaminants[0].Start.U = 5 }
	for _, c := range []struct {
		name string
		in   func(p *Problem, x float64)
		x    float64
		ok   bool
	}{
		{"change", func(p *Problem, x float64) { p.ChangeL = x }, 640, true}, {"change", func(p *Problem, x float64) { p.ChangeL = x }, 640.01, false}, {"change", func(p *Problem, x float64) { p.ChangeL = x }, 0, false},
		{"most", func(p *Problem, x float64) { p.MaxChangeL = x }, 288, true}, {"most", func(p *Problem, x float64) { p.MaxChangeL = x }, 287.9, false},
		{"every", func(p *Problem, x float64) { p.EveryH = x }, 1.0 / 60, true}, {"every", func(p *Problem, x float64) { p.EveryH = x }, 0.9 / 60, false}, {"every", func(p *Problem, x float64) { p.EveryH = x }, 8760, true}, {"every", func(p *Problem, x float64) { p.EveryH = x }, 8761, false},
		{"confidence", func(p *Problem, x float64) { unsure(p); p.Confidence = x }, 0.5, true}, {"confidence", func(p *Problem, x float64) { unsure(p); p.Confidence = x }, 0.499, false},
		{"confidence", func(p *Problem, x float64) { unsure(p); p.Confidence = x }, 0.999, true}, {"confidence", func(p *Problem, x float64) { unsure(p); p.Confidence = x }, 0.9991, false},
		{"trials", func(p *Problem, x float64) { unsure(p); p.Trials = int(x) }, 1000, true}, {"trials", func(p *Problem, x float64) { unsure(p); p.Trials = int(x) }, 999, false},
		{"flow", func(p *Problem, x float64) { p.Continuous, p.FlowLH = true, x }, 1e9, true}, {"flow", func(p *Problem, x float64) { p.Continuous, p.FlowLH = true, x }, 1.005e9, false}, {"flow", func(p *Problem, x float64) { p.Continuous, p.FlowLH = true, x }, -1, false},
		{"water", func(p *Problem, x float64) { p.Limited, p.WaterL = true, x }, 0, true}, {"water", func(p *Problem, x float64) { p.Limited, p.WaterL = true, x }, 1e12, true}, {"water", func(p *Problem, x float64) { p.Limited, p.WaterL = true, x }, 1.005e12, false}, {"water", func(p *Problem, x float64) { p.Limited, p.WaterL = true, x }, -1, false},
		{"start", func(p *Problem, x float64) { p.Contaminants[0].Start.Value = x }, 1e12, true}, {"start", func(p *Problem, x float64) { p.Contaminants[0].Start.Value = x }, 1.005e12, false}, {"start", func(p *Problem, x float64) { p.Contaminants[0].Start.Value = x }, -1, false},
		{"start's ±", func(p *Problem, x float64) { p.Contaminants[0].Start.U = x }, 1.005e12, false}, {"start's ±", func(p *Problem, x float64) { p.Contaminants[0].Start.U = x }, -1, false},
		{"target", func(p *Problem, x float64) { p.Contaminants[0].Target = x }, 1e12, true}, {"target", func(p *Problem, x float64) { p.Contaminants[0].Target = x }, 1.005e12, false}, {"target", func(p *Problem, x float64) { p.Contaminants[0].Target = x }, 0, true},
		{"new", func(p *Problem, x float64) { p.Contaminants[0].New.Value = x }, 1.005e12, false}, {"new", func(p *Problem, x float64) { p.Contaminants[0].New.Value = x }, 0, true}, {"new's ±", func(p *Problem, x float64) { p.Contaminants[0].New.U = x }, 1.005e12, false},
		{"source", func(p *Problem, x float64) { p.Contaminants[0].Source.MgH = x }, 1e9, true}, {"source", func(p *Problem, x float64) { p.Contaminants[0].Source.MgH = x }, 1.005e9, false},
		{"until", func(p *Problem, x float64) { p.Contaminants[0].Source.UntilH = x }, 1e6, true}, {"until", func(p *Problem, x float64) { p.Contaminants[0].Source.UntilH = x }, 1.005e6, false},
		{"half-life", func(p *Problem, x float64) { p.Contaminants[0].Source.HalfLifeH = x }, 1e6, true}, {"half-life", func(p *Problem, x float64) { p.Contaminants[0].Source.HalfLifeH = x }, 1.005e6, false},
		{"media", func(p *Problem, x float64) { p.Contaminants[0].ClearanceLH = x }, 1.005e9, false}, {"capacity", func(p *Problem, x float64) { p.Contaminants[0].CapacityMg = x }, 1.005e12, false},
		{"NaN", func(p *Problem, x float64) { p.Contaminants[0].Start.Value = x }, math.NaN(), false}, {"infinite", func(p *Problem, x float64) { p.Volume.Value = x }, math.Inf(1), false},
	} {
		p := usual()
		c.in(&p, c.x)
		err := p.Check()
		var bad *InputError
		if (err == nil) != c.ok || err != nil && !errors.As(err, &bad) {
			t.Errorf("%s of %g: %v", c.name, c.x, err)
		}
	}
	p := usual()
	p.ChangeL, p.MaxChangeL = 320, 288
	if err := p.Check(); err == nil || !strings.Contains(err.Error(), "a change of 320 L is larger than the 288 L that may be out at once; up to 45 % of the volume") {
		t.Error(err)
	}
	p = usual()
	p.Contaminants[0].Start.U, p.Confidence = 5, 0.3
	if err := p.Check(); err == nil || !strings.Contains(err.Error(), "30 %") {
		t.Error(err)
	}
}

// TestWhichContaminantControls: one out of reach comes before one that needs many changes; of two
// in reach the one with more changes, then the larger last one; of two out of reach the further.
func TestWhichContaminantControls(t *testing.T) {
	of := func(name string, start, target, fresh, source float64) Contaminant {
		return Contaminant{Name: name, Start: units.Exact(start), Target: target, New: units.Exact(fresh), Source: Source{MgH: source}}
	}
	for _, c := range []struct {
		list []Contaminant
		want string
	}{
		{[]Contaminant{of("a", 500, 10, 9, 0.17), of("b", 600, 9.5, 1.8, 0)}, "a"},
		{[]Contaminant{of("b", 600, 9.5, 1.8, 0), of("a", 500, 10, 9, 0.17)}, "a"},
		{[]Contaminant{of("few", 20, 10, 0, 0), of("many", 200, 10, 0, 0)}, "many"},
		{[]Contaminant{of("many", 200, 10, 0, 0), of("few", 20, 10, 0, 0)}, "many"},
		{[]Contaminant{of("less", 13, 10, 0, 0), of("more", 14, 10, 0, 0)}, "more"},
		{[]Contaminant{of("near", 50, 10, 11, 0), of("far", 50, 10, 30, 0)}, "far"},
		{[]Contaminant{of("far", 50, 10, 30, 0), of("near", 50, 10, 11, 0)}, "far"},
		{[]Contaminant{of("none", 50, 0, 1, 0), of("far", 50, 10, 30, 0)}, "none"},
		{[]Contaminant{of("there", 5, 10, 0, 0), of("nearly", 9, 10, 0, 0)}, "nearly"},
		{[]Contaminant{of("there", 5, 10, 0, 0), of("lowers", 11, 10, 0, 0)}, "lowers"},
		{[]Contaminant{of("one", 50, 10, 30, 0), of("as far", 100, 20, 60, 0)}, "one"},
		{[]Contaminant{of("one", 64, 8, 0, 0), of("as many", 128, 16, 0, 0)}, "one"},
		{[]Contaminant{of("one", 4, 8, 0, 0), of("as near", 8, 16, 0, 0)}, "one"},
	} {
		p := usual()
		p.Volume, p.ChangeL, p.Contaminants = units.Exact(120), 46, c.list
		plan, err := p.Plan()
		if err != nil || c.list[plan.Controlling].Name != c.want {
			t.Errorf("%s and %s: %v, %v; want %s", c.list[0].Name, c.list[1].Name, plan.Controlling, err, c.want)
		}
	}
}

// TestANumberOfChangesAtTheEdge: water at the target never gets there by parts; all of it does.
func TestANumberOfChangesAtTheEdge(t *testing.T) {
	for _, c := range []struct {
		start, target, fresh, share float64
		n                           int
		ok                          bool
	}{
		{60, 3, 3, 0.45, 0, false}, {60, 3, 3, 1, 1, true}, {60, 3, 3.1, 1, 0, false}, {60, 3, 2.9, 0.45, 11, true}, {3, 3, 9, 0.45, 0, true}, {60, 30, 0, 0.5, 1, true}, {60, 15, 0, 0.5, 2, true}, {60, 14.9, 0, 0.5, 3, true},
	} {
		if n, ok := ChangesNeeded(c.start, c.target, c.fresh, c.share); n != c.n || ok != c.ok {
			t.Errorf("%+v: %d, %v", c, n, ok)
		}
	}
	if _, ok := ExchangeNeeded(60, 3, 3); ok {
		t.Error("a continuous exchange with water at the target gets there")
	}
	if v, ok := ExchangeNeeded(60, 60/math.E, 0); !ok || !(math.Abs(v-1) <= 1e-12) {
		t.Errorf("one volume leaves 1/e: %g, %v", v, ok)
	}
}

// TestSharesOfTheTrials: of 100 trials of which 50 need one change, half need no more than one;
// the last changes are those of that rank, whatever their order.
func TestSharesOfTheTrials(t *testing.T) {
	x := tally{trials: 100}
	for i := range 100 {
		x.add(need{n: int32(1 + i/50), last: float64(i)}, anyNumber)
	}
	for share, want := range map[float64]int{0.01: 1, 0.5: 1, 0.501: 2, 0.9: 2, 1: 2} {
		if n := x.changes(share); n == nil || *n != want {
			t.Errorf("%g of the trials: %v, want %d", share, n, want)
		}
	}
	for share, want := range map[float64]float64{0.001: 0, 0.01: 0, 0.02: 1, 0.5: 49, 0.25: 24, 0.51: 50, 0.9: 89, 1: 99} {
		if got := x.last(share, *x.changes(share)); got != want {
			t.Errorf("the last change in %g of the trials: %g, want %g", share, got, want)
		}
	}
	y := tally{trials: 10}
	for range 4 {
		y.add(need{n: 2}, 0)
	}
	for range 6 {
		y.add(need{n: never}, 0)
	}
	if n := y.changes(0.4); n == nil || *n != 2 {
		t.Errorf("%v", n)
	}
	if n := y.changes(0.41); n != nil {
		t.Errorf("more than get there: %d", *n)
	}
	r := rand.New(rand.NewPCG(2, 3))
	for range 200 {
		list := make([]float64, 1+r.IntN(300))
		for i := range list {
			list[i] = math.Round(r.NormFloat64()*20) / 4
		}
		sorted := slices.Sorted(slices.Values(list))
		for range 5 {
			if rank := r.IntN(len(list)); ranked(list, rank) != sorted[rank] {
				t.Fatalf("rank %d of %v: %g, want %g", rank, sorted, ranked(list, rank), sorted[rank])
			}
		}
	}
}

// TestTheSameLitresOtherwise: one change of all where the litres allow it, ten times as many, and
// run through; by the closed forms.
func TestTheSameLitresOtherwise(t *testing.T) {
	split := func(p Problem) map[int]Split {
		plan, err := p.Plan()
		if err != nil {
			t.Fatal(err)
		}
		out := map[int]Split{}
		for _, s := range plan.Splits {
			out[s.Changes] = s
		}
		return out
	}
	p := usual()
	p.Trim, p.ChangeL, p.Contaminants[0].Target, p.Contaminants[0].New.Value = false, 160, 34, 0 // two quarters: 60 → 33.75
	got := split(p)
	for n, want := range map[int]Split{1: {1, 320, 30}, 20: {20, 16, 60 * math.Pow(1-1.0/40, 20)}, 0: {0, 320, 60 * math.Exp(-0.5)}} {
		if s, ok := got[n]; !ok || !(math.Abs(s.EachL-want.EachL) <= 1e-9) || !(math.Abs(s.Final-want.Final) <= 1e-9) {
			t.Errorf("%d changes: %+v, want %+v", n, s, want)
		}
	}
	p.Contaminants[0].Target = 50 // one change: nothing to compare with one
	if got := split(p); len(got) != 2 || got[1].EachL != 0 {
		t.Errorf("%+v", got)
	}
	p.Contaminants[0].Target = 10 // seven quarters are more than the volume
	if got := split(p); got[1].EachL != 0 {
		t.Errorf("%+v", got)
	}
	p.Continuous, p.Contaminants[0].Target = true, 60*math.Exp(-1.2)
	if got := split(p); len(got) != 1 || !(math.Abs(got[3].EachL-256) <= 1e-3) || !(math.Abs(got[3].Final-60*0.6*0.6*0.6) <= 1e-3) {
		t.Errorf("%+v", got)
	}
	p.Contaminants[0].Source.MgH = 0.01
	p.FlowLH = 100
	if got := split(p); len(got) != 0 {
		t.Errorf("something is added: %+v", got)
	}
}

// TestWhatLowersTheFloor: only what does, the most first.
func TestWhatLowersTheFloor(t *testing.T) {
	p := usual()
	p.Contaminants[0].New.Value, p.Contaminants[0].Source.MgH = 3, 1
	plan, err := p.Plan()
	if err != nil || plan.Reachable {
		t.Fatalf("%+v, %v", plan, err)
	}
	for i, l := range plan.Levers {
		if !(l.Floor < plan.Floor) || i > 0 && l.Floor < plan.Levers[i-1].Floor {
			t.Errorf("%+v, floor %g", plan.Levers, plan.Floor)
		}
	}
	names := map[Remedy]bool{}
	for _, l := range plan.Levers {
		names[l.What] = true
	}
	if !names[StopSource] || !names[CleanerWater] || !names[TwiceAsOften] || !names[LargerChanges] || names[ClearRock] || names[FreshMedia] || names[FasterFlow] {
		t.Errorf("%v", names)
	}
}

// TestAFloorOnTheTarget: the target is what the new water brings, and rock gives back: not
// reached (V 340 L, 4.4 µg/L, 42.8 L a change, ratio 0.34 at 0.084/h).
func TestAFloorOnTheTarget(t *testing.T) {
	p := usual()
	p.Volume, p.ChangeL = units.Exact(340), 42.8
	p.Contaminants = []Contaminant{{Name: "x", Start: units.Exact(4.4), Target: 0.00276, New: units.Exact(0.00276), BoundRatio: 0.34, BoundRatePerH: 0.084}}
	plan, err := p.Plan()
	if err != nil || plan.Reachable {
		t.Errorf("reachable %v, floor %g, %v", plan.Reachable, plan.Floor, err)
	}
	p.Contaminants[0].Target = 0.0028
	if plan, err := p.Plan(); err != nil || !plan.Reachable {
		t.Errorf("a little above: reachable %v, %v", plan.Reachable, err)
	}
}

// TestAMomentThatRoundingMoves: media that are used up at 2.5 h and a fading source; the level
// falls through the target at 2.955 h, and the search for that moment went on by 4e-16 h at a
// time until it gave up: "more than 10000 changes would be needed" of a continuous exchange.
func TestAMomentThatRoundingMoves(t *testing.T) {
	p := Problem{Volume: units.Exact(516.0000002384186), ChangeL: 464.4, EveryH: 1, FlowLH: 64.52411273122948, Continuous: true, Contaminants: []Contaminant{{Name: "it", Start: units.Exact(9), Target: 4.5,
		New: units.Exact(0.2816619873046875), Source: Source{MgH: 1, HalfLifeH: 0.5}, ClearanceLH: 274.12500012665987, CapacityMg: 2}}}
	plan, err := p.Plan()
	if err != nil || plan.DoneAtH == nil || !(math.Abs(*plan.DoneAtH-2.954995141) <= 1e-8) || !(math.Abs(plan.Final-4.5) <= 1e-6) {
		t.Errorf("%+v, %v, want 4.5 after 2.955 h", plan, err)
	}
}

// TestMediaInWaterThatIsExchanged: what media catch of what new water brings, beside numerical
// integration: new water of 30 µg/L at 20 L/h, with and without rock.
func TestMediaInWaterThatIsExchanged(t *testing.T) {
	for _, d := range []Dynamics{
		{VolumeL: 100, ClearanceLH: 15, ExchangeLH: 20, ExchangeUgL: 30},
		{VolumeL: 100, ClearanceLH: 15, ExchangeLH: 20, ExchangeUgL: 30, BoundRatio: 0.8, BoundRatePerH: 0.3},
		{VolumeL: 100, ClearanceLH: 15, ExchangeLH: 20, ExchangeUgL: 30, BoundRatio: 0.8, BoundRatePerH: 0.3, Source: Source{MgH: 2, HalfLifeH: 3}},
		{VolumeL: 100, ClearanceLH: 15, CapacityMg: 4, ExchangeLH: 20, ExchangeUgL: 30, Source: Source{MgH: 2, UntilH: 5}},
	} {
		for _, dt := range []float64{0.5, 4, 30} {
			s := d.Start(50)
			want, _ := rk4(d, s, 0, dt, 4000)
			got := d.After(s, dt)
			if !near(got.UgL, want.UgL, 1e-6, 1e-6) || !near(got.CapturedUg, want.CapturedUg, 1e-3, 1e-6) || !near(got.BoundUg, want.BoundUg, 1e-6, 1e-6) {
				t.Errorf("%+v, %g h: %+v, integration gives %+v", d, dt, got, want)
			}
		}
	}
}

// TestLittleThingsOfAPlan: no change where there is nothing to bring down; half a litre of doubt
// is doubt; a result just its ± above the target is undecided.
func TestLittleThingsOfAPlan(t *testing.T) {
	for c, want := range map[float64]float64{3: 0, 2: 0, 6: 320} {
		if got := LastChange(640, c, 3, 0); got != want {
			t.Errorf("from %g to 3: %g L, want %g", c, got, want)
		}
	}
	p := usual()
	if p.Uncertain() {
		t.Error("all is exact")
	}
	p.Volume.U = 0.5
	if !p.Uncertain() {
		t.Error("640 ± 0.5 L are exact")
	}
	for result, want := range map[float64]Verdict{10: Undecided, 10.01: Above, 6: Below, 6.01: Undecided} {
		if got := Judge(result, 2, 8, false); got != want {
			t.Errorf("%g ± 2 against 8: %s, want %s", result, got, want)
		}
	}
}
