package playbook

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"tidehold/volumes/site"
)

// What the cards were read at for the third time: a school whose two systems share one vat, a
// house in US units with a battery pump and neither vat heater nor purifier, and a public
// aquarium with a generator, a cold tank without a heater, and six vats.
const (
	school = `systems:
  - id: reef
    net_volume: 520 L ± 10 %
    drawdown: 30 %
    change_every: 3 h
    water: {salinity: 35, temperature: 25 C, alkalinity: 8 dKH}
    ambient: {usual: 18 C, coldest: 9 C, hottest: 27 C}
    livestock: {fish_mass: 0.6 kg, fish_size: 25 g, reef_area: 0.5 m2, sensitivity: coral}
    equipment: [{id: heater-a, kind: heater, power: 200 W}, {id: heater-b, kind: heater, power: 200 W}, {id: return, kind: return, power: 40 W}, {id: top-off, kind: top-off, reservoir: 25 L, flow: 5 L/h}, {id: skim, kind: skimmer, overflow: 2 L/h}, {id: alk, kind: doser, doses: alkalinity, reservoir: 1.5 L, strength: 1.9 meq/mL, flow: 20 mL/min}]
  - id: shore
    net_volume: 260 L ± 10 %
    drawdown: 40 %
    change_every: 2 h
    water: {salinity: 33, temperature: 14 C, alkalinity: 7 dKH}
    limits: {temperature_low: 8 C, temperature_high: 18 C, salinity_low: 30, salinity_high: 36}
    ambient: {usual: 18 C, coldest: 9 C, hottest: 27 C}
    equipment: [{id: chill, kind: chiller, power: 250 W}, {id: shore-pump, kind: return, power: 20 W}]
stores:
  - {id: blue-vat, holds: saltwater, capacity: 300 L, volume: 240 L, heel: 10 L, salinity: 34.5, temperature: 17 C}
  - {id: tap-drum, holds: purified, capacity: 120 L, volume: 90 L, heel: 4 L, temperature: 17 C, filled_by: purifier}
salts: [{id: mix, on_hand: 12 kg, dose: 38 g/L}]
purifier: {rate: 6 L/h, rated_at: 25 C, feed: 10 C}
mixing: {time: 12 h, emergency_time: 3 h}
reserve: {saltwater: 20 L}
awake: {from: 07:30, to: 18:00}
kit: [{item: battery air pump, need: 1, have: 1}, {item: activated carbon, need: 1, have: 1}]
events:
  - {id: reef-unknown, system: reef, playbook: unknown, remove: 50 %, within: 24 h}
  - {id: shore-ammonia, system: shore, playbook: ammonia, contaminant: ammonia, start: 2 mg/L, target: 0.5 mg/L, within: 24 h}
`
	lane = `units: us
systems:
  - id: tank
    net_volume: 68 gal
    drawdown: 25 %
    change_every: 4 h
    water: {salinity: 35, temperature: 77 F, alkalinity: 8.3 dKH}
    ambient: {usual: 68 F, coldest: 58 F, hottest: 86 F}
    livestock: {fish_mass: 0.3 kg, fish_size: 20 g, reef_area: 0.3 m2, sensitivity: coral}
    equipment: [{id: heater, kind: heater, power: 250 W}, {id: flow-pump, kind: circulation, power: 15 W}, {id: pump-box, kind: battery, energy: 300 Wh, feeds: [flow-pump]}, {id: ato, kind: top-off, reservoir: 5 gal, flow: 2 gal/h}]
stores:
  - {id: brute-can, holds: saltwater, capacity: 32 gal, volume: 24 gal, heel: 1 gal, salinity: 35, temperature: 66 F}
salts: [{id: salt, on_hand: 20 lb, dose: 38 g/L}]
`
	point = `systems:
  - id: kelp
    net_volume: 3100 L ± 6 %
    drawdown: 30 %
    change_every: 2 h
    water: {salinity: 33, temperature: 11 C, alkalinity: 7.5 dKH}
    limits: {temperature_low: 6 C, temperature_high: 15 C, salinity_low: 30, salinity_high: 36}
    ambient: {usual: 17 C, coldest: 8 C, hottest: 28 C}
    equipment: [{id: cold-1, kind: chiller, power: 2 kW}, {id: main, kind: return, power: 300 W}, {id: genset, kind: generator, power: 5 kW, fuel: 20 L, use: 1.8 L/h, feeds: [main]}]
stores:
  - {id: vat-1, holds: saltwater, capacity: 1000 L, volume: 900 L, heel: 30 L, salinity: 34, temperature: 16 C, transfer: 4000 L/h}
  - {id: vat-2, holds: saltwater, capacity: 1000 L, volume: 950 L, heel: 30 L, salinity: 34.2, temperature: 16 C, transfer: 4000 L/h}
  - {id: vat-3, holds: saltwater, capacity: 1000 L, volume: 400 L, heel: 30 L, salinity: 35.5, temperature: 15 C, transfer: 4000 L/h}
  - {id: vat-4, holds: saltwater, capacity: 800 L, volume: 700 L, heel: 25 L, salinity: 33, temperature: 11 C, transfer: 3000 L/h}
  - {id: pure-1, holds: purified, capacity: 1000 L, volume: 800 L, heel: 20 L, temperature: 14 C, filled_by: purifier}
  - {id: pure-2, holds: purified, capacity: 1000 L, volume: 300 L, heel: 20 L, temperature: 14 C}
salts: [{id: mix, on_hand: 120 kg, dose: 37.5 g/L}]
purifier: {rate: 60 L/h, rated_at: 25 C, feed: 9 C}
`
)

