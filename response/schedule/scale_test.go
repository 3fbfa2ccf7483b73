package schedule

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
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
	if n < fewer(100, 1) || unlike*100 > max(cases, 100) {
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
			if x, y := is.Steps[k].Levels[0].After, was[0].Steps[min(k, len(was[0].Steps)-1)].Levels[0].After; first == "" && !(math.Abs(x-times*y) <= 1e-6*x) {
				first = fmt.Sprintf("%g after change %d, %g", x, k+1, y)
			}
			n++
		}
		if x, y := is.Aims[0], was[0].Aims[0]; first == "" && (!(math.Abs(x.Floor-times*y.Floor) <= 1e-6*x.Floor) || !(math.Abs(x.Final-times*y.Final) <= 1e-6*x.Final) || x.Reachable != y.Reachable || x.Holds != y.Holds || x.InTime != y.InTime) {
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
