package playbook

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"tidehold/refs/outside"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// What the cards were read at with fresh eyes: a restaurant's tank over a cold cellar with
// no purified water and no list of its kit, a shop's rack with one heater, a purifier and a
// pump, and a house that carries all by bucket.
const (
	rest = `systems:
  - id: dining-tank
    net_volume: 1500 L ± 6 %
    drawdown: 25 %
    change_every: 3 h
    water: {salinity: 34.5, temperature: 25 C, ph: 8.1, alkalinity: 8 dKH}
    ambient: {usual: 21 C, coldest: 16 C, hottest: 30 C}
    livestock: {fish_mass: 3.5 kg, fish_size: 120 g, sensitivity: fish}
    equipment: [{id: heater-left, kind: heater, power: 500 W}, {id: heater-right, kind: heater, power: 500 W}, {id: pump, kind: return, power: 120 W}, {id: refill, kind: top-off, reservoir: 60 L, flow: 12 L/h}]
stores:
  - {id: cellar-1, holds: saltwater, capacity: 500 L, volume: 460 L, heel: 15 L, salinity: 34, temperature: 15 C, transfer: 1200 L/h}
  - {id: cellar-2, holds: saltwater, capacity: 500 L, volume: 400 L, heel: 15 L, salinity: 36.5, temperature: 15 C, transfer: 1200 L/h}
salts: [{id: sack, on_hand: 20 kg, dose: 38 g/L}]
events:
  - {id: broken, system: dining-tank, playbook: heater-break, contaminant: copper, start: 40 ug/L, target: 10 ug/L, within: 3 d}
  - {id: spilled, system: dining-tank, playbook: wrong-thing-in, remove: 60 %, within: 24 h}
`
	shop = `systems:
  - id: rack
    net_volume: 720 L ± 10 %
    drawdown: 30 %
    change_every: 2 h
    water: {salinity: 33, temperature: 25.5 C, ph: 8.0, alkalinity: 8.5 dKH}
    ambient: {usual: 19 C, coldest: 10 C, hottest: 27 C}
    equipment: [{id: heater-sump, kind: heater, power: 600 W}, {id: return-pump, kind: return, power: 90 W}, {id: kalk, kind: doser, doses: alkalinity, reservoir: 3 L, strength: 1.9 meq/mL, flow: 20 mL/min}]
stores:
  - {id: tote, holds: saltwater, capacity: 400 L, volume: 220 L, heel: 10 L, salinity: 33.5, temperature: 19 C, heater: 300 W, transfer: 1000 L/h}
  - {id: keg, holds: purified, capacity: 200 L, volume: 150 L, heel: 5 L, temperature: 15 C, filled_by: purifier}
salts: [{id: pail, on_hand: 22 kg, dose: 37.5 g/L}]
purifier: {rate: 12 L/h, rated_at: 25 C, feed: 8 C}
mixing: {time: 12 h, emergency_time: 3 h, in: [tote]}
events:
  - {id: smell, system: rack, playbook: ammonia, remove: 70 %, within: 12 h}
`
	home = `units: us
systems:
  - id: reef
    net_volume: 95 gal ± 8 %
    drawdown: 35 %
    water: {salinity: 35, temperature: 78 F, ph: 8.2, alkalinity: 8.5 dKH}
    ambient: {usual: 68 F, coldest: 55 F, hottest: 86 F}
    equipment: [{id: heater, kind: heater, power: 250 W}, {id: wave, kind: circulation, power: 15 W}, {id: two-part, kind: doser, doses: alkalinity, reservoir: 1 gal, strength: 1.9 meq/mL, flow: 10 mL/min}]
stores:
  - {id: can, holds: saltwater, capacity: 44 gal, volume: 36 gal, heel: 1 gal, salinity: 35, temperature: 66 F}
  - {id: jugs, holds: purified, capacity: 20 gal, volume: 15 gal, heel: 0.5 gal, temperature: 64 F}
salts: [{id: box, on_hand: 30 lb, dose: 38 g/L}]
mixing: {time: 24 h, emergency_time: 4 h, in: [can]}
events:
  - {id: mystery, system: reef, playbook: unknown, remove: 50 %, within: 12 h}
`
)

// lineOf is what a step of a card says at a site, "" where it is not printed.
func lineOf(t *testing.T, s *site.Site, card, id string) string {
	t.Helper()
	c := printedFor(t, s, card)
	if ln := step(&c, id); ln != nil {
		return said(*ln)
	}
	return ""
}

