package schedule

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// Every choice is explored once: the first one first or, where detours are few and a plan is
// there, last.
func TestTurnsExploreEveryChoiceOnce(t *testing.T) {
	for _, late := range []bool{false, true} {
		x := &search{found: late, r: rules{Detours: 1}}
		for n := 1; n <= 5; n++ {
			for first := range n {
				turn, seen := x.turns(first, n), []int(nil)
				for k := range n {
					seen = append(seen, turn(k))
				}
				at := 0
				if late {
					at = n - 1
				}
				if seen[at] != first {
					t.Errorf("late %v: %v, the first choice is %d", late, seen, first)
				}
				rest := slices.Delete(slices.Clone(seen), at, at+1)
				if !slices.IsSorted(rest) || len(slices.Compact(append(rest, first))) != n {
					t.Errorf("late %v, %d of %d: %v", late, first, n, seen)
				}
			}
		}
	}
	all := &search{found: true, r: rules{Detours: anyDetours}}
	if all.turns(2, 3)(0) != 2 {
		t.Error("who tries everything begins with the first choice")
	}
}

// What is better than a bound is hopeless to look for, what is as good as one is the best.
func TestAtBestAndHopeless(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 300, 440))
	p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.5, 24)}})
	b := p.bound(&p.start, worst())
	for _, c := range []struct {
		is             score
		best, hopeless bool
	}{
		{b, true, true},
		{score{exposure: b.exposure * (1 + 1e-12)}, true, true},
		{score{exposure: b.exposure * 1.001}, false, false},
		{score{missed: 1, exposure: b.exposure}, false, false},
		{score{never: 1, exposure: b.exposure}, false, false},
		{score{exposure: b.exposure * 0.9}, true, true},
	} {
		x := &search{p: p, found: true, score: c.is}
		if x.atBest(b) != c.best || x.hopeless(&p.start) != c.hopeless {
			t.Errorf("%+v against %+v: at best %v, hopeless %v", c.is, b, x.atBest(b), x.hopeless(&p.start))
		}
		x.found = false
		if x.atBest(b) || x.hopeless(&p.start) {
			t.Error("nothing found is neither")
		}
	}
	late := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.5, 1)}}) // the second change is at 4 h
	if got := late.bound(&late.start, worst()); got.missed != 1 || got.never != 0 {
		t.Errorf("half within an hour: %+v", got)
	}
	if x := (&search{p: late, found: true, score: score{}}); !x.hopeless(&late.start) {
		t.Error("a plan in time is not to be beaten by one that is late")
	}
	short := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.9, 0)}})
	if got := short.bound(&short.start, worst()); got.missed != 1 || got.never != 1 {
		t.Errorf("nine tenths from 300 L: %+v", got)
	}
	short.start.doneH[0] = 3
	if got := short.bound(&short.start, worst()); got.missed != 0 || got.never != 0 || got.finishH != 3 {
		t.Errorf("reached: %+v", got)
	}
	two := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.5, 1), share(0.4, 24)}})
	two.start.doneH[0] = 3
	if got := two.bound(&two.start, worst()); got.missed != 1 || got.never != 0 || got.finishH < 3 {
		t.Errorf("one reached late, one ahead: %+v", got)
	}
}

// A change may grow while water is made, or before anything has been begun; not where it is as
// large as the drawdown or the target lets it be.
func TestWhatIsWorthWaitingFor(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 60, 440), vatOf("spare", 0, 300), pureOf("pure", 200, 300))
	s.Salts = []site.Salt{houseSalt(40)}
	p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.5, 24)}})
	var f state
	f.copyFrom(&p.start)
	for by, want := range map[plan.Limit]bool{plan.ByDrawdown: false, plan.ToTarget: false, plan.ByWater: true, plan.TemperatureStep: true} {
		if got := p.mayGrow(&f, by); got != want {
			t.Errorf("kept small by %s: may grow %v", by, got)
		}
	}
	x := &search{p: p}
	if x.mayWait(&f, plan.ByDrawdown) || !x.mayWait(&f, plan.ByWater) {
		t.Error("more water comes of the purified")
	}
	p.passTo(&f, 1)
	if p.mayGrow(&f, plan.ByWater) {
		t.Error("nothing is being made")
	}
	f.vats[1].readyH = 2
	if !p.mayGrow(&f, plan.ByWater) {
		t.Error("a batch is being mixed")
	}
	f.vats[1].readyH = math.Inf(1)
	if p.mayGrow(&f, plan.ByWater) {
		t.Error("what is over its age is not being made")
	}
	f.saltKg[0] = 0
	if x.mayWait(&f, plan.ByWater) {
		t.Error("no more comes without salt")
	}
}

