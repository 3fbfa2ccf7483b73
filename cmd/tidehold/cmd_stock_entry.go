package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/shopspring/decimal"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/volumes/stock"
)

// exact is a decimal that JSON shows as a number with all its digits.
type exact struct{ decimal.Decimal }

// MarshalJSON writes the digits without quotes.
func (e exact) MarshalJSON() ([]byte, error) { return []byte(json.Number(e.String())), nil }

// down prints litres rounded down.
func (e exact) down(u units.System) string { return u.Volume(e.InexactFloat64(), units.Down) }

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
	ls.Filed.Units = a.displayUnits(ls.Filed.Units)
	var refused error
	written, err := stock.At(filepath.Join(ls.Dir, journalName)).Append(e, a.clock, func(l stock.Log, e stock.Entry) error {
		refused = stock.Validate(ls.Filed, l.Entries, e)
		return refused
	})
	switch {
	case refused != nil:
		return usagef("%w; nothing was written", refused)
	case errors.Is(err, fs.ErrPermission):
		return usagef("%s beside the site file cannot be written: %w", journalName, err)
	case err != nil:
		return err
	}
	if ls, err = a.loadSite(); err != nil {
		return fmt.Errorf("entry %d is written, but reading it back failed: %w", written.ID, err)
	}
	head := []block{para("Entered as number %d, %s, at %s.", written.ID, written.Kind, written.Time.In(ls.Site.TimeZone).Format(time.RFC3339))}
	ans := stockAnswer(a, ls, "stock "+string(written.Kind), head)
	ans.Result = entryResult{written.ID, written.Time.Format(time.RFC3339Nano), written.Kind, ans.Result.(stockResult)}
	return a.print(ans)
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

func newDipCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	c := &cobra.Command{
		Use:   "dip <store> <level>",
		Short: "enter what a dipstick shows: a level, or a volume",
		Long: `Enters the level in a store as its dipstick shows it, or its volume where it has a
scale of its own. It replaces what the record held.

` + exitHelp,
		Example:           "  tidehold stock dip brine-a 78cm\n  tidehold stock dip brine-b 150L",
		Args:              cobra.ExactArgs(2),
		ValidArgsFunction: a.completeStores,
		RunE: func(_ *cobra.Command, args []string) error {
			e := stock.Entry{Kind: stock.Dip, Store: args[0]}
			level, err := exactAmount("level", args[1], units.Length)
			if err == nil {
				e.LevelCm = level
				return a.enter(e, f.note)
			}
			if _, wrong := units.Parse(args[1], units.Volume); wrong != nil {
				return usagef("%q is neither a level, as in 78cm, nor a volume, as in 310L", args[1])
			}
			if e.Litres, err = exactAmount("volume", args[1], units.Volume); err != nil {
				return err
			}
			return a.enter(e, f.note)
		},
	}
	f.declareNote(c.Flags())
	return c
}

func newDrawCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	c := &cobra.Command{
		Use:               "draw <store> <volume>",
		Short:             "enter water taken out of a store",
		Long:              "Enters water taken out of a store, for whatever use.\n\n" + exitHelp,
		Example:           "  tidehold stock draw brine-a 40L --note 'weekly change'",
		Args:              cobra.ExactArgs(2),
		ValidArgsFunction: a.completeStores,
		RunE: func(_ *cobra.Command, args []string) error {
			litres, err := exactAmount("volume", args[1], units.Volume)
			if err != nil {
				return err
			}
			return a.enter(stock.Entry{Kind: stock.Draw, Store: args[0], Litres: litres}, f.note)
		},
	}
	f.declareNote(c.Flags())
	return c
}

func newAddCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	c := &cobra.Command{
		Use:   "add <store> <volume>",
		Short: "enter water put into a store",
		Long: `Enters water put into a store. If its salinity or temperature differs, say so, and
the mixture is worked out by mass, salt and heat; otherwise it is taken to be like
what is there. The age stays that of the older water.

` + exitHelp,
		Example:           "  tidehold stock add pure-a 60L\n  tidehold stock add brine-a 10L --salinity 0 --temp 15C",
		Args:              cobra.ExactArgs(2),
		ValidArgsFunction: a.completeStores,
		RunE: func(_ *cobra.Command, args []string) error {
			litres, err := exactAmount("volume", args[1], units.Volume)
			if err != nil {
				return err
			}
			e := stock.Entry{Kind: stock.Add, Store: args[0], Litres: litres}
			f.water(&e)
			return a.enter(e, f.note)
		},
	}
	f.declareWater(c.Flags())
	return c
}

func newMixedCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	var salt string
	c := &cobra.Command{
		Use:   "mixed <store> [<volume>]",
		Short: "enter a batch just mixed: its age starts now",
		Long: `Enters that the water in a store was mixed now. The volume, if given, is all the
store holds then; --salt takes what went in off the dry salt on hand.

` + exitHelp,
		Example:           "  tidehold stock mixed brine-a 400L --salinity 35.1 --temp 24C --salt house=15.4kg",
		Args:              cobra.RangeArgs(1, 2),
		ValidArgsFunction: a.completeStores,
		RunE: func(_ *cobra.Command, args []string) error {
			e := stock.Entry{Kind: stock.Mixed, Store: args[0]}
			f.water(&e)
			var err error
			if len(args) == 2 {
				if e.Litres, err = exactAmount("volume", args[1], units.Volume); err != nil {
					return err
				}
			}
			if salt != "" {
				id, amount, ok := strings.Cut(salt, "=")
				if !ok || id == "" {
					return usagef("--salt: %q is not a salt and a weight; write them as in house=15.4kg", salt)
				}
				e.SaltID = id
				if e.UsedKg, err = exactAmount("--salt", amount, units.Mass); err != nil {
					return err
				}
			}
			return a.enter(e, f.note)
		},
	}
	f.declareWater(c.Flags())
	c.Flags().StringVar(&salt, "salt", "", "dry salt that went in, `id=weight`")
	return c
}

func newTestedCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	c := &cobra.Command{
		Use:               "tested <store>",
		Short:             "enter that a store was tested and found good: its age starts again",
		Long:              "Enters that the water in a store was tested and found good.\n\n" + exitHelp,
		Example:           "  tidehold stock tested brine-a --salinity 35.3",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeStores,
		RunE: func(_ *cobra.Command, args []string) error {
			e := stock.Entry{Kind: stock.Tested, Store: args[0]}
			f.water(&e)
			return a.enter(e, f.note)
		},
	}
	f.declareWater(c.Flags())
	return c
}

func newSaltCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	var used, bought bool
	c := &cobra.Command{
		Use:   "salt <salt> <weight>",
		Short: "enter dry salt counted, bought (--bought) or used (--used)",
		Long: `Enters the dry salt on hand, as weighed now; with --bought or --used, what came or
went.

` + exitHelp,
		Example: "  tidehold stock salt house 38.5kg\n  tidehold stock salt house 20kg --bought",
		Args:    cobra.ExactArgs(2),
		RunE: func(c *cobra.Command, args []string) error {
			if err := exclusive(c.Flags(), "bought", "used"); err != nil {
				return err
			}
			kg, err := exactAmount("weight", args[1], units.Mass)
			if err != nil {
				return err
			}
			e := stock.Entry{Kind: stock.Salt, SaltID: args[0]}
			switch {
			case bought:
				e.BoughtKg = kg
			case used:
				e.UsedKg = kg
			default:
				e.Kg = kg
			}
			return a.enter(e, f.note)
		},
	}
	c.Flags().BoolVar(&bought, "bought", false, "this much came")
	c.Flags().BoolVar(&used, "used", false, "this much went")
	f.declareNote(c.Flags())
	return c
}

func newUndoCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	c := &cobra.Command{
		Use:   "undo [<number>]",
		Short: "take back an entry: the last one, or the one with a number",
		Long: `Takes back an entry by another entry; both stay in the journal. Without a number it
is the last stock entry that counts.

` + exitHelp,
		Example: "  tidehold stock undo\n  tidehold stock undo 12 --note 'wrong vat'",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			id := 0
			if len(args) == 1 {
				n, err := strconv.Atoi(args[0])
				if err != nil || n < 1 {
					return usagef("%q is not the number of an entry; they count from 1", args[0])
				}
				id = n
			} else if !a.demo {
				ls, err := a.loadSite()
				if err != nil {
					return err
				}
				last, ok := stock.Last(ls.Journal.Entries)
				if !ok {
					return usagef("there is no entry to undo")
				}
				id = last.ID
			}
			return a.enter(stock.Entry{Kind: stock.Undo, Undoes: max(id, 1)}, f.note)
		},
	}
	f.declareNote(c.Flags())
	return c
}
