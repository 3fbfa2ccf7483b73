package stock

import (
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// TestWriteLongJournal writes a journal of TIDEHOLD_JOURNAL_ENTRIES entries into the
// directory TIDEHOLD_JOURNAL_DIR, for .ci/bench-commands. Without them it does nothing.
func TestWriteLongJournal(t *testing.T) {
	dir := os.Getenv("TIDEHOLD_JOURNAL_DIR")
	if dir == "" {
		t.Skip("only for .ci/bench-commands")
	}
	n, err := strconv.Atoi(os.Getenv("TIDEHOLD_JOURNAL_ENTRIES"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, FileName), longJournal(t, n), 0o644); err != nil {
		t.Fatal(err)
	}
}
