package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestEachFigureHasItsDay: ready judges just after the regular changes, dilute and the cards plan with what
// stands there today. "137.4 L" in one and "4.7 L" in the other were two answers to one question.
func TestEachFigureHasItsDay(t *testing.T) {
	for _, c := range []struct {
		command string
		want    []string
	}{
		{"ready", []string{"Judged just after the regular changes (130 L): 142.5 L to draw, today 272 L.",
			"buy or do, for just after the regular changes for ---", "broken-heater short never 10 d 287 L in 4 h short",
			"With today's stock broken-heater may lack less (see dilute --event broken-heater), halve-anything lacks nothing."}},
		{"ready --all", []string{"broken-heater short never 10 d 287 L in 4 h lacks 4.7 L", "With today's stock broken-heater lacks 4.7 L, halve-anything lacks nothing.",
			" What mends it ", " broken-heater (hall-reef): never done"}},
		{"ready --event broken-heater", []string{"broken-heater short never 10 d 287 L in 4 h lacks 4.7 L",
			"137.4 L more saltwater at the start (salinity 35.0, 25.5 °C) would do; with today's stock 4.7 L."}},
		{"dilute --event broken-heater", []string{"4.7 L more saltwater at the start (salinity 35.0, 25.5 °C) would do it in time. " +
			"That is today's stock; just after the regular changes (130 L), as ready judges: short, 137.4 L lacking."}},
		{"dilute --event halve-anything", []string{"of the 6 h allowed. That is today's stock; just after the regular changes (130 L), as ready judges: late, done after 14 h 30 min"}},
		{"playbook --event broken-heater", []string{"NOT ENOUGH on 25 Nov: 4.7 L lacking."}},
	} {
		code, out, _ := onTerminal(append(strings.Fields(c.command), "--demo")...)
		if strings.HasPrefix(c.command, "ready") && code != exitNo {
			t.Errorf("%s: exit %d", c.command, code)
		}
		said := strings.Join(strings.Fields(out), " ")
		for _, want := range c.want {
			if !strings.Contains(said, want) {
				t.Errorf("%s does not say %q:\n%s", c.command, want, out)
			}
		}
		if n := strings.Count(out, "\n"); n > screenLines && c.command != "ready --event broken-heater" && c.command != "ready --all" && !strings.HasPrefix(c.command, "playbook") {
			t.Errorf("%s: %d lines", c.command, n)
		}
	}
	for _, event := range []string{"pool-spill"} { // the same on both days: nothing to explain
		if _, out, _ := tidehold("dilute", "--demo", "--event", event); strings.Contains(out, "regular changes") {
			t.Errorf("%s:\n%s", event, out)
		}
	}
}

// TestWhatIsAddedToEmptyVatsIsTakenToo: the regular changes find nothing in them, but take of what is bought.
func TestWhatIsAddedToEmptyVatsIsTakenToo(t *testing.T) {
	const house = `format: 1
systems: [{id: tank, net_volume: 400 L}]
stores: [{id: vat, holds: saltwater, volume: 0 L, capacity: 500 L}]
routine: [{system: tank, volume: 60 L, every: 7 d}]
`
	file := filepath.Join(t.TempDir(), "site.yaml")
	if err := os.WriteFile(file, []byte(house), 0o600); err != nil {
		t.Fatal(err)
	}
	_, out, _ := tidehold("ready", "--site", file)
	for _, want := range []string{"Judged just after the regular changes (0 L of 60 L): 0 L to draw, today 0 L.", "305 L more saltwater", "with\ntoday's stock 245 L",
		"buy or do, for just after the regular changes"} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q:\n%s", want, out)
		}
	}
	event := "events: [{id: spill, system: tank, remove: 50 %, within: 24 h}]\n"
	if err := os.WriteFile(file, []byte(house+event), 0o600); err != nil {
		t.Fatal(err)
	}
	_, out, _ = tidehold("dilute", "--site", file, "--event", "spill")
	if said, want := strings.Join(strings.Fields(out), " "), "just after the regular changes (0 L of 60 L), as ready judges: short, 305 L lacking."; !strings.Contains(said, want) {
		t.Errorf("dilute does not say %q:\n%s", want, out)
	}
}

// TestDiluteAndReadyLackTheSameOnTheSameDay compares them in JSON, which has both figures of both.
func TestDiluteAndReadyLackTheSameOnTheSameDay(t *testing.T) {
	var dilute struct {
		Result struct {
			Schedule struct {
				LackingL *float64 `json:"lacking_l"`
				WorstDay struct {
					DrawnL   float64  `json:"drawn_l"`
					Verdict  string   `json:"verdict"`
					LackingL *float64 `json:"lacking_l"`
				} `json:"worst_day"`
			} `json:"schedule"`
		} `json:"result"`
	}
	var ready struct {
		Result struct {
			Events []struct {
				Verdict  string   `json:"verdict"`
				LackingL *float64 `json:"lacking_l"`
				Today    struct {
					LackingL *float64 `json:"lacking_l"`
				} `json:"today"`
			} `json:"events"`
		} `json:"result"`
	}
	for command, into := range map[string]any{"dilute": &dilute, "ready": &ready} {
		_, out, _ := onlyReads(command, "--demo", "--event", "broken-heater", "--format", "json")
		if err := json.Unmarshal([]byte(out), into); err != nil {
			t.Fatal(err)
		}
	}
	d, e := dilute.Result.Schedule, ready.Result.Events[0]
	if d.WorstDay.DrawnL != 130 || d.WorstDay.Verdict != e.Verdict {
		t.Errorf("dilute %+v, ready %+v", d.WorstDay, e)
	}
	if d.LackingL == nil || *d.LackingL != *e.Today.LackingL || d.WorstDay.LackingL == nil || *d.WorstDay.LackingL != *e.LackingL {
		t.Errorf("dilute lacks %v and %v, ready %v and %v", *d.LackingL, d.WorstDay.LackingL, *e.Today.LackingL, *e.LackingL)
	}
}
