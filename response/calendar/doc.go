// Package calendar looks ahead: guard tests, drills, expiries, the ages of stored
// water, routine changes and what an open incident asks for, as a list (due.go) and as
// an iCalendar file of RFC 5545 (ical.go).
//
// What happens on a day is written as a day, what happens at a moment by the clock of the
// place, with the rules of its zone in the file (zone.go), so that every calendar shows
// the keeper's own time; where no zone is known, in UTC. The day of a moment is that of
// the site's zone, whose rules the caller brings with it.
package calendar
