package readiness

import (
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/plan"
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

// TestALatestDelivery is asked for: within two days where the event allows three; not at all where
// it has to be over in two hours.
func TestALatestDelivery(t *testing.T) {
	for within, after := range map[string]float64{"72 h": 48, "48 h": 24, "25 h": 24, "13 h": 12, "7 h": 6, "4 h": 3, "2 h": 0} {
		f := fixOf(judged(t, strings.Replace(head, "drawdown: 50 %", "drawdown: 60 %", 1)+vat("0 L")+strings.Replace(halve, "2 h", within, 1)).Events[0], Delivered)
		if (f == nil) != (after == 0) || f != nil && (*f.AfterH != after || f.Amount < 200 || f.Amount > 201) {
			t.Errorf("within %s: %+v", within, f)
		}
	}
}

// TestGuessesOfAnAmount: as much water as is lacking, or the salt in it; for what is no water there is no
// guess, nor where none is lacking.
func TestGuessesOfAnAmount(t *testing.T) {
	b, ways := benchOn(t, head+withoutSalt+halve)
	for _, w := range ways {
		if got := b.guess(w); got != 0 {
			t.Errorf("%s: %g", w.what, got)
		}
	}
	b.lackingL = ptr(100)
	for _, w := range ways {
		want := map[Remedy]float64{MoreSalt: 3.84, StoredSaltwater: 100, StoredPurified: 100, Delivered: 100}[w.what]
		if got := b.guess(w); got < want-1e-6 || got > want+1e-6 {
			t.Errorf("%s: %g, want %g", w.what, got, want)
		}
	}
}

// TestWhatWasTriedIsRemembered: a trial is a whole plan. What a short search finds for one demand
// the long one need not look for; of two demands it may not find it.
func TestWhatWasTriedIsRemembered(t *testing.T) {
	b, ways := benchOn(t, head+vat("150 L")+halve)
	enough, tooLittle := amount{way: of(ways, StoredSaltwater)[0], x: 60}, amount{way: of(ways, StoredSaltwater)[0], x: 40}
	if !b.hastily(enough) || b.hastily(tooLittle) {
		t.Fatal("50 L are lacking")
	}
	if met, known := b.memory.known[keyOf([]amount{enough})]; !met || !known {
		t.Error("found and forgotten")
	}
	if _, known := b.memory.known[keyOf([]amount{tooLittle})]; known {
		t.Error("a short search decides that nothing is found")
	}
	if b.fails(enough) || len(b.memory.late) != 0 {
		t.Error("what mends was planned again")
	}
	if !b.fails(tooLittle) || len(b.memory.late) != 1 {
		t.Errorf("%d plans shown", len(b.memory.late))
	}
	if b.mends(tooLittle) || !b.mends(enough) || len(b.memory.known) != 2 {
		t.Errorf("%d long searches", len(b.memory.known))
	}
	// It is the memory that answers.
	b.memory.known[keyOf([]amount{enough})] = false
	if b.mends(enough) || b.hastily(enough) {
		t.Error("tried again")
	}
	b.memory.known[keyOf([]amount{enough})] = true
	b.memory.late[keyOf([]amount{tooLittle})] = false
	if b.fails(tooLittle) {
		t.Error("shown again")
	}
	// A short search that met is asked for again by the long one before a plan is called good.
	third := amount{way: enough.way, x: 55}
	b.memory.hasty[keyOf([]amount{third})] = true
	if b.fails(third) || len(b.memory.late) != 1 {
		t.Error("what mends is late")
	}
	if met, known := b.memory.known[keyOf([]amount{third})]; !met || !known {
		t.Error("not asked for by the long search")
	}
	fourth := amount{way: enough.way, x: 45}
	b.memory.hasty[keyOf([]amount{fourth})] = true
	if !b.fails(fourth) {
		t.Error("a short search's word is taken for the plan")
	}
	fifth := amount{way: enough.way, x: 44}
	b.memory.hasty[keyOf([]amount{fifth})] = false
	if !b.fails(fifth) {
		t.Error("44 L are too little")
	}
	if _, asked := b.memory.known[keyOf([]amount{fifth})]; asked {
		t.Error("asked for by the long search though the short one did not meet")
	}

	s := load(t, twoTanks)
	j := newJudge(s, now, units.Metric)
	q, err := j.scenarioOf(s.Events[0], s.Events[1])
	if err != nil {
		t.Fatal(err)
	}
	two := j.newBench(q, false)
	plenty := amount{way: of(two.ways(200), StoredSaltwater)[0], x: 300}
	if !two.hastily(plenty) || len(two.memory.known) != 0 || len(two.memory.hasty) != 1 {
		t.Error("of two demands a short search decides")
	}
}

// TestASiteThatCannotBePlanned: no remedy, no hope, and late.
func TestASiteThatCannotBePlanned(t *testing.T) {
	b, ways := benchOn(t, head+vat("150 L")+halve)
	b.site.Stores[0].Water.Salinity = 50
	a := amount{way: of(ways, StoredSaltwater)[0], x: 60}
	if b.mends(a) || !b.hopeless(a) || !b.fails(a) {
		t.Errorf("mends %v, hopeless %v, fails %v", b.mends(a), b.hopeless(a), b.fails(a))
	}
	// A demand without an aim is one that cannot be planned either.
	b, ways = benchOn(t, head+vat("150 L")+halve)
	b.scenario = scenario{plan.Demand{System: b.scenario[0].System, Aims: []plan.Aim{{Contaminant: "copper", Start: -1, Target: -2}}}}
	a = amount{way: of(ways, StoredSaltwater)[0], x: 60}
	if b.mends(a) || !b.hopeless(a) || !b.fails(a) {
		t.Errorf("mends %v, hopeless %v, fails %v", b.mends(a), b.hopeless(a), b.fails(a))
	}
	// Of two systems one that is late is enough.
	s := load(t, twoTanks)
	j := newJudge(s, now, units.Metric)
	for _, c := range []struct {
		litres string
		late   bool
	}{{"300", false}, {"210", true}} {
		s.Stores[0].Volume = decimal.RequireFromString(c.litres)
		for _, order := range [][]site.Event{{s.Events[0], s.Events[1]}, {s.Events[1], s.Events[0]}} {
			q, err := j.scenarioOf(order...)
			if err != nil {
				t.Fatal(err)
			}
			if p := j.plansFor(s); p.late(q) != c.late {
				t.Errorf("%s L: late %v", c.litres, !c.late)
			}
		}
	}
}

// TestWaysAreWhatThereIs: half a litre of room is room, no room is none; one vat is one way and a
// container another, of two vats there is also both, the one with more room first.
func TestWaysAreWhatThereIs(t *testing.T) {
	for _, c := range []struct {
		stores string
		want   string
	}{
		{saltwaterVats("a 1.5 2 "), "a 0.5, a new container 600"},
		{saltwaterVats("a 2 2 "), "a new container 600"},
		{saltwaterVats("a 100 150 ", "b 100 300 , heater: 100 W"), "b 200, a 50, b a 250, a new container 600"},
	} {
		b, ways := benchOn(t, head+c.stores+halve)
		var got []string
		for _, w := range of(ways, StoredSaltwater) {
			place := w.where
			for _, i := range w.in {
				place += " " + b.site.Stores[i].ID
			}
			got = append(got, fmt.Sprintf("%s %g", strings.TrimSpace(place), w.most))
		}
		if text := strings.Join(got, ", "); text != c.want {
			t.Errorf("%q, want %q", text, c.want)
		}
	}
	f := fixOf(judged(t, head+saltwaterVats("a 50 110 ", "b 50 120 , heater: 100 W")+halve).Events[0], StoredSaltwater)
	if f == nil || f.Where != "b, then a" {
		t.Errorf("%+v", f)
	}
}

// TestAPurifierIsRatedAtItsFeed where there was none: 25 °C, at which a rating is given (common
// practice), so that the rate named is what it makes.
func TestAPurifierIsRatedAtItsFeed(t *testing.T) {
	b, ways := benchOn(t, head+vat("150 L")+halve)
	tr := trial{b.site, b.scenario.copy()}
	of(ways, PurifierRate)[0].apply(&tr, 7)
	if p := tr.Purifier; p == nil || p.RateLH != 7 || p.Feed != 25 || p.RatedAt != 25 {
		t.Errorf("%+v", tr.Purifier)
	}
	if got := purifierRate(tr.Site); got != 7 {
		t.Errorf("%g L/h", got)
	}
	if got := purifierRate(&site.Site{}); got != 0 {
		t.Errorf("no purifier makes %g L/h", got)
	}
	// Cold feed makes less of it.
	tr.Purifier.Feed = 10
	if got := purifierRate(tr.Site); got <= 0 || got >= 6 {
		t.Errorf("%g L/h with feed of 10 °C", got)
	}
}

// TestHalfAnHourIsATimeAllowed too: more of it helps an event that has it.
func TestHalfAnHourIsATimeAllowed(t *testing.T) {
	e := judged(t, head+vat("500 L")+strings.NewReplacer("50 %", "75 %", "2 h", "30 min").Replace(halve)).Events[0]
	if f := fixOf(e, MoreTime); f == nil || f.Amount < 3.9 || f.Amount > 3.9*1.006 {
		t.Errorf("%+v", e.Fixes)
	}
}

// TestOfAlikeStoresTheFirstByName, whichever stands first in the file; a pump of nothing stated is none.
func TestOfAlikeStoresTheFirstByName(t *testing.T) {
	for _, order := range [][]string{{"x", "y"}, {"y", "x"}} {
		s := house()
		s.Stores = nil
		for _, id := range order {
			s.Stores = append(s.Stores, site.Store{ID: id, Water: site.Chemistry{Salinity: 35, Temperature: 25}})
		}
		got := benchOf(s).alike([]int{0, 1}, func(int) float64 { return 20 })
		if len(got) != 1 || s.Stores[got[0]].ID != "x" {
			t.Errorf("%v of %v", got, order)
		}
	}
	one := 1.0
	if orZero(nil) != 0 || orZero(&one) != 1 {
		t.Error(orZero(nil), orZero(&one))
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
