package playbook

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"tidehold/response/plan"
)

// What the cards were read at for the sixth time: a flat the size of a caravan, without a salinity meter;
// a quarantine room of two tanks on one sump; a station whose chilled tank is in a hot country, with a
// generator and no alarm for its exhaust.
const (
	caravan = `systems:
  - id: nano
    net_volume: 22 L
    water: {salinity: 35, temperature: 25 C}
    ambient: {usual: 18 C, coldest: 6 C, hottest: 34 C}
    livestock: {fish_mass: 4 g, fish_size: 2 g, sensitivity: coral}
    equipment: [{id: stick, kind: heater, power: 50 W}, {id: filter, kind: return, power: 4 W}]
stores: [{id: jerrycan, holds: saltwater, capacity: 10 L, volume: 8 L, salinity: 35, temperature: 16 C}]
kit: [{item: jug, need: 1, have: 1}, {item: thermometer, need: 1, have: 1}]
`
	quarantine = `units: us
systems:
  - id: quarantine
    net_volume: 164 gal
    drawdown: 40 %
    change_every: 2 h
    water: {salinity: 32, temperature: 78 F}
    livestock: {fish_mass: 0.9 kg, fish_size: 45 g, sensitivity: fish}
    ambient: {usual: 70 F, coldest: 60 F, hottest: 88 F}
    equipment: [{id: sump-heater, kind: heater, power: 400 W}, {id: sump-pump, kind: return, power: 70 W}]
stores:
  - {id: tote, holds: saltwater, capacity: 100 gal, volume: 85 gal, heel: 3 gal, salinity: 32, temperature: 72 F, transfer: 500 gal/h, heater: 300 W}
  - {id: pure, holds: purified, capacity: 55 gal, volume: 40 gal, temperature: 68 F, filled_by: purifier}
salts: [{id: s, on_hand: 30 kg}]
purifier: {rate: 8 L/h, rated_at: 25 C, feed: 14 C}
mixing: {time: 12 h, emergency_time: 3 h, in: [tote]}
events: [{id: overdose, system: quarantine, playbook: wrong-thing-in, remove: 50 %, within: 12 h}]
`
	station = `systems:
  - id: broodstock
    net_volume: 2600 L ± 6 %
    drawdown: 50 %
    change_every: 2 h
    water: {salinity: 35.5, temperature: 27 C}
    limits: {temperature_low: 24 C, temperature_high: 30 C}
    ambient: {usual: 27 C, coldest: 23 C, hottest: 34 C}
    livestock: {fish_mass: 12 kg, fish_size: 400 g, sensitivity: fish}
    equipment:
      - {id: chill, kind: chiller, power: 1200 W}
      - {id: main, kind: return, power: 250 W}
      - {id: gen, kind: generator, power: 3 kW, fuel: 20 L, use: 1.1 L/h, feeds: [main]}
stores: [{id: sea-1, holds: saltwater, capacity: 2000 L, volume: 1500 L, heel: 60 L, salinity: 35.4, temperature: 28 C, transfer: 4000 L/h}]
kit: [{item: salinity meter, need: 1, have: 1}, {item: thermometer, need: 2, have: 2}, {item: bin, need: 4, have: 4}]
`
)

// The helper who feels well answered "no" beside somebody who lies in the gas, and pressed the chest
// there; whoever had a headache was to "bring everyone out", back into the room.
func TestNobodyWalksIntoTheGasForAnother(t *testing.T) {
	c := bareCard("person-hurt")
	ask, fresh := step(&c, "air-ask"), step(&c, "fresh")
	if !regexp.MustCompile(`lies? .*nobody saw why`).MatchString(ask.Text) || ask.Yes != fresh.Number {
		t.Errorf("%q: somebody who lies there feels no headache", ask.Text)
	}
	if strings.Contains(fresh.Text, "Bring everyone") || !strings.Contains(fresh.Text, "pull along") || !strings.Contains(fresh.Text, "Do NOT go in") {
		t.Errorf("%q sends somebody into the gas", fresh.Text)
	}
	if first := step(&c, "phone"); !strings.HasPrefix(first.Text, "If gas ") {
		t.Errorf("%q is said in the gas", first.Text)
	}
}