// lineFor is what a step of a card says for one system of a site, "" where it is not printed.
func lineFor(t *testing.T, s *site.Site, system, card, id string) string {
	t.Helper()
	f, err := Gather(s, Request{Playbook: card, System: system, Units: s.Units, Printed: site.DemoDate()})
	if err != nil {
		t.Fatal(err)
	}
	c := Builtin().Fill(Builtin().Find(card), f)
	if ln := step(&c, id); ln != nil {
		return said(*ln)
	}
	return ""
}

// lineNote is the note of a card with these words, "" where there is none.
func lineNote(t *testing.T, s *site.Site, card, words string) string {
	t.Helper()
	for _, ln := range linesOf(printedFor(t, s, card)) {
		if ln.Kind == NoteLine && strings.Contains(ln.Text, words) {
			return ln.Text
		}
	}
	return ""
}

// The list of what is switched on again names the pump that ran on, "but none that is tagged":
// it was tagged four steps later, after card Change the water had switched it on.
func TestWhatFailedIsTaggedBeforeAnythingGoesOn(t *testing.T) {
	checked := 0
	for _, name := range everyName() {
		p := Builtin().Find(name)
		if !slices.Contains([]string{"top-off", "doser", "skimmer", "heater"}, p.Failed) {
			continue
		}
		for _, at := range slices.Concat(shippedSites(t), Corners(), []Profile{{}}) {
			c := Builtin().Fill(p, &Facts{Profile: at})
			tagged := false
			for _, ln := range linesOf(c) {
				tagged = tagged || ln.Kind == StepLine && regexp.MustCompile(`\b[Tt]ag (it|the|that|all)\b`).MatchString(ln.Text)
				if ln.Card == "change-water" || hasEffect(ln.Effects, "energise good") {
					if checked++; !tagged {
						t.Fatalf("%s step %d %q: what failed has no tag yet", p.Name, ln.Number, ln.Text)
					}
				}
			}
		}
	}
	if checked == 0 {
		t.Error("nothing was checked")
	}
}

// "No spare heater: borrow one." When it came, no step told how it gets into the water: a hand
// hung it beside a live one.
func TestABorrowedHeaterGoesInWithThePowerOff(t *testing.T) {
	for _, at := range slices.Concat(shippedSites(t), Corners(), []Profile{{}}) {
		c := Builtin().Fill(Builtin().Find("too-cold"), &Facts{Profile: at})
		here, off, hang, pace := step(&c, "spare-here"), step(&c, "spare"), step(&c, "hang"), step(&c, "reached")
		if here == nil || off == nil || hang == nil || off.Card != "power-off" || hang.Number < off.Number {
			t.Fatalf("no way to hang a borrowed heater with the power off: %v", at.Has)
		}
		if pace.No != here.Number {
			t.Fatalf("the round of readings goes back to step %d, and asks for the heater at %d", pace.No, here.Number)
		}
	}
}

// The house's one heater broke and there is no spare: somebody brings one in the middle of the
// rows, and the power is on again.
func TestABroughtHeaterIsToldHowItGoesIn(t *testing.T) {
	for _, text := range []string{lane, school} {
		if says := lineOf(t, siteOf(t, text), "watch", "cold"); !strings.Contains(says, "all power off") {
			t.Errorf("watch: %q: it is hung into live water", says)
		}
	}
	if lineNote(t, siteOf(t, lane), "heater-break", "all power off") == "" {
		t.Error("heater-break: the borrowed heater is hung into live water")
	}
}

