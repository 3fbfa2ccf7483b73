package calendar

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// File is an iCalendar object.
type File struct {
	// Name is the site's.
	Name string
	// Stamp is when it is written; Sequence grows with every change of the record, so
	// that a reader knows the newer of two.
	Stamp    time.Time
	Sequence int
	// Zone is that of the place, by whose clock moments are written and whose rules are
	// written with them; nil or UTC: in UTC.
	Zone *time.Location
	List []Due
}

// Text writes the calendar.
//
// Source: [rfc5545]: lines end in CRLF and are folded at 75 octets (3.1), text is
// escaped (3.3.11), an all-day DTEND is the day after (3.6.1), a zone named is a zone
// described (3.6.5).
func (f File) Text() string {
	var b strings.Builder
	w := writer{&b}
	w.line("BEGIN", "VCALENDAR")
	w.line("VERSION", "2.0")
	w.line("PRODID", "-//tidehold//calendar//EN")
	w.line("CALSCALE", "GREGORIAN")
	w.line("METHOD", "PUBLISH")
	w.text("NAME", f.Name) // RFC 7986, 5.1
	if from, ok := f.earliest(); ok && f.zoned() {
		f.zone(w, from)
	}
	for _, d := range f.List {
		f.event(w, d)
	}
	w.line("END", "VCALENDAR")
	return b.String()
}

const (
	utcForm   = "20060102T150405Z"
	localForm = "20060102T150405"
	dayForm   = "20060102"
	// shortest is how long a moment is shown that says nothing of it, hours.
	shortest = 0.25
)

func (f File) event(w writer, d Due) {
	w.line("BEGIN", "VEVENT")
	w.line("UID", d.UID)
	w.line("DTSTAMP", f.Stamp.UTC().Format(utcForm))
	w.line("SEQUENCE", fmt.Sprint(f.Sequence))
	if d.AllDay {
		w.line("DTSTART;VALUE=DATE", d.Day.Format(dayForm))
		w.line("DTEND;VALUE=DATE", d.Day.AddDate(0, 0, 1).Format(dayForm))
	} else {
		f.when(w, d)
	}
	switch {
	case d.EveryDays > 0:
		w.line("RRULE", fmt.Sprintf("FREQ=DAILY;INTERVAL=%d", d.EveryDays))
	case d.EveryH > 0:
		w.line("RRULE", fmt.Sprintf("FREQ=HOURLY;INTERVAL=%d", int(d.EveryH)))
	}
	what := d.What
	if d.Overdue {
		what = "OVERDUE: " + what
	}
	w.text("SUMMARY", what)
	w.text("DESCRIPTION", d.Detail)
	w.text("CATEGORIES", string(d.Kind))
	w.line("TRANSP", "TRANSPARENT")
	if d.AheadMinutes != 0 {
		w.line("BEGIN", "VALARM")
		w.line("ACTION", "DISPLAY")
		w.text("DESCRIPTION", what)
		w.line("TRIGGER", trigger(d.AheadMinutes))
		w.line("END", "VALARM")
	}
	w.line("END", "VEVENT")
}

// trigger is a duration before the start; after it where the minutes are negative.
func trigger(minutes int) string {
	sign := "-"
	if minutes < 0 {
		sign, minutes = "", -minutes
	}
	return fmt.Sprintf("%sPT%dM", sign, minutes)
}

// writer folds and ends lines.
type writer struct{ b *strings.Builder }

// most is the length of a line in octets, its end not counted.
const most = 75

// line writes one content line, folded between characters.
func (w writer) line(name, value string) {
	rest, room := name+":"+value, most
	for len(rest) > room {
		cut := room
		for !utf8.RuneStart(rest[cut]) {
			cut--
		}
		w.b.WriteString(rest[:cut] + "\r\n ")
		rest, room = rest[cut:], most-1
	}
	w.b.WriteString(rest + "\r\n")
}

// escapes of text values; what else is a control character is dropped.
var escapes = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\r\n", `\n`, "\n", `\n`, "\r", `\n`)

// text writes a line whose value is text.
func (w writer) text(name, value string) {
	value = strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\r' && r != '\t' || r == 0x7f {
			return -1
		}
		return r
	}, strings.ToValidUTF8(value, "?"))
	w.line(name, escapes.Replace(value))
}
