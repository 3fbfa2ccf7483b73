package dilution

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/refs/units"
)

// someDynamics draws systems in which each influence is present about half of the time, at rates
// from a thousandth to a few per hour.
func someDynamics(r *rand.Rand) Dynamics {
	maybe := func(low, high float64) float64 {
		if r.IntN(2) == 0 {
			return 0
		}
		return low * math.Pow(high/low, r.Float64())
	}
	v := 20 * math.Pow(250, r.Float64())
	d := Dynamics{
		VolumeL: v, Source: Source{maybe(0.0001, 0.05) * v, maybe(0.5, 60), maybe(0.5, 50)},
		ClearanceLH: maybe(0.001, 2) * v, BoundRatio: maybe(0.01, 4), BoundRatePerH: maybe(0.001, 2),
		ExchangeLH: maybe(0.001, 1) * v, ExchangeUgL: maybe(0.01, 50),
	}
	if d.ClearanceLH > 0 {
		d.CapacityMg = maybe(0.001, 1) * v
	}
	return d
}

// someState is a state of such a system, out of equilibrium.
func someState(r *rand.Rand, d Dynamics) State {
	s := d.Start(300 * r.Float64())
	s.BoundUg *= 3 * r.Float64()
	s.AtH = 50 * r.Float64() * float64(r.IntN(2))
	s.CapturedUg = d.CapacityMg * 1000 * r.Float64() * float64(r.IntN(2))
	return s
}

// measures are units of time, volume and amount, in hours, litres and micrograms. Powers of two, so
// that a change of units rounds nothing.
type measures struct{ h, l, ug float64 }

func (k measures) dynamics(d Dynamics) Dynamics {
	return Dynamics{
		VolumeL:     d.VolumeL / k.l,
		Source:      Source{d.Source.MgH / k.ug * k.h, d.Source.UntilH / k.h, d.Source.HalfLifeH / k.h},
		ClearanceLH: d.ClearanceLH / k.l * k.h, CapacityMg: d.CapacityMg / k.ug,
		BoundRatio: d.BoundRatio, BoundRatePerH: d.BoundRatePerH * k.h,
		ExchangeLH: d.ExchangeLH / k.l * k.h, ExchangeUgL: d.ExchangeUgL / k.ug * k.l,
	}
}

func (k measures) state(s State) State {
	return State{s.AtH / k.h, s.UgL / k.ug * k.l, s.BoundUg / k.ug, s.CapturedUg / k.ug}
}

// TestNoUnitIsSpecial: nature knows no hour, litre or microgram. The same water in other units
// goes the same way to the last digit, so that no rate or amount is too small to count.
func TestNoUnitIsSpecial(t *testing.T) {
	const small, large = 1.0 / (1 << 14), 1 << 14
	others := []measures{{small, 1, 1}, {large, 1, 1}, {1, small, 1}, {1, large, 1}, {1, 1, small}, {1, 1, large}, {small, large, large}}
	r := rand.New(rand.NewPCG(16, 5))
	for range 250 {
		d := someDynamics(r)
		if r.IntN(2) == 0 { // two turns of the level: rock, and a source that fades
			d.BoundRatio, d.BoundRatePerH = 0.1+3*r.Float64(), 0.05+2*r.Float64()
			d.Source = Source{MgH: (0.001 + 0.05*r.Float64()) * d.VolumeL, HalfLifeH: 0.3 * math.Pow(100, r.Float64())}
		}
		s, dt, target, removeL := someState(r, d), 48*r.Float64(), 100*r.Float64(), d.VolumeL*(0.05+0.9*r.Float64())
		want := journey(d, s, dt, target, removeL, measures{1, 1, 1})
		for _, k := range others {
			got := journey(k.dynamics(d), k.state(s), dt/k.h, target/k.ug*k.l, removeL/k.l, k)
			for what, w := range want {
				if g := got[what]; g != w && !near(g, w, 0, 1e-9) {
					t.Fatalf("%s in units of %+v: %v, else %v (%+v from %+v, %v h)", what, k, g, w, d, s, dt)
				}
			}
		}
	}
}