var inTheFlow = regexp.MustCompile(`(?i)^(if [^,]*, )?(hang|lay|put|place|pull) .*\b(sump|filter|flow|beside it|out)\b`)

// The carbon goes in when the pumps are on again and a heater hangs in the sump: a hand that
// lays it there is a hand in live water.
func TestNoHandLaysTheCarbon(t *testing.T) {
	hung := 0
	for _, at := range slices.Concat(shippedSites(t), Corners(), []Profile{{}}) {
		c := Builtin().Fill(Builtin().Find("carbon"), &Facts{Profile: at})
		for _, ln := range linesOf(c) {
			if ln.Kind != StepLine || !inTheFlow.MatchString(ln.Text) || hasEffect(ln.Effects, "reach in") {
				continue
			}
			if hung++; !strings.Contains(ln.Text, "no hand in") && !strings.Contains(ln.Text, "by its string") {
				t.Fatalf("%q puts a hand into the flow, and nothing is switched off", ln.Text)
			}
		}
	}
	if hung == 0 {
		t.Error("nothing is hung any more")
	}
	// A keeper's own card is held to the same.
	if partsFrom("Hang a bag of it in the sump's fastest flow.", nil) == "" {
		t.Error("a bag is hung in the sump with no effect declared")
	}
	if found := partsFrom("Hang a bag of it by a string in the sump's flow, no hand in.", nil); found != "" {
		t.Error(found)
	}
}

// Carbon takes most in the first hour, while the animals are still calm: the answer "they are
// calm" must not lead past it.
func TestCalmAnimalsGetTheCarbonToo(t *testing.T) {
	for _, name := range []string{"wrong-thing-in", "unknown"} {
		c := Builtin().Fill(Builtin().Find(name), &Facts{Profile: Corners()[0]})
		if signs, carbon := step(&c, "signs"), step(&c, "carbon"); signs.No > carbon.Number || signs.No == 0 {
			t.Errorf("%s: calm animals lead to step %d, the carbon is step %d", name, signs.No, carbon.Number)
		}
	}
}

// The last resort for a vat out of its band takes the water that the rows pour: a vat of 15 °C
// by its row was refused for being colder than the coldest room, and nobody changed any water.
// The small row is so small that this water moves the tank by one step at most.
func TestTheLastResortTakesTheWaterOfTheRows(t *testing.T) {
	for _, text := range []string{rest, shop, home, class} {
		s := siteOf(t, text)
		f, err := Gather(s, Request{Playbook: "unknown", System: s.Systems[0].ID, Units: 0, Printed: site.DemoDate()})
		if err != nil {
			t.Fatal(err)
		}
		usable, _ := f.vatUsable(math.Inf(1))
		var saltLow, saltHigh, low, high float64
		if _, err := fmt.Sscanf(usable, "%g to %g salinity, %g to %g", &saltLow, &saltHigh, &low, &high); err != nil {
			t.Fatal(usable, err)
		}
		for _, row := range f.Plan.Steps {
			for _, d := range row.From {
				if d.Temperature < low-0.01 || d.Temperature > high+0.01 {
					t.Errorf("%s: row %d pours %s of %.1f °C, the last resort is %q", s.Systems[0].ID, row.N, d.StoreID, d.Temperature, usable)
				}
			}
		}
		sys := s.Systems[0]
		if fall := *f.SmallChangeL / *f.NetL * (float64(sys.Water.Temperature) - low); fall > sys.Limits.TemperatureStep*1.001 {
			t.Errorf("%s: %.0f L of %.1f °C cool the tank by %.2f °C", sys.ID, *f.SmallChangeL, low, fall)
		}
	}
}

