package readiness

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// targetsOf are the failing events and combinations of a house, each on its bench.
func targetsOf(t testing.TB, text string) []target {
	t.Helper()
	s := load(t, text)
	r, err := Judge(s, now, Options{Brief: true})
	if err != nil {
		t.Fatal(err)
	}
	targets := newJudge(s, now, units.Metric).targets(&r, s.Events, r.failing())
	if len(targets) == 0 {
		t.Fatal("nothing fails")
	}
	return targets
}

// wayOf is the first way of a kind at a place ("": anywhere).
func wayOf(t testing.TB, x target, what Remedy, place string) way {
	t.Helper()
	for _, w := range x.ways {
		if w.what == what && (place == "" || w.where == place || len(w.in) == 1 && x.bench.site.Stores[w.in[0]].ID == place) {
			return w
		}
	}
	t.Fatalf("no %s at %q", what, place)
	return way{}
}

// inWords is a basket as "kind place amount", for comparing.
func inWords(x target, s basket) string {
	var out []string
	for _, a := range s {
		out = append(out, strings.TrimSpace(fmt.Sprintf("%s %s", a.what, a.place(x.bench.site)))+fmt.Sprintf(" %.4g", a.x))
	}
	return strings.Join(out, ", ")
}

// TestTheSameWaterInTheSamePlace is one thing to buy; water that differs in salinity or temperature is another.
func TestTheSameWaterInTheSamePlace(t *testing.T) {
	with := func(s, c float64) way {
		return way{what: StoredSaltwater, where: newContainer, water: &site.Chemistry{Salinity: units.Practical(s), Temperature: units.Celsius(c)}}
	}
	plain := way{what: StoredSaltwater, where: newContainer}
	for _, c := range []struct {
		a, b way
		same bool
	}{{with(35, 25), with(35, 25), true}, {with(35, 25), with(34, 25), false}, {with(35, 25), with(35, 24), false}, {with(35, 25), plain, true}, {plain, with(35, 25), true}, {plain, plain, true}} {
		if c.a.same(c.b) != c.same {
			t.Errorf("%+v and %+v: %v", c.a.water, c.b.water, !c.same)
		}
	}
}

// apart is two systems whose waters are nothing for each other: a change may move neither by more
// than a tenth of a unit of salinity. Each lacks 50 L of its own.
var apart = strings.NewReplacer("salinity: 35, temperature: 25 C}}", "salinity: 35, temperature: 25 C}, limits: {salinity_step: 0.1, salinity_per_day: 0.1}}",
	"salinity: 15, temperature: 12 C}}", "salinity: 15, temperature: 12 C}, limits: {salinity_step: 0.1, salinity_per_day: 0.1}}").Replace(twoWaters)

// TestWhatEachPurchaseIsFor: the water of the one system and of both together, not of the other.
func TestWhatEachPurchaseIsFor(t *testing.T) {
	r := judged(t, apart)
	if len(r.Shopping) != 2 || len(r.NotByPurchase) != 0 {
		t.Fatalf("%+v %q", r.Shopping, r.NotByPurchase)
	}
	for _, p := range r.Shopping {
		want := map[string][]string{"warm": {"e", "e + f"}, "cool": {"f", "e + f"}}[p.Where]
		if p.What != StoredSaltwater || !slices.Equal(p.Covers, want) || p.Amount < 48 || p.Amount > 52 {
			t.Errorf("%+v", p)
		}
	}
	// A little of each water does for the other system, but in all 100 L are lacking.
	if sum := r.Shopping[0].Amount + r.Shopping[1].Amount; sum < 99.9 || sum > 100.6 {
		t.Errorf("%g L in all", sum)
	}
	// Less salt is in the brackish water: it costs less and stands first.
	if r.Shopping[0].Where != "cool" || *r.Shopping[0].Cost >= *r.Shopping[1].Cost {
		t.Errorf("%+v", r.Shopping)
	}
}