// journey is all that is asked of a system from a state on, in hours, litres and micrograms
// whatever the units of its arguments.
func journey(d Dynamics, s State, dt, target, removeL float64, k measures) map[string]float64 {
	out := map[string]float64{}
	state := func(name string, s State) {
		out[name+" at"], out[name+" level"], out[name+" bound"], out[name+" captured"] = s.AtH*k.h, s.UgL*k.ug/k.l, s.BoundUg*k.ug, s.CapturedUg*k.ug
	}
	truth := func(name string, is bool) {
		if out[name] = 0; is {
			out[name] = 1
		}
	}
	state("after", d.After(s, dt))
	state("changed", d.Change(s, removeL, d.ExchangeUgL))
	out["excess"] = d.Excess(s, target, dt) * k.h * k.ug / k.l
	out["peak"], out["lowest"], out["lowest for ever"] = d.Peak(s)*k.ug/k.l, d.Lowest(s, dt)*k.ug/k.l, d.Lowest(s, math.Inf(1))*k.ug/k.l
	for name, within := range map[string]float64{"first below": dt, "ever below": math.Inf(1)} {
		first, ok := d.FirstBelow(s, target, within)
		out[name] = first * k.h
		truth(name+" at all", ok)
	}
	floor, attained := d.Floor(s.UgL, d.ExchangeUgL, removeL, dt)
	out["floor"] = floor * k.ug / k.l
	truth("floor attained", attained)
	m := transitions{hours: dt}
	end, mayDip, ok := m.over(d, s)
	state("mapped", end)
	truth("may dip", mayDip)
	truth("mapped at all", ok)
	truth("inert", d.Inert())
	truth("settled", d.settled(s))
	return out
}

// TestSlopesAreThoseOfTheLevel: the slope, and the slope of e^(decay·t) times it divided by that, as
// solved from their own starts and as read off a state, beside finite differences of the closed form;
// their noise is counted against the size of all that pulls at the level.
func TestSlopesAreThoseOfTheLevel(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 6))
	compared := 0
	for range 2000 {
		d := someDynamics(r)
		s := someState(r, d)
		p := phase{system: d.linear(s), start: s, durH: math.Inf(1)}
		l := p.system
		fastest := max(-l.fast, l.decay)
		if fastest == 0 {
			continue
		}
		at := 3 * r.Float64() / fastest
		here := p.at(at)
		w, source := here.UgL*l.volume, l.source*math.Exp(-l.decay*at)
		slope, bend, scale := l.slopesAt(w, here.BoundUg, source)
		level := func(h float64) float64 { return p.at(at+h).UgL * l.volume }
		h := 0.02 / fastest
		first, second := differences(level, h)
		slopeOf, bendOf := p.slopes()
		for what, pair := range map[string][2]float64{
			"slope": {slope, first}, "bend": {bend, second + l.decay*first},
			"slope from its start": {slopeOf(at), first}, "bend from its start": {bendOf(at), second + l.decay*first},
		} {
			limit := 1e-8*scale + 1e-13*w/h // the terms left out, and rounding
			if what[0] == 'b' {
				limit = 1e-7*fastest*scale + 1e-14*w/h/h
			}
			if !(math.Abs(pair[0]-pair[1]) <= limit) {
				t.Fatalf("%s %v after %v h, differences give %v ± %v (%+v from %+v)", what, pair[0], at, pair[1], limit, d, s)
			}
		}
		// Each pull alone, all of one sign.
		still := l
		still.inflow = 0
		pulls := 0.0
		one := func(l linear, w, b, source float64) {
			slope, _, _ := l.slopesAt(w, b, source)
			pulls += math.Abs(slope)
		}
		one(still, w, 0, 0)
		one(still, 0, here.BoundUg, 0)
		one(still, 0, 0, source)
		one(l, 0, 0, 0)
		if !near(scale, pulls, 0, 1e-12) {
			t.Fatalf("the size of the terms is %v, one by one %v (%+v from %+v)", scale, pulls, d, s)
		}
		compared++
	}
	if compared < 1500 {
		t.Errorf("only %d compared", compared)
	}
}

// differences are the first and second derivative of f at 0 by central differences of eighth order
// (the coefficients of Fornberg 1988, Mathematics of Computation 51, table 1).
func differences(f func(float64) float64, h float64) (first, second float64) {
	for i, c := range []struct{ first, second float64 }{{4.0 / 5, 8.0 / 5}, {-1.0 / 5, -1.0 / 5}, {4.0 / 105, 8.0 / 315}, {-1.0 / 280, -1.0 / 560}} {
		up, down := f(float64(i+1)*h), f(-float64(i+1)*h)
		first += c.first * (up - down) / h
		second += c.second * (up + down) / h / h
	}
	return first, second - 205.0/72*f(0)/h/h
}

// problem is a problem in other units.
func (k measures) problem(p Problem) Problem {
	level := func(x units.Measured) units.Measured {
		return units.Measured{Value: x.Value / k.ug * k.l, U: x.U / k.ug * k.l}
	}
	q := p
	q.Volume = units.Measured{Value: p.Volume.Value / k.l, U: p.Volume.U / k.l}
	q.ChangeL, q.MaxChangeL, q.WaterL, q.EveryH, q.FlowLH = p.ChangeL/k.l, p.MaxChangeL/k.l, p.WaterL/k.l, p.EveryH/k.h, p.FlowLH/k.l*k.h
	q.Contaminants = nil
	for _, c := range p.Contaminants {
		d := k.dynamics(c.Dynamics(1))
		q.Contaminants = append(q.Contaminants, Contaminant{
			Start: level(c.Start), New: level(c.New), Target: c.Target / k.ug * k.l,
			Source: d.Source, ClearanceLH: d.ClearanceLH, CapacityMg: d.CapacityMg, BoundRatio: d.BoundRatio, BoundRatePerH: d.BoundRatePerH,
		})
	}
	return q
}

