package readiness

import (
	"encoding/json"
	"flag"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/outside"
)

// sameSites is how many random houses are planned by every road; 500 were tried before
// this was committed: go test -run OnePlan -sites 500.
var sameSites = flag.Int("sites", 0, "random houses planned by every road")

// slowSites of the first houses take longer together than all others: they are tried when
// -sites says how many.
const slowSites = 4

// TestOnePlanByEveryRoad: what ready says of today's stock is what PlanFor (dilute,
// assess, the cards) shows for the same stock and moment, digit for digit: steps,
// draws, batches, done, exposure, litres, what is lacking. And where there is no
// regular change, the worst day is today.
func TestOnePlanByEveryRoad(t *testing.T) {
	houses := rapid.Custom(drawSite)
	failing, first, count := 0, 0, *sameSites
	if count == 0 {
		first, count = slowSites, outside.Cases(500, 12, 6)
	}
	for i := first; i < first+count; i++ {
		text := houses.Example(i)
		r := judgedOnce(t, text)
		for _, e := range r.Events {
			shown, err := EventPlan(load(t, text), now, e.ID)
			if err != nil {
				t.Fatal(err)
			}
			ready := *e.Today.Plan
			ready.LackingL = e.Today.LackingL
			ready.Binding, ready.Continuous, ready.Keeping = shown.Plan.Binding, shown.Plan.Continuous, shown.Plan.Keeping // ready explains the worst day's
			a, b := asText(t, ready), asText(t, shown.Plan)
			if a != b {
				t.Fatalf("house %d, %s:\nready  %s\ndilute %s\n%s", i, e.ID, a, b, text)
			}
			if e.Today.Verdict != Covered {
				failing++
			}
			if r.WorstDay.DrawnL == 0 && (e.Verdict != e.Today.Verdict || asText(t, *e.Plan) != asText(t, *e.Today.Plan)) {
				t.Errorf("house %d, %s: nothing is drawn and the worst day is another", i, e.ID)
			}
		}
	}
	if failing < count/4 {
		t.Errorf("only %d events fail: the houses are too easy", failing)
	}
}

func asText(t *testing.T, x any) string {
	b, err := json.Marshal(x)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
