package readiness

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// TestHowManyTrialsASearchTakes: each trial is a whole plan. A guess within three per cent
// saves a third of them or more, one that is the very edge half, and a poor one costs two. One of them is for a round number.
func TestHowManyTrialsASearchTakes(t *testing.T) {
	count := func(least, most, guess float64, tests int) int {
		runs := 0
		mends := func(x float64) bool { runs++; return x >= least }
		list := make([]func(float64) bool, tests)
		for i := range list {
			list[i] = mends
		}
		found, ok := smallest(list, never, most, guess)
		if !ok || found.least < least || found.least*proofStep >= least || found.least > least*1.0051 || found.tooMuch != 0 {
			t.Fatalf("from %g, at most %g, guess %g: %+v, %v", least, most, guess, found, ok)
		}
		return runs
	}
	for _, c := range []struct {
		least, most, guess float64
		tests, ceiling     int
	}{
		{100, 1000, 0, 1, 20}, {100, 1000, 100, 1, 9}, {100, 1000, 101, 1, 14}, {100, 1000, 98, 1, 14}, {100, 1000, 150, 1, 22}, {100, 1000, 60, 1, 20},
		{0.01, 1e5, 0, 1, 26}, {100, 101, 0, 1, 19}, {100, 1000, 100, 2, 10}, {100, 1000, 0, 2, 21}, {500, 510, 505, 2, 15}, {100, 1000, 990, 1, 22},
	} {
		if runs := count(c.least, c.most, c.guess, c.tests); runs > c.ceiling {
			t.Errorf("from %g, at most %g, guess %g, %d tests: %d trials, at most %d expected", c.least, c.most, c.guess, c.tests, runs, c.ceiling)
		}
	}
	if with, without := count(100, 1e5, 100, 1), count(100, 1e5, 0, 1); 3*with > 2*without {
		t.Errorf("%d trials with a good guess, %d without", with, without)
	}
}

// TestWhereMoreIsTooMuch: the edge above which an amount no longer mends, to 0.4 per cent; none
// where all that is tried mends.
func TestWhereMoreIsTooMuch(t *testing.T) {
	for _, c := range []struct{ edge, most, want float64 }{{105, 1000, 105}, {120, 1000, 120}, {100.5, 1000, 100.5}, {131, 1000, 0}, {104, 105, 104}, {104, 103, 0}} {
		got := tooMuch(func(x float64) bool { return x <= c.edge }, 100, c.most, above)
		if c.want == 0 && got != 0 || c.want > 0 && (got <= c.edge || got > c.edge*1.0041) {
			t.Errorf("mends up to %g, at most %g: %g", c.edge, c.most, got)
		}
	}
	for _, c := range []struct {
		share float64
		found bool
	}{{0.9, true}, {0.7, true}, {0.8, false}, {1, false}} {
		x, ok := mendsBelow(func(x float64) bool { return math.Abs(x-200*c.share) < 1e-9 }, never, 200, below)
		if ok != c.found || ok && !(math.Abs(x-200*c.share) <= 1e-9) {
			t.Errorf("mends at %g of it: %g, %v", c.share, x, ok)
		}
	}
}

// TestAmountsAreRoundedUp at every size, and not by what rounding leaves.
func TestAmountsAreRoundedUp(t *testing.T) {
	for x, want := range map[float64]float64{1234: 1234, 1234.5: 1235, 12345: 12350, 12350: 12350, 123.4 + 1e-11: 123.4, 123.41: 123.5, 0.1: 0.1, 0.10001: 0.1001, 12350 + 1e-9: 12350, 999.95: 1000} {
		if got := roundUp(x, 4); !(math.Abs(got-want) <= 1e-12*want) {
			t.Errorf("%g: %g, want %g", x, got, want)
		}
	}
}

