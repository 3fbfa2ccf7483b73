package playbook

import (
	"slices"
	"strings"
	"testing"
	"time"

	"tidehold/refs/units"
	"tidehold/response/plan"
)

// What the cards were read at for the seventh time: a flat on the third floor with one can and nobody but a
// teenager; a cellar with a generator and two tanks; two tanks on one sump; a house that mixes.
const (
	flat7 = `systems:
  - id: nano
    net_volume: 52 L
    water: {salinity: 35, temperature: 25.5 C}
    ambient: {usual: 20 C, coldest: 16 C, hottest: 33 C}
    livestock: {fish_mass: 15 g, fish_size: 5 g, sensitivity: coral}
    equipment: [{id: heat, kind: heater, power: 100 W}, {id: flow, kind: circulation, power: 5 W}, {id: ato, kind: top-off, reservoir: 5 L, flow: 4 L/h}]
stores: [{id: can, holds: saltwater, capacity: 20 L, volume: 17 L, salinity: 35, temperature: 19 C}]
kit: [{item: thermometer, need: 1, have: 1}, {item: bucket, need: 1, have: 1}]
`
	cellar7 = `systems:
  - id: display
    net_volume: 680 L
    drawdown: 35 %
    water: {salinity: 34, temperature: 25 C, ph: 8.0, alkalinity: 8 dKH}
    ambient: {usual: 17 C, coldest: 9 C, hottest: 27 C}
    livestock: {fish_mass: 2 kg, fish_size: 60 g, sensitivity: coral}
    equipment:
      - {id: heat, kind: heater, power: 500 W}
      - {id: main, kind: return, power: 80 W}
      - {id: kalk, kind: doser, doses: alkalinity, reservoir: 5 L, strength: 1.5 meq/mL, flow: 40 mL/min}
      - {id: ato, kind: top-off, reservoir: 110 L, flow: 20 L/h}
      - {id: inverter, kind: generator, power: 1.8 kW, fuel: 4 L, use: 0.8 L/h}
  - {id: frag, net_volume: 230 L, water: {salinity: 34, temperature: 25 C}}
stores: [{id: drum, holds: saltwater, capacity: 200 L, volume: 190 L, heel: 8 L, salinity: 34, temperature: 17 C, transfer: 1500 L/h}]
kit: [{item: salinity meter, need: 1, have: 1}, {item: thermometer, need: 1, have: 1}, {item: carbon monoxide alarm, need: 1, have: 1}]
`
	pair7 = `systems:
  - id: pair
    parts:
      - {id: left, shape: {box: {length: 120 cm, width: 50 cm, height: 55 cm}}, level: 50 cm, drains_back: 12 L}
      - {id: right, shape: {box: {length: 90 cm, width: 50 cm, height: 55 cm}}, level: 50 cm, drains_back: 10 L}
      - {id: sump, shape: {box: {length: 90 cm, width: 40 cm, height: 40 cm}}, level: 20 cm}
    drawdown: 30 %
    water: {salinity: 35, temperature: 25 C}
    livestock: {fish_mass: 400 g, fish_size: 25 g, sensitivity: coral}
    equipment: [{id: heat, kind: heater, power: 300 W}, {id: main, kind: return, power: 60 W}]
stores: [{id: vat, holds: saltwater, capacity: 200 L, volume: 150 L, heel: 6 L, salinity: 35, temperature: 19 C, transfer: 1500 L/h}]
`
	batch7 = `systems:
  - {id: tank, net_volume: 200 L, drawdown: 30 %, water: {salinity: 35, temperature: 25 C}, ambient: 24 C, livestock: {sensitivity: fish}, equipment: [{id: heat, kind: heater, power: 200 W}]}
stores:
  - {id: vat, holds: saltwater, capacity: 100 L, volume: 20 L, heel: 2 L, salinity: 35, temperature: 24 C, transfer: 1500 L/h}
  - {id: pure, holds: purified, capacity: 100 L, volume: 60 L, heel: 4 L, temperature: 24 C, filled_by: purifier}
salts: [{id: s, on_hand: 15 kg}]
purifier: {rate: 8 L/h, rated_at: 25 C, feed: 12 C}
mixing: {time: 12 h, emergency_time: 2 h, in: [vat]}
events: [{id: third, system: tank, playbook: heater-break, remove: 25 %, within: 24 h}]
`
)

