package incident

import (
	"math"
	"testing"

	"tidehold/response/dilution"
	"tidehold/volumes/site"
)

// tank is a series of a 400 L system with two changes of 160 L.
func tank(samples ...Sample) Series {
	s := Series{Contaminant: "copper", T0: three, VolumeL: 400, VolumeU: 32, Supposed: 60, doses: []dose{{1, 160, 1}, {6, 160, 1}}}
	for i, p := range samples {
		p.ID = i + 2
		p.doses = s.pointAt(p.AtH).doses
		s.Samples = append(s.Samples, p)
	}
	return s
}

// sampled are samples of what truly happens, exact, with a ± of 8 %.
func sampled(d dilution.Dynamics, hours ...float64) Series {
	s := tank()
	d.VolumeL = 400
	for i, h := range hours {
		p := s.pointAt(h)
		c := s.course(d, 60, 1, []point{p})[0]
		s.Samples = append(s.Samples, Sample{ID: i + 2, AtH: h, UgL: c, U: 0.08 * c, doses: p.doses})
	}
	return s
}

func at24(s Series) Finding { return s.Explain(s.T0.Add(hours(24)), 5) }

// With one result only the start is fitted: the volume stays what the site says, with its
// ±, and nothing is decided.
func TestOneResultFitsOnlyTheStart(t *testing.T) {
	f := at24(tank(Sample{AtH: 3, UgL: 36, U: 3}))
	if f.Explanation != Undecided || len(f.Fits) != 1 || f.SourceMgH != nil {
		t.Fatalf("%+v", f)
	}
	if !(math.Abs(f.VolumeL.Value-400) <= 1e-6) || !(math.Abs(f.VolumeL.U()-32) <= 1e-6) {
		t.Errorf("volume %v ± %v", f.VolumeL.Value, f.VolumeL.U())
	}
	// 36 = C0·0.6 + 1·0.4.
	if want := (36 - 0.4) / 0.6; !(math.Abs(f.Start.Value-want) <= 1e-6) {
		t.Errorf("start %v, want %v", f.Start.Value, want)
	}
	// Its ± is that of the result, 3/0.6 = 5, and what the volume's ± adds:
	// |dC0/dV| = 160·(C0 − 1)/(V²·0.6) µg/L per litre.
	want := math.Hypot(5, 32*160*(f.Start.Value-1)/(400*400*0.6))
	if !(math.Abs(f.Start.U()/want-1) <= 1e-3) {
		t.Errorf("± %v, want %v", f.Start.U(), want)
	}
	if f.Decider == nil || f.Decider.One != Dilution || f.Decider.Other != StillAdding || f.Decider.AtH <= 24 || !(f.Decider.IfOther > f.Decider.IfOne) {
		t.Errorf("%+v", f.Decider)
	}
}

// Exact samples of each truth are explained by it, or not at all; never by another.
func TestEachTruthIsNamed(t *testing.T) {
	for name, d := range map[Explanation]dilution.Dynamics{
		Dilution:    {},
		StillAdding: {Source: dilution.Source{MgH: 0.4}},
		TakenOut:    {ClearanceLH: 25},
	} {
		f := at24(sampled(d, 0.2, 4, 9, 14, 24))
		if f.Explanation != name || f.Decider != nil || f.Surprise != 0 {
			t.Errorf("%s is called %s (decider %+v, surprise %d)", name, f.Explanation, f.Decider, f.Surprise)
		}
		if f.MoreIn != (name == StillAdding) || f.LessIn != (name == TakenOut) {
			t.Errorf("%s: more %v, less %v", name, f.MoreIn, f.LessIn)
		}
	}
	f := at24(sampled(dilution.Dynamics{Source: dilution.Source{MgH: 0.4}}, 0.2, 4, 9, 14, 24))
	if !(math.Abs(f.Chosen.SourceMgH.Value-0.4) <= 2*f.Chosen.SourceMgH.SE) || f.Now.Value < 30 {
		t.Errorf("source %+v, now %+v", f.Chosen.SourceMgH, f.Now)
	}
	rock := at24(sampled(dilution.Dynamics{BoundRatio: 2, BoundRatePerH: 0.2}, 0.2, 1.2, 3, 5.9, 6.2, 9, 14, 24))
	if rock.Explanation != ComingBack && rock.Explanation != Undecided || !rock.MoreIn {
		t.Errorf("rock is called %s", rock.Explanation)
	}
}

