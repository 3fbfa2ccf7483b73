package readiness

import (
	"fmt"
	"strings"
	"testing"

	"tidehold/refs"
	"tidehold/volumes/site"
)

// trying loads a text again with one more assignment.
func trying(text string) func(string) (*site.Site, error) {
	return func(set string) (*site.Site, error) {
		s, faults := site.LoadWith("site.yaml", []byte(text), []string{set})
		if len(faults) > 0 {
			return nil, faults[0]
		}
		return s, nil
	}
}

// third is a house of which the drawdown decides, where it is assumed.
const third = `format: 1
systems: [{id: tank, net_volume: 400 L, water: {salinity: 35, temperature: 25 C}}]
stores: [{id: vat, holds: saltwater, volume: 500 L, salinity: 35, temperature: 25 C, mixed: 2026-11-20, transfer: 2000 L/h}]
events: [{id: third, system: tank, remove: 33 %, within: 1 h}]
`

// TestWhatDecides: 400 L of which a quarter (assumed) may be out at once. A third
// within an hour takes two changes then, four hours apart: late. Were half
// allowed out, one change would do: the assumed drawdown decides, and how to measure
// it is said.
func TestWhatDecides(t *testing.T) {
	s := load(t, third)
	w := Decide(s, now, trying(third))
	if w.Tried < 8 || w.Skipped != 0 || len(w.Deciders) == 0 {
		t.Fatalf("%+v", w)
	}
	d := w.Deciders[0]
	if d.What != "systems.tank.drawdown" || d.At != "50 %" || len(d.Changes) != 1 || d.Changes[0].From != Late || d.Changes[0].To != Covered || d.Measure == "" || d.Basis == "" {
		t.Errorf("%+v", d)
	}
	for _, d := range w.Deciders {
		if strings.Contains(d.What, "salinity_per_day") {
			t.Errorf("%+v decides nothing here", d)
		}
	}
}

// TestWhatIsStatedDoesNotDecide: only assumed values are moved. A quarter that is stated is what the
// tool would assume: the verdict is the same, and nothing decides it.
func TestWhatIsStatedDoesNotDecide(t *testing.T) {
	text := strings.Replace(third, "net_volume: 400 L", "net_volume: 400 L, drawdown: 25 %", 1)
	assumed, stated := Decide(load(t, third), now, trying(third)), Decide(load(t, text), now, trying(text))
	if len(assumed.Deciders) != 1 || len(stated.Deciders) != 0 || stated.Tried != assumed.Tried-1 {
		t.Errorf("assumed: %+v; stated: %+v", assumed, stated)
	}
}

// TestEveryPlausibleRangeFitsTheSiteFile: both ends of each row are values that the
// loader takes at that path, so that no row is passed over in silence.
func TestEveryPlausibleRangeFitsTheSiteFile(t *testing.T) {
	text := `format: 1
systems: [{id: tank, net_volume: 400 L}]
stores: [{id: vat, holds: saltwater, volume: 150 L, capacity: 500 L}]
salts: [{id: house, on_hand: 20 kg}]
purifier: {rate: 9 L/h}
events: [{id: metal, system: tank, contaminant: copper, start: 60 ug/L, target: 10 ug/L, within: 72 h}]
`
	load(t, text)
	ids := map[string]string{"systems": "tank", "stores": "vat", "salts": "house", "events": "metal"}
	for _, r := range refs.PlausibleRanges() {
		list, rest, _ := strings.Cut(r.Path, ".")
		path := r.Path
		if id := ids[list]; id != "" {
			path = list + "." + id + "." + rest
		}
		for _, end := range []string{r.Low, r.High} {
			if _, err := trying(text)(path + "=" + end); err != nil {
				t.Errorf("%s=%s: %v", path, end, err)
			}
		}
	}
}

// TestWhatCountsAsADifference: another verdict, or a tenth of the litres more or less; where no
// change was made before there is no share of it, and no infinity in the answer.
func TestWhatCountsAsADifference(t *testing.T) {
	for _, c := range []struct {
		was, is fate
		counts  bool
		by      float64
	}{
		{fate{"e", Short, 100}, fate{"e", Covered, 100}, true, 0}, {fate{"e", Covered, 100}, fate{"e", Covered, 110}, true, 0.1}, {fate{"e", Covered, 1000}, fate{"e", Covered, 900.5}, false, 0},
		{fate{"e", Covered, 1000}, fate{"e", Covered, 899.5}, true, -0.1005}, {fate{"e", Covered, 1000}, fate{"e", Covered, 1100.5}, true, 0.1005}, {fate{"e", Covered, 1000}, fate{"e", Covered, 1099.5}, false, 0},
		{fate{"e", Covered, 0}, fate{"e", Covered, 50}, false, 0}, {fate{"e", Covered, 0}, fate{"e", Late, 50}, true, 0}, {fate{"e", Covered, 0}, fate{"e", Covered, 0}, false, 0},
		{fate{"e", Covered, 0.5}, fate{"e", Covered, 0.6}, true, 0.2}, {fate{"e", Short, 100}, fate{"f", Covered, 300}, false, 0},
	} {
		got := compare([]fate{c.was}, []fate{c.is})
		if len(got) == 1 != c.counts {
			t.Errorf("%+v, then %+v: %+v", c.was, c.is, got)
			continue
		}
		if c.counts {
			if d := got[0]; d.Event != "e" || d.From != c.was.verdict || d.To != c.is.verdict || d.LitresBy < c.by-1e-9 || d.LitresBy > c.by+1e-9 {
				t.Errorf("%+v, then %+v: %+v", c.was, c.is, d)
			}
		}
	}
}

