package playbook

import (
	"regexp"
	"slices"
	"strings"
	"testing"
)

// What the cards were read at for the fourth time: a flat with one tank of 90 L, two cans and a bucket;
// a shop with four systems on one rack and a generator; a school whose teacher leaves at 17:00; and a
// public aquarium with six vats, one of them carried by bucket, a touch pool and a gas reactor.
const (
	flat4 = `systems:
  - id: tank
    net_volume: 90 L
    water: {salinity: 35, temperature: 25.5 C}
    ambient: {usual: 19 C, coldest: 14 C, hottest: 29 C}
    livestock: {fish_mass: 60 g, fish_size: 8 g, reef_area: 0.1 m2, sensitivity: coral}
    equipment: [{id: heater, kind: heater, power: 100 W}, {id: pump, kind: circulation, power: 6 W}]
stores:
  - {id: can-1, holds: saltwater, capacity: 20 L, volume: 18 L, salinity: 35, temperature: 19 C}
  - {id: can-2, holds: saltwater, capacity: 10 L, volume: 9 L, salinity: 36, temperature: 19 C}
kit: [{item: buckets marked for the aquarium, need: 1, have: 1}]
events: [{id: cracked, system: tank, playbook: heater-break, remove: 50 %, within: 24 h}]
`
	shop4 = `systems:
  - id: rack-coral
    net_volume: 600 L ± 8 %
    drawdown: 35 %
    change_every: 3 h
    water: {salinity: 35, temperature: 25.5 C, alkalinity: 8 dKH}
    ambient: {usual: 20 C, coldest: 12 C, hottest: 31 C}
    equipment: [{id: c-heat, kind: heater, power: 500 W}, {id: c-return, kind: return, power: 90 W}]
  - id: rack-inverts
    net_volume: 240 L
    water: {salinity: 34, temperature: 24 C}
    equipment: [{id: i-heat, kind: heater, power: 200 W}, {id: i-air, kind: air, power: 8 W}, {id: genny, kind: generator, power: 2 kW, fuel: 8 L, use: 0.8 L/h, feeds: [i-air, rack-coral/c-return]}]
stores: [{id: big-vat, holds: saltwater, capacity: 600 L, volume: 520 L, heel: 20 L, salinity: 35, temperature: 20 C, transfer: 1800 L/h}]
`
	school4 = `time_zone: Europe/London
systems:
  - id: rockpool
    net_volume: 380 L ± 10 %
    drawdown: 40 %
    change_every: 2 h
    water: {salinity: 34, temperature: 15 C, alkalinity: 7.5 dKH}
    limits: {temperature_low: 8 C, temperature_high: 19 C, salinity_low: 30, salinity_high: 37}
    ambient: {usual: 20 C, coldest: 11 C, hottest: 29 C}
    equipment: [{id: chiller, kind: chiller, power: 300 W}, {id: pump, kind: return, power: 35 W}]
stores:
  - {id: blue-vat, holds: saltwater, capacity: 250 L, volume: 200 L, heel: 8 L, salinity: 34, temperature: 17 C}
  - {id: white-vat, holds: purified, capacity: 120 L, volume: 90 L, heel: 4 L, temperature: 16 C}
salts: [{id: school, on_hand: 8 kg}]
awake: {from: 08:00, to: 17:00}
contacts: [{role: emergency, phone: "999"}, {role: caretaker, name: lodge, phone: "+00 41 7"}]
kit: [{item: nitrile gloves, need: 1, have: 1}, {item: salinity meter, need: 1, have: 1}, {item: thermometer, need: 1, have: 1}]
events: [{id: pool-spray, system: rockpool, playbook: wrong-thing-in, remove: 75 %, within: 24 h}]
`
	quay4 = `systems:
  - id: reef-hall
    net_volume: 4800 L ± 6 %
    drawdown: 25 %
    change_every: 3 h
    water: {salinity: 35, temperature: 25 C}
    ambient: {usual: 18 C, coldest: 9 C, hottest: 28 C}
    equipment: [{id: heat-1, kind: heater, power: 2 kW}, {id: heat-2, kind: heater, power: 2 kW}, {id: main, kind: return, power: 350 W}]
stores:
  - {id: vat-1, holds: saltwater, capacity: 1000 L, volume: 850 L, heel: 25 L, salinity: 35, temperature: 19 C, transfer: 3500 L/h}
  - {id: vat-2, holds: saltwater, capacity: 1000 L, volume: 900 L, heel: 25 L, salinity: 35.3, temperature: 18 C, transfer: 3500 L/h}
  - {id: vat-6, holds: saltwater, capacity: 400 L, volume: 350 L, heel: 15 L, salinity: 36, temperature: 17 C}
events: [{id: hall-heater, system: reef-hall, playbook: heater-break, remove: 30 %, within: 24 h}]
`
)

