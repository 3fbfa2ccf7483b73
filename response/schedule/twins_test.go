package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// twins are one house twice: as it is, and with a part of everything or at another hour. The same is
// done with both by chance, and the same asked of both.
type twins struct {
	one, other    *wanderer
	times, laterH float64 // a litre of the one in the other's; what the other's clock is ahead
	hair          float64 // by which they may differ
	first         string  // how they differ; "": not at all
	blends        bool    // of blends that do as much one has left one out or taken another, by rounding
	jobs, changes int
}

// same notes the first difference.
func (x *twins) same(what string, one, other float64) {
	if one, other = min(one, 1e12), min(other, 1e12); x.first == "" && !(math.Abs(one-other) <= x.hair*(1e-3+math.Abs(one))) {
		x.first = fmt.Sprintf("%s %.9g, the other's %.9g", what, one, other)
	}
}

// litres and hours are compared as those of the one.
func (x *twins) litres(what string, one, other float64) { x.same(what, one, other*x.times) }
func (x *twins) hours(what string, one, other float64)  { x.same(what, one, other-x.laterH) }

// asked is what is asked of a house at a moment.
type asked struct {
	jobs, settled []job
	options       []change
	bound         score
	most          []float64
	warmH, nextH  float64
	change        bool
}

func askOf(w *wanderer, rule *rules) (x asked) {
	p, s := w.p, &w.s
	for s.ask.workFrom = 0; s.ask.workFrom < len(s.vats); s.ask.workFrom++ {
		x.jobs = p.jobs(s, rule, x.jobs)
	}
	for _, j := range x.jobs {
		if j.vat >= 0 {
			j = p.settled(s, j)
		}
		x.settled = append(x.settled, j)
	}
	s.ask.workFrom = 0
	for _, o := range w.t.options(p, s, rule.Taste, rule.Tastes, false) {
		o.draws = slices.Clone(o.draws)
		x.options = append(x.options, o)
	}
	x.bound = p.bound(s, worst())
	look, reach := outlook{}, p.reach(s, 0)
	look.look(p, s)
	for _, h := range []float64{0.1, 3.7, 30} {
		for _, n := range []float64{1, 3, math.Inf(1)} {
			x.most = append(x.most, look.litresBy(s.atH+h, n), reach.litresBy(s.atH+h, n))
		}
		x.most = append(x.most, reach.litresBy(s.atH+h, anyOne))
	}
	x.warmH = p.warmEnough(s)
	x.nextH, x.change = p.nextMoment(s)
	return x
}

// compare asks both the same.
func (x *twins) compare(rule *rules) (a, b asked) {
	a, b = askOf(x.one, rule), askOf(x.other, rule)
	if len(a.options) != len(b.options) {
		x.blends = true
		return a, b
	}
	x.same("jobs", float64(len(a.jobs)), float64(len(b.jobs)))
	for k := range min(len(a.jobs), len(b.jobs)) {
		for _, j := range [][2]job{{a.jobs[k], b.jobs[k]}, {a.settled[k], b.settled[k]}} {
			if i, o := j[0], j[1]; i.vat != o.vat || i.correct != o.correct || i.size != o.size || i.all != o.all {
				x.same(fmt.Sprintf("%+v", j), 0, 1)
			}
			x.litres("poured away", j[0].removeL, j[1].removeL)
			x.litres("mixed", j[0].batchL, j[1].batchL)
			x.same("share", j[0].share, j[1].share)
			if j[0].fromH != 0 || j[1].fromH != 0 {
				x.hours("from", j[0].fromH, j[1].fromH)
			}
		}
		x.jobs++
	}
	for k := range a.options {
		i, o := &a.options[k], &b.options[k]
		if len(i.draws) != len(o.draws) {
			x.blends = true
			return a, b
		}
		if i.by != o.by || i.trimmed != o.trimmed {
			x.same(fmt.Sprintf("%+v, %+v", i, o), 0, 1)
		}
		x.litres("a change", i.litres, o.litres)
		x.changes++
	}
	for k := range a.most {
		x.litres(fmt.Sprint("the most, ", k), a.most[k], b.most[k])
	}
	x.same("bound", a.bound.exposure, b.bound.exposure)
	x.hours("its time", a.bound.finishH, b.bound.finishH)
	x.same("late", late(a.bound), late(b.bound))
	x.hours("warm enough", a.warmH, b.warmH)
	x.hours("next", a.nextH, b.nextH)
	if a.change != b.change {
		x.same("a change may be decided", 0, 1)
	}
	return a, b
}

