package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"tidehold/refs/units"
)

// turnMarks tell the two times of the hour that comes twice apart.
var turnMarks = []string{"(1st)", "(2nd)"}

// moment is a time for people: Wed 25 Nov 03:00. In the hour that comes twice when the clock goes back it
// says which of the two is meant.
func moment(t time.Time) string {
	text := t.Format("Mon 2 Jan 15:04")
	begin, end := t.ZoneBounds()
	if back := -turnedBy(end); back > 0 && !t.Before(end.Add(-back)) {
		return text + " " + turnMarks[0]
	}
	if back := -turnedBy(begin); back > 0 && t.Before(begin.Add(back)) {
		return text + " " + turnMarks[1]
	}
	return text
}

// turnedBy is by how much the clock goes forward at a bound of its zone; 0 where there is none.
func turnedBy(bound time.Time) time.Duration {
	if bound.IsZero() {
		return 0
	}
	_, before := bound.Add(-time.Nanosecond).Zone()
	_, after := bound.Zone()
	return time.Duration(after-before) * time.Second
}

// clockTurn says that the clock goes forward or back between two times, and when, on the clock as it
// stood before; "" where it does not.
func clockTurn(from, to time.Time) string {
	for _, at := from.ZoneBounds(); !at.IsZero() && !at.After(to); _, at = at.ZoneBounds() {
		by := turnedBy(at)
		if by == 0 {
			continue
		}
		_, before := at.Add(-time.Nanosecond).Zone()
		text := at.In(time.FixedZone("", before)).Format("Mon 2 Jan at 15:04")
		if by < 0 {
			return "On " + text + " the clock goes back " + units.Hours((-by).Hours()) + "; the times above allow for it, and mark the hour that comes twice (1st) and (2nd)."
		}
		return "On " + text + " the clock goes forward " + units.Hours(by.Hours()) + "; the times above allow for it."
	}
	return ""
}

// turnMark takes such a mark off the end of a time: 0 or 1, -1 where there is none.
func turnMark(text string) (string, int) {
	for i, m := range turnMarks {
		if bare, ok := strings.CutSuffix(text, m); ok {
			return strings.TrimSpace(bare), i
		}
	}
	return text, -1
}

// marked are the moments at which the clock of a place shows the digits of wall, the earlier one first: two
// in the hour that comes twice unless a mark says which, and none is an error.
func marked(wall time.Time, mark int, place *time.Location) ([]time.Time, error) {
	all := showing(wall, place)
	switch {
	case len(all) == 0:
		return nil, neverComes(wall, place)
	case mark < 0:
		return all, nil
	case len(all) > 1:
		return all[mark : mark+1], nil
	}
	if begin, end := all[0].ZoneBounds(); begin.IsZero() && end.IsZero() {
		return all, nil // a clock that is never turned, or a place that is not known: the mark says nothing
	}
	return nil, fmt.Errorf("%s comes once on %s; write it without %s", wall.Format("15:04"), wall.Format("Mon 2 Jan"), turnMarks[mark])
}

// showing are the moments at which the clock of a place shows the digits of wall.
func showing(wall time.Time, place *time.Location) []time.Time {
	guess := time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), 0, place)
	begin, end := guess.ZoneBounds()
	var out []time.Time
	for _, in := range []time.Time{begin.Add(-time.Nanosecond), guess, end} {
		_, offset := in.In(place).Zone()
		at := wall.Add(-time.Duration(offset) * time.Second).In(place)
		if at.Format(time.DateTime) == wall.Format(time.DateTime) && !slices.ContainsFunc(out, at.Equal) {
			out = append(out, at)
		}
	}
	slices.SortFunc(out, time.Time.Compare)
	return out
}

// comesTwice names both moments of a time and how each is written.
func comesTwice(all []time.Time) error {
	wall := all[0].Format("2006-01-02 15:04")
	return fmt.Errorf("on %s the clock shows %s twice; for the first write \"%s %s\" or %s, for the second \"%s %s\" or %s", all[0].Format("Mon 2 Jan"), all[0].Format("15:04"),
		wall, turnMarks[0], all[0].Format(time.RFC3339), wall, turnMarks[1], all[1].Format(time.RFC3339))
}

// neverComes names the two times about an hour that the clock passes over.
func neverComes(wall time.Time, place *time.Location) error {
	turn, _ := time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), 0, place).ZoneBounds()
	if back := turn.Add(-time.Nanosecond).In(place); turn.IsZero() || back.Format(time.DateTime) > wall.Format(time.DateTime) {
		_, turn = time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), 0, place).ZoneBounds()
	}
	return fmt.Errorf("%s does not come on %s: the clock goes forward from %s to %s; write \"%s\" or later", wall.Format("15:04"), wall.Format("Mon 2 Jan"),
		turn.Add(-time.Minute).In(place).Format("15:04"), turn.In(place).Format("15:04"), turn.In(place).Format("2006-01-02 15:04"))
}
