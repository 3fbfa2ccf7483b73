package readiness

import (
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"tidehold/volumes/site"
)

// twoTanks are two systems of 400 L and of 200 L, each with a vat of its own kind of water and an
// event it has too little for, unless more is said.
const twoTanks = `format: 1
systems:
  - {id: large, net_volume: 400 L, drawdown: 50 %, change_every: 4 h, water: {salinity: 35, temperature: 25 C}}
  - {id: small, net_volume: 200 L, drawdown: 50 %, change_every: 4 h, water: {salinity: 35, temperature: 25 C}}
stores: [{id: v, holds: saltwater, volume: 80 L, capacity: 900 L, temperature: 25 C, salinity: 35, transfer: 1000 L/h}]
events:
  - {id: half, system: large, remove: 50 %, within: 2 h}
  - {id: most, system: small, remove: 45 %, within: 2 h}
  - {id: twice, system: small, remove: 75 %, within: 2 h}
`

// TestEachEventHasItsOwnRemedies: 200 L are needed for the one and 90 L for the other, and 80 L
// are there. The third takes two changes: it is held back by more than water.
func TestEachEventHasItsOwnRemedies(t *testing.T) {
	r := judged(t, twoTanks)
	for i, want := range []float64{120, 10} {
		e := r.Events[i]
		f := fixOf(e, StoredSaltwater)
		if e.LackingL == nil || *e.LackingL < want || *e.LackingL > want*1.0051 || f == nil || f.Amount < want || f.Amount > want*1.0051 {
			t.Errorf("%s lacks %v: %+v", e.ID, show(e.LackingL), e.Fixes)
		}
		if e.BottleneckDetail == "" || e.Bottleneck != "volume" {
			t.Errorf("%s is held back by %q: %q", e.ID, e.Bottleneck, e.BottleneckDetail)
		}
	}
	if e := r.Events[2]; e.LackingL != nil || len(e.Fixes) != 1 || e.Fixes[0].With == nil || e.BottleneckDetail == "" {
		t.Errorf("lacks %v: %+v, held back by %q", show(e.LackingL), e.Fixes, e.BottleneckDetail)
	}
	// What a plan falls short by: 200 L less the 80 L it uses.
	targets := targetsOf(t, twoTanks)
	for i, want := range []float64{120, 10, 120} {
		if got := targets[i].shortL; got < want-0.01 || got > want+0.01 {
			t.Errorf("%s falls short by %g L, want %g", targets[i].name, got, want)
		}
	}
}

// TestACombinationOfWhatFailsAlone has no remedies of its own: those of the event come first. What
// both lack is said all the same.
func TestACombinationOfWhatFailsAlone(t *testing.T) {
	text := strings.Replace(twoTanks, "{id: twice, system: small, remove: 75 %", "{id: tenth, system: small, remove: 10 %", 1)
	for _, c := range []struct {
		litres, together string
		fixes            bool
		lacking          float64
	}{
		{"80 L", "[half, most]", false, 210}, {"100 L", "[half, most]", false, 190}, {"100 L", "[most, half]", false, 190}, {"210 L", "[half, most]", true, 80}, {"210 L", "[most, half]", true, 80},
	} {
		r := judged(t, strings.Replace(text, "volume: 80 L", "volume: "+c.litres, 1)+"together: ["+c.together+"]\n")
		x := r.Together[0]
		if x.Verdict != Short || len(x.Fixes) > 0 != c.fixes || x.LackingL == nil || *x.LackingL < c.lacking || *x.LackingL > c.lacking*1.0051 {
			t.Errorf("%s %s: %s lacks %v, %+v", c.litres, c.together, x.Verdict, show(x.LackingL), x.Fixes)
		}
		for i, id := range x.Events {
			if x.Each[i].ID != id || (x.Each[i].DoneAtH != nil) != (x.Each[i].Verdict == Covered) {
				t.Errorf("%+v", x.Each[i])
			}
		}
	}
}

// TestAskedForOneEvent answers for that one alone, without the combinations it is in.
func TestAskedForOneEvent(t *testing.T) {
	s := load(t, twoTanks+"together: [[half, most]]\n")
	r, err := Judge(s, now, Options{Event: "most"})
	if err != nil || len(r.Events) != 1 || r.Events[0].ID != "most" || len(r.Together) != 0 {
		t.Errorf("%+v, %v", r, err)
	}
	if len(r.Shopping) != 1 || !slices.Equal(r.Shopping[0].Covers, []string{"most"}) || r.Shopping[0].Amount < 10 || r.Shopping[0].Amount > 10.06 {
		t.Errorf("%+v", r.Shopping)
	}
}

