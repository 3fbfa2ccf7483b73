package schedule

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// A house with a thousandth of everything, litres, kilograms, watts and what is added to it, has
// the same plans, bounds and reasons, for two systems at once too: nothing in the planner knows how
// large a litre is, but for what rounding makes of two choices that are alike: in one of 100 houses.
// (1024, so that little is rounded.)
func TestAHouseOfAThousandthIsPlannedForAlike(t *testing.T) {
	const part = 1024
	n, unlike, cases := 0, 0, fewer(240, 2)
	for seed := range uint64(cases) {
		r := rand.New(rand.NewPCG(seed, 1024))
		place := harsh
		if seed%3 == 2 {
			place = smooth
		}
		s, d := place(r)
		for k := range s.Stores { // buckets hold ten litres in any house
			if s.Stores[k].TransferLH == nil {
				s.Stores[k].TransferLH = ptr(600)
			}
		}
		if old := noon.AddDate(0, 0, -40); seed%4 == 1 {
			s.Stores[0].Mixed, s.Stores[0].MaxAgeH = &old, 24
		}
		if seed%3 == 0 {
			other := reef(150 + 200*r.Float64())
			other.ID = "other"
			s.Systems = append(s.Systems, other)
			d[0].System = &s.Systems[0]
			d = append(d, plan.Demand{System: &s.Systems[1], Aims: []plan.Aim{share(0.2+0.4*r.Float64(), 24)}})
		}
		ask := func() []plan.Plan {
			out, err := Run(s, noon, d, Options{HorizonH: 96, Nodes: 100, Note: true, Explain: seed%10 == 4})
			if err != nil {
				t.Fatal(err)
			}
			return out.Plans
		}
		was := ask()
		shrink(s, part)
		d[0].Aims[0].SourceMgH /= part
		first := ""
		for k, is := range ask() {
			first = cmp.Or(first, alikeAt(&is, &was[k], part))
			n += len(is.Steps)
		}
		if first != "" {
			unlike++
			t.Logf("seed %d: %s", seed, first)
		}
	}
	if n < 100 || unlike*100 > cases {
		t.Errorf("%d of %d houses are planned for in another way, %d changes", unlike, cases, n)
	}
}

// alikeAt says how a plan differs from that of a house so many times as large; "": not at all.
func alikeAt(is, was *plan.Plan, part float64) (first string) {
	differs := func(format string, a ...any) {
		if first == "" {
			first = fmt.Sprintf(format, a...)
		}
	}
	same := func(what string, got, want float64) {
		if got = min(got, 1e9); !(math.Abs(got-min(want, 1e9)) <= 1e-6*math.Abs(want)+1e-9) {
			differs("%s %.9g, %.9g in the large house", what, got, want)
		}
	}
	same("exposure", is.Exposure, was.Exposure)
	same("done", deref(is.DoneAtH), deref(was.DoneAtH))
	same("gap", is.GapPercent, was.GapPercent)
	same("water", is.WaterL*part, was.WaterL)
	same("salt", is.SaltKg*part, was.SaltKg)
	same("purified", is.PurifiedL*part, was.PurifiedL)
	same("usable", is.UsableNowL*part, was.UsableNowL)
	same("asked for", deref(is.DemandL)*part, deref(was.DemandL))
	same("lacking", deref(is.LackingL)*part, deref(was.LackingL))
	if len(is.Steps) != len(was.Steps) || len(is.Batches) != len(was.Batches) || len(is.Prepared) != len(was.Prepared) || len(is.Supply) != len(was.Supply) {
		differs("%d changes, %d batches, %d works on vats, %d, %d and %d in the large house", len(is.Steps), len(is.Batches), len(is.Prepared), len(was.Steps), len(was.Batches), len(was.Prepared))
		return first
	}
	for k := range is.Steps {
		same("a change", is.Steps[k].RemoveL*part, was.Steps[k].RemoveL)
		same("its time", is.Steps[k].AtH, was.Steps[k].AtH)
		if is.Steps[k].LimitedBy != was.Steps[k].LimitedBy {
			differs("a change kept small by %s, %s in the large house", is.Steps[k].LimitedBy, was.Steps[k].LimitedBy)
		}
	}
	for k := range is.Prepared {
		same("poured away", is.Prepared[k].RemoveL*part, was.Prepared[k].RemoveL)
		if is.Prepared[k].What != was.Prepared[k].What {
			differs("%s, %s in the large house", is.Prepared[k].What, was.Prepared[k].What)
		}
	}
	for k := range is.Batches {
		same("mixed", is.Batches[k].Litres*part, was.Batches[k].Litres)
	}
	for k := range is.Supply {
		same("supply", is.Supply[k].Litres*part, was.Supply[k].Litres)
	}
	return first
}