// The hose of the return pump came off, was folded and tied, and "plug in pumps first": the pump empties
// the sump on the floor that was just mopped, the power on. A pump that filled a vat fills it again.
func TestWhatPumpedTheWaterOutStaysOff(t *testing.T) {
	for name, at := range map[string]string{"leak": "refill", "vat-overflow": "on"} {
		c := bareCard(name)
		stays, on := step(&c, at), step(&c, "on")
		if !tagsFailed(stays.Text, "feed") || !hasEffect(stays.Effects, "cut failed") || stays.Number > on.Number {
			t.Errorf("%s: %q leaves the pump that pumped it out in its plug", name, stays.Text)
		}
	}
	if c := bareCard("leak"); !strings.Contains(step(&c, "on").Text, "none with a tag") {
		t.Errorf("%q plugs in the pump of the hose", step(&c, "on").Text)
	}
}

// A leak ended with the tank room's breaker off and nobody who puts it on again: bins without heat, the other
// tanks of the room without a pump.
func TestALeakDoesNotEndInTheDark(t *testing.T) {
	for _, at := range everySite(t) {
		for _, ln := range stepsAt("leak", at) {
			if ln.ID == "seam-end" && (!hasEffect(ln.Effects, "call electrician") || !strings.Contains(ln.Text, "power")) {
				t.Fatalf("%q: who puts the power on for bins and other tanks?", ln.Text)
			}
		}
	}
}

// Plugs were pulled beside the glass, and the next question was whether the glass bows; "go on when it has run
// dry": a panel that only bows never does.
func TestAPanelIsLookedAtBeforeAnybodyStandsBesideIt(t *testing.T) {
	c := bareCard("leak")
	creak, out, prove := step(&c, "creak"), step(&c, "out"), step(&c, "prove")
	if creak.Number > prove.Number || creak.No != prove.Number || creak.Yes != out.Number {
		t.Errorf("step %d asks for the panel, step %d sends people to the plugs beside it", creak.Number, prove.Number)
	}
	if strings.Contains(out.Until, "run dry") || !strings.Contains(out.Until, "30 min") {
		t.Errorf("%q has no end where the panel holds", out.Until)
	}
}

// "Back the same way when the tank reads inside its bands": salt and warmth are, an hour after the bleach. And a
// bin was read every half hour, with no word on what to do with a cold one.
func TestNobodyIsPutBackIntoThePoison(t *testing.T) {
	note := ""
	c := bareCard("move-animals")
	for _, ln := range linesOf(c) {
		if ln.Kind == NoteLine && strings.Contains(ln.Text, "Back the same way") {
			note = ln.Text
		}
	}
	if !strings.Contains(note, "after the last row") {
		t.Errorf("%q: salt and warmth are all that is read", note)
	}
	if !strings.Contains(note, "too cold") {
		t.Errorf("%q: and a bin outside its band?", note)
	}
}

// Heavy gas does not climb the stairs of a cellar while doors stand open.
func TestNobodyGoesIntoACellarForTheGasBottle(t *testing.T) {
	c := bareCard("gas-reactor")
	if help := step(&c, "help"); !strings.Contains(help.Text, "cellar") || !strings.Contains(help.Text, "stay out") {
		t.Errorf("%q", help.Text)
	}
}

// After a shock the house's main breaker was off, and no line said that it stays so until somebody has looked.
func TestAfterAShockTheBreakerWaitsForAnElectrician(t *testing.T) {
	c := bareCard("person-hurt")
	if last := step(&c, "others"); !strings.Contains(last.Text, "electrician first") {
		t.Errorf("%q", last.Text)
	}
}

// Glass, spines and stings on every other card, and nothing for them on the card of a person hurt.
func TestACutAndAStingHaveALine(t *testing.T) {
	c := bareCard("person-hurt")
	if says := step(&c, "bleeds"); says == nil || !strings.Contains(says.Text, "press a cloth") || !strings.Contains(says.Text, "your own hand") {
		t.Errorf("%v", says)
	}
}