// house is a small house by hand: three vats with 100, 50 and 0 L of room, and a bin.
func house() *site.Site {
	fast, slow := 2000.0, 500.0
	mixed := now.AddDate(0, 0, -40)
	return &site.Site{
		Systems: []site.System{{ID: "tank", NetVolume: 400, Water: site.Chemistry{Salinity: 35, Temperature: 25}, Ambient: site.Ambient{Usual: 19}}},
		Stores: []site.Store{
			{ID: "a", Holds: site.Saltwater, Capacity: 300, Volume: decimal.NewFromInt(200), Heel: 12, Water: site.Chemistry{Salinity: 35, Temperature: 20}, TransferLH: &slow, Background: map[string]float64{"copper": 2, "zinc": 1}},
			{ID: "b", Holds: site.Saltwater, Capacity: 200, Volume: decimal.NewFromInt(150), Water: site.Chemistry{Salinity: 35, Temperature: 20}, TransferLH: &fast, Background: map[string]float64{"copper": 1, "zinc": 3}},
			{ID: "full", Holds: site.Saltwater, Capacity: 100, Volume: decimal.NewFromInt(100), Water: site.Chemistry{Salinity: 36, Temperature: 20}},
			{ID: "old", Holds: site.Saltwater, Capacity: 500, Volume: decimal.NewFromInt(100), Mixed: &mixed, MaxAgeH: 30 * 24},
			{ID: "pure", Holds: site.Purified, Capacity: 250, Volume: decimal.NewFromInt(50), Heel: 3, Water: site.Chemistry{Temperature: 18}},
		},
		Reserve: site.Reserve{Saltwater: 60, Purified: 40}, Routine: []site.Routine{{Volume: 90}},
		Mixing: site.Mixing{In: []string{"a"}},
	}
}

func benchOf(s *site.Site) bench {
	return newJudge(s, now, units.Metric).newBench(scenario{plan.Demand{System: &s.Systems[0]}}, true)
}

// TestWaysOfHavingMore: by hand for the house above: what it keeps back is 12 + 3 L of
// heels, 100 L of reserves and 90 L of routine.
func TestWaysOfHavingMore(t *testing.T) {
	s := house()
	b := benchOf(s)
	if got := b.keptBack(); got != 205 {
		t.Errorf("%g L are kept back, want 205", got)
	}
	ways := b.ways(200) // 3 · 200 + 205 = 805 L at most
	most := map[string]float64{}
	for _, w := range ways {
		key := string(w.what)
		for _, i := range w.in {
			key += " " + s.Stores[i].ID
		}
		if w.where != "" {
			key += " " + w.where
		}
		if w.what == Delivered {
			key += fmt.Sprintf(" %g", w.afterH)
		}
		most[key] = w.most
	}
	for key, want := range map[string]float64{
		"stored-saltwater a": 100, "stored-saltwater a b": 150, "stored-saltwater " + newContainer: 805,
		"stored-purified pure": 200, "stored-purified " + newContainer: 805, "delivery 48": 805, "delivery 24": 805, "delivery 12": 805, "delivery 6": 805, "delivery 3": 805,
		"vat-heater a": 3600, "vat-capacity a": 805, "purifier-rate": 10000, "more-time": 1440,
		"stored-saltwater full": 0, "stored-saltwater old": 0, "vat-capacity b": 0,
	} {
		if most[key] != want {
			t.Errorf("%s: at most %g, want %g; of %v", key, most[key], want, most)
		}
	}
	s.Salts = []site.Salt{{ID: "house"}}
	if w := benchOf(s).ways(200)[0]; w.what != MoreSalt || !(math.Abs(w.most-80.5) <= 1e-9) || w.where != "house" {
		t.Errorf("%+v", w)
	}
	// Each way does what it says, to a copy.
	for _, w := range benchOf(s).ways(200) {
		cut := *s
		cut.Stores, cut.Salts = append([]site.Store(nil), s.Stores...), append([]site.Salt(nil), s.Salts...)
		tr := trial{&cut, scenario{plan.Demand{System: &s.Systems[0], Aims: []plan.Aim{{WithinH: 4}, {}}}}}
		w.apply(&tr, 20)
		var got float64
		switch w.what {
		case MoreSalt:
			got = cut.Salts[0].OnHand.InexactFloat64()
		case StoredSaltwater, StoredPurified:
			for i := range cut.Stores {
				got += cut.Stores[i].Volume.InexactFloat64()
			}
			got -= 600
		case Delivered:
			got = float64(cut.Deliveries[0].Saltwater)
		case VatHeater:
			got = cut.Stores[0].HeaterW + cut.Stores[1].HeaterW + cut.Stores[2].HeaterW + cut.Stores[3].HeaterW
		case VatCapacity:
			got = float64(cut.Stores[0].Capacity) - 300
		case PurifierRate:
			got = cut.Purifier.RateLH
		case MoreTime:
			if got = tr.scenario[0].Aims[0].WithinH - 4; tr.scenario[0].Aims[1].WithinH != 0 {
				t.Error("a time where none is set")
			}
		}
		if !(math.Abs(got-20) <= 1e-9) {
			t.Errorf("%s in %v: %g, want 20", w.what, w.in, got)
		}
	}
}