// everySite are the profiles a test goes through: the shipped sites', those with and without one
// thing, and the card without a site.
func everySite(t *testing.T) []Profile {
	t.Helper()
	return slices.Concat(shippedSites(t), Corners(), []Profile{{}})
}

// stepsAt are the steps and questions of a card at a profile.
func stepsAt(name string, at Profile) []Line {
	var out []Line
	for _, ln := range linesOf(Builtin().Fill(Builtin().Find(name), &Facts{Profile: at})) {
		if ln.Ticked() {
			out = append(out, ln)
		}
	}
	return out
}

// theTable is the table of that name on a card.
func theTable(t *testing.T, c Card, name string) Table {
	t.Helper()
	for _, ln := range linesOf(c) {
		if ln.Table != nil && ln.Table.Name == name {
			return *ln.Table
		}
	}
	t.Fatalf("%s has no table %s", c.Name, name)
	return Table{}
}

// "Does the person answer AND breathe? No: press the chest": whoever fainted and breathes was pressed,
// and the next step took the helper from the chest to the tap.
func TestWhoBreathesIsNotPressed(t *testing.T) {
	c := bareCard("person-hurt")
	ask, press := step(&c, "breathing"), step(&c, "cpr")
	if strings.Contains(ask.Text, "answer") || ask.Yes == press.Number {
		t.Errorf("%q leads to the chest of whoever breathes", ask.Text)
	}
	if !strings.Contains(press.Text, "until help takes over") {
		t.Errorf("%q ends nowhere", press.Text)
	}
	if side := step(&c, "side"); side == nil || side.Number != ask.Yes || !strings.Contains(side.Text, "on their side") {
		t.Error("nobody is told what to do for whoever breathes and does not answer")
	}
}

// "Shut that room's door", and ten minutes later one walks into it for the gas bottle: the outer
// doors were open, the room was as full as before.
func TestTheGasRoomIsAiredBeforeAnybodyGoesIn(t *testing.T) {
	c := bareCard("gas-reactor")
	shut, air := step(&c, "shut"), step(&c, "air-now")
	if !regexp.MustCompile(`that room's door`).MatchString(shut.Text) || !strings.Contains(shut.Text, "30 min") {
		t.Errorf("%q sends somebody into a room that nobody aired", shut.Text)
	}
	if !strings.HasPrefix(air.Text, "Open the window") {
		t.Errorf("%q counts on a window that nobody opened", air.Text)
	}
}

// "Pull every tank plug" stood above "is anything at the plugs wet?", and whoever had no air pump
// was to lift water for ten minutes, and again, before the one reset that brings all pumps back.
func TestTheBreakerComesBeforeTheJug(t *testing.T) {
	for _, at := range everySite(t) {
		for _, ln := range stepsAt("breaker-tripped", at)[:4] {
			for _, text := range []string{ln.Text, ln.Lacking} {
				if strings.Contains(text, "Pull") && !strings.Contains(text, "dry tank plug") {
					t.Fatalf("%q pulls wet plugs", text)
				}
				if strings.Contains(text, "10 min") {
					t.Fatalf("%q keeps the reader from the breaker", text)
				}
			}
		}
	}
}

