package readiness

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"tidehold/volumes/site"
)

// head is a system of 400 L of which half may be out at once, and water that
// matches it, moved at 1000 L/h: a change of 200 L takes 12 min out and 12 min in.
const head = `format: 1
systems:
  - id: tank
    net_volume: 400 L
    drawdown: 50 %
    change_every: 4 h
    lead: 0 h
    least_change: 0 %
    water: {salinity: 35, temperature: 25 C, alkalinity: 8 dKH}
    limits: {temperature_step: 1 C, temperature_per_day: 2 C, salinity_step: 1, salinity_per_day: 2, alkalinity_per_day: 1 dKH}
`

// vat is a store of matching water that holds litres of 600 L.
func vat(litres string) string {
	return "stores:\n  - {id: vat, holds: saltwater, capacity: 600 L, volume: " + litres + ", salinity: 35, temperature: 25 C, mixed: 2026-11-20, max_age: 30 d, transfer: 1000 L/h, background: {copper: 1 ug/L}}\n"
}

const halve = "events: [{id: halve, system: tank, playbook: unknown-substance, remove: 50 %, within: 2 h}]\n"

// load reads a site that must be sound.
func load(t testing.TB, text string) *site.Site {
	t.Helper()
	s, faults := site.Load("site.yaml", []byte(text))
	for _, f := range faults {
		t.Error(f)
	}
	if s == nil {
		t.Fatalf("no site from:\n%s", text)
	}
	return s
}

