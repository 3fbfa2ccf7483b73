package calendar

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tidehold/refs/outside"
)

// zonesTried: rules of the last and the nth Sunday, of a Saturday at midnight, half hours
// and a change of half an hour, south of the equator, no rule but a list of days
// (Casablanca), none any more (São Paulo), none ever (UTC).
var zonesTried = []string{"Atlantic/Azores", "Europe/Lisbon", "Europe/Dublin", "America/New_York", "America/Los_Angeles", "America/Santiago", "America/Sao_Paulo", "America/St_Johns",
	"Africa/Casablanca", "Africa/Cairo", "Asia/Kolkata", "Asia/Kathmandu", "Asia/Tokyo", "Asia/Jerusalem", "Australia/Sydney", "Australia/Lord_Howe", "Pacific/Auckland", "Pacific/Chatham", "UTC"}

// moments is a calendar of a moment every nine days and a half for three years, so that
// each season and each hour is met, and around every change of the clocks.
func moments(t *testing.T, name string) File {
	t.Helper()
	zone, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	f := File{Name: name, Stamp: now, Zone: zone}
	add := func(at time.Time) {
		f.List = append(f.List, Due{UID: fmt.Sprint(len(f.List), "@x"), Kind: Incident, What: "sample", Day: at, AheadMinutes: 15})
	}
	for at := now; at.Before(now.AddDate(3, 0, 0)); at = at.Add(229 * time.Hour) {
		add(at)
	}
	for _, o := range onsets(zone, now)[1:] {
		for _, h := range []float64{-2, -1, -0.5, -1. / 60, 0, 0.5, 1, 2} {
			if at := o.at.Add(hours(h)); at.Before(now.AddDate(3, 0, 0)) {
				add(at)
			}
		}
	}
	return f
}

// Programs that know a zone only from what the file says of it show every moment at the
// instant that was meant.
func TestZonesReadByOtherPrograms(t *testing.T) {
	if testing.Short() {
		t.Skip("Python takes a second to start")
	}
	var files []File
	var texts []string
	for _, name := range zonesTried {
		f := moments(t, name)
		files, texts = append(files, f), append(texts, f.Text())
		if described := strings.Contains(f.Text(), "BEGIN:VTIMEZONE"); described != (name != "UTC") {
			t.Errorf("%s: described %v", name, described)
		}
	}
	in, err := json.Marshal(texts)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", filepath.Join("..", "..", ".ci", "ical_read.py"))
	cmd.Stdin = bytes.NewReader(in)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil && strings.Contains(errs.String(), "No module named") {
		outside.Missing(t, "Debian's python3-icalendar and python3-dateutil are needed: %s", errs.String())
	}
	if err != nil {
		t.Fatalf("%v: %s", err, errs.String())
	}
	var read [][]struct {
		UID   string    `json:"uid"`
		Start []*string `json:"DTSTART"`
		End   []*string `json:"DTEND"`
	}
	if err := json.Unmarshal(out, &read); err != nil || len(read) != len(files) {
		t.Fatalf("%d calendars of %d: %v", len(read), len(files), err)
	}
	compared := 0
	for i, f := range files {
		if len(read[i]) != len(f.List) {
			t.Fatalf("%s: %d events of %d", f.Name, len(read[i]), len(f.List))
		}
		for k, e := range read[i] {
			start, end := f.List[k].Day.UTC().Format(time.RFC3339), f.List[k].Day.Add(15*time.Minute).UTC().Format(time.RFC3339)
			for n, library := range []string{"icalendar", "dateutil"} {
				compared++
				if e.Start[n] == nil || *e.Start[n] != start || e.End[n] == nil || *e.End[n] != end {
					t.Errorf("%s by %s: %v to %v, want %s to %s", f.Name, library, text(e.Start[n]), text(e.End[n]), start, end)
				}
			}
		}
	}
	t.Logf("%d moments in %d zones compared", compared, len(files))
}

func text(s *string) string {
	if s == nil {
		return "nothing"
	}
	return *s
}

// The rules of a zone as they stand in the file: Portugal's islands change on the last
// Sundays of March and October at 01:00 UTC (Directive 2000/84/EC, articles 2 and 3).
func TestARuleIsWrittenAsOne(t *testing.T) {
	f := moments(t, "Atlantic/Azores")
	for _, want := range []string{
		"DTSTART;TZID=Atlantic/Azores:20261125T020000\r\nDTEND;TZID=Atlantic/Azores:20261125T021500\r\n",
		"BEGIN:STANDARD\r\nDTSTART:20261025T010000\r\nTZOFFSETFROM:+0000\r\nTZOFFSETTO:-0100\r\nTZNAME:-01\r\nRRULE:FREQ=YEARLY;BYMONTH=10;BYDAY=-1SU\r\nEND:STANDARD\r\n",
		"BEGIN:DAYLIGHT\r\nDTSTART:20270328T000000\r\nTZOFFSETFROM:-0100\r\nTZOFFSETTO:+0000\r\nTZNAME:+00\r\nRRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=-1SU\r\nEND:DAYLIGHT\r\n",
	} {
		if !strings.Contains(f.Text(), want) {
			t.Errorf("not in it: %q", want)
		}
	}
	if n := strings.Count(moments(t, "Africa/Casablanca").Text(), "RDATE:"); n < 10 {
		t.Errorf("Casablanca, whose clocks follow the moon, has %d dates", n)
	}
	// An hour that comes twice is written in UTC, a series of hours always.
	again := File{Zone: f.Zone, Stamp: now, List: []Due{{UID: "a", Day: time.Date(2027, 10, 31, 1, 30, 0, 0, time.UTC)}, {UID: "b", Day: time.Date(2027, 10, 31, 0, 50, 0, 0, time.UTC)}, {UID: "c", Day: now, EveryH: 36}}}
	if out := again.Text(); strings.Contains(out, "DTSTART;TZID") || !strings.Contains(out, "DTSTART:20271031T013000Z") || !strings.Contains(out, "DTSTART:20271031T005000Z") || !strings.Contains(out, "DTSTART:20261125T030000Z") {
		t.Error(out)
	}
	if offset(-12600) != "-0330" || offset(1172) != "+001932" {
		t.Error(offset(-12600), offset(1172))
	}
}

// TestTheDayOfTheSiteFileIsTheDayThatIsSaid: west of Greenwich water mixed on 14 November was said to be
// mixed on the 13th. A moment of the journal has its own day there.
func TestTheDayOfTheSiteFileIsTheDayThatIsSaid(t *testing.T) {
	west := time.FixedZone("", -5*3600)
	for text, want := range map[string]string{"2026-11-14T00:00:00Z": "2026-11-14", "2026-11-14T03:00:00Z": "2026-11-13", "2026-11-14T12:00:00Z": "2026-11-14"} {
		at, err := time.Parse(time.RFC3339, text)
		if err != nil {
			t.Fatal(err)
		}
		if got := writtenDay(at, west).Format(time.DateOnly); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
}