// The dosing pump was unplugged because it may be what harms them; after row 1 "switch on the same, but none that
// is tagged": it had no tag.
func TestWhatMayStillBeAddingItIsTagged(t *testing.T) {
	s := siteOf(t, cellar7)
	for _, name := range []string{"unknown", "wrong-thing-in"} {
		if says := lineOf(t, s, name, "power"); !strings.Contains(says, "dosing pump") || !tags.MatchString(says) {
			t.Errorf("%s: %q", name, says)
		}
	}
	if says := lineOf(t, s, "wrong-thing-in", "on"); strings.Contains(says, "dosers") {
		t.Errorf("%q plugs the dosing pump in again", says)
	}
	if says := lineOf(t, s, "watch", "point"); !strings.Contains(says, "has a tag") {
		t.Errorf("%q plugs in what has a tag", says)
	}
}

// Only row 1 was held against what the vats hold, before the batch that makes it was mixed; a later row was
// drained in full and could not be filled: "when the tank is at its mark", which it never was.
func TestNoMoreIsDrainedThanTheVatsHold(t *testing.T) {
	s := siteOf(t, batch7)
	f := gathered(t, s, Request{Playbook: "heater-break", Printed: time.Date(2026, 11, 27, 2, 0, 0, 0, time.UTC)})
	if f.Plan.Steps[0].From[0].Batch == 0 {
		t.Fatal("row 1 is from no batch any more: this shows less")
	}
	c := Builtin().Fill(Builtin().Find("change-water"), f)
	mix, enough, drain, on, more := step(&c, "mix"), step(&c, "enough"), step(&c, "drain"), step(&c, "on-after"), step(&c, "more")
	if mix.Number > enough.Number || enough.Number > drain.Number || more.Yes != enough.Number {
		t.Errorf("%q is step %d, the batch step %d, the drain step %d; the next row goes on at step %d", enough.Text, enough.Number, mix.Number, drain.Number, more.Yes)
	}
	// With the pumps off the sump holds what drained back: the mark of every day is not reached by the same litres.
	if strings.Contains(on.Text, "mark") || !strings.Contains(on.Text, "heaters covered") {
		t.Errorf("%q", on.Text)
	}
}

// A heater that was on a minute ago stood in air, and water of 17 °C was poured over it; a siphon was left alone,
// and a hose end under water takes the tank back into the vat when its pump stops.
func TestARowLeavesNoHotHeaterAndNoHoseAlone(t *testing.T) {
	for _, at := range everySite(t) {
		for _, ln := range stepsAt("change-water", at) {
			if ln.ID == "off-before" && !strings.Contains(ln.Text, "cool 10 min") {
				t.Fatalf("%q: the water sinks below a hot heater", ln.Text)
			}
		}
	}
	c := bareCard("change-water")
	text := Text(c)
	if words := strings.Join(strings.Fields(text), " "); !strings.Contains(words, "stay with it") || !strings.Contains(words, "end in air") {
		t.Error("nobody stays with the hose")
	}
}

// No meter: the keeper's own can, with its salt and day on it, stayed closed beside a poisoned tank.
func TestTheKeepersOwnCanIsPouredWithoutAMeter(t *testing.T) {
	s := siteOf(t, flat7)
	c := printedFor(t, s, "change-water")
	can, read, good := step(&c, "can"), step(&c, "read-vat"), step(&c, "good")
	if !strings.Contains(can.Text, "notes") || !strings.Contains(read.Text, "note") {
		t.Errorf("%q and %q: without a meter nobody changes water", can.Text, read.Text)
	}
	small, fill := step(&c, "small"), step(&c, "fill")
	if !strings.Contains(good.Text, "by meter") || good.No >= small.Number || small.Number > fill.Number || !strings.Contains(small.Text, "5.4 L") {
		t.Errorf("%q leads past %q", good.Text, small.Text)
	}
}

// Two tanks on one sump, and "drain 172 L": out of the left one alone that is more than half of it.
func TestTanksOnOneSumpAreDrainedAlike(t *testing.T) {
	s := siteOf(t, pair7)
	if says := lineOf(t, s, "change-water", "drain"); !strings.Contains(says, "same depth from each tank") {
		t.Errorf("%q: from which?", says)
	}
	if says := lineOf(t, s, "change-water", "fill"); !strings.Contains(says, "each tank as it was") {
		t.Errorf("%q: into which?", says)
	}
	if says := lineNote(t, s, "move-animals", "one sump"); !strings.Contains(says, "whole one") {
		t.Errorf("%q: beside the leaking tank stands a whole one", says)
	}
	for _, one := range []string{flat7, cellar7} {
		if says := lineOf(t, siteOf(t, one), "change-water", "drain"); strings.Contains(says, "each tank") {
			t.Errorf("%q of one tank", says)
		}
	}
}

