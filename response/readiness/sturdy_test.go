package readiness

import (
	"os"
	"testing"
	"time"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// TestNothingIsBoughtToTheLitre: of a house with a tank and a kelp wall the list was 359 gal more purified
// water, and with a hundredth more than that it was late.
func TestNothingIsBoughtToTheLitre(t *testing.T) {
	file := "../../testdata/sites/houses/breakwater.yaml"
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	s, faults := site.Load(file, text)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	keep := s.Events[:0]
	for _, ev := range s.Events {
		if ev.ID == "reef-copper" || ev.ID == "kelp-half" {
			keep = append(keep, ev)
		}
	}
	s.Events, s.Together = keep, [][]string{{"reef-copper", "kelp-half"}}
	at := time.Date(2026, 11, 27, 3, 0, 0, 0, time.UTC)
	j := newJudge(s, at, units.Metric)
	q, err := j.scenarioOf(s.Events...)
	if err != nil {
		t.Fatal(err)
	}
	x := target{name: "both", events: s.Together[0], bench: j.newBench(q, false)}
	x.ways = x.bench.ways(2000)
	targets := []target{x}
	list, whole, _ := shop(targets)
	if len(whole) == 0 {
		t.Fatal("nothing is to be bought")
	}
	for _, share := range []float64{1, 1.01, 1.03, 1.07, 1.1} {
		more := append(basket(nil), whole...)
		for i := range more {
			more[i].x *= share
		}
		if !x.bench.mends(more...) {
			t.Errorf("late with %g times what is to be bought, %+v", share, list)
		}
	}
}
