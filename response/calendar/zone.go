package calendar

import (
	"fmt"
	"slices"
	"time"
)

// rulesAhead is how many years of a zone's changes are looked at: a change that comes by
// one rule in all of them is written as that rule.
const rulesAhead = 10

// onset is a change of the clock.
type onset struct {
	at           time.Time // in the zone, just after it
	fromS, toS   int       // seconds east of Greenwich before and after
	name         string
	daylight     bool
	local        time.Time // the clock before the change would show, as if in UTC
	week, inYear int       // which such weekday of the month; inYear is its year
}

// onsets are the changes of a zone that matter from a moment on: the one that made the
// clock what it is then, and those of the years to come.
func onsets(zone *time.Location, from time.Time) []onset {
	from = from.In(zone)
	until := from.AddDate(rulesAhead, 0, 0)
	at, _ := from.ZoneBounds()
	if at.IsZero() {
		// Nothing ever changed before: the clock is what it is since the epoch.
		name, east := from.Zone()
		epoch := time.Unix(0, 0).UTC()
		list := []onset{{at: epoch.In(zone), fromS: east, toS: east, name: name, daylight: from.IsDST(), local: epoch}}
		_, at = from.ZoneBounds()
		return append(list, following(zone, at, until)...)
	}
	return following(zone, at, until)
}

// following are the changes from one on.
func following(zone *time.Location, at, until time.Time) []onset {
	var out []onset
	for !at.IsZero() && at.Before(until) {
		o := onset{at: at.In(zone), daylight: at.In(zone).IsDST()}
		_, o.fromS = at.Add(-time.Second).In(zone).Zone()
		o.name, o.toS = o.at.Zone()
		o.local = at.UTC().Add(time.Duration(o.fromS) * time.Second)
		o.week, o.inYear = (o.local.Day()-1)/7+1, o.local.Year()
		out = append(out, o)
		_, at = o.at.ZoneBounds()
	}
	return out
}

// alike reports whether two changes can stand under one heading.
func (o onset) alike(p onset) bool {
	return o.fromS == p.fromS && o.toS == p.toS && o.name == p.name && o.daylight == p.daylight
}

// yearlyRule is the rule by which all changes of a list come, one each year; "" if none
// does. Source: [rfc5545], 3.6.5 and 3.3.10.
func yearlyRule(list []onset) string {
	if len(list) < rulesAhead {
		return ""
	}
	first := list[0]
	nth, last := true, true
	for i, o := range list {
		if o.inYear != first.inYear+i || o.local.Month() != first.local.Month() || o.local.Weekday() != first.local.Weekday() || clockOf(o.local) != clockOf(first.local) {
			return ""
		}
		nth = nth && o.week == first.week
		last = last && o.local.AddDate(0, 0, 7).Month() != o.local.Month()
	}
	day := []string{"SU", "MO", "TU", "WE", "TH", "FR", "SA"}[first.local.Weekday()]
	switch {
	case last:
		return fmt.Sprintf("FREQ=YEARLY;BYMONTH=%d;BYDAY=-1%s", int(first.local.Month()), day)
	case nth:
		return fmt.Sprintf("FREQ=YEARLY;BYMONTH=%d;BYDAY=%d%s", int(first.local.Month()), first.week, day)
	}
	return ""
}

func clockOf(t time.Time) string { return t.Format("150405") }

// zone writes the rules of a time zone from a moment on (RFC 5545, 3.6.5): one heading for
// each kind of change, by its rule where it comes by one, else with the days of ten years.
func (f File) zone(w writer, from time.Time) {
	w.line("BEGIN", "VTIMEZONE")
	w.line("TZID", f.Zone.String())
	left := onsets(f.Zone, from)
	for len(left) > 0 {
		first := left[0]
		same := slices.DeleteFunc(slices.Clone(left), func(o onset) bool { return !o.alike(first) })
		left = slices.DeleteFunc(left, first.alike)
		kind := map[bool]string{true: "DAYLIGHT", false: "STANDARD"}[first.daylight]
		w.line("BEGIN", kind)
		w.line("DTSTART", first.local.Format(localForm))
		w.line("TZOFFSETFROM", offset(first.fromS))
		w.line("TZOFFSETTO", offset(first.toS))
		w.text("TZNAME", first.name)
		if rule := yearlyRule(same); rule != "" {
			w.line("RRULE", rule)
		} else {
			for _, o := range same[1:] {
				w.line("RDATE", o.local.Format(localForm))
			}
		}
		w.line("END", kind)
	}
	w.line("END", "VTIMEZONE")
}

// offset is a number of seconds east of Greenwich as RFC 5545, 3.3.14, writes it.
func offset(s int) string {
	sign := "+"
	if s < 0 {
		sign, s = "-", -s
	}
	text := fmt.Sprintf("%s%02d%02d", sign, s/3600, s/60%60)
	if s%60 != 0 {
		text += fmt.Sprintf("%02d", s%60)
	}
	return text
}

// zoned reports whether moments are written by the clock of the place: it has one, and
// it is not that of UTC.
func (f File) zoned() bool {
	if f.Zone == nil {
		return false
	}
	switch f.Zone.String() {
	case "UTC", "Etc/UTC", "Etc/UCT", "Etc/Universal", "Etc/Zulu", "UCT", "Universal", "Zulu", "Local", "":
		return false
	}
	return true
}

// twice reports whether the clock of its zone shows a time twice, being set back after it
// or having been set back before it. RFC 5545, 3.3.5, takes such a time for the first; not
// every program does.
func twice(t time.Time) bool {
	_, now := t.Zone()
	start, end := t.ZoneBounds()
	if !start.IsZero() {
		if _, before := start.Add(-time.Second).In(t.Location()).Zone(); t.Sub(start) < time.Duration(before-now)*time.Second {
			return true
		}
	}
	if end.IsZero() {
		return false
	}
	_, after := end.In(t.Location()).Zone()
	return end.Sub(t) <= time.Duration(now-after)*time.Second
}

// when writes a moment: by the clock of the place, or in UTC where it shows that
// time twice. A series of hours stays in UTC, where every 36 h is 36 h whatever the clocks do.
func (f File) when(w writer, d Due) {
	from, to := d.Day, d.Day.Add(hours(max(d.LastsH, shortest)))
	if f.zoned() && d.EveryH == 0 {
		a, b := from.In(f.Zone), to.In(f.Zone)
		if !twice(a) && !twice(b) {
			id := ";TZID=" + f.Zone.String()
			w.line("DTSTART"+id, a.Format(localForm))
			w.line("DTEND"+id, b.Format(localForm))
			return
		}
	}
	w.line("DTSTART", from.UTC().Format(utcForm))
	w.line("DTEND", to.UTC().Format(utcForm))
}

// earliest is the first moment written by the clock of the place; false if there is none.
func (f File) earliest() (at time.Time, ok bool) {
	for _, d := range f.List {
		if !d.AllDay && d.EveryH == 0 && (!ok || d.Day.Before(at)) {
			at, ok = d.Day, true
		}
	}
	return at, ok
}