// "Hang the alarm where people are. Press its test button": and when it sounds?
func TestAnAlarmThatSoundsSendsEverybodyOut(t *testing.T) {
	says := lineOf(t, siteOf(t, cellar7), "outage", "alarm")
	if !strings.Contains(says, "sounds") || !strings.Contains(says, "everyone out") {
		t.Errorf("%q", says)
	}
}

// "For tank display only" on the card for smoke: whoever saw it at the other tank put the card away.
func TestACardForPeopleIsForTheWholeHouse(t *testing.T) {
	s := siteOf(t, cellar7)
	for _, name := range []string{"fire-or-smoke", "gas-reactor", "vat-overflow", "sitter", "person-hurt"} {
		if c := printedFor(t, s, name); c.OnlyFor != "" {
			t.Errorf("%s is for tank %s only", name, c.OnlyFor)
		}
	}
}

// The extra of a top-off was measured with the pumps off, when the sump holds what drained back too.
func TestTheExtraIsDrainedWhileItCanBeSeen(t *testing.T) {
	c := bareCard("top-off-overrun")
	over, level := step(&c, "over"), step(&c, "level")
	if over.Yes != level.Number {
		t.Errorf("%q leads to step %d, %q is step %d", over.Text, over.Yes, level.Text, level.Number)
	}
}

// A night alone: nobody told the only person up that an alarm clock will do, that the jug is for two, or to try
// the keeper again; children beside a bath of poisoned water.
func TestOnePersonLastsTheNight(t *testing.T) {
	for name, want := range map[string][2]string{
		"watch": {"holds", "alarm clock"}, "outage": {"phone", "turns"}, "sitter": {"look", "Phone again"}, "waste": {"hold", "children"},
	} {
		c := bareCard(name)
		ln := step(&c, want[0])
		if text := ln.Text + " " + ln.Meanwhile; !strings.Contains(text, want[1]) {
			t.Errorf("%s: %q", name, text)
		}
	}
}

// "40.49 gal drum-1 + 0.00 gal drum-2": a jug, a meter and a band for a vat that gives nothing.
func TestNobodyReadsAVatThatGivesNothing(t *testing.T) {
	none := 0.0
	f := &Facts{Units: units.US, Plan: &plan.Plan{Steps: []plan.Step{
		{N: 1, RemoveL: 153.384, From: []plan.Draw{{StoreID: "drum-1", Litres: 153.303, LeftL: &none}, {StoreID: "drum-2", Litres: 0.001, LeftL: &none}}},
	}}}
	if row := f.Plan.Row(&f.Plan.Steps[0], units.US); row.EachL[1] != 0 {
		t.Fatalf("the second is printed %s: this shows nothing", row.Each[1])
	}
	if says := f.changeRow(f.Plan.Steps[0]).from(); strings.Contains(says, "drum-2") || !strings.Contains(says, "drum-1") {
		t.Errorf("%q", says)
	}
	table := f.changeTable()
	if rows := table.Rows; len(rows) != 1 {
		t.Errorf("%v", rows)
	}
	// Nor is it entered afterwards: the record takes no draw of nothing.
	if entry := table.Entries[0]; !strings.HasSuffix(entry, " from drum-1") {
		t.Errorf("%q", entry)
	}
}

