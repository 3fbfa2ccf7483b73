package schedule

import (
	"math/rand/v2"
	"testing"

	"tidehold/refs/outside"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// Who says that a plan is in time has one: its moves, carried out again, miss nothing. With deadlines
// hardly later than the bound has it, where many a plan comes late.
func TestWhatIsSaidToBeInTimeIs(t *testing.T) {
	yes, no := 0, 0
	houses := []func(*rand.Rand) (*site.Site, []plan.Demand){harsh, smooth, small}
	for seed := range uint64(fewer(1200, 4)) {
		r := rand.New(rand.NewPCG(seed, 500))
		s, d := houses[seed%3](r)
		if r.IntN(3) == 0 {
			d[0].Aims = append(d[0].Aims, share(0.2+0.3*r.Float64(), 0))
		}
		for k := range d[0].Aims {
			d[0].Aims[k].WithinH = 0
		}
		b := func(p *problem) score { return p.bound(&p.start, worst()) }(laid(t, s, d[0]))
		if b.never > 0 {
			continue
		}
		for k := range d[0].Aims {
			d[0].Aims[k].WithinH = max(0.1, b.finishH*oneOf(r, 1.02, 1.1, 1.4))
		}
		p := laid(t, s, d[0])
		if p.outOfReach() {
			continue
		}
		x := new(search)
		x.begin(p)
		if !x.inTime(score{}, 150) {
			no++
			continue
		}
		yes++
		var f state
		f.copyFrom(&p.start)
		for k := range x.best {
			p.follow(&f, &x.best[k])
		}
		for !f.done() && p.advance(&f) {
		}
		if got := p.score(&f); got.missed > 0 || x.score.missed > 0 {
			t.Errorf("seed %d: said to be in time: %+v, and comes to %+v", seed, x.score, got)
		}
	}
	if t.Logf("%d are in time, %d are not", yes, no); yes < fewer(100, 4) || no < fewer(100, 4) {
		t.Errorf("%d are in time, %d are not", yes, no)
	}
}

// What comes late changes nothing of what can be poured before: salt alone, which is no water and
// has no temperature, by both bounds; and more water that comes is never less.
func TestWhatComesLateChangesNothingBefore(t *testing.T) {
	for seed := range uint64(fewer(600, 2)) {
		r := rand.New(rand.NewPCG(seed, 271))
		s, d := coldHouse(r)
		most := func() (list []float64) {
			p := laid(t, s, d)
			w := outlook{}
			w.look(p, &p.start)
			q := p.reach(&p.start, 0)
			for _, h := range []float64{0.5, 3, 20} {
				for _, n := range []float64{1, 3} {
					list = append(list, w.litresBy(h, n), q.litresBy(h, n))
				}
			}
			return list
		}
		was := most()
		c := units.Celsius(oneOf(r, 15, 25))
		for k, x := range []site.Delivery{{AfterH: 50, SaltKg: 5}, {AfterH: 50, Saltwater: 40, Temperature: &c}, {AfterH: 2, Purified: 30, Temperature: &c}} {
			if s.Deliveries = []site.Delivery{x}; k > 0 && !d.Aims[0].Share() {
				continue // litres are told by what the cleanest does
			}
			for i, got := range most() {
				if got < was[i]*(1-1e-9) || k == 0 && got > was[i]*(1+1e-9) {
					t.Errorf("seed %d: with %+v %g L can be poured, without it %g", seed, x, got, was[i])
				}
			}
		}
	}
}

// How sure a plan is the best is asked where it is shown and not left out: asked, it is never less
// sure, and sometimes it is proved. The plan is the same.
func TestHowSureIsAskedWhereItIsShown(t *testing.T) {
	surer := 0
	for seed := range uint64(fewer(240, 2)) {
		r := rand.New(rand.NewPCG(seed, 272))
		s, d := coldHouse(r)
		d.System, d.Aims[0] = &s.Systems[0], share(0.3, 24)
		ask := func(o Options) plan.Plan {
			o.Nodes, o.HorizonH = 60, 72
			out, err := Run(s, noon, []plan.Demand{d}, o)
			if err != nil {
				t.Fatal(err)
			}
			return out.Plans[0]
		}
		bare, left, asked := ask(Options{}), ask(Options{Note: true, Unproved: true}), ask(Options{Note: true})
		if bare.Exposure != asked.Exposure || left.Exposure != asked.Exposure || bare.WaterL != asked.WaterL || len(bare.Steps) != len(asked.Steps) {
			t.Errorf("seed %d: another plan for being asked", seed)
		}
		if asked.GapPercent > left.GapPercent+1e-9 || left.Proved && !asked.Proved || left.GapPercent != bare.GapPercent || left.Proved != bare.Proved {
			t.Errorf("seed %d: asked %v %g, left out %v %g, bare %v %g", seed, asked.Proved, asked.GapPercent, left.Proved, left.GapPercent, bare.Proved, bare.GapPercent)
		}
		if asked.Proved && asked.GapPercent != 0 || asked.GapPercent < 0 || asked.GapPercent > 100 {
			t.Errorf("seed %d: proved %v, by at most %g %%", seed, asked.Proved, asked.GapPercent)
		}
		if asked.Proved && !left.Proved {
			surer++
		}
	}
	if t.Logf("%d are proved for being asked", surer); surer < 2 {
		t.Errorf("%d are proved for being asked", surer)
	}
}

// A plan that is shown of one of several events is no worse than one that is only tried, and sometimes
// better; what it is found to be, in time, late or never done, is the same, but that one that is tried may be late where it need not.
func TestWhatIsShownIsFinished(t *testing.T) {
	better, sooner := 0, 0
	for seed := range uint64(fewer(90, 3)) {
		r := rand.New(rand.NewPCG(seed, 274))
		s, d := coldHouse(r)
		d.System, d.Aims[0], s.Events = &s.Systems[0], share(0.3, 24), make([]site.Event, 3)
		ask := func(o Options) plan.Plan {
			o.HorizonH = 72
			out, err := Run(s, noon, []plan.Demand{d}, o)
			if err != nil {
				t.Fatal(err)
			}
			return out.Plans[0]
		}
		tried, shown := ask(Options{}), ask(Options{Note: true, Unproved: true})
		if shown.InTime && !tried.InTime {
			sooner++
			continue
		}
		if shown.InTime != tried.InTime || (shown.DoneAtH == nil) != (tried.DoneAtH == nil) || shown.Exposure > tried.Exposure*(1+1e-9) {
			t.Errorf("seed %d: tried %v %g, shown %v %g", seed, tried.InTime, tried.Exposure, shown.InTime, shown.Exposure)
		}
		if shown.Exposure < tried.Exposure*(1-1e-4) {
			better++
		}
		if !shown.InTime && shown.Exposure != tried.Exposure {
			t.Errorf("seed %d: a late plan is another where it is shown", seed)
		}
	}
	if t.Logf("%d are better where they are shown, %d in time", better, sooner); better < 2 && !outside.UnderRace {
		t.Errorf("%d are better where they are shown", better)
	}
}

// A deadline that nobody can meet makes a plan late and not never done: what is done without one is
// done with it. (Of one aim. Of two the first to be met in time comes before the other's being met at all.)
func TestLateIsNotNever(t *testing.T) {
	done, houses := 0, []func(*rand.Rand) (*site.Site, []plan.Demand){harsh, smooth, small}
	for seed := range uint64(fewer(600, 6)) {
		r := rand.New(rand.NewPCG(seed, 501))
		s, d := houses[seed%3](r)
		solve := func(withinH float64) score {
			for k := range d[0].Aims {
				d[0].Aims[k].WithinH = withinH
			}
			return laid(t, s, d[0]).solve(150, new(search)).score
		}
		open := solve(0)
		if open.never > 0 || open.finishH < 0.2 {
			continue
		}
		done++
		if late := solve(0.01); late.never > 0 || late.missed == 0 {
			t.Errorf("seed %d: %+v without a deadline, %+v with one", seed, open, late)
		}
	}
	if t.Logf("%d are done", done); done < fewer(150, 6) {
		t.Errorf("%d are done", done)
	}
}

// Whether a plan is in time is told without the plan as with it, of one demand and of two that share the
// water, remembered or not; and takes a quarter of the nodes where one is.
func TestWhetherItIsInTime(t *testing.T) {
	told := map[bool]int{}
	for seed := range uint64(fewer(80, 3)) {
		r := rand.New(rand.NewPCG(seed, 1841))
		s, d := small(r)
		d[0].Aims[0].WithinH = oneOf(r, 8, 24, 72)
		if seed%2 == 1 {
			other := s.Systems[0]
			other.ID = "other"
			s.Systems = append(s.Systems, other)
			d = append(d, plan.Demand{System: &s.Systems[1], Aims: []plan.Aim{share(0.2, 24)}})
			d[0].System = &s.Systems[0]
		}
		pl, err := New(s, noon)
		if err != nil {
			t.Fatal(err)
		}
		opt := Options{Nodes: 1000, Known: NewKnown()}
		told1, err := pl.InTime(d, opt)
		if err != nil {
			t.Fatal(err)
		}
		out, err := pl.Run(d, opt)
		if err != nil {
			t.Fatal(err)
		}
		is := true
		for k := range out.Plans {
			is = is && out.Plans[k].InTime
		}
		again, err := pl.InTime(d, opt)
		if err != nil || told1 != is || again != is {
			t.Errorf("seed %d: said %v, then %v (%v), the plans %v", seed, told1, again, err, is)
		}
		told[is]++
	}
	if told[true] < fewer(15, 3) || told[false] < fewer(15, 3) {
		t.Errorf("in time and not: %v", told)
	}
	p := alteredProblem(t, "harsh", 52)
	x, y := new(search), new(search)
	y.verdict = true
	if f, g := p.solve(fewNodes, x), p.solve(fewNodes, y); f.score.missed > 0 || g.score.missed > 0 || 4*g.nodes > f.nodes {
		t.Errorf("%+v in %d nodes, the verdict %+v in %d", f.score, f.nodes, g.score, g.nodes)
	}
}
