package schedule

import (
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/refs/outside"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// hurried is a house whose deadline is near what the bound has, at the start or some way into a plan; false
// where there is none.
func hurried(t *testing.T, seed uint64) (s *site.Site, d []plan.Demand, p *problem, at *state, ok bool) {
	r := rand.New(rand.NewPCG(seed, 900))
	s, d = []func(*rand.Rand) (*site.Site, []plan.Demand){harsh, smooth, small}[seed%3](r)
	d[0].Aims = d[0].Aims[:1]
	d[0].Aims[0].WithinH = 0
	b := laid(t, s, d[0])
	finishH := b.bound(&b.start, worst()).finishH
	if math.IsInf(finishH, 1) || finishH == 0 {
		finishH = 24
	}
	d[0].Aims[0].WithinH = finishH * oneOf(r, 0.7, 0.99, 1.01, 1.2, 1.5, 2, 4)
	p = laid(t, s, d[0])
	at = &state{}
	at.copyFrom(&p.start)
	for range r.IntN(12) {
		p.advance(at)
	}
	return s, d, p, at, !at.reached(0)
}

// Two moments tell what every step between them does, whether an aim can be reached in time; and a bound
// that is asked no more than that says what it does when it is asked when.
func TestWhatTwoMomentsTell(t *testing.T) {
	var soon, late, close int
	for seed := range uint64(outside.Cases(9000, 2000, 900)) {
		_, _, p, at, ok := hurried(t, seed)
		if !ok {
			continue
		}
		m := &p.aims[0]
		if m.inert {
			_, short := p.aheadInert(at, 0, math.Inf(1), -1)
			_, long := p.aheadInert(at, 0, math.Inf(1), math.Inf(1))
			if m.misses(short) != m.misses(long) {
				t.Errorf("seed %d: reached in %g h, by every step in %g of %g h", seed, short, long, m.withinH)
			}
			if m.misses(short) {
				late++
			} else {
				soon++
			}
		}
		if m.dynamics.ClearanceLH == 0 && seed%3 == 0 {
			close++
			r := p.reach(at, 0)
			if told, exact := p.earliest(r, 0, m.misses), p.earliest(r, 0, nil); m.misses(told) != m.misses(exact) || p.never(told) != p.never(exact) {
				t.Errorf("seed %d: at the earliest at %g h, looked at closely at %g of %g h", seed, told, exact, m.withinH)
			}
		}
	}
	if t.Logf("%d in time, %d late, %d looked at closely", soon, late, close); soon < 10 || late < 10 || close < 10 {
		t.Errorf("%d in time, %d late, %d looked at closely", soon, late, close)
	}
}

// A plan that is asked no more than whether it is in time is so where the plan that is shown is; where that is
// late it is that plan, and none where the target is never reached.
func TestAnyPlanInTime(t *testing.T) {
	verdicts := map[[2]bool]int{}
	for seed := range uint64(outside.Cases(1200, 200, 60)) {
		s, d, _, _, _ := hurried(t, seed)
		opt := Options{Nodes: 120, Known: NewKnown()}
		want, err := Run(s, noon, d, opt)
		if err != nil {
			t.Fatal(err)
		}
		opt.AnyInTime, opt.Known = true, nil
		if seed%2 == 0 {
			opt.Known = NewKnown()
		}
		got, err := Run(s, noon, d, opt)
		if err != nil {
			t.Fatal(err)
		}
		w, g := &want.Plans[0], &got.Plans[0]
		if g.InTime != w.InTime || (g.DoneAtH == nil) != (w.DoneAtH == nil) || g.UsableNowL != w.UsableNowL || !w.InTime && w.DoneAtH != nil && *g.DoneAtH != *w.DoneAtH {
			t.Errorf("seed %d: %t at %v with %g L, as it is shown %t at %v with %g L", seed, g.InTime, g.DoneAtH, g.UsableNowL, w.InTime, w.DoneAtH, w.UsableNowL)
		}
		verdicts[[2]bool{w.InTime, w.DoneAtH == nil}]++
	}
	if t.Log(verdicts); len(verdicts) < 3 && !outside.UnderRace && !testing.Short() {
		t.Errorf("in time, never done: %v", verdicts)
	}
}