// A drum of 120 L with 90 L in it runs over five hours after the purifier was started, and
// nobody was told to stop it.
func TestThePurifierIsStopped(t *testing.T) {
	for _, text := range []string{school, point, shop} {
		if says := lineOf(t, siteOf(t, text), "mix-batch", "purify"); !strings.Contains(says, "shut it before it is full") {
			t.Errorf("%q: who shuts it?", says)
		}
	}
}

// "After 24 h, pull it out" is the last step of a card that others send to before the first
// change of water: who does one step after the other stands beside the bag for a day.
func TestNoCardHoldsTheReaderForADay(t *testing.T) {
	long := regexp.MustCompile(`(?i)^after \d+ (h|d)\b`)
	for _, name := range everyName() {
		p := Builtin().Find(name)
		if !p.Shared {
			continue
		}
		c := Builtin().Fill(p, &Facts{Profile: Corners()[0]})
		for _, ln := range linesOf(c) {
			if ln.Ticked() && long.MatchString(ln.Text) {
				t.Errorf("%s: %q comes before the card is done", p.Name, ln.Text)
			}
		}
	}
	if says := lineOf(t, siteOf(t, school), "carbon", "out"); !strings.HasPrefix(says, "Go back to the card that sent you") {
		t.Errorf("%q: the reader waits", says)
	}
}

// The reader has just pulled the cracked heater's plug: "was the plug out?" is yes.
func TestThePlugAskedForIsThatOfAWholeHeater(t *testing.T) {
	for _, text := range []string{school, lane} {
		if says := lineOf(t, siteOf(t, text), "too-cold", "plug"); !strings.Contains(says, "whole heater") {
			t.Errorf("%q is yes for the plug that was pulled one step before", says)
		}
	}
}

// The window, the lid and the fan stay open when the tank is below its limit, the ice hangs on:
// in a room of 58 °F the tank passes through its band by morning.
func TestCoolingIsStopped(t *testing.T) {
	for _, text := range []string{school, lane, point} {
		says := lineOf(t, siteOf(t, text), "too-hot", "settle")
		for _, word := range []string{"ice", "fan", "window"} {
			if !strings.Contains(strings.ToLower(says), word) {
				t.Errorf("%q leaves the %s as it is", says, word)
			}
		}
		if !strings.Contains(says, "If it falls fast, fan off") {
			t.Errorf("%q: in a hot room the tank goes up again", says)
		}
	}
}

// Every 30 min the way leads past the generator: it runs already, and must not be started again.
// When the power is back the devices hang on it still.
func TestTheGeneratorIsStartedOnceAndStopped(t *testing.T) {
	s := siteOf(t, point)
	if says := lineOf(t, s, "outage", "gen"); !strings.Contains(says, "not running") {
		t.Errorf("%q is yes in every round", says)
	}
	if lineNote(t, s, "outage", "A generator stops last") == "" {
		t.Error("the generator runs on")
	}
	if lineNote(t, siteOf(t, lane), "outage", "A generator stops last") != "" {
		t.Error("a generator is stopped in a house without one")
	}
}

// "Without stopping": who jugs so never reads the next step.
func TestTheJugLeavesTimeToReadOn(t *testing.T) {
	for _, name := range everyName() {
		for _, at := range slices.Concat(Corners()[:2], []Profile{{}}) {
			for _, ln := range linesOf(Builtin().Fill(Builtin().Find(name), &Facts{Profile: at})) {
				if strings.Contains(ln.Text+ln.Lacking, "without stopping") {
					t.Errorf("%s: %q ends nowhere", name, ln.Text+ln.Lacking)
				}
			}
		}
	}
}

// While the tank is filled again, 32 L an hour, no pump runs.
func TestAirWhileTheTankIsFilled(t *testing.T) {
	for _, text := range []string{school, lane, point} {
		if says := lineOf(t, siteOf(t, text), "leak", "fill"); !strings.Contains(strings.ToLower(says), "air") {
			t.Errorf("%q takes hours, and the animals have no air", says)
		}
	}
}

// 30 gal ran out, 23 are in the vat: the tank stands below its pumps, the vat is empty, and no line
// says what then.
func TestAnEmptyVatIsAWayOnAfterALeak(t *testing.T) {
	for _, text := range []string{school, lane, point} {
		s := siteOf(t, text)
		c := printedFor(t, s, "leak")
		if fill := step(&c, "fill"); !strings.Contains(fill.Text, "phone keepers") || !hasEffect(fill.Effects, "call supplier") {
			t.Errorf("%q goes on with nothing", fill.Text)
		}
	}
}
