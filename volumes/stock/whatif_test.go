package stock

import (
	"bufio"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// A what-if is about what is there now: no entry overrules it, whichever field it is of.
func TestAWhatIfComesAfterTheRecord(t *testing.T) {
	s := slipway(t)
	day := start.AddDate(0, 0, -3)
	s.Kit, s.Drills = []site.KitItem{{Item: "pump", Have: 7, Expires: &day}}, []site.Drill{{What: "drill", Done: &day}}
	s.Purifier = &site.Purifier{Guards: []site.Guard{{Kind: "leak shutoff", Tested: &day}}}
	s.Systems = []site.System{{ID: "reef", Equipment: []site.Equipment{{ID: "heater", Guards: []site.Guard{{Kind: "cut-out", Tested: &day}}}}}}
	log := numbered(
		Entry{Kind: Mixed, Store: "vat-a", Litres: dec("10"), Salinity: num(30), TemperatureC: num(10)},
		Entry{Kind: Salt, SaltID: "house", Kg: dec("1")},
		Entry{Kind: Kit, Data: JSONOf(KitCount{"pump", 0, "2030-01-01"})},
		Entry{Kind: Did, Data: JSONOf(Deed{Drill: "drill"})},
		Entry{Kind: Did, Data: JSONOf(Deed{Guard: &GuardRef{"reef", "heater", "cut-out"}})},
		Entry{Kind: Did, Data: JSONOf(Deed{Guard: &GuardRef{Kind: "leak shutoff"}})},
	)
	type look func(*site.Site) any
	fields := map[refs.Place]look{
		{List: "stores", ID: "vat-a", Key: "volume"}:      func(s *site.Site) any { return s.Stores[0].Volume.String() },
		{List: "stores", ID: "vat-a", Key: "level"}:       func(s *site.Site) any { return s.Stores[0].Volume.String() },
		{List: "stores", ID: "vat-a", Key: "salinity"}:    func(s *site.Site) any { return s.Stores[0].Water.Salinity },
		{List: "stores", ID: "vat-a", Key: "temperature"}: func(s *site.Site) any { return s.Stores[0].Water.Temperature },
		{List: "stores", ID: "vat-a", Key: "mixed"}:       func(s *site.Site) any { return *s.Stores[0].Mixed },
		{List: "salts", ID: "house", Key: "on_hand"}:      func(s *site.Site) any { return s.Salts[0].OnHand.String() },
		{List: "kit", ID: "pump", Key: "have"}:            func(s *site.Site) any { return s.Kit[0].Have },
		{List: "kit", ID: "pump", Key: "expires"}:         func(s *site.Site) any { return *s.Kit[0].Expires },
		{List: "drills", ID: "drill", Key: "done"}:        func(s *site.Site) any { return *s.Drills[0].Done },
		{List: "purifier", Key: "guards"}:                 func(s *site.Site) any { return *s.Purifier.Guards[0].Tested },
		{List: "systems", ID: "reef", Key: "equipment"}:   func(s *site.Site) any { return *s.Systems[0].Equipment[0].Guards[0].Tested },
	}
	plain, _ := Fold(s, log, start.Add(time.Hour))
	for place, field := range fields {
		for _, set := range []refs.Place{place, {List: place.List, Key: ""}} {
			if set.Key == "" && place.List == "purifier" {
				continue
			}
			w := *s
			w.Replaced = []refs.Place{{List: "name"}, set}
			got, _ := Fold(&w, log, start.Add(time.Hour))
			if field(got) != field(s) {
				t.Errorf("%+v: %v, want %v as set", set, field(got), field(s))
			}
			if field(plain) == field(s) {
				t.Errorf("%+v: the record changes nothing, so that this tests nothing", place)
			}
		}
		w := *s
		w.Replaced = []refs.Place{{List: place.List, ID: place.ID + "x", Key: place.Key + "x"}}
		if got, _ := Fold(&w, log, start.Add(time.Hour)); field(got) != field(plain) {
			t.Errorf("%+v: another what-if put it back", place)
		}
	}
}

func TestABatchTakesItsWaterAndItsSalt(t *testing.T) {
	s := slipway(t)
	batch := func(store string) Entry {
		return Entry{ID: 1, Time: start, Kind: Mixed, Store: "vat-b", Litres: dec("180"), SaltID: "house", UsedKg: dec("2"), Data: JSONOf(Taken{Store: store, Litres: "0.5"})}
	}
	e := batch("pure-a")
	e.Data = JSONOf(Taken{Store: "pure-a", Litres: "70.5"})
	p, err := Post(s, nil, &e, anytime)
	if err != nil || !p.After.Stores[2].Volume.Equal(*dec("49.5")) || !p.After.Salts[0].OnHand.Equal(*dec("40")) || !p.After.Stores[1].Volume.Equal(*dec("180")) {
		t.Errorf("%+v, %v", p.After, err)
	}
	for from, want := range map[string]string{"pure-x": "is not in the site file", "vat-a": "vat-a holds saltwater; a batch is mixed from purified water"} {
		e := batch(from)
		if err := Validate(s, nil, e, anytime); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", from, err)
		}
	}
	e.Data = JSONOf(Taken{Store: "pure-a", Litres: "120.001"})
	if err := Validate(s, nil, e, anytime); err == nil || !strings.Contains(err.Error(), "a batch from 120.0010 L is more than the 120 L in pure-a") {
		t.Errorf("%v", err)
	}
	if !s.Stores[2].Volume.Equal(*dec("120")) {
		t.Error("the site given was changed")
	}
	e.Litres = dec("201")
	e.Data = nil
	if err := Validate(s, nil, e, anytime); err == nil || !strings.Contains(err.Error(), "above its brim") {
		t.Errorf("%v", err)
	}
}