// TestFillingOneVatAfterTheOther up to the brim, and named as far as it reaches.
func TestFillingOneVatAfterTheOther(t *testing.T) {
	s := house()
	for _, c := range []struct {
		x, a, b float64
		where   string
	}{{80, 280, 150, "a"}, {100, 300, 150, "a"}, {100.5, 300, 150.5, "a, then b"}, {150, 300, 200, "a, then b"}} {
		cut := *s
		cut.Stores = append([]site.Store(nil), s.Stores...)
		filling([]int{0, 1})(&trial{Site: &cut}, c.x)
		a, b := cut.Stores[0].Volume.InexactFloat64(), cut.Stores[1].Volume.InexactFloat64()
		if a != c.a || b != c.b {
			t.Errorf("%g L more: %g and %g, want %g and %g", c.x, a, b, c.a, c.b)
		}
		if got := (amount{way: way{in: []int{0, 1}}, x: c.x}).place(s); got != c.where {
			t.Errorf("%g L go to %q, want %q", c.x, got, c.where)
		}
	}
	if got := (amount{way: way{in: []int{1}}, x: 500}).place(s); got != "b" {
		t.Error(got)
	}
	if got := (amount{way: way{where: newContainer}, x: 5}).place(s); got != newContainer {
		t.Error(got)
	}
}

// TestAContainerOfItsOwn: the system's own water with the best pump, and without a salt the most
// that any store brings; purified water at the room's temperature.
func TestAContainerOfItsOwn(t *testing.T) {
	s := house()
	st := containerFor(s, now, &s.Systems[0], site.Saltwater, 80)
	if st.Water.Salinity != 35 || st.Water.Temperature != 25 || st.Capacity != 80 || st.Volume.InexactFloat64() != 80 || *st.TransferLH != 2000 || st.Background["copper"] != 2 || st.Background["zinc"] != 3 || st.OverAge(now.AddDate(0, 11, 0)) {
		t.Errorf("%+v", st)
	}
	s.Salts = []site.Salt{{ID: "house"}}
	if st := containerFor(s, now, &s.Systems[0], site.Saltwater, 80); st.Background != nil {
		t.Errorf("%+v", st)
	}
	if st := containerFor(s, now, &s.Systems[0], site.Purified, 80); st.Water.Salinity != 0 || st.Water.Temperature != 19 || st.TransferLH != nil {
		t.Errorf("%+v", st)
	}
}

// TestMoreOfOneWater: more water is spread over vats that hold water as salty; kept as warm as each is where
// they differ in that.
func TestMoreOfOneWater(t *testing.T) {
	vat := func(id string, salinity units.Practical, c units.Celsius) site.Store {
		st := site.Store{ID: id, Holds: site.Saltwater, Capacity: 300, Volume: decimal.NewFromInt(10)}
		st.Water.Salinity, st.Water.Temperature = salinity, c
		return st
	}
	s := house()
	s.Stores = []site.Store{vat("a", 35, 25), vat("b", 12, 25), vat("c", 35, 24), vat("d", 12, 25), vat("e", 20, 25)}
	var got []string
	for _, w := range benchOf(s).water(site.Saltwater, 1000) {
		if len(w.in) > 1 {
			got = append(got, fmt.Sprint(w.in, w.most, w.water.Salinity, w.asWarm))
		}
	}
	if want := "[[0 2] 580 35 true [1 3] 580 12 false]"; fmt.Sprint(got) != want {
		t.Errorf("%v, want %s", got, want)
	}
}

// TestGuardsOfThePurifierTooInOrder: never tested, long ago, and today a year ago.
func TestGuardsOfThePurifierTooInOrder(t *testing.T) {
	at := func(years, days int) *time.Time { x := now.AddDate(years, 0, days); return &x }
	s := &site.Site{
		Systems: []site.System{
			{ID: "tank", Equipment: []site.Equipment{{ID: "h", Guards: []site.Guard{{Kind: "cut-out"}, {Kind: "alarm", Tested: at(-1, 1)}}}}},
			{ID: "annex", Equipment: []site.Equipment{{ID: "h", Guards: []site.Guard{{Kind: "cut-out", Tested: at(-1, -2)}}}}},
		},
		Purifier: &site.Purifier{Guards: []site.Guard{{Kind: "leak shutoff"}}},
	}
	got := ""
	for _, g := range CheckGuards(s, now) {
		got += g.On + " " + g.Guard + "; "
	}
	if got != "annex h cut-out; purifier leak shutoff; tank h cut-out; " {
		t.Error(got)
	}
}

