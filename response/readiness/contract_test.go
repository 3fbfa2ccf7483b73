package readiness

import (
	"encoding/json"
	"runtime"
	"slices"
	"testing"
)

// TestKeysOthersRelyOn holds the JSON keys that are part of the contract; more may
// be added, none may go.
func TestKeysOthersRelyOn(t *testing.T) {
	text := head + vat("150 L") + `events:
  - {id: halve, system: tank, remove: 50 %, within: 2 h}
  - {id: tenth, system: tank, remove: 10 %, within: 2 h}
together: [[halve, tenth]]
kit: [{item: pump, need: 1, have: 1, expires: 2027-03-01}]
`
	var r map[string]any
	if err := json.Unmarshal([]byte(asJSON(t, judged(t, text))), &r); err != nil {
		t.Fatal(err)
	}
	first := func(m map[string]any, key string) map[string]any {
		list, ok := m[key].([]any)
		if !ok || len(list) == 0 {
			t.Fatalf("%s holds nothing: %v", key, m[key])
		}
		item, ok := list[0].(map[string]any)
		if !ok {
			t.Fatalf("%s holds %v", key, list[0])
		}
		return item
	}
	event := first(r, "events")
	for _, c := range []struct {
		what string
		m    map[string]any
		keys []string
	}{
		{"result", r, []string{"verdict", "events", "together", "kit"}},
		{"event", event, []string{"id", "system", "verdict", "demand_l", "changes", "usable_now_l", "first_change_l", "coverage", "done_at_h", "within_h", "fixes", "steps"}},
		{"fix", first(event, "fixes"), []string{"what", "amount", "unit", "with"}},
		{"step", first(event, "steps"), []string{"n", "at_h", "remove_l", "add_l", "from"}},
		{"together", first(r, "together"), []string{"events", "verdict"}},
		{"kit", first(r, "kit"), []string{"item", "need", "have", "expires", "ok"}},
	} {
		for _, k := range c.keys {
			if _, ok := c.m[k]; !ok {
				t.Errorf("%s has no %q", c.what, k)
			}
		}
	}
	if event["done_at_h"] != nil {
		t.Errorf("a time that never comes is %v, not null", event["done_at_h"])
	}
}

// TestListsAreNeverNull: a reader of the JSON may always range over them.
func TestListsAreNeverNull(t *testing.T) {
	var r map[string]any
	if err := json.Unmarshal([]byte(asJSON(t, judged(t, head+vat("500 L")+halve))), &r); err != nil {
		t.Fatal(err)
	}
	for _, k := range []string{"events", "together", "kit", "ages", "drills", "untested_guards"} {
		if r[k] == nil {
			t.Errorf("%s is null", k)
		}
	}
}

// TestCoresDoNotChangeTheAnswer judges with one core and with several.
func TestCoresDoNotChangeTheAnswer(t *testing.T) {
	text := manySystems(8)
	several := asJSON(t, judged(t, text))
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	if one := asJSON(t, judged(t, text)); one != several {
		t.Error("one core and several give different answers")
	}
}

// TestRemediesAreListedCheapestFirst: known costs by amount, then by effort.
func TestRemediesAreListedCheapestFirst(t *testing.T) {
	price := func(x float64) *float64 { return &x }
	list := []Fix{{What: MoreTime}, {What: VatHeater}, {What: StoredSaltwater, Cost: price(9)}, {What: MoreSalt, Cost: price(7)}, {What: StoredPurified}}
	slices.SortFunc(list, cheaper)
	for i, want := range []Remedy{MoreSalt, StoredSaltwater, StoredPurified, VatHeater, MoreTime} {
		if list[i].What != want {
			t.Errorf("place %d is %s, want %s", i+1, list[i].What, want)
		}
	}
}
