package schedule

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestRecentAnswersWhatWasKept: the last few questions and no others, each with its own answer.
func TestRecentAnswersWhatWasKept(t *testing.T) {
	var r recent[float64, int]
	if _, ok := r.find(0); ok {
		t.Error("what was never asked is known")
	}
	for k := range 3*mostRecent + 1 {
		if got := r.keep(float64(k), 10*k); got != 10*k {
			t.Fatalf("keep(%d) is %d", k, got)
		}
		for old := range k + 1 {
			v, ok := r.find(float64(old))
			if want := old > k-mostRecent; ok != want || ok && v != 10*old {
				t.Fatalf("after %d: %d is %d, %t", k, old, v, ok)
			}
		}
	}
}

// TestAnswersAreToTheQuestion: of thousands of questions that share places, of like and unlike length,
// each finds its own answer or none; none after another problem has begun.
func TestAnswersAreToTheQuestion(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 7))
	x := &search{}
	p, q := &problem{}, &problem{}
	x.begin(p)
	if p.scratch.memory != &x.memory {
		t.Fatal("a problem has no memory")
	}
	a := &x.memory.warm
	found := 0
	for range 20000 {
		question := make([]float64, 1+r.IntN(3))
		want := 0.0
		for k := range question {
			question[k] = float64(r.IntN(12))
			want = 100*want + question[k] + 1
		}
		at, known := a.place(question)
		if known {
			found++
			if at.answer[0] != want {
				t.Fatalf("%v is answered by %g, not %g", question, at.answer, want)
			}
			continue
		}
		at.put(a.of, question, want)
		if at, known := a.place(question); !known || at.answer[0] != want {
			t.Fatalf("%v has just been put down", question)
		}
	}
	if found < 1000 {
		t.Errorf("%d found", found)
	}
	at, known := a.place([]float64{1})
	if !known {
		at.put(a.of, []float64{1}, 2)
	}
	x.begin(p) // once more: still the same problem
	if _, known := a.place([]float64{1}); !known {
		t.Error("a problem begun again has forgotten")
	}
	x.begin(q)
	if _, known := a.place([]float64{1}); known || p.scratch.memory != nil || q.scratch.memory != &x.memory {
		t.Error("another problem remembers what was asked about the first")
	}
	x.remember(nil)
	if q.scratch.memory != nil {
		t.Error("a problem keeps the memory of a search that is over")
	}
}

// TestAShelfAnswersTheQuestion: of thousands of questions that share places each finds its own answer or
// none, and what has just been worked out is there.
func TestAShelfAnswersTheQuestion(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	x := &search{}
	p := &problem{}
	x.begin(p)
	found, overwritten := 0, 0
	seen := map[contentNear]bool{}
	for range 20000 {
		c := litreOf(float64(30+r.IntN(10)), float64(10+r.IntN(20)))
		near := float64(18 + r.IntN(8))
		q := contentNear{c, near}
		_, known := x.memory.states.place(q, c.salt, c.heat)
		if known {
			found++
		} else if seen[q] {
			overwritten++
		}
		if known && !seen[q] {
			t.Fatalf("%v was never asked", q)
		}
		seen[q] = true
		v, _ := x.memory.states.place(q, c.salt, c.heat)
		v.s, v.c = c.state(near)
		s, tc := p.stateOf(c, near)
		if ws, wc := c.state(near); math.Float64bits(s) != math.Float64bits(ws) || math.Float64bits(tc) != math.Float64bits(wc) {
			t.Fatalf("%v: %g and %g, worked out %g and %g", q, s, tc, ws, wc)
		}
	}
	if found < 1000 || overwritten < 100 {
		t.Errorf("%d found, %d overwritten", found, overwritten)
	}
}

// TestWarmEnoughWithAMemory: with a memory, asked a second time and after a search, it is to the last
// bit what is worked out without one.
func TestWarmEnoughWithAMemory(t *testing.T) {
	asked, waits := 0, 0
	for n := range 3 {
		p := full(t)
		p.tank.own.c += float64(n)
		x := &search{}
		x.begin(p)
		for k := range 40 {
			s := &state{}
			s.copyFrom(&p.start)
			p.passTo(s, float64(k)/4)
			for i := range s.vats {
				v := &s.vats[i]
				p.vessels[i].heaterW = 100
				p.heat(v, &p.vessels[i], p.tank.own.c-3, s.atH)
			}
			p.scratch.memory = nil
			want := p.warmEnough(s)
			p.scratch.memory = &x.memory
			first, again := p.warmEnough(s), p.warmEnough(s)
			if math.Float64bits(first) != math.Float64bits(want) || math.Float64bits(again) != math.Float64bits(want) {
				t.Fatalf("%g, then %g, without a memory %g", first, again, want)
			}
			asked++
			if !math.IsInf(want, 1) {
				waits++
			}
		}
	}
	if waits < asked/4 {
		t.Errorf("%d of %d wait", waits, asked)
	}
}

// TestABlendIsTheSameWithAMemory: in a random walk of states, with bands, waters and tastes that change
// and come back, the litres with a memory are those without, to the last bit.
func TestABlendIsTheSameWithAMemory(t *testing.T) {
	p := full(t)
	x := &search{}
	x.begin(p)
	r := rand.New(rand.NewPCG(9, 4))
	blends, differ := 0, map[float64]bool{}
	for range 3000 {
		s := &state{}
		s.copyFrom(&p.start)
		s.water.c += float64(r.IntN(2))
		s.water.s += float64(r.IntN(2))
		for i := range s.vats {
			s.vats[i].readyH = 0
			s.vats[i].s += float64(r.IntN(3) - 1)
			s.vats[i].course.FromC += float64(r.IntN(3) - 1)
		}
		var with table
		k := taste(r.IntN(int(matchingOnly)))
		with.most = p.tank.mostL / float64(1+r.IntN(2))
		with.lay(p, s)
		if len(with.offers) < 2 {
			continue
		}
		with.bands = p.allowed(s)
		blends++
		anew := with
		anew.litres = make([]float64, len(with.litres))
		with.blend(p, s, k)
		anew.blendAnew(p, s, k)
		for i := range with.litres {
			if math.Float64bits(with.litres[i]) != math.Float64bits(anew.litres[i]) {
				t.Fatalf("taste %d: litres %v, without a memory %v", k, with.litres, anew.litres)
			}
		}
		sum := 0.0
		for i, l := range anew.litres {
			sum += float64(i+1) * l
		}
		differ[sum] = true
	}
	if blends < 1000 || len(differ) < 10 {
		t.Errorf("%d blends, %d of them unlike", blends, len(differ))
	}
}

// TestAfterFullIsThePower: what is remembered of full changes is math.Pow to the last bit, in any order
// and beyond what is remembered.
func TestAfterFullIsThePower(t *testing.T) {
	p := full(t)
	for _, a := range []int{1, 0} {
		share := 1 - p.tank.mostL/p.aims[a].dynamics.VolumeL
		for _, n := range []float64{3, 0, 17, 63, 64, 500, 3, math.Inf(1)} {
			if got, want := p.afterFull(a, n), math.Pow(share, n); math.Float64bits(got) != math.Float64bits(want) {
				t.Errorf("aim %d, %g changes: %g, not %g", a, n, got, want)
			}
		}
	}
}