// A single surprising result asks for a second and changes no plan; a second one that
// agrees with it does; one that contradicts it leaves it alone.
func TestOneSurpriseChangesNothing(t *testing.T) {
	calm := at24(tank(Sample{AtH: 0.2, UgL: 60, U: 4}, Sample{AtH: 9, UgL: 22, U: 2}))
	odd := at24(tank(Sample{AtH: 0.2, UgL: 60, U: 4}, Sample{AtH: 9, UgL: 22, U: 2}, Sample{AtH: 23, UgL: 45, U: 3}))
	if odd.Surprise != 4 || odd.Explanation != Undecided {
		t.Fatalf("surprise %d, %s", odd.Surprise, odd.Explanation)
	}
	if !(math.Abs(odd.PlanFrom.Value-calm.PlanFrom.Value) <= 0.2) || odd.Now.U() < 10 {
		t.Errorf("planned from %v (before: %v), now ± %v", odd.PlanFrom.Value, calm.PlanFrom.Value, odd.Now.U())
	}
	again := at24(tank(Sample{AtH: 0.2, UgL: 60, U: 4}, Sample{AtH: 9, UgL: 22, U: 2}, Sample{AtH: 23, UgL: 45, U: 3}, Sample{AtH: 24, UgL: 45.5, U: 3}))
	if again.Surprise != 0 || !again.MoreIn || again.PlanFrom.Value < 35 {
		t.Errorf("confirmed: surprise %d, more %v, planned from %v", again.Surprise, again.MoreIn, again.PlanFrom.Value)
	}
	alone := at24(tank(Sample{AtH: 0.2, UgL: 60, U: 4}, Sample{AtH: 9, UgL: 22, U: 2}, Sample{AtH: 23, UgL: 45, U: 3}, Sample{AtH: 24, UgL: 22.1, U: 2}))
	if alone.Surprise != 4 || !(math.Abs(alone.PlanFrom.Value-22) <= 1) {
		t.Errorf("contradicted: surprise %d, planned from %v", alone.Surprise, alone.PlanFrom.Value)
	}
}

// TestWhatTheEventSaysIsStillAddedIsCounted: an event that adds 5 mg/h to 90 L stood at its start for eight hours, and at
// its only sample for five.
func TestWhatTheEventSaysIsStillAddedIsCounted(t *testing.T) {
	b := &book{t: t}
	d := at(0)
	d.Incident = 0
	b.put(d.Open(Opening{Name: "waste", System: "tank", Event: true, Aims: []Aim{{Contaminant: "ammonia_total", Start: 3000, Target: 400, SourceMgH: 5}}}))
	now := func(h float64) Finding {
		sys := site.System{ID: "tank", NetVolume: 90}
		return b.log().SeriesOf("ammonia_total", &sys, func(string) float64 { return 0 }).Explain(at(h).At, 400)
	}
	if f := now(8); !(math.Abs(f.Now.Value-(3000+8*5e3/90)) < 0.01) || !(math.Abs(*f.Predicted-f.Now.Value) < 0.01) {
		t.Errorf("after 8 h %v, predicted %v", f.Now.Value, *f.Predicted)
	}
	b.put(at(3).Result([]Measured{{Contaminant: "ammonia_total", UgL: 2500, U: 250}}, ""))
	if f := now(8); !(math.Abs(f.Now.Value-(2500+5*5e3/90)) < 1) || !(math.Abs(f.Now.U()-250) < 25) {
		t.Errorf("five hours after a sample of 2500 ± 250: %v ± %v", f.Now.Value, f.Now.U())
	}
	if c := now(8).Series.Comparisons(); !(math.Abs(c[0].Predicted.Value-(3000+3*5e3/90)) < 0.01) {
		t.Errorf("the sample at 3 h was predicted as %v", c[0].Predicted.Value)
	}
}

// TestTheNewestResultAboveTheFitIsHeard: of 60, 22, 4 and <2 a fit said that carbon had taken it out, and
// stood by 2.3 ± 0.3 and "reached" when half an hour later a sample showed 8.
func TestTheNewestResultAboveTheFitIsHeard(t *testing.T) {
	list := []Sample{{AtH: 0.2, UgL: 60, U: 4}, {AtH: 9, UgL: 22, U: 2}, {AtH: 30, UgL: 4.1, U: 0.4}, {AtH: 48, UgL: 2, Below: true}}
	explain := func(list []Sample) Finding {
		s := tank(list...)
		return s.Explain(s.T0.Add(hours(49)), 5)
	}
	if f := explain(list); f.Surprise != 0 || !f.LessIn || f.Now.Value > 5 {
		t.Errorf("before: surprise %d, less %v, %v", f.Surprise, f.LessIn, f.Now)
	}
	f := explain(append(list, Sample{AtH: 48.5, UgL: 8, U: 1.6}))
	if f.Surprise != 6 || f.Explanation != Undecided || dilution.Judge(f.Now.Value, f.Now.U(), 5, f.AtMost) == dilution.Below {
		t.Errorf("surprise %d, %s, now %v ± %v", f.Surprise, f.Explanation, f.Now.Value, f.Now.U())
	}
	if f := explain(append(list, Sample{AtH: 48.5, UgL: 2.6, U: 0.5})); f.Surprise != 0 {
		t.Errorf("what fits is a surprise: %d", f.Surprise)
	}
}