// TestMoreOfBoth: where more of either is not enough: a quarter more, twice or four times as much, up to what
// there can be. Of one thing alone that is not asked.
func TestMoreOfBoth(t *testing.T) {
	targets := targetsOf(t, apart)
	x := targets[slices.IndexFunc(targets, func(x target) bool { return x.name == "e + f" })]
	two := func(warm, cool float64) basket {
		return basket{{way: wayOf(t, x, StoredSaltwater, "warm"), x: warm}, {way: wayOf(t, x, StoredSaltwater, "cool"), x: cool}}
	}
	for _, c := range []struct{ warm, cool, share float64 }{{44, 46, 1.25}, {30, 28, 2}, {38, 26, 2}, {15, 14, 4}, {9, 9, 0}} {
		have := two(c.warm, c.cool)
		more, ok := grown(x.bench, have)
		if ok != (c.share > 0) || ok && (more[0].x != c.warm*c.share || more[1].x != c.cool*c.share) || have[0].x != c.warm {
			t.Errorf("%g and %g: %v %s", c.warm, c.cool, ok, inWords(x, more))
		}
	}
	full := two(200, 14)
	full[0].most = 210
	if more, ok := grown(x.bench, full); !ok || more[0].x != 210 || more[1].x != 56 {
		t.Errorf("%v %s", ok, inWords(x, more))
	}
	alone := targets[slices.IndexFunc(targets, func(x target) bool { return x.name == "e" })]
	if more, ok := grown(alone.bench, two(30, 0)[:1]); ok {
		t.Error(inWords(alone, more))
	}
}

// TestWhatIsNotNeededIsTakenOut, the dearest first, and the rest is made as small as it can be.
func TestWhatIsNotNeededIsTakenOut(t *testing.T) {
	targets := targetsOf(t, twoSalts("3.00", "2.00"))
	x := targets[0]
	cheap, dear := wayOf(t, x, MoreSalt, "house"), wayOf(t, x, MoreSalt, "other")
	for _, have := range []basket{{{way: cheap, x: 6}, {way: dear, x: 7}}, {{way: dear, x: 7}, {way: cheap, x: 6}}} {
		got := shrunk(targets, have)
		if len(got) != 1 || got[0].where != "house" || got[0].x < 3.839 || got[0].x > 3.86 {
			t.Error(inWords(x, got))
		}
	}
	if got := shrunk(targets, basket{{way: dear, x: 7}}); len(got) != 1 || got[0].where != "other" || got[0].x > 3.86 {
		t.Error(inWords(x, got))
	}
}

// TestOneAfterTheOther: what covers the first may do for the second; a thing without a price, or one that is built,
// is taken where no other does, and then not when only things with a price are asked for.
func TestOneAfterTheOther(t *testing.T) {
	// Two alike: one vat's water for both.
	text := head + saltwaterVats("v 150 600 ") + "salts: [{id: house, dose: 38.4 g/L, price: 3}]\nevents:\n  - {id: a, system: tank, remove: 50 %, within: 2 h}\n  - {id: b, system: tank, remove: 49 %, within: 2 h}\n"
	targets, later := targetsOf(t, text), targetsOf(t, strings.ReplaceAll(text, "2 h", "5 h"))
	if len(targets) != 2 {
		t.Fatal(len(targets))
	}
	for _, onlyPriced := range []bool{true, false} {
		if have, ok := oneByOne(targets, onlyPriced); !ok || len(have) != 1 || have[0].place(targets[0].bench.site) != "v" || have[0].x < 50 || have[0].x > 50.3 {
			t.Errorf("%v %s", ok, inWords(targets[0], have))
		}
	}
	// Each in turn the only way there is.
	for _, what := range []Remedy{StoredSaltwater, Delivered} {
		targets := targets
		if what == Delivered {
			targets = later
		}
		only := slices.Clone(targets)
		for i := range only {
			only[i].ways = slices.DeleteFunc(slices.Clone(targets[i].ways), func(w way) bool { return w.what != what || what == StoredSaltwater && !w.needsRoom })
		}
		if have, ok := oneByOne(only, true); ok {
			t.Errorf("priced: %s", inWords(only[0], have))
		}
		if have, ok := oneByOne(only, false); !ok || len(have) != 1 || have[0].what != what || have[0].x < 50 || have[0].x > 50.3 {
			t.Errorf("%s: %v %s", what, ok, inWords(only[0], have))
		}
	}
	// Time is not bought, and no pair with it either.
	late := targetsOf(t, head+vat("300 L")+strings.Replace(halve, "50 %", "75 %", 1))
	if have, ok := oneByOne(late, false); ok {
		t.Error(inWords(late[0], have))
	}
}