// TestTheCoresStayAsTheyAre: judging takes none away from the program.
func TestTheCoresStayAsTheyAre(t *testing.T) {
	before := runtime.GOMAXPROCS(3)
	defer runtime.GOMAXPROCS(before)
	judged(t, twoTanks)
	if got := runtime.GOMAXPROCS(0); got != 3 {
		t.Errorf("%d cores", got)
	}
	for _, n := range []int{0, 1, 2, 7} {
		done := make([]bool, n)
		inParallel(n, func() func(int) { return func(i int) { done[i] = true } })
		if slices.Contains(done, false) {
			t.Errorf("%d pieces: %v", n, done)
		}
	}
}

// TestRemediesForTwelve: of thirteen that fail one is left, and it is said how to ask for it.
func TestRemediesForTwelve(t *testing.T) {
	var b strings.Builder
	b.WriteString(head + vat("150 L") + "events:\n")
	for i := range 13 {
		b.WriteString("  - {id: e" + string(rune('a'+i)) + ", system: tank, remove: 50 %, within: 2 h}\n")
	}
	r := judged(t, b.String())
	with := 0
	for _, e := range r.Events {
		if len(e.Fixes) > 0 && e.LackingL != nil {
			with++
		}
	}
	if with != 12 || r.Events[12].LackingL != nil || !strings.Contains(strings.Join(r.Warnings, "\n"), "remedies are worked out for the 12 worst events only; ask for one of the other 1 with --event") {
		t.Errorf("%d events with remedies, %q", with, r.Warnings)
	}
}

// TestWhatIsTakenForGrantedIsSaidOnce: however many events rest on it; buckets only where any is carried.
func TestWhatIsTakenForGrantedIsSaidOnce(t *testing.T) {
	for _, pump := range []string{"", ", transfer: 1000 L/h"} {
		s := load(t, strings.Replace(twoTanks, ", transfer: 1000 L/h", pump, 1)+"together: [[half, most]]\n")
		r, err := Judge(s, now, Options{})
		if err != nil {
			t.Fatal(err)
		}
		seen := map[string]int{}
		for _, a := range r.Assumptions {
			seen[a.What+a.Value]++
		}
		for what, n := range seen {
			if n > 1 {
				t.Errorf("%d times: %s", n, what)
			}
		}
		if len(r.Assumptions) < len(s.Assumptions) {
			t.Errorf("%d assumptions of %d", len(r.Assumptions), len(s.Assumptions))
		}
		own := len(s.Assumptions)
		if said := seen["buckets one person carries for a change30 of 10 L"]; said != 0 != (pump == "") {
			t.Errorf("pump %q: said %d times", pump, said)
		} else {
			own += said
		}
		if len(r.Assumptions) == own {
			t.Error("nothing that the plans took for granted")
		}
		for i, w := range r.Warnings {
			if slices.Contains(r.Warnings[:i], w) {
				t.Errorf("twice: %s", w)
			}
		}
	}
}

// TestALitreOfRoutine: one litre less on the worst day is one litre more that is lacking then.
func TestALitreOfRoutine(t *testing.T) {
	e := judged(t, head+vat("150 L")+halve+"routine: [{system: tank, volume: 1 L, every: 7 d}]\n").Events[0]
	near(t, "lacking", e.LackingL, 51.1, 0.11)
	near(t, "lacking today", e.Today.LackingL, 50.1, 0.11)
	if *e.LackingL < 51 || *e.Today.LackingL >= 51 {
		t.Errorf("lacking %g, today %g", *e.LackingL, *e.Today.LackingL)
	}
}

// TestTheOrderOfTheRegularChanges: the oldest first, water without a date last, and of two alike the first by
// name; water over its age is left.
func TestTheOrderOfTheRegularChanges(t *testing.T) {
	at := func(days int) *time.Time { x := now.AddDate(0, 0, -days); return &x }
	stores := map[string]site.Store{}
	for id, mixed := range map[string]*time.Time{"old-b": at(9), "old-a": at(9), "new": at(2), "none-b": nil, "none-a": nil, "over": at(90)} {
		stores[id] = site.Store{ID: id, Holds: site.Saltwater, Mixed: mixed, MaxAgeH: 30 * 24}
	}
	stores["pure"] = site.Store{ID: "pure", Holds: site.Purified}
	for _, file := range []string{"old-a old-b new none-a none-b over pure", "none-b none-a pure new old-b old-a over", "new none-a old-b over none-b old-a pure", "none-a new none-b old-a old-b pure over"} {
		var list []site.Store
		for _, id := range strings.Fields(file) {
			list = append(list, stores[id])
		}
		var got []string
		for _, i := range routineOrder(list, now) {
			got = append(got, list[i].ID)
		}
		if strings.Join(got, " ") != "old-a old-b new none-a none-b" {
			t.Errorf("%s: %v", file, got)
		}
	}
}
