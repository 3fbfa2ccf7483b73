package dilution

import (
	"cmp"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/outside"
	"tidehold/refs/units"
)

// uncertain is the case of .ci/trials_numpy.py.
func uncertain() Problem {
	p := copper()
	p.ChangeL, p.Trim = 288, true
	p.Volume.U = 51.2
	p.Contaminants[0].Start.U, p.Contaminants[0].New.U = 8, 0.5
	return p
}

// withDynamics makes every trial follow its changes one by one.
func withDynamics(p Problem) Problem {
	p.Contaminants = slices.Clone(p.Contaminants)
	p.Contaminants[0].Source = Source{MgH: 0.05, UntilH: 6}
	p.Contaminants[0].BoundRatio, p.Contaminants[0].BoundRatePerH = 0.3, 0.05
	return p
}

func TestTrialsDoNotDependOnTheNumberOfCores(t *testing.T) {
	before := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(before)
	continuous := uncertain()
	continuous.Continuous = true
	for name, p := range map[string]Problem{"pure": uncertain(), "followed": withDynamics(uncertain()), "continuous": continuous} {
		p.Trials = 2*chunk + 17
		var want tally
		for _, cores := range []int{1, 2, 3, 8} {
			runtime.GOMAXPROCS(cores)
			got := p.trials()
			if want.trials == 0 {
				want = got
			}
			if left := runtime.GOMAXPROCS(0); left != cores {
				t.Errorf("%s: %d of %d cores are left to the program", name, left, cores)
			}
			if !equal(got, want) {
				t.Errorf("%s: other results on %d cores", name, cores)
			}
		}
		p.Seed++
		if equal(p.trials(), want) {
			t.Errorf("%s: another seed, the same trials", name)
		}
	}
}

// equal compares tallies, their last changes in order of size.
func equal(a, b tally) bool {
	if a.trials != b.trials || a.never != b.never || len(a.byCount) != len(b.byCount) {
		return false
	}
	for n := range a.byCount {
		x, y := slices.Clone(a.byCount[n].lasts), slices.Clone(b.byCount[n].lasts)
		slices.Sort(x)
		slices.Sort(y)
		if a.byCount[n].trials != b.byCount[n].trials || !slices.Equal(x, y) {
			return false
		}
	}
	return true
}

// TestFastCountMatchesClosedFormAndChangeByChange compares the three ways in
// which the number of changes is found.
func TestFastCountMatchesClosedFormAndChangeByChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, true)
		c := p.Contaminants[0]
		w := p.worker()
		// A case away from the stated one, as trials draw it.
		volume := p.Volume.Value * rapid.Float64Range(1, 1.6).Draw(t, "volume factor")
		w.starts[0] = c.Start.Value * rapid.Float64Range(0.2, 3).Draw(t, "start factor")
		w.news[0] = c.New.Value * rapid.Float64Range(0, 3).Draw(t, "new factor")
		fast := w.pureNeed(volume)
		n, ok := ChangesNeeded(w.starts[0], c.Target, w.news[0], p.ChangeL/volume)
		if n > MaxChanges {
			ok = false
		}
		if ok != (fast.n != never) || ok && n != int(fast.n) {
			t.Fatalf("fast %+v, by logarithm %d %v", fast, n, ok)
		}
		if !ok {
			return
		}
		stepped, last, ok := p.course(volume, w.starts, w.news).need(MaxChanges)
		if !ok || stepped != n || p.Trim && !near(fast.last, last, 1e-6*p.ChangeL, 1e-6) {
			t.Fatalf("fast %+v, change by change %d, last %v (%v)", fast, stepped, last, ok)
		}
	})
}

// TestPercentilesAreOrderStatistics compares with all trials sorted, the pilot
// stream of few trials being wrong about the number of changes now and then.
func TestPercentilesAreOrderStatistics(t *testing.T) {
	p := uncertain()
	p.Trials = 3 * chunk
	all := p.run(p.Trials, anyNumber)
	var sorted []need
	for n, g := range all.byCount {
		for _, last := range g.lasts {
			sorted = append(sorted, need{int32(n), last})
		}
	}
	slices.SortFunc(sorted, func(a, b need) int { return cmp.Or(cmp.Compare(a.n, b.n), cmp.Compare(a.last, b.last)) })
	if len(sorted) != p.Trials {
		t.Fatalf("%d trials kept of %d", len(sorted), p.Trials)
	}
	for share := 0.5; share < 0.995; share += 0.003 {
		p.Confidence = share
		tally := p.trials()
		want := sorted[int(math.Ceil(share*float64(p.Trials)-1e-9))-1]
		if n := tally.changes(share); n == nil || *n != int(want.n) || tally.last(share, *n) != want.last {
			t.Errorf("%v: %v changes, want %+v", share, n, want)
		}
	}
}

