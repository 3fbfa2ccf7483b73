package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/volumes/stock"
)

func newIncidentImportCmd(a *app, f *incidentFlags) *cobra.Command {
	return &cobra.Command{
		Use:   "import <file>",
		Short: "enter a record that was kept elsewhere, one line an entry",
		Long: `Enters lines that were written on a phone or copied from paper, the time first:

  03:05 note heater unplugged, glass cracked
  03:20 reading temp 24.7C salinity 34.9
  03:40 change 120L from vat-a salinity 34.1 temp 24C
  2026-11-25 09:00 result copper=12.2±1.5ug/L

A time without a date is the first such time after the line before it. Empty lines
and lines that begin with # are passed over; "-" reads standard input. All lines are
checked before the first is written; a line that is in the record already is passed
over, so that the same text may be imported again.

` + exitHelp,
		Example: "  tidehold incident import night.txt",
		Args:    cobra.ExactArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return runIncidentImport(a, f, args[0]) },
	}
}

func runIncidentImport(a *app, f *incidentFlags, path string) error {
	if a.demo {
		return usagef(`the demo site is not a file, so nothing can be entered; write it out with "tidehold init --demo" first`)
	}
	data, err := readReport(a.In, path, "name the file with the lines, or - for standard input")
	if err != nil {
		return err
	}
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	logs, _ := incident.Logs(ls.Journal.Entries)
	l, err := incident.Find(logs, f.number, f.system)
	if err != nil {
		return usage(err)
	}
	entries, again, err := a.imported(ls, l, path, string(data))
	if err != nil {
		return err
	}
	if len(entries) == 0 {
		return a.print(answer{Command: "incident import", Title: "Import", Result: importResult{Passed: again}, Blocks: []block{para("Nothing is new: %s in the record already.", counted(again, "line"))}})
	}
	ids := []int{}
	for i, e := range entries {
		written, _, err := a.write(&ls, e, true, func(j stock.Log, e *stock.Entry) error {
			return incident.Validate(j.Entries, *e, a.clock().In(ls.Site.TimeZone))
		})
		if err != nil {
			return fmt.Errorf("after %s of %d: %w; import the same text again when that is put right", counted(i, "line"), len(entries), err)
		}
		ids = append(ids, written.ID)
	}
	if ls, err = a.loadSite(); err != nil {
		return fmt.Errorf("reading it back failed: %w", err)
	}
	return a.answerImport(ls, l.ID, ids, again)
}

// importResult is what was entered.
type importResult struct {
	Entered []int           `json:"entered"`
	Passed  int             `json:"passed_over"`
	Status  *incidentStatus `json:"status"`
}

func (a *app) answerImport(ls loaded, id int, ids []int, again int) error {
	logs, problems := incident.Logs(ls.Journal.Entries)
	l, err := incident.Find(logs, id, "")
	if err != nil {
		return usage(err)
	}
	n, status, err := a.nightAfter(ls, l)
	if err != nil {
		return err
	}
	wrote := fmt.Sprintf("Entered %s, number %d", counted(len(ids), "line"), ids[0])
	if len(ids) > 1 {
		wrote = fmt.Sprintf("Entered %s, numbers %d to %d", counted(len(ids), "line"), ids[0], ids[len(ids)-1])
	}
	if again > 0 {
		wrote += fmt.Sprintf("; %s in the record already", counted(again, "line"))
	}
	return a.print(answer{Command: "incident import", Title: "Import", Result: importResult{ids, again, &status}, Warnings: append(problems, aboutJournal(ls)...),
		Blocks: slices.Concat([]block{para("%s.", wrote), line("%s", n.stateLine())}, n.dueLines(), n.cautionFirst(status), n.nextLines(status))})
}

// imported reads the lines and checks them one after the other, each with those before
// it; those that are in the record already are counted.
func (a *app) imported(ls loaded, l incident.Log, path, text string) (fresh []stock.Entry, again int, err error) {
	before := slices.Clone(ls.Journal.Entries)
	last := l.OpenedAt.In(ls.Site.TimeZone)
	for i, row := range strings.Split(strings.TrimPrefix(text, "\ufeff"), "\n") {
		row = strings.TrimSpace(row)
		if row == "" || strings.HasPrefix(row, "#") {
			continue
		}
		at, rest, err := lineTime(row, last)
		switch {
		case errors.Is(err, errNoMoment):
			return nil, 0, usageAt(path, i, "%q does not begin with a time; write it as in 03:40 change 120L from vat-a", clipped(row))
		case err != nil:
			return nil, 0, usageAt(path, i, "%w", err)
		}
		last = at
		e, err := a.importLine(ls, incident.Draft{At: at, Written: a.clock(), Incident: l.ID}, rest)
		if err != nil {
			return nil, 0, usageAt(path, i, "%w", err)
		}
		if l.Has(e) {
			again++
			continue
		}
		e.ID = len(before) + 1
		for _, old := range before {
			e.ID = max(e.ID, old.ID+1)
		}
		if err = incident.Validate(before, e, a.clock().In(ls.Site.TimeZone)); err == nil {
			err = stock.Validate(ls.Filed, before, e, stock.Clock{Now: a.Now(), Stated: true})
		}
		if err != nil {
			return nil, 0, usageAt(path, i, "%w; nothing was written", err)
		}
		before = append(before, e)
		e.ID = 0
		fresh = append(fresh, e)
	}
	return fresh, again, nil
}

