package stock

import (
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/volumes/site"
)

// Each bound is allowed, and the next value beyond it is not.
func TestValuesAtTheirBounds(t *testing.T) {
	line := func(rest string) string {
		return `{"id":1,"time":"2026-11-25T03:00:00Z","kind":"tested","store":"a",` + rest + `}` + "\n"
	}
	for _, c := range []struct{ in, out string }{
		{`"salinity":42`, `"salinity":42.0000001`}, {`"salinity":0`, `"salinity":-0.0000001`},
		{`"temp_c":40`, `"temp_c":40.0000001`}, {`"temp_c":0`, `"temp_c":-0.0000001`},
		{`"litres":1000000000`, `"litres":1000000000.1`}, {`"litres":0.000000001`, `"litres":0.0000000001`},
		{`"note":"` + strings.Repeat("n", maxText) + `"`, `"note":"` + strings.Repeat("n", maxText+1) + `"`},
		{`"litres":` + "1." + strings.Repeat("0", 29), `"litres":` + "1." + strings.Repeat("0", 30)},
	} {
		if l := Parse([]byte(line(c.in))); len(l.Entries) != 1 {
			t.Errorf("%.40s: %+v", c.in, l.Problems)
		}
		if l := Parse([]byte(line(c.out))); len(l.Entries) != 0 {
			t.Errorf("%.40s was taken", c.out)
		}
	}
	for year, ok := range map[int]bool{1969: false, 1970: true, 9998: true, 9999: false} {
		e := Entry{ID: 1, Kind: Tested, Store: "a", Time: time.Date(year, 6, 1, 0, 0, 0, 0, time.UTC)}
		if (e.check() == nil) != ok {
			t.Errorf("year %d: %v", year, e.check())
		}
	}
	for id, ok := range map[int]bool{maxID: true, maxID + 1: false} {
		e := Entry{ID: id, Kind: Tested, Store: "a", Time: start}
		if (e.check() == nil) != ok {
			t.Errorf("id %d: %v", id, e.check())
		}
		e = Entry{ID: 1, Kind: Undo, Undoes: id, Time: start}
		if (e.check() == nil) != ok {
			t.Errorf("undo of id %d: %v", id, e.check())
		}
	}
	if k := (KitCount{Item: "x", Have: maxKit}); (Entry{ID: 1, Time: start, Kind: Kit, Data: JSONOf(k)}).check() != nil {
		t.Error("the largest count was refused")
	}
	if k := (KitCount{Item: "x", Have: maxKit + 1}); (Entry{ID: 1, Time: start, Kind: Kit, Data: JSONOf(k)}).check() == nil {
		t.Error("a larger count was taken")
	}
	// A line as long as may be, and one byte more.
	e := Entry{ID: 1, Time: start, Kind: Remark}
	e.Data = []byte(`"` + strings.Repeat("d", 1000) + `"`)
	short, _, err := encode(e, 0)
	if err != nil {
		t.Fatal(err)
	}
	e.Data = []byte(`"` + strings.Repeat("d", 1000+maxLine-len(short)) + `"`)
	long, sum, err := encode(e, 0)
	if err != nil || len(long) != maxLine || sum == 0 {
		t.Fatalf("%d bytes, %v", len(long), err)
	}
	if l := Parse(long); len(l.Entries) != 1 || len(l.Problems) != 0 {
		t.Errorf("the longest line: %+v", l.Problems)
	}
	e.Data = append(e.Data[:len(e.Data)-1:len(e.Data)-1], 'd', '"')
	if _, _, err := encode(e, 0); err == nil || !strings.Contains(err.Error(), "bytes long") {
		t.Errorf("one byte more: %v", err)
	}
}

// A warning of the file is settled only by an entry that settles it.
func TestABatchOfAKnownVolumeSettlesAnEmptyVat(t *testing.T) {
	for _, c := range []struct {
		litres string
		left   int
	}{{"150", 0}, {"", 1}} {
		s := slipway(t)
		s.Warnings = append(s.Warnings[:0:0], note("vat-b", "empty"))
		e := Entry{Kind: Mixed, Store: "vat-b"}
		if c.litres != "" {
			e.Litres = dec(c.litres)
		}
		if got, _ := Fold(s, numbered(e), start); len(got.Warnings) != c.left {
			t.Errorf("mixed with %q L: %v", c.litres, got.Warnings)
		}
	}
}

// The tolerance of the clock is what it is, to the second.
func TestTheToleranceOfTheClock(t *testing.T) {
	s := slipway(t)
	for ahead, believable := range map[time.Duration]bool{Ahead: true, Ahead + time.Second: false} {
		e := Entry{ID: 1, Kind: Mixed, Store: "vat-b", Time: start.Add(ahead)}
		got, warnings := Fold(s, []Entry{e}, start)
		if (got.Stores[1].Mixed != nil) != believable || (len(warnings) == 0) != believable {
			t.Errorf("%v ahead: mixed %v, %v", ahead, got.Stores[1].Mixed, warnings)
		}
	}
	two := numbered(Entry{Kind: Draw, Store: "vat-a", Litres: dec("1"), Time: start.AddDate(1, 0, 0)}, Entry{Kind: Draw, Store: "vat-a", Litres: dec("1"), Time: start.AddDate(2, 0, 0)})
	if _, w := Fold(s, two[:1], start); len(w) != 1 || !strings.HasPrefix(w[0].Text, "1 entry is dated after Wed 25 Nov 2026 03:00, the last Thu 25 Nov 2027") {
		t.Errorf("%v", w)
	}
	if _, w := Fold(s, two, start); len(w) != 1 || !strings.HasPrefix(w[0].Text, "2 entries are dated after Wed 25 Nov 2026 03:00, the last Sat 25 Nov 2028") {
		t.Errorf("%v", w)
	}
}

func note(store, code string) site.Note {
	return site.Note{Place: refs.Place{List: "stores", ID: store}, Code: site.NoteCode(code)}
}

// TestTheQuickReaderKnowsItsLimits: of an amount of more digits than it can count it says nothing, and what is no
// number the first time is none the second time.
func TestTheQuickReaderKnowsItsLimits(t *testing.T) {
	for text, quick := range map[string]bool{
		"999999999999999999": true, "-99999999999999999": true, "0.1234567890123456": true,
		"9999999999999999999": false, "-999999999999999999": false, "0.12345678901234567": false,
	} {
		var got *decimal.Decimal
		s := scanner{rest: []byte(text + ","), pool: &pool{}}
		if s.amount(&got) != quick || quick && !got.Equal(decimal.RequireFromString(text)) {
			t.Errorf("%s: %v, taken %v", text, got, !quick)
		}
	}
	p := &pool{}
	for range 2 {
		if x, err := p.float([]byte("1e999")); err == nil {
			t.Errorf("1e999 is %v", *x)
		}
		if x, err := p.float([]byte("1e2")); err != nil || *x != 100 {
			t.Errorf("1e2 is %v, %v", x, err)
		}
	}
}
