package plan

import (
	"encoding/json"
	"strings"
	"testing"
)

// TestStepsAsTheyArePrinted: µg/L for a contaminant, fractions for a share, the batch
// beside the store's id and null for stored water, and lists that are never null.
func TestStepsAsTheyArePrinted(t *testing.T) {
	step := Step{N: 1, RemoveL: 100, AddL: 100, Levels: []Level{{Before: 60, After: 45}}, From: []Draw{{StoreID: "a", Litres: 60}, {StoreID: "a", Batch: 2, Litres: 40}}}
	text := func(a Aim, s Step) string {
		p := Plan{Demand: Demand{Aims: []Aim{a}}, Steps: []Step{s}}
		b, err := json.Marshal(p.Shown())
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	got := text(Aim{Contaminant: "copper", Start: 60, Target: 5}, step)
	for _, want := range []string{`"before_ug_l":60`, `"after_ug_l":45`, `"store":"a"`, `"batch":null`, `"batch":2`, `"n":1`, `"at_h":0`, `"remove_l":100`, `"add_l":100`} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in %s", want, got)
		}
	}
	if strings.Contains(got, "fraction") || strings.Count(got, `"batch"`) != 2 || strings.Count(got, `"from"`) != 1 {
		t.Error(got)
	}
	got = text(Aim{Start: 1, Target: 0.5}, Step{N: 1, Levels: []Level{{Before: 1, After: 0.5}}})
	if !strings.Contains(got, `"after_fraction":0.5`) || strings.Contains(got, "ug_l") || !strings.Contains(got, `"from":[]`) {
		t.Error(got)
	}
	if (&Plan{}).Shown() == nil {
		t.Error("no steps are null")
	}
}
