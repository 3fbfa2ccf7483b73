package playbook

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"tidehold/refs/outside"
	"tidehold/volumes/site"
)

// six is a public aquarium with six vats, no list of its kit, and more rows than a page holds.
const six = `systems:
  - id: reef-hall
    net_volume: 4800 L ± 6 %
    drawdown: 25 %
    change_every: 3 h
    water: {salinity: 35, temperature: 25 C, alkalinity: 8 dKH}
    ambient: {usual: 18 C, coldest: 9 C, hottest: 28 C}
    livestock: {fish_mass: 9 kg, fish_size: 150 g, reef_area: 5 m2, sensitivity: coral}
    equipment:
      - {id: heat-1, kind: heater, power: 2 kW}
      - {id: heat-2, kind: heater, power: 2 kW}
      - {id: main, kind: return, power: 350 W}
      - {id: skim, kind: skimmer, overflow: 15 L/h}
      - {id: topup, kind: top-off, reservoir: 150 L, flow: 30 L/h}
      - {id: bank, kind: battery, energy: 2400 Wh, feeds: [main]}
  - {id: touch-pool, net_volume: 1400 L, water: {salinity: 33, temperature: 13 C}}
stores:
  - {id: vat-1, holds: saltwater, capacity: 1000 L, volume: 850 L, heel: 25 L, salinity: 35, temperature: 19 C, transfer: 3500 L/h, heater: 2 kW}
  - {id: vat-2, holds: saltwater, capacity: 1000 L, volume: 900 L, heel: 25 L, salinity: 35.3, temperature: 18 C, transfer: 3500 L/h, heater: 2 kW}
  - {id: vat-3, holds: saltwater, capacity: 600 L, volume: 500 L, heel: 20 L, salinity: 34, temperature: 17 C, transfer: 2500 L/h}
  - {id: vat-4, holds: saltwater, capacity: 600 L, volume: 540 L, heel: 20 L, salinity: 33, temperature: 13 C, transfer: 2500 L/h}
  - {id: vat-5, holds: saltwater, capacity: 400 L, volume: 300 L, heel: 15 L, salinity: 35, temperature: 17 C, transfer: 2000 L/h}
  - {id: vat-6, holds: saltwater, capacity: 400 L, volume: 150 L, heel: 15 L, salinity: 36, temperature: 17 C}
  - {id: pure-1, holds: purified, capacity: 1000 L, volume: 700 L, heel: 20 L, temperature: 15 C, filled_by: purifier}
salts: [{id: sea, on_hand: 90 kg, dose: 37.5 g/L}]
purifier: {rate: 45 L/h, rated_at: 25 C, feed: 9 C}
mixing: {time: 12 h, emergency_time: 2 h, in: [vat-3, vat-1]}
awake: {from: 07:00, to: 21:00}
events:
  - {id: hall-heater, system: reef-hall, playbook: heater-break, contaminant: copper, start: 30 ug/L, target: 5 ug/L, within: 96 h}
`

// houses are the demo, the examples and the houses the cards were read at.
func houses(t *testing.T) map[string]*site.Site {
	t.Helper()
	out := map[string]*site.Site{"demo": demoSite(t)}
	for name, text := range map[string]string{"six": six, "flat4": flat4, "shop4": shop4, "school4": school4, "quay4": quay4, "school": school, "lane": lane, "point": point, "rest": rest, "shop": shop, "home": home, "hall": hall} {
		out[name] = siteOf(t, text)
	}
	files, err := filepath.Glob("../../testdata/sites/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no example sites: ", err)
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if s, faults := site.Load(f, data); len(faults) == 0 {
			out[filepath.Base(f)] = s
		}
	}
	return out
}

// At every house, for each of its events, begun at night, a card and what it sends people to
// are as long as the contract has them, on paper and as plain text: an event's card two pages,
// Change the water two, every other shared card one.
func TestLengthsAtEveryHouse(t *testing.T) {
	if testing.Short() {
		t.Skip("plans for every event of every house; run without -short")
	}
	outside.Alone(t)
	l := Builtin()
	checked := 0
	for name, s := range houses(t) {
		for _, ev := range s.Events {
			if ev.ID == "metal" {
				continue // three seconds of planning; the same house has other events
			}
			if l.Find(ev.Playbook) == nil {
				continue // an event without a card
			}
			f := gathered(t, s, Request{Playbook: ev.Playbook, Event: ev.ID, Cards: l, Units: s.Units, Printed: atNight})
			l.Fit(f, Printed)
			for _, n := range append([]string{l.Find(ev.Playbook).Name}, l.Shared()...) {
				c := l.Fill(l.Find(n), f)
				most := 1
				if !c.Shared || n == "change-water" {
					most = 2
				}
				checked++
				// The front's three rows stand whatever they take: from two vats each, in names that wrap, they take a third page.
				if rows, all := f.printedRows(); n == "change-water" && rows == onFront && !all && len(f.changeTable().Rows) >= 2*onFront {
					most = 3
				}
				if paper, text := len(Printed.Pages(c)), len(textPages(c)); paper > most || text > most {
					t.Errorf("%s, %s, %s: %d pages on paper, %d of text, at most %d", name, ev.ID, n, paper, text, most)
				}
			}
		}
	}
	if checked < 300 {
		t.Errorf("only %d cards were measured", checked)
	}
}

// In a binder a plan has the first four lines of its rows; a first row from five vats had none, and
// the card a table of headings. What the front has is on the card that it names.
func TestAFirstRowFromManyVatsStands(t *testing.T) {
	text := "systems: [{id: tank, net_volume: 400 L, drawdown: 50 %, water: {salinity: 35, temperature: 20 C}}]\nstores:\n"
	for i := range 6 {
		text += fmt.Sprintf("  - {id: can-%d, holds: saltwater, capacity: 30 L, volume: 25 L, salinity: 35, temperature: 20 C}\n", i+1)
	}
	s := siteOf(t, text+"events: [{id: half, system: tank, playbook: unknown, remove: 30 %, within: 12 h}]\n")
	f := gathered(t, s, Request{Playbook: "unknown", Event: "half", Printed: time.Date(2026, 11, 27, 2, 0, 0, 0, time.UTC)})
	if len(f.Plan.Steps) == 0 || len(f.Plan.Steps[0].From) <= firstRows {
		t.Fatalf("the first row is from %d vats: this shows nothing", len(f.Plan.Steps[0].From))
	}
	f.most = firstRows
	if rows := f.changeTable().Rows; len(rows) < len(f.Plan.Steps[0].From) {
		t.Errorf("%d lines of rows", len(rows))
	}
}

// The binder's rows are as many as leave their cards the same lengths: two plans of four lines took
// a third page.
func TestTheRowsOfABinderFit(t *testing.T) {
	for name, text := range map[string]string{"school": school} {
		s := siteOf(t, text)
		for _, c := range binderOf(t, s, s.Systems[0].ID, time.Date(2026, 11, 27, 2, 0, 0, 0, time.UTC)) {
			most := map[string]int{"change-water": 2, "mix-batch": 1}[c.Name]
			if paper, text := len(Printed.Pages(c)), len(textPages(c)); most > 0 && max(paper, text) > most {
				t.Errorf("%s, %s: %d pages on paper, %d of text", name, c.Name, paper, text)
			}
		}
	}
}