// "<x" is a bound: it never pulls the level up to x, and holds it down where the other
// results would put it above.
func TestResultsBelowTheirLimitAreBounds(t *testing.T) {
	free := at24(tank(Sample{AtH: 0.2, UgL: 60, U: 4}, Sample{AtH: 9, UgL: 22, U: 2}))
	loose := at24(tank(Sample{AtH: 0.2, UgL: 60, U: 4}, Sample{AtH: 9, UgL: 22, U: 2}, Sample{AtH: 20, UgL: 50, U: 5, Below: true}))
	if !(math.Abs(loose.Chosen.Start.Value-free.Chosen.Start.Value) <= 1e-6) {
		t.Errorf("a loose bound moved the start from %v to %v", free.Chosen.Start.Value, loose.Chosen.Start.Value)
	}
	tight := tank(Sample{AtH: 0.2, UgL: 60, U: 4}, Sample{AtH: 9, UgL: 22, U: 2}, Sample{AtH: 20, UgL: 20, U: 2, Below: true})
	f := tight.fit(tight.observations(nil), tight.models()[0], nil)
	if got := tight.levels(f, []point{tight.pointAt(20)})[0].Value; got >= free.Now.Value || got < 19 {
		t.Errorf("a tight bound leaves %v of %v", got, free.Now.Value)
	}
	only := at24(tank(Sample{AtH: 3, UgL: 10, U: 1, Below: true}, Sample{AtH: 9, UgL: 8, U: 1, Below: true}))
	// <10 at 3 h is <6.4 after the second change (10·0.6 + 0.4), tighter than <8.
	if !only.AtMost || only.Chosen != nil || !(math.Abs(only.Now.Value-6.4) <= 1e-9) {
		t.Errorf("%+v", only.Now)
	}
}

func TestNothingIsKnown(t *testing.T) {
	s := tank()
	s.Supposed = 0
	f := at24(s)
	if f.Now != nil || f.Predicted != nil || f.Explanation != Undecided || f.Course(24) != nil {
		t.Errorf("%+v", f)
	}
	s.Supposed, s.SupposedU = 60, 6
	f = at24(s)
	if want := 1 + 59*0.36; !(math.Abs(f.Now.Value-want) <= 1e-9) || !(math.Abs(f.Now.U()/f.Now.Value-0.1) <= 1e-9) {
		t.Errorf("now %v ± %v, want %v", f.Now.Value, f.Now.U(), want)
	}
}

// The band falls at the changes, holds what is fitted, and the comparisons set each
// result beside what was known before it.
func TestCourseAndComparisons(t *testing.T) {
	s := sampled(dilution.Dynamics{}, 0.2, 4, 9)
	f := at24(s)
	course := f.Course(24)
	last := -1.0
	for i, b := range course {
		if b.AtH < last || b.Low > b.Mid || b.High < b.Mid {
			t.Fatalf("%d: %+v", i, b)
		}
		last = b.AtH
	}
	if len(course) != 3*(courseParts+1) || last != 24 || !(math.Abs(course[0].Mid-60) <= 0.1) || !(math.Abs(course[len(course)-1].Mid-f.Now.Value) <= 1e-9) {
		t.Errorf("%d levels from %v to %v", len(course), course[0].Mid, course[len(course)-1].Mid)
	}
	if got := f.Course(3); got[len(got)-1].AtH != 3 {
		t.Errorf("asked to 3 h, drawn to %v", got[len(got)-1].AtH)
	}
	if h := s.ChangesAtH(); len(h) != 2 || h[1] != 6 {
		t.Errorf("%v", h)
	}
	c := s.Comparisons()
	// The first beside the start supposed, 60; the second beside the first carried on.
	if c[0].Predicted.Value != 60 || !(math.Abs(c[0].Off) <= 1e-6) || !(math.Abs(c[1].Predicted.Value-36.4) <= 1e-6) || !(math.Abs(c[1].Off) <= 1e-3) {
		t.Errorf("%+v, %+v", c[0].Predicted, c[1].Predicted)
	}
	odd := tank(Sample{AtH: 0.2, UgL: 60, U: 4}, Sample{AtH: 9, UgL: 60, U: 4}, Sample{AtH: 10, UgL: 90, U: 4, Below: true})
	if c = odd.Comparisons(); c[1].Off < 5 || c[2].Off != 0 {
		t.Errorf("a result far above is %v apart, a loose bound %v", c[1].Off, c[2].Off)
	}
	odd.Supposed = 0
	if c = odd.Comparisons(); c[0].Predicted != nil {
		t.Error("something was predicted from nothing")
	}
}

