package main

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// logEntry is one entry of the journal as "stock log" shows it.
type logEntry struct {
	ID     int        `json:"id"`
	Time   string     `json:"time"`
	Kind   stock.Kind `json:"kind"`
	About  string     `json:"about"`
	Note   string     `json:"note"`
	Undone bool       `json:"undone"`
	Undoes int        `json:"undoes,omitempty"`
}

type logResult struct {
	Entries []logEntry `json:"entries"`
	// Earlier counts those that are not shown.
	Earlier int `json:"earlier"`
}

// logLines is how many entries are shown at first: with the rest, a screen.
const logLines = 15

func newLogCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "log",
		Short: "the last entries with their numbers",
		Long: `Lists the entries of the journal with the numbers that "stock undo" takes, the last
ones at the end. What was taken back is marked.

` + exitHelp,
		Example: "  tidehold stock log\n  tidehold stock log --all --format csv",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			ls, err := a.loadSite()
			if err != nil {
				return err
			}
			return a.print(logAnswer(a, ls))
		},
	}
}

func logAnswer(a *app, ls loaded) answer {
	entries := ls.Journal.Entries
	res := logResult{Entries: []logEntry{}}
	if n := len(entries) - logLines; n > 0 && !a.all {
		res.Earlier, entries = n, entries[n:]
	}
	undone := stock.Undone(ls.Journal.Entries)
	w := entryWords{u: a.displayUnits(ls.Site.Units), zone: ls.Site.TimeZone, now: ls.Now}
	deeds := incidentDeeds(ls, w.u)
	g := grid{Title: "Journal", Header: []string{"no", "time", "entry", "what", "note"}, Right: []int{0}}
	for _, e := range entries {
		r := logEntry{ID: e.ID, Time: e.Time.Format(time.RFC3339), Kind: e.Kind, About: cmp.Or(w.about(e), deeds[e.ID]), Note: e.Note, Undone: undone[e.ID], Undoes: e.Undoes}
		res.Entries = append(res.Entries, r)
		kind, about := string(r.Kind), r.About
		if r.Undoes > 0 {
			about = fmt.Sprintf("takes back %d", r.Undoes)
		}
		if r.Undone {
			about += " (taken back)"
		}
		g.Rows = append(g.Rows, []string{fmt.Sprint(r.ID), w.clock(e.Time), kind, about, r.Note})
	}
	ans := answer{Command: "stock log", Title: "Journal of " + ls.Title(), Result: res, Table: "entries", Blocks: []block{tableBlock(g)}}
	if len(g.Rows) == 0 {
		ans.Blocks = []block{para("The journal has no entries.")}
	}
	if res.Earlier > 0 {
		ans.Blocks = append(ans.Blocks, para("%s earlier: tidehold stock log --all%s", counted(res.Earlier, "entry"), a.here()))
	}
	ans.Warnings = site.Texts(slices.DeleteFunc(slices.Clone(ls.Site.Warnings), func(n site.Note) bool { return n.Code != site.NoteJournal }))
	return ans
}
