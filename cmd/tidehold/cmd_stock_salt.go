package main

import (
	"strconv"

	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/volumes/stock"
)

func newSaltCmd(a *app) *cobra.Command {
	f := &entryFlags{}
	var used, bought bool
	c := &cobra.Command{
		Use:   "salt <salt> <weight>",
		Short: "enter dry salt counted, bought (--bought) or used (--used)",
		Long: `Enters the dry salt on hand, as weighed now; with --bought or --used, what came or
went.

` + exitHelp,
		ValidArgsFunction: a.completeIDs(saltIDs),
		Example:           "  tidehold stock salt house 38.5kg\n  tidehold stock salt house 20kg --bought",
		Args:              cobra.ExactArgs(2),
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
			}
			return a.enter(stock.Entry{Kind: stock.Undo, Undoes: id}, f.note)
		},
	}
	f.declareNote(c.Flags())
	return c
}
