package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"

	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// journalOf is the journal of a site file: the one beside it. Where the site file is a
// link, that is the one beside the file it leads to, else the one beside the link; two that
// differ are refused, since one of them would be passed over without a word.
func journalOf(sitePath string) (*stock.Journal, error) {
	here := stock.Of(sitePath)
	target, err := filepath.EvalSymlinks(sitePath)
	if err != nil || target == filepath.Clean(sitePath) || filepath.Dir(target) == filepath.Dir(filepath.Clean(sitePath)) {
		return here, nil
	}
	there := stock.Of(target)
	a, errA := os.Stat(here.Path())
	b, errB := os.Stat(there.Path())
	switch {
	case errA == nil && errB == nil && !os.SameFile(a, b):
		return nil, usagef("%s is a link to %s, and a journal stands beside each: %s and %s; move away the one that does not belong", sitePath, target, here.Path(), there.Path())
	case errA == nil && errB != nil:
		return here, nil
	}
	return there, nil
}

// readJournal folds the journal into the site that was loaded. The record of another
// site file is left out, and that is said: an answer may not wait for tidy folders.
func (l *loaded) readJournal() error {
	j, err := journalOf(l.Name)
	if err != nil {
		return err
	}
	defer spareMemory(j.Path())()
	l.Journal, err = j.Read()
	var foreign *stock.ForeignError
	if errors.As(err, &foreign) {
		s := *l.Filed
		s.Warnings = append(s.Warnings[:len(s.Warnings):len(s.Warnings)], site.Note{Path: journalName, Code: site.NoteJournal, Text: "left out: " + foreign.Error()})
		l.Site = &s
		return nil
	}
	if err != nil {
		return journalError(err)
	}
	folded, warnings := stock.Fold(l.Filed, l.Journal.Entries, l.Now)
	for _, w := range warnings {
		folded.Warnings = append(folded.Warnings, site.Note{Code: site.NoteJournal, Text: w.Text})
	}
	folded.Warnings = append(folded.Warnings, journalNotes(l.Journal)...)
	l.Site = folded
	return nil
}

// largeJournal is a file, in bytes, whose entries are most of what the program holds.
const largeJournal = 16 << 20

// spareMemory collects garbage more often while a very long journal is read and folded, and
// gives back the function that ends it: the entries stay, so that waiting until as
// much again is garbage would double what the program takes.
func spareMemory(path string) (end func()) {
	info, err := os.Stat(path)
	if err != nil || info.Size() < largeJournal {
		return func() {}
	}
	before := debug.SetGCPercent(15)
	if before == lately {
		before = goOwn // there is much to collect from now on
	}
	return func() { debug.SetGCPercent(before) }
}

// journalNotes are what a keeper should know of the journal's text.
func journalNotes(l stock.Log) []site.Note {
	var out []site.Note
	for _, p := range l.Problems {
		path := journalName
		if p.Line > 0 {
			path = fmt.Sprintf("%s:%d", journalName, p.Line)
		}
		out = append(out, site.Note{Path: path, Code: site.NoteJournal, Text: p.What})
	}
	if l.Unlisted > 0 {
		out = append(out, site.Note{Path: journalName, Code: site.NoteJournal, Text: fmt.Sprintf("and %d more such lines", l.Unlisted)})
	}
	return out
}

// journalError says what is wrong with the journal without the name of the system
// call. What stands in its place and is none, or may not be read, is bad input, as it is of
// a site file: who runs the command can mend it. The rest is a failure of the machine. What it
// says of an entry stays at its end.
func journalError(err error) error {
	ending := ""
	var w *stock.WriteError
	if errors.As(err, &w) {
		ending = "; " + w.Ending()
	}
	var foreign *stock.ForeignError
	if errors.As(err, &foreign) {
		return usagef("%v%s", foreign, ending)
	}
	var other *stock.NotJournalError
	if errors.As(err, &other) {
		return usagef("%v%s", other, ending)
	}
	var p *fs.PathError
	if !errors.As(err, &p) {
		return err
	}
	if errors.Is(err, fs.ErrPermission) {
		if w == nil {
			return usagef("%s: not allowed to read it, and without it nobody knows what is left; give yourself the right to (chmod u+r, or ask its owner)", p.Path)
		}
		return fmt.Errorf("%s cannot be written: %w; it must belong to a group that all who enter are in%s", p.Path, p.Err, ending)
	}
	return fmt.Errorf("%s: %w; check its permissions and the disk%s", p.Path, p.Err, ending)
}
