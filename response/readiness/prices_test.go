package readiness

import (
	"slices"
	"strings"
	"testing"

	"tidehold/refs/outside"
)

// TestWhatABasketCosts orders them: by how many things have no price, then by the price of the
// others, then by effort. Water from the site's own purifier costs next to nothing.
func TestWhatABasketCosts(t *testing.T) {
	targets := targetsOf(t, head+withoutSalt+"purifier: {rate: 1 L/h}\n"+strings.Replace(halve, "50 %", "75 %", 1))
	x := targets[0]
	salt, vat, pure := wayOf(t, x, MoreSalt, ""), wayOf(t, x, StoredSaltwater, "vat"), wayOf(t, x, StoredPurified, "pure")
	tub, larger, faster := wayOf(t, x, StoredSaltwater, newContainer), wayOf(t, x, VatCapacity, ""), wayOf(t, x, PurifierRate, "")
	order := []basket{
		{{way: pure, x: 100}},
		{{way: salt, x: 1}},
		{{way: salt, x: 1}, {way: pure, x: 300}},
		{{way: vat, x: 100}},                    // 11.52
		{{way: salt, x: 4}},                     // 12
		{{way: salt, x: 2}, {way: vat, x: 100}}, // 17.52
		{{way: tub, x: 100}},
		{{way: faster, x: 1}},
		{{way: larger, x: 1}},
		{{way: salt, x: 1}, {way: faster, x: 1}},
		{{way: faster, x: 1}, {way: larger, x: 1}},
	}
	for i := range order {
		for k := range order {
			if got := dearer(x.bench, order[i], order[k]); (got < 0) != (i < k) || (got > 0) != (i > k) {
				t.Errorf("%s beside %s: %d", inWords(x, order[i]), inWords(x, order[k]), got)
			}
		}
	}
	if got := cheapest(targets, order[3:]); inWords(x, got) != inWords(x, order[3]) || cheapest(targets, nil) != nil {
		t.Errorf("cheapest %s", inWords(x, got))
	}
	for w, want := range map[*way][2]bool{&salt: {true, false}, &vat: {true, false}, &pure: {true, true}, &tub: {false, false}, &faster: {false, false}} {
		if priced(x.bench, *w) != want[0] || x.bench.free(*w) != want[1] {
			t.Errorf("%s: priced %v, free %v", w.what, priced(x.bench, *w), x.bench.free(*w))
		}
	}
	tub.what = StoredPurified
	if x.bench.free(tub) {
		t.Error("a container is free")
	}
	x.bench.site.Purifier = nil
	if x.bench.free(pure) || priced(x.bench, pure) {
		t.Error("purified water is free without a purifier")
	}
}

// TestWhatCanBeBought: of all targets, each thing once and as much as for any of them; no time; what has a price
// first, then by effort.
func TestWhatCanBeBought(t *testing.T) {
	targets := targetsOf(t, apart)
	ways := purchasable(targets)
	for i, w := range ways {
		if w.what == MoreTime {
			t.Error("time is bought")
		}
		for _, v := range ways[:i] {
			if w.same(v) {
				t.Errorf("twice: %s %v %s", w.what, w.in, w.where)
			}
		}
		if i > 0 {
			before, v := ways[i-1], w
			p, q := priced(targets[0].bench, before), priced(targets[0].bench, v)
			if q && !p || p == q && (effort[v.what] < effort[before.what] || v.what == before.what && !v.second && before.second) {
				t.Errorf("%s after %s", v.what, before.what)
			}
		}
		for _, x := range targets {
			for _, v := range x.ways {
				if v.same(w) && v.most > w.most {
					t.Errorf("%s: at most %g, and %g for %s", w.what, w.most, v.most, x.name)
				}
			}
		}
	}
	for _, x := range targets {
		for _, v := range withoutTimeWays(x.ways) {
			if !slices.ContainsFunc(ways, func(w way) bool { return w.same(v) }) {
				t.Errorf("%s %v %s is left out", v.what, v.in, v.where)
			}
		}
	}
	// 150 L and 130 L of demand lead to different bounds: the larger counts, whichever comes first.
	small, large := targets[0], targets[0]
	small.ways, large.ways = small.bench.ways(10), large.bench.ways(1000)
	for _, two := range [][]target{{small, large}, {large, small}} {
		for _, w := range purchasable(two) {
			if w.what == Delivered && w.most != 3000 {
				t.Errorf("at most %g L are delivered", w.most)
			}
		}
	}
}

// twoSalts sells the same salt under two names; the vat is full, and there is purified water enough.
func twoSalts(first, second string) string {
	return strings.NewReplacer("capacity: 600 L, volume: 300 L", "capacity: 400 L, volume: 100 L", "salts: [", "salts: [{id: other, on_hand: 0 kg, dose: 38.4 g/L, dose_at: {salinity: 35, temperature: 25 C, per: finished}, price: "+first+", makes: {alkalinity: 8 dKH}}, ",
		"price: 3.00", "price: "+second, "2 h", "12 h").Replace(head + withoutSalt + halve)
}

