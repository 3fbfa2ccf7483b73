package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/response/plan"
)

// A house with a thousandth of everything, litres, kilograms, watts and what is added to it, has
// the same plan, bound and reasons: nothing in the planner knows how large a litre is, but for what
// rounding makes of two choices that are alike: in some 4 of 100 houses. (1024, so that little is
// rounded.)
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
		ask := func() plan.Plan {
			out, err := Run(s, noon, d, Options{HorizonH: 96, Nodes: 100, Note: true})
			if err != nil {
				t.Fatal(err)
			}
			return out.Plans[0]
		}
		was := ask()
		shrink(s, part)
		d[0].Aims[0].SourceMgH /= part
		is := ask()
		first := ""
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
		if len(is.Steps) != len(was.Steps) || len(is.Batches) != len(was.Batches) || len(is.Prepared) != len(was.Prepared) || len(is.Supply) != len(was.Supply) {
			differs("%d changes, %d batches, %d works on vats, %d, %d and %d in the large house", len(is.Steps), len(is.Batches), len(is.Prepared), len(was.Steps), len(was.Batches), len(was.Prepared))
		} else {
			for k := range is.Steps {
				same("a change", is.Steps[k].RemoveL*part, was.Steps[k].RemoveL)
				same("its time", is.Steps[k].AtH, was.Steps[k].AtH)
				if is.Steps[k].LimitedBy != was.Steps[k].LimitedBy {
					differs("a change kept small by %s, %s in the large house", is.Steps[k].LimitedBy, was.Steps[k].LimitedBy)
				}
			}
			for k := range is.Prepared {
				if is.Prepared[k].What != was.Prepared[k].What {
					differs("%s, %s in the large house", is.Prepared[k].What, was.Prepared[k].What)
				}
			}
		}
		n += len(is.Steps)
		if first != "" {
			unlike++
			t.Logf("seed %d: %s", seed, first)
		}
	}
	if n < 100 || unlike*100 > 8*cases {
		t.Errorf("%d of %d houses are planned for in another way, %d changes", unlike, cases, n)
	}
}