// Work that nothing is drawn from is left out, unless the reserve is to be had from it.
func TestWorkForNothingIsLeftOut(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 300, 440), vatOf("spare", 0, 300), pureOf("pure", 200, 300))
	s.Salts = []site.Salt{houseSalt(40)}
	change := func(at, litres float64, vat int) move {
		return move{atH: at, kind: toChange, job: noJob, change: change{litres: litres, draws: []draw{{vat, litres}}, after: water{s: 35, c: 25, alk: 8}}}
	}
	batch := func(at, litres float64, vat int) move {
		return move{atH: at, kind: toWork, job: job{vat: vat, batchL: litres}}
	}
	for _, c := range []struct {
		name    string
		moves   []move
		reserve float64
		want    int
	}{
		{"drawn from", []move{batch(0, 100, 1), change(0, 150, 0), change(4, 50, 1)}, 0, 3},
		{"not drawn from", []move{change(0, 150, 0), batch(0, 100, 1), change(4, 50, 0)}, 0, 2},
		{"worked on before what is drawn from", []move{batch(0, 60, 1), change(0, 150, 0), batch(1, 50, 1), change(4, 50, 0)}, 0, 2},
		{"kept for the reserve", []move{change(0, 150, 0), batch(0, 100, 1), change(4, 150, 0)}, 90, 3},
		{"down to the reserve itself", []move{change(0, 150, 0), batch(0, 100, 1), change(4, 60, 0)}, 90, 2},
		{"not needed for the reserve", []move{change(0, 150, 0), batch(0, 100, 1), change(4, 50, 0)}, 90, 2},
	} {
		s.Reserve.Saltwater = 0
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.5, 24)}})
		p.reserveL = c.reserve
		if got := p.tidied(c.moves); len(got) != c.want {
			t.Errorf("%s: %d moves left, want %d", c.name, len(got), c.want)
		}
	}
	if got := lastChange([]move{change(1, 5, 0), batch(3, 5, 1)}); got != 1 {
		t.Errorf("the last change at %g h", got)
	}
}

// What an earlier plan leaves in a vat: what it warmed or worked on is there when it is through
// with it, any other water at any time.
func TestWhatAnEarlierPlanLeaves(t *testing.T) {
	p := &problem{tank: tank{own: water{c: 25}}}
	at := func(c float64, w *vessel) vat {
		v := vat{volL: 100, s: 35}
		p.heat(&v, w, c, 0)
		return v
	}
	cold, heated := &vessel{}, &vessel{heaterW: 200}
	for _, c := range []struct {
		name         string
		began        vat
		edit         func(*vat)
		w            *vessel
		fromH, freeH float64
		atC          float64
	}{
		{"drawn from", at(25, cold), func(v *vat) { v.volL, v.usedH = 40, 3 }, cold, 0, 3, 25},
		{"drawn from, cold", at(20, cold), func(v *vat) { v.volL, v.usedH = 40, 3 }, cold, 0, 3, 20},
		{"drawn from, and warmed", at(20, heated), func(v *vat) { v.volL, v.usedH = 40, 1 }, heated, 1, 1, at(20, heated).course.At(1)},
		{"with a heater, and warm", at(25, heated), func(v *vat) { v.volL, v.usedH = 40, 3 }, heated, 0, 3, 25},
		{"mixed", at(25, cold), func(v *vat) { v.batch, v.readyH, v.usedH = 1, 4, 2 }, cold, 4, 4, 25},
		{"cut", at(25, cold), func(v *vat) { v.s, v.usedH = 34, 2 }, cold, 2, 2, 25},
		{"too old", at(25, cold), func(v *vat) { v.readyH, v.usedH = math.Inf(1), 2 }, cold, 2, 2, 25},
	} {
		v := c.began
		c.edit(&v)
		got := takenOf(&v, &c.began, c.w)
		if got.fromH != c.fromH || got.freeH != c.freeH || !(math.Abs(got.c-c.atC) <= 1e-9) || got.usedH != 0 {
			t.Errorf("%s: from %g h, free at %g h, %g °C", c.name, got.fromH, got.freeH, got.c)
		}
	}
}