// What is asked of a house at any moment, by what is done with it by chance, is asked of a house of
// a thousandth too: the same work on vats, the same changes (but for one of 100 houses), the same bounds.
func TestAThousandthIsWorkedOnAlike(t *testing.T) {
	const part = 1024
	unlike, cases, jobs, changes := 0, fewer(1500, 3), 0, 0
	houses := []func(*rand.Rand) (*site.Site, []plan.Demand){harsh, smooth, small, func(r *rand.Rand) (*site.Site, []plan.Demand) {
		s, d := coldHouse(r)
		d.System = &s.Systems[0]
		return s, []plan.Demand{d}
	}}
	for seed := range uint64(cases) {
		lay := func(part float64) *wanderer {
			r := rand.New(rand.NewPCG(seed, 1025))
			s, d := houses[seed%4](r)
			for k := range s.Stores {
				if s.Stores[k].TransferLH == nil {
					s.Stores[k].TransferLH = ptr(600)
				}
			}
			if old := noon.AddDate(0, 0, -40); seed%5 == 1 {
				s.Stores[0].Mixed, s.Stores[0].MaxAgeH = &old, 24
			}
			if part > 1 {
				shrink(s, part)
				d[0].Aims[0].SourceMgH /= part
			}
			w := &wanderer{p: laid(t, s, d[0]), r: r, lazy: 0.5, full: 0.5}
			w.p.horizonH = 96
			w.s.copyFrom(&w.p.start)
			return w
		}
		large, little := lay(1), lay(part)
		first, alike := "", true
		same := func(what string, is, was, tol float64) {
			if is, was = min(is, 1e12), min(was, 1e12); first == "" && alike && !(math.Abs(is-was) <= tol*(1e-3+math.Abs(was))) {
				first = fmt.Sprintf("%s %.9g, %.9g in the large house", what, is, was)
			}
		}
		for range 6 {
			rule := styles[large.r.IntN(len(styles))].broad()
			little.r.IntN(len(styles))
			if large.r.IntN(2) == 0 {
				rule = rule.style.narrow()
			}
			little.r.IntN(2)
			ask := func(w *wanderer) (list []job, options []change, b score, most, closely []float64) {
				for w.s.ask.workFrom = 0; w.s.ask.workFrom < len(w.s.vats); w.s.ask.workFrom++ {
					list = w.p.jobs(&w.s, &rule, list)
				}
				w.s.ask.workFrom = 0
				options = slices.Clone(w.t.options(w.p, &w.s, rule.Taste, rule.Tastes, false))
				for k := range options {
					options[k].draws = slices.Clone(options[k].draws)
				}
				b = w.p.bound(&w.s, worst())
				look, reach := outlook{}, w.p.reach(&w.s, 0)
				look.look(w.p, &w.s)
				for _, n := range []float64{1, 3, math.Inf(1)} {
					most, closely = append(most, look.litresBy(w.s.atH+3.7, n)), append(closely, reach.litresBy(w.s.atH+3.7, n))
				}
				return list, options, b, append(most, w.p.warmEnough(&w.s)/part), closely
			}
			list, options, b, most, closely := ask(large)
			list2, options2, b2, most2, closely2 := ask(little)
			most2[len(most2)-1] /= part
			same("jobs", float64(len(list2)), float64(len(list)), 0)
			if len(options2) != len(options) { // of blends that do as much one is left out, by rounding
				alike = false
			}
			for k := range min(len(list), len(list2)) {
				x, y := list[k], list2[k]
				if x.vat != y.vat || x.correct != y.correct || x.size != y.size || x.all != y.all {
					same(fmt.Sprintf("%+v, %+v", y, x), 1, 0, 0)
				}
				if x.vat >= 0 {
					x, y := large.p.settled(&large.s, x), little.p.settled(&little.s, y)
					same("poured away after waiting", y.removeL*part, x.removeL, 1e-6)
					same("mixed after waiting", y.batchL*part, x.batchL, 1e-6)
				}
				same("poured away", y.removeL*part, x.removeL, 1e-6)
				same("mixed", y.batchL*part, x.batchL, 1e-6)
				same("from", y.fromH, x.fromH, 1e-6)
				same("share", y.share, x.share, 1e-6)
				jobs++
			}
			for k := range min(len(options), len(options2)) {
				x, y := options[k], options2[k]
				if x.by != y.by || x.trimmed != y.trimmed || len(x.draws) != len(y.draws) {
					same(fmt.Sprintf("%+v, %+v", y, x), 1, 0, 0)
				}
				same("a change", y.litres*part, x.litres, 1e-6)
				changes++
			}
			for k := range most {
				same("the most", most2[k]*part, most[k], 1e-6)
			}
			for k := range closely {
				same("the most, closely", closely2[k]*part, closely[k], 1e-6)
			}
			same("bound", b2.exposure, b.exposure, 1e-6)
			same("its time", b2.finishH, b.finishH, 1e-6)
			same("late", late(b2), late(b), 0)
			if first != "" || !alike {
				break
			}
			for _, w := range []*wanderer{large, little} {
				if len(options) > 0 && w.s.atH >= w.s.nextH && w.r.IntN(2) == 0 {
					o := options
					if w == little {
						o = options2
					}
					w.p.change(&w.s, &o[w.r.IntN(len(o))])
				}
				if len(w.s.vats) > 0 && w.r.IntN(2) == 0 {
					w.work(w.r.IntN(len(w.s.vats)))
				}
				to, _ := w.p.nextMoment(&w.s)
				if to = min(to, w.s.atH+3*w.r.Float64()); to < w.p.horizonH {
					w.p.passTo(&w.s, to)
				}
			}
			same("time", little.s.atH, large.s.atH, 1e-9)
		}
		if first != "" {
			t.Errorf("seed %d: %s", seed, first)
		}
		if !alike {
			unlike++
		}
	}
	if t.Logf("%d jobs, %d changes", jobs, changes); unlike*100 > cases || jobs < cases || changes < cases {
		t.Errorf("%d of %d houses are worked on in another way, %d jobs, %d changes", unlike, cases, jobs, changes)
	}
}

