package stock

import (
	"os"
	"path/filepath"
	"testing"
)

// BenchmarkJournalMillion reads and folds a file of a million entries; the budget is 2 s
// and 300 MiB for the program.
func BenchmarkJournalMillion(b *testing.B) {
	path, s := filepath.Join(b.TempDir(), FileName), slipway(b)
	if err := os.WriteFile(path, longJournal(b, 1_000_000), 0o644); err != nil {
		b.Fatal(err)
	}
	now := start.AddDate(10, 0, 0)
	b.ReportAllocs()
	for b.Loop() {
		l, err := At(path).Read()
		if err != nil {
			b.Fatal(err)
		}
		Fold(s, l.Entries, now)
	}
}