// "Vat sea, before row 1: add 301 L of purified water", which row 3 is the first to draw: half an hour of buckets
// while the chlorine that row 1 takes out went on killing.
func TestWhatRow1DoesNotNeedWaitsForIt(t *testing.T) {
	f := &Facts{Plan: &plan.Plan{Steps: []plan.Step{
		{N: 1, DoneH: 0.5, From: []plan.Draw{{StoreID: "ready"}}},
		{N: 2, AtH: 4, DoneH: 4.5, From: []plan.Draw{{StoreID: "soon", Batch: 1}, {StoreID: "ready"}}},
		{N: 3, AtH: 8, DoneH: 8.5, From: []plan.Draw{{StoreID: "sea"}}},
	}, Batches: []plan.Batch{{N: 1, StoreID: "soon", MixedH: 3}}, Prepared: []plan.Prepare{{What: plan.Lower, StoreID: "sea", AddL: 301, ReadyH: 2}, {What: plan.Lower, StoreID: "ready", AddL: 5, ReadyH: 0.1}}}}
	for _, row := range f.batchTable().Rows {
		if want := map[string]string{"sea": "after row 1", "soon": "before row 1", "ready": "before row 1"}[row[2]]; row[1] != want {
			t.Errorf("%s is begun %s, want %s", row[2], row[1], want)
		}
	}
}

// Larvae of 0.1 g in a net.
func TestLarvaeGoInAJug(t *testing.T) {
	c := bareCard("move-animals")
	if !slices.ContainsFunc(linesOf(c), func(ln Line) bool { return ln.Kind == NoteLine && strings.Contains(ln.Text, "larvae: sink a jug") }) {
		t.Error("larvae are netted")
	}
}

// Whoever is hurt waited for a plan that no line of the card prints, and so did a leak. What is printed is the
// same as with one, but for the rows' litres in bins: a leak has no rows.
func TestNobodyWaitsForAPlanThatIsNotPrinted(t *testing.T) {
	s, l := demoSite(t), Builtin()
	without := 0
	made := gathered(t, s, Request{Playbook: "person-hurt", Printed: time.Date(2026, 11, 27, 2, 0, 0, 0, time.UTC)}).Plan
	for _, name := range everyName() {
		if l.planned(name, ProfileOf(s, &s.Systems[0])) {
			continue
		}
		f, err := Gather(s, Request{Playbook: name, Cards: l, Printed: time.Date(2026, 11, 27, 2, 0, 0, 0, time.UTC)})
		if err != nil {
			t.Fatal(err)
		}
		if f.Plan != nil {
			t.Errorf("%s: planned all the same", name)
		}
		without++
		planned := *f
		planned.Plan = made
		for _, n := range append([]string{name}, l.SentAt(f.Profile, name)...) {
			a, b := l.Fill(l.Find(n), f), l.Fill(l.Find(n), &planned)
			if n != "move-animals" && !slices.Equal(slices.Concat(textPages(a)...), slices.Concat(textPages(b)...)) {
				t.Errorf("%s, for %s, prints something of a plan", n, name)
			}
		}
	}
	for _, name := range []string{"person-hurt", "leak", "fire-or-smoke", "outage"} {
		if l.planned(name, Profile{}) {
			t.Errorf("%s waits for a plan", name)
		}
	}
	if without < 8 || !l.planned("heater-break", Profile{}) || !l.planned("skimmer-overflow", Profile{}) {
		t.Errorf("%d cards without a plan", without)
	}
}

// "Shut it before it is full" has no clock: a drum with room for 40 L is full in five hours, and the reader is at
// the rows, or asleep.
func TestThePurifierHasAClock(t *testing.T) {
	if says := lineOf(t, siteOf(t, batch7), "mix-batch", "purify"); !strings.Contains(says, "shut it before it is full (in 5 h)") {
		t.Errorf("%q", says)
	}
	c := bareCard("mix-batch")
	if says := step(&c, "purify").Text; !strings.Contains(says, "before it is full") {
		t.Errorf("%q without a site", says)
	}
}

// "Take a torch" in a house whose list has none: a telephone has a lamp.
func TestWhoHasNoTorchTakesATelephone(t *testing.T) {
	s := siteOf(t, flat7)
	for name, at := range map[string]string{"heater-break": "power-off", "leak": "away", "outage": "well", "skimmer-overflow": "away", "vat-overflow": "away"} {
		if says := lineOf(t, s, name, at); strings.Contains(says, "torch") || !strings.Contains(says, "telephone lamp") {
			t.Errorf("%s: %q", name, says)
		}
	}
}

// Carbon was rinsed in poisoned water with bare hands.
func TestCarbonIsRinsedInGloves(t *testing.T) {
	c := bareCard("carbon")
	if says := step(&c, "rinse").Text; !strings.Contains(says, "gloves OR bags") {
		t.Errorf("%q", says)
	}
}
