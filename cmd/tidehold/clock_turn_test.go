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
