package playbook

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

func near6(got *float64, want float64) bool {
	return got != nil && math.Abs(*got-want) <= 0.006*math.Abs(want)
}

// The numbers a hand needs, at the demo's reef: 640 L at 35 and 25.5 °C.
//
// Outside: heat capacity 640 L · 1.0231 kg/L · 3.99 kJ/(kg K) = 2613 kJ/K (findings of
// the chemist: "2.6 MJ/K, about 6 kg ice for 1 °C, 300 W = 2.4 h/°C"); ice 333.6 kJ/kg
// and 4.18 kJ/(kg K) of melt (textbook), 0.83 dKH for 100 mL of 1.9 meq/mL at the
// nominal volume, what stays safe by its low end; 7 mg of thiosulfate for 1 mg of chlorine
// (2 S2O3 + Cl2 → S4O6 + 2 Cl, the ratio of the molar masses 2·248.17/70.9).
func TestNumbersAHandNeeds(t *testing.T) {
	f := factsOf(t, "too-hot")
	kJ := 640 * 1.0231 * 3.995
	if !near6(f.IceKg, kJ/(333.6+4.18*25.5)) {
		t.Errorf("ice %v kg", *f.IceKg)
	}
	if f.HeaterW != 300 || !near6(f.HeatHours, kJ*1000/300/3600) {
		t.Errorf("%v W take %v h", f.HeaterW, *f.HeatHours)
	}
	if d := f.Dose; d == nil || !(math.Abs(d.Per100mL-100*1.9/640*2.8039) <= 0.001) || !near6(d.SafeML, 100*0.92/d.Per100mL) {
		t.Errorf("dose %+v", f.Dose)
	}
	if !near6(f.CutL, 100.0/36) || f.LiftKg == nil || *f.LiftKg < 0.09 || *f.LiftKg > 0.13 {
		t.Errorf("mending 100 L takes %v L, %v kg", f.CutL, f.LiftKg)
	}
	if n := len(f.Dechlorinator); n == 0 || !(math.Abs(f.Dechlorinator[1].G-4*640*2*248.17/70.906/1000) <= 0.05) {
		t.Errorf("dechlorinator %+v", f.Dechlorinator)
	}
	if first, _ := (&Facts{NetL: f.NetL}).field("dechlor_first"); first != "180 mL" {
		t.Errorf("first dose %s", first)
	}
	// EPA 1989: the acute criterion is 0.233/0.035 of the chronic one.
	if !(math.Abs(*f.AmmoniaAcuteMgL / *f.AmmoniaChronicMgL - 0.233/0.035) <= 1e-9) {
		t.Error("the criteria for ammonia parted")
	}
	if f.BinL == nil || *f.BinL < 50 || *f.BinL > 2000 {
		t.Errorf("bin %v", f.BinL)
	}
}

// field is one field's text.
func (f *Facts) field(name string) (string, bool) {
	fd, _ := fieldByName(name)
	return fd.value(f)
}

