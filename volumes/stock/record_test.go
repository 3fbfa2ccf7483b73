package stock

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"
	"pgregory.net/rapid"

	"tidehold/volumes/site"
)

// A keeper who forgot an entry and enters it later ends where one stands who entered
// it in time, wherever it belongs and however many are late.
func TestLateEntriesEndWhereTimelyOnesDo(t *testing.T) {
	s := slipway(t)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "entries")
		var timely []Entry
		for i := range n {
			e := Entry{Time: start.Add(time.Duration(i) * time.Minute), Store: "vat-b"}
			switch rapid.IntRange(0, 2).Draw(t, "kind") {
			case 0:
				e.Kind, e.Litres = Draw, dec("3.5")
			case 1:
				e.Kind, e.Litres, e.Salinity = Add, dec("2"), num(30)
			case 2:
				e.Kind, e.Litres = Dip, dec("120")
			}
			timely = append(timely, e)
		}
		order := rapid.Permutation(timely).Draw(t, "order")
		now := Clock{Now: start.Add(time.Hour), Stated: true}
		var log []Entry
		for i, e := range order {
			e.ID = i + 1
			if _, err := Post(s, log, &e, now); err != nil {
				t.Fatalf("%+v after %d others: %v", e, len(log), err)
			}
			log = append(log, e)
		}
		for i := range timely {
			timely[i].ID = i + 1
		}
		want, _ := Fold(s, timely, now.Now)
		got, warnings := Fold(s, log, now.Now)
		a, b := want.Stores[1], got.Stores[1]
		if len(warnings) > 0 || !a.Volume.Equal(b.Volume) || a.Water.Salinity != b.Water.Salinity {
			t.Fatalf("entered in time %s L of %v, late %s L of %v; %v", a.Volume, a.Water.Salinity, b.Volume, b.Water.Salinity, warnings)
		}
	})
}

// What the posting says is what the fold says: the answer to an entry is the stock after it.
func TestPostingIsTheFoldOfTheRecord(t *testing.T) {
	s := slipway(t)
	log := numbered(
		Entry{Kind: Dip, Store: "vat-a", LevelCm: dec("50")},
		Entry{Kind: Draw, Store: "vat-a", Litres: dec("20")},
		Entry{Kind: Draw, Store: "vat-a", Litres: dec("10"), Time: start.AddDate(9, 0, 0)},
	)
	now := start.Add(time.Hour)
	for _, e := range []Entry{
		{Kind: Draw, Store: "vat-a", Litres: dec("5"), Time: now},
		{Kind: Draw, Store: "vat-a", Litres: dec("5"), Time: start.Add(30 * time.Second)},
		{Kind: Undo, Undoes: 2, Time: start.AddDate(-30, 0, 0)},
		{Kind: Undo, Undoes: 3, Time: start.AddDate(30, 0, 0)},
		{Kind: Remark, Time: now},
	} {
		e.ID = 4
		p, err := Post(s, log, &e, Clock{Now: now, Stated: true})
		if err != nil {
			t.Fatalf("%+v: %v", e, err)
		}
		before, _ := Fold(s, log, now)
		after, _ := Fold(s, append(log[:3:3], e), now)
		if !p.Before.Stores[0].Volume.Equal(before.Stores[0].Volume) || !p.After.Stores[0].Volume.Equal(after.Stores[0].Volume) {
			t.Errorf("%+v: %s to %s, by folding %s to %s", e, p.Before.Stores[0].Volume, p.After.Stores[0].Volume, before.Stores[0].Volume, after.Stores[0].Volume)
		}
	}
	for _, c := range []struct {
		e    Entry
		want string
	}{
		{Entry{Kind: Draw, Store: "vat-a", Litres: dec("5"), Time: now.Add(Ahead + time.Second)}, "ahead of the clock"},
		{Entry{Kind: Draw, Store: "vat-a", Litres: dec("500"), Time: now}, "more than"},
		{Entry{Kind: Draw, Store: "vat-a", Litres: dec("210"), Time: start.Add(30 * time.Second)}, "with it, a later one would be impossible: entry 2"},
		{Entry{Kind: Draw, Store: "vat-a", Litres: dec("900"), Time: start.Add(30 * time.Second)}, "a draw of 900 L is more than"},
		{Entry{Kind: Undo, Undoes: 9}, "there is no entry 9"},
		{Entry{ID: maxID + 1, Kind: Tested, Store: "vat-a", Time: now}, "at most"},
	} {
		if c.e.ID == 0 {
			c.e.ID = 4
		}
		if c.e.Time.IsZero() {
			c.e.Time = now
		}
		if _, err := Post(s, log, &c.e, Clock{Now: now, Stated: true}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: %v, want %s", c.e, err, c.want)
		}
	}
	if e := (Entry{ID: 4, Kind: Draw, Store: "vat-a", Litres: dec("1"), Time: now.Add(Ahead)}); Validate(s, log, e, Clock{Now: now}) != nil {
		t.Error("an entry within the tolerance was refused")
	}
}

