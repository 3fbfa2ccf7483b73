package calendar

import (
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	ical "github.com/emersion/go-ical"
	"pgregory.net/rapid"

	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

var now = time.Date(2026, time.November, 25, 3, 0, 0, 0, time.UTC)

func demo(t *testing.T) *site.Site {
	t.Helper()
	s, faults := site.Load("demo", site.Demo())
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return s
}

func read(t testing.TB, text string) []ical.Event {
	t.Helper()
	c, err := ical.NewDecoder(strings.NewReader(text)).Decode()
	if err != nil {
		t.Fatalf("an independent reader: %v\n%s", err, text)
	}
	return c.Events()
}

// Everything that is written is read back by an independent parser as it was meant.
func TestReadBackByAnotherProgram(t *testing.T) {
	s := demo(t)
	list := Of(s, now)
	list = append(list, Due{UID: UID(s, "incident", "1"), Kind: Incident, What: "take a sample; 2 µg/L, or less", Detail: "Zeile\nzwei \\ ä", Day: time.Date(2026, 11, 25, 9, 30, 0, 0, time.UTC), AheadMinutes: 15})
	text := File{Name: s.Name, Stamp: now, Sequence: 7, List: list}.Text()
	events := read(t, text)
	if len(events) != len(list) || len(list) < 10 {
		t.Fatalf("%d events of %d", len(events), len(list))
	}
	seen := map[string]bool{}
	for i, e := range events {
		d := list[i]
		uid, _ := e.Props.Text("UID")
		if uid != d.UID || seen[uid] {
			t.Errorf("%s: UID %s of %s", d.What, uid, d.UID)
		}
		seen[uid] = true
		what, err := e.Props.Text("SUMMARY")
		if want := map[bool]string{true: "OVERDUE: ", false: ""}[d.Overdue] + d.What; err != nil || what != want {
			t.Errorf("summary %q, want %q: %v", what, want, err)
		}
		if detail, _ := e.Props.Text("DESCRIPTION"); detail != d.Detail {
			t.Errorf("description %q, want %q", detail, d.Detail)
		}
		start, err := e.DateTimeStart(time.UTC)
		if err != nil || !start.Equal(d.Day) {
			t.Errorf("%s starts %v, want %v: %v", what, start, d.Day, err)
		}
		end, err := e.DateTimeEnd(time.UTC)
		want := d.Day.AddDate(0, 0, 1)
		if !d.AllDay {
			want = d.Day.Add(15 * time.Minute)
		}
		if err != nil || !end.Equal(want) {
			t.Errorf("%s ends %v, want %v: %v", what, end, want, err)
		}
		if d.EveryDays > 0 {
			set, err := e.RecurrenceSet(time.UTC)
			if err != nil {
				t.Fatal(err)
			}
			if next := set.After(start, false); !next.Equal(d.Day.AddDate(0, 0, d.EveryDays)) {
				t.Errorf("%s comes again on %v", what, next)
			}
		}
		if len(e.Children) != 1 || e.Children[0].Name != "VALARM" {
			t.Errorf("%s has no alarm", what)
		}
	}
}

// A second reading replaces the first: the same names, a later stamp and number.
func TestUIDsStayWhenSomethingIsDone(t *testing.T) {
	s := demo(t)
	before := map[string]time.Time{}
	for _, d := range Of(s, now) {
		before[d.UID] = d.Day
	}
	done := now
	s.Drills[0].Done = &done
	moved := 0
	for _, d := range Of(s, now) {
		day, known := before[d.UID]
		if !known {
			t.Errorf("%s has a new name", d.What)
		}
		if !day.Equal(d.Day) {
			moved++
			if d.What != s.Drills[0].What || !d.Day.Equal(time.Date(2027, 11, 25, 0, 0, 0, 0, time.UTC)) || d.Overdue {
				t.Errorf("%s moved to %v", d.What, d.Day)
			}
		}
	}
	if moved != 1 {
		t.Errorf("%d entries moved, want 1", moved)
	}
	other := *s
	other.Name = "Elsewhere"
	if UID(s, "a", "b") == UID(s, "a", "c") || UID(s, "ab", "c") == UID(s, "a", "bc") || UID(s, "a") == UID(&other, "a") {
		t.Error("names are not one per thing")
	}
}

// The day on which water stops counting is the day at the place: 30 days after noon UTC
// is already the next day in Auckland, and a change of the clock between does not shift it.
func TestDayOfAMomentFollowsTheZone(t *testing.T) {
	s := demo(t)
	mixed := time.Date(2026, 3, 20, 12, 30, 0, 0, time.UTC) // before the clocks change in Europe (29 March)
	for zone, want := range map[string]string{"UTC": "2026-04-19", "Europe/Lisbon": "2026-04-19", "Pacific/Auckland": "2026-04-20", "America/Los_Angeles": "2026-04-19"} {
		loc, err := time.LoadLocation(zone)
		if err != nil {
			t.Fatal(err)
		}
		s.TimeZone = loc
		for i := range s.Stores {
			s.Stores[i].Mixed, s.Stores[i].Tested, s.Stores[i].MaxAgeH = &mixed, nil, 30*24
		}
		found := 0
		for _, d := range Of(s, mixed.AddDate(0, 0, 5)) {
			if d.Kind == WaterAge {
				found++
				if got := d.Day.Format(time.DateOnly); got != want {
					t.Errorf("%s: %s, want %s", zone, got, want)
				}
			}
		}
		if found == 0 {
			t.Error("no water in the calendar")
		}
	}
}

// What was never done, and what nobody dated, is overdue today; routine of hours repeats
// by the hour; a weekly change stays on its day whenever the calendar is written.
func TestOverdueAndRoutine(t *testing.T) {
	s := demo(t)
	s.Drills = []site.Drill{{What: "never", EveryH: 24}}
	s.Systems[0].Equipment[0].Guards = []site.Guard{{Kind: "cut-out"}}
	s.Stores[0].Mixed, s.Stores[0].Tested = nil, nil
	s.Routine = []site.Routine{{System: "hall-reef", Volume: 10, EveryH: 36}, {System: "hall-reef", Volume: 10, EveryH: 7 * 24}}
	overdue, days := 0, map[time.Weekday]bool{}
	for i := range 14 {
		at := now.AddDate(0, 0, i)
		for _, d := range Of(s, at) {
			if d.Overdue {
				overdue++
				if !d.Day.Equal(dayOf(at, s.TimeZone)) {
					t.Errorf("%s is overdue on %v", d.What, d.Day)
				}
			}
			if d.EveryDays == 7 {
				days[d.Day.Weekday()] = true
				if d.Day.Before(dayOf(at, s.TimeZone)) || d.Day.After(at.AddDate(0, 0, 7)) {
					t.Errorf("on %v the next is %v", at, d.Day)
				}
			}
			if d.EveryH == 36 && d.AllDay {
				t.Error("a change every 36 h is a day")
			}
		}
	}
	if overdue < 14*5 || len(days) != 1 {
		t.Errorf("%d overdue, weekly on %v", overdue, days)
	}
	list := Within(Of(s, now), now.AddDate(0, 0, 14))
	hourly := 0
	for _, d := range list {
		if d.EveryH == 36 {
			hourly++
		}
	}
	if hourly != 10 { // 0, 36 … 324 h after nine in the morning, within 14 days of three
		t.Errorf("%d changes every 36 h in 14 days", hourly)
	}
	if events := read(t, File{Name: "x", Stamp: now, List: Of(s, now)}.Text()); len(events) != len(Of(s, now)) {
		t.Error("events are lost")
	}
}

// Any text survives escaping and folding; no line is longer than 75 octets, none is cut
// in a character.
func TestTextSurvives(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		what := rapid.StringMatching(`[a-zA-Z0-9 ,;:\\"'µ°ä漢🙂\n<>&=-]{0,200}`).Draw(r, "what")
		text := File{Name: "x", Stamp: now, List: []Due{{UID: "u@x", Kind: Drill, What: what, Day: now}}}.Text()
		for _, l := range strings.Split(text, "\r\n") {
			if len(l) > 75 || !utf8.ValidString(l) || strings.ContainsAny(l, "\r\n") {
				r.Fatalf("line %q of %d octets", l, len(l))
			}
		}
		got, err := read(t, text)[0].Props.Text("SUMMARY")
		if err != nil || got != what {
			r.Fatalf("%q came back as %q: %v", what, got, err)
		}
	})
	text := File{Name: "bell\a tab\t\r\nx", Stamp: now}.Text()
	if !strings.Contains(text, "NAME:bell tab\t\\nx\r\n") {
		t.Errorf("%q", text)
	}
}

