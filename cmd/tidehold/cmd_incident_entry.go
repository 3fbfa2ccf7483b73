package main

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tidehold/response/incident"
	"tidehold/volumes/stock"
)

func newIncidentNoteCmd(a *app, f *incidentFlags) *cobra.Command {
	return &cobra.Command{
		Use:     "note <text>",
		Short:   "enter what was seen, decided or done besides",
		Long:    "Enters a remark: what was seen, what was decided and why, who was called.\n\n" + exitHelp,
		Example: "  tidehold incident note 'heater-1 unplugged and taken out, glass cracked'",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			text := strings.TrimSpace(args[0])
			if text == "" {
				return usagef("the note is empty; write what was seen, decided or done")
			}
			return a.enterIncident(f, time.Time{}, func(_ loaded, d incident.Draft) (stock.Entry, error) { return d.Remark(text) })
		},
	}
}

func newIncidentCloseCmd(a *app, f *incidentFlags) *cobra.Command {
	var note string
	c := &cobra.Command{
		Use:     "close",
		Short:   "the incident is over: end its record",
		Long:    "Ends the record. Results that come later may still be entered, with --incident.\n\n" + exitHelp,
		Example: "  tidehold incident close --note 'two samples below the target a day apart'",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			return a.enterIncident(f, time.Time{}, func(_ loaded, d incident.Draft) (stock.Entry, error) { return d.Close(note) })
		},
	}
	c.Flags().StringVar(&note, "note", "", "why it is over")
	return c
}

func newIncidentUndoCmd(a *app, f *incidentFlags) *cobra.Command {
	return &cobra.Command{
		Use:   "undo [<number>]",
		Short: "take back an entry of the incident: the last written, or the one with a number",
		Long: `Takes back an entry by another entry; both stay in the journal. A change taken back
puts its water back into the store it came from.

` + exitHelp,
		Example: "  tidehold incident undo\n  tidehold incident undo 12",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			number := 0
			if len(args) == 1 {
				n, err := strconv.Atoi(args[0])
				if err != nil || n < 1 {
					return usagef("%q is not the number of an entry; they count from 1", args[0])
				}
				number = n
			}
			return a.enterIncident(f, time.Time{}, func(ls loaded, d incident.Draft) (stock.Entry, error) {
				logs, _ := incident.Logs(ls.Journal.Entries)
				l, err := incident.Find(logs, d.Incident, "")
				if err != nil {
					return stock.Entry{}, usage(err)
				}
				if number == 0 {
					number = l.LastEntry()
				} else if !slices.ContainsFunc(l.Items, func(it incident.Item) bool { return it.ID == number }) {
					return stock.Entry{}, usagef("entry %d is not one of incident %d; for entries of the stock: tidehold stock undo %d", number, l.ID, number)
				}
				return stock.Entry{Kind: stock.Undo, Undoes: number, Time: d.At}, nil
			})
		},
	}
}
