package playbook

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// gather is the facts of one sheet of a site.
func gather(t testing.TB, s *site.Site, r Request) *Facts {
	t.Helper()
	if r.Printed.IsZero() {
		r.Printed = site.DemoDate()
	}
	f, err := Gather(s, r)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// oneTank is a site of one system, for checks by hand.
func oneTank(t testing.TB, text string) *site.Site {
	t.Helper()
	s, faults := site.Load("one.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return s
}

// The rows of the sheet are the planner's own steps.
func TestChangesAreThePlannersSteps(t *testing.T) {
	s, at := demoSite(t), site.DemoDate()
	demands, err := schedule.Demands(s, "broken-heater")
	if err != nil {
		t.Fatal(err)
	}
	out, err := schedule.Run(s, at, demands, schedule.Options{Explain: true})
	if err != nil {
		t.Fatal(err)
	}
	f := gather(t, s, Request{Playbook: "heater-break", Printed: at})
	if f.Event != "broken-heater" || f.System != "hall-reef" {
		t.Errorf("planned for %s of %s", f.Event, f.System)
	}
	if len(f.Plan.Changes) != len(out.Plans[0].Steps) || len(f.Plan.Changes) == 0 {
		t.Fatalf("%d changes, the planner has %d", len(f.Plan.Changes), len(out.Plans[0].Steps))
	}
	for i, c := range f.Plan.Changes {
		want := out.Plans[0].Steps[i]
		if c.DrainL != want.RemoveL || c.AtH != want.AtH || math.Abs(c.Left-want.Levels[0].After/demands[0].Aims[0].Start) > 1e-12 {
			t.Errorf("change %d is %+v, the planner has %+v", i+1, c, want)
		}
	}
}

// The table of results against the closed form of repeated equal changes, and
// against the number of changes the dilution planner finds from each result.
func TestLadderAgreesWithThePlanner(t *testing.T) {
	s := demoSite(t)
	f := gather(t, s, Request{Playbook: "heater-break"})
	fresh := 1.0 // µg/L of copper in the demo's stored and mixed water
	if len(f.Ladder) != rungs {
		t.Fatalf("%d rungs", len(f.Ladder))
	}
	for k, r := range f.Ladder {
		if got := dilution.AfterChanges(r.UpToUgL, fresh, 0.45, r.Changes); math.Abs(got-3.1) > 1e-9 {
			t.Errorf("after %d changes from %g µg/L: %g, want 3.1", r.Changes, r.UpToUgL, got)
		}
		if n, ok := dilution.ChangesNeeded(r.UpToUgL*(1-1e-6), 3.1, fresh, 0.45); !ok || n != k {
			t.Errorf("%g µg/L needs %d changes by the planner, %d by the table", r.UpToUgL, n, k)
		}
		if n, _ := dilution.ChangesNeeded(r.UpToUgL*(1+1e-6), 3.1, fresh, 0.45); n != k+1 {
			t.Errorf("just above %g µg/L the planner needs %d changes, want %d", r.UpToUgL, n, k+1)
		}
		if r.Changes > 0 && math.Abs(r.ChangeL-288) > 1e-9 {
			t.Errorf("a change of %g L; 45 %% of 640 L is 288 L", r.ChangeL)
		}
	}
}

func TestNoLadderBelowTheNewWater(t *testing.T) {
	s := *demoSite(t)
	s.Events = []site.Event{{ID: "low", System: "hall-reef", Playbook: "heater-break", Contaminant: "copper", StartUgL: 60, TargetUgL: 0.5, WithinH: 72}}
	f := gather(t, &s, Request{Playbook: "heater-break"})
	if len(f.Ladder) != 0 || !strings.Contains(strings.Join(f.Warnings, " "), "The new water itself brings 1 µg/L") {
		t.Errorf("ladder %v, warnings %q", f.Ladder, f.Warnings)
	}
}

// Thiosulfate for 640 L against the table of published ratios: 1.9 mg a mg by the
// field table, 7.0 by the tetrathionate reaction.
// Source: AWWA field guide, table 7-2 (as transcribed); arithmetic from IUPAC
// atomic weights (248.17 g/mol × 2 / 70.90 g/mol = 7.00).
func TestDechlorinatorAgainstPublishedRatios(t *testing.T) {
	s := *demoSite(t)
	s.Systems = append([]site.System(nil), s.Systems...)
	s.Systems[0].NetVolumeU = 0
	f := gather(t, &s, Request{Playbook: "chlorine"})
	if len(f.Dechlorinator) != 5 {
		t.Fatalf("%d doses", len(f.Dechlorinator))
	}
	for _, d := range f.Dechlorinator {
		low, high := d.MgL*640*1.9/1000, d.MgL*640*(2*248.17/70.90)/1000
		if math.Abs(d.LowG-low) > 1e-9 || math.Abs(d.HighG-high) > 0.001*high {
			t.Errorf("%g mg/L: %g to %g g, want %g to %g g", d.MgL, d.LowG, d.HighG, low, high)
		}
	}
	title := f.doseTable().Title
	for _, want := range []string{"crystals (pentahydrate)", "0.875 to 7.0 mg", "low field figure, 1.9 mg", "test again"} {
		if !strings.Contains(title, want) {
			t.Errorf("the table says %q, not %q", title, want)
		}
	}
	low, _ := refs.RatioByID("thio5_per_cl2_sulfate")
	if low.Value != 0.875 {
		t.Errorf("the lowest published figure is %g, want 0.875", low.Value)
	}
}

// The total ammonia at which un-ionised ammonia reaches the chronic criterion.
// Source: EPA 440/5-88-004 (1989) by its formula with T = t + 273.15: 0.752 mg/L
// as NH3 at salinity 30, 25 °C, pH 8.0 (from a fraction of 0.0465, three digits,
// so good to 0.001), which is 0.618 as N; printed, as N, 0.6.
func TestAmmoniaLimitAgainstTheCriteriaDocument(t *testing.T) {
	s := oneTank(t, "format: 1\nsystems: [{id: t, net_volume: 400 L, water: {salinity: 30, temperature: 25 C, ph: 8.0}}]\nstores: [{id: v, holds: saltwater, volume: 100 L}]\n")
	f := gather(t, s, Request{Playbook: "ammonia"})
	if got := *f.AmmoniaTotalMgL * 1.2159; math.Abs(got-0.752) > 0.001 {
		t.Errorf("%.4f mg/L as NH3, want 0.752", got)
	}
	if got := *f.AmmoniaTotalMgL; math.Abs(got-0.6) > 0.05 {
		t.Errorf("%.3f mg/L as N, printed 0.6", got)
	}
}

// Air in a bin: 1 kg of 50 g fish at 25 °C use 205 mg/(kg h) at rest; saturation
// at salinity 35 and 25 °C is 6.77 mg/L. From 90 % of it to 4 mg/L, 100 L last
// (6.093 − 4)·100/(2·205) = 0.51 h with restless fish.
// Source: Clarke & Johnston 1999 (fit for 50 g fish); Benson & Krause 1984.
func TestAirInABin(t *testing.T) {
	s := oneTank(t, `format: 1
systems: [{id: t, net_volume: 400 L, water: {salinity: 35, temperature: 25 C}, limits: {oxygen_low: 4 mg/L}, livestock: {fish_mass: 1 kg, fish_size: 50 g, sensitivity: fish}}]
stores: [{id: v, holds: saltwater, volume: 100 L, heel: 0 L, salinity: 35, temperature: 25 C}]
`)
	f := gather(t, s, Request{Playbook: "unknown-substance"})
	if f.Move == nil || f.Move.AirLowH == nil {
		t.Fatal("no bin was reckoned")
	}
	want := (0.9*6.77 - 4) * f.Move.BinL / (2 * 205)
	if got := *f.Move.AirLowH; math.Abs(got-want) > 0.01*want {
		t.Errorf("%.3f h, want %.3f h in %g L", got, want, f.Move.BinL)
	}
	if !f.Move.Better || !strings.HasPrefix(f.Move.Why, "MOVE") {
		t.Errorf("100 L cannot halve 400 L, but the sheet says %q", f.Move.Why)
	}
}

func TestMoveOrChange(t *testing.T) {
	rich := oneTank(t, "format: 1\nsystems: [{id: t, net_volume: 100 L}]\nstores: [{id: v, holds: saltwater, volume: 900 L, salinity: 35, temperature: 25 C, transfer: 900 L/h}]\n")
	if f := gather(t, rich, Request{Playbook: "ammonia"}); f.Move.Better || !strings.HasPrefix(f.Move.Why, "CHANGE the tank") || f.Move.AirLowH != nil {
		t.Errorf("with plenty of water: %+v", f.Move)
	}
	if f := gather(t, withoutStores(t), Request{Playbook: "ammonia"}); f.Move.Better || !strings.HasPrefix(f.Move.Why, "CHANGE or mix first") || !strings.Contains(strings.Join(f.Warnings, " "), "no stores") {
		t.Errorf("without water: %+v, %q", f.Move, f.Warnings)
	}
	late := gather(t, demoSite(t), Request{Playbook: "unknown-substance", Event: "halve-anything"})
	if late.Plan.InTime == (late.Plan.DoneAtH != nil && late.Move.Better) {
		t.Errorf("plan %+v and move %+v contradict each other", late.Plan, late.Move)
	}
	if (&Facts{}).moveSays() == "" {
		t.Error("nothing is said without facts")
	}
}

// A bucket of 20 L of seawater with about 1 kg of bucket.
// Source: density of seawater at salinity 35 and 25 °C, 1.02334 kg/L (UNESCO 44).
func TestBucketOfTheLiftingCaution(t *testing.T) {
	c := Builtin().caution("lifting")
	if !strings.Contains(c.Hazard, "{{20 L}}") || !strings.Contains(c.Hazard, "{{21.5 kg}}") {
		t.Fatalf("the caution says %q", c.Hazard)
	}
	if water := 20 * 1.02334; 21.5-water < 0.8 || 21.5-water > 1.2 {
		t.Errorf("the bucket itself would weigh %.2f kg", 21.5-water)
	}
}

func TestChoosingEventAndSystem(t *testing.T) {
	s := demoSite(t)
	for _, c := range []struct {
		r             Request
		event, system string
	}{
		{Request{Playbook: "heater-break"}, "broken-heater", "hall-reef"},
		{Request{Playbook: "unknown-substance"}, "pool-spill", "touch-pool"},
		{Request{Playbook: "unknown-substance", System: "hall-reef"}, "halve-anything", "hall-reef"},
		{Request{Playbook: "chlorine", Event: "halve-anything"}, "halve-anything", "hall-reef"},
		{Request{Playbook: "chlorine"}, "", "hall-reef"},
		{Request{Playbook: "chlorine", System: "touch-pool"}, "", "touch-pool"},
	} {
		f := gather(t, s, c.r)
		if f.Event != c.event || f.System != c.system {
			t.Errorf("%+v: event %q of %q, want %q of %q", c.r, f.Event, f.System, c.event, c.system)
		}
		if c.event == "" && (len(f.Assumptions) == 0 || !strings.Contains(f.Assumptions[0].What, c.r.Playbook)) {
			t.Errorf("%+v: the default aim is not listed: %v", c.r, f.Assumptions)
		}
	}
	for _, c := range []struct {
		r    Request
		want string
	}{
		{Request{Playbook: "leak", Event: "broken-heatr"}, `event "broken-heatr" is not in the site file; known: pool-spill, halve-anything, broken-heater; did you mean "broken-heater"?`},
		{Request{Playbook: "leak", System: "attic"}, `system "attic" is not in the site file; known: hall-reef, touch-pool`},
		{Request{Playbook: "leak", System: "touch-pool", Event: "broken-heater"}, "event broken-heater is about system hall-reef, not touch-pool"},
	} {
		_, err := Gather(s, c.r)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: got %v, want %q", c.r, err, c.want)
		}
	}
	var missing *NotFoundError
	_, err := Gather(s, Request{System: "attic"})
	if !errors.As(err, &missing) || missing.Name != "attic" {
		t.Errorf("got %v", err)
	}
}

// A sheet that no event names plans for the share that undoes the hazard.
func TestAimFromTheHazard(t *testing.T) {
	f := gather(t, demoSite(t), Request{Playbook: "dosing-overrun"})
	if f.Plan == nil || *f.Plan.Remove <= defaultRemove || !strings.Contains(f.Assumptions[0].Value, "undoes overrun of alk") {
		t.Errorf("plan %+v, assumed %v", f.Plan, f.Assumptions[:1])
	}
}

// What cannot be planned is named, and the sheet is printed with blanks.
func TestWhatCannotBePlannedIsNamed(t *testing.T) {
	s := *demoSite(t)
	s.Events = []site.Event{{ID: "odd", System: "hall-reef", Playbook: "leak"}}
	f := gather(t, &s, Request{Playbook: "leak"})
	if f.Plan != nil || !strings.Contains(strings.Join(f.Warnings, " "), "the plan is not known") {
		t.Errorf("plan %v, warnings %q", f.Plan, f.Warnings)
	}
	hot := *demoSite(t)
	hot.Systems = append([]site.System(nil), hot.Systems...)
	hot.Systems[0].Water.Temperature = 60
	if f := gather(t, &hot, Request{Playbook: "ammonia"}); f.AmmoniaTotalMgL != nil || !strings.Contains(strings.Join(f.Warnings, " "), "times to limits are not known") {
		t.Errorf("limit %v, warnings %q", f.AmmoniaTotalMgL, f.Warnings)
	}
}

// Where no pump moves the water the table counts trips with 10 L buckets.
func TestBucketTrips(t *testing.T) {
	s := oneTank(t, "format: 1\nsystems: [{id: t, net_volume: 400 L, drawdown: 20 %}]\nstores: [{id: v, holds: saltwater, volume: 300 L, salinity: 35, temperature: 25 C}]\n")
	f := gather(t, s, Request{Playbook: "ammonia"})
	c := f.Plan.Changes[0]
	if !f.Buckets || c.Trips != 2*int(math.Ceil(c.DrainL/10-1e-9)) {
		t.Errorf("buckets %v, %d trips for %g L", f.Buckets, c.Trips, c.DrainL)
	}
	if got := f.changeRow(c)[5]; !strings.HasSuffix(got, " trips") {
		t.Errorf("the row says %q", got)
	}
}

// Less water in the vats never begins with a larger change, and an empty vat with
// none at once.
func TestHalfAndEmptyVats(t *testing.T) {
	f := gather(t, demoSite(t), Request{Playbook: "chlorine"})
	if len(f.Less) != 2 || f.Less[0].Name != "half full" || f.Less[1].Name != "empty" {
		t.Fatalf("got %+v", f.Less)
	}
	if f.Less[0].UsableL >= f.Plan.UsableNowL || f.Less[1].UsableL != 0 {
		t.Errorf("usable %g, half %g, empty %g L", f.Plan.UsableNowL, f.Less[0].UsableL, f.Less[1].UsableL)
	}
	if f.Less[1].First != nil && f.Less[1].First.AtH <= 0 {
		t.Error("a change at once from empty vats")
	}
	if len(f.Batches) == 0 || f.Batches[0].SaltKg <= 0 || f.Batches[0].PurifiedL <= 0 {
		t.Errorf("no batch to fall back on: %+v", f.Batches)
	}
}

// Every number that is not known has a blank and, unless it is written on the
// night, what to measure.
func TestEveryFieldHasABlank(t *testing.T) {
	full := gather(t, demoSite(t), Request{Playbook: "heater-break"})
	for _, fd := range fieldList {
		v, ok := fd.value(full)
		if ok && (v == "" || strings.Contains(v, "NaN") || strings.Contains(v, "{{")) {
			t.Errorf("%s is %q", fd.name, v)
		}
		if _, known := fd.value(&Facts{}); !known && fd.blank == "" {
			t.Errorf("%s has no blank", fd.name)
		}
		if !strings.Contains(fd.blank, "_") && fd.measure != "" {
			t.Errorf("%s: the blank %q is none", fd.name, fd.blank)
		}
	}
	if _, ok := fieldByName("nothing"); ok {
		t.Error("found a field called nothing")
	}
	w := &filler{facts: &Facts{}, seen: map[string]bool{}}
	if got := w.text("{{nothing}}"); got != "________" || len(w.blanks) != 1 {
		t.Errorf("an unknown field gives %q, %v", got, w.blanks)
	}
}

func TestAmountsInTheReadersUnits(t *testing.T) {
	for _, c := range []struct{ name, metric, us string }{
		{"10 L", "10 L", "2.6 gal"}, {"6 m", "6 m", "20 ft"}, {"2.5 cm", "2.5 cm", "1.00 in"}, {"21.5 kg", "21.5 kg", "47.4 lb"},
	} {
		show, ok := literal(c.name)
		if !ok || show(units.Metric) != c.metric || show(units.US) != c.us {
			t.Errorf("%s: %v", c.name, ok)
			if ok {
				t.Errorf("%q, %q", show(units.Metric), show(units.US))
			}
		}
	}
	for _, bad := range []string{"10", "10 stone", "-1 L", "NaN L", "1e9 L", "L 10", ""} {
		if _, ok := literal(bad); ok {
			t.Errorf("%q was taken for an amount", bad)
		}
	}
	us := &Facts{Units: units.US}
	if got := us.blankIn("____ L at ____ °C"); got != "____ gal at ____ °F" {
		t.Errorf("got %q", got)
	}
	if got := us.amount(0, units.Down); got != "0 gal" {
		t.Errorf("nothing is %q", got)
	}
}

func TestMomentsAndRanges(t *testing.T) {
	azores, err := time.LoadLocation("Atlantic/Azores")
	if err != nil {
		t.Skip("no time zones on this machine")
	}
	at := time.Date(2026, 7, 1, 22, 30, 0, 0, time.UTC)
	f := &Facts{At: &at, Zone: azores}
	for h, want := range map[float64]string{0: "2026-07-01 22:30", 0.25: "22:45", 2: "2026-07-02 00:30"} {
		if got := f.clock(h); got != want {
			t.Errorf("%g h after: %q, want %q", h, got, want)
		}
	}
	if got := (&Facts{}).when(0); got != "at the start" {
		t.Errorf("got %q", got)
	}
	if got := (&Facts{}).when(4.5); got != "4 h 30 min after the start" {
		t.Errorf("got %q", got)
	}
	if got := hourRange(1, 2.5); got != "1 h to 2 h 30 min" {
		t.Errorf("got %q", got)
	}
}

// What is needed is rounded up, what is on hand down, and a change that a limit
// holds back down too; the share to remove and the one that may stay are the whole.
func TestRounding(t *testing.T) {
	f := &Facts{Plan: &Plan{Changes: []Change{{DrainL: 100.2, ToAim: true}}, UsableNowL: 99.8, MissingL: 0.001, AimLeft: 3.1 / 30, WithinH: 24}}
	for name, want := range map[string]string{"first_change": "101 L", "usable_now": "99 L", "missing": "0.01 L", "left_share": "10 %"} {
		fd, _ := fieldByName(name)
		if got, _ := fd.value(f); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	if got := f.change(Change{DrainL: 100.8}); got != "100 L" {
		t.Errorf("a change held back by a limit is %q", got)
	}
	if says, _ := f.planSays(f.Plan); !strings.Contains(says, "remove 90 %") {
		t.Errorf("the plan says %q", says)
	}
	for left, want := range map[float64][2]string{0.5: {"50 %", "50 %"}, 0.055: {"5 %", "95 %"}, 0.0042: {"0.4 %", "99.6 %"}} {
		if stays, goes := shares(left); stays != want[0] || goes != want[1] {
			t.Errorf("%g left is %s and %s, want %v", left, stays, goes, want)
		}
	}
}

// Without any water no step asks for a bin of 0 L.
func TestNoBinOfNothing(t *testing.T) {
	for _, s := range variants(t)["site without any vats"] {
		if text := Text(s); strings.Contains(text, "bin with 0") {
			t.Errorf("%s asks for a bin of nothing", s.Name)
		}
	}
}

// The batches that a plan counts on are on the sheet, with their times, and the
// changes name the batch they take; a plan without any shows those for emptier vats.
func TestSheetListsTheBatchesOfThePlan(t *testing.T) {
	s := demoSite(t)
	at := site.DemoDate()
	f := gather(t, s, Request{Playbook: "heater-break", Printed: at, At: &at})
	demands, err := schedule.Demands(s, f.Event)
	if err != nil {
		t.Fatal(err)
	}
	out, err := schedule.Run(s, at, demands, schedule.Options{})
	if err != nil {
		t.Fatal(err)
	}
	batches := out.Plans[0].Batches
	if len(f.Batches) != len(batches) || len(batches) == 0 {
		t.Fatalf("%d batches on the sheet, %d in the plan", len(f.Batches), len(batches))
	}
	for i, b := range batches {
		if got := f.Batches[i]; got.N != b.N || got.Vat != b.StoreID || got.PurifiedL != b.PurifiedL || got.SaltKg != b.SaltKg || got.StartH != b.StartH || got.ReadyH != b.MixedH {
			t.Errorf("batch %d is %+v, the plan has %+v", i, got, b)
		}
	}
	for _, c := range f.Plan.Changes {
		for _, d := range c.From {
			if i := strings.Index(d, "(batch "); i >= 0 && !strings.Contains(fmt.Sprint(f.batchTable().Rows), d[i+7:len(d)-1]) {
				t.Errorf("change %d takes %s, which the table does not list", c.N, d)
			}
		}
	}
	small := gather(t, oneTank(t, "format: 1\nsystems: [{id: t, net_volume: 400 L}]\nstores: [{id: v, holds: saltwater, volume: 500 L, temperature: 25 C}, {id: p, holds: purified, volume: 500 L}]\nsalts: [{id: s, on_hand: 50 kg, dose: 38 g/L}]\n"), Request{Playbook: "ammonia"})
	if small.BatchesIf != "half full" && small.BatchesIf != "empty" || !strings.Contains(small.batchTable().Title, small.BatchesIf) {
		t.Errorf("batches for %q: %+v", small.BatchesIf, small.Batches)
	}
	if got := (&Facts{Plan: &Plan{}}).batchTable().Rows; len(got) != 1 || got[0][0] != "none" {
		t.Errorf("without batches the table holds %v", got)
	}
}

// A sheet is a function of its playbook and facts, and so is every rendering; its
// JSON can be written.
func TestRenderingsAreFunctionsOfTheirInput(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		l := Builtin()
		p := &l.Playbooks[rapid.IntRange(0, len(l.Playbooks)-1).Draw(r, "sheet")]
		f := &Facts{System: rapid.StringMatching(`[a-z]{0,8}`).Draw(r, "system"), Units: units.System(rapid.IntRange(0, 1).Draw(r, "units"))}
		if rapid.Bool().Draw(r, "plan") {
			left := rapid.Float64Range(0, 1).Draw(r, "left")
			remove, litres := 1-left, rapid.Float64Range(0, 1e5).Draw(r, "litres")
			f.Plan = &Plan{Remove: &remove, AimLeft: left, WithinH: 4, WaterL: litres, MissingL: litres}
			for n := range rapid.IntRange(0, 30).Draw(r, "changes") {
				f.Plan.Changes = append(f.Plan.Changes, Change{N: n + 1, AtH: float64(n), DoneH: float64(n) + 0.5, DrainL: litres, From: []string{"vat"}, Left: left})
			}
		}
		a, b := l.Fill(p, f), l.Fill(p, f)
		if Text(a) != Text(b) || Markdown(a) != Markdown(b) || mustHTML(t, a) != mustHTML(t, b) {
			r.Fatal("two renderings of one sheet differ")
		}
		if _, err := json.Marshal(a); err != nil {
			r.Fatal(err)
		}
		for _, page := range Printed.Pages(a) {
			for _, g := range page.Groups {
				if n := len(g.Lines); n > 0 && g.Lines[n-1].Kind == CautionLine {
					r.Fatalf("a page ends with the caution %s", g.Lines[n-1].Caution.ID)
				}
			}
		}
	})
}