// A contaminant told in other units, with a thousandfold of it in the system, in all water and in
// what is added, has the same plan: nothing knows how much a microgram is. Of few stores and of many.
func TestAThousandfoldOfAContaminantIsPlannedForAlike(t *testing.T) {
	const times = 1024
	unlike, n, cases := 0, 0, fewer(240, 6)
	for seed := range uint64(cases) {
		r := rand.New(rand.NewPCG(seed, 1026))
		s, d := []func(*rand.Rand) (*site.Site, []plan.Demand){harsh, small}[seed%2](r)
		a := &d[0].Aims[0]
		*a = plan.Aim{EventID: "c", Contaminant: "copper", Start: 1, StartU: oneOf(r, 0, 0.1), Target: 0.2 + 0.4*r.Float64(), WithinH: oneOf(r, 0, 6, 24), SourceMgH: oneOf(r, 0, 0, 0.01)}
		if r.IntN(4) == 0 {
			a.BoundRatio, a.BoundRatePerH = 0.5, 0.1
		}
		if r.IntN(3) == 0 {
			d[0].Aims = append(d[0].Aims, share(0.3, 24))
			a = &d[0].Aims[0]
		}
		if seed%5 == 0 {
			a.Target = 0.15
			for k := range 40 {
				v := vatOf(fmt.Sprint("more", k), 50*r.Float64(), 100)
				v.Water.Temperature += units.Celsius(3*r.Float64() - 1.5)
				s.Stores = append(s.Stores, v)
			}
		}
		for k := range s.Stores {
			s.Stores[k].Background = map[string]float64{"copper": oneOf(r, 0, 0.02, 0.3)}
		}
		for k := range s.Salts {
			s.Salts[k].Background = map[string]float64{"copper": oneOf(r, 0, 0.01)}
		}
		small, err := Run(s, noon, d, Options{HorizonH: 96, Nodes: 60, Note: true})
		if err != nil {
			t.Fatal(err)
		}
		was := small.Plans
		a.Start, a.StartU, a.Target, a.SourceMgH = a.Start*times, a.StartU*times, a.Target*times, a.SourceMgH*times
		for k := range s.Stores {
			s.Stores[k].Background["copper"] *= times
		}
		for k := range s.Salts {
			s.Salts[k].Background["copper"] *= times
		}
		out, err := Run(s, noon, d, Options{HorizonH: 96, Nodes: 60, Note: true})
		if err != nil {
			t.Fatal(err)
		}
		is := &out.Plans[0]
		first := alikeAt(is, &was[0], 1)
		for k := range is.Steps {
			if x, y := is.Steps[k].Levels[0].After, was[0].Steps[min(k, len(was[0].Steps)-1)].Levels[0].After; first == "" && math.Abs(x-times*y) > 1e-6*x {
				first = fmt.Sprintf("%g after change %d, %g", x, k+1, y)
			}
			n++
		}
		if x, y := is.Aims[0], was[0].Aims[0]; first == "" && (math.Abs(x.Floor-times*y.Floor) > 1e-6*x.Floor || math.Abs(x.Final-times*y.Final) > 1e-6*x.Final || x.Reachable != y.Reachable || x.Holds != y.Holds || x.InTime != y.InTime) {
			first = fmt.Sprintf("%+v, %+v", x, y)
		}
		if first != "" {
			unlike++
			t.Logf("seed %d: %s", seed, first)
		}
	}
	if n < cases || unlike*100 > cases {
		t.Errorf("%d of %d houses are planned for in another way, %d changes", unlike, cases, n)
	}
}