// Of four tanks on one breaker the card was for one: nobody gave the others air, and nothing said
// that they stand still too.
func TestOtherTanksOnTheBreakerAreNamed(t *testing.T) {
	for text, want := range map[string]bool{shop4: true, flat4: false} {
		s := siteOf(t, text)
		if got := lineNote(t, s, "power-off", "other tanks") != ""; got != want {
			t.Errorf("%s: the other tanks are named: %v, want %v", s.Systems[0].ID, got, want)
		}
	}
}

// A phone call for a heater, ten minutes or an hour long, stood before the step that starts the pumps.
func TestPumpsRunBeforeAnybodyPhonesForAHeater(t *testing.T) {
	for _, at := range everySite(t) {
		borrow, on := 0, 0
		for _, ln := range stepsAt("heater-break", at) {
			switch ln.ID {
			case "borrow":
				borrow = ln.Number
			case "power-on":
				on = ln.Number
			}
		}
		if borrow > 0 && borrow < on {
			t.Fatalf("step %d phones, step %d switches on", borrow, on)
		}
	}
}

// toolOf finds what a step is done with, and another that says what to do without it.
var toolOf = map[string]*regexp.Regexp{
	"gloves": regexp.MustCompile(`\bgloves\b`), "scale": regexp.MustCompile(`\bscale\b`), "tongs": regexp.MustCompile(`\btongs\b`),
	"goggles": regexp.MustCompile(`\bgoggles\b`),
}

// A house without gloves, tongs or a scale was told to use them, with no word on what then.
func TestNoStepNeedsAToolThatIsNotHere(t *testing.T) {
	s := siteOf(t, flat4)
	instead := regexp.MustCompile(`\b(OR|else|borrow)\b|\b[Nn]o (gloves|scale|tongs|goggles|net)\b`)
	checked := 0
	for _, name := range everyName() {
		c := printedFor(t, s, name)
		for _, g := range c.Groups {
			notes := ""
			for _, ln := range g.Lines {
				if ln.Kind == NoteLine {
					notes += ln.Text
				}
			}
			for _, ln := range g.Lines {
				for tool, word := range toolOf {
					if ln.Kind != StepLine || !word.MatchString(ln.Text) {
						continue
					}
					checked++
					if !instead.MatchString(ln.Text) && !strings.Contains(strings.ToLower(notes), "no "+tool) && !strings.Contains(notes, "No gloves or "+tool) {
						t.Errorf("%s step %d %q: and without %s?", name, ln.Number, ln.Text, tool)
					}
				}
			}
		}
	}
	if checked == 0 {
		t.Error("nothing was checked")
	}
}

// "Read a jug by meter" in a house whose list has no meter: every vat is outside, and the card
// waits for saltwater that nobody can read either.
func TestWhoHasNoMeterBorrowsOneFirst(t *testing.T) {
	s := siteOf(t, flat4)
	if text := lineOf(t, s, "change-water", "borrow"); !strings.Contains(text, "meter") {
		t.Errorf("%q asks for no meter", text)
	}
	if text := lineOf(t, s, "change-water", "can"); !strings.Contains(text, "read vats") {
		t.Errorf("%q lets whoever reads nothing go on to the vats", text)
	}
	for _, name := range []string{"vat-overflow", "top-off-overrun", "skimmer-overflow", "chlorine"} {
		c := printedFor(t, s, name)
		if !strings.Contains(strings.ToLower(Text(c)), "borrow") {
			t.Errorf("%s: a meter that is not here, and nobody borrows one", name)
		}
	}
}

