package readiness

import (
	"slices"
	"strings"
	"testing"
)

// TestThePairOfLeastEffort: three quarters take two changes of 200 L, done at 4.4 h, and 2 h are
// allowed; 300 L are there. Salt for the last 100 L, 3.84 kg, is less effort than water in the vat.
func TestThePairOfLeastEffort(t *testing.T) {
	e := judged(t, head+withoutSalt+strings.Replace(halve, "50 %", "75 %", 1)).Events[0]
	if len(e.Fixes) != 1 {
		t.Fatalf("%+v", e.Fixes)
	}
	if f := e.Fixes[0]; f.What != MoreSalt || f.Amount < 3.839 || f.Amount > 3.86 || f.With == nil || f.With.What != MoreTime || f.With.Amount < 2.4 || f.With.Amount > 2.4*1.006 {
		t.Errorf("%+v with %+v", f, f.With)
	}
}

// TestAWeekMoreAtMostBesideAnotherRemedy: changes of a tenth once a day, of which the vat has the first.
// 0.9^7 = 0.478 and 0.9^8 = 0.430: 56 % out take eight, of which the last, of 32 L, begins after 168 h and
// is done after 168.06 h: 167.06 h more than an hour, and more than a week beyond a minute. 61 % out
// take nine.
func TestAWeekMoreAtMostBesideAnotherRemedy(t *testing.T) {
	slow := strings.NewReplacer("drawdown: 50 %", "drawdown: 10 %", "change_every: 4 h", "change_every: 24 h").Replace(head) + vat("40 L")
	for _, c := range []struct {
		remove, within string
		found          bool
	}{{"56 %", "1 h", true}, {"56 %", "1 min", false}, {"61 %", "1 h", false}} {
		e := judged(t, slow+strings.NewReplacer("50 %", c.remove, "2 h", c.within).Replace(halve)).Events[0]
		if len(e.Fixes) == 1 != c.found {
			t.Errorf("%s in %s: %+v", c.remove, c.within, e.Fixes)
			continue
		}
		if c.found {
			if f := e.Fixes[0]; f.What != StoredSaltwater || f.With == nil || f.With.What != MoreTime || f.With.Amount < 167 || f.With.Amount > 168 {
				t.Errorf("%s in %s: %+v with %+v", c.remove, c.within, f, f.With)
			}
		}
	}
}

// TestHeaterAndTime: the water is 10 K too cold for its heater to warm it in the time; a change of
// three quarters takes two at least, 4 h apart, and 2 h are allowed.
func TestHeaterAndTime(t *testing.T) {
	text := strings.Replace(head+saltwaterVats("vat 600 600 , heater: 1 W")+strings.Replace(halve, "50 %", "75 %", 1), "temperature: 25 C, mixed", "temperature: 15 C, mixed", 1)
	b, ways := benchOn(t, text)
	only := slices.DeleteFunc(slices.Clone(ways), func(w way) bool { return w.what != VatHeater && w.what != MoreTime })
	pair, ok := b.pair(only)
	if !ok || pair[0].what != VatHeater || pair[1].what != MoreTime || !b.mends(pair...) {
		t.Fatalf("%v %+v", ok, pair)
	}
	for i := range pair {
		less := slices.Clone(pair)
		less[i].x *= proofStep
		if b.mends(less...) {
			t.Errorf("with one per cent less %s it is done in time too", less[i].what)
		}
	}
}

// TestALargerVatAndTime: a batch of 200 L is mixed by 3 h, and the second change is over at 7.4 h; 5 h
// are allowed, and the vat holds 150 L. It is the pair of most effort, and the last that is looked for.
func TestALargerVatAndTime(t *testing.T) {
	b, ways := benchOn(t, strings.NewReplacer("capacity: 600 L, volume: 0 L", "capacity: 150 L, volume: 0 L", "capacity: 600 L, volume: 400 L", "capacity: 600 L, volume: 600 L", "50 %, within", "75 %, within", "2 h", "5 h").Replace(head+making+halve))
	pair, ok := b.pair(slices.DeleteFunc(ways, func(w way) bool { return w.what != VatCapacity && w.what != MoreTime }))
	if !ok || pair[0].what != VatCapacity || pair[0].x < 50 || pair[0].x > 50.3 || pair[1].what != MoreTime || pair[1].x < 2.4 || pair[1].x > 2.4*1.006 {
		t.Fatalf("%v %+v", ok, pair)
	}
}

// TestFortyPairsAreLookedAt and no more: a thousand containers beside a time that is never enough (as in
// TestAWeekMoreAtMostBesideAnotherRemedy) would keep a frightened keeper waiting.
func TestFortyPairsAreLookedAt(t *testing.T) {
	slow := strings.NewReplacer("drawdown: 50 %", "drawdown: 10 %", "change_every: 4 h", "change_every: 24 h").Replace(head) + vat("40 L") + strings.Replace(halve, "50 %", "61 %", 1)
	b, ways := benchOn(t, slow)
	container := of(ways, StoredSaltwater)[1]
	hours := of(ways, MoreTime)[0]
	current, looked := 0.0, map[float64]bool{}
	wait := hours.apply
	hours.apply = func(tr *trial, x float64) {
		if x <= 168 {
			looked[current] = true
		}
		wait(tr, x)
	}
	list := []way{hours}
	for i := range 60 {
		w := container
		add := w.apply
		w.most += float64(i)
		w.apply = func(tr *trial, x float64) { current = x; add(tr, x) }
		list = append(list, w)
	}
	if pair, ok := b.pair(list); ok || len(looked) != 40 {
		t.Errorf("%v %+v after %d", ok, pair, len(looked))
	}
}