// TestWaterThatStopsCountingSoon: mentioned in the last three days.
func TestWaterThatStopsCountingSoon(t *testing.T) {
	for hours, problem := range map[float64]bool{647: false, 648: false, 648.5: true, 720: true, 720.5: true} { // of 720
		mixed := now.Add(-time.Duration(hours * float64(time.Hour)))
		a := CheckAges([]site.Store{{ID: "v", Holds: site.Saltwater, Volume: decimal.NewFromInt(1), Mixed: &mixed, MaxAgeH: 720}}, now)[0]
		if (a.Problem != "") != problem || a.Counted != (hours <= 720) {
			t.Errorf("%g h old: %+v", hours, a)
		}
	}
}

// TestRestockByHand: half a litre drawn and 10 L of purified water in batches, at 2 L/h after the
// event and the mixing.
func TestRestockByHand(t *testing.T) {
	p := plan.Plan{SaltKg: 1, PurifiedL: 10, Batches: []plan.Batch{{Salts: []plan.Salt{{ID: "house", Kg: 0.6}}}, {}}, Prepared: []plan.Prepare{{Salts: []plan.Salt{{ID: "house", Kg: 0.4}}}}, Steps: []plan.Step{
		{DoneH: 6, From: []plan.Draw{{StoreID: "a", Litres: 0.2, Salinity: 34}, {Litres: 50, Salinity: 35}, {StoreID: "a", Batch: 1, Litres: 9, Salinity: 35}}},
		{DoneH: 9, From: []plan.Draw{{StoreID: "b", Litres: 0.3, Salinity: 36}}},
	}}
	x := takenBy(p)
	if !(math.Abs(x.saltwaterL-0.5) <= 1e-12) || !(math.Abs(x.salinity-(0.2*34+0.3*36)/0.5) <= 1e-12) || x.doneAtH != 9 || !(math.Abs(x.saltKg["house"]-1) <= 1e-12) || x.purifiedL != 10 {
		t.Fatalf("%+v", x)
	}
	s := load(t, twoWaters)
	s.Mixing.TimeH = 12
	r, err := restockAfter(s, &s.Systems[0], x, 2)
	if err != nil || r.SaltwaterL != x.saltwaterL || r.PurifiedL < 10.4 || r.PurifiedL > 10.5 || r.SaltKg < 1.018 || r.SaltKg > 1.02 {
		t.Fatalf("%+v, %v, want 10 L and the water of half a litre, 1 kg and 0.019 kg", r, err)
	}
	if want := 9 + r.PurifiedL/2 + 12; r.ReadyAgainH == nil || !(math.Abs(*r.ReadyAgainH-want) <= 1e-9) {
		t.Errorf("ready after %v h, want %g", r.ReadyAgainH, want)
	}
	x.saltwaterL = 0
	if r, err := restockAfter(s, &s.Systems[0], x, 2); err != nil || r.PurifiedL != 10 || *r.ReadyAgainH != 9+5 {
		t.Errorf("%+v, %v", r, err)
	}
	if r, err := restockAfter(s, &s.Systems[0], taken{purifiedL: 3}, 0); err != nil || r == nil || r.ReadyAgainH != nil {
		t.Errorf("%+v, %v", r, err)
	}
	if r, err := restockAfter(s, &s.Systems[0], taken{saltKg: map[string]float64{"house": 3}}, 0); err != nil || r == nil || r.SaltKg != 3 {
		t.Errorf("%+v, %v", r, err)
	}
	if r, err := restockAfter(s, &s.Systems[0], taken{doneAtH: 3}, 0); err != nil || r != nil {
		t.Errorf("%+v, %v", r, err)
	}
	s.Salts = nil
	if r, err := restockAfter(s, &s.Systems[0], taken{saltwaterL: 50, salinity: 35}, 2); err != nil || r.PurifiedL != 0 || r.Cost != nil {
		t.Errorf("%+v, %v", r, err)
	}
}

