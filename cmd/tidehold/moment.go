package main

import (
	"errors"
	"fmt"
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
	return flagMoment("--at", a.at, clock.In(zone))
}

// momentError is a refusal of a time: the flag is at fault, and no file.
type momentError struct{ error }

// flagMoment is the moment a flag names, clock the time now where it is read.
func flagMoment(flag, text string, clock time.Time) (time.Time, error) {
	refuse := func(format string, args ...any) (time.Time, error) {
		return time.Time{}, usage(momentError{fmt.Errorf(flag+": "+format, args...)})
	}
	t, err := readMoment(text, clock)
	switch {
	case errors.Is(err, errNoMoment):
		return refuse("%q is not a time; write now, 03:00 (today), \"2026-11-25 03:00\" or 2026-11-25T03:00:00Z", text)
	case err != nil:
		return refuse("%w", err)
	}
	if y := t.UTC().Year(); y < firstYear || y > lastYear {
		return refuse("%q is in the year %d; %d to %d is allowed", text, y, firstYear, lastYear)
	}
	return t, nil
}

// withHour refuses a day without a time. An incident goes by the hour: a sample of "today" was taken for one of
// midnight, from before it began.
func withHour(text string) error {
	text = strings.TrimSpace(text)
	if _, err := time.Parse(time.DateOnly, text); err == nil {
		return momentError{fmt.Errorf("%q has no time of day, and an incident goes by the hour; write \"%s 09:00\"", text, text)}
	}
	return nil
}

// errNoMoment says that a text is no time at all.
var errNoMoment = errors.New("not a time")

// readMoment reads a moment as people write one; clock is the time now where they are.
//
// Errors: errNoMoment; a time that the clock there shows twice or never on that day, with what to write instead.
func readMoment(text string, clock time.Time) (time.Time, error) {
	all, err := readMoments(text, clock)
	switch {
	case err != nil:
		return time.Time{}, err
	case len(all) > 1:
		return time.Time{}, comesTwice(all)
	}
	return all[0], nil
}

// readMoments is readMoment with both moments of a time that comes twice, the earlier one first. Behind the
// time may stand which of them is meant, as moment writes it: 01:30 (2nd).
func readMoments(text string, clock time.Time) ([]time.Time, error) {
	text = strings.TrimSpace(text)
	if text == "now" {
		return []time.Time{clock}, nil
	}
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		return []time.Time{t}, nil
	}
	if t, err := time.ParseInLocation(time.DateOnly, text, clock.Location()); err == nil {
		return []time.Time{t}, nil
	}
	text, mark := turnMark(text)
	wall, ok := readWall(text, clock)
	if !ok {
		return nil, errNoMoment
	}
	return marked(wall, mark, clock.Location())
}

// readWall reads what a clock on the wall shows, as a time in UTC with those digits; without a date it is
// that of clock.
func readWall(text string, clock time.Time) (time.Time, bool) {
	for _, layout := range []string{"2006-01-02 15:04", "2006-01-02 15:04:05", "2006-01-02T15:04", "2006-01-02T15:04:05"} {
		if t, err := time.Parse(layout, text); err == nil {
			return t, true
		}
	}
	for _, layout := range []string{"15:04", "15:04:05"} {
		if t, err := time.Parse(layout, text); err == nil {
			y, m, d := clock.Date()
			return time.Date(y, m, d, t.Hour(), t.Minute(), t.Second(), 0, time.UTC), true
		}
	}
	return time.Time{}, false
}