// "When all is dark, pull them clear": by day a room never is, and with a lamp on another breaker neither;
// nothing said what to do where something still ran.
func TestWhoIsHeldByCurrentIsFreedByDayToo(t *testing.T) {
	for _, at := range everySite(t) {
		steps := stepsAt("person-hurt", at)
		find := func(id string) Line {
			i := slices.IndexFunc(steps, func(ln Line) bool { return ln.ID == id })
			if i < 0 {
				t.Fatalf("no step %s", id)
			}
			return steps[i]
		}
		if cut := find("no-touch"); !strings.Contains(cut.Text, "main breaker") {
			t.Fatalf("%q leaves another circuit on", cut.Text)
		}
		off, live, free := find("off"), find("live"), find("free")
		if off.Yes != free.Number || off.No != live.Number || live.Until == "" || live.Then != free.Number {
			t.Fatalf("%q leads to %d and %d; %q", off.Text, off.Yes, off.No, live.Text)
		}
		if strings.Contains(off.Text+free.Text, "dark") {
			t.Fatalf("%q waits for the night", off.Text+free.Text)
		}
	}
}

// A heater's wet plug was left in, and the reader went on beside it, the power on.
func TestAColdTanksWetPlugIsLeftToAnElectrician(t *testing.T) {
	c := bareCard("too-cold")
	if tag := step(&c, "tag"); !strings.Contains(tag.Text, "electrician") || !strings.Contains(tag.Text, "leave it") {
		t.Errorf("%q", tag.Text)
	}
}

// A hose that came off was watched over a floor that nobody had mopped: "has it stayed dry?" was no,
// which is the seam's answer, and power came back "where all is dry", which was nowhere.
func TestTheFloorOfAHoseIsMopped(t *testing.T) {
	c := bareCard("leak")
	runs, hose, where := step(&c, "runs"), step(&c, "hose"), step(&c, "where")
	seam, refill := step(&c, "seam"), step(&c, "refill")
	if !strings.Contains(runs.Text, "still run") || runs.Yes != seam.Number || runs.No != refill.Number {
		t.Errorf("%q leads to %d and %d", runs.Text, runs.Yes, runs.No)
	}
	if !strings.Contains(runs.Meanwhile, "Mop") || !strings.Contains(runs.Meanwhile, "no vacuum") {
		t.Errorf("the hour is %q", runs.Meanwhile)
	}
	if strings.Contains(hose.Text, "Clamp") {
		t.Errorf("%q: with which clamp?", hose.Text)
	}
	if !strings.Contains(where.Text, "not sure") {
		t.Errorf("%q: whoever cannot tell refills a tank that leaks", where.Text)
	}
	if !strings.Contains(seam.Text, "buckets") || !strings.Contains(seam.Text, "jug") {
		t.Errorf("%q: without bins or a hose?", seam.Text)
	}
}

// "A working alarm here?" No: the generator of a house without an alarm for its exhaust never ran, and
// the air of 12 kg of fish lasted an hour and a quarter.
func TestAGeneratorRunsWithoutAnAlarmOverNobodysSleep(t *testing.T) {
	s := siteOf(t, station)
	c := printedFor(t, s, "outage")
	gen, alarm, start := step(&c, "gen"), step(&c, "alarm"), step(&c, "start")
	if strings.Contains(gen.Text, "alarm") || alarm == nil || alarm.Number >= start.Number || gen.Yes != alarm.Number {
		t.Fatalf("%q leads to step %d", gen.Text, gen.Yes)
	}
	if !strings.Contains(alarm.Text, "nobody sleeps inside") {
		t.Errorf("without an alarm: %q", alarm.Text)
	}
	if fuel := lineNote(t, s, "outage", "Fuel:"); !strings.Contains(fuel, "refuel") {
		t.Errorf("%q runs dry in the night", fuel)
	}
	if back := step(&c, "back"); strings.Contains(back.Text, "mains back on") {
		t.Errorf("%q: nobody on this card has switched it off", back.Text)
	}
	if says := lineNote(t, s, "outage", "thermometer decide"); !strings.Contains(says, "Cold:") || !strings.Contains(says, "eat:") {
		t.Errorf("a chilled tank of 27 °C in a room of 23 to 34 °C is told %q", says)
	}
}