// TestSaltIsBoughtByItsOwnPriceAndBag: two salts poured are two weights to buy, not the sum of
// both at the price of the first: 1.2 kg at 5 and 3 kg at 2.20 are 12.60; bags 1 + 2.
func TestSaltIsBoughtByItsOwnPriceAndBag(t *testing.T) {
	s := load(t, twoWaters)
	five, two := decimal.NewFromInt(5), decimal.RequireFromString("2.20")
	first := s.Salts[0]
	first.ID, first.PricePerKg, first.BagKg = "reef", &five, 20
	second := first
	second.ID, second.PricePerKg, second.BagKg = "plain", &two, 2
	s.Salts = []site.Salt{first, second}
	r, err := restockAfter(s, &s.Systems[0], taken{saltKg: map[string]float64{"reef": 1.2, "plain": 3}}, 0)
	if err != nil || len(r.Salts) != 2 || r.Salts[0].ID != "reef" || r.Salts[1].Kg != 3 || !r.Salts[1].Named || !(math.Abs(r.SaltKg-4.2) <= 1e-12) || r.Bags != 3 || r.Cost == nil || !(math.Abs(*r.Cost-12.60) <= 1e-9) {
		t.Errorf("%+v, %v", r, err)
	}
	s.Salts[1].PricePerKg = nil
	if r, err := restockAfter(s, &s.Systems[0], taken{saltKg: map[string]float64{"reef": 1.2, "plain": 3}}, 0); err != nil || r.Cost != nil {
		t.Errorf("a price is unknown: %+v, %v", r, err)
	}
}

// TestOrdersOfRemedies: a price before none, less before more, then by effort.
func TestOrdersOfRemedies(t *testing.T) {
	at := func(what Remedy, cost float64) Fix {
		f := Fix{What: what}
		if cost >= 0 {
			f.Cost = &cost
		}
		return f
	}
	list := []Fix{at(MoreTime, 1), at(MoreSalt, 2), at(StoredSaltwater, 2), at(MoreSalt, -1), at(StoredPurified, -1), at(StoredSaltwater, -1), at(Delivered, -1), at(VatHeater, -1), at(PurifierRate, -1), at(VatCapacity, -1), at(MoreTime, -1)}
	for i := range list {
		for k := range list {
			if got := cheaper(list[i], list[k]); (got < 0) != (i < k) || (got > 0) != (i > k) {
				t.Errorf("%d beside %d: %d", i, k, got)
			}
		}
	}
	verdicts := []Verdict{Covered, Late, Unknown, Short, Unreachable}
	for i, v := range verdicts {
		for k, w := range verdicts {
			if v.Worse(w) != (i > k) {
				t.Errorf("%s worse than %s: %v", v, w, v.Worse(w))
			}
		}
	}
	r := Result{Together: []Together{{Verdict: Short}, {Verdict: Covered}, {Verdict: Late}, {Verdict: Unreachable}}}
	if got := r.failingTogether(); got != 2 {
		t.Errorf("%d combinations fail, want 2", got)
	}
	litres := 10.0
	r.Events = []Event{{Verdict: Late, DemandL: &litres}, {Verdict: Covered, DemandL: &litres}, {Verdict: Short, DemandL: &litres}, {Verdict: Short}, {Verdict: Late, DemandL: &litres}}
	if got := fmt.Sprint(r.failing()); got != "[2 0 4]" {
		t.Errorf("failing, the worst first: %s", got)
	}
}

// TestBasketsOfAmounts: the same thing in the same place is bought once.
func TestBasketsOfAmounts(t *testing.T) {
	vat := way{what: StoredSaltwater, in: []int{0}}
	got := basket{}.add(amount{way: vat, x: 10}).add(amount{way: way{what: MoreSalt, where: "house"}, x: 3}).add(amount{way: vat, x: 5})
	if len(got) != 2 || got[0].x != 15 || got[1].x != 3 {
		t.Errorf("%+v", got)
	}
	whole := basket{{way: vat, x: 100}}
	for x, less := range map[float64]bool{98.9: true, 99: false, 100: false} {
		if lessOf(amount{way: vat, x: x}, whole) != less {
			t.Errorf("%g of 100: %v", x, !less)
		}
	}
	if lessOf(amount{way: way{what: MoreSalt}, x: 1}, whole) || lessOf(amount{way: vat, x: 1}, append(whole, amount{})) {
		t.Error("a part of something else")
	}
	for i, other := range []way{{what: StoredPurified, in: []int{0}}, {what: StoredSaltwater, in: []int{1}}, {what: StoredSaltwater, in: []int{0}, where: "x"}, {what: StoredSaltwater, in: []int{0}, afterH: 3}} {
		if vat.same(other) {
			t.Errorf("%d is the same", i)
		}
	}
	list := oneForEach([]Purchase{{Fix: Fix{Amount: 1}, Covers: []string{"a"}}, {Fix: Fix{Amount: 2}, Covers: []string{"a"}}, {Fix: Fix{Amount: 3}, Covers: []string{"a", "b"}}})
	if len(list) != 2 || list[0].Amount != 1 || list[1].Amount != 3 {
		t.Errorf("%+v", list)
	}
	if kindsOf(true) != 1 || kindsOf(false) != 3 || !built(way{what: VatHeater}) || built(way{what: MoreSalt}) || built(way{what: StoredPurified}) || built(way{what: StoredSaltwater}) {
		t.Error("sorts of ways")
	}
}