func ExampleFile_Text() {
	f := File{Name: "Slipway", Stamp: now, Sequence: 3, List: []Due{{UID: "a@b", Kind: Drill, What: "move 20 %, out and back", Detail: "x", Day: now.Truncate(24 * time.Hour), AllDay: true, AheadMinutes: 60}}}
	fmt.Print(strings.ReplaceAll(f.Text(), "\r\n", "\n"))
	// Output:
	// BEGIN:VCALENDAR
	// VERSION:2.0
	// PRODID:-//tidehold//calendar//EN
	// CALSCALE:GREGORIAN
	// METHOD:PUBLISH
	// NAME:Slipway
	// BEGIN:VEVENT
	// UID:a@b
	// DTSTAMP:20261125T030000Z
	// SEQUENCE:3
	// DTSTART;VALUE=DATE:20261125
	// DTEND;VALUE=DATE:20261126
	// SUMMARY:move 20 %\, out and back
	// DESCRIPTION:x
	// CATEGORIES:drill
	// TRANSP:TRANSPARENT
	// BEGIN:VALARM
	// ACTION:DISPLAY
	// DESCRIPTION:move 20 %\, out and back
	// TRIGGER:-PT60M
	// END:VALARM
	// END:VEVENT
	// END:VCALENDAR
}

// Whoever copies the command of an entry enters what the entry is about.
func TestCommandsOfEntriesAreUnderstood(t *testing.T) {
	s := demo(t)
	tried := 0
	for _, d := range Of(s, now) {
		_, command, ok := strings.Cut(d.Detail, "tidehold stock did '")
		if !ok {
			continue
		}
		tried++
		deed, err := stock.FindDeed(s, strings.TrimSuffix(command, "'"))
		if err != nil || !strings.Contains(d.What, strings.Split(strings.TrimPrefix(deed.String(), "test of the "), " of ")[0]) {
			t.Errorf("%s: %v, %v", d.Detail, deed, err)
		}
	}
	if tried < 6 {
		t.Errorf("only %d commands tried", tried)
	}
}