// TestSizedPlanSufficesInItsShareOfTrials plays the plan's own litres against fresh
// cases.
func TestSizedPlanSufficesInItsShareOfTrials(t *testing.T) {
	for name, p := range map[string]Problem{"pure": uncertain(), "followed": withDynamics(uncertain())} {
		for _, confidence := range []float64{0.5, 0.9, 0.95} {
			const trials = 5000
			p.Confidence, p.Trials = confidence, trials
			plan := mustPlan(t, p)
			fresh := p
			fresh.Seed = 99
			met := 0
			for _, one := range fresh.cases(trials) {
				c := fresh.course(one.volume, one.starts, one.news)
				for i, step := range plan.Steps {
					if i > 0 && c.pass(p.EveryH) {
						break
					}
					c.change(step.AddL)
				}
				if c.met() {
					met++
				}
			}
			got := float64(met) / trials
			// Two samples: five standard deviations of their difference.
			if tolerance := 5 * math.Sqrt(2*confidence*(1-confidence)/trials); !(math.Abs(got-confidence) <= tolerance) {
				t.Errorf("%s: sized for %v, suffices in %v ± %v of fresh cases", name, confidence, got, tolerance)
			}
		}
	}
}

type drawn struct {
	volume       float64
	starts, news []float64
}

// cases draws n cases by the definition: normal with standard deviation U/2, drawn
// again unless positive and, for the volume, larger than the largest change.
func (p Problem) cases(n int) []drawn {
	r := rand.New(rand.NewPCG(p.Seed, 1<<40))
	one := func(a units.Measured, above float64) float64 {
		x := a.Value
		for a.U > 0 {
			if x = a.Value + a.U/2*r.NormFloat64(); x > above {
				break
			}
		}
		return x
	}
	list := make([]drawn, n)
	for i := range list {
		list[i].volume = one(p.Volume, p.ChangeL)
		for _, c := range p.Contaminants {
			list[i].starts = append(list[i].starts, one(c.Start, 0))
			list[i].news = append(list[i].news, one(c.New, 0))
		}
	}
	return list
}

// TestTrialsMatchLinearPropagation compares with the law of propagation of
// uncertainty (JCGM 100:2008, 5.1.2, eq. 10) where it is valid: small
// uncertainties, and the litres of a continuous exchange, which are smooth in the
// inputs: Q = V·ln((C0 − n)/(T − n)).
func TestTrialsMatchLinearPropagation(t *testing.T) {
	p := copper()
	p.Continuous, p.Trials = true, 200_000
	p.Volume.U = 12.8 // 2 %
	c := &p.Contaminants[0]
	c.Start.U, c.New.U = 1.2, 0.04
	v, c0, target, n := p.Volume.Value, c.Start.Value, c.Target, c.New.Value
	terms := []float64{
		math.Log((c0-n)/(target-n)) * p.Volume.U / 2,
		v / (c0 - n) * c.Start.U / 2,
		v * (1/(target-n) - 1/(c0-n)) * c.New.U / 2,
	}
	u := 0.0
	for _, x := range terms {
		u += x * x
	}
	u = math.Sqrt(u)
	mean := v * math.Log((c0-n)/(target-n))
	for _, q := range []struct{ share, z float64 }{{0.5, 0}, {0.9, 1.2815516}, {0.95, 1.6448536}, {0.975, 1.9599640}} {
		p.Confidence = q.share
		got := mustPlan(t, p).WaterL
		// A hundredth of u for the curvature, and the sampling of 200,000 trials.
		if want := mean + q.z*u; !(math.Abs(got-want) <= 0.02*u) {
			t.Errorf("%v of cases: %v L, linear propagation %v ± %v", q.share, got, want, u)
		}
	}
}

// TestSizedBelowTheStatedValues: at 50 % the litres may fall just short of what the
// stated values themselves need; the plan is reached and holds all the same.
func TestSizedBelowTheStatedValues(t *testing.T) {
	short := 0
	for seed := range uint64(20) {
		p := uncertain()
		p.Confidence, p.Seed, p.Trials = 0.5, seed, 1000
		plan := mustPlan(t, p)
		if plan.Final > p.Contaminants[0].Target*(1+Slack) {
			short++
		}
		if !plan.Reached || !plan.Holds || plan.DoneAtH == nil || *plan.DoneAtH != plan.Steps[len(plan.Steps)-1].AtH {
			t.Errorf("seed %d: %+v", seed, plan)
		}
	}
	if short == 0 {
		t.Error("no plan ended above the target")
	}
}

