package main

import (
	"strings"
	"testing"
	"time"
)

// TestTimesAcrossATurnOfTheClock: the turns of the European Union are at 01:00 UTC on the last Sundays of
// March and October (Directive 2000/84/EC, articles 2 and 3). Every ten minutes for a day around them, in
// Lisbon and in Athens, have a text of their own, which is the clock on the wall; the hour that comes twice is marked.
func TestTimesAcrossATurnOfTheClock(t *testing.T) {
	lastSunday := func(month time.Month) time.Time {
		d := time.Date(2026, month, 31, 1, 0, 0, 0, time.UTC)
		return d.AddDate(0, 0, -int(d.Weekday()))
	}
	for zone, winterH := range map[string]int{"Europe/Lisbon": 0, "Europe/Athens": 2} {
		place, err := time.LoadLocation(zone)
		if err != nil {
			t.Fatal(err)
		}
		for month, byH := range map[time.Month]int{time.March: 1, time.October: -1} {
			turn, seen, marked := lastSunday(month), map[string]bool{}, 0
			for m := -12 * 60; m < 12*60; m += 10 {
				at := turn.Add(time.Duration(m) * time.Minute)
				hours := winterH
				if (m >= 0) == (byH > 0) {
					hours++ // summer time
				}
				want := at.Add(time.Duration(hours) * time.Hour).Format("Mon 2 Jan 15:04")
				switch {
				case byH < 0 && m >= -60 && m < 0:
					want += " (1st)"
				case byH < 0 && m >= 0 && m < 60:
					want += " (2nd)"
				}
				got := moment(at.In(place))
				if got != want || seen[got] {
					t.Errorf("%s, %v: %q, want %q (seen before: %v)", zone, at, got, want, seen[got])
				}
				if seen[got] = true; strings.Contains(got, "(") {
					marked++
				}
			}
			if want := map[int]int{1: 0, -1: 12}[byH]; marked != want {
				t.Errorf("%s in %v: %d times marked, want %d", zone, month, marked, want)
			}
			before := turn.Add(-time.Minute).In(place)
			said := clockTurn(before, turn.In(place))
			wall := turn.Add(time.Duration(winterH+map[int]int{1: 0, -1: 1}[byH]) * time.Hour).Format("Mon 2 Jan at 15:04")
			if !strings.Contains(said, "On "+wall+" the clock goes "+map[int]string{1: "forward", -1: "back"}[byH]+" 1 h;") {
				t.Errorf("%s in %v: %q", zone, month, said)
			}
			for _, span := range [][2]time.Time{{before.Add(-time.Hour), before}, {turn, turn.Add(100 * time.Hour)}} {
				if said := clockTurn(span[0].In(place), span[1].In(place)); said != "" {
					t.Errorf("%s, %v: %q", zone, span, said)
				}
			}
		}
		if said := clockTurn(lastSunday(time.March).AddDate(0, -2, 0).In(place), lastSunday(time.October).In(place)); !strings.Contains(said, "forward") {
			t.Errorf("over both turns the first is told of: %q", said)
		}
	}
	if said := clockTurn(lastSunday(time.March).AddDate(0, -1, 0), lastSunday(time.October)); said != "" || strings.Contains(moment(lastSunday(time.October)), "(") {
		t.Errorf("UTC turns: %q", said)
	}
}

