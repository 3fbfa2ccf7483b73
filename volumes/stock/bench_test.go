package stock

import (
	"bytes"
	"testing"
	"time"
)

// longJournal is a year of a busy place: n entries of every kind.
func longJournal(t testing.TB, n int) []byte {
	t.Helper()
	var text []byte
	var sum uint32
	for i := range n {
		e := Entry{ID: i + 1, Time: start.Add(time.Duration(i) * time.Minute)}
		switch i % 6 {
		case 0:
			e.Kind, e.Store, e.LevelCm = Dip, "vat-a", dec("78.5")
		case 1:
			e.Kind, e.Store, e.Litres = Draw, "vat-a", dec("12.25")
		case 2:
			e.Kind, e.Store, e.Litres, e.Salinity, e.TemperatureC = Add, "vat-a", dec("12.25"), num(35), num(24)
		case 3:
			e.Kind, e.SaltID, e.BoughtKg = Salt, "house", dec("0.5")
		case 4:
			e.Kind, e.Store, e.Salinity, e.Note = Tested, "vat-b", num(35.1), "refractometer"
		case 5:
			e.Kind, e.Undoes = Undo, i-2
		}
		line, next, err := encode(e, sum)
		if err != nil {
			t.Fatal(err)
		}
		text, sum = append(text, line...), next
	}
	return text
}

func TestLongJournalFoldsWithoutComplaint(t *testing.T) {
	text := longJournal(t, 3000)
	for line := range bytes.Lines(text) {
		if line = bytes.TrimSuffix(line, []byte("\n")); !scanPlain(line, &Entry{}, &pool{}) {
			t.Fatalf("not read as plain: %s", line)
		}
	}
	l := Parse(text)
	if len(l.Entries) != 3000 || len(l.Problems) != 0 {
		t.Fatalf("%d entries, problems %v", len(l.Entries), l.Problems)
	}
	if _, warnings := Fold(slipway(t), l.Entries, start.AddDate(10, 0, 0)); len(warnings) != 0 {
		t.Errorf("warnings %v", warnings[0])
	}
}

// BenchmarkJournal100k reads and folds 100,000 entries; the budget is 0.5 s.
func BenchmarkJournal100k(b *testing.B) {
	text, s := longJournal(b, 100_000), slipway(b)
	b.Run("parse", func(b *testing.B) {
		b.SetBytes(int64(len(text)))
		for b.Loop() {
			Parse(text)
		}
	})
	entries := Parse(text).Entries
	b.Run("fold", func(b *testing.B) {
		for b.Loop() {
			Fold(s, entries, start.AddDate(10, 0, 0))
		}
	})
	b.Run("both", func(b *testing.B) {
		for b.Loop() {
			Fold(s, Parse(text).Entries, start.AddDate(10, 0, 0))
		}
	})
}