// TestTwoThingsForOneEvent: neither salt nor purified water by itself, and no water can be bought:
// 7.68 kg and 197.57 L less what is there (as in TestShortOfPurifiedWater).
func TestTwoThingsForOneEvent(t *testing.T) {
	text := strings.NewReplacer("on_hand: 20 kg", "on_hand: 5 kg", "volume: 400 L, temp", "volume: 100 L, temp", "2 h", "12 h").Replace(head + making + halve)
	targets := targetsOf(t, text)
	targets[0].ways = slices.DeleteFunc(targets[0].ways, func(w way) bool { return w.what == StoredSaltwater || w.what == Delivered })
	have, ok := oneByOne(targets, false)
	if !ok || len(have) != 2 {
		t.Fatalf("%v %s", ok, inWords(targets[0], have))
	}
	for _, a := range have {
		if a.what == MoreSalt && (a.x < 2.67 || a.x > 2.70) || a.what == StoredPurified && (a.x < 97.5 || a.x > 98.1) || a.what != MoreSalt && a.what != StoredPurified {
			t.Error(inWords(targets[0], have))
		}
	}
	if have, ok := oneByOne(targets, true); ok {
		t.Errorf("purified water has no price: %s", inWords(targets[0], have))
	}
}

// TestPartSteps: three at most, those that cover most first, each less than the whole.
func TestPartSteps(t *testing.T) {
	var b strings.Builder
	b.WriteString(head + vat("100 L") + "events:\n")
	for _, share := range []int{30, 35, 40, 45, 50} {
		fmt.Fprintf(&b, "  - {id: e%d, system: tank, remove: %d %%, within: 2 h}\n", share, share)
	}
	r := judged(t, b.String())
	if len(r.Shopping) != 1 || r.Shopping[0].Amount < 100 || r.Shopping[0].Amount > 100.5 || len(r.Shopping[0].Covers) != 5 {
		t.Fatalf("%+v", r.Shopping)
	}
	want := [][]string{{"e30", "e35", "e40", "e45"}, {"e30", "e35", "e40"}, {"e30", "e35"}}
	if len(r.PartSteps) != 3 {
		t.Fatalf("%+v", r.PartSteps)
	}
	for i, p := range r.PartSteps {
		// 45 % of 400 L are 180 L, 40 % 160 L, 35 % 140 L; 100 L are there.
		if litres := 80 - 20*float64(i); !slices.Equal(p.Covers, want[i]) || p.Where != "vat" || p.Amount < litres || p.Amount > litres*1.0051 {
			t.Errorf("%+v", p)
		}
	}
}

// TestAStepIsNamedOnce: the same amount found for two targets, and what is no less than the whole list.
func TestAStepIsNamedOnce(t *testing.T) {
	targets := targetsOf(t, head+vat("150 L")+"events:\n  - {id: a, system: tank, remove: 50 %, within: 2 h}\n  - {id: b, system: tank, remove: 45 %, within: 2 h}\n")
	x := targets[0]
	vat, tub := wayOf(t, x, StoredSaltwater, "vat"), wayOf(t, x, StoredSaltwater, newContainer)
	name := func(own ...[]amount) string {
		for i := range targets {
			targets[i].own = own[i]
		}
		var out []string
		for _, p := range partSteps(targets, basket{{way: vat, x: 60}}) {
			out = append(out, fmt.Sprintf("%s %g %v", p.Where, p.Amount, p.Covers))
		}
		return strings.Join(out, ", ")
	}
	for _, c := range []struct {
		first, second []amount
		want          string
	}{
		{[]amount{{way: vat, x: 50.2}}, []amount{{way: vat, x: 50.2}}, "vat 50.2 [a b]"},
		{[]amount{{way: vat, x: 50.2}}, []amount{{way: vat, x: 30.1}}, "vat 50.2 [a b], vat 30.1 [b]"},
		{[]amount{{way: vat, x: 30.1}}, []amount{{way: vat, x: 50.2}}, "vat 50.2 [a b], vat 30.1 [b]"},
		{[]amount{{way: vat, x: 3}}, []amount{{way: vat, x: 30.1}}, "vat 30.1 [b]"},    // covers nothing
		{[]amount{{way: vat, x: 60}}, []amount{{way: vat, x: 59.8}}, ""},               // the whole, or nearly
		{[]amount{{way: tub, x: 50.2}}, []amount{{way: vat, x: 30.1}}, "vat 30.1 [b]"}, // a container is no less than water in the vat
		{[]amount{{way: wayOf(t, x, MoreTime, ""), x: 9}}, []amount{{way: vat, x: 30.1}}, "vat 30.1 [b]"},
	} {
		if got := name(c.first, c.second); got != c.want {
			t.Errorf("%s and %s: %q, want %q", inWords(x, c.first), inWords(x, c.second), got, c.want)
		}
	}
	// One thing is less than two.
	targets[0].own, targets[1].own = []amount{{way: vat, x: 50.2}}, nil
	if steps := partSteps(targets, basket{{way: vat, x: 30}, {way: tub, x: 30}}); len(steps) != 1 || len(steps[0].Covers) != 2 {
		t.Errorf("%+v", steps)
	}
}