// A window opened on a heat wave, and ice that no house has.
func TestAHotTankIsCooledWithWhatIsThere(t *testing.T) {
	c := bareCard("too-hot")
	if open := step(&c, "source"); !strings.Contains(open.Text, "if outside is cooler") {
		t.Errorf("%q lets the heat in", open.Text)
	}
	if ice := step(&c, "ice"); !strings.HasPrefix(ice.Text, "If any is here, ") {
		t.Errorf("%q: and without ice?", ice.Text)
	}
}

// A line that only pours away "before row 1" sends people to the card of batches, whose next steps mixed
// the batch of after row 1 on top of the water that row 1 takes.
func TestALineThatOnlyPoursEndsThere(t *testing.T) {
	s := siteOf(t, quarantine)
	f := gathered(t, s, Request{Playbook: "heater-break", Printed: time.Date(2026, 11, 27, 2, 0, 0, 0, time.UTC)})
	if len(f.Plan.Batches) == 0 || !slices.ContainsFunc(f.Plan.Prepared, func(p plan.Prepare) bool { return p.Pours() && !aCup(p) }) {
		t.Fatalf("no line pours away any more: %v", f.Plan.Prepared)
	}
	c := Builtin().Fill(Builtin().Find("mix-batch"), f)
	have, pour, more, purify := step(&c, "have"), step(&c, "pour-away"), step(&c, "adds"), step(&c, "purify")
	if !strings.Contains(have.Text, "line due") || !strings.Contains(have.Text, "none named: Yes") {
		t.Errorf("%q is answered no by a line that names none, and its vat is tagged", have.Text)
	}
	if more == nil || more.Number != pour.Number+1 || more.Yes != purify.Number || more.No != 0 {
		t.Errorf("after %q there is no way back", pour.Text)
	}
}

// "Write the rest as one more row" has no time, and what has no time is done at once: two steps of
// temperature in an hour.
func TestTheRestOfARowHasATime(t *testing.T) {
	for text, want := range map[string]string{caravan: "4 h later", quarantine: "2 h later"} {
		if says := lineOf(t, siteOf(t, text), "change-water", "small"); !strings.Contains(says, want) {
			t.Errorf("%q, want %q", says, want)
		}
	}
}

// "The fish need 3796 L in all" beside a tank of 2600 L.
func TestBinsAreNoLargerThanTheTank(t *testing.T) {
	s := siteOf(t, station)
	c := printedFor(t, s, "move-animals")
	if text := Text(c); strings.Contains(text, "3796 L") {
		t.Error("bins of 3796 L for a tank of 2600 L")
	}
	if says := lineNote(t, s, "move-animals", "air lasts"); !strings.Contains(says, "stay beside them with a jug") {
		t.Errorf("%q", says)
	}
}

// The toilet stood above the notice that metal stops a sewage works, and ten litres were to be kept back of
// the eight that a small tank's rows drain.
func TestWasteTellsOfTheSewerFirst(t *testing.T) {
	c := printedFor(t, siteOf(t, caravan), "waste")
	notice, toilet := 0, 0
	for i, ln := range linesOf(c) {
		if ln.Kind == CautionLine && strings.Contains(ln.Caution.Words(), "sewage works") {
			notice = i
		}
		if strings.Contains(ln.Text, "toilet") {
			toilet = i
		}
	}
	if notice == 0 || toilet < notice {
		t.Errorf("the toilet is line %d, the sewer's notice line %d", toilet, notice)
	}
	if text := c.Goal + step(&c, "keep").Text; strings.Contains(text, "10 L") {
		t.Errorf("%q", text)
	}
}

