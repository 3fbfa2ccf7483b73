package schedule

import (
	"slices"
	"testing"

	"tidehold/response/plan"
)

// A vat that cannot be poured out as soon as a plan has it drawn from is said, by how much the change
// comes later. By hand: 480 L by bucket of 10 L, 1 min each, are 48 min; by a pump of 1200 L/h 24 min.
func TestPouringTakesTime(t *testing.T) {
	s := placeOf(reef(720), vatOf("tote", 800, 900), vatOf("other", 800, 900))
	from := func(h float64, store string) plan.Step {
		return plan.Step{N: 1, AtH: h, From: []plan.Draw{{StoreID: store, Litres: 10}}}
	}
	for _, c := range []struct {
		pumpLH float64
		poured plan.Prepare
		steps  []plan.Step
		want   string
	}{
		{0, plan.Prepare{StoreID: "tote", RemoveL: 480}, []plan.Step{from(0.5, "tote")},
			"pouring water of tote away takes about 48 min by bucket, which the plan does not count: change 1 comes about 18 min later"},
		{1200, plan.Prepare{StoreID: "tote", RemoveL: 480}, []plan.Step{from(0.25, "tote")},
			"pouring water of tote away takes about 24 min by pump, which the plan does not count: change 1 comes about 9 min later"},
		{1200, plan.Prepare{StoreID: "tote", RemoveL: 480}, []plan.Step{from(0.5, "tote")}, ""},
		{0, plan.Prepare{StoreID: "tote", RemoveL: 480}, []plan.Step{from(0.8, "tote")}, ""},
		{0, plan.Prepare{StoreID: "tote", RemoveL: 480}, []plan.Step{from(0.5, "other"), from(2, "tote")}, ""},
		{0, plan.Prepare{StoreID: "tote", AtH: 3, RemoveL: 480}, []plan.Step{from(0.5, "tote"), from(3.5, "tote")},
			"pouring water of tote away takes about 48 min by bucket, which the plan does not count: change 1 comes about 18 min later"},
		{0, plan.Prepare{StoreID: "tote", RemoveL: 480}, nil, ""},
		{0, plan.Prepare{StoreID: "tote", AddL: 480}, []plan.Step{from(0, "tote")}, ""},
		{0, plan.Prepare{StoreID: "", RemoveL: 480}, []plan.Step{from(0, "")}, ""},
	} {
		s.Stores[0].TransferLH = &c.pumpLH
		p, err := New(s, noon)
		if err != nil {
			t.Fatal(err)
		}
		var want []string
		if c.want != "" {
			want = append(want, c.want)
		}
		if got := p.hurries(&plan.Plan{Prepared: []plan.Prepare{c.poured}, Steps: c.steps}); !slices.Equal(got, want) {
			t.Errorf("%+v: %q, want %q", c, got, want)
		}
	}
}
