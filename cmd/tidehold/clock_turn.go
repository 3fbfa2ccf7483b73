package main

import (
	"time"

	"tidehold/refs/units"
)

// moment is a time for people: Wed 25 Nov 03:00. In the hour that comes twice when the clock goes back it
// says which of the two is meant.
func moment(t time.Time) string {
	text := t.Format("Mon 2 Jan 15:04")
	begin, end := t.ZoneBounds()
	if back := -turnedBy(end); back > 0 && !t.Before(end.Add(-back)) {
		return text + " (1st)"
	}
	if back := -turnedBy(begin); back > 0 && t.Before(begin.Add(back)) {
		return text + " (2nd)"
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