// A tank whose hose is mended is filled from the vats there are, in a room without power: no
// heater will bring a cold vat into the tank's own band. Pumps run as soon as they stand in water.
func TestALeakIsFilledFromTheVatsThereAre(t *testing.T) {
	outside.Alone(t)
	for _, text := range []string{rest, shop, home} {
		s := siteOf(t, text)
		usable := ""
		f, err := Gather(s, Request{Playbook: "leak", System: s.Systems[0].ID, Units: s.Units, Printed: site.DemoDate()})
		if err == nil {
			usable, _ = f.field("vat_refill")
		}
		var saltLow, saltHigh float64
		if _, err := fmt.Sscanf(usable, "%g to %g salinity", &saltLow, &saltHigh); err != nil || (saltHigh-saltLow)/4 > s.Systems[0].Limits.SalinityPerDay+0.1 {
			t.Errorf("half a tank of %q moves the salt by more than a day's limit: %v", usable, err)
		}
		if read := lineOf(t, s, "leak", "read-vat"); !strings.Contains(read, usable) || usable == "" {
			t.Errorf("%s: %q, the vats are usable at %s", s.Systems[0].ID, read, usable)
		}
		c := printedFor(t, s, "leak")
		fill, on, full := step(&c, "fill"), step(&c, "on"), step(&c, "to-mark")
		if full == nil || !(fill.Number < on.Number && on.Number < full.Number) || !strings.Contains(fill.Text, "under water") {
			t.Errorf("%s: the pumps stand still until the tank is full to its mark: %q", s.Systems[0].ID, fill.Text)
		}
	}
}

// A house with one heater: what was not at fault comes back on, or the tank is as cold as the
// room by morning.
func TestTheOneHeaterComesBack(t *testing.T) {
	for _, text := range []string{rest, shop, home} {
		if says := lineOf(t, siteOf(t, text), "too-hot", "good"); !strings.Contains(says, "lug in") || !strings.Contains(says, "tag") {
			t.Errorf("%q: a heater without fault stays out", says)
		}
	}
	// Which one was at fault is seen before the plug is out.
	c := printedFor(t, siteOf(t, shop), "too-hot")
	if text := step(&c, "heaters").Text; !strings.Contains(text, "lamp") || strings.Index(text, "lamp") > strings.Index(text, "nplug") {
		t.Errorf("%q: nobody has seen the lamp", text)
	}
}

// The rows are planned for a tank at its own salinity; into a fresh one they bring more than a
// day's limit in hours. The step that sends people to them says when to stop for the day.
func TestSaltComesBackByTheDay(t *testing.T) {
	outside.Alone(t)
	for _, text := range []string{rest, shop, home, class} {
		s := siteOf(t, text)
		day := fmt.Sprintf("%.1f salinity", s.Systems[0].Limits.SalinityPerDay)
		for _, name := range []string{"top-off-overrun", "skimmer-overflow"} {
			if says := lineOf(t, s, name, "change"); !strings.Contains(says, day) || !strings.Contains(says, "24 h") {
				t.Errorf("%s: %q does not stop at %s", name, says, day)
			}
			if says := lineOf(t, s, name, "salt"); !strings.Contains(says, "Write it") {
				t.Errorf("%s: %q is nowhere written down", name, says)
			}
		}
	}
}

// A house without purified water has salt for the vat that a line says to salt: it is sent to
// that line, and no step there calls it off.
func TestAVatIsSaltedWithoutPurifiedWater(t *testing.T) {
	s := siteOf(t, rest)
	f, err := Gather(s, Request{Playbook: "wrong-thing-in", Units: s.Units, Printed: site.DemoDate()})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(f.Plan.Prepared, func(p plan.Prepare) bool { return p.SaltKg > 0 }) {
		t.Skip("the plan salts no vat any more")
	}
	c := printedFor(t, s, "change-water")
	if mix := step(&c, "mix"); mix.Card != "mix-batch" {
		t.Errorf("%q: nobody salts the vat", mix.Text)
	}
	for _, ln := range linesOf(printedFor(t, s, "mix-batch")) {
		if ln.Kind == StepLine && ln.ID != "bad" && regexp.MustCompile(`(?i)phone another keeper|purified water in store`).MatchString(said(ln)) {
			t.Errorf("%q calls off what the line asks for", said(ln))
		}
	}
}

// "5 buckets, 1.0 gal" was read as five buckets of one gallon.
func TestBucketsAddUp(t *testing.T) {
	f := &Facts{}
	for amount, want := range map[string]string{"54 L": "5 buckets + 4 L", "50 L": "5 buckets", "4 L": "4 L", "10.5 L": "1 bucket + 0.5 L"} {
		if got := f.bucketsOf(amount); got != want {
			t.Errorf("%s: %q, want %q", amount, got, want)
		}
	}
}

// The purifier runs into its own vat: "a clean vat" may hold the saltwater of the night.
func TestThePurifierHasItsVat(t *testing.T) {
	if says := lineOf(t, siteOf(t, shop), "mix-batch", "purify"); !strings.Contains(says, "keg") || strings.Contains(says, "tote") {
		t.Errorf("%q", says)
	}
	if c := bareCard("mix-batch"); strings.Contains(step(&c, "purify").Text, "a clean vat") {
		t.Errorf("%q", step(&c, "purify").Text)
	}
}