// What moment prints is read back as the same moment, and what the clock shows twice or never is refused with
// both times, or the one behind the gap: every ten minutes for a day about both turns of the European Union
// (Directive 2000/84/EC) and of Lord Howe Island, whose clock is turned by half an hour.
func TestMomentsAreReadBack(t *testing.T) {
	for zone, turns := range map[string][]time.Time{
		"Europe/Lisbon":       {time.Date(2026, 3, 29, 1, 0, 0, 0, time.UTC), time.Date(2026, 10, 25, 1, 0, 0, 0, time.UTC)},
		"Australia/Lord_Howe": {time.Date(2026, 10, 3, 15, 30, 0, 0, time.UTC), time.Date(2026, 4, 4, 15, 0, 0, 0, time.UTC)},
	} {
		place, err := time.LoadLocation(zone)
		if err != nil {
			t.Fatal(err)
		}
		twice := 0
		for _, turn := range turns {
			for m := -12 * 60; m < 12*60; m += 10 {
				at := turn.Add(time.Duration(m) * time.Minute).In(place)
				_, mark, marked := strings.Cut(moment(at), "(")
				plain := at.Format("2006-01-02 15:04")
				if got, err := readMoment(plain+" ("+mark, at); marked && (err != nil || !got.Equal(at)) {
					t.Errorf("%s: %s (%s is %v, %v", zone, plain, mark, got, err)
				}
				got, err := readMoment(plain, at)
				switch {
				case !marked && (err != nil || !got.Equal(at)):
					t.Errorf("%s: %s is %v, %v; want %v", zone, plain, got, err, at)
				case marked && (err == nil || !strings.Contains(err.Error(), at.Format(time.RFC3339))):
					t.Errorf("%s: %s comes twice: %v, %v", zone, plain, got, err)
				case marked:
					twice++
				}
			}
			before, after := turn.Add(-time.Minute).In(place), turn.In(place)
			if by := turnedBy(turn); by != 0 {
				t.Fatalf("UTC turns by %v", by)
			}
			_, a := before.Zone()
			_, b := after.Zone()
			for m := time.Duration(0); m < time.Duration(b-a)*time.Second; m += 10 * time.Minute {
				gap := time.Date(before.Year(), before.Month(), before.Day(), before.Hour(), before.Minute()+1, 0, 0, time.UTC).Add(m)
				_, err := readMoment(gap.Format("2006-01-02 15:04"), before)
				if err == nil || !strings.Contains(err.Error(), "forward") || !strings.Contains(err.Error(), after.Format("2006-01-02 15:04")) {
					t.Errorf("%s: %s never comes: %v", zone, gap.Format(time.DateTime), err)
				}
			}
		}
		if want := map[string]int{"Europe/Lisbon": 12, "Australia/Lord_Howe": 6}[zone]; twice != want {
			t.Errorf("%s: %d times refused, want %d", zone, twice, want)
		}
	}
}

// A mark on a time that comes once is refused where clocks are turned, and says nothing where they are not.
func TestAMarkOnATimeThatComesOnce(t *testing.T) {
	place, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		t.Fatal(err)
	}
	noon := time.Date(2026, 10, 24, 12, 0, 0, 0, place)
	if _, err := readMoment("01:30 (2nd)", noon); err == nil || !strings.Contains(err.Error(), "once on Sat 24 Oct") {
		t.Errorf("the day before: %v", err)
	}
	if got, err := readMoment("01:30 (2nd)", noon.UTC()); err != nil || !got.Equal(time.Date(2026, 10, 24, 1, 30, 0, 0, time.UTC)) {
		t.Errorf("UTC: %v, %v", got, err)
	}
	for _, bad := range []string{"(1st)", "(2nd) 01:30", "01:30 (3rd)", "now (1st)", "2026-10-25 (1st)"} {
		if _, err := readMoment(bad, noon); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}

// In a record kept by hand a time of the day is the first such time after the line before it, on the night
// of the turn too.
func TestLinesOfTheNightOfTheTurn(t *testing.T) {
	place, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		t.Fatal(err)
	}
	last := time.Date(2026, 10, 24, 23, 0, 0, 0, time.UTC).In(place)
	for _, l := range []struct{ row, want string }{
		{"01:30 note a", "2026-10-25T01:30:00+01:00"},
		{"01:10 note b", "2026-10-25T01:10:00Z"},
		{"01:20 (2nd) note c", "2026-10-25T01:20:00Z"},
		{"00:50 note d", "2026-10-26T00:50:00Z"},
		{"2026-10-26 01:00 note e", "2026-10-26T01:00:00Z"},
	} {
		at, rest, err := lineTime(l.row, last)
		if err != nil || at.Format(time.RFC3339) != l.want || !strings.HasPrefix(rest, "note ") {
			t.Fatalf("%s: %v, %q, %v; want %s", l.row, at, rest, err, l.want)
		}
		last = at
	}
	if _, _, err := lineTime("2026-10-25 01:30 note f", last); err == nil || !strings.Contains(err.Error(), "twice") {
		t.Errorf("a date and a time that comes twice: %v", err)
	}
}