// Two tests in one line, one answer: whoever had the first read 6.5 mg/L of oxygen, and beside it
// "0.0 mg/L chlorine"; a card that is not in the house was to be taken.
func TestAnUnknownCauseIsReadOneTestALine(t *testing.T) {
	c := bareCard("unknown")
	if oxygen, chlorine := step(&c, "oxygen"), step(&c, "chlorine"); oxygen == nil || chlorine == nil || strings.Contains(oxygen.Text, "chlorine") {
		t.Errorf("%v", oxygen)
	}
	if other := step(&c, "other"); !strings.Contains(other.Text, "phone the keeper") {
		t.Errorf("%q: and without that card?", other.Text)
	}
}

// "Start every air pump" in a house that has none, in one line with the window.
func TestAfterTheGasAirComesFromWhatIsThere(t *testing.T) {
	if text := lineOf(t, siteOf(t, caravan), "gas-reactor", "air-now"); strings.Contains(text, "every air pump") {
		t.Error(text)
	}
}

// "Read a kitchen thermometer" in a house whose kit has one and lacks the meter; "less than ____ mL".
func TestWhatIsThereIsNotLookedForElsewhere(t *testing.T) {
	s := siteOf(t, caravan)
	if text := lineOf(t, s, "watch", "read"); strings.Contains(text, "kitchen") {
		t.Error(text)
	}
	if text := lineOf(t, s, "dosing-overrun", "gone"); strings.Contains(text, "____") {
		t.Errorf("%q is a question about a blank", text)
	}
}

// Of two events at once the second drew "90 L vat-b" that the first one's card empties and mixes: a reader
// of the second card alone found another water, or none. And its batch went into a vat that the other
// card's row had not left yet.
func TestAnotherCardsBatchIsNamed(t *testing.T) {
	at := time.Date(2026, 11, 27, 2, 0, 0, 0, time.UTC)
	f, err := Gather(demoSite(t), Request{Event: "pool-spill", Beside: []string{"halve-anything"}, Printed: at, At: &at})
	if err != nil {
		t.Fatal(err)
	}
	row1 := f.Plan.Steps[0]
	if !slices.ContainsFunc(row1.From, func(d plan.Draw) bool { return d.StoreID == "vat-b" && d.Batch == 0 }) {
		t.Fatalf("row 1 is from %v: no vat of the other card's any more", row1.From)
	}
	if says := f.verdict(); !strings.Contains(says, "vat-b") || !strings.Contains(says, "halve-anything") {
		t.Errorf("%q does not say who mixes vat-b", says)
	}
	for _, row := range f.batchTable().Rows {
		if row[0] == "1" && (row[2] != "vat-a" || !strings.Contains(row[1], "after row 2 of halve-anything")) {
			t.Errorf("batch 1 begins %q in %s, on which the other card draws before", row[1], row[2])
		}
	}
	if bins := f.binSays(); !strings.Contains(bins, "halve-anything") {
		t.Errorf("%q takes the other card's water", bins)
	}
}

// A chilled tank in a hot room had its pumps and "one heater at a time" on the generator.
func TestAChillerHangsOnTheGeneratorToo(t *testing.T) {
	c := printedFor(t, siteOf(t, station), "outage")
	if load := step(&c, "gen-load"); !strings.Contains(load.Text, "chiller") || !strings.Contains(load.Text, "stalls") {
		t.Errorf("%q", load.Text)
	}
}

// "Is anything at the plugs wet?" of plugs behind the stand: whoever cannot see them reset the breaker.
func TestAPlugThatNobodySeesIsNoDryPlug(t *testing.T) {
	c := bareCard("breaker-tripped")
	if signs := step(&c, "signs"); !strings.Contains(signs.Text, "out of sight") {
		t.Errorf("%q", signs.Text)
	}
	c = bareCard("gas-reactor")
	if shut := step(&c, "shut-now"); !strings.Contains(shut.Text, "surely") {
		t.Errorf("%q: whoever does not know opens the door", shut.Text)
	}
}

