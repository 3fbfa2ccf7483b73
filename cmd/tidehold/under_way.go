package main

import (
	"fmt"
	"time"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// openOn are the open incidents of a journal by the system they are on.
func openOn(entries []stock.Entry) map[string]incident.Log {
	open := map[string]incident.Log{}
	logs, _ := incident.Logs(entries)
	for _, x := range incident.Open(logs) {
		open[x.Opening.System] = x
	}
	return open
}

// underWay stands over rows that are planned from the site file where an incident is open on their system in which
// changes were made or its water was read: they begin anew, with a change at once, from water as it is kept, and know
// nothing of what a day's limits have left.
func underWay(s *site.Site, open map[string]incident.Log, system string, now time.Time) string {
	l, ok := open[system]
	if !ok || l.OpenedAt.After(now) {
		return ""
	}
	const instead = "Pour by \"tidehold incident status\", not by these rows"
	sys := s.SystemByID(system)
	switch made := l.Changes(sys); {
	case made > 0:
		return fmt.Sprintf("%s made on %s. %s; none before %s.", units.UpperFirst(counted(made, "change")), system, instead, clockText(l.NextChange(sys, now), s.TimeZone))
	case l.WasRead(now):
		return fmt.Sprintf("The water of %s was read since. %s.", system, instead)
	}
	return ""
}