// What plans have used adds up: salt with what has been delivered, purified water at its least.
func TestWhatIsUsedAddsUp(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 300, 440), vatOf("idle", 50, 300), pureOf("pure", 200, 300))
	s.Salts = []site.Salt{houseSalt(40)}
	s.Deliveries = []site.Delivery{{AfterH: 1, SaltKg: 4}, {AfterH: 2, Saltwater: 80}}
	p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.5, 24)}})
	var f state
	f.copyFrom(&p.start)
	p.passTo(&f, 3)
	delivery, vat := 0, 0
	for k, w := range p.vessels {
		switch {
		case w.delivery == 1 || w.delivery == 2:
			delivery = k
		case w.id == "vat":
			vat = k
		}
	}
	p.change(&f, &change{litres: 90, draws: []draw{{vat, 60}, {delivery, 30}}, after: f.water})
	f.saltKg[0] -= 5
	f.pure = pool{150, 24, 3}
	used := newTaken()
	used.add(p, &f, 140)
	used.add(p, &f, 130)
	close2(t, "salt", used.saltKg["house"], 10, 1e-12)
	close2(t, "of the delivery", used.deliveredL[1], 60, 1e-12)
	close2(t, "purified now", used.pureNowL, 60+70, 1e-12)
	close2(t, "purified later", used.pureL, 130, 0)
	if used.pureC != 24 || used.pureH != 3 || len(used.vats) != 1 || used.vats[0].volL != 240 {
		t.Errorf("%+v", used)
	}
	var poured state // at the start, from a vat that nothing is drawn from
	poured.copyFrom(&p.start)
	poured.vats[1].volL -= 7
	kept := newTaken()
	if kept.add(p, &poured, math.Inf(1)); len(kept.vats)+len(kept.deliveredL) != 1 {
		t.Errorf("poured away, and not missed: %+v", kept)
	}
	c := used.clone()
	c.add(p, &f, math.Inf(1))
	if used.saltKg["house"] != 10 || used.deliveredL[1] != 60 || c.pureNowL != used.pureNowL || c.saltKg["house"] != 15 {
		t.Error("a copy changes what it is copied from, or a plan without work takes purified water")
	}
}

// Warm enough is what the mean of the warmest water there is and what stays in says.
func TestWarmEnoughTakesTheWarmestFirst(t *testing.T) {
	near, odd := vatOf("near", 100, 200), vatOf("odd", 60, 200)
	near.Water.Temperature, odd.Water.Salinity, odd.Water.Temperature = 22.5, 37.9, 26
	near.Heel = 10
	s := placeOf(reef(400), near, odd, vatOf("empty", 0, 50))
	p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.5, 24)}})
	for _, want := range []float64{20, 60, 90, 149, 170} {
		litres := min(want, 150)
		sum := (400 - litres) * 25
		if litres <= 60 {
			sum += litres * 26
		} else {
			sum += 60*26 + (litres-60)*22.5
		}
		mean := sum / 400
		b := p.allowed(&p.start)
		if p.warmAt(&p.start, 0, want, mean-1e-9, &b) < 0 || p.warmAt(&p.start, 0, want, mean+1e-6, &b) >= 0 {
			t.Errorf("%g L: warm enough for %g °C %v", want, mean, p.warmAt(&p.start, 0, want, mean-1e-9, &b))
		}
		if want <= 150 {
			close2(t, fmt.Sprintf("%g L mixed", want), p.mixedAt(&p.start, 0, want, &b), mean, 0.01)
		}
	}
}