// A vat that reads 33.9 is not spoilt because it was mixed to 34.0.
func TestAVatsSaltIsABand(t *testing.T) {
	if says := lineOf(t, siteOf(t, rest), "vat-overflow", "pure"); !strings.Contains(says, "33.5 to 34.5 salinity (cellar-1)") || !strings.Contains(says, "36.0 to 37.0 salinity (cellar-2)") {
		t.Errorf("%q", says)
	}
}

// The likeliest result of bottle A is what the plan began at: the table has a line for it, and
// the goal of the front is the number the laboratory writes.
func TestEveryResultHasALine(t *testing.T) {
	s := siteOf(t, rest)
	c := printedFor(t, s, "samples")
	f, err := Gather(s, Request{Playbook: "heater-break", Units: s.Units, Printed: site.DemoDate()})
	if err != nil {
		t.Fatal(err)
	}
	rows := f.ladderATable().Rows
	if last := rows[len(rows)-1]; regexp.MustCompile(`\d+ to \d+`).MatchString(last[1]) || !strings.Contains(last[0], "more") {
		t.Errorf("a result of 40 µg/L has no line: %v", rows)
	}
	front := printedFor(t, s, "heater-break")
	if !strings.Contains(front.Goal, "10.0 µg/L") {
		t.Errorf("%q, and %q", front.Goal, c.Goal)
	}
}

// No vat holds 100 L: what mends it is looked up by what it holds, and each step is one helping, read again after it.
func TestMendingIsLookedUp(t *testing.T) {
	for _, text := range []string{rest, shop, home} {
		s := siteOf(t, text)
		for _, name := range []string{"change-water"} {
			c := printedFor(t, s, name)
			if says := lineOf(t, s, name, "too-fresh"); regexp.MustCompile(`\bin (100 L|10 gal)\b`).MatchString(says) {
				t.Errorf("%s: a sum: %q", name, says)
			}
			var table *Table
			for _, ln := range linesOf(c) {
				if ln.Table != nil && ln.Table.Name == "mend" {
					table = ln.Table
				}
			}
			if table == nil {
				t.Fatalf("%s: no table", name)
			}
			// The last column is the fullest vat; salt is the salt's dose over its salinity.
			fullest, kg := 0.0, s.Salts[0].DoseGL/1000/float64(s.Salts[0].DoseSalinity)
			for _, st := range s.Stores {
				if st.Holds == site.Saltwater {
					fullest = max(fullest, st.Volume.InexactFloat64())
				}
			}
			f := &Facts{Units: s.Units}
			at := f.printed(table.Header[len(table.Header)-1])
			if at < fullest*0.98 || at > fullest*1.02 {
				t.Errorf("%s: the table ends at %v, a vat holds %.0f L", name, table.Header, fullest)
			}
			if want := s.Units.Mass(kg*at, 0); !strings.Contains(fmt.Sprint(table.Rows), want) {
				t.Errorf("%s: %s in %v", name, want, table.Rows)
			}
		}
	}
}

// A spoon is what is at hand, a bottle is marked in mL, and a test above the number is above it.
func TestSmallNumbersAreThoseOfTheHand(t *testing.T) {
	outside.Alone(t)
	s := siteOf(t, rest)
	if says := lineOf(t, s, "chlorine", "dose"); !strings.Contains(says, "15 g (4 level teaspoons) vitamin C") {
		t.Errorf("%q", says)
	}
	for _, text := range []string{rest, home} {
		if says := lineOf(t, siteOf(t, text), "dosing-overrun", "level"); !strings.Contains(says, "mL gone") {
			t.Errorf("%q, and the next step counts mL", says)
		}
	}
	if says := lineOf(t, s, "ammonia", "acute"); !strings.Contains(says, "or more") {
		t.Errorf("%q", says)
	}
	if says := lineOf(t, s, "mix-batch", "stir"); !strings.Contains(says, "stick") {
		t.Errorf("%q: nothing moves the water", says)
	}
	if says := lineOf(t, s, "breaker-tripped", "rest"); !strings.Contains(says, "tagged") {
		t.Errorf("%q plugs in what tripped it", says)
	}
	for _, row := range func() [][]string {
		f, err := Gather(s, Request{Playbook: "unknown", Units: s.Units, Printed: site.DemoDate()})
		if err != nil {
			t.Fatal(err)
		}
		return f.changeTable().Rows
	}() {
		// 149 L at 1200 L/h: 7.5 min out and as much in; 15 min told nobody when to stop the pump.
		if row[0] == "1" && row[6] != "8+8 min" {
			t.Errorf("the pump drains for %q", row[6])
		}
	}
}

