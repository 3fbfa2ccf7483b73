package playbook

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"tidehold/refs/units"
	"tidehold/response/plan"

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

// A drum of 120 L with 90 L in it runs over five hours after the purifier was started, and
// nobody was told to stop it.
func TestThePurifierIsStopped(t *testing.T) {
	for _, text := range []string{school, point, shop} {
		if says := lineOf(t, siteOf(t, text), "mix-batch", "purify"); !strings.Contains(says, "shut it before it is full") {
			t.Errorf("%q: who shuts it?", says)
		}
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

// The reader has just pulled the cracked heater's plug: "was the plug out?" is yes.
func TestThePlugAskedForIsThatOfAWholeHeater(t *testing.T) {
	for _, text := range []string{school, lane, point} {
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

var bucketsAndRest = regexp.MustCompile(`(\d+) buckets?(?: \+ ([\d.]+) (gal|L))?`)

// "Each 4 buckets + 0.5 gal" of 2.6 gal are 10.9 gal, and the row says 11.1.
func TestBucketsComeToTheRow(t *testing.T) {
	for _, text := range []string{lane, school, home} {
		s := siteOf(t, text)
		f, err := Gather(s, Request{Playbook: "unknown", System: s.Systems[0].ID, Units: s.Units, Printed: site.DemoDate()})
		if err != nil {
			t.Fatal(err)
		}
		checked := 0
		for _, row := range f.changeTable().Rows {
			m := bucketsAndRest.FindStringSubmatch(row[6])
			if m == nil {
				continue
			}
			n, _ := strconv.ParseFloat(m[1], 64)
			rest, _ := strconv.ParseFloat(m[2], 64)
			want, got := f.printed(row[1]), n*f.printed(f.bucket())+rest*f.Units.LitresPer()
			if checked++; math.Abs(want-got) > 0.06*f.Units.LitresPer() {
				t.Errorf("%s: %s is %s of %s", s.Systems[0].ID, row[1], row[6], f.bucket())
			}
		}
		if checked == 0 {
			t.Errorf("%s: no row is carried", s.Systems[0].ID)
		}
	}
}

// A room of 58.0 °F holds vats of 58.0 °F, and 58.1 was the least that a small row took.
func TestTheColdestRoomsWaterIsTaken(t *testing.T) {
	for _, c := range []struct{ card, id string }{{"change-water", "usable"}, {"leak", "read-vat"}} {
		if says := lineOf(t, siteOf(t, lane), c.card, c.id); !strings.Contains(says, "58.0 to ") {
			t.Errorf("%s: %q refuses water as cold as the coldest room", c.card, says)
		}
	}
}

// The front stopped at 0.88 mg/L, card Samples at 500 µg/L, and the rows were planned for
// "ammonia_total". A kit reads mg/L.
func TestAmmoniaHasOneGoal(t *testing.T) {
	s := siteOf(t, school)
	page := ""
	for _, name := range []string{"ammonia", "change-water", "samples"} {
		f, err := Gather(s, Request{Playbook: "ammonia", Units: s.Units, Printed: site.DemoDate()})
		if err != nil {
			t.Fatal(err)
		}
		c := Builtin().Fill(Builtin().Find(name), f)
		if page = Text(c); strings.Contains(page, "ammonia_total") || strings.Contains(page, "µg/L") {
			t.Errorf("%s:\n%s", name, page)
		}
		if name != "change-water" && !strings.Contains(c.Goal, "0.500 mg/L") {
			t.Errorf("%s: the goal is %q", name, c.Goal)
		}
	}
}

// Six vats: the one of 35.5 was tagged for being what it should be, and one of 34.5 that had
// taken purified water in was let through.
func TestEveryVatHasItsOwnBand(t *testing.T) {
	for _, text := range []string{school, point} {
		s := siteOf(t, text)
		says := lineOf(t, s, "vat-overflow", "pure")
		for _, st := range s.Stores {
			if st.Holds == site.Saltwater && !strings.Contains(says, units.Fixed(float64(st.Water.Salinity)-saltBand, 1)+" to "+units.Fixed(float64(st.Water.Salinity)+saltBand, 1)) {
				t.Errorf("%q has no band for %s of %.1f", says, st.ID, st.Water.Salinity)
			}
		}
	}
}

// A goal of "at most 50 % of it" is no result that a laboratory sends, and a dosing pump's
// bottle is not looked for among metals.
func TestResultsCanBeComparedWithTheGoal(t *testing.T) {
	s := siteOf(t, school)
	page := Text(printedFor(t, s, "samples"))
	for _, word := range []string{"% is of bottle A", "alkalinity"} {
		if !strings.Contains(strings.Join(strings.Fields(page), " "), word) {
			t.Errorf("no %q in:\n%s", word, page)
		}
	}
}

// A house without a pH test stood before "Read the jug with a pH test".
func TestATestThatIsNotHereIsPassed(t *testing.T) {
	for _, text := range []string{school, lane, point} {
		if page := Text(printedFor(t, siteOf(t, text), "unknown")); !strings.Contains(page, "not here? Next line") {
			t.Errorf("five tests are asked for, whatever is here:\n%s", page)
		}
	}
}

// Two tanks, 25 °C and 14 °C: the card of the first was printed, and nothing on the page of a
// telephone said so.
func TestACardSaysForWhichTank(t *testing.T) {
	s := siteOf(t, school)
	for _, name := range everyName() {
		house := slices.Contains([]string{"person-hurt", "power-off", "waste", "contacts"}, name)
		c := printedFor(t, s, name)
		page, err := HTML(c.Title, Printed, c)
		if err != nil {
			t.Fatal(err)
		}
		for form, text := range map[string]string{"text": Text(c), "html": page, "markdown": Markdown(c)} {
			head, _, _ := strings.Cut(text, "[ ]")
			if form == "html" {
				_, head, _ = strings.Cut(text, "<h1")
				head, _, _ = strings.Cut(head, "<section")
			}
			if said := strings.Contains(strings.Join(strings.Fields(head), " "), "For tank "+c.System+" only."); said == house {
				t.Errorf("%s as %s: %v", name, form, said)
			}
		}
		if one := printedFor(t, siteOf(t, lane), name); strings.Contains(Text(one), "tank tank only") {
			t.Errorf("%s: a house of one tank has no other", name)
		}
	}
}

// A plan that was made at 17:22 lets a row wait for the morning; who starts at 3 waits ten hours
// for nothing.
func TestRowsThatWaitForTheMorningSaySo(t *testing.T) {
	s := siteOf(t, school)
	says := rowsTitle(t, s)
	if !strings.Contains(says, "07:30") || !strings.Contains(says, "3 h after the last") {
		t.Errorf("%q", says)
	}
	if says := rowsTitle(t, siteOf(t, lane)); strings.Contains(says, "Planned for a start at") {
		t.Errorf("%q where somebody is always up", says)
	}
	// In a binder the rows stand on other cards too.
	for _, c := range binderOf(t, s, "shore", site.DemoDate()) {
		for _, ln := range linesOf(c) {
			if ln.Table != nil && ln.Table.Name == "changes" && len(ln.Table.Rows) > 1 && !strings.Contains(ln.Table.Title, "Planned for a start at") {
				t.Errorf("%s: rows without the start they were planned for", c.Name)
			}
		}
	}
}

// rowsTitle stands above the rows of the site's first plan.
func rowsTitle(t *testing.T, s *site.Site) string {
	t.Helper()
	for _, ln := range linesOf(printedFor(t, s, "change-water")) {
		if ln.Table != nil && ln.Table.Name == "changes" {
			return ln.Table.Title
		}
	}
	return ""
}

// Water poor in oxygen was sent to card Power cut, which unplugs the skimmer that stirs air in; a
// low pH was one of two cards, of which one empties the house.
func TestTheFiveReadingsNameOneCard(t *testing.T) {
	for _, text := range []string{school, lane, point} {
		says := lineNote(t, siteOf(t, text), "unknown", "Its card")
		if strings.Contains(says, "Power cut") || !strings.Contains(says, "pH low") || !strings.Contains(says, "jug") {
			t.Errorf("%q", says)
		}
	}
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

// "Pour 481 L away" is 48 buckets and most of an hour, and the batch waits for it.
func TestWaterPouredByBucketIsCounted(t *testing.T) {
	f := &Facts{Stores: []site.Store{{ID: "tote"}}}
	if got := f.preparation(plan.Prepare{What: plan.Lower, StoreID: "tote", RemoveL: 481, Litres: 319}, true); !strings.Contains(got, "48 buckets, 48 min") {
		t.Errorf("%q", got)
	}
	pump := 900.0
	f.Stores[0].TransferLH = &pump
	if got := f.preparation(plan.Prepare{What: plan.Lower, StoreID: "tote", RemoveL: 481, Litres: 319}, true); strings.Contains(got, "bucket") {
		t.Errorf("%q, there is a pump", got)
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

// A long row of the front kept its clock: "clock" at the end of one line, "__:__" on the next.
func TestAClockStaysWithItsBlank(t *testing.T) {
	for _, text := range []string{school, point} {
		for _, name := range []string{"unknown", "heater-break", "chlorine"} {
			for _, ln := range strings.Split(Text(printedFor(t, siteOf(t, text), name)), "\n") {
				if strings.HasSuffix(strings.TrimSpace(ln), "clock") {
					t.Errorf("%s: %q", name, ln)
				}
			}
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

// "The same once more, never a third, 100 g/L by the table": the table's figure and the same are
// two doses.
func TestTheSecondDoseIsOne(t *testing.T) {
	f := &Facts{Profile: Corners()[0]}
	c := Builtin().Fill(Builtin().Find("chlorine"), f)
	if says := said(*step(&c, "dose-more")); !strings.Contains(says, "else the same") {
		t.Errorf("%q", says)
	}
}

// A school's reef with six devices, all by bucket: Change the water had a third page for its last
// line.
func TestChangeTheWaterHasTwoPages(t *testing.T) {
	for _, text := range []string{school, lane, point, rest, shop, home, lab} {
		s := siteOf(t, text)
		f, err := Gather(s, Request{Playbook: "unknown", System: s.Systems[0].ID, Units: s.Units, Printed: site.DemoDate()})
		if err != nil {
			t.Fatal(err)
		}
		if n := len(Printed.Pages(Builtin().Fill(Builtin().Find("change-water"), f))); n > 2 {
			t.Errorf("%s: %d pages", s.Systems[0].ID, n)
		}
	}
}

// A card that no event of the site names was planned from minute zero: people and power come first
// there too, and "done after" was half an hour early.
func TestEveryCardsPlanLeavesTimeForPeople(t *testing.T) {
	s := siteOf(t, school)
	ended := map[string]string{}
	for _, name := range []string{"unknown", "wrong-thing-in", "chlorine"} {
		f, err := Gather(s, Request{Playbook: name, Units: s.Units, Printed: site.DemoDate()})
		if err != nil {
			t.Fatal(err)
		}
		if lead := f.Plan.Demand.System.LeadH; lead != 0.5 || f.Plan.Steps[0].AtH < lead {
			t.Errorf("%s: the first change is at %.2f h, %.1f h are for people and power", name, f.Plan.Steps[0].AtH, lead)
		}
		ended[f.verdict()] = name
	}
	if len(ended) != 1 {
		t.Errorf("half of the reef within a day ends three ways: %v", ended)
	}
}

// 100 mL of a dosing bottle are missing, and the rows are for the whole bottle: ten changes in three
// days, with a test in the house that reads the goal after the first.
func TestRowsEndWhereATestReadsTheGoal(t *testing.T) {
	s := siteOf(t, school)
	for card, goal := range map[string]string{"dosing-overrun": "7.0 to 9.0 dKH", "ammonia": "0.500 mg/L or lower"} {
		if says := lineOf(t, s, card, "change"); !strings.Contains(says, "until") || !strings.Contains(says, goal) {
			t.Errorf("%s: %q does not end at the goal", card, says)
		}
	}
}

// A tank with a chiller and no heater is too warm: the first look went to heaters that are not
// there, and at the end one of them was to be plugged in.
func TestAColdTankHasNoHeaterToPointAt(t *testing.T) {
	for _, c := range []struct{ text, system string }{{school, "shore"}, {point, "kelp"}, {lab, "cold-table"}} {
		s := siteOf(t, c.text)
		if says := lineFor(t, s, c.system, "too-hot", "heaters"); !strings.Contains(says, "chiller") || strings.Contains(says, "heater") {
			t.Errorf("%s: the front says %q", c.system, says)
		}
		for _, id := range []string{"tag", "good"} {
			if says := lineFor(t, s, c.system, "too-hot", id); strings.Contains(says, "heater") {
				t.Errorf("%s: %q", c.system, says)
			}
		}
	}
	for _, text := range []string{school, lane, "systems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, volume: 150 L}]\n"} {
		if says := lineOf(t, siteOf(t, text), "too-hot", "heaters"); !strings.Contains(says, "each heater") {
			t.Errorf("%q: a heater that nobody listed may be stuck", says)
		}
	}
}

// A card without a site prints both ways: where the two are steps of their own, and not one step
// with "None here?", both are done. The batch's water went into the vat twice.
func TestNoStepStandsTwice(t *testing.T) {
	for _, name := range everyName() {
		c := bareCard(name)
		seen := map[string]int{}
		for _, ln := range linesOf(c) {
			first, _, _ := strings.Cut(ln.Text, ". ")
			first = strings.TrimSuffix(first, ".")
			// Steps that are done again on the way, or that send to a card, stand more than once on purpose.
			if !ln.Ticked() || ln.Card != "" || len(strings.Fields(first)) < 6 || strings.HasPrefix(first, "Put the power back on") {
				continue
			}
			if at, again := seen[first]; again && ln.Number == at+1 {
				t.Errorf("%s: steps %d and %d are both %q", name, at, ln.Number, first)
			}
			seen[first] = ln.Number
		}
	}
}
