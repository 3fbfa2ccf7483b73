// Package calendar looks ahead: guard tests, drills, expiries, the ages of stored
// water, routine changes and what an open incident asks for, as a list (due.go) and as
// an iCalendar file of RFC 5545 (ical.go).
//
// What happens on a day is written as a day, what happens at a moment as a moment in
// UTC, which every calendar shows by its own clock with the rules of its own zone. The
// day of a moment is that of the site's zone, whose rules the caller brings with it.
package calendar
