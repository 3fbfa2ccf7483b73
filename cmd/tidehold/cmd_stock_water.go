package main

import (
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/volumes/stock"
)

func newDipCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	c := &cobra.Command{
		Use:   "dip <store> <level>",
		Short: "enter what a dipstick shows: a level, or a volume",
		Long: `Enters the level in a store as its dipstick shows it, or its volume where it has a
scale of its own. It replaces what the record held.

` + exitHelp,
		Example:           "  tidehold stock dip vat-a 78cm\n  tidehold stock dip vat-b 150L",
		Args:              cobra.ExactArgs(2),
		ValidArgsFunction: a.completeIDs(storeIDs),
		RunE: func(_ *cobra.Command, args []string) error {
			e := stock.Entry{Kind: stock.Dip, Store: args[0]}
			level, err := exactAmount("level", args[1], units.Length)
			if err == nil {
				e.LevelCm = level
				return a.enter(e, f.note)
			}
			if _, wrong := units.Parse(args[1], units.Volume); wrong != nil {
				fix := "it as in 78cm or 310L"
				if _, err := units.Parse(args[1]+"L", units.Volume); err == nil {
					fix = args[1] + "cm or " + args[1] + "L"
				}
				return usagef("%q is neither a level nor a volume; write %s", args[1], fix)
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
		Example:           "  tidehold stock draw vat-a 40L --note 'weekly change'",
		Args:              cobra.ExactArgs(2),
		ValidArgsFunction: a.completeIDs(storeIDs),
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
		Example:           "  tidehold stock add pure-a 60L\n  tidehold stock add vat-a 10L --salinity 0 --temp 15C",
		Args:              cobra.ExactArgs(2),
		ValidArgsFunction: a.completeIDs(storeIDs),
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
	var salt, water, usable string
	c := &cobra.Command{
		Use:   "mixed <store> [<volume>]",
		Short: "enter a batch just mixed: its age starts now",
		Long: `Enters that the water in a store was mixed now. Every plan counts on it at once, or
from --usable on: enter a batch when water and salt are in (--at, if that was earlier),
with how long it is to mix, and "stock tested" with what it measures then. The volume, if given,
is all the store holds; --salt takes what went in off the dry salt on hand, --water
the purified water off the store it came from.

` + exitHelp,
		Example:           "  tidehold stock mixed vat-a 400L --salinity 35.1 --temp 24C --salt house=15.4kg --water pure-a=390L",
		Args:              cobra.RangeArgs(1, 2),
		ValidArgsFunction: a.completeIDs(storeIDs),
		RunE: func(_ *cobra.Command, args []string) error {
			e := stock.Entry{Kind: stock.Mixed, Store: args[0]}
			f.water(&e)
			var err error
			if len(args) == 2 {
				if e.Litres, err = exactAmount("volume", args[1], units.Volume); err != nil {
					return err
				}
			}
			if err := wentIn(&e, salt, water); err != nil {
				return err
			}
			if usable != "" {
				return a.enterUsable(e, usable, f.note)
			}
			return a.enter(e, f.note)
		},
	}
	f.declareWater(c.Flags())
	c.Flags().StringVar(&water, "water", "", "purified water that went in, `store=volume`")
	c.Flags().StringVar(&salt, "salt", "", "dry salt that went in, `id=weight`")
	c.Flags().StringVar(&usable, "usable", "", "when it may be used: 4h, so long after water and salt are in; or from a `TIME` on: 07:40, the next such time; \"2026-11-25 03:00\" or RFC 3339 (default: at once)")
	return c
}

// wentIn reads the dry salt and the purified water that went into a batch; "" for none stated.
func wentIn(e *stock.Entry, salt, water string) (err error) {
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
	if water != "" {
		e.Data, err = waterUsed(water)
	}
	return err
}

func newTestedCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	c := &cobra.Command{
		Use:               "tested <store>",
		Short:             "enter that a store was tested and found good: its age starts again",
		Long:              "Enters that the water in a store was tested and found good.\n\n" + exitHelp,
		Example:           "  tidehold stock tested vat-a --salinity 35.3",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeIDs(storeIDs),
		RunE: func(_ *cobra.Command, args []string) error {
			e := stock.Entry{Kind: stock.Tested, Store: args[0]}
			f.water(&e)
			return a.enter(e, f.note)
		},
	}
	f.declareWater(c.Flags())
	return c
}