// The moments of a house, by hand: what is mixed at 2 h, salt at 3 h, the interval at 4 h, a
// delivery at 5 h, what waits for its purified water at 6 h, a vat warm at 7 h, a change that
// the day held back at 21 h, nothing after it.
func TestMoments(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 300, 440), vatOf("spare", 0, 300), pureOf("pure", 200, 300))
	s.Salts = []site.Salt{houseSalt(40)}
	s.Deliveries = []site.Delivery{{AfterH: 3, SaltKg: 4}, {AfterH: 5, Saltwater: 80}}
	d := plan.Demand{Aims: []plan.Aim{share(0.5, 24)}, Held: []plan.Held{{State: plan.State{Salinity: 35, Temperature: 25}, UntilH: -3}}}
	p := laid(t, s, d)
	f := &p.start
	spare := 0
	for k, w := range p.vessels {
		if w.id == "spare" {
			spare = k
		}
	}
	f.vats[spare].volL, f.vats[spare].readyH, f.vats[spare].warmH = 50, 2, 7
	f.nextH, f.ask.dayCap, f.ask.planned, f.ask.freedH = 4, true, job{vat: spare, fromH: 6}, 1.5
	type moment struct {
		atH    float64
		change bool
	}
	var got []moment
	for {
		to, change := p.nextMoment(f)
		if !p.advance(f) {
			break
		}
		if f.atH != to {
			t.Errorf("at %g h instead of %g", f.atH, to)
		}
		if f.ask.change != (change && f.atH >= 4) {
			t.Errorf("at %g h a change may be decided: %v", f.atH, f.ask.change)
		}
		got = append(got, moment{f.atH, f.ask.change})
		if f.ask.planned.vat >= 0 && f.atH >= 6 {
			p.due(f)
		}
	}
	want := []moment{{1.5, false}, {2, false}, {3, false}, {4, true}, {5, true}, {6, false}, {7, true}, {21, true}}
	if !slices.Equal(got, want) {
		t.Errorf("moments %v, want %v", got, want)
	}
	if f.atH != p.horizonH || f.saltKg[0] != 44 {
		t.Errorf("it ends at %g h with %g kg of salt", f.atH, f.saltKg[0])
	}
	// By night nothing is begun: from noon, awake 07:00 to 18:00, the interval at 7 h is 19 h.
	p = laid(t, s, d)
	p.tank.awake = awake{clockH: 12, hours: site.Awake{FromH: 7, ToH: 18}, alwaysUntilH: 4}
	p.start.nextH = 7
	got = nil
	for p.advance(&p.start) {
		got = append(got, moment{p.start.atH, p.start.ask.change})
	}
	if want := []moment{{3, false}, {5, false}, {19, true}}; !slices.Equal(got, want) {
		t.Errorf("by night %v, want %v", got, want)
	}
}

// A vat that is being warmed is looked at when it is warm enough for the least change worth
// making, when it is for all that is wanted, and when it is warm: 300 L at 15 °C, a step of 1 °C.
func TestMomentsOfAWarmingVat(t *testing.T) {
	v := vatOf("vat", 300, 440)
	v.HeaterW, v.Water.Temperature = 300, 15
	sys := reef(400)
	sys.LeastChange = 0.15 // 60 L: 400/60 K below the system
	s := placeOf(sys, v)
	p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.3, 48)}}) // 120 L: 400/120 K below it
	f := &p.start
	var at []float64
	for p.advance(f) {
		if f.ask.change {
			at = append(at, f.atH)
		}
	}
	if len(at) != 3 {
		t.Fatalf("moments at %v", at)
	}
	for k, below := range []float64{400.0 / 60, 400.0 / 120, 0} {
		close2(t, "as warm as that takes", f.vats[0].at(at[k]), 25-below, 0.02)
	}
}