// TestTheCheaperOfTwoSalts is bought, and of equals the first.
func TestTheCheaperOfTwoSalts(t *testing.T) {
	// A container has no price, and where nothing else does it is the one thing.
	only := targetsOf(t, head+saltwaterVats("full 150 150 ")+halve)
	if one, _ := oneForAll(only); len(one) != 1 || one[0].where != newContainer || one[0].x < 50 || one[0].x > 50.3 {
		t.Error(inWords(only[0], one))
	}
	for _, c := range []struct{ first, second, want string }{{"3.00", "2.00", "house"}, {"2.00", "3.00", "other"}, {"3.00", "3.00", "other"}} {
		targets := targetsOf(t, twoSalts(c.first, c.second))
		one, _ := oneForAll(targets)
		if len(one) != 1 || one[0].what != MoreSalt || one[0].where != c.want || one[0].x < 3.839 || one[0].x > 3.86 {
			t.Errorf("at %s and %s: %s", c.first, c.second, inWords(targets[0], one))
		}
	}
}

// TestWhetherAllThatHasAPriceIsEnough: salt for a full vat's system is; nothing is, where only a
// container would do.
func TestWhetherAllThatHasAPriceIsEnough(t *testing.T) {
	targets := targetsOf(t, twoSalts("3.00", "2.00"))
	if !pricedMend(targets) {
		t.Error("salt is enough")
	}
	only := slices.Clone(targets)
	only[0].ways = of(only[0].ways, MoreSalt)[:1]
	if !pricedMend(only) {
		t.Error("one salt is enough")
	}
	only[0].ways = slices.DeleteFunc(slices.Clone(targets[0].ways), func(w way) bool { return priced(targets[0].bench, w) })
	if pricedMend(only) {
		t.Error("nothing has a price")
	}
	soon := targetsOf(t, head+strings.Replace(withoutSalt, "capacity: 600 L, volume: 300 L", "capacity: 100 L, volume: 100 L", 1)+strings.Replace(halve, "2 h", "1 h", 1))
	if pricedMend(soon) {
		t.Error("salt that is mixed for an hour comes too late")
	}
	if !soon[0].buyable() || len(hopeless(soon)) != 0 {
		t.Error("a container is enough")
	}
}

// TestMuchWaterIsTriedFirst where it is asked whether anything helps: one plan.
func TestMuchWaterIsTriedFirst(t *testing.T) {
	for _, text := range []string{twoSalts("3.00", "2.00"), head + vat("150 L") + halve} {
		x := targetsOf(t, text)[0]
		if !x.buyable() || len(trials(x.bench)) != 1 {
			t.Errorf("%q", trials(x.bench))
		}
	}
}

// TestSaltBesideTheOwnPurifiersWater: 100 L of 200 are there, and 2 kg of salt without purified water to
// mix it in. 100 L more in the vat cost 11.52; 1.84 kg of salt, beside water that the purifier
// makes for next to nothing, cost 5.52 and do as well.
func TestSaltBesideTheOwnPurifiersWater(t *testing.T) {
	outside.Alone(t)
	text := strings.NewReplacer("volume: 300 L", "volume: 100 L", "volume: 400 L, temp", "volume: 0 L, temp", "on_hand: 0 kg", "on_hand: 2 kg", "2 h", "12 h").Replace(head + withoutSalt + halve)
	const purifier = "purifier: {rate: 1 L/h, rated_at: 25 C, feed: 25 C}\n"
	// Salt for next to nothing is still salt that need not be bought.
	if r := briefly(t, strings.Replace(text, "price: 3.00", "price: 0.10", 1)+purifier); len(r.Shopping) != 2 || *r.Shopping[0].Cost != 0.19 {
		t.Errorf("%+v", r.Shopping)
	}
	r := briefly(t, text+purifier) // which has the list of the whole answer
	if len(r.Shopping) != 2 {
		t.Fatalf("%+v", r.Shopping)
	}
	salt, pure := r.Shopping[0], r.Shopping[1]
	if salt.What != MoreSalt || salt.Amount < 1.83 || salt.Amount > 1.86 || *salt.Cost > 5.58 || pure.What != StoredPurified || pure.Where != "pure" || pure.Cost != nil {
		t.Errorf("%+v", r.Shopping)
	}
	// Of the 98.8 L that 100 L take, the purifier makes some by the time the batch has to be mixed.
	if pure.Amount < 85 || pure.Amount > 98.9 {
		t.Errorf("%g L", pure.Amount)
	}
	for _, p := range r.Shopping {
		if !slices.Equal(p.Covers, []string{"halve"}) {
			t.Errorf("%+v", p)
		}
	}
	// Without a purifier that water has to be bought too: saltwater it is.
	r = briefly(t, text)
	if len(r.Shopping) != 1 || r.Shopping[0].What != StoredSaltwater || r.Shopping[0].Amount < 100 || r.Shopping[0].Amount > 100.5 {
		t.Errorf("%+v", r.Shopping)
	}
}