// TestHowManyAListIsMadeFor: twelve that fail, events and combinations together; of thirteen it is
// said that there is none.
func TestHowManyAListIsMadeFor(t *testing.T) {
	for n, list := range map[int]bool{12: true, 13: false} {
		for _, brief := range []bool{true, false} {
			var b strings.Builder
			b.WriteString(head + vat("150 L") + "events:\n")
			for i := range n - 1 {
				fmt.Fprintf(&b, "  - {id: e%d, system: tank, remove: %d %%, within: 2 h}\n", i, 50-5*min(1, i))
			}
			b.WriteString("together: [[e0, e1]]\n")
			r, err := Judge(load(t, b.String()), now, Options{Brief: brief})
			if err != nil {
				t.Fatal(err)
			}
			said := strings.Contains(strings.Join(r.Warnings, "\n"), fmt.Sprintf("no shopping list is made for %d events and combinations that fail, only for up to 12", n))
			if (len(r.Shopping) == 1) != list || len(r.PartSteps) == 1 != (list && !brief) || said == list || strings.Contains(strings.Join(r.Warnings, "\n"), "--event") {
				t.Errorf("%d: %+v, %q", n, r.Shopping, r.Warnings)
			}
			with := 0
			for _, e := range r.Events {
				if len(e.Fixes) > 0 {
					with++
				}
			}
			if !brief && with != n-1 || brief && with > 0 {
				t.Errorf("%d events with remedies, brief %v", with, brief)
			}
		}
	}
}

// TestTwoThingsWithRoomToSpare: each vat has room for more than could be bought, so that no water reaches
// both, and there is no one thing; with a price or without.
func TestTwoThingsWithRoomToSpare(t *testing.T) {
	for _, price := range []string{", price: 3", ""} {
		text := strings.NewReplacer("capacity: 400 L", "capacity: 2000 L", ", price: 3", price).Replace(apart)
		if one, _ := oneForAll(targetsOf(t, text)); one != nil {
			t.Errorf("%+v", one)
		}
		r := judged(t, text)
		if len(r.Shopping) != 2 || len(r.NotByPurchase) != 0 {
			t.Fatalf("price %q: %+v %q", price, r.Shopping, r.NotByPurchase)
		}
		for _, p := range r.Shopping {
			if p.What != StoredSaltwater || p.Where != "warm" && p.Where != "cool" || p.Amount < 48 || p.Amount > 52 || (p.Cost == nil) != (price == "") {
				t.Errorf("price %q: %+v", price, p)
			}
		}
	}
}

// TestTwoWatersAreTwoThings: no water of the one system's vat is more of the other's: 50 L in each do. It was
// one thing, 349 L up to the brim of one vat and then into the other, that nobody could tell the salinity of.
func TestTwoWatersAreTwoThings(t *testing.T) {
	text := strings.Replace(apart, "together: [[e, f]]\n", "", 1)
	if one, _ := oneForAll(targetsOf(t, text)); one != nil {
		t.Fatalf("%+v", one)
	}
	r := judged(t, text)
	if len(r.Shopping) != 2 || r.Shopping[0].Amount+r.Shopping[1].Amount > 100.6 || *r.Shopping[0].Cost+*r.Shopping[1].Cost > 8.4 {
		t.Errorf("%+v", r.Shopping)
	}
}