// An edited journal may have its numbers in any order.
func TestNumbersInAnyOrder(t *testing.T) {
	log := []Entry{
		{ID: 7, Time: start, Kind: Draw, Store: "vat-b", Litres: dec("10")},
		{ID: 3, Time: start, Kind: Draw, Store: "vat-b", Litres: dec("20")},
		{ID: 9, Time: start, Kind: Undo, Undoes: 7},
		{ID: 4, Time: start, Kind: Undo, Undoes: 12},
		{ID: 12, Time: start, Kind: Draw, Store: "vat-b", Litres: dec("1")},
	}
	got, warnings := Fold(slipway(t), log, start)
	if v := got.Stores[1].Volume; !v.Equal(*dec("129")) || len(warnings) != 1 {
		t.Errorf("%s L, %v", v, warnings)
	}
	if last, ok := Last(log); !ok || last.ID != 12 {
		t.Errorf("last %+v", last)
	}
}

func TestThingsTellPeopleWhatTheyAre(t *testing.T) {
	for got, want := range map[string]string{
		Deed{Drill: "out and back"}.String():                                "out and back",
		Deed{Guard: &GuardRef{Kind: "leak shutoff"}}.String():               "test of the leak shutoff of the purifier",
		Deed{Guard: &GuardRef{"reef", "heater", "cut-out"}}.String():        "test of the cut-out of reef/heater",
		(&WriteError{Err: errors.New("x"), Outcome: Unsure, ID: 4}).Error(): "x; look first: number 4 may be written and count; see tidehold stock log before you enter it again",
		(&BusyError{Path: "j.lock"}).Error()[:6]:                            "j.lock",
		Kind("Zzz").unknown():                                               `kind "Zzz" is not known`,
		Draw.unknown():                                                      "",
		string(mark{Site: "s.yaml"}.text()):                                 "{\"id\":0,\"sum\":\"\",\"site\":\"s.yaml\"}\n",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if _, err := (Entry{Kind: Mixed, Data: []byte(`{"purified":"p","litres":1e999}`)}).Taken(); err == nil {
		t.Error("a huge draft was read")
	}
	us := slipway(t)
	us.Units = units.US
	for _, e := range []Entry{{Kind: Draw, Store: "vat-b", Litres: dec("151")}, {Kind: Salt, SaltID: "house", UsedKg: dec("50")}} {
		e.ID, e.Time = 1, start
		if err := Validate(us, nil, e, anytime); err == nil || strings.Contains(err.Error(), " L") || strings.Contains(err.Error(), " kg") {
			t.Errorf("%v", err)
		}
	}
}

func TestReadingStopsAtWhatIsNoJournal(t *testing.T) {
	text := strings.Repeat("{}\n", maxRubbish+5)
	l := Parse([]byte(text))
	if !l.givenUp || len(l.Problems) != maxProblems || !strings.Contains(l.Problems[maxProblems-1].What, "what follows is not read") || l.Unlisted < maxRubbish-maxProblems {
		t.Errorf("%d problems, %d unlisted, given up %v", len(l.Problems), l.Unlisted, l.givenUp)
	}
	j := temp(t)
	if err := os.WriteFile(j.path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := j.Append(draw, clock, yes); err == nil || !strings.Contains(err.Error(), "lines that are no entries, where the journal should be; move it away") {
		t.Errorf("%v", err)
	}
	if _, err := parse(iotest.ErrReader(errors.New("broken")), 10, mark{}); err == nil {
		t.Error("a reader's error was passed over")
	}
	if l := Parse([]byte(strings.Repeat("x", 3*bufio.MaxScanTokenSize))); !l.partial || len(l.Problems) != 1 {
		t.Errorf("one endless line: %+v", l.Problems)
	}
	// A mark that some editor put there, and lines with blanks at their ends.
	if l := Parse([]byte("\xef\xbb\xbf" + `{"id":1,"time":"2026-11-25T03:00:00Z","kind":"tested","store":"é\u00e9","late":true} ` + "\r\n")); len(l.Entries) != 1 || !l.Entries[0].Late || l.Entries[0].Store != "éé" {
		t.Errorf("%+v %v", l.Entries, l.Problems)
	}
	big := At(filepath.Join(t.TempDir(), FileName))
	f, err := os.Create(big.path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(f.Truncate(maxJournal+1), f.Close()); err != nil {
		t.Fatal(err)
	}
	if _, err := big.Read(); err == nil || !strings.Contains(err.Error(), "larger than 256 MiB") {
		t.Errorf("%v", err)
	}
}
