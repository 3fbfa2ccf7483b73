package main

import (
	"encoding/json"
	"errors"
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

// entryResult is an entry as written, what it did in words, and what is on hand after it.
type entryResult struct {
	ID    int         `json:"id"`
	Time  string      `json:"time"`
	Kind  stock.Kind  `json:"kind"`
	Line  string      `json:"line"`
	Stock stockResult `json:"stock"`
}

// clock is the time for entries that name none, to the second.
func (a *app) clock() time.Time { return a.Now().Truncate(time.Second) }

// enter writes one entry and says in a line what it did, and after it what else is to be said of it.
func (a *app) enter(e stock.Entry, note string, said ...string) error {
	if a.demo {
		return usagef(`the demo site is not a file, so nothing can be entered; write it out with "tidehold init --demo" first`)
	}
	if a.site == standardInput {
		return usagef("a site read from standard input is not a file, so nothing can be entered beside it; name the file with --site")
	}
	if len(a.sets) > 0 {
		return usagef("--set is for what-ifs; leave it out to enter what happened")
	}
	a.filedOnly = true // the journal is read once, under its lock
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	e.Note = note
	if a.at != "" {
		e.Time = ls.Now
	}
	e, post, err := a.write(&ls, e, a.at != "", completeUndo)
	if err != nil {
		return err
	}
	ans := entryAnswer(a, ls, post, e)
	for _, text := range said {
		ans.Blocks = append(ans.Blocks, para("%s", text))
	}
	return a.print(ans)
}

// write puts one entry into the journal of the site, if first and the stock allow it;
// stated says that the keeper gave its time. The site of ls is then the one after it.
func (a *app) write(ls *loaded, e stock.Entry, stated bool, first func(stock.Log, *stock.Entry) error) (stock.Entry, stock.Posting, error) {
	journal, err := journalOf(ls.Name)
	if err != nil {
		return e, stock.Posting{}, err
	}
	defer spareMemory(journal.Path())()
	var post stock.Posting
	var refused error
	e, err = journal.Append(e, a.clock, func(l stock.Log, e *stock.Entry) error {
		if refused = first(l, e); refused == nil {
			post, refused = stock.Post(ls.Filed, l.Entries, e, stock.Clock{Now: a.Now(), Stated: stated})
		}
		ls.Journal = l
		return refused
	})
	if refused != nil {
		return e, post, usagef("%w; nothing was written", refused)
	}
	if err != nil {
		return e, post, journalError(err)
	}
	a.written, ls.Site = e.ID, post.After
	return e, post, nil
}

// completeUndo names the last entry where the keeper did not say which.
func completeUndo(l stock.Log, e *stock.Entry) error {
	if e.Kind != stock.Undo || e.Undoes != 0 {
		return nil
	}
	last, ok := stock.Last(l.Entries)
	if !ok {
		return errors.New("there is no entry to undo")
	}
	e.Undoes = last.ID
	return nil
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