// live asks, and does by chance what both are the same for, a few times over.
func (x *twins) live() {
	for range 6 {
		rule := styles[x.one.r.IntN(len(styles))].broad()
		if x.other.r.IntN(len(styles)); x.one.r.IntN(2) == 0 {
			rule = rule.style.narrow()
		}
		x.other.r.IntN(2)
		a, b := x.compare(&rule)
		if x.first != "" || x.blends {
			return
		}
		for k, w := range []*wanderer{x.one, x.other} {
			options := [][]change{a.options, b.options}[k]
			if len(options) > 0 && w.s.atH >= w.s.nextH && w.r.IntN(2) == 0 {
				w.p.change(&w.s, &options[w.r.IntN(len(options))])
			}
			if len(w.s.vats) > 0 && w.r.IntN(2) == 0 {
				w.work(w.r.IntN(len(w.s.vats)))
			}
			to, _ := w.p.nextMoment(&w.s)
			if to = min(to, w.s.atH+3*w.r.Float64()); to < w.p.horizonH {
				w.p.passTo(&w.s, to)
			}
		}
		x.hours("time", x.one.s.atH, x.other.s.atH)
	}
}

// twinHouse is one of the random houses, with water over its age in some.
func twinHouse(seed uint64) (*site.Site, plan.Demand, *rand.Rand) {
	r := rand.New(rand.NewPCG(seed, 1025))
	var s *site.Site
	var d []plan.Demand
	switch seed % 4 {
	case 0:
		s, d = harsh(r)
	case 1:
		s, d = smooth(r)
	case 2:
		s, d = small(r)
	default:
		c, one := coldHouse(r)
		s, d = c, []plan.Demand{one}
	}
	for k := range s.Stores { // buckets hold ten litres in any house
		if s.Stores[k].TransferLH == nil {
			s.Stores[k].TransferLH = ptr(600)
		}
	}
	if old := noon.AddDate(0, 0, -40); seed%5 == 1 {
		s.Stores[0].Mixed, s.Stores[0].MaxAgeH = &old, 24
	}
	return s, d[0], r
}

func wandererIn(p *problem, r *rand.Rand) *wanderer {
	w := &wanderer{p: p, r: r, lazy: 0.5, full: 0.5}
	w.p.horizonH = 96
	w.s.copyFrom(&w.p.start)
	return w
}

// What is asked of a house at any moment, by what is done with it by chance, is asked of a house of
// a thousandth too: the same work on vats, the same changes (but for one of 100 houses), the same
// bounds.
func TestAThousandthIsWorkedOnAlike(t *testing.T) {
	const part = 1024
	alikeTwins(t, 0, func(seed uint64) *twins {
		s, d, r := twinHouse(seed)
		one := wandererIn(laid(t, s, d), r)
		s, d, r = twinHouse(seed)
		shrink(s, part)
		d.Aims[0].SourceMgH /= part
		return &twins{one: one, other: wandererIn(laid(t, s, d), r), times: part, hair: 1e-6}
	})
}

// Two days later all is as it was, two days later: nothing counts hours from where it should not. (But
// for one of 400 houses, where by rounding a moment is the next or this one.)
func TestTwoDaysLaterAllIsAlike(t *testing.T) {
	const days = 48
	const growth = 8e-4 // four times what water is given to grow by if it is fresher than the system, be it by a last bit
	alikeTwins(t, 1.0/400, func(seed uint64) *twins {
		s, d, r := twinHouse(seed)
		one := wandererIn(laid(t, s, d), r)
		s, d, r = twinHouse(seed)
		other := wandererIn(laid(t, s, d), r)
		other.p.later(days)
		other.p.horizonH += days
		other.s.copyFrom(&other.p.start)
		return &twins{one: one, other: other, times: 1, laterH: days, hair: growth}
	})
}

