package main

import (
	"encoding/json"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

func newKitCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	var expires string
	c := &cobra.Command{
		Use:   "kit <item> <number>",
		Short: "enter how many of an item of the kit there are",
		Long: `Enters how many of an item of the kit there are, as counted now. With --expires, the
last day the oldest of them may be used.

` + exitHelp,
		Example:           "  tidehold stock kit 'copper test' 2 --expires 2027-03-01\n  tidehold stock kit 'transfer pump' 1",
		Args:              cobra.ExactArgs(2),
		ValidArgsFunction: a.completeIDs(func(s *site.Site) []string { return s.Names(site.KindKit) }),
		RunE: func(_ *cobra.Command, args []string) error {
			n, err := strconv.Atoi(args[1])
			if err != nil || n < 0 {
				return usagef("%q is not how many there are; write a whole number, 0 or more", args[1])
			}
			if expires != "" {
				if _, err := time.Parse(time.DateOnly, expires); err != nil {
					return usagef("--expires: %q is not a date; write the last day it may be used, as 2027-03-01", expires)
				}
			}
			return a.enter(stock.Entry{Kind: stock.Kit, Data: stock.JSONOf(stock.KitCount{Item: args[0], Have: n, Expires: expires})}, f.note)
		},
	}
	c.Flags().StringVar(&expires, "expires", "", "last `day` the oldest may be used, 2027-03-01")
	f.declareNote(c.Flags())
	return c
}

func newDidCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	c := &cobra.Command{
		Use:   "did <drill or guard>",
		Short: "enter that a drill was held or a guard tested",
		Long: `Enters that a drill was held or a guard tested, today or at --at. A drill goes by
its words in the site file, a guard by its kind, with the equipment before it where
several are of one kind.

` + exitHelp,
		Example:           "  tidehold stock did 'leak shutoff'\n  tidehold stock did 'heater-1 high-limit cut-out' --at '2026-11-20 10:00'",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeIDs(func(s *site.Site) []string { return s.Names(site.KindDrill) }),
		RunE: func(_ *cobra.Command, args []string) error {
			a.filedOnly = true
			ls, err := a.loadSite()
			if err != nil {
				return err
			}
			d, err := stock.FindDeed(ls.Site, args[0])
			if err != nil {
				return usage(err)
			}
			return a.enter(stock.Entry{Kind: stock.Did, Data: stock.JSONOf(d)}, f.note)
		},
	}
	f.declareNote(c.Flags())
	return c
}

// waterUsed reads --water of "stock mixed": the purified water that went in.
func waterUsed(text string) (json.RawMessage, error) {
	id, amount, ok := strings.Cut(text, "=")
	if !ok || id == "" {
		return nil, usagef("--water: %q is not a store and a volume; write them as in pure-a=180L", text)
	}
	litres, err := exactAmount("--water", amount, units.Volume)
	if err != nil {
		return nil, err
	}
	return stock.JSONOf(stock.Taken{Store: id, Litres: json.Number(litres.String())}), nil
}
