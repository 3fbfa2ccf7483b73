package schedule

import (
	"math/rand/v2"
	"testing"

	"tidehold/response/plan"
)

// The budget of nodes is what a frightened keeper waits for: a search takes a few times that many, all of
// its parts together, of no house much more; and none less than the plan that it has found has moves.
func TestTheBudgetIsKept(t *testing.T) {
	const budget = 150
	n, all, most := 0, 0, 0
	for seed := range uint64(fewer(240, 4)) {
		r := rand.New(rand.NewPCG(seed, 9000))
		s, d := harsh(r)
		f := laid(t, s, d[0]).solve(budget, new(search))
		n, all, most = n+1, all+f.nodes, max(most, f.nodes)
		if f.nodes < len(f.moves) {
			t.Errorf("seed %d: %d moves in %d nodes", seed, len(f.moves), f.nodes)
		}
	}
	mean := float64(all) / float64(n*budget)
	if t.Logf("of %d nodes: %.2f times as many on the mean, %.1f at most", budget, mean, float64(most)/budget); mean > 5 && n >= 100 || most > 15*budget { // of sixty, under the race detector, a few with a source weigh too much
		t.Errorf("of %d nodes: %.2f times as many on the mean, %.1f at most", budget, mean, float64(most)/budget)
	}
}

// A plan of hundreds of changes that ends with a cup is not carried out again for each of them.
func TestAPlanOfHundredsOfChangesIsSoonFound(t *testing.T) {
	sys := reef(400)
	sys.Drawdown, sys.LeastChange, sys.ChangeEveryH = 0.01, 0.005, 1
	p := laid(t, placeOf(sys, vatOf("vat", 8000, 9000)), plan.Demand{Aims: []plan.Aim{share(0.999, 2000)}})
	p.finishing = 0 // that has a budget of its own
	f := p.solve(fewNodes, new(search))
	if n := len(f.moves); n < 600 || f.nodes > 200*n {
		t.Errorf("%d moves in %d nodes", n, f.nodes)
	}
}
