package stock

import (
	"errors"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// TestFullToTheMillilitre: a capacity comes from a shape, and what is poured is read to the
// millilitre at best: 200.0004 L are full, 200.0006 L run over.
func TestFullToTheMillilitre(t *testing.T) {
	for _, c := range []struct {
		capacity units.Litres
		litres   string
		fits     bool
	}{{200, "200.0004", true}, {200, "200.0006", false}, {199.9996, "200", true}, {199.9994, "200", false}, {200, "200", true}} {
		s := slipway(t)
		s.Stores[1].Capacity = c.capacity
		e := Entry{ID: 1, Kind: Dip, Store: "vat-b", Litres: dec(c.litres), Time: start}
		if err := Validate(s, nil, e, anytime); (err == nil) != c.fits {
			t.Errorf("%s L in %.4f L: %v", c.litres, c.capacity, err)
		}
	}
}

// TestWhatARefusedEntryCosts: only what the entry took is taken to be gone; what it merely
// names, and what would have been enough, stays.
func TestWhatARefusedEntryCosts(t *testing.T) {
	s := slipway(t)
	fold := func(e Entry) (*site.Site, string) {
		e.ID, e.Time = 1, start
		got, w := Fold(s, []Entry{e}, start)
		if len(w) != 1 {
			t.Fatalf("%+v: %v", e, w)
		}
		return got, w[0].Text
	}
	left := func(got *site.Site, want ...string) {
		t.Helper()
		have := []string{got.Stores[0].Volume.String(), got.Stores[1].Volume.String(), got.Stores[2].Volume.String(), got.Salts[0].OnHand.String()}
		if strings.Join(have, " ") != strings.Join(want, " ") {
			t.Errorf("left %v, want %v", have, want)
		}
	}
	got, text := fold(Entry{Kind: Mixed, Store: "vat-b", Litres: dec("500"), SaltID: "house", UsedKg: dec("1")})
	left(got, "310", "150", "120", "42")
	if !strings.HasSuffix(text, "it is passed over") {
		t.Error(text)
	}
	got, text = fold(Entry{Kind: Salt, SaltID: "house", UsedKg: dec("50.00006")})
	left(got, "310", "150", "120", "0")
	if !strings.Contains(text, "using 50.0001 kg of house is more than the 42 kg on hand; house is taken to be used up: weigh it") {
		t.Error(text)
	}
	over := changeOf(t, "2026-11-25T03:00:00Z", Pour{Store: "vat-a", Litres: litres("100")}, Pour{Store: "vat-b", Litres: litres("151")}, Pour{Store: "renamed", Litres: litres("1")})
	got, text = fold(over)
	left(got, "310", "0", "120", "42")
	if !strings.HasSuffix(text, "; vat-b is taken to be empty: dip it") {
		t.Error(text)
	}
	got, text = fold(changeOf(t, "2026-11-25T03:00:00Z", Pour{Store: "renamed", Litres: litres("1")}))
	left(got, "310", "150", "120", "42")
	if !strings.HasSuffix(text, "it is passed over") {
		t.Error(text)
	}
}

// TestSaltInPurifiedWater: who makes it salty is refused; who takes salty water out, or
// measures what is left, is not.
func TestSaltInPurifiedWater(t *testing.T) {
	for _, c := range []struct {
		name string
		salt units.Practical // there already
		e    Entry
		ok   bool
	}{
		{"saltwater is added", 0, Entry{Kind: Add, Litres: dec("50"), Salinity: num(35)}, false},
		{"a little is added, still pure", 0, Entry{Kind: Add, Litres: dec("50"), Salinity: num(0.1)}, true},
		{"found to be salty", 0, Entry{Kind: Tested, Salinity: num(5)}, false},
		{"found to be pure", 5, Entry{Kind: Tested, Salinity: num(0)}, true},
		{"found without a salinity", 5, Entry{Kind: Tested, TemperatureC: num(20)}, true},
		{"salty water is drawn", 5, Entry{Kind: Draw, Litres: dec("20")}, true},
		{"salty water is dipped", 5, Entry{Kind: Dip, Litres: dec("20")}, true},
		{"more is added to salty water", 5, Entry{Kind: Add, Litres: dec("1")}, false},
	} {
		s := slipway(t)
		s.Stores[2].Water.Salinity = c.salt
		c.e.ID, c.e.Time, c.e.Store = 1, start, "pure-a"
		if err := Validate(s, nil, c.e, anytime); (err == nil) != c.ok {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	s := slipway(t)
	for salt, warned := range map[units.Practical]bool{site.MaxPurified: false, site.MaxPurified + 0.04: true, 3: true} {
		s.Stores[2].Water.Salinity = salt
		_, w := Fold(s, nil, start)
		if (len(w) == 1) != warned || warned && (w[0].ID != 0 || !strings.Contains(w[0].Text, "salinity "+units.Fixed(float64(salt), 1)+" by its entries")) {
			t.Errorf("salinity %v: %v", salt, w)
		}
	}
}

// TestWarningsAboutTheRecordAsAWhole name no entry of their own.
func TestWarningsAboutTheRecordAsAWhole(t *testing.T) {
	s := slipway(t)
	_, w := Fold(s, []Entry{{ID: 7, Kind: Mixed, Store: "vat-b", Time: start.AddDate(1, 0, 0)}}, start)
	if len(w) != 2 || w[0].ID != 0 || w[1].ID != 0 || !strings.Contains(w[1].Text, "number 7, by which it was mixed, is dated in the future") {
		t.Errorf("%+v", w)
	}
	if Ahead != 5*time.Minute {
		t.Errorf("two clocks of one place may differ by %v", Ahead)
	}
}

// TestAWhatIfAboutStoresLeavesTheDeeds: a vat that is put back does not put back the test of a
// guard, nor the other way round.
func TestAWhatIfAboutStoresLeavesTheDeeds(t *testing.T) {
	s := slipway(t)
	s.TimeZone = time.UTC
	s.Systems = []site.System{{ID: "reef", Equipment: []site.Equipment{{ID: "heater", Guards: []site.Guard{{Kind: "cut-out"}}}}}}
	log := numbered(Entry{Kind: Did, Data: JSONOf(Deed{Guard: &GuardRef{"reef", "heater", "cut-out"}})}, Entry{Kind: Draw, Store: "vat-b", Litres: dec("50")})
	for _, c := range []struct {
		replaced     refs.Place
		tested, drew bool
	}{
		{refs.Place{}, true, true}, {refs.Place{List: "stores"}, true, false}, {refs.Place{List: "systems"}, false, true},
		{refs.Place{List: "systems", ID: "reef", Key: "equipment"}, false, true}, {refs.Place{List: "systems", ID: "reef", Key: "drawdown"}, true, true},
		{refs.Place{List: "systems", ID: "pool", Key: "equipment"}, true, true},
	} {
		s.Replaced = []refs.Place{c.replaced}
		got, w := Fold(s, log, start.Add(time.Hour))
		if tested := got.Systems[0].Equipment[0].Guards[0].Tested != nil; len(w) > 0 || tested != c.tested || got.Stores[1].Volume.Equal(decimal.NewFromInt(100)) != c.drew {
			t.Errorf("%+v: guard tested %v, %s L left, %v", c.replaced, tested, got.Stores[1].Volume, w)
		}
	}
}

// TestNumbersOutOfOrderFromTheFirst: an undo finds its entry wherever it stands before it.
func TestNumbersOutOfOrderFromTheFirst(t *testing.T) {
	at := func(id int, e Entry) Entry {
		e.ID, e.Time = id, start.Add(time.Duration(id)*time.Minute)
		return e
	}
	log := []Entry{at(2, Entry{Kind: Draw, Store: "vat-b", Litres: dec("10")}), at(1, Entry{Kind: Draw, Store: "vat-b", Litres: dec("20")}), at(3, Entry{Kind: Draw, Store: "vat-b", Litres: dec("40")}), at(4, Entry{Kind: Undo, Undoes: 2})}
	got, w := Fold(slipway(t), log, start.Add(time.Hour))
	if len(w) > 0 || got.Stores[1].Volume.String() != "90" {
		t.Errorf("%s L, %v, want 150 less 20 and 40", got.Stores[1].Volume, w)
	}
}

// TestNumbersOfFortyCharacters: ten digits, a point and 29 decimals are the longest that is
// looked at, wherever a number stands.
func TestNumbersOfFortyCharacters(t *testing.T) {
	long := "1000000000." + strings.Repeat("0", 29)
	for text, ok := range map[string]bool{long: true, long + "0": false} {
		change := Entry{Kind: Change, Time: start, Data: []byte(`{"from":[{"litres":` + text + `}]}`)}
		if _, err := change.Pours(); (err == nil) != ok {
			t.Errorf("a pour of %s: %v", text, err)
		}
		mixed := Entry{Kind: Mixed, Time: start, Data: []byte(`{"purified":"a","litres":` + text + `}`)}
		if _, err := mixed.Taken(); (err == nil) != ok {
			t.Errorf("a batch of %s: %v", text, err)
		}
		line := `{"id":1,"time":"2026-11-25T03:00:00Z","kind":"tested","store":"a","litres":` + text + "}\n"
		if l := Parse([]byte(line)); (len(l.Entries) == 1) != ok {
			t.Errorf("%s: %+v", text, l.Problems)
		}
	}
	if _, err := (Entry{Kind: Mixed, Data: []byte(`{"litres":1}`)}).Taken(); err == nil {
		t.Error("a batch from nowhere")
	}
	if d := decimal.New(1, 9); amount("litres", &d) != nil {
		t.Error("10⁹ written with an exponent is refused")
	}
}

// TestWhatIsListedOfARuinedJournal: the longest line that is read, the number of faults that
// are listed, and what is shown of a text in them.
func TestWhatIsListedOfARuinedJournal(t *testing.T) {
	fixed := `{"id":1,"time":"2026-11-25T03:00:00Z","kind":"reading","data":"`
	for size, ok := range map[int]bool{64 << 10: true, 64<<10 + 1: false} {
		line := fixed + strings.Repeat("x", size-len(fixed)-2) + `"}` + "\n"
		if l := Parse([]byte(line)); (len(l.Entries) == 1) != ok {
			t.Errorf("a line of %d bytes: %+v", size, l.Problems)
		}
	}
	l := Parse([]byte(strings.Repeat("x\n", 25)))
	if len(l.Problems) != 20 || l.Unlisted != 5 {
		t.Errorf("%d faults listed, %d not", len(l.Problems), l.Unlisted)
	}
	for in, want := range map[string]string{
		strings.Repeat("a", 40): strings.Repeat("a", 40), strings.Repeat("a", 41): strings.Repeat("a", 40) + "…",
		"a\x1b[31m": "a?[31m", "a\x7f\u009fb\u00a0": "a??b\u00a0", "vat a~": "vat a~",
	} {
		if got := clip(in); got != want {
			t.Errorf("%q is shown as %q, want %q", in, got, want)
		}
	}
}

// TestOtherUnitsInMessages: the brim of a vat in inches.
func TestOtherUnitsInMessages(t *testing.T) {
	s := slipway(t)
	s.Units = units.US
	err := Validate(s, nil, Entry{ID: 1, Kind: Dip, Store: "vat-a", LevelCm: dec("110"), Time: start}, anytime)
	if err == nil || !strings.Contains(err.Error(), "a dip of 43.31 in in vat-a is above the brim at 39.37 in") {
		t.Error(err)
	}
	var none *refs.UnknownError
	if err := Validate(s, nil, Entry{ID: 1, Kind: Draw, Store: "vat-z", Litres: dec("1"), Time: start}, anytime); !errors.As(err, &none) {
		t.Error(err)
	}
}

// TestFileSystemsThatCannotSync: some network file systems refuse to sync every time; what is
// written is there all the same. A disk that fails is another matter.
func TestFileSystemsThatCannotSync(t *testing.T) {
	for err, fails := range map[error]bool{nil: false, syscall.EINVAL: false, syscall.ENOTSUP: false, errors.ErrUnsupported: false, syscall.EIO: true, syscall.ENOSPC: true} {
		j := temp(t)
		j.disk.sync = func(*os.File) error { return tolerate(err) }
		_, got := j.Append(draw, clock, yes)
		if (got != nil) != fails {
			t.Errorf("a sync that says %v: %v", err, got)
		}
	}
}

// TestAgesOfHalfAnHour: from half an hour to none, also by a clock that runs a little behind.
func TestAgesOfHalfAnHour(t *testing.T) {
	for minutes, want := range map[int]float64{30: 0.5, 0: 0, -4: 0, 90: 1.5} {
		at := start.Add(-time.Duration(minutes) * time.Minute)
		if h := hoursSince(&at, start); h == nil || *h != want {
			t.Errorf("%d min ago: %v h, want %g", minutes, h, want)
		}
	}
	if hoursSince(nil, start) != nil {
		t.Error("the age of what nobody dated")
	}
}

// TestKeysInOtherLettersDoNotCount: "LITRES" is not litres, whatever a decoder thinks.
func TestKeysInOtherLettersDoNotCount(t *testing.T) {
	l := Parse([]byte(`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"tested","store":"a","LITRES":5}` + "\n"))
	if len(l.Entries) != 1 || l.Entries[0].Litres != nil {
		t.Errorf("%+v", l)
	}
	named := false
	for _, p := range l.Problems {
		named = named || strings.Contains(p.What, `key "LITRES" is not known`)
	}
	if !named {
		t.Errorf("%+v", l.Problems)
	}
}

// TestMarksThatAreNone: a number that no entry has, a sum that is none, another language.
func TestMarksThatAreNone(t *testing.T) {
	for text, id := range map[string]int64{ // 1 << 53 is no int of 32 bits
		`{"id":3,"sum":"0000000a","site":"s"}`: 3, `{"id":0,"sum":"0000000a","site":"s"}`: 0, `{"id":-1,"sum":"0a","site":"s"}`: 0, `{"id":9007199254740993,"sum":"0a","site":"s"}`: 0,
		`{"id":9007199254740992,"sum":"0a","site":"s"}`: 1 << 53, `{"id":3,"sum":"x","site":"s"}`: 0, `{"id":3,"sum":"1ffffffff","site":"s"}`: 0,
	} {
		if m := readMark(strings.NewReader(text)); int64(m.ID) != id || m.Site != "s" {
			t.Errorf("%s: %+v", text, m)
		}
	}
	if m := readMark(strings.NewReader("x")); m != (mark{}) {
		t.Errorf("%+v", m)
	}
	if m := readMark(strings.NewReader(strings.Repeat(" ", maxMark) + `{"id":3,"sum":"0a"}`)); m != (mark{}) {
		t.Errorf("behind what is read: %+v", m)
	}
}

// TestAFileOfTheSameSizeWrittenMeanwhile is noticed by its time.
func TestAFileOfTheSameSizeWrittenMeanwhile(t *testing.T) {
	j := temp(t)
	appended(t, j, draw)
	text := content(t, j)
	_, err := j.Append(draw, clock, func(Log, *Entry) error {
		return errors.Join(os.WriteFile(j.Path(), []byte(text), 0o644), os.Chtimes(j.Path(), start, start))
	})
	if !errors.Is(err, ErrChanged) || content(t, j) != text {
		t.Errorf("%v", err)
	}
}

// TestAWhatIfAboutTheKit puts back what it names and nothing else.
func TestAWhatIfAboutTheKit(t *testing.T) {
	s := slipway(t)
	s.TimeZone = time.UTC
	s.Kit = []site.KitItem{{Item: "net", Need: 1, Have: 1}, {Item: "pump", Need: 1, Have: 1}}
	log := numbered(Entry{Kind: Kit, Data: JSONOf(KitCount{"net", 5, ""})}, Entry{Kind: Kit, Data: JSONOf(KitCount{"pump", 6, ""})})
	for _, c := range []struct {
		replaced  refs.Place
		net, pump int
	}{
		{refs.Place{}, 5, 6}, {refs.Place{List: "stores"}, 5, 6}, {refs.Place{List: "kit"}, 1, 1}, {refs.Place{List: "kit", ID: "net", Key: "have"}, 1, 6},
		{refs.Place{List: "kit", ID: "net", Key: "expires"}, 5, 6}, {refs.Place{List: "stores", ID: "net", Key: "have"}, 5, 6},
	} {
		s.Replaced = []refs.Place{c.replaced}
		if got, w := Fold(s, log, start.Add(time.Hour)); len(w) > 0 || got.Kit[0].Have != c.net || got.Kit[1].Have != c.pump {
			t.Errorf("%+v: %+v, %v", c.replaced, got.Kit, w)
		}
	}
}