// judged is the answer for a site at the tests' moment.
func judged(t testing.TB, text string) Result {
	t.Helper()
	r, err := Judge(load(t, text), now, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// answers are those of random houses, by what is written of them.
var answers sync.Map

// judgedOnce is judged for houses that several tests draw and only read of: each is judged once.
func judgedOnce(t testing.TB, text string) Result {
	t.Helper()
	r, ok := answers.Load(text)
	if !ok {
		r, _ = answers.LoadOrStore(text, judged(t, text))
	}
	return r.(Result)
}

// near compares an optional number with what was worked out by hand.
func near(t testing.TB, what string, got *float64, want, tolerance float64) {
	t.Helper()
	if got == nil || !(math.Abs(*got-want) <= tolerance) {
		t.Errorf("%s: %v, want %g", what, show(got), want)
	}
}

// asJSON is a result as the command prints it.
func asJSON(t interface{ Fatal(...any) }, r any) string {
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func show(x *float64) any {
	if x == nil {
		return "none"
	}
	return *x
}

// fixOf finds the remedy of a kind.
func fixOf(e Event, what Remedy) *Fix {
	for i := range e.Fixes {
		if e.Fixes[i].What == what {
			return &e.Fixes[i]
		}
	}
	return nil
}

// TestCovered: half of 400 L is one change of 200 L; 250 L are there. Pumped at
// 1000 L/h it takes 0.4 h. 250/200 = 1.25.
func TestCovered(t *testing.T) {
	r := judged(t, head+vat("250 L")+halve)
	e := r.Events[0]
	if r.Verdict != Covered || e.Verdict != Covered || e.Changes != 1 || len(e.Fixes) != 0 || len(r.Shopping) != 0 {
		t.Errorf("%+v", e)
	}
	near(t, "demand", e.DemandL, 200, 1e-9)
	near(t, "coverage", e.Coverage, 1.25, 1e-9)
	near(t, "done", e.DoneAtH, 0.4, 1e-9)
	near(t, "usable", &e.UsableNowL, 250, 1e-9)
	near(t, "first change", &e.FirstChangeL, 200, 1e-9)
	near(t, "pumping", &e.Work.PumpMin, 24, 1e-9)
	if len(e.Steps) != 1 || e.Steps[0].From[0].StoreID != "vat" || !(math.Abs(e.Steps[0].Levels[0].After-0.5) <= 1e-9) {
		t.Errorf("steps %+v", e.Steps)
	}
	if e.Reason != "done after 24 min of the 2 h allowed" {
		t.Errorf("reason %q", e.Reason)
	}
}

// TestShort: 150 L leave 1 − 150/400 = 62.5 %; to reach half, 1 − 0.5/0.625 = 20 %
// more has to go: 80 L. Had there been 50 L more at once, 200 L would have done.
func TestShort(t *testing.T) {
	r := judged(t, head+vat("150 L")+halve)
	e := r.Events[0]
	if r.Verdict != Short || e.DoneAtH != nil || e.Bottleneck == "" {
		t.Errorf("%+v", e)
	}
	near(t, "coverage", e.Coverage, 0.75, 1e-9)
	near(t, "lacking", e.LackingL, 50.2, 0.3)
	f := fixOf(e, StoredSaltwater)
	if f == nil || f.Amount < 50 || f.Amount > 50.25 || f.Where != "vat" || f.NeedsRoomL != 0 {
		t.Errorf("fix %+v", e.Fixes)
	}
	if len(e.Fixes) != 1 || len(r.Shopping) != 1 || len(r.Shopping[0].Covers) != 1 || r.Shopping[0].Covers[0] != "halve" || r.Shopping[0].What != StoredSaltwater {
		t.Errorf("fixes %+v, shopping %+v", e.Fixes, r.Shopping)
	}
}

// TestShortWithoutRoom: the vat is full at 150 L, so the 50 L need a container.
func TestShortWithoutRoom(t *testing.T) {
	text := strings.ReplaceAll(head+vat("150 L")+halve, "capacity: 600 L", "capacity: 150 L")
	f := fixOf(judged(t, text).Events[0], StoredSaltwater)
	if f == nil || f.NeedsRoomL != f.Amount || f.Where != newContainer || f.Amount < 50 {
		t.Errorf("fix %+v", f)
	}
}

// TestLateByInterval: 75 % takes two changes of 200 L (0.5 · 0.5 = 0.25), four
// hours apart: done at 4.4 h, 2.4 h after the deadline. No water helps.
func TestLateByInterval(t *testing.T) {
	r := judged(t, head+vat("500 L")+strings.Replace(halve, "50 %", "75 %", 1))
	e := r.Events[0]
	if r.Verdict != Late || e.Changes != 2 {
		t.Errorf("%+v", e)
	}
	near(t, "done", e.DoneAtH, 4.4, 1e-9)
	near(t, "demand", e.DemandL, 400, 1e-9)
	if e.Bottleneck != "interval" && e.Bottleneck != "drawdown" {
		t.Errorf("held back by %q", e.Bottleneck)
	}
	f := fixOf(e, MoreTime)
	if len(e.Fixes) != 1 || f == nil || f.Amount < 2.4 || f.Amount > 2.4*1.006 || f.Unit != "h" {
		t.Errorf("fixes %+v", e.Fixes)
	}
}

// mixing is an empty vat, purified water and salt for far more than 200 L.
const making = `stores:
  - {id: vat, holds: saltwater, capacity: 600 L, volume: 0 L, salinity: 35, temperature: 25 C, transfer: 1000 L/h}
  - {id: pure, holds: purified, capacity: 600 L, volume: 400 L, temperature: 25 C}
salts: [{id: house, on_hand: 20 kg, dose: 38.4 g/L, dose_at: {salinity: 35, temperature: 25 C, per: finished}, price: 3.00, bag: 10 kg, makes: {alkalinity: 8 dKH}}]
mixing: {time: 12 h, emergency_time: 3 h}
`

// TestLateByMixing: the batch is mixed for 3 h, the change takes 0.4 h: 3.4 h, and
// 2 h are allowed. Stored water mends it: 200 L.
func TestLateByMixing(t *testing.T) {
	e := judged(t, head+making+halve).Events[0]
	if e.Verdict != Late || e.Bottleneck != "mixing time" {
		t.Errorf("%s, held back by %q", e.Verdict, e.Bottleneck)
	}
	near(t, "done", e.DoneAtH, 3.4, 1e-6)
	if f := fixOf(e, StoredSaltwater); f == nil || f.Amount < 200 || f.Amount > 201 {
		t.Errorf("fixes %+v", e.Fixes)
	}
	if f := fixOf(e, MoreTime); f == nil || f.Amount < 1.4 || f.Amount > 1.4*1.006 {
		t.Errorf("fixes %+v", e.Fixes)
	}
	// 200 L at 38.4 g/L are 7.68 kg; 3.00 a kilogram.
	if f := fixOf(e, StoredSaltwater); f != nil {
		near(t, "cost", f.Cost, f.Amount*0.0384*3, 0.011)
	}
}

// TestShortOfSalt: 200 L at 38.4 g/L take 7.68 kg; 5 kg are there.
func TestShortOfSalt(t *testing.T) {
	text := strings.Replace(head+making+halve, "on_hand: 20 kg", "on_hand: 5 kg", 1)
	text = strings.Replace(text, "within: 2 h", "within: 12 h", 1)
	r := judged(t, text)
	e := r.Events[0]
	if e.Verdict != Short || e.Bottleneck != "salt" {
		t.Errorf("%s, held back by %q", e.Verdict, e.Bottleneck)
	}
	f := fixOf(e, MoreSalt)
	if f == nil || f.Amount < 2.67 || f.Amount > 2.70 || f.Unit != "kg" || f.Where != "house" {
		t.Errorf("fixes %+v", e.Fixes)
	} else {
		near(t, "cost", f.Cost, f.Amount*3, 0.011)
	}
	if len(r.Shopping) != 1 || r.Shopping[0].What != MoreSalt {
		t.Errorf("shopping %+v", r.Shopping)
	}
}

// TestMoreChangesThanAPlanHolds: 8 L of 400 L at a time against a source, from 60 to
// 1.3 µg/L: far more changes than a plan holds are still ahead. No infinity reaches the answer.
func TestMoreChangesThanAPlanHolds(t *testing.T) {
	r := judged(t, `format: 1
systems: [{id: tank, net_volume: 400 L, drawdown: 2 %, change_every: 1 h}]
stores: [{id: vat, holds: saltwater, volume: 1500 L}]
events: [{id: halve, system: tank, contaminant: copper, start: 60 ug/L, target: 1.3 ug/L, within: 24 h, source: 0.01 mg/h}]
`)
	e := r.Events[0]
	if e.Verdict != Short || e.LackingL != nil || e.DemandL == nil || *e.DemandL < 8*150 || strings.Contains(e.Reason, "Inf") {
		t.Errorf("%s, demand %v, lacking %v: %s", e.Verdict, e.DemandL, e.LackingL, e.Reason)
	}
	if !strings.Contains(e.Reason, "more stored water alone") {
		t.Errorf("reason %q", e.Reason)
	}
	if _, err := json.Marshal(r); err != nil {
		t.Error(err)
	}
}

// TestTogetherSaysHowMuchIsLacking: 300 L are there. The first takes 60 % of 200 L in
// two changes of at most 80 L: 146.7 L; of the 160 L for the second 153.3 L are left, so 6.7 L
// more, had they been there, would have done.
func TestTogetherSaysHowMuchIsLacking(t *testing.T) {
	r := judged(t, `format: 1
systems:
  - {id: a, net_volume: 400 L, drawdown: 40 %, water: {salinity: 35, temperature: 25 C}}
  - {id: b, net_volume: 200 L, drawdown: 40 %, water: {salinity: 35, temperature: 25 C}}
stores: [{id: v, holds: saltwater, volume: 300 L, capacity: 600 L, temperature: 25 C, salinity: 35}]
events:
  - {id: e, system: a, remove: 40 %, within: 12 h, priority: 2}
  - {id: f, system: b, remove: 60 %, within: 24 h, priority: 1}
together: [[e, f]]
`)
	if len(r.Together) != 1 || r.Together[0].Reason != "e is never done; 6.7 L more saltwater at the start (salinity 35.0, 25.0 °C) would do" {
		t.Errorf("%+v", r.Together)
	}
}

// TestNotEvenOneChange: nothing is stored and nothing can be made.
func TestNotEvenOneChange(t *testing.T) {
	e := judged(t, head+halve).Events[0]
	if e.Verdict != Short || !strings.HasPrefix(e.Reason, "never done: no change can be made, limited by water on hand; 200 L more saltwater at the start (salinity 35.0, 25.0 °C) would do") {
		t.Errorf("%s: %s", e.Verdict, e.Reason)
	}
}

// TestShortOfPurifiedWater: 100 L of purified water make about 101 L.
func TestShortOfPurifiedWater(t *testing.T) {
	text := strings.Replace(head+making+halve, "volume: 400 L, temp", "volume: 100 L, temp", 1)
	text = strings.Replace(text, "within: 2 h", "within: 12 h", 1)
	e := judged(t, text).Events[0]
	if e.Verdict != Short || e.Bottleneck != "purified water" {
		t.Errorf("%s, held back by %q", e.Verdict, e.Bottleneck)
	}
	// 200 L at 35 and 25 °C weigh 204.67 kg (1023.343 kg/m³), of which 7.68 kg are
	// mix: 196.99 kg, 197.57 L of purified water (997.048 kg/m³); 100 L are there.
	// Densities: EOS-80, UNESCO technical papers in marine science 44 (1983), p. 19.
	f := fixOf(e, StoredPurified)
	if f == nil || f.Amount < 97.55 || f.Amount > 98.1 {
		t.Errorf("fixes %+v", e.Fixes)
	}
}

// TestUnreachable: the new water brings 1 µg/L of copper; 0.9 can never be reached.
func TestUnreachable(t *testing.T) {
	r := judged(t, head+vat("500 L")+"events: [{id: copper, system: tank, contaminant: copper, start: 60 ug/L, target: 0.9 ug/L, within: 72 h}]\n")
	e := r.Events[0]
	if r.Verdict != Unreachable || e.DemandL != nil || e.Coverage != nil || len(e.Fixes) != 0 {
		t.Errorf("%+v", e)
	}
	if text := asJSON(t, r); !strings.Contains(text, `"lacking_l":null`) {
		t.Error(text)
	}
	if !strings.Contains(e.Reason, "copper") || !strings.Contains(e.Reason, "1.00 µg/L") {
		t.Errorf("reason %q", e.Reason)
	}
}

// TestSmallestPair: three quarters take two changes, done at 4.4 h and 2 h are
// allowed, and 400 L, of which 300 L are there. Water alone comes too late, time
// alone brings no water: it takes both.
func TestSmallestPair(t *testing.T) {
	e := judged(t, head+vat("300 L")+strings.Replace(halve, "50 %", "75 %", 1)).Events[0]
	if e.Verdict != Short || len(e.Fixes) != 1 {
		t.Fatalf("%+v", e)
	}
	f := e.Fixes[0]
	if f.What != StoredSaltwater || f.Amount < 100 || f.Amount > 100.5 || f.With == nil || f.With.What != MoreTime || f.With.Amount < 2.4 || f.With.Amount > 2.4*1.006 {
		t.Errorf("%+v with %+v", f, f.With)
	}
}

// TestRoutineComesFirst: 250 L cover the event, but the regular change takes 90.
func TestRoutineComesFirst(t *testing.T) {
	r := judged(t, head+vat("250 L")+halve+"routine: [{system: tank, volume: 90 L, every: 7 d}]\n")
	near(t, "usable", &r.Events[0].UsableNowL, 160, 1e-9)
	if r.Verdict != Short || r.WorstDay.DrawnL != 90 {
		t.Errorf("%+v", r)
	}
}

// TestDeliveryCounts: 150 L are too little for half of 400 L; with 100 L more that
// come after an hour it is done in time.
func TestDeliveryCounts(t *testing.T) {
	text := head + vat("150 L") + strings.Replace(halve, "2 h", "5 h", 1)
	if e := judged(t, text).Events[0]; e.Verdict != Short {
		t.Errorf("without the delivery %+v", e)
	}
	e := judged(t, text+"deliveries: [{after: 1 h, saltwater: 100 L, salinity: 35, temperature: 25 C}]\n").Events[0]
	if e.Verdict != Covered || *e.DoneAtH < 1 {
		t.Errorf("%+v", e)
	}
}

// TestOverAgeWaterIsNotCounted.
func TestOverAgeWaterIsNotCounted(t *testing.T) {
	r := judged(t, strings.Replace(head+vat("250 L")+halve, "2026-11-20", "2026-09-20", 1))
	if r.Verdict != Short || r.Events[0].UsableNowL != 0 || r.Ages[0].Counted {
		t.Errorf("%+v", r)
	}
}

// TestTogether: each event alone is covered by 300 L, both at once are not.
func TestTogether(t *testing.T) {
	second := strings.Replace(strings.TrimPrefix(head, "format: 1\nsystems:\n"), "id: tank", "id: pool", 1)
	text := head + second + vat("300 L") + `events:
  - {id: one, system: tank, remove: 50 %, within: 2 h, priority: 1}
  - {id: two, system: pool, remove: 50 %, within: 2 h, priority: 2}
together: [[one, two]]
`
	r := judged(t, text)
	if r.Events[0].Verdict != Covered || r.Events[1].Verdict != Covered || len(r.Together) != 1 {
		t.Fatalf("%+v", r)
	}
	c := r.Together[0]
	if c.Verdict != Short || r.Verdict != Short || c.Each[0].Verdict != Covered || c.Each[1].Verdict != Short {
		t.Errorf("%+v", c)
	}
	near(t, "demand", &c.DemandL, 400, 1e-9)
	if len(c.Fixes) == 0 || c.Fixes[0].What != StoredSaltwater || c.Fixes[0].Amount < 100 || c.Fixes[0].Amount > 100.5 {
		t.Errorf("fixes %+v", c.Fixes)
	}
}

// TestTogetherInAnotherOrder: the first by priority would take the cleaner vat, the only one whose water the
// second can take; served after it, it does with the other.
func TestTogetherInAnotherOrder(t *testing.T) {
	r := judged(t, `format: 1
systems:
  - {id: tank, net_volume: 100 L, drawdown: 60 %, water: {salinity: 34, temperature: 25 C}, limits: {salinity_step: 2, salinity_per_day: 4}}
  - {id: pool, net_volume: 100 L, drawdown: 60 %, water: {salinity: 33, temperature: 25 C}, limits: {salinity_step: 0.1, salinity_per_day: 0.1}}
stores:
  - {id: clean, holds: saltwater, volume: 60 L, salinity: 33, temperature: 25 C, mixed: 2026-11-20}
  - {id: salty, holds: saltwater, volume: 60 L, salinity: 35, temperature: 25 C, mixed: 2026-11-20, background: {copper: 2 ug/L}}
events:
  - {id: metal, system: tank, contaminant: copper, start: 60 ug/L, target: 31 ug/L, within: 6 h, priority: 1}
  - {id: spill, system: pool, remove: 50 %, within: 6 h, priority: 2}
together: [[metal, spill]]
`)
	c := r.Together[0]
	if c.Verdict != Covered || c.Reason != "all done in time, if spill has the water first" || strings.Join(c.ServedFirst, " ") != "spill" {
		t.Errorf("%+v", c)
	}
}

// TestRestock: 200 L of stored water at 35, mixed again with 38.4 g/L, take
// 7.68 kg of salt in one bag of 10 kg, 23.04 EUR, and 197.57 L of purified water
// (as above): at 20 L/h 9.88 h, and 12 h of mixing, after the 0.4 h of the event.
func TestRestock(t *testing.T) {
	text := strings.Replace(head+making+halve, "volume: 0 L", "volume: 250 L", 1) + "purifier: {rate: 20 L/h, rated_at: 25 C, feed: 25 C}\n"
	re := judged(t, text).Events[0].Restock
	if re == nil {
		t.Fatal("nothing to restock")
	}
	near(t, "salt", &re.SaltKg, 7.68, 1e-3)
	near(t, "purified", &re.PurifiedL, 197.57, 0.01)
	near(t, "cost", re.Cost, 23.04, 0.011)
	near(t, "ready again", re.ReadyAgainH, 0.4+197.57/20+12, 0.001)
	if re.Bags != 1 || re.SaltwaterL != 200 {
		t.Errorf("%+v", re)
	}
}

func TestOneEventAlone(t *testing.T) {
	s := load(t, head+vat("250 L")+halve+"together: []\n")
	if r, err := Judge(s, now, Options{Event: "halve"}); err != nil || len(r.Events) != 1 {
		t.Errorf("%+v, %v", r, err)
	}
	if _, err := Judge(s, now, Options{Event: "halv"}); err == nil || !strings.Contains(err.Error(), `did you mean "halve"?`) {
		t.Errorf("error %v", err)
	}
}

// TestUnknownNamesWhatIsMissing: the loader refuses both, but a caller may build
// a site by hand.
func TestUnknownNamesWhatIsMissing(t *testing.T) {
	s := load(t, head+vat("250 L")+halve)
	s.Events[0].Remove = nil
	r, err := Judge(s, now, Options{})
	if err != nil || r.Verdict != Unknown || !strings.Contains(r.Events[0].Missing, "halve") || r.Events[0].DemandL != nil {
		t.Errorf("%+v, %v", r, err)
	}
	s = load(t, head+vat("250 L")+halve)
	s.Stores[0].Water.Salinity = 50
	s.Together = [][]string{{"halve"}}
	r, err = Judge(s, now, Options{})
	if err != nil || r.Verdict != Unknown || r.Together[0].Verdict != Unknown || !strings.Contains(r.Events[0].Missing, "vat") {
		t.Errorf("%+v, %v", r, err)
	}
	if strings.Contains(asJSON(t, r), "NaN") {
		t.Error("a number that is none")
	}
}

// TestSaltThatCannotBeMixedIsSaid: a dose that contradicts itself makes the
// planning, not the program, fail.
func TestSaltThatCannotBeMixedIsSaid(t *testing.T) {
	s := load(t, head+making+halve)
	s.Salts[0].DoseGL = 10
	r, err := Judge(s, now, Options{})
	if err != nil || r.Verdict != Unknown || !strings.Contains(r.Events[0].Missing, "house") {
		t.Errorf("%+v, %v", r.Events[0], err)
	}
}

// TestSourceIsNamedWhereItKeepsTheTargetOutOfReach: 5 mg/h into 400 L is more than
// half of the water every 4 h takes out of 10 µg/L.
func TestSourceIsNamedWhereItKeepsTheTargetOutOfReach(t *testing.T) {
	e := judged(t, head+vat("500 L")+"events: [{id: copper, system: tank, contaminant: copper, start: 60 ug/L, target: 10 ug/L, source: 5 mg/h, within: 72 h}]\n").Events[0]
	if e.Verdict != Unreachable || !strings.Contains(e.Reason, "stop the source") {
		t.Errorf("%s: %s", e.Verdict, e.Reason)
	}
}

// TestAlreadyAtItsTarget needs no change.
func TestAlreadyAtItsTarget(t *testing.T) {
	e := judged(t, head+vat("500 L")+"events: [{id: copper, system: tank, contaminant: copper, start: 3 ug/L, target: 3 ug/L, within: 72 h}]\n").Events[0]
	if e.Verdict != Covered || e.Changes != 0 || e.Restock != nil || e.Reason != "already at its target" {
		t.Errorf("%+v", e)
	}
}

// TestVatHeaterMendsColdWater: water 10 K too cold in a vat with a heater. A change of a
// quarter would move the system by 2.5 K, and 1 K is allowed.
func TestVatHeaterMendsColdWater(t *testing.T) {
	text := strings.Replace(head+vat("500 L")+strings.Replace(halve, "2 h", "3 h", 1), "temperature: 25 C, mixed", "temperature: 15 C, heater: 200 W, mixed", 1)
	e := judged(t, text).Events[0]
	f := fixOf(e, VatHeater)
	if e.Verdict != Late || f == nil || f.Unit != "W" || f.Where != "vat" {
		t.Errorf("%s, %+v", e.Verdict, e.Fixes)
	}
}

// TestBucketsAndAHeavyBag: without a pump the water is carried.
func TestBucketsAndAHeavyBag(t *testing.T) {
	text := strings.Replace(head+making+strings.Replace(halve, "2 h", "12 h", 1), ", transfer: 1000 L/h", "", 1)
	e := judged(t, strings.Replace(text, "bag: 10 kg", "bag: 25 kg", 1)).Events[0]
	if e.Work.BucketTrips != 40 || e.Work.People != 2 || !strings.Contains(e.Work.Caution, "25 kg") {
		t.Errorf("%+v", e.Work)
	}
}

// TestRemediesAreWorkedOutForTheWorst holds the number of events that get them.
func TestRemediesAreWorkedOutForTheWorst(t *testing.T) {
	var b strings.Builder
	b.WriteString(head + vat("150 L") + "events:\n")
	for i := range MostRemedied + 5 {
		fmt.Fprintf(&b, "  - {id: e%d, system: tank, remove: 50 %%, within: 2 h}\n", i)
	}
	r := judged(t, b.String())
	with := 0
	for _, e := range r.Events {
		if len(e.Fixes) > 0 {
			with++
		}
	}
	if with != MostRemedied || len(r.Warnings) == 0 || !strings.Contains(strings.Join(r.Warnings, "\n"), "other 5 with --event") {
		t.Errorf("%d events have remedies; warnings %q", with, r.Warnings)
	}
}

// TestTwoVatsShareTheWater: neither has room for 100 L, both together do.
func TestTwoVatsShareTheWater(t *testing.T) {
	two := `stores:
  - {id: a, holds: saltwater, capacity: 110 L, volume: 50 L, salinity: 35, temperature: 25 C, transfer: 1000 L/h}
  - {id: b, holds: saltwater, capacity: 110 L, volume: 50 L, salinity: 35, temperature: 25 C, transfer: 1000 L/h}
`
	f := fixOf(judged(t, head+two+halve).Events[0], StoredSaltwater)
	if f == nil || f.Where != "a, then b" || f.NeedsRoomL != 0 || f.Amount < 100 || f.Amount > 100.5 {
		t.Errorf("%+v", f)
	}
}