// Beside a chilled tank that is too cold stands its chiller: Watch had it wrapped and warmed, the
// chiller running; too hot, it was searched for its heaters.
func TestWatchKnowsTheChiller(t *testing.T) {
	s := siteOf(t, school4)
	if text := lineOf(t, s, "watch", "cold"); !strings.Contains(text, "chiller") {
		t.Errorf("too cold: %q", text)
	}
	if text := lineOf(t, s, "watch", "hot"); !strings.Contains(text, "chiller") || strings.Contains(text, "unplug heaters") {
		t.Errorf("too hot: %q", text)
	}
}

// One vat of six is carried: the card had 940 L drained into ninety-four buckets, beside a row
// that counts seventeen minutes of pumping.
func TestARowThatIsPumpedIsNotDrainedByBucket(t *testing.T) {
	s := siteOf(t, quay4)
	c := printedFor(t, s, "change-water")
	pumped := false
	for _, r := range theTable(t, c, "changes").Rows {
		pumped = pumped || strings.Contains(strings.Join(r, " "), "min")
	}
	if text := step(&c, "drain").Text; !pumped || !strings.Contains(text, "with the pump") {
		t.Errorf("rows pumped: %v; %q", pumped, text)
	}
}

// "1 g (1 level teaspoon)" beside "a level teaspoon is 4 g".
func TestSpoonsAreTheGrams(t *testing.T) {
	text := lineOf(t, siteOf(t, flat4), "chlorine", "dose")
	if !strings.Contains(text, "1 g (a quarter level teaspoon)") {
		t.Error(text)
	}
}

// "At most 0.3 above the tank's" is a sum, in the dark, with two readings of a colour.
func TestThePHOfTheVatNeedsNoSum(t *testing.T) {
	c := bareCard("ammonia")
	if text := step(&c, "vat-ph").Text; strings.Contains(text, "0.3") {
		t.Error(text)
	}
}

// A dial under water turned "from above the water", and a breaker that is off answered by a plug.
func TestADialUnderWaterIsLeftAlone(t *testing.T) {
	c := bareCard("too-cold")
	if text := step(&c, "again").Text; !strings.Contains(text, "under water: leave it") {
		t.Error(text)
	}
	if text := step(&c, "plug").Text; strings.Contains(text, "breaker") {
		t.Errorf("%q leads whoever's breaker tripped to a plug", text)
	}
}

// "Fill clean bins from that vat: 49 L" with 27 L in all the vats.
func TestBinsAreNotFilledWithMoreThanThereIs(t *testing.T) {
	if text := lineOf(t, siteOf(t, flat4), "move-animals", "bin-fill"); strings.Contains(text, "in all") || !strings.Contains(text, "what it has") {
		t.Error(text)
	}
}

// The school's caretaker stood in the site's contacts and on no card; and whoever leaves at 17:00
// was to look at the tank hourly until the next day.
func TestWhoStaysIsNamed(t *testing.T) {
	s := siteOf(t, school4)
	c := printedFor(t, s, "contacts")
	found := false
	for _, r := range theTable(t, c, "contacts").Rows {
		found = found || r[0] == "caretaker" && strings.Contains(r[2], "+00 41 7")
	}
	if !found {
		t.Error("the caretaker's number is on no card")
	}
	if text := lineOf(t, s, "watch", "holds"); !strings.Contains(text, "Hand this card over") {
		t.Errorf("whoever has to leave: %q", text)
	}
}

// A house that can mend nothing was told three times to leave it so.
func TestWhatCannotBeMendedIsSaidOnce(t *testing.T) {
	c := printedFor(t, siteOf(t, flat4), "change-water")
	n := 0
	for _, ln := range linesOf(c) {
		n += strings.Count(ln.Text, "leave it so")
	}
	if n > 1 {
		t.Errorf("%d times", n)
	}
}

