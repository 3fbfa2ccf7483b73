package stock

import (
	"encoding/json"
	"reflect"
	"testing"

	"github.com/shopspring/decimal"
)

// FuzzParse: no input makes the reader fail; every problem has a line; every
// entry read can be written again and reads the same; an entry appended to any
// text is read back whatever stood there.
func FuzzParse(f *testing.F) {
	line, sum, err := encode(Entry{ID: 1, Time: start, Kind: Dip, Store: "vat-a", LevelCm: dec("78")}, 0)
	if err != nil {
		f.Fatal(err)
	}
	second, _, err := encode(Entry{ID: 2, Time: start, Kind: Mixed, Store: "vat-a", Litres: dec("40.125"), SaltID: "house", UsedKg: dec("1.5"), Salinity: num(35), TemperatureC: num(21.5)}, sum)
	if err != nil {
		f.Fatal(err)
	}
	f.Add([]byte{})
	f.Add(line)
	f.Add(append(line, second...))
	f.Add(append(line, second[:40]...))
	f.Add([]byte(`{"id":1,"time":"2026-11-25T03:00:00.5+01:00","kind":"reading","data":{"a":[1,2]}}` + "\r\n\n"))
	f.Add([]byte(`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"reazing","data":{"a":[1,2]}}`))
	f.Add([]byte(`{"id":3,"time":"2026-11-25T03:00:00Z","kind":"salt","salt":"x","kg":1e5}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		l := Parse(data)
		for _, p := range l.Problems {
			if p.Line < 1 || p.What == "" {
				t.Errorf("problem %+v", p)
			}
		}
		var text []byte
		var sum uint32
		unknown := 0 // kinds that are named again, and nothing else
		for _, e := range l.Entries {
			if e.Kind.unknown() != "" {
				unknown++
			}
			line, next, err := encode(e, sum)
			if err != nil {
				t.Fatalf("an entry that was read cannot be written: %+v: %v", e, err)
			}
			text, sum = append(text, line...), next
		}
		again := Parse(text)
		if len(again.Problems)+again.Unlisted != unknown || len(again.Entries) != len(l.Entries) {
			t.Fatalf("written again: %d of %d entries, problems %v", len(again.Entries), len(l.Entries), again.Problems)
		}
		for i := range l.Entries {
			a, b := l.Entries[i], again.Entries[i]
			if !a.Time.Equal(b.Time) || !same(a, b) {
				t.Fatalf("read %+v, written and read again %+v", a, b)
			}
		}
		glue := []byte{}
		if l.open {
			glue = []byte{'\n'}
		}
		line, _, err := encode(Entry{ID: l.LastID() + 1, Time: start, Kind: Tested, Store: "vat-a"}, l.sum)
		if l.LastID() == maxID {
			if err == nil {
				t.Fatal("a number above the highest was written")
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		more := Parse(append(append(append([]byte{}, data...), glue...), line...))
		if len(more.Entries) != len(l.Entries)+1 {
			t.Fatalf("the appended entry is not read: %d entries, were %d; problems %v", len(more.Entries), len(l.Entries), more.Problems)
		}
	})
}

// FuzzScanPlain: where the plain reader takes a line, encoding/json takes it too
// and reads the same.
func FuzzScanPlain(f *testing.F) {
	line, _, err := encode(Entry{ID: 2, Time: start, Kind: Mixed, Store: "vat-a", Litres: dec("40.125"), SaltID: "house", UsedKg: dec("0.5"), Salinity: num(35), TemperatureC: num(21.5), Note: "x"}, 0)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(line[:len(line)-1])
	f.Add([]byte(`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"undo","undoes":3,"level_cm":-0.10,"kg":0,"bought_kg":10}`))
	f.Add([]byte("{\"id\":1,\"time\":\"2026-11-25T03:00:00Z\",\"note\":\"\x80\"}"))
	f.Add([]byte(`{"id":01}`))
	f.Add([]byte(`{"id":1.0,"ID":2}`))
	f.Add([]byte(`{"id":1e3,"note":"\u0041"}`))
	f.Fuzz(func(t *testing.T, line []byte) {
		var plain, full Entry
		if !scanPlain(line, &plain, &pool{}) {
			return
		}
		var w wire
		if err := json.Unmarshal(line, &w); err != nil {
			t.Fatalf("taken as plain: %q, but %v", line, err)
		}
		if w.ID < 1 || w.Time == "" {
			return // refused by both, with other words
		}
		if err := w.entry(&full); err != nil {
			t.Fatalf("taken as plain: %q, but %v", line, err)
		}
		if !plain.Time.Equal(full.Time) || !same(plain, full) {
			t.Fatalf("%q: %+v, by encoding/json %+v", line, plain, full)
		}
	})
}

// same compares entries but for time zone, spelling of numbers and blanks in data.
func same(a, b Entry) bool {
	amounts := func(e *Entry) (s string) {
		for _, d := range []**decimal.Decimal{&e.Litres, &e.LevelCm, &e.Kg, &e.BoughtKg, &e.UsedKg} {
			s += string(numberOf(*d)) + ";"
			*d = nil
		}
		e.Time, e.Data = start, nil
		return s
	}
	return amounts(&a) == amounts(&b) && reflect.DeepEqual(a, b)
}