// A card never takes a third page, and no page of its plain text has the last line alone: "Fire
// card complete" was a sheet of its own.
func TestNoPageForTheLastLine(t *testing.T) {
	outside.Alone(t)
	for _, text := range []string{rest, shop} {
		s := siteOf(t, text)
		for _, c := range binderOf(t, s, s.Systems[0].ID, site.DemoDate()) {
			if n := len(Printed.Pages(c)); n > 2 && c.Name != "change-water" {
				t.Errorf("%s: %s has %d pages", s.Systems[0].ID, c.Name, n)
			}
			pages := strings.Split(Text(c), "continues on the next page")
			for _, p := range pages {
				if lines := strings.Count(strings.TrimSpace(p), "\n"); len(pages) > 1 && lines < 5 || lines > 62 {
					t.Errorf("%s: a page of %d lines", c.Name, lines)
				}
			}
		}
	}
}

// "At once" beside a batch was read above the steps, before people and power were safe: it
// begins before a row or after one, and the card of the rows sends people to it.
func TestABatchWaitsForTheSteps(t *testing.T) {
	outside.Alone(t)
	first := 0
	for _, f := range plansOf() {
		for _, row := range f.batchTable().Rows {
			if strings.Contains(row[1], "at once") || strings.Contains(row[1], "+0 ") {
				t.Errorf("%s %s: batch %s begins %s", f.Site, f.Event, row[0], row[1])
			}
			if row[1] == "before row 1" {
				first++
			}
		}
	}
	if first == 0 {
		t.Error("no batch begins before row 1 any more")
	}
	if says := lineOf(t, siteOf(t, class), "change-water", "mix"); !strings.Contains(says, "before row 1") {
		t.Errorf("%q does not say which batch", says)
	}
}

// Ice is weighed by the bag, and a bag too much is a degree too much.
func TestIceIsWeighedByHand(t *testing.T) {
	for _, text := range []string{rest, shop, class, hall} {
		s := siteOf(t, text)
		f, err := Gather(s, Request{Playbook: "too-hot", System: s.Systems[0].ID, Units: s.Units, Printed: site.DemoDate()})
		if err != nil || f.IceKg == nil {
			t.Fatal(err)
		}
		var amount float64
		var unit string
		shown, _ := f.field("ice_kg")
		if _, err := fmt.Sscan(shown, &amount, &unit); err != nil {
			t.Fatal(shown, err)
		}
		kg := map[string]float64{"kg": 1, "lb": 0.45359237}[unit] * amount
		if !(kg <= *f.IceKg) || kg < *f.IceKg*0.8 || regexp.MustCompile(`\d\.\d\d`).MatchString(shown) {
			t.Errorf("%s: %s of ice for %.2f kg", s.Systems[0].ID, shown, *f.IceKg)
		}
	}
}

// Whoever comes late to a vat with a heater finds it nearer to the tank than planned: that is
// better water, and no reason to make the row small.
func TestAWarmerVatIsNotOutside(t *testing.T) {
	outside.Alone(t)
	later := 0
	for _, f := range plansOf() {
		if f.Units != 0 {
			continue // °F are the same degrees
		}
		at := 0
		n, _ := f.printedRows()
		for _, s := range f.Plan.Steps[:n] {
			for _, k := range f.changeRow(s).poured() {
				d := s.From[k]
				row := f.changeTable().Rows[at]
				at++
				var low, high float64
				if _, err := fmt.Sscanf(row[3], "%g–%g", &low, &high); err != nil {
					t.Fatal(row, err)
				}
				set := float64(f.Water.Temperature)
				if d.Temperature < set-1.5 {
					later++
				}
				if set < low-0.06 || set > high+0.06 || d.Temperature-low > 1.06 && set > d.Temperature || high-d.Temperature > 1.06 && set < d.Temperature {
					t.Errorf("%s %s row %d: %s for water of %.1f °C and a tank of %.1f", f.Site, f.Event, s.N, row[3], d.Temperature, set)
				}
			}
		}
	}
	if later == 0 {
		t.Error("no vat is colder than its tank any more")
	}
}