// A card printed alone names another that is not there: whoever prints it is told, and the reader
// what to do without.
func TestACardThatIsNotThereIsSaid(t *testing.T) {
	for _, name := range []string{"top-off-overrun", "fire-or-smoke", "skimmer-overflow"} {
		c := bareCard(name)
		if !strings.Contains(TextLast(c), "names card") {
			t.Errorf("%s: no notice of the cards that it names", name)
		}
		for _, ln := range linesOf(c) {
			if strings.Contains(ln.Text, "ake card ") && !strings.Contains(ln.Text, "(no card:") {
				t.Errorf("%s step %d %q: and without that card?", name, ln.Number, ln.Text)
			}
		}
	}
}

// A chilled tank without a heater was too cold: point at each heater, is a heater scorched, time the
// heater. The chiller, which cools it, had one line.
func TestAChilledTankIsNotSearchedForItsHeater(t *testing.T) {
	c := printedFor(t, siteOf(t, school4), "too-cold")
	for _, ln := range linesOf(c) {
		if ln.Ticked() && regexp.MustCompile(`(each|whole|dead|the) heater|a heater scorched|that heater`).MatchString(strings.ReplaceAll(ln.Text, "whole spare OR borrowed heater", "")) {
			t.Errorf("step %d %q", ln.Number, ln.Text)
		}
		if strings.Contains(ln.Text, "the heater") {
			t.Error(ln.Text)
		}
	}
	if text := step(&c, "look").Text; !strings.Contains(text, "chiller") {
		t.Error(text)
	}
}

// "pour 290 L away, 230 L stays big-vat": what is done and where ran into each other, and a tank
// beside the one on the card had nobody who looked at it in a power cut.
func TestWhatIsDoneToAVatStandsApartFromIt(t *testing.T) {
	lines := textTable(Table{Name: "batches", Header: make([]string, 8), Rows: [][]string{{"pour 290 L away, 230 L stays", "before row 1", "big-vat", none, none, none, none, "__:__"}}, Ticks: true})
	if got := strings.TrimSpace(lines[len(lines)-1]); got != "[ ] pour 290 L away, 230 L stays: big-vat, before row 1, __:__" {
		t.Errorf("%q", got)
	}
	if text := lineNote(t, siteOf(t, shop4), "outage", "thermometer decide"); !strings.Contains(text, "every tank") {
		t.Error(text)
	}
}

// "Read by meter and test" in a house without either, and top-off water from the tap: the card for it
// comes before the rest of this one.
func TestTheOrderOfWhatMayBeMissing(t *testing.T) {
	if c := bareCard("dosing-overrun"); !strings.Contains(step(&c, "ph").Text, "if here") {
		t.Error(step(&c, "ph").Text)
	}
	if text := lineOf(t, siteOf(t, flat4), "top-off-overrun", "tap"); !strings.HasSuffix(strings.TrimSpace(text), "first.") {
		t.Error(text)
	}
}

// "Dissolve 5.14 kg of salt in a bucket": ten litres of water hold three and a half, and nobody stirs
// for that long.
func TestSaltGoesIntoAsManyBucketsAsDissolveIt(t *testing.T) {
	for text, want := range map[string]string{six: "in 6 buckets of tank water", school4: "in a bucket of tank water"} {
		for _, at := range [][2]string{{"watch", "fresh"}, {"chlorine", "lift"}} {
			if says := lineOf(t, siteOf(t, text), at[0], at[1]); !strings.Contains(says, want) {
				t.Errorf("%s: %q, want %q", at[0], says, want)
			}
		}
	}
}

// "10 min, rest 5 min" has no end: whoever lifts water by jug never came to the telephone, the
// generator or the electrician below.
func TestTheJugLetsTheReaderGoOn(t *testing.T) {
	for card, id := range map[string]string{"outage": "air", "fire-or-smoke": "air"} {
		c := bareCard(card)
		if text := step(&c, id).Lacking; !strings.Contains(text, "then go on") {
			t.Errorf("%s: %q", card, text)
		}
	}
	if page := mustHTML(t, bareCard("outage")); regexp.MustCompile(`class="under">[^<]*\d (min|h|cm)\b`).MatchString(page) {
		t.Error("a small line breaks between a number and its unit")
	}
}