func TestWaterOfAFutureDateHasNoAge(t *testing.T) {
	s := slipway(t)
	log := numbered(
		Entry{Kind: Mixed, Store: "vat-a", Time: start.AddDate(5, 0, 0)},
		Entry{Kind: Tested, Store: "vat-b", Salinity: num(34), Time: start.AddDate(5, 0, 0)},
	)
	got, warnings := Fold(s, log, start)
	if a, b := got.Stores[0], got.Stores[1]; a.Mixed != nil || a.Tested != nil || b.Tested != nil || b.Water.Salinity != 34 {
		t.Errorf("%+v, %+v", a, b)
	}
	if len(warnings) != 2 || !strings.Contains(warnings[1].Text, "vat-a: number 1, by which it was mixed") {
		t.Errorf("%v", warnings)
	}
}

func TestALockedJournalIsReadAndNotWaitedForByWriters(t *testing.T) {
	j := temp(t)
	appended(t, j, draw)
	held, err := lockedfile.OpenFile(j.path+lockSuffix, os.O_RDWR|os.O_CREATE, 0o666)
	if err != nil {
		t.Fatal(err)
	}
	j.patience = 20 * time.Millisecond
	if l := read(t, j); len(l.Entries) != 1 {
		t.Errorf("a reader found %d entries", len(l.Entries))
	}
	before := time.Now()
	_, err = j.Append(draw, clock, yes)
	var busy *BusyError
	if !errors.As(err, &busy) || !strings.Contains(err.Error(), "process ") || !strings.HasSuffix(err.Error(), "; nothing was written") {
		t.Errorf("got %v", err)
	}
	if waited := time.Since(before); waited > time.Second {
		t.Errorf("waited %v", waited)
	}
	if err := held.Close(); err != nil {
		t.Fatal(err)
	}
	j.patience = patience
	appended(t, j, draw) // the lock that came too late was given back
}

func TestACutOrForeignEndIsNoticed(t *testing.T) {
	j := temp(t)
	for range 4 {
		appended(t, j, draw)
	}
	text := content(t, j)
	lines := strings.SplitAfter(text, "\n")
	for name, c := range map[string]struct{ text, want string }{
		"cut by two":  {lines[0] + lines[1], "numbers 3 to 4 are missing"},
		"cut by one":  {lines[0] + lines[1] + lines[2], "number 4 is missing"},
		"emptied":     {"", "numbers 1 to 4 are missing"},
		"replaced":    {strings.ReplaceAll(text, "1.25", "2.25"), ""},
		"another one": {strings.ReplaceAll(lines[3], `"sum":"`, `"sum":"0`)[:len(lines[3])-4] + "\n", "not the entry that was written here"},
	} {
		if err := os.WriteFile(j.path, []byte(c.text), 0o644); err != nil {
			t.Fatal(err)
		}
		l := read(t, j)
		found := false
		for _, p := range l.Problems {
			found = found || p.Line == 0 && strings.Contains(p.What, c.want)
		}
		if found != (c.want != "") && name != "another one" {
			t.Errorf("%s: %+v", name, l.Problems)
		}
		if l.LastID() != 4 {
			t.Errorf("%s: the next number would be %d", name, l.LastID()+1)
		}
	}
	// The gap stays named after the next entry, whose number is none that was given.
	if err := os.WriteFile(j.path, []byte(lines[0]), 0o644); err != nil {
		t.Fatal(err)
	}
	if e := appended(t, j, draw); e.ID != 5 {
		t.Errorf("number %d", e.ID)
	}
	if l := read(t, j); len(l.Problems) != 1 || !strings.Contains(l.Problems[0].What, "numbers 2 to 4 are missing before it") {
		t.Errorf("%+v", l.Problems)
	}
	if err := os.Remove(j.path); err != nil {
		t.Fatal(err)
	}
	if l := read(t, j); len(l.Problems) != 1 {
		t.Errorf("a journal that is gone: %+v", l.Problems)
	}
}

