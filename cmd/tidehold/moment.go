package main

import (
	"strings"
	"time"
)

// The years in which a time can be written as RFC 3339 in every zone.
const firstYear, lastYear = 1970, 9998

// now is the moment the command plans from, in UTC where no site is at hand.
func (a *app) now() (time.Time, error) { return a.nowIn(time.UTC) }

// nowIn is the moment the command plans from: --at, else the demo's own date, else
// the clock. A time of day without a zone is that of the place.
func (a *app) nowIn(zone *time.Location) (time.Time, error) {
	clock := a.Now()
	if a.demo {
		clock = demoTime()
	}
	if a.at == "" {
		return clock, nil
	}
	t, ok := readMoment(a.at, clock.In(zone))
	if !ok {
		return t, usagef("--at: %q is not a time; write now, 03:00 (today), \"2026-11-25 03:00\" or 2026-11-25T03:00:00Z", a.at)
	}
	if y := t.UTC().Year(); y < firstYear || y > lastYear {
		return t, usagef("--at: %q is in the year %d; %d to %d is allowed", a.at, y, firstYear, lastYear)
	}
	return t, nil
}

// readMoment reads a moment as people write one; clock is the time now where they
// are.
func readMoment(text string, clock time.Time) (time.Time, bool) {
	text = strings.TrimSpace(text)
	if text == "now" {
		return clock, true
	}
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		return t, true
	}
	for _, layout := range []string{"2006-01-02 15:04", "2006-01-02 15:04:05", "2006-01-02T15:04", "2006-01-02T15:04:05", time.DateOnly} {
		if t, err := time.ParseInLocation(layout, text, clock.Location()); err == nil {
			return t, true
		}
	}
	for _, layout := range []string{"15:04", "15:04:05"} {
		if t, err := time.Parse(layout, text); err == nil {
			y, m, d := clock.Date()
			return time.Date(y, m, d, t.Hour(), t.Minute(), t.Second(), 0, clock.Location()), true
		}
	}
	return time.Time{}, false
}