// later is the problem so many hours later.
func (p *problem) later(h float64) {
	f := &p.start
	for _, x := range []*float64{&f.atH, &f.nextH, &f.pure.atH, &f.spent.finishH, &f.ask.freedH, &p.tank.awake.alwaysUntilH} {
		*x += h
	}
	for k := range f.held {
		f.held[k].untilH += h
	}
	for k := range f.conc {
		f.conc[k].AtH += h
		f.doneH[k] += h
		p.aims[k].withinH += h
	}
	for k := range f.vats {
		v, w := &f.vats[k], &p.vessels[k]
		for _, x := range []*float64{&v.readyH, &v.baseH, &v.warmH, &v.usedH, &w.fromH, &w.freeH} {
			*x += h
		}
	}
	p.works.comes = slices.Clone(p.works.comes)
	for k := range p.works.comes {
		p.works.comes[k].atH += h
	}
}

// alikeTwins lets twins live. No more than a share of them may differ.
func alikeTwins(t *testing.T, share float64, of func(seed uint64) *twins) {
	t.Helper()
	cases, blends, jobs, changes, unlike := fewer(1500, 3), 0, 0, 0, 0.0
	for seed := range uint64(cases) {
		x := of(seed)
		if x.live(); x.blends {
			blends++
		}
		if x.first != "" {
			t.Logf("seed %d: %s", seed, x.first)
			unlike++
		}
		jobs, changes = jobs+x.jobs, changes+x.changes
	}
	if t.Logf("%d jobs, %d changes", jobs, changes); blends*100 > cases || unlike > share*float64(cases) || jobs < cases || changes < cases {
		t.Errorf("of %d houses %g differ, %d have another choice of blends; %d jobs, %d changes", cases, unlike, blends, jobs, changes)
	}
}

// Two vats of half a vat's room, water, heater and loss are that vat: as much can be poured at any
// time, by the close bound where nothing is made. (It gives what is made all heaters.)
func TestHalvesOfAVatAreTheVat(t *testing.T) {
	for seed := range uint64(fewer(600, 2)) {
		r := rand.New(rand.NewPCG(seed, 1027))
		s, d := coldHouse(r)
		for k := range s.Stores {
			s.Stores[k].Heel = 0
		}
		most := func() (list []float64) {
			p := laid(t, s, d)
			look, reach := outlook{}, p.reach(&p.start, 0)
			look.look(p, &p.start)
			for _, h := range []float64{0, 0.5, 3.7, 30} {
				for _, n := range []float64{1, 3, math.Inf(1)} {
					list = append(list, look.litresBy(h, n), reach.litresBy(h, n))
				}
			}
			return list
		}
		was := most()
		for k := range s.Stores {
			v := &s.Stores[k]
			v.Capacity, v.Volume, v.HeaterW = v.Capacity/2, v.Volume.Mul(decimal.NewFromFloat(0.5)), v.HeaterW/2
			if v.HeatLossWK != nil {
				v.HeatLossWK = ptr(*v.HeatLossWK / 2)
			}
			half := *v
			half.ID += "'"
			s.Stores = append(s.Stores, half)
		}
		for i, got := range most() {
			if i%2 == 1 && s.StoreByID("pure") != nil {
				continue
			}
			if !(math.Abs(got-was[i]) <= 1e-6*(1+was[i])) {
				t.Errorf("seed %d: %g L can be poured, %g of halves (%d)", seed, was[i], got, i)
			}
		}
	}
}

// What stores and salts are called, and in which order stores stand, changes no plan of any house;
// nor does a store that holds nothing and in which nothing is mixed.
func TestNoPlanHangsOnNamesOrPlaces(t *testing.T) {
	n := 0
	for seed := range uint64(fewer(240, 6)) {
		s, d, _ := twinHouse(seed)
		d.System = &s.Systems[0]
		ask := func() *plan.Plan {
			out, err := Run(s, noon, []plan.Demand{d}, Options{HorizonH: 96, Nodes: 60, Note: true})
			if err != nil {
				t.Fatal(err)
			}
			n += len(out.Plans[0].Steps)
			return &out.Plans[0]
		}
		was := ask()
		slices.Reverse(s.Stores)
		s.Mixing.In = nil
		for k := range s.Stores {
			s.Stores[k].ID = string(rune('z'-k)) + s.Stores[k].ID
			s.Mixing.In = append(s.Mixing.In, s.Stores[k].ID)
		}
		for k := range s.Salts {
			s.Salts[k].ID = "other"
		}
		s.Stores = append([]site.Store{vatOf("idle", 0, 300)}, s.Stores...)
		if first := alikeAt(ask(), was, 1); first != "" {
			t.Errorf("seed %d: %s", seed, first)
		}
	}
	if n < fewer(240, 6) {
		t.Errorf("%d changes", n)
	}
}