// What the card prints is the planner's own plan, digit for digit.
func TestPlanIsThePlanners(t *testing.T) {
	s, f := demoSite(t), factsOf(t, "heater-break")
	d, err := schedule.Demands(s, "broken-heater")
	if err != nil {
		t.Fatal(err)
	}
	out, err := schedule.Run(s, site.DemoDate(), d, schedule.Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := out.Plans[0]
	if len(f.Plan.Steps) != len(want.Steps) || f.Plan.WaterL != want.WaterL {
		t.Fatalf("%d steps with %g L, want %d with %g", len(f.Plan.Steps), f.Plan.WaterL, len(want.Steps), want.WaterL)
	}
	for i, st := range want.Steps {
		if got := f.Plan.Steps[i]; got.RemoveL != st.RemoveL || got.AtH != st.AtH {
			t.Errorf("row %d: %+v, want %+v", i, got, st)
		}
	}
	// The ladder of bottle A: at its own start a plan that reaches the target needs
	// all its rows; at the target none. Later bottles: each further change does more.
	for i := 1; i < len(f.LadderA); i++ {
		if f.LadderA[i].UpToUgL <= f.LadderA[i-1].UpToUgL {
			t.Errorf("the ladder of bottle A falls at %d: %+v", i, f.LadderA)
		}
	}
	for i := 1; i < len(f.Ladder); i++ {
		if f.Ladder[i].UpToUgL <= f.Ladder[i-1].UpToUgL || f.Ladder[i].ChangeL != f.Ladder[1].ChangeL {
			t.Errorf("the ladder falls at %d: %+v", i, f.Ladder)
		}
	}
	if f.LadderA[0].Changes != 0 || f.LadderA[0].UpToUgL != want.Demand.Aims[0].Target {
		t.Errorf("the ladder begins at %+v", f.LadderA[0])
	}
}

func TestChooseEventAndSystem(t *testing.T) {
	s := demoSite(t)
	now := site.DemoDate()
	for _, c := range []struct {
		r             Request
		system, event string
	}{
		{Request{Playbook: "heater-break"}, "hall-reef", "broken-heater"},
		{Request{Playbook: "unknown"}, "touch-pool", "pool-spill"},
		{Request{Playbook: "unknown-substance", System: "hall-reef"}, "hall-reef", "halve-anything"},
		{Request{Playbook: "leak"}, "hall-reef", ""},
		{Request{Playbook: "leak", System: "touch-pool"}, "touch-pool", ""},
		{Request{Playbook: "leak", Event: "pool-spill"}, "touch-pool", "pool-spill"},
	} {
		c.r.Printed = now
		f, err := Gather(s, c.r)
		if err != nil || f.System != c.system || f.Event != c.event {
			t.Errorf("%+v: %v, %v", c.r, f, err)
		}
	}
	var missing *NotFoundError
	if _, err := Gather(s, Request{System: "hall-ref"}); !errors.As(err, &missing) || !strings.Contains(err.Error(), "did you mean \"hall-reef\"") {
		t.Error(err)
	}
	if _, err := Gather(s, Request{Event: "zzz"}); !errors.As(err, &missing) || !strings.Contains(err.Error(), "known: pool-spill") {
		t.Error(err)
	}
	if _, err := Gather(s, Request{Event: "pool-spill", System: "hall-reef"}); err == nil {
		t.Error("an event of another system was taken")
	}
}

const rich = `systems:
  - id: reef
    net_volume: 500 L
    livestock: {fish_mass: 1 kg, fish_size: 30 g, sensitivity: coral}
    equipment:
      - {id: h, kind: heater, power: 200 W}
      - {id: ca, kind: doser, doses: calcium, reservoir: 1 L, strength: 40 mg/mL, flow: 10 mL/min}
      - {id: w, kind: circulation, power: 20 W}
      - {id: ups, kind: battery, energy: 500 Wh, usable: 50 %, feeds: [w]}
      - {id: old, kind: battery, energy: 500 Wh, lasts: 5 h, feeds: [w]}
      - {id: gen, kind: generator, power: 2000 W, fuel: 10 L, use: 1 L/h}
  - {id: pool, net_volume: 300 L, equipment: [{id: p, kind: return, power: 30 W}]}
stores: [{id: vat, holds: saltwater, volume: 200 L}]
contacts: [{role: veterinarian, name: V, phone: "+44 20 1234"}, {role: second person, phone: "1"}, {role: boat yard, name: B, phone: "2"}]
kit: [{item: battery air pump, need: 1, have: 2}, {item: spare heater, need: 1, have: 0}]
`

func TestSiteWithBatteriesAndGenerator(t *testing.T) {
	s := siteOf(t, rich)
	f, err := Gather(s, Request{Playbook: "outage", Printed: time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	// "Unplug battery ups" was read as the box's own plug: the pump's plug, and where it
	// comes out, are named. What is to run is named with what it feeds.
	for name, want := range map[string]string{
		"backups": "pump w from battery box ups, pump w from battery box old and everything from generator gen",
		// In a power cut a silent battery takes nothing from the generator that runs.
		"batteries":         "pump w from battery box ups and pump w from battery box old",
		"batteries_running": "battery box ups (feeds pump w) and battery box old (feeds pump w)",
	} {
		if text, _ := f.field(name); text != want {
			t.Errorf("%s: %s", name, text)
		}
	}
	// 250 Wh over 20 W behind an 80 % inverter and 10 W idle: 7 h 8 min, the longest
	// stated battery 5 h.
	if text, ok := f.field("battery_says"); !ok || text != "; the battery 5 h" {
		t.Errorf("battery: %s", text)
	}
	if text, _ := f.field("generator_says"); !strings.Contains(text, "gen carries 2000 W") || !strings.Contains(text, "the fuel lasts 10 h") {
		t.Errorf("generator: %s", text)
	}
	if f.Dose.Unit != "mg/L" || f.Dose.SafeML != nil {
		t.Errorf("dose %+v", f.Dose)
	}
	p := f.Profile
	for need, want := range map[string]bool{"battery": true, "generator": true, "backup": true, "heater": true, "good heater": false, "spare heater": false, "vat": true,
		"vat heater": false, "second person": true, "kit: battery air pump": true, "mains": true, "salt": false} {
		if got, known := p.has(need); got != want || !known {
			t.Errorf("%s: %v", need, got)
		}
	}
	// The generator that names nothing can feed the other tank too.
	if other := ProfileOf(s, &s.Systems[1]); !other.Has["generator"] || other.Has["battery"] {
		t.Errorf("the pool has %v", other.Has)
	}
	table := f.contactTable()
	if table.Rows[0][0] != "emergency number" || table.Rows[0][2] != line || table.Rows[len(table.Rows)-1][0] != "boat yard" {
		t.Errorf("contacts %v", table.Rows)
	}
}

// Each verdict of the front in words, and what a plan without an answer prints.
func TestVerdicts(t *testing.T) {
	done, lack := 9.0, 35.0
	base := plan.Plan{Demand: plan.Demand{Aims: []plan.Aim{{Start: 1, Target: 0.5, WithinH: 6}}}, WaterL: 200, Steps: []plan.Step{{N: 1, RemoveL: 200, LimitedBy: plan.ToTarget, Levels: []plan.Level{{After: 0.5}}}}}
	for want, c := range map[string]struct {
		done *float64
		in   bool
		lack *float64
	}{
		"NOT ENOUGH: 35 L more is lacking":                              {nil, false, &lack},
		"NOT ENOUGH water here":                                         {nil, false, nil},
		"LATE: done after 9 h, 6 h allowed. 35 L more would be in time": {&done, false, &lack},
		"LATE: done after 9 h, 6 h allowed.":                            {&done, false, nil},
		"ENOUGH: 200 L in 1 change, done after 9 h":                     {&done, true, nil},
	} {
		p := base
		p.DoneAtH, p.InTime = c.done, c.in
		f := &Facts{Plan: &p, LackingL: c.lack}
		if got := f.verdict(); !strings.Contains(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
	bin := 50.0
	for want, f := range map[string]*Facts{
		"write it there":               {},
		"50 L in all: bins, buc":       {BinL: &bin},
		"Only 10.0 L is ready in vats": {BinL: &bin, Plan: &plan.Plan{UsableNowL: 10}},
		"comes out of row 1":           {BinL: &bin, Plan: &plan.Plan{UsableNowL: 90, Steps: base.Steps}},
	} {
		if got := f.binSays(); !strings.Contains(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// first2 is the text of a field.
func first2(text string, _ bool) string { return text }

func TestRowsOfAPlan(t *testing.T) {
	f := &Facts{Units: units.US}
	late := plan.Step{AtH: 2, From: []plan.Draw{{StoreID: "a", Litres: 30, Buckets: true, Salinity: 35, Temperature: 25}, {Delivery: 2, Litres: 10, Salinity: 35, Temperature: 25}}, AddL: 40}
	if got := since([]plan.Step{late}, 0); got != "2 h after the start" {
		t.Error(got)
	}
	// A pump fills a part of the row: its first vat is carried.
	if got := f.takes(f.changeRow(late), 0); got != "0+0 min, 3 buckets + 0.1 gal" || f.takes(f.changeRow(late), 1) != none {
		t.Error(got)
	}
	// Buckets fit the litres as they are printed: "50 L" with six of 10 L was read as 60 L.
	for _, c := range []struct {
		u      units.System
		l      float64
		limit  plan.Limit
		litres string
		want   string
	}{{units.Metric, 50.03, plan.ByWater, "50 L", "each 5 buckets"}, {units.Metric, 50.33, plan.ToTarget, "50.4 L", "each 5 buckets + 0.4 L"}, {units.Metric, 49, plan.ByWater, "49 L", "each 4 buckets + 9 L"},
		{units.US, 50, plan.ByWater, "13.2 gal", "each 5 buckets + 0.2 gal"}, {units.Metric, 9.99, plan.ByWater, "9.9 L", "each 1 bucket"}} {
		g, s := &Facts{Units: c.u}, plan.Step{RemoveL: c.l, LimitedBy: c.limit, From: []plan.Draw{{StoreID: "a", Litres: c.l, Buckets: true}}}
		if x := g.changeRow(s); x.row.Whole != c.litres || g.takes(x, 0) != c.want {
			t.Errorf("%g L: %s in %s, want %s in %s", c.l, x.row.Whole, g.takes(x, 0), c.litres, c.want)
		}
	}
	if got := f.changeRow(late).from(); !strings.Contains(got, "delivery 2") || !strings.Contains(got, "gal a") {
		t.Error(got)
	}
	if warm, salt := f.band(plan.Draw{}); warm != "____" || salt != "____" {
		t.Error(warm, salt)
	}
	if got := f.transfer(); !strings.Contains(got, "pump, siphon OR jug into 2.6 gal buckets, no hand in") {
		t.Error(got)
	}
	if got := (&Facts{Buckets: true}).transfer(); got != "by siphon OR jug into 10 L buckets, no hand in" {
		t.Error(got)
	}
	// 37 L was read as four full buckets: the last one has its litres.
	small, by := 37.4, &Facts{Buckets: true}
	by.SmallChangeL = &small
	for want, got := range map[string]string{"37.4 L (3 buckets + 7.4 L)": first2(by.smallChange()), "4 buckets + 9 L": by.bucketsOf("49 L"), "5 buckets": by.bucketsOf("50 L"), "9 L": by.bucketsOf("9 L"), "a quarter": by.bucketsOf("a quarter")} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if a, b := shares(0.004); a != "0.4 %" || b != "99.6 %" {
		t.Error(a, b)
	}
	none := &Facts{Plan: &plan.Plan{Demand: plan.Demand{Aims: []plan.Aim{{Start: 1, Target: 0.5}}}}}
	if rows := none.changeTable().Rows; rows[0][1] != "none" || none.batchTable().Rows[0][0] != "none" {
		t.Error(rows)
	}
	many := &Facts{Plan: &plan.Plan{Demand: none.Plan.Demand, Prepared: []plan.Prepare{{What: plan.Cut, StoreID: "v", AddL: 1, AtH: 3, ReadyH: 4}, {What: plan.Cut, StoreID: "v", AddL: 1, AtH: 20, ReadyH: 21}}}}
	for n := range 30 {
		draw := plan.Draw{StoreID: "v", Batch: n + 1, Litres: 5}
		many.Plan.Steps = append(many.Plan.Steps, plan.Step{N: n + 1, AtH: float64(n), From: []plan.Draw{draw}, Levels: []plan.Level{{}}})
		many.Plan.Batches = append(many.Plan.Batches, plan.Batch{N: n + 1, StoreID: "w"})
	}
	if t1 := many.changeTable(); len(t1.Rows) != mostRows || !strings.Contains(t1.Title, "First 12 of 30") {
		t.Error(t1.Title)
	}
	if t2 := many.batchTable(); len(t2.Rows) != mostRows+1 || t2.Rows[0][7] != "__:__" {
		t.Error(len(t2.Rows))
	}
	if many.tonight().More != 27 {
		t.Error(many.tonight())
	}
}

// Without a site file nothing is known; every field still prints.
func TestUnknownIsABlank(t *testing.T) {
	w := &filler{facts: &Facts{}, seen: map[string]bool{}, cautions: map[string]bool{}}
	for _, fd := range fieldList {
		if got := w.text("{{" + fd.name + "}}"); strings.Contains(got, "{{") {
			t.Errorf("%s prints %q", fd.name, got)
		}
	}
	if got := w.text("{{no_such}}"); got != "________" {
		t.Error(got)
	}
	us := &filler{facts: &Facts{Units: units.US}, seen: map[string]bool{}, cautions: map[string]bool{}}
	for in, want := range map[string]string{"{{10 L}}": "2.6 gal", "{{6 m}}": "20 ft", "{{net_volume}}": "____ gal", "{{30 cm}}": "12 in", "{{1 °C}}": "1.8 °F", "{{21.5 kg}}": "47.4 lb"} {
		if got := us.text(in); got != want {
			t.Errorf("%s prints %q, want %q", in, got, want)
		}
	}
	for _, bad := range []string{"L", "x L", "-1 L", "5 furlong", "9999999 L"} {
		if _, ok := literal(bad); ok {
			t.Errorf("%q is an amount", bad)
		}
	}
}

// A target below what the new water brings, a site without stores: the card says so.
func TestWhatCannotBeComputedIsNamed(t *testing.T) {
	s := siteOf(t, `systems: [{id: tank, net_volume: 400 L}]
stores: [{id: vat, holds: saltwater, volume: 150 L, background: {copper: 9 ug/L}}]
events: [{id: cu, system: tank, playbook: heater-break, contaminant: copper, start: 60 ug/L, target: 5 ug/L, within: 72 h}]
`)
	f, err := Gather(s, Request{Playbook: "heater-break", Printed: time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)})
	if err != nil || len(f.Ladder) != 0 || !strings.Contains(strings.Join(f.Warnings, " "), "no number of changes goes below that") {
		t.Errorf("%v: %v", err, f.Warnings)
	}
	bare := &site.Site{Systems: s.Systems, TimeZone: time.UTC}
	f, err = Gather(bare, Request{Playbook: "leak", Printed: time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)})
	if err != nil || !strings.Contains(strings.Join(f.Warnings, " "), "no stores") {
		t.Errorf("%v: %v", err, f)
	}
}

// TestABoxIsNamedOnce: an id that is a word of its kind is not said again.
func TestABoxIsNamedOnce(t *testing.T) {
	for id, want := range map[string]string{"box": "everything from battery box", "battery": "everything from battery box", "ups": "everything from battery box ups"} {
		if got := (Backup{Kind: site.Battery, ID: id}).unplugged(); got != want {
			t.Errorf("%s: %q, want %q", id, got, want)
		}
	}
}

// A literal reader of "empty it" pours the night's water away: what is to stay in the vat is
// said in litres.
func TestWhatStaysInAVatIsSaid(t *testing.T) {
	f := &Facts{}
	for want, p := range map[string]plan.Prepare{
		"empty it":                   {What: plan.Empty, RemoveL: 80, Litres: 4},
		"pour 60 L away, 20 L stays": {What: plan.Lower, RemoveL: 60, Litres: 20},
		"pour 5 L away, 20 L stays, then add 5 L of purified water": {What: plan.Cut, RemoveL: 5, AddL: 5, Litres: 25},
		"add 5 L of purified water":                                 {What: plan.Cut, AddL: 5, Litres: 25},
		"pour 1 L away, 20 L stays, then stir in 200 g of salt":     {What: plan.Lift, RemoveL: 1, SaltKg: 0.2, Litres: 20},
	} {
		if got := strings.ReplaceAll(f.preparation(p, false), ".0 L", " L"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Whoever changes water in a house that mixes none never opens the card of batches: what is to
// be done to a vat first stands beside the rows. With batches it stands with them, and only there.
func TestWhatIsDoneToAVatFirstStandsBesideTheRows(t *testing.T) {
	done := 2.0
	p := &plan.Plan{DoneAtH: &done, InTime: true, Demand: plan.Demand{Aims: []plan.Aim{{Start: 1, Target: 0.5, WithinH: 24}}}}
	p.Prepared = []plan.Prepare{{What: plan.Lower, StoreID: "a", RemoveL: 36, Litres: 59}, {What: plan.Lower, StoreID: "b", AtH: 3, RemoveL: 36, Litres: 40}}
	got, _ := (&Facts{Plan: p}).planSays()
	if !strings.HasSuffix(got, " Vat a, before row 1: pour 36 L away, 59 L stays. Vat b, +3 h from the start: pour 36 L away, 40 L stays.") {
		t.Error(got)
	}
	p.Batches = []plan.Batch{{N: 1, StoreID: "b", StartH: 3}}
	f := &Facts{Plan: p}
	if got, _ := f.planSays(); strings.Contains(got, "Vat ") || len(f.batchTable().Rows) != 3 {
		t.Error(got, f.batchTable().Rows)
	}
}