// TestNoUnitIsSpecialToAPlan: nor to a plan, its floors, what would lower them, the same litres otherwise, and
// the trials.
func TestNoUnitIsSpecialToAPlan(t *testing.T) {
	const small, large = 1.0 / (1 << 10), 1 << 10
	r := rand.New(rand.NewPCG(16, 12))
	counts := map[string]int{}
	for range 60 {
		p := someProblem(r)
		switch r.IntN(6) {
		case 0:
			p.Continuous, p.FlowLH = true, p.Volume.Value*(0.05+r.Float64())
		case 1:
			p.Continuous = true
			for i, c := range p.Contaminants {
				p.Contaminants[i] = Contaminant{Start: c.Start, Target: c.Target, New: c.New}
			}
		case 2:
			p.Limited, p.WaterL = true, p.Volume.Value*(0.05+2*r.Float64())
		case 3:
			p.Contaminants[0].Start.U, p.Volume.U, p.Confidence, p.Trials = p.Contaminants[0].Start.Value*0.2, p.Volume.Value*0.05, 0.9, 1000
		}
		if r.IntN(2) == 0 {
			p.Contaminants[0].Target /= 20
		}
		want := planned(p, measures{1, 1, 1})
		counts[want.error]++
		counts["reachable"] += int(want.values["reachable"])
		counts["levers"] += int(want.values["levers"])
		for _, k := range []measures{{1, small, 1}, {1, large, 1}, {1, 1, small}, {1, 1, large}, {1.0 / 8, 1, 1}, {8, 1, 1}} {
			got := planned(k.problem(p), k)
			for what, w := range want.values {
				if g := got.values[what]; g != w && !near(g, w, 0, 1e-8) {
					t.Fatalf("%s in units of %+v: %v, else %v (%+v)", what, k, g, w, p)
				}
			}
			if got.error != want.error || len(got.values) != len(want.values) {
				t.Fatalf("in units of %+v: %v, else %v (%+v)", k, got, want, p)
			}
		}
	}
	t.Logf("%v", counts)
	if counts["reachable"] < 20 || counts["levers"] < 20 {
		t.Errorf("%v", counts)
	}
}

// outcome is all numbers of a plan, in hours, litres and micrograms, or which input was refused.
type outcome struct {
	values map[string]float64
	error  string
}

func planned(p Problem, k measures) outcome {
	plan, err := p.Plan()
	var bad *InputError
	if errors.As(err, &bad) {
		return outcome{error: bad.Field}
	}
	out := map[string]float64{"changes": float64(plan.Changes), "share": plan.ReachShare, "controlling": float64(plan.Controlling), "levers": float64(len(plan.Levers))}
	litres := func(name string, x float64) { out[name] = x * k.l }
	level := func(name string, x float64) { out[name] = x * k.ug / k.l }
	hours := func(name string, x *float64) {
		if x != nil {
			out[name] = *x * k.h
		}
	}
	litres("water", plan.WaterL)
	litres("needed", plan.NeededL)
	level("final", plan.Final)
	level("floor", plan.Floor)
	hours("done", plan.DoneAtH)
	for what, is := range map[string]bool{"reachable": plan.Reachable, "reached": plan.Reached, "holds": plan.Holds, "least": plan.LeastWater} {
		if out[what] = 0; is {
			out[what] = 1
		}
	}
	for i, s := range plan.Steps {
		litres(fmt.Sprint("change ", i), s.AddL)
		level(fmt.Sprint("after ", i), s.After)
		hours(fmt.Sprint("takes ", i), s.ForH)
	}
	for i, o := range plan.Outcomes {
		level(fmt.Sprint("final ", i), o.Final)
		level(fmt.Sprint("floor ", i), o.Floor)
		if o.Peak != nil {
			level(fmt.Sprint("peak ", i), *o.Peak)
		}
	}
	for _, l := range plan.Levers {
		level(string(l.What), l.Floor)
	}
	for _, s := range plan.Splits {
		litres(fmt.Sprint("each of ", s.Changes), s.EachL)
		level(fmt.Sprint("left by ", s.Changes), s.Final)
	}
	for i, m := range p.Path(plan, 0, 3, 2/k.h) {
		level(fmt.Sprint("path ", i), m.Level)
	}
	for name, n := range map[string]*int{"p50": plan.P50, "p90": plan.P90, "p95": plan.P95} {
		if n != nil {
			out[name] = float64(*n)
		}
	}
	return outcome{values: out}
}
