package dilution

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"tidehold/refs/units"
)

// someProblem draws a problem of one or two contaminants on which anything acts, the media being
// used up in the course of the plan in one case of two.
func someProblem(r *rand.Rand) Problem {
	d := someDynamics(r)
	p := Problem{
		Volume: units.Exact(d.VolumeL), ChangeL: d.VolumeL * (0.05 + 0.7*r.Float64()),
		EveryH: 0.5 * math.Pow(24, r.Float64()), Trim: r.IntN(2) == 0,
	}
	for i := range 1 + r.IntN(2) {
		if i > 0 {
			v := d.VolumeL
			d = someDynamics(r)
			d.Source.MgH, d.ClearanceLH, d.VolumeL = d.Source.MgH*v/d.VolumeL, d.ClearanceLH*v/d.VolumeL, v
		}
		start := 2 + 300*r.Float64()
		k := Contaminant{
			Start: units.Exact(start), Target: start * (0.05 + 0.9*r.Float64()), New: units.Exact(start * 0.1 * r.Float64()),
			Source: d.Source, ClearanceLH: min(d.ClearanceLH, d.VolumeL), BoundRatio: d.BoundRatio, BoundRatePerH: d.BoundRatePerH / 2,
		}
		if d.CapacityMg > 0 {
			k.CapacityMg = start * d.VolumeL / 1000 * 0.02 * math.Pow(50, r.Float64())
		}
		if k.BoundRatePerH == 0 {
			k.BoundRatio = 0
		}
		p.Contaminants = append(p.Contaminants, k)
	}
	return p
}

// stepped follows all contaminants of a problem by numerical integration.
type stepped struct {
	p Problem
	d []Dynamics
	s []State
}

func newStepped(p Problem) *stepped {
	x := &stepped{p: p}
	for _, c := range p.Contaminants {
		d := c.Dynamics(p.Volume.Value)
		x.d, x.s = append(x.d, d), append(x.s, State{UgL: c.Start.Value, BoundUg: c.BoundRatio * c.Start.Value * d.VolumeL})
	}
	return x
}

func (x *stepped) change(litres float64) {
	for i, c := range x.p.Contaminants {
		v := x.p.Volume.Value
		x.s[i].UgL = (x.s[i].UgL*(v-litres) + c.New.Value*litres) / v
	}
}

func (x *stepped) pass(hours float64) {
	if hours <= 0 {
		return
	}
	for i, d := range x.d {
		rate := d.ClearanceLH/d.VolumeL + d.BoundRatePerH*(1+d.BoundRatio)
		if d.Source.HalfLifeH > 0 {
			rate += math.Ln2 / d.Source.HalfLifeH
		}
		x.s[i], _ = rk4(d, x.s[i], -1, hours, 1+int(12*hours*rate))
	}
}

// worst is the largest ratio of level to target less one.
func (x *stepped) worst() float64 {
	worst := math.Inf(-1)
	for i, c := range x.p.Contaminants {
		worst = max(worst, x.s[i].UgL/c.Target-1)
	}
	return worst
}

// TestPlansBesideIntegration carries every plan out by numerical integration, looked at forty
// times between two changes: the targets are not all met before the plan says so, they are
// when it does, a last change trimmed by a thousandth would not do, and the levels afterwards
// stay under the peak that is announced, and come near it.
func TestPlansBesideIntegration(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 8))
	counts := map[string]int{}
	for range 300 {
		p := someProblem(r)
		plan, err := p.Plan()
		var bad *InputError
		if errors.As(err, &bad) && bad.Field == "change" {
			counts["never together"]++
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if !plan.Reachable || len(plan.Steps) > 60 {
			counts["out of reach"]++
			continue
		}
		x := newStepped(p)
		early := func(when string, at float64) {
			if w := x.worst(); w < -1e-7 {
				t.Fatalf("met by %g of the target %s, after %v h; planned for %v h (%+v)", -w, when, at, *plan.DoneAtH, p)
			}
		}
		const parts = 40
		between := func(from, hours float64, when string) {
			for i := range parts {
				early(when, from+hours*float64(i)/parts)
				x.pass(hours / parts)
			}
		}
		for i, step := range plan.Steps {
			early("before a change", step.AtH)
			if p.Trim && i == len(plan.Steps)-1 && *plan.DoneAtH == step.AtH {
				counts["trimmed"]++
				less := &stepped{p, x.d, slices.Clone(x.s)}
				if less.change(step.AddL * 0.999); less.worst() <= 0 {
					t.Fatalf("%v L would do in place of %v (%+v)", step.AddL*0.999, step.AddL, p)
				}
			}
			x.change(step.AddL)
			if i+1 < len(plan.Steps) {
				between(step.AtH, p.EveryH, "between two changes")
			} else if rest := *plan.DoneAtH - step.AtH; rest > 0 {
				counts["between"]++
				between(step.AtH, rest, "after the last change")
			}
		}
		if w := x.worst(); !(w < 1e-6) {
			t.Fatalf("%g above the target when the plan is done, after %v h (%+v)", w, *plan.DoneAtH, p)
		}
		counts["reached"]++
		afterwards(t, p, plan, x)
	}
	t.Logf("%v", counts)
	for _, what := range []string{"reached", "between", "trimmed", "out of reach"} {
		if counts[what] < 15 {
			t.Errorf("only %d %s", counts[what], what)
		}
	}
}

// afterwards compares the peaks after a plan, and whether it holds, with what comes.
func afterwards(t *testing.T, p Problem, plan Plan, x *stepped) {
	t.Helper()
	highest := make([]float64, len(x.s))
	for i, o := range plan.Outcomes {
		if !near(x.s[i].UgL, o.Final, 1e-3, 1e-6) {
			t.Fatalf("ends at %v, plan says %v (%+v)", x.s[i].UgL, o.Final, p)
		}
		highest[i] = x.s[i].UgL
	}
	hour := 0.05
	for range 165 {
		x.pass(hour)
		hour *= 1.03
		for i := range x.s {
			highest[i] = max(highest[i], x.s[i].UgL)
		}
	}
	for i, o := range plan.Outcomes {
		if o.Peak != nil && highest[i] > *o.Peak*(1+1e-6)+1e-9 {
			t.Fatalf("rises to %v, announced were %v at most (%+v)", highest[i], *o.Peak, p)
		}
		// By then, 200 h later, what still rises does so towards its limit.
		if slope := rate(x.d[i], x.s[i]); o.Peak == nil && slope <= 0 || o.Peak != nil && slope <= 0 && highest[i] < *o.Peak*0.97-1e-9 && x.d[i].settled(x.s[i]) {
			t.Fatalf("rises to %v and no more, announced were %v (%+v)", highest[i], o.Peak, p)
		}
		if above := highest[i] > o.Target*(1+1e-6); above && o.Holds {
			t.Fatalf("said to hold, but rises to %v, target %v (%+v)", highest[i], o.Target, p)
		}
		if o.Holds != (o.Peak != nil && *o.Peak <= o.Target*(1+1e-8)) {
			t.Fatalf("holds: %v, with a peak of %v and a target of %v", o.Holds, o.Peak, o.Target)
		}
	}
}

// rate is how fast a level changes, in µg/L an hour, over the next hundredth of an hour.
func rate(d Dynamics, s State) float64 {
	next, _ := rk4(d, s, -1, 0.01, 4)
	return (next.UgL - s.UgL) / 0.01
}