// TestPeopleForTheBuckets: thirty buckets are one person's, thirty-one two people's.
func TestPeopleForTheBuckets(t *testing.T) {
	for litres, people := range map[float64]int{150: 1, 155: 2, 5: 1, 300: 2, 305: 3} {
		if w := workOf([][]move{{{removeL: litres, addL: litres}}}, nil, 0, 0, units.Metric); w.People != people || !(math.Abs(w.CarriedKg-2*litres*1.03) <= 1e-9) {
			t.Errorf("%g L out and in: %+v, want %d people", litres, w, people)
		}
	}
	if w := workOf([][]move{{{removeL: 150, addL: 155}}}, nil, 0, 0, units.Metric); w.BucketTrips != 31 || w.People != 2 {
		t.Errorf("15 buckets out and 16 in: %+v", w)
	}
	if w := workOf([][]move{{{removeL: 3, addL: 3, pumpLH: 0.6}}}, nil, 0, 0, units.Metric); w.BucketTrips != 0 || !(math.Abs(w.PumpMin-600) <= 1e-9) {
		t.Errorf("a dosing pump is one: %+v", w)
	}
}

// TestWhatHurryingWouldDo is said where it saves more than one per cent.
func TestWhatHurryingWouldDo(t *testing.T) {
	done := 10.0
	for earliest, said := range map[float64]bool{9: true, 9.89: true, 9.9: false, 10: false} {
		e := Event{Verdict: Late, DoneAtH: &done, WithinH: 4, EarliestDoneAtH: &earliest}
		if got := e.reason(units.Metric); strings.Contains(got, "hurried") != said || !strings.HasPrefix(got, "done after 10 h, 6 h later than allowed") {
			t.Errorf("%g h: %s", earliest, got)
		}
	}
}

// TestStoresThatAreAlike are tried once: by the one with the most, and of equals the first by name;
// at most six kinds, those that match the system first.
func TestStoresThatAreAlike(t *testing.T) {
	s := house()
	var list []int
	room := map[int]float64{}
	s.Stores = nil
	for i, c := range []struct {
		id   string
		salt units.Practical
		room float64
	}{{"z", 35, 10}, {"y", 35, 20}, {"x", 35, 20}, {"w", 35, 5}, {"v", 36, 50}, {"u", 35.5, 1}, {"t", 34, 1}, {"s", 33, 1}, {"r", 32, 1}, {"q", 31, 1}, {"p", 30, 1}} {
		s.Stores = append(s.Stores, site.Store{ID: c.id, Water: site.Chemistry{Salinity: c.salt, Temperature: 25}})
		list, room[i] = append(list, i), c.room
	}
	for range 5 { // a map is walked in any order
		var got []string
		for _, i := range benchOf(s).alike(list, func(i int) float64 { return room[i] }) {
			got = append(got, s.Stores[i].ID)
		}
		if fmt.Sprint(got) != "[x u v t s r]" {
			t.Fatalf("%v", got)
		}
	}
}

// TestRunningTotals: what is needed by steps of full changes, and what was used.
func TestRunningTotals(t *testing.T) {
	litres := 450.0
	sys := site.System{NetVolume: 400, Drawdown: 0.5, ChangeEveryH: 4}
	c := curvesOf(plan.Plan{Demand: plan.Demand{System: &sys}, DemandL: &litres, DemandChanges: 3, Steps: []plan.Step{{AtH: 0, AddL: 150}, {AtH: 5, AddL: 100}}, Supply: []plan.SupplyPoint{{AtH: 1, Litres: 70}}})
	if got := fmt.Sprint(c.Needed, c.Used, c.Available); got != "[{0 200} {4 400} {8 450}] [{0 150} {5 250}] [{1 70}]" {
		t.Error(got)
	}
}