// A volume without ± is known, and is not fitted.
// Whatever minute a change is made at, the hours of the course do not fall, and it is drawn: a
// twelfth of 3 h 46 min taken twelve times is more than that by the last bit.
func TestTheCourseOfAnyMinuteGoesForward(t *testing.T) {
	f := at24(tank(Sample{AtH: 0.5, UgL: 36, U: 3}))
	for minute := 1; minute < 24*60; minute++ {
		f.Series.doses = []dose{{float64(minute) / 60, 160, 1}}
		last := 0.0
		for i, b := range f.Course(24) {
			if b.AtH < last {
				t.Fatalf("after a change at minute %d level %d is at %v h, the one before at %v h", minute, i, b.AtH, last)
			}
			last = b.AtH
		}
		if last != 24 {
			t.Fatalf("after a change at minute %d the course ends at %v h", minute, last)
		}
	}
}

func TestKnownVolume(t *testing.T) {
	s := sampled(dilution.Dynamics{}, 0.2, 4, 9)
	s.VolumeU = 0
	f := at24(s)
	if f.VolumeL.Value != 400 || f.VolumeL.SE != 0 || !(math.Abs(f.Start.Value-60) <= 1e-6) {
		t.Errorf("%+v, %+v", f.VolumeL, f.Start)
	}
}

// Where the sample that is asked for is taken, it decides: in the likelier half of simulated
// doubts at the least, and it never makes a wrong answer out of a doubt more than rarely.
func TestTheSampleAskedForHelps(t *testing.T) {
	asked, decided := 0, 0
	for _, mg := range []float64{0, 0.15, 0.25, 0.4} {
		d := dilution.Dynamics{Source: dilution.Source{MgH: mg}}
		s := sampled(d, 0.2, 7)
		f := s.Explain(three.Add(hours(8)), 5)
		if f.Explanation != Undecided || f.Decider == nil {
			continue
		}
		asked++
		d.VolumeL = 400
		for _, h := range []float64{f.Decider.AtH, f.Decider.AtH + 0.5} {
			p := s.pointAt(h)
			c := s.course(d, 60, 1, []point{p})[0]
			s.Samples = append(s.Samples, Sample{ID: 9, AtH: h, UgL: c, U: 0.08 * c, doses: p.doses})
		}
		after := s.Explain(three.Add(hours(f.Decider.AtH+1)), 5)
		switch want := map[bool]Explanation{true: StillAdding, false: Dilution}[mg > 0]; {
		case after.Explanation == want || after.MoreIn && mg > 0:
			decided++
		case after.Explanation != Undecided:
			t.Errorf("%v mg/h became %s", mg, after.Explanation)
		}
	}
	if asked < 3 || decided*2 < asked {
		t.Errorf("%d doubts, %d decided by the sample asked for", asked, decided)
	}
}

func TestSmallMatrices(t *testing.T) {
	if _, ok := inverse([][]float64{{1, 1}, {1, 1}}); ok {
		t.Error("a singular matrix has an inverse")
	}
	if _, ok := inverse([][]float64{{0}}); ok {
		t.Error("nothing has an inverse")
	}
	if _, ok := solve([][]float64{{math.NaN()}}, []float64{1}); ok {
		t.Error("no number has an inverse")
	}
	x, ok := solve([][]float64{{4, 1}, {1, 3}}, []float64{1, 2})
	if !ok || !(math.Abs(x[0]-1.0/11) <= 1e-12) || !(math.Abs(x[1]-7.0/11) <= 1e-12) {
		t.Errorf("%v", x)
	}
	if info, g := normal(nil, nil); len(info) != 0 || len(g) != 0 {
		t.Error("no rows")
	}
}

