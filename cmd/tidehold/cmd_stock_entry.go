package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/shopspring/decimal"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/volumes/stock"
)

// exact is a decimal that JSON shows as a number with all its digits.
type exact struct{ decimal.Decimal }

// MarshalJSON writes the digits without quotes.
func (e exact) MarshalJSON() ([]byte, error) { return []byte(json.Number(e.String())), nil }

// ledgerStep is half the microlitre that stock found from a level is counted to:
// 40 gal of a strapping table must not show as 39.9 because its litres were rounded.
const ledgerStep = 0.5e-6

// down prints litres rounded down.
func (e exact) down(u units.System) string {
	l := e.InexactFloat64()
	if l > 0 {
		l += ledgerStep
	}
	return u.Volume(l, units.Down)
}

// entryResult is an entry as written, and what is on hand after it.
type entryResult struct {
	ID    int         `json:"id"`
	Time  string      `json:"time"`
	Kind  stock.Kind  `json:"kind"`
	Stock stockResult `json:"stock"`
}

// clock is the time for entries that name none, to the second.
func (a *app) clock() time.Time { return a.Now().Truncate(time.Second) }

// enter writes one entry and shows what is on hand after it.
func (a *app) enter(e stock.Entry, note string) error {
	if a.demo {
		return usagef(`the demo site is not a file, so nothing can be entered; write it out with "tidehold init --demo" first`)
	}
	if a.site == standardInput {
		return usagef("a site read from standard input is not a file, so nothing can be entered beside it; name the file with --site")
	}
	if len(a.sets) > 0 {
		return usagef("--set is for what-ifs; leave it out to enter what happened")
	}
	e.Note = note
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	if a.at != "" {
		e.Time = ls.Now
	}
	var refused error
	written, err := stock.At(filepath.Join(ls.Dir, journalName)).Append(e, a.clock, func(l stock.Log, e stock.Entry) error {
		refused = stock.Validate(ls.Filed, l.Entries, e)
		return refused
	})
	switch {
	case refused != nil:
		return usagef("%w; nothing was written", refused)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s beside the site file cannot be written: %w", journalName, plainFileError(err))
	case err != nil:
		return journalError(err)
	}
	if ls, err = a.loadSite(); err != nil {
		return fmt.Errorf("entry %d is written, but reading it back failed: %w", written.ID, err)
	}
	head := []block{para("Entered as number %d, %s, at %s.", written.ID, deed(written, ls.Journal), written.Time.In(ls.Site.TimeZone).Format(time.RFC3339))}
	ans := stockAnswer(a, ls, "stock "+string(written.Kind), head)
	ans.Result = entryResult{written.ID, written.Time.Format(time.RFC3339Nano), written.Kind, ans.Result.(stockResult)}
	return a.print(ans)
}

// journalError says what is wrong with the journal without the name of the system
// call: the journal is the tool's own, so that a fault of it is a failure, not bad
// input.
func journalError(err error) error {
	var p *fs.PathError
	if !errors.As(err, &p) {
		return err
	}
	if info, statErr := os.Stat(p.Path); statErr == nil && info.IsDir() {
		return fmt.Errorf("%s is a directory, where the journal should be; move it away", p.Path)
	}
	return fmt.Errorf("%s: %w; check its permissions and the disk", p.Path, p.Err)
}

// deed names what an entry does; of an undo, also what it takes back.
func deed(e stock.Entry, l stock.Log) string {
	for _, old := range l.Entries {
		if e.Kind == stock.Undo && old.ID == e.Undoes {
			return fmt.Sprintf("undo of number %d, %s of %s", old.ID, old.Kind, cmp.Or(old.Store, old.SaltID))
		}
	}
	return string(e.Kind)
}

// entryFlags are the flags of an entry about a store's water.
type entryFlags struct {
	note        string
	salinity    *quantityFlag
	temperature *quantityFlag
}

func (f *entryFlags) declareNote(fs *pflag.FlagSet) {
	fs.StringVar(&f.note, "note", "", "a remark to keep with the entry")
}

func (f *entryFlags) declareWater(fs *pflag.FlagSet) {
	f.salinity = quantity(fs, "salinity", units.Salinity, 0, 42, "measured salinity")
	f.temperature = quantity(fs, "temp", units.Temperature, 0, 40, "measured temperature")
	f.declareNote(fs)
}

// water fills what was measured.
func (f *entryFlags) water(e *stock.Entry) {
	if f.salinity.Given {
		e.Salinity = &f.salinity.Value
	}
	if f.temperature.Given {
		e.TemperatureC = &f.temperature.Value
	}
}

// exactAmount reads an amount to the last digit. A unit that is no short decimal
// of the base unit (a US gallon) is rounded to the journal's nine decimals.
func exactAmount(what, text string, dim units.Dimension) (*decimal.Decimal, error) {
	q, err := units.Parse(text, dim)
	if err != nil {
		return nil, usagef("%s: %w", what, err)
	}
	if q.U > 0 {
		return nil, usagef("%s: %q has an uncertainty, and the journal keeps plain amounts; leave it out", what, text)
	}
	d := q.Exact.Round(9)
	return &d, nil
}
