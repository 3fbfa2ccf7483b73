package readiness

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// benchOn is a bench for the first event of a site, and all ways of having more.
func benchOn(t testing.TB, text string) (bench, []way) {
	t.Helper()
	s := load(t, text)
	j := newJudge(s, now, units.Metric)
	q, err := j.scenarioOf(s.Events[0])
	if err != nil {
		t.Fatal(err)
	}
	b := j.newBench(q, false)
	return b, b.ways(200)
}

// trials are the amounts that were planned with on a bench, in words, each once.
func trials(b bench) []string {
	var out []string
	for _, m := range []map[string]bool{b.memory.known, b.memory.hasty, b.memory.late} {
		for k := range m {
			out = append(out, k)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// saltwaterVats are stores of matching water, each "id volume capacity more".
func saltwaterVats(list ...string) string {
	var b strings.Builder
	b.WriteString("stores:\n")
	for _, v := range list {
		f := strings.SplitN(v, " ", 4)
		fmt.Fprintf(&b, "  - {id: %s, holds: saltwater, volume: %s L, capacity: %s L, salinity: 35, temperature: 25 C, mixed: 2026-11-20, transfer: 1000 L/h%s}\n", f[0], f[1], f[2], f[3])
	}
	return b.String()
}

// TestRoomInTheVatsComesBeforeAContainer though the container takes less: both vats are empty, and of
// each the pump leaves 10 L. So 220 L in them are 200 L, and 200 L in a container.
func TestRoomInTheVatsComesBeforeAContainer(t *testing.T) {
	f := fixOf(judged(t, head+saltwaterVats("a 0 130 , heel: 10 L", "b 0 130 , heel: 10 L")+halve).Events[0], StoredSaltwater)
	if f == nil || f.Where != "a, then b" || f.NeedsRoomL != 0 || f.Amount < 220 || f.Amount > 221.1 {
		t.Errorf("%+v", f)
	}
}

// TestTheVatThatNeedsLeast is named: of 10 L the pump leaves in the larger one. Where two need the
// same, the one with more room.
func TestTheVatThatNeedsLeast(t *testing.T) {
	f := fixOf(judged(t, head+saltwaterVats("a 0 500 , heel: 10 L", "b 50 400 , heater: 100 W", "c 100 300 , heater: 50 W")+halve).Events[0], StoredSaltwater)
	if f == nil || f.Where != "b" || f.Amount < 50 || f.Amount > 50.3 {
		t.Errorf("%+v", f)
	}
	f = fixOf(judged(t, head+saltwaterVats("a 50 300 ", "b 50 400 , heater: 100 W", "c 50 200 , heater: 50 W")+halve).Events[0], StoredSaltwater)
	if f == nil || f.Where != "b" || f.Amount < 50 || f.Amount > 50.3 {
		t.Errorf("%+v", f)
	}
}

// withoutSalt is a house with 300 L of saltwater and plenty of purified water, but no salt.
const withoutSalt = `stores:
  - {id: vat, holds: saltwater, capacity: 600 L, volume: 300 L, salinity: 35, temperature: 25 C, mixed: 2026-11-20, transfer: 1000 L/h}
  - {id: pure, holds: purified, capacity: 600 L, volume: 400 L, temperature: 25 C}
salts: [{id: house, on_hand: 0 kg, dose: 38.4 g/L, dose_at: {salinity: 35, temperature: 25 C, per: finished}, price: 3.00, makes: {alkalinity: 8 dKH}}]
mixing: {emergency_time: 1 h, in: [vat]}
`

// TestRemediesByCost: 10 L of stored water for a cent or two of salt before a sack of it, and what has no price
// after both.
func TestRemediesByCost(t *testing.T) {
	b, ways := benchOn(t, head+withoutSalt+halve)
	of := func(what Remedy, x float64) amount {
		i := slices.IndexFunc(ways, func(w way) bool { return w.what == what })
		return amount{way: ways[i], x: x}
	}
	got := b.fixes(nil, []amount{of(MoreTime, 3), of(PurifierRate, 5), of(MoreSalt, 20), of(StoredSaltwater, 10)})
	var order []Remedy
	for _, f := range got {
		order = append(order, f.What)
	}
	if !slices.Equal(order, []Remedy{StoredSaltwater, MoreSalt, PurifierRate, MoreTime}) {
		t.Error(order)
	}
	// 10 L at 38.4 g/L are 0.384 kg at 3 each, 1.152: rounded up to the hundredth.
	near(t, "10 L", got[0].Cost, 1.16, 1e-9)
	near(t, "20 kg", got[1].Cost, 60, 1e-9)
	if got[2].Cost != nil || got[3].Cost != nil {
		t.Errorf("%+v", got)
	}
	if one := b.fixes(ways, []amount{of(MoreSalt, 20)}); len(one) != 1 || one[0].With != nil {
		t.Errorf("%+v", one)
	}
}

// TestWhatAFixSays: by hand, one of each kind.
func TestWhatAFixSays(t *testing.T) {
	b, ways := benchOn(t, head+withoutSalt+halve)
	for _, w := range ways {
		for _, tooMuch := range []float64{0, 0.7} {
			f := b.plain(amount{way: w, x: 0.5, tooMuch: tooMuch})
			if (f.TooMuch == nil) != (tooMuch == 0) || f.TooMuch != nil && *f.TooMuch != tooMuch {
				t.Errorf("too much at %g: %v", tooMuch, show(f.TooMuch))
			}
			if (f.AfterH == nil) != (w.what != Delivered) || f.AfterH != nil && *f.AfterH != w.afterH {
				t.Errorf("%s after %v", w.what, show(f.AfterH))
			}
			water := w.what == Delivered || w.what == StoredSaltwater || w.what == StoredPurified
			if (f.Salinity == nil) == water || (f.KeptAtC == nil) == water {
				t.Errorf("%s: salinity %v kept at %v", w.what, show(f.Salinity), show(f.KeptAtC))
			}
			if w.needsRoom != (f.NeedsRoomL == 0.5) || !w.needsRoom && f.NeedsRoomL != 0 || f.Amount != 0.5 || f.Unit != w.unit {
				t.Errorf("%+v", f)
			}
		}
	}
}

// TestWhatAnAmountCosts: salt by the kilogram, water in the vats by the salt in it, and nothing that
// has to be built or fetched.
func TestWhatAnAmountCosts(t *testing.T) {
	b, _ := benchOn(t, head+withoutSalt+halve)
	half := site.Chemistry{Salinity: 17.5, Temperature: 25}
	for _, c := range []struct {
		a    amount
		want *float64
	}{
		{amount{way: way{what: MoreSalt, where: "house"}, x: 2}, ptr(6)},
		{amount{way: way{what: MoreSalt, where: "house"}, x: 0.5}, ptr(1.5)},
		{amount{way: way{what: MoreSalt, where: "other"}, x: 2}, nil},
		{amount{way: way{what: StoredSaltwater}, x: 100}, ptr(11.52)},
		{amount{way: way{what: StoredSaltwater, water: &half}, x: 100}, ptr(5.7)},
		{amount{way: way{what: StoredSaltwater, needsRoom: true}, x: 100}, nil},
		{amount{way: way{what: StoredPurified}, x: 100}, nil}, {amount{way: way{what: VatHeater}, x: 100}, nil}, {amount{way: way{what: Delivered}, x: 100}, nil},
	} {
		got := b.cost(c.a)
		if (got == nil) != (c.want == nil) || got != nil && (*got < *c.want*0.96 || *got > *c.want*1.001) {
			t.Errorf("%g of %s: %v, want %v", c.a.x, c.a.what, show(got), show(c.want))
		}
	}
	if got := costOf(b.site.Salts, "house", 0); got != nil {
		t.Errorf("nothing costs %g", *got)
	}
	free := []site.Salt{{ID: "gift"}, {ID: "house", PricePerKg: b.site.Salts[0].PricePerKg}}
	if got := costOf(free, "gift", 2); got != nil {
		t.Errorf("a gift costs %g", *got)
	}
	if got := costOf(free, "house", 2); got == nil || *got != 6 {
		t.Errorf("2 kg cost %v", show(got))
	}
	b.site.Salts = nil
	if got := b.cost(amount{way: way{what: StoredSaltwater}, x: 100}); got != nil || b.saltFor(100, 35) != 0 {
		t.Errorf("without a salt: %v", show(got))
	}
}

// TestHowStoredWaterIsMadeToFit: 300 L at 38 are cut with purified water, of which there is
// none yet; a heater or more time has nothing to do with it, though the plan is the same.
func TestHowStoredWaterIsMadeToFit(t *testing.T) {
	salty := strings.NewReplacer("salinity: 35, temperature: 25 C, mixed", "salinity: 38, temperature: 25 C, mixed", "volume: 400 L, temp", "volume: 0 L, temp").Replace(head + withoutSalt + halve)
	b, ways := benchOn(t, salty)
	for _, w := range ways {
		got := b.how(amount{way: w, x: min(w.most, 100)})
		want := ""
		if w.what == StoredPurified {
			want = "it cuts the water in vat to fit"
		}
		if w.what != StoredSaltwater && got != want {
			t.Errorf("%s: %q, want %q", w.what, got, want)
		}
	}
	// 300 L at 32: salt lifts them.
	b, ways = benchOn(t, strings.Replace(salty, "salinity: 38", "salinity: 32", 1))
	for _, w := range ways {
		if got := b.how(amount{way: w, x: 5}); w.what == MoreSalt && got != "it lifts the water in vat to fit" || w.what == MoreTime && got != "" {
			t.Errorf("%s: %q", w.what, got)
		}
	}
	// With both in the house the plan cuts whatever else there is more of: only for water and salt is it said.
	b, ways = benchOn(t, strings.Replace(salty, "volume: 0 L, temp", "volume: 400 L, temp", 1))
	for _, w := range ways {
		if got := b.how(amount{way: w, x: min(w.most, 1)}); (w.what == VatHeater || w.what == PurifierRate || w.what == VatCapacity || w.what == MoreTime || w.what == Delivered) && got != "" {
			t.Errorf("%s: %q", w.what, got)
		}
	}
	b.site.Salts[0].DoseGL = 1
	if got := b.how(amount{way: ways[0], x: 1}); got != "" {
		t.Errorf("no plan can be made, but %q", got)
	}
}

// TestNothingIsTriedAloneThatDoesNotHelpTogether: half within an hour, and mixing takes three:
// salt, purified water, a heater, a purifier and a larger vat together come too late, and none of
// them is tried by itself. Each trial is a whole plan.
func TestNothingIsTriedAloneThatDoesNotHelpTogether(t *testing.T) {
	b, ways := benchOn(t, head+strings.Replace(making, "volume: 0 L", "volume: 150 L", 1)+strings.Replace(halve, "2 h", "1 h", 1))
	made := []Remedy{MoreSalt, StoredPurified, VatHeater, PurifierRate, VatCapacity}
	own := b.single(ways)
	if len(own) == 0 {
		t.Fatal("no remedy")
	}
	for _, a := range own {
		if slices.Contains(made, a.what) {
			t.Errorf("%+v", a)
		}
	}
	for _, k := range trials(b) {
		for _, what := range made {
			if strings.HasPrefix(k, string(what)) && strings.Count(k, ";") == 1 {
				t.Errorf("tried alone: %s", k)
			}
		}
	}
}

// TestEachOfWhatIsMadeMayBeTheRemedy where it is the one thing that lacks.
func TestEachOfWhatIsMadeMayBeTheRemedy(t *testing.T) {
	twelve := strings.Replace(halve, "2 h", "12 h", 1)
	for what, text := range map[Remedy]string{
		MoreSalt:       strings.Replace(head+making+twelve, "on_hand: 20 kg", "on_hand: 5 kg", 1),
		StoredPurified: strings.Replace(head+making+twelve, "volume: 400 L, temp", "volume: 100 L, temp", 1),
		PurifierRate:   strings.Replace(head+making+twelve, "volume: 400 L, temp", "volume: 100 L, temp", 1),
		VatCapacity:    strings.NewReplacer("capacity: 600 L, volume: 0 L", "capacity: 150 L, volume: 0 L", "2 h", "5 h").Replace(head + making + halve),
		VatHeater:      strings.Replace(head+vat("500 L")+strings.Replace(halve, "2 h", "3 h", 1), "temperature: 25 C, mixed", "temperature: 15 C, heater: 200 W, mixed", 1),
	} {
		b, ways := benchOn(t, text)
		i := slices.IndexFunc(b.single(ways), func(a amount) bool { return a.what == what })
		if i < 0 {
			t.Errorf("%s is no remedy", what)
		}
	}
}

// TestWaterLackingIsNotLookedForTwice: what a container of its own takes is what is lacking, and
// known; beside something else, or of another water, it is not.
func TestWaterLackingIsNotLookedForTwice(t *testing.T) {
	b, ways := benchOn(t, head+strings.Replace(vat("150 L"), "capacity: 600 L", "capacity: 150 L", 1)+halve)
	known := 50.1
	b.lackingL = &known
	container := of(ways, StoredSaltwater)[0]
	for most, found := range map[float64]bool{50.2: true, 50.1: true, 50: false} {
		if a, ok := b.one(container, most); ok != found || ok && a.x != known {
			t.Errorf("at most %g L: %+v, %v", most, a, ok)
		}
	}
	if n := len(trials(b)); n != 0 {
		t.Errorf("%d trials for a number that is known", n)
	}
	if a, ok := b.one(container, container.most, amount{way: of(ways, Delivered)[4], x: 10}); !ok || len(trials(b)) == 0 {
		t.Errorf("beside 10 L: %+v, %v", a, ok)
	}
	if a, ok := b.one(of(ways, StoredPurified)[0], 400); ok {
		t.Errorf("purified water alone: %+v", a)
	}
	if a, ok := b.one(of(ways, MoreTime)[0], 400); ok {
		t.Errorf("time alone: %+v", a)
	}
	b.lackingL = nil
	if a, ok := b.one(container, container.most); !ok || a.x < 50 || a.x > 50.3 {
		t.Errorf("not known: %+v, %v", a, ok)
	}
}

// TestSaltInWater by the site's own dose: 100 L at the salinity of the dose take 3.84 kg.
func TestSaltInWater(t *testing.T) {
	b, _ := benchOn(t, head+withoutSalt+halve)
	if got := b.saltFor(100, 35); got < 3.8399 || got > 3.8401 {
		t.Errorf("%g kg", got)
	}
	b.site.Salts[0].OnHand = decimal.Zero
	b.site.Salts[0].DoseGL = 1
	if got := b.saltFor(100, 35); got != 0 {
		t.Errorf("%g kg of a salt that cannot be", got)
	}
}

// TestAKindThatDoesNotHelpIsTriedOnce: all its ways together, one plan, before any by itself. Of saltwater
// it is known whether any does, and of deliveries the latest that does is the answer.
func TestAKindThatDoesNotHelpIsTriedOnce(t *testing.T) {
	joint := func(b bench) (n int) {
		for _, k := range trials(b) {
			if strings.Count(k, ";") > 1 {
				n++
			}
		}
		return n
	}
	late := head + strings.Replace(making, "volume: 0 L", "volume: 500 L", 1) + strings.Replace(halve, "50 %", "75 %", 1)
	b, ways := benchOn(t, late) // two changes 4 h apart, and 2 h are allowed: without hope
	if a, ok := b.kind(of(ways, StoredPurified)); ok || len(trials(b)) != 0 {
		t.Errorf("%+v after %q", a, trials(b))
	}
	b, ways = benchOn(t, late)
	if a, ok := b.kind(of(ways, StoredSaltwater)); ok || len(trials(b)) != 1 || joint(b) != 1 {
		t.Errorf("%+v after %q", a, trials(b))
	}
	b, ways = benchOn(t, late)
	if a, ok := b.kind(of(ways, PurifierRate)); ok || joint(b) != 0 {
		t.Errorf("%+v after %q", a, trials(b))
	}
	b, ways = benchOn(t, head+vat("150 L")+strings.Replace(halve, "2 h", "72 h", 1))
	b.lackingL = ptr(50.2)
	if a, ok := b.kind(of(ways, StoredSaltwater)); !ok || len(a.in) != 1 || joint(b) != 0 {
		t.Errorf("%+v after %q", a, trials(b))
	}
	if a, ok := b.kind(of(ways, Delivered)); !ok || a.afterH != 48 || joint(b) != 0 {
		t.Errorf("%+v after %q", a, trials(b))
	}
	b.lackingL = nil
	if a, ok := b.kind(of(ways, StoredSaltwater)); !ok || len(a.in) != 1 || joint(b) != 1 {
		t.Errorf("%+v after %q", a, trials(b))
	}
	// One vat does: filling both is not tried.
	b, ways = benchOn(t, head+saltwaterVats("a 50 300 ", "b 50 400 , heater: 100 W")+halve)
	b.lackingL = ptr(100.2)
	if a, ok := b.kind(of(ways, StoredSaltwater)); !ok || len(a.in) != 1 {
		t.Errorf("%+v", a)
	}
	for _, k := range trials(b) {
		if strings.Contains(k, "[1 0]") || strings.Contains(k, "[0 1]") || strings.Contains(k, newContainer) {
			t.Errorf("tried: %s", k)
		}
	}
}

// TestADeliveryBringsWhatTheStoresDo: where no salt says what new water brings, water from outside is taken to bring
// what the vat's does, as water in a container of one's own is. 359 L were asked for as if it were free of copper.
func TestADeliveryBringsWhatTheStoresDo(t *testing.T) {
	coppery := strings.Replace(vat("100 L"), "copper: 1", "copper: 3", 1)
	const copper = "events: [{id: copper, system: tank, contaminant: copper, start: 20 ug/L, target: 5 ug/L, within: 72 h}]\n"
	e := judged(t, head+coppery+copper).Events[0]
	own, brought := fixOf(e, StoredSaltwater), fixOf(e, Delivered)
	if own == nil || brought == nil || brought.Amount < 0.99*own.Amount || brought.BackgroundUgL["copper"] != 3 {
		t.Errorf("in a container %+v, delivered %+v", own, brought)
	}
	stated := coppery + "deliveries: [{after: 6 h, saltwater: 400 L, background: {copper: 3 ug/L}}]\n"
	bare := strings.Replace(stated, ", background: {copper: 3 ug/L}}]", "}]", 1)
	with, without := judged(t, head+stated+copper), judged(t, head+bare+copper)
	if with.Events[0].Verdict != Short || without.Events[0].Verdict != Covered {
		t.Errorf("with copper %s, without %s", with.Events[0].Reason, without.Events[0].Reason)
	}
	assumed := func(r Result) bool {
		return slices.ContainsFunc(r.Assumptions, func(a refs.Assumption) bool { return a.What == "copper in delivery 1" && a.Value == "0 ug/L" })
	}
	if assumed(with) || !assumed(without) {
		t.Errorf("assumed %v with a statement, %v without", assumed(with), assumed(without))
	}
}
