package main

import (
	"bytes"
	"io/fs"
	"strings"
	"syscall"
	"testing"

	"tidehold/volumes/stock"
)

// A journal that cannot be used: what the one at the keyboard can mend ends with 2, as for a
// site file, and says how; a fault of the machine ends with 1. Each says what is written.
func TestAJournalThatCannotBeUsed(t *testing.T) {
	denied := &fs.PathError{Op: "open", Path: "journal.jsonl", Err: syscall.EACCES}
	broken := &fs.PathError{Op: "read", Path: "journal.jsonl", Err: syscall.EIO}
	for _, c := range []struct {
		name string
		err  error
		exit int
		says []string
	}{
		{"may not be read", denied, exitUsage, []string{"journal.jsonl: not allowed to read it", "chmod u+r"}},
		{"may not be written", &stock.WriteError{Err: denied}, exitFailed, []string{"cannot be written: permission denied", "group", "nothing was written"}},
		{"the lock of another person", &stock.WriteError{Err: &fs.PathError{Op: "open", Path: "journal.jsonl.lock", Err: syscall.EACCES}}, exitFailed, []string{"journal.jsonl.lock cannot be written", "group", "nothing was written"}},
		{"disk fault on reading", broken, exitFailed, []string{"input/output error", "check its permissions and the disk"}},
		{"disk fault, entry may count", &stock.WriteError{Err: broken, Outcome: stock.Unsure, ID: 7}, exitFailed, []string{"input/output error", "look first: number 7 may be written"}},
		{"a directory", &stock.NotJournalError{Path: "journal.jsonl", Is: "is a directory"}, exitUsage, []string{"is a directory, where the journal should be", "move it away", "stock dip"}},
		{"a directory, on writing", &stock.WriteError{Err: &stock.NotJournalError{Path: "journal.jsonl", Is: "is a directory"}}, exitUsage, []string{"move it away", "nothing was written"}},
		{"of another site", &stock.ForeignError{Journal: "journal.jsonl", Owner: "a.yaml", Site: "b.yaml"}, exitUsage, []string{"a folder of its own"}},
		{"locked", &stock.WriteError{Err: &stock.BusyError{Path: "journal.jsonl.lock"}}, exitFailed, []string{"has been locked", "nothing was written"}},
	} {
		var out bytes.Buffer
		if got := report(&out, journalError(c.err)); got != c.exit {
			t.Errorf("%s: exit %d, want %d", c.name, got, c.exit)
		}
		for _, want := range c.says {
			if !strings.Contains(out.String(), want) {
				t.Errorf("%s: no %q in %q", c.name, want, out.String())
			}
		}
		if strings.Contains(out.String(), "open journal") || strings.Contains(out.String(), "read journal") {
			t.Errorf("%s: names the system call: %q", c.name, out.String())
		}
	}
}
