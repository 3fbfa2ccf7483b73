package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"tidehold/response/calendar"
	"tidehold/response/incident"
)

func newCalendarCmd(a *app) *cobra.Command {
	days := 0
	c := &cobra.Command{
		Use:   "calendar",
		Short: "guard tests, drills, expiries, ages of water and re-tests, as a calendar",
		Long: `Writes what is due as an iCalendar file (RFC 5545) for any calendar program: guard
tests, drills, expiries, ages of stored water, routine changes and what an open
incident asks for. Read it again whenever something was done: the entries move, none
comes twice. With --format it is a list of the next 60 days instead. Times are those of
the site's time zone, with its rules; where the site names none, of the machine's.

` + exitHelp,
		Example: "  tidehold calendar > tidehold.ics\n  tidehold calendar --format table --days 30",
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if days < 1 || days > 3660 {
				return usagef("--days: %d is not allowed; write 1 to 3660", days)
			}
			return runCalendar(a, days, c.Flags().Changed("format"))
		},
	}
	c.Flags().IntVar(&days, "days", 60, "how far the list looks ahead")
	return c
}

// dueResult is one thing due.
type dueResult struct {
	Date    string        `json:"date"`
	At      *string       `json:"at"`
	Kind    calendar.Kind `json:"kind"`
	What    string        `json:"what"`
	Detail  string        `json:"detail"`
	Overdue bool          `json:"overdue"`
	UID     string        `json:"uid"`
}

type calendarResult struct {
	Days    int         `json:"days"`
	Overdue int         `json:"overdue"`
	Due     []dueResult `json:"due"`
}

func runCalendar(a *app, days int, asList bool) error {
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	list := calendar.Of(ls.Site, ls.Now)
	logs, problems := incident.Logs(ls.Journal.Entries)
	for _, l := range incident.Open(logs) {
		n, err := a.stateOf(ls, l, ls.Now)
		if err != nil {
			problems = append(problems, err.Error())
			continue
		}
		for _, r := range n.Retests() {
			list = append(list, calendar.Due{UID: calendar.UID(ls.Site, "incident", fmt.Sprint(l.ID), r.ID), Kind: calendar.Incident, What: r.What + ", " + l.Opening.System,
				Detail: "Incident " + l.Opening.Name + ". Enter it: tidehold incident result", Day: r.At, Overdue: r.At.Before(ls.Now), AheadMinutes: 15})
		}
	}
	calendar.Sort(list)
	if !asList {
		return a.printText(calendar.File{Name: ls.Title(), Stamp: ls.Now, Sequence: ls.Journal.LastID(), Zone: ls.Site.TimeZone, List: list}.Text())
	}
	return a.print(calendarAnswer(ls, calendar.Within(list, ls.Now.AddDate(0, 0, days)), days, problems))
}

func calendarAnswer(ls loaded, list []calendar.Due, days int, problems []string) answer {
	res := calendarResult{Days: days, Due: []dueResult{}}
	g := grid{Header: []string{"date", "kind", "what"}}
	layout := "Mon 2 Jan"
	if days > 300 {
		layout = "Mon 2 Jan 2006" // or a day could be of either year
	}
	for _, d := range list {
		r := dueResult{Kind: d.Kind, What: d.What, Detail: d.Detail, Overdue: d.Overdue, UID: d.UID, Date: d.Day.Format(time.DateOnly)}
		date := d.Day.Format(layout)
		if !d.AllDay {
			at := d.Day.UTC().Format(time.RFC3339)
			r.At, r.Date = &at, d.Day.In(ls.Site.TimeZone).Format(time.DateOnly)
			date = d.Day.In(ls.Site.TimeZone).Format(layout + " 15:04")
		}
		if d.Overdue {
			res.Overdue++
			date = "OVERDUE"
		}
		res.Due = append(res.Due, r)
		g.Rows = append(g.Rows, []string{date, string(d.Kind), d.What})
	}
	head := fmt.Sprintf("%s in the next %s, %d of them overdue.", counted(len(list), "thing"), counted(days, "day"), res.Overdue)
	if len(list) == 0 {
		head = fmt.Sprintf("Nothing is due in the next %s.", counted(days, "day"))
	}
	blocks := []block{para("%s", head)}
	if len(list) > 0 {
		blocks = append(blocks, tableBlock(g))
	}
	return answer{Command: "calendar", Title: "What is due at " + ls.Title(), Result: res, Warnings: problems, Blocks: blocks, Table: "due"}
}