// The least effects that matter move the level by a quarter, or by the target, within a
// day: each checked against what it does.
func TestLeastEffectsDoWhatTheySay(t *testing.T) {
	s := sampled(dilution.Dynamics{}, 0.2, 4, 9)
	obs := s.observations(nil)
	base := s.fit(obs, s.models()[0], nil)
	for i, target := range []float64{0, 5, 9} {
		nowH := []float64{7, 24, 7}[i]
		level := s.predict(base.theta, []point{s.pointAt(nowH)})[0]
		move := math.Max(target, level/4)
		seen := map[Explanation]int{}
		for _, h := range s.least(base, target, nowH) {
			seen[h.model.name]++
			x := base.theta
			for p, v := range h.held {
				x[p] = v
			}
			at := s.pointAt(nowH)
			d := s.dynamics(x)
			d.Source.MgH = x[pSource]
			st := d.Start(level)
			if h.model.name == ComingBack {
				// What rock holds depends on the night: the whole course is followed.
				c := s.predict(x, []point{at, {nowH + 24, at.doses}})
				if !(math.Abs(c[1]-c[0]-move) <= 1e-6) {
					t.Errorf("rock at %v per hour moves %v, want %v", math.Exp(x[pRate]), c[1]-c[0], move)
				}
				continue
			}
			if got := math.Abs(d.After(st, 24).UgL - level); !(math.Abs(got-move) <= 1e-6*move) {
				t.Errorf("%s moves %v, want %v", h.model.name, got, move)
			}
		}
		if seen[StillAdding] != 1 || seen[TakenOut] != 1 || nowH == 7 && seen[ComingBack] == 0 {
			t.Errorf("target %v: %v", target, seen)
		}
	}
	x := base.theta
	x[pRate] = math.Log(1e-3)
	if _, ok := s.ratioFor(x, 1e6, 24); ok {
		t.Error("rock gives back a gram")
	}
}

// As long as nothing speaks for another explanation, the plan is sized for the ± of
// dilution alone, though the level now is told with the doubt.
func TestPlanFromIsDilutionsUntilMoreIsKnown(t *testing.T) {
	f := at24(tank(Sample{AtH: 0.2, UgL: 60, U: 6}, Sample{AtH: 9, UgL: 22, U: 2.5}))
	if f.Explanation != Undecided || f.MoreIn || f.LessIn || f.Surprise != 0 {
		t.Fatalf("%+v", f)
	}
	if f.PlanFrom.Value != f.Now.Value || !(f.PlanFrom.SE < f.Now.SE) {
		t.Errorf("planned from %+v, now %+v", f.PlanFrom, f.Now)
	}
	more := at24(sampled(dilution.Dynamics{Source: dilution.Source{MgH: 0.4}}, 0.2, 4, 9, 14, 24))
	if *more.PlanFrom != *more.Now {
		t.Errorf("planned from %+v, now %+v", more.PlanFrom, more.Now)
	}
}

// A deciding sample is the earliest whose difference is three times what blurs it.
func TestDeciderIsTheEarliestThatIsEnough(t *testing.T) {
	s := tank(Sample{AtH: 0.2, UgL: 60, U: 6}, Sample{AtH: 9, UgL: 22, U: 2.5})
	f := at24(s)
	d := f.Decider
	if d == nil || !d.Enough {
		t.Fatalf("%+v", d)
	}
	for _, h := range hoursAhead {
		at := 24 + h
		one := s.levels(f.Fits[0], []point{s.pointAt(at)})[0]
		hyp := s.least(f.Fits[0], 5, 24)[0]
		other := s.levels(s.fit(s.observations(nil), hyp.model, hyp.held), []point{s.pointAt(at)})[0]
		blur := math.Hypot(one.SE, s.relative()*(one.Value+other.Value)/2)
		enough := math.Abs(one.Value-other.Value) >= 3*blur
		if at < d.AtH-1e-9 && enough {
			t.Errorf("a sample at %v h would have been enough", at)
		}
		if math.Abs(at-d.AtH) < 1e-9 && (!enough || !(math.Abs(one.Value-d.IfOne) <= 1e-9) || !(math.Abs(other.Value-d.IfOther) <= 1e-9)) {
			t.Errorf("%+v at %v h: %v and %v, blurred by %v", d, at, one.Value, other.Value, blur)
		}
	}
	if got := (Series{Samples: []Sample{{UgL: 10, U: 2}, {UgL: 0}}}).relative(); got != 0.1 {
		t.Errorf("relative %v", got)
	}
	if got := (Series{}).relative(); got != AssumedShare/2 {
		t.Errorf("relative of nothing %v", got)
	}
	if got := (Series{Samples: []Sample{{UgL: 1, U: 99}}}).relative(); got != 1 {
		t.Errorf("relative of a guess %v", got)
	}
}