// TestNewWaterThatMayItselfBeAboveTheTarget: in the share of cases in which the
// background is above the target no number of changes helps.
func TestNewWaterThatMayItselfBeAboveTheTarget(t *testing.T) {
	p := copper()
	p.Contaminants[0].New = units.Measured{Value: 2.1, U: 2} // one standard deviation under the target
	plan := mustPlan(t, p)
	// Φ(1) = 0.8413, cut at zero: Φ(−2.1) = 0.0179 is drawn again.
	if want := 1 - (1-0.84134)/(1-0.01786); !(math.Abs(plan.ReachShare-want) <= 0.012) {
		t.Errorf("reached in %v of cases, want %v", plan.ReachShare, want)
	}
	if plan.Reachable || plan.P50 == nil || plan.P90 != nil || plan.P95 != nil || len(plan.Steps) == 0 || plan.Reached {
		t.Errorf("%+v", plan)
	}
	p.Confidence = 0.8
	if plan = mustPlan(t, p); !plan.Reachable || !plan.Reached {
		t.Errorf("at 80 %%: %+v", plan)
	}
	withFlow := p
	withFlow.Continuous, withFlow.FlowLH = true, 60
	if plan = mustPlan(t, withFlow); !plan.Reachable || plan.DoneAtH == nil {
		t.Errorf("run through at 80 %%: %+v", plan)
	}
	followed := withDynamics(p)
	followed.Contaminants[0].New.Value, followed.Trials = 3.05, 1000
	if plan = mustPlan(t, followed); plan.ReachShare > 0.7 || plan.ReachShare < 0.3 {
		t.Errorf("followed: reached in %v of cases", plan.ReachShare)
	}
}

// TestMillionTrialsMatchNumpy runs .ci/trials_numpy.py, which draws the same
// distributions from another generator with another program, for the same case.
func TestMillionTrialsMatchNumpy(t *testing.T) {
	if testing.Short() {
		t.Skip("a million trials in numpy take a second")
	}
	script := filepath.Join("..", "..", ".ci", "trials_numpy.py")
	out, err := exec.Command("/usr/bin/python3", script, "1000000", "5", "1").Output()
	if err != nil {
		outside.Missing(t, "the numpy reference did not run (Debian's python3-numpy is needed): %v", err)
	}
	var want struct {
		P50, P90, P95 int
		LastL         float64        `json:"last_l"`
		Counts        map[string]int `json:"counts"`
	}
	if err := json.Unmarshal(out, &want); err != nil {
		t.Fatal(err)
	}
	p := uncertain()
	p.Trials = 1_000_000
	tally := p.trials()
	for share, n := range map[float64]int{0.5: want.P50, 0.9: want.P90, 0.95: want.P95} {
		if got := tally.changes(share); got == nil || *got != n {
			t.Errorf("%v of trials: %v changes, numpy %d", share, got, n)
		}
	}
	// The 90 % point of the last change: its density there is about 0.003 a litre,
	// so two samples of a million differ by 0.14 L; five times that.
	if got := tally.last(0.9, want.P90); !(math.Abs(got-want.LastL) <= 0.7) {
		t.Errorf("last change %v L, numpy %v L", got, want.LastL)
	}
	compared := 0
	for text, k := range want.Counts {
		n, err := strconv.Atoi(text)
		if err != nil || n >= len(tally.byCount) {
			t.Errorf("numpy has %d trials that need %s changes, here none does", k, text)
			continue
		}
		compared++
		if got := tally.byCount[n].trials; !(math.Abs(float64(got-k)) <= 5*math.Sqrt(2*float64(k))+5) {
			t.Errorf("%d changes: %d trials, numpy %d", n, got, k)
		}
	}
	if compared < 3 {
		t.Errorf("only %d counts compared", compared)
	}
}

// BenchmarkPlanMillionTrials is timed beside numpy by .ci/bench-trials: no more
// than a third of its time, no more than 64 MiB.
func BenchmarkPlanMillionTrials(b *testing.B) {
	p := uncertain()
	p.Trials = 1_000_000
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.Plan(); err != nil {
			b.Fatal(err)
		}
	}
}