// TestWhatDecidesMost: more verdicts that flip, then the larger move of the litres, up or down.
func TestWhatDecidesMost(t *testing.T) {
	flip, move, down, less := Difference{From: Late, To: Covered}, Difference{From: Late, To: Late, LitresBy: 0.3}, Difference{From: Late, To: Late, LitresBy: -0.4}, Difference{From: Late, To: Late, LitresBy: 0.2}
	order := [][]Difference{nil, {less}, {move}, {down, move}, {flip}, {flip, move}, {flip, down}, {flip, flip}}
	for i := range order {
		for k := range order {
			if got := heavier(order[i], order[k]); got != (i > k) {
				t.Errorf("%+v heavier than %+v: %v", order[i], order[k], got)
			}
		}
	}
	if flips(order[3]) != 0 || flips(order[6]) != 1 || furthest(order[3]) != 0.4 {
		t.Errorf("%d, %d, %g", flips(order[3]), flips(order[6]), furthest(order[3]))
	}
}

// TestThePathWithoutItsName: the list's entry alone is taken out, not a part called the same.
func TestThePathWithoutItsName(t *testing.T) {
	for _, c := range []struct{ what, id, want string }{
		{"stores.vat.heel", "vat", "stores.heel"}, {"systems.a.parts.a.level", "a", "systems.parts.a.level"}, {"mixing.cut_time", "", "mixing.cut_time"},
	} {
		if got := generic(refs.Assumption{What: c.what, Place: refs.Place{ID: c.id}}); got != c.want {
			t.Errorf("%s of %q: %s, want %s", c.what, c.id, got, c.want)
		}
	}
}

// TestHowManyValuesAreMoved: two hundred, at both ends; of the rest it is said how many they are. What the
// site file does not allow is passed over.
func TestHowManyValuesAreMoved(t *testing.T) {
	s := load(t, head+vat("150 L")+halve)
	s.Assumptions = nil
	for range 203 {
		s.Assumptions = append(s.Assumptions, refs.Assumption{What: "systems.tank.drawdown", Value: "25 %", Place: refs.Place{ID: "tank"}})
	}
	s.Assumptions = append(s.Assumptions, refs.Assumption{What: "systems.tank.name", Place: refs.Place{ID: "tank"}})
	tries := 0
	w := Decide(s, now, func(string) (*site.Site, error) { tries++; return nil, fmt.Errorf("not allowed") })
	if w.Tried != 203 || w.Skipped != 3 || tries != 400 || len(w.Deciders) != 0 {
		t.Errorf("%+v, %d tries", w, tries)
	}
}

// TestTheHeaviestDecidesFirst: a drawdown that makes one event late and the litres of both more, before
// an interval that mends one.
func TestTheHeaviestDecidesFirst(t *testing.T) {
	s := load(t, head+vat("500 L")+"events:\n  - {id: a, system: tank, remove: 50 %, within: 2 h}\n  - {id: b, system: tank, remove: 75 %, within: 4 h}\n")
	with := func(change func(s *site.System)) *site.Site {
		c := *s
		c.Systems = append([]site.System(nil), s.Systems...)
		change(&c.Systems[0])
		return &c
	}
	moved := map[string]*site.Site{
		"change_every": with(func(s *site.System) { s.ChangeEveryH = 1 }), "drawdown": with(func(s *site.System) { s.Drawdown = 0.2 }),
	}
	s.Assumptions = nil
	for _, what := range []string{"change_every", "drawdown"} {
		s.Assumptions = append(s.Assumptions, refs.Assumption{What: "systems.tank." + what, Place: refs.Place{ID: "tank"}})
	}
	w := Decide(s, now, func(set string) (*site.Site, error) {
		for what, c := range moved {
			if strings.HasPrefix(set, "systems.tank."+what+"=") {
				return c, nil
			}
		}
		return nil, fmt.Errorf("%s", set)
	})
	if len(w.Deciders) != 2 || w.Deciders[0].What != "systems.tank.drawdown" || w.Deciders[1].What != "systems.tank.change_every" || w.Tried != 2 {
		t.Fatalf("%+v", w)
	}
	d := w.Deciders[1]
	if len(d.Changes) != 1 || d.Changes[0].Event != "b" || d.Changes[0].From != Late || d.Changes[0].To != Covered || d.At == "" {
		t.Errorf("%+v", d)
	}
	// What cannot be worked out is unknown, and takes nothing.
	s.Events[0].Remove = nil
	if got := fates(s, now, nil); got[0] != (fate{"a", Unknown, 0}) || got[1].verdict != Late || got[1].litres != 400 {
		t.Errorf("%+v", got)
	}
	s.Stores[0].Water.Salinity = 50
	if got := fates(s, now, nil); got[1] != (fate{"b", Unknown, 0}) {
		t.Errorf("%+v", got)
	}
}