func TestAJournalBelongsToOneSiteFile(t *testing.T) {
	dir := t.TempDir()
	mine, other := filepath.Join(dir, "site.yaml"), filepath.Join(dir, "other.yaml")
	for _, p := range []string{mine, other} {
		if err := os.WriteFile(p, nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	appended(t, Of(mine), draw)
	var foreign *ForeignError
	if _, err := Of(other).Read(); !errors.As(err, &foreign) {
		t.Errorf("read: %v", err)
	}
	if _, err := Of(other).Append(draw, clock, yes); !errors.As(err, &foreign) || !strings.HasSuffix(err.Error(), "nothing was written") {
		t.Errorf("written: %v", err)
	}
	if err := os.Remove(mine); err != nil {
		t.Fatal(err)
	}
	if l, err := Of(other).Read(); err != nil || len(l.Entries) != 1 {
		t.Errorf("after renaming: %v", err)
	}
}

// Every failure says what is in the record, and says the truth.
func TestEveryFailureSaysWhatIsInTheRecord(t *testing.T) {
	broken := errors.New("input/output error")
	for k := 1; k < 20; k++ {
		for _, truncateFails := range []bool{false, true} {
			j := temp(t)
			appended(t, j, draw)
			failing(j, k, 1<<20, truncateFails, broken)
			_, err := j.Append(draw, clock, yes)
			if err == nil {
				continue
			}
			n := len(read(t, At(j.path)).Entries)
			switch {
			case strings.HasSuffix(err.Error(), "; nothing was written"):
				if n != 1 {
					t.Errorf("step %d: %v, but %d entries", k, err, n)
				}
			case strings.Contains(err.Error(), "look first: number 2 may be written and count"):
				if !truncateFails {
					t.Errorf("step %d: unsure although it could be taken back", k)
				}
			default:
				t.Errorf("step %d: %v does not say", k, err)
			}
		}
	}
}

func TestWhatIsNotKnownIsNamedAndDoesNotCount(t *testing.T) {
	const head = `{"id":%,"time":"2026-11-25T03:00:00Z",`
	text := strings.Replace(head, "%", "1", 1) + `"kind":"Draw","store":"vat-b","litres":20}` + "\n" +
		strings.Replace(head, "%", "2", 1) + `"kind":"add","store":"vat-b","litres":20,"Salinity":10,"salinty":30}` + "\n" +
		strings.Replace(head, "%", "9007199254740993", 1) + `"kind":"draw","store":"vat-b","litres":1}` + "\n"
	l := Parse([]byte(text))
	all := ""
	for _, p := range l.Problems {
		all += p.What + "\n"
	}
	for _, want := range []string{`kind "Draw" is not known; did you mean "draw"?; the entry does not count`, `key "Salinity" is not known; did you mean "salinity"?`, `key "salinty" is not known; did you mean "salinity"?`, "at most 9007199254740992 is allowed"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in\n%s", want, all)
		}
	}
	got, _ := Fold(slipway(t), l.Entries, start)
	if b := got.Stores[1]; !b.Volume.Equal(*dec("170")) || b.Water.Salinity != 35 || l.LastID() != 2 {
		t.Errorf("%s L at %v, last %d", b.Volume, b.Water.Salinity, l.LastID())
	}
}

func TestDeedsAndKitAreTakenOver(t *testing.T) {
	s := slipway(t)
	s.TimeZone = time.FixedZone("east", 3*3600)
	old := start.AddDate(-1, 0, 0)
	s.Kit = []site.KitItem{{Item: "copper test", Need: 1, Have: 1, Expires: &old}}
	s.Drills = []site.Drill{{What: "out and back"}}
	s.Purifier = &site.Purifier{Guards: []site.Guard{{Kind: "leak shutoff"}}}
	s.Systems = []site.System{{ID: "reef", Equipment: []site.Equipment{{ID: "heater", Guards: []site.Guard{{Kind: "cut-out"}, {Kind: "leak shutoff"}}}}}}
	drill, err1 := FindDeed(s, "OUT  and back")
	heater, err2 := FindDeed(s, "Cut-Out")
	pure, err3 := FindDeed(s, "purifier leak shutoff")
	if errors.Join(err1, err2, err3) != nil {
		t.Fatal(err1, err2, err3)
	}
	if _, err := FindDeed(s, "leak shutoff"); err == nil || !strings.Contains(err.Error(), "reef/heater leak shutoff, purifier leak shutoff") {
		t.Errorf("two of a kind: %v", err)
	}
	evening := time.Date(2026, 11, 24, 22, 0, 0, 0, time.UTC) // already the 25th there
	did := func(d Deed, at time.Time) Entry { return Entry{Kind: Did, Data: JSONOf(d), Time: at} }
	log := numbered(did(drill, evening), did(heater, evening), did(pure, evening),
		Entry{Kind: Kit, Data: JSONOf(KitCount{"Copper test", 3, "2028-01-31"})}, did(drill, start.AddDate(3, 0, 0)))
	got, warnings := Fold(s, log, start)
	day := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	for what, at := range map[string]*time.Time{"drill": got.Drills[0].Done, "heater": got.Systems[0].Equipment[0].Guards[0].Tested, "purifier": got.Purifier.Guards[0].Tested} {
		if at == nil || !at.Equal(day) {
			t.Errorf("%s: %v", what, at)
		}
	}
	if k := got.Kit[0]; k.Have != 3 || k.Expires.Format(time.DateOnly) != "2028-01-31" || len(warnings) != 1 {
		t.Errorf("%+v, %v", k, warnings)
	}
	if s.Drills[0].Done != nil || s.Systems[0].Equipment[0].Guards[0].Tested != nil || s.Purifier.Guards[0].Tested != nil || s.Kit[0].Have != 1 {
		t.Error("the site given was changed")
	}
	for _, e := range []Entry{
		{Kind: Kit, Data: JSONOf(KitCount{Item: "rope", Have: 1})}, {Kind: Kit, Data: JSONOf(KitCount{Item: "copper test", Have: -1})}, {Kind: Kit},
		{Kind: Kit, Data: JSONOf(KitCount{"copper test", 1, "tomorrow"})}, {Kind: Did}, {Kind: Did, Data: JSONOf(Deed{Drill: "x"})},
		{Kind: Did, Data: JSONOf(Deed{Guard: &GuardRef{"reef", "x", "cut-out"}})}, {Kind: Did, Data: JSONOf(Deed{Guard: &GuardRef{"x", "heater", "cut-out"}})},
		{Kind: Did, Data: JSONOf(Deed{Guard: &GuardRef{Kind: "x"}})}, {Kind: Did, Data: JSONOf(Deed{Drill: "out and back", Guard: &GuardRef{Kind: "x"}})},
		{Kind: Mixed, Store: "vat-b", Data: []byte(`{"purified":"pure-a","litres":"x"}`)}, {Kind: Mixed, Store: "vat-b", Data: []byte(`1`)},
	} {
		e.ID, e.Time = 9, start
		if Validate(s, nil, e, anytime) == nil {
			t.Errorf("%s %s was accepted", e.Kind, e.Data)
		}
	}
	s.Purifier = nil
	if Validate(s, nil, Entry{ID: 1, Time: start, Kind: Did, Data: JSONOf(pure)}, anytime) == nil {
		t.Error("the guard of a purifier that is not there was tested")
	}
}