// usageAt is bad input on a line of a file.
func usageAt(path string, i int, format string, args ...any) error {
	return &usageError{err: fmt.Errorf("%s:%d:1: "+format, append([]any{path, i + 1}, args...)...), located: true}
}

// clipped keeps a message short.
func clipped(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// lineTime takes the time off a line: of one or two words, the date first, with the mark of an hour that
// comes twice behind it. A time of day alone is the first one after last, or last itself.
func lineTime(row string, last time.Time) (time.Time, string, error) {
	words := strings.Fields(row)
	for _, n := range []int{3, 2, 1} { // date, clock, mark
		if len(words) <= n || words[0] == "now" {
			continue
		}
		all, err := readMoments(strings.Join(words[:n], " "), last)
		if errors.Is(err, errNoMoment) {
			continue
		}
		if err := withHour(words[0]); n == 1 && err != nil {
			return time.Time{}, "", err
		}
		rest, daily := strings.Join(words[n:], " "), strings.Contains(words[0], ":") && len(words[0]) <= 8
		switch {
		case err != nil:
			return time.Time{}, "", err
		case !daily && len(all) > 1:
			return time.Time{}, "", comesTwice(all)
		case !daily:
			return all[0], rest, nil
		}
		for _, t := range all {
			if !t.Before(last.Truncate(time.Minute)) {
				return t, rest, nil
			}
		}
		t, err := readMoment(strings.Join(words[:n], " "), last.AddDate(0, 0, 1))
		return t, rest, err
	}
	return time.Time{}, "", errNoMoment
}

// importLine is the entry of one line without its time.
func (a *app) importLine(ls loaded, d incident.Draft, rest string) (stock.Entry, error) {
	kind, more, _ := strings.Cut(rest, " ")
	switch kind {
	case "note":
		if strings.TrimSpace(more) == "" {
			return stock.Entry{}, fmt.Errorf("the note is empty")
		}
		return d.Remark(more)
	case "result":
		list, _, err := a.results(ls, d.Incident, strings.Fields(more), "")
		if err != nil || len(list) == 0 {
			return stock.Entry{}, firstOf(err, fmt.Errorf("no result; write it as in result copper=12.2±1.5ug/L"))
		}
		return d.Result(list, "")
	case "reading":
		return importReading(d, more)
	case "change":
		return importChange(ls, d, more)
	}
	return stock.Entry{}, fmt.Errorf("%q is not one of note, reading, change, result%s", kind, meant(kind, []string{"note", "reading", "change", "result"}))
}

func firstOf(err, other error) error {
	if err != nil {
		return err
	}
	return other
}

// pairs reads words and values in turn into the flags of those names.
func pairs(fs *pflag.FlagSet, words []string) error {
	var names []string
	fs.VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	for i := 0; i < len(words); i += 2 {
		switch f := fs.Lookup(words[i]); {
		case f == nil:
			return fmt.Errorf("%q is not one of %s%s", clipped(words[i]), strings.Join(names, ", "), meant(words[i], names))
		case i+1 == len(words):
			return fmt.Errorf("%s has no value", words[i])
		default:
			if err := fs.Set(words[i], words[i+1]); err != nil {
				return fmt.Errorf("%s: %w", words[i], firstOf(unwrapped(err), err))
			}
		}
	}
	return nil
}

// unwrapped is what a flag itself says of a value.
func unwrapped(err error) error {
	if u, ok := err.(interface{ Unwrap() error }); ok {
		return u.Unwrap()
	}
	return nil
}

func importReading(d incident.Draft, text string) (stock.Entry, error) {
	r := newReadingFlags(pflag.NewFlagSet("reading", pflag.ContinueOnError))
	if err := pairs(r.set, strings.Fields(text)); err != nil {
		return stock.Entry{}, err
	}
	return r.entry(d)
}

func importChange(ls loaded, d incident.Draft, text string) (stock.Entry, error) {
	words := strings.Fields(text)
	if len(words) == 0 {
		return stock.Entry{}, fmt.Errorf("a change needs its volume, as in change 120L from vat-a")
	}
	fs := pflag.NewFlagSet("change", pflag.ContinueOnError)
	var from []string
	w := &entryFlags{}
	fs.StringArrayVar(&from, "from", nil, "")
	w.salinity = quantity(fs, "salinity", units.Salinity, 0, 42, "")
	w.temperature = quantity(fs, "temp", units.Temperature, 0, 40, "")
	if err := pairs(fs, words[1:]); err != nil {
		return stock.Entry{}, err
	}
	pours, err := poursOf(ls, d.Incident, words[0], from, w)
	if err != nil {
		return stock.Entry{}, err
	}
	return d.Change(pours)
}