// "Lift tank water with a jug. Let it fall back" has no end: the floor is never mopped, the power never back.
func TestTheSkimmersJugHasAnEnd(t *testing.T) {
	for _, at := range everySite(t) {
		for _, ln := range stepsAt("skimmer-overflow", at) {
			for _, text := range []string{ln.Text, ln.Lacking} {
				if strings.Contains(text, "jug") && !strings.Contains(text, "min") {
					t.Fatalf("%q", text)
				}
			}
		}
	}
}

// One sheet of paper, and two pages of plain text for the line of what the card is not for.
func TestColdWaterIsAPageOfText(t *testing.T) {
	if c := demoCard(t, "too-cold"); len(textPages(c)) > len(Printed.Pages(c)) {
		t.Errorf("%d pages of text, %d of paper", len(textPages(c)), len(Printed.Pages(c)))
	}
}

// A child that drank from a dosing bottle: a parent who makes it vomit burns its throat once more.
func TestNobodyIsMadeToVomit(t *testing.T) {
	c := bareCard("person-hurt")
	if says := step(&c, "keep-label").Text; !strings.Contains(says, "never make them vomit") {
		t.Errorf("%q", says)
	}
}

// What another event's card does to a vat is named where it is done before this card draws on it; water
// that is poured away, or a batch of later, is not what stands in the vat.
func TestWhatAnotherCardMakesIsNamedInTime(t *testing.T) {
	f := &Facts{Beside: []string{"spill"}, Plan: &plan.Plan{Steps: []plan.Step{
		{N: 1, AtH: 2, From: []plan.Draw{{StoreID: "a"}}}, {N: 2, AtH: 6, From: []plan.Draw{{StoreID: "a", Batch: 1}, {StoreID: "b"}}},
	}}}
	for name, c := range map[string]struct {
		other plan.Plan
		want  string
	}{
		"lifted before":      {plan.Plan{Prepared: []plan.Prepare{{StoreID: "a", What: plan.Lift, ReadyH: 1}}}, "a"},
		"poured away":        {plan.Plan{Prepared: []plan.Prepare{{StoreID: "a", What: plan.Empty, ReadyH: 1}}}, ""},
		"mixed later":        {plan.Plan{Batches: []plan.Batch{{StoreID: "a", MixedH: 3}}}, ""},
		"mixed at the hour":  {plan.Plan{Batches: []plan.Batch{{StoreID: "a", MixedH: 2}, {StoreID: "b", MixedH: 6}}}, "a and b"},
		"this card's batch":  {plan.Plan{Batches: []plan.Batch{{StoreID: "a", MixedH: 5}}}, ""},
		"a vat not drawn on": {plan.Plan{Batches: []plan.Batch{{StoreID: "c", MixedH: 1}}}, ""},
	} {
		f.Others = []plan.Plan{c.other}
		want := ""
		if c.want != "" {
			want = " It mixes " + c.want + " first: see that this is done."
		}
		if got := f.besideSays(); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	} // Of two other cards each is named.
	named := func(id string, p plan.Plan) plan.Plan {
		p.Demand.Aims = []plan.Aim{{EventID: id}}
		return p
	}
	f.Others = []plan.Plan{named("spill", plan.Plan{}), named("leak", plan.Plan{Batches: []plan.Batch{{StoreID: "b", MixedH: 1}}})}
	if got, want := f.besideSays(), " leak mixes b first: see that this is done."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A dry power bar behind the tank is "out of sight": the note on the main breaker said "electrician
// first", and the house stood without power until one came.
func TestAHiddenDryPlugNeedsNoElectrician(t *testing.T) {
	c := bareCard("power-off")
	if main := step(&c, "main"); !strings.Contains(main.Text, "If wet, add: electrician first") || !strings.Contains(main.Text, "note on it") {
		t.Errorf("%q", main.Text)
	}
}
