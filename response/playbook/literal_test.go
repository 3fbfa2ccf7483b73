package playbook

import (
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/outside"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// hall is a public tank in US units with a generator and no battery, class a reef and a
// brackish tank with both: what a reader of the cards met there first.
const (
	hall = `units: us
systems:
  - id: ring
    net_volume: 14500 gal
    water: {salinity: 32, temperature: 74 F, ph: 8.0}
    ambient: {usual: 70 F, coldest: 55 F, hottest: 88 F}
    livestock: {fish_mass: 900 lb, fish_size: 60 lb, sensitivity: fish}
    equipment:
      - {id: boiler, kind: heater, power: 60 kW}
      - {id: main-pump, kind: return, power: 7 kW}
      - {id: yard-set, kind: generator, power: 40 kW, fuel: 60 gal, use: 2.5 gal/h, feeds: [main-pump]}
stores:
  - {id: bulk, holds: saltwater, capacity: 6000 gal, volume: 4700 gal, salinity: 31, temperature: 64 F, transfer: 3000 gal/h, heater: 12 kW}
  - {id: ro, holds: purified, capacity: 3000 gal, volume: 2200 gal}
salts: [{id: tote, on_hand: 2500 lb, dose: 2.4 lb/gal}]
purifier: {rate: 60 gal/h}
`
	class = `systems:
  - id: reef
    net_volume: 320 L
    equipment: [{id: heat, kind: heater, power: 150 W}, {id: gyre, kind: circulation, power: 15 W}, {id: float, kind: top-off, reservoir: 25 L, flow: 8 L/h},
      {id: ups, kind: battery, energy: 300 Wh, feeds: [gyre]}, {id: genny, kind: generator, power: 900 W, fuel: 4 L, use: 0.6 L/h}]
  - id: marsh
    net_volume: 200 L
    water: {salinity: 12, temperature: 26 C}
    limits: {salinity_low: 8, salinity_high: 18}
    equipment: [{id: marsh-heat, kind: heater, power: 200 W}, {id: trickle, kind: return, power: 20 W}]
stores:
  - {id: big, holds: saltwater, capacity: 200 L, volume: 150 L, salinity: 35, temperature: 19 C, heel: 5 L, heater: 200 W, transfer: 900 L/h}
  - {id: small, holds: saltwater, capacity: 120 L, volume: 80 L, salinity: 12, temperature: 19 C, heel: 4 L}
  - {id: pure, holds: purified, capacity: 150 L, volume: 100 L}
salts: [{id: bag, on_hand: 12 kg, dose: 38 g/L}]
purifier: {rate: 6 L/h}
mixing: {time: 12 h, emergency_time: 3 h, in: [big]}
events:
  - {id: poured, system: marsh, playbook: wrong-thing-in, remove: 60 %, within: 12 h}
`
)

// printedFor fills a card at a site as it is printed there.
func printedFor(t *testing.T, s *site.Site, name string) Card {
	t.Helper()
	f := gathered(t, s, Request{Playbook: name, Cards: Builtin(), Units: s.Units, Printed: atNight})
	return Builtin().Fill(Builtin().Find(name), f)
}

// linesOf are the lines of a card in order.
func linesOf(c Card) []Line {
	var out []Line
	for _, g := range c.Groups {
		out = append(out, g.Lines...)
	}
	return out
}

// said is all that a line says.
func said(ln Line) string { return ln.Spoken() + " " + strings.Join(ln.small(), " ") }

// What a US house reads is in its own units, and each number that is known is there: the
// name of a field is no text to put gallons into.
func TestUSCardsHaveEveryNumber(t *testing.T) {
	outside.Alone(t)
	s := siteOf(t, hall)
	for _, name := range everyName() {
		c := printedFor(t, s, name)
		for _, b := range c.Blanks {
			if _, ok := fieldByName(b.Field); !ok {
				t.Errorf("%s: no field %q, the card has %s", name, b.Field, b.Shown)
			}
		}
		for _, ln := range linesOf(c) {
			text := said(ln)
			if ln.Caution != nil {
				text += ln.Caution.Words()
			}
			if m := regexp.MustCompile(`[\d_] ?(°C|L|kg|cm|m)\b|\blitres?\b`).FindString(text); m != "" {
				t.Errorf("%s: %q in %q", name, m, text)
			}
		}
	}
	// 1 over the tank's 32 is mended by 1 part in 33, whatever the unit.
	f := &Facts{Units: units.US, CutL: new(float64), Stores: []site.Store{{Holds: site.Saltwater, Volume: decimal.NewFromFloat(37.9)}}}
	*f.CutL = 100.0 / 33
	if rows := f.mendTable().Rows; rows[1][4] != "0.3 gal" && rows[1][4] != "0.30 gal" {
		t.Errorf("10 gal are mended with %s", rows)
	}
}

var (
	airWords = regexp.MustCompile(`(?i)\bair pump\b|\bjug\b.*\b(tank|fall|air)|\b(air|tank) .*\bjug\b|\bair by\b`)
	asTable  = regexp.MustCompile(`(?i)\b(the|this) table\b`)
)

// From the power cut in the box to the power back on the same card, a line gives the
// animals air by a pump of its own or by a jug: mopping and waiting take longer than the
// air of a full tank lasts.
func TestNobodyWaitsWithoutAir(t *testing.T) {
	l := Builtin()
	for _, at := range slices.Concat(shippedSites(t), Corners(), randomSites(10)) {
		for _, name := range l.Names() {
			c := l.Fill(l.Find(name), &Facts{Profile: at})
			cut, air := false, false
			for _, ln := range linesOf(c) {
				switch {
				case hasEffect(ln.Effects, "cut mains"):
					cut = true
				case cut && hasEffect(ln.Effects, "energise mains"):
					if !air {
						t.Fatalf("%s: %q, and no air since the power was cut", name, ln.Text)
					}
					cut = false
				}
				air = air || cut && airWords.MatchString(said(ln)) || hasEffect(ln.Effects, "energise air")
				// Beside glass that may be live nobody holds a jug before the proof, ten minutes later.
				air = air || name == "heater-break" && hasEffect(ln.Effects, "open window")
			}
		}
	}
}

// A step that sends the reader to a table has it on its card.
func TestATableNamedIsThere(t *testing.T) {
	outside.Alone(t)
	l := Builtin()
	named := 0
	for _, at := range slices.Concat(shippedSites(t), Corners(), randomSites(40), []Profile{{}}) {
		for _, name := range everyName() {
			c := l.Fill(l.Find(name), &Facts{Profile: at})
			lines := linesOf(c)
			table := slices.ContainsFunc(lines, func(ln Line) bool { return ln.Kind == TableLine })
			for _, ln := range lines {
				if !asTable.MatchString(said(ln)) {
					continue
				}
				if named++; !table {
					t.Fatalf("%s: %q, and there is no table", name, said(ln))
				}
			}
		}
	}
	if named == 0 {
		t.Error("no step names a table any more")
	}
}

// The dial of a heater is on the heater, in the water: a step that turns it reaches in, or
// says that no hand does.
func TestTurningADialIsReachingIn(t *testing.T) {
	if partsFrom("Plug the heater in. Turn its dial to 25 °C.", []Effect{"energise heater"}) == "" {
		t.Error("a dial is turned under water with no effect declared")
	}
	if found := partsFrom("Turn its dial, from above the water, to 25 °C.", nil); found != "" {
		t.Error(found)
	}
}

// In a house without a battery no card speaks of one as if it were there.
func TestNoBatteryIsNamedWhereNoneIs(t *testing.T) {
	for _, ln := range linesOf(printedFor(t, siteOf(t, hall), "outage")) {
		if regexp.MustCompile(`(?i)\bthe battery\b`).MatchString(said(ln)) || strings.Contains(ln.Text, "Leave generator") {
			t.Errorf("%q", said(ln))
		}
	}
	for _, ln := range linesOf(printedFor(t, siteOf(t, class), "outage")) {
		if ln.ID == "empty" && strings.Contains(ln.Text, "genny") {
			t.Errorf("a silent battery takes the generator's plugs: %q", ln.Text)
		}
	}
}

// plansOf are the facts of every event of the examples of this package and of the shipped
// ones, each planned once.
var plansOf = sync.OnceValue(func() []*Facts {
	texts := map[string][]byte{"demo": site.Demo(), "class": []byte("format: 1\n" + class), "hall": []byte("format: 1\n" + hall)}
	for _, some := range []string{"[tw]*", "planner/o*", "planner/pours*", "planner/[r-z]*"} { // of few systems: a second, not six
		files, _ := filepath.Glob("../../testdata/sites/" + some + ".yaml")
		for _, f := range files {
			texts[f], _ = os.ReadFile(f)
		}
	}
	var out []*Facts
	for _, name := range slices.Sorted(maps.Keys(texts)) {
		s, faults := site.Load(name, texts[name])
		if len(faults) > 0 || len(s.Systems) > 4 {
			continue
		}
		for _, e := range s.Events {
			f, err := Gather(s, Request{Playbook: e.Playbook, Event: e.ID, Units: s.Units, Printed: atNight})
			if err == nil && f.Plan != nil {
				out = append(out, f)
			}
		}
	}
	return out
})

// Rows of two vats that differ: each is read against its own band, once in the table and
// nowhere mixed; the digits are those of the plan's own draws.
func TestEachVatOfARowHasItsOwnBand(t *testing.T) {
	apart, several := 0.0, 0
	for _, f := range plansOf() {
		table, at := f.changeTable(), 0
		n, _ := f.printedRows()
		for _, s := range f.Plan.Steps[:n] {
			draws := f.changeRow(s).poured()
			for _, k := range draws {
				d, row := s.From[k], table.Rows[at]
				at++
				var low, high float64
				if _, err := fmt.Sscanf(row[4], "%g–%g", &low, &high); err != nil || d.Salinity < low-0.06 || d.Salinity > high+0.06 || high-low > 1.001 {
					t.Errorf("%s %s, row %d, %s: band %s for water of %.1f", f.Site, f.Event, s.N, row[2], row[4], d.Salinity)
				}
				if !strings.Contains(row[2], d.StoreID) {
					t.Errorf("%s %s, row %d: %s is not %s", f.Site, f.Event, s.N, row[2], d.StoreID)
				}
				apart = max(apart, math.Abs(d.Salinity-s.From[0].Salinity))
			}
			several += max(0, len(draws)-1)
		}
		if n > 0 && (at != len(table.Rows) || len(table.Entries) != at) {
			t.Errorf("%s %s: %d rows for %d draws", f.Site, f.Event, len(table.Rows), at)
		}
	}
	t.Logf("%d plans, %d more vats, %.1f apart", len(plansOf()), several, apart)
	if apart < 5 || several < 5 {
		t.Errorf("%d rows have several vats, %.1f apart: the sites show less than they did", several, apart)
	}
}

// Nothing is done to a vat before the row that takes the water standing in it, and the card
// that has the rows sends the reader to the batches that begin between two of them.
func TestABatchBeginsAfterTheRowThatEmptiesItsVat(t *testing.T) {
	late := 0
	for _, f := range plansOf() {
		for _, b := range f.Plan.Batches {
			said, row := f.begin(b.StartH, b.StoreID), 0
			if _, after, ok := strings.Cut(said, "after row "); ok {
				_, _ = fmt.Sscan(after, &row)
			}
			for _, s := range f.Plan.Steps {
				if !slices.ContainsFunc(s.From, func(d plan.Draw) bool { return d.StoreID == b.StoreID && d.Batch < b.N }) || s.DoneH > b.MixedH {
					continue
				}
				if late++; row < s.N {
					t.Errorf("%s %s: batch %d begins %s, row %d takes what stands in %s", f.Site, f.Event, b.N, said, s.N, b.StoreID)
				}
			}
		}
	}
	if late == 0 {
		t.Fatal("no batch waits for a row at this site any more")
	}
	c := printedFor(t, siteOf(t, class), "change-water")
	loop := false
	for _, ln := range linesOf(c) {
		if ln.ID == "read-vat" {
			loop = true
		}
		if loop && ln.Card == "mix-batch" {
			loop = false
			break
		}
	}
	if loop {
		t.Error("no row sends the reader to the batch that is due")
	}
	// Whoever waits at a batch until it is ready is hours late for row 1.
	for _, ln := range linesOf(printedFor(t, siteOf(t, class), "mix-batch")) {
		if ln.Wait != "" && !strings.Contains(ln.Meanwhile, "rows") {
			t.Errorf("%q holds the reader: meanwhile %q", ln.Wait, ln.Meanwhile)
		}
	}
}

// Rows are planned with the vats warming from the start: their heaters go on before the first
// vat is read, where there are any.
func TestVatsWarmFromTheStart(t *testing.T) {
	for text, want := range map[string]bool{class: true, strings.ReplaceAll(class, ", heater: 200 W", ""): false} {
		on := false
		for _, ln := range linesOf(printedFor(t, siteOf(t, text), "change-water")) {
			on = on || hasEffect(ln.Effects, "energise vat heater")
			if ln.ID == "read-vat" {
				break
			}
		}
		if on != want {
			t.Errorf("vat heaters on before the first reading: %v, want %v", on, want)
		}
	}
}

// What is done to a vat first is litres or kilograms for hands, and a card has the step.
func TestEveryPreparationHasItsStep(t *testing.T) {
	f := &Facts{}
	for _, p := range []plan.Prepare{{What: plan.Lower, RemoveL: 60, Litres: 20}, {What: plan.Cut, AddL: 5, Litres: 25}, {What: plan.Lift, SaltKg: 0.2, Litres: 20}} {
		if said := f.preparation(p, false); !digit.MatchString(said) || !verbs[strings.Fields(said)[0]] {
			t.Errorf("%q is nothing that hands can do", said)
		}
	}
	for _, ln := range linesOf(printedFor(t, siteOf(t, class), "mix-batch")) {
		if hasEffect(ln.Effects, "drain vat") {
			return
		}
	}
	t.Error("no step pours a vat's water away")
}

// The binder: whoever comes from a card finds that card's rows, under its title or on its own
// back, and the batches of these rows; every card is for one system.
func TestBinderRowsAreThoseOfTheCard(t *testing.T) {
	outside.Alone(t)
	for name, c := range map[string]struct {
		s      *site.Site
		system string
		plans  int
	}{"demo": {demoSite(t), "hall-reef", 3}, "reef": {siteOf(t, class), "reef", 1}, "marsh": {siteOf(t, strings.Replace(class, "remove: 60 %", "remove: 30 %", 1)), "marsh", 2}, "hall": {siteOf(t, hall), "ring", 1}} {
		cards := binderOf(t, c.s, c.system, atNight)
		byName := map[string]Card{}
		for _, card := range cards {
			byName[card.Name] = card
			if card.System != c.system {
				t.Errorf("%s: card %s is for %s", name, card.Name, card.System)
			}
		}
		seen := map[string]bool{}
		for _, card := range cards {
			if card.Water == nil || len(card.Water.Rows) == 0 {
				continue
			}
			rows, where := tableFor(byName["change-water"], card, "changes")
			if rows == nil {
				t.Errorf("%s: %s has no rows", name, card.Name)
				continue
			}
			seen[fmt.Sprint(rows.Rows)] = true
			for i, front := range card.Water.Rows {
				n := slices.IndexFunc(rows.Rows, func(r []string) bool { return r[0] == fmt.Sprint(front.N) })
				if n < 0 && i < 2 || n >= 0 && (rows.Rows[n][1] != front.Litres || !strings.HasPrefix(front.Store, rows.Rows[n][2])) {
					t.Errorf("%s: %s says %s from %s, under %q stands %v", name, card.Name, front.Litres, front.Store, where, rows.Rows)
				}
			}
			for form, page := range map[string]string{"text": Text(card), "html": mustHTML(t, card), "markdown": inMarkdown.Card(card)} {
				if own := where == "The rows of this card"; own != strings.Contains(page, "this card has every row") {
					t.Errorf("%s, %s: %s does not say where its rows stand", name, form, card.Name)
				}
			}
			if batches, _ := tableFor(byName["mix-batch"], card, "batches"); strings.Contains(fmt.Sprint(rows.Rows), "(batch 1)") && (batches == nil || !strings.Contains(fmt.Sprint(batches.Rows), "[1 ")) {
				t.Errorf("%s: %s draws on a batch that no line makes", name, card.Name)
			}
		}
		if len(seen) < c.plans {
			t.Errorf("%s: %d plans, want %d: the site shows less than it did", name, len(seen), c.plans)
		}
	}
}

// tableFor is the table of a shared card that a reader of an event's card takes: on that
// card, under its title, or the one for all others.
func tableFor(shared, event Card, table string) (*Table, string) {
	for _, g := range event.Groups {
		if g.ID == "own-"+table {
			return g.Lines[0].Table, g.Heading
		}
	}
	var other *Table
	under := ""
	for _, g := range shared.Groups {
		for _, ln := range g.Lines {
			if ln.Table == nil || ln.Table.Name != table {
				continue
			}
			_, of, named := strings.Cut(g.Heading, ": ")
			switch {
			case named && strings.Contains(of, event.Title):
				return ln.Table, g.Heading
			case !named, of == "cards without rows of their own":
				other, under = ln.Table, g.Heading
			}
		}
	}
	return other, under
}

// What is unplugged at once is what the house has: no hunt for a top-off that is not there.
func TestOnlyFeedersOfTheHouseAreUnplugged(t *testing.T) {
	for text, want := range map[string]string{class: "the top-off", hall: "", "systems: [{id: tank, net_volume: 300 L, equipment: [{id: d, kind: doser, doses: calcium, reservoir: 1 L, strength: 40 mg/mL, flow: 1 mL/min}]}]\n": "the dosing pumps"} {
		s := siteOf(t, text)
		for _, name := range []string{"wrong-thing-in", "unknown"} {
			f, err := Gather(s, Request{Playbook: name, System: s.Systems[0].ID, Units: s.Units, Printed: time.Date(2026, 11, 26, 3, 0, 0, 0, time.UTC)})
			if err != nil {
				t.Fatal(err)
			}
			c := Builtin().Fill(Builtin().Find(name), f)
			line := step(&c, "power")
			if want == "" && strings.Contains(line.Text, "nplug") || want != "" && !strings.Contains(line.Text, "Unplug "+want+".") {
				t.Errorf("%s: %q where there is %q", name, line.Text, want)
			}
		}
	}
}

// Nothing that a neighbour reads at night asks for a printer.
func TestNobodyIsAskedToPrint(t *testing.T) {
	outside.Alone(t)
	for _, c := range append(demoBinder(t), binderOf(t, siteOf(t, hall), "ring", atNight)...) {
		page := Text(c)
		if i := strings.Index(strings.ToLower(page), "print "); i >= 0 {
			t.Errorf("%s: %q", c.Name, page[i:min(len(page), i+40)])
		}
	}
}

// A house with water of two salinities: no card lets a reader pour the other tank's water, or
// call a vat spoilt that holds it.
func TestTheOtherTanksWaterIsNeitherPouredNorSpoilt(t *testing.T) {
	outside.Alone(t)
	s := siteOf(t, class)
	for _, system := range []string{"reef", "marsh"} {
		for _, c := range binderOf(t, s, system, atNight) {
			for _, ln := range linesOf(c) {
				switch {
				case c.Name == "watch" && ln.ID == "fresh" && !strings.Contains(ln.Text, "salt in a bucket of tank water") && !strings.Contains(ln.Text, map[string]string{"reef": "34.0 to 36.0", "marsh": "11.0 to 13.0"}[system]):
					t.Errorf("%s: any vat's water is poured: %q", system, ln.Text)
				case c.Name == "vat-overflow" && ln.ID == "pure":
					for _, st := range s.Stores {
						if want := " salinity (" + st.ID + ")"; !strings.Contains(ln.Text, want) {
							t.Errorf("%s: no %q in %q", system, want, ln.Text)
						}
					}
				}
			}
		}
	}
}

// At a site a table has values or is for writing in at night; results without an aim in µg/L
// have none, and no step speaks of them.
func TestNoTableOfBlanksForResults(t *testing.T) {
	l, name := Builtin(), "wrong-thing-in"
	for aim, tables := range map[string]int{"remove: 60 %": 0, "contaminant: copper, start: 60 ug/L, target: 5 ug/L": 2} {
		s := siteOf(t, strings.Replace(class, "remove: 60 %", aim, 1))
		f := gathered(t, s, Request{Playbook: name, System: "marsh", Units: s.Units, Printed: site.DemoDate()})
		found := 0
		for _, ln := range linesOf(l.Fill(l.Find("samples"), l.Binder([]string{name}, []*Facts{f}, Printed))) {
			switch {
			case ln.Table == nil && tables == 0 && strings.Contains(ln.Text, "table"):
				t.Errorf("%s: %q", aim, ln.Text)
			case ln.Table == nil:
			case strings.Contains(fmt.Sprint(ln.Table.Rows), "__"):
				t.Errorf("%s: %v", aim, ln.Table.Rows)
			default:
				found++
			}
		}
		if found != tables {
			t.Errorf("%s: %d tables of results", aim, found)
		}
	}
}
