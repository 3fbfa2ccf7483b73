package main

import (
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// planOf is a plan of one change of 120 L in a tank of 400 L, done after three hours of the twelve allowed, altered.
func planOf(alter func(p *plan.Plan, a *plan.Aim)) *siteView {
	h := 3.0
	p := plan.Plan{Reachable: true, InTime: true, DoneAtH: &h, WaterL: 120, ExposureToH: 240, Aims: []plan.AimResult{{Floor: 2, Holds: true}},
		Steps: []plan.Step{{N: 1, AtH: 1, DoneH: 3, RemoveL: 120, AddL: 120, From: []plan.Draw{{StoreID: "vat", Litres: 120}}, Levels: []plan.Level{{Before: 60, After: 5}}}}}
	p.Demand = plan.Demand{System: &site.System{ID: "reef", NetVolume: 400, Water: site.Chemistry{Salinity: 35, Temperature: 25}},
		Aims: []plan.Aim{{EventID: "spill", Contaminant: "copper", Start: 60, Target: 5, WithinH: 12}}}
	alter(&p, &p.Demand.Aims[0])
	return &siteView{planView: planView{Plan: p, units: units.Metric}, at: time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)}
}

// The first words of a plan are its verdict, with what is done, when, and what is lacking.
func TestTheFirstWordsOfAPlanAreItsVerdict(t *testing.T) {
	lacks, sure := 36.2, 0.9
	for _, c := range []struct {
		alter func(p *plan.Plan, a *plan.Aim)
		want  string
	}{
		{func(*plan.Plan, *plan.Aim) {}, "IN TIME: 1 change with 120 L bring copper in reef from 60.0 µg/L to 5.00 µg/L, done after 3 h of the 12 h allowed."},
		{func(_ *plan.Plan, a *plan.Aim) { a.WithinH = 0 }, "1 change with 120 L bring copper in reef from 60.0 µg/L to 5.00 µg/L, done after 3 h."},
		{func(p *plan.Plan, _ *plan.Aim) { p.Aims[0].Holds = false }, "IN TIME: 1 change with 120 L bring copper in reef from 60.0 µg/L to 5.00 µg/L, done for the moment after 3 h of the 12 h allowed."},
		{func(p *plan.Plan, a *plan.Aim) { p.InTime, a.WithinH = false, 2 }, "LATE: 1 change with 120 L bring copper in reef from 60.0 µg/L to 5.00 µg/L, done after 3 h; 2 h is allowed. More stored water alone would not do it in time."},
		{func(p *plan.Plan, a *plan.Aim) { p.InTime, a.WithinH, p.LackingL = false, 2, &lacks }, "LATE: 1 change with 120 L bring copper in reef from 60.0 µg/L to 5.00 µg/L, done after 3 h; 2 h is allowed. 36.2 L more saltwater at the start (salinity 35.0, 25.0 °C) would do it in time."},
		{func(p *plan.Plan, _ *plan.Aim) { p.DoneAtH, p.InTime, p.Steps[0].Levels[0].After = nil, false, 42 },
			"NOT ENOUGH WATER to bring copper in reef from 60.0 µg/L to 5.00 µg/L. The best it can do in the first 10 d is 1 change with 120 L, to 42.0 µg/L. More stored water alone would not do it in time."},
		{func(p *plan.Plan, a *plan.Aim) {
			p.DoneAtH, p.InTime, p.Confidence, a.StartU, p.Demand.System.NetVolumeU = nil, false, &sure, 3, 40
		}, "NOT ENOUGH WATER to bring copper in reef from 60.0 µg/L to 5.00 µg/L. The best it can do in the first 10 d is 1 change with 120 L, to 5.00 µg/L. On paper that is enough, but not in 90 % of cases with the volume ± 10 % and the start ± 3.00 µg/L. More stored water alone would not do it in time."},
		{func(p *plan.Plan, _ *plan.Aim) { p.DoneAtH, p.InTime, p.Steps = nil, false, nil }, "NOT ENOUGH WATER to bring copper in reef from 60.0 µg/L to 5.00 µg/L. No change can be made at all. More stored water alone would not do it in time."},
		{func(p *plan.Plan, _ *plan.Aim) {
			p.Reachable, p.DoneAtH, p.InTime, p.Aims[0].Floor = false, nil, false, 9
		},
			"OUT OF REACH: to bring copper in reef from 60.0 µg/L to 5.00 µg/L is more than any number of changes does; they lead to 9.00 µg/L at best. The best it can do in the first 10 d is 1 change with 120 L, to 5.00 µg/L."},
		{func(p *plan.Plan, a *plan.Aim) { p.Steps, *p.DoneAtH, a.Start = nil, 0, 4 }, "Nothing to do: copper is already at or below 5.00 µg/L."},
		{func(p *plan.Plan, a *plan.Aim) {
			a.Contaminant, a.Start, a.Target, p.Steps[0].Levels[0].After = "", 1, 0.7, 0.7
		}, "IN TIME: 1 change with 120 L take out 30 % of whatever is in reef, done after 3 h of the 12 h allowed."},
		{func(p *plan.Plan, a *plan.Aim) { p.Confidence, a.Start, a.StartU = &sure, 5, 2 }, "IN TIME: 1 change with 120 L bring copper in reef from 5.0 ± 2.0 µg/L to 5.00 µg/L or less in 90 % of cases, done after 3 h of the 12 h allowed."},
	} {
		if got := planOf(c.alter).headline(); got != c.want {
			t.Errorf("%q\nwant %q", got, c.want)
		}
	}
}

// What is done to a vat says how much goes out, stays and comes in, and to which salinity.
func TestWhatIsDoneToAVat(t *testing.T) {
	v := planOf(func(*plan.Plan, *plan.Aim) {})
	for want, p := range map[string]plan.Prepare{
		"cut vat: add 12.0 L purified water (to salinity 35.0)":                                  {What: plan.Cut, StoreID: "vat", AddL: 12, Salinity: 35},
		"cut vat: pour 20 L away (80 L stay), then add 12.0 L purified water (to salinity 35.0)": {What: plan.Cut, StoreID: "vat", RemoveL: 20, Litres: 92, AddL: 12, Salinity: 35},
		"lift vat: stir in 250 g salt (to salinity 35.0)":                                        {What: plan.Lift, StoreID: "vat", Salts: []plan.Salt{{ID: "house", Kg: 0.25}}, Salinity: 35},
		"lower vat: pour 20 L away, 80 L stay in it":                                             {What: plan.Lower, StoreID: "vat", RemoveL: 20, Litres: 80},
		"empty vat: pour 100 L away":                                                             {What: plan.Empty, StoreID: "vat", RemoveL: 100},
	} {
		if got := v.preparing(p); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// TestASalinityToReachIsPrintedTowardsTheSystem: a vat cut to 31.667 was printed, and entered as printed, as
// 31.7: its full change was then 1.02 of the 1 that a step may be, and the next look planned another cut.
func TestASalinityToReachIsPrintedTowardsTheSystem(t *testing.T) {
	for _, x := range []struct {
		reach, home float64
		want        string
	}{{31.667, 30, "31.6"}, {28.333, 30, "28.4"}, {31.6, 30, "31.6"}, {31.6000000001, 30, "31.6"}, {30, 30, "30.0"},
		{30.04, 30.03, "30.0"}, {30.06, 30.03, "30.1"}, {29.96, 29.98, "30.0"}, {35, 35, "35.0"}} {
		if got := towards(x.reach, &site.System{Water: site.Chemistry{Salinity: units.Practical(x.home)}}); got != x.want {
			t.Errorf("%g to a system at %g: %s, want %s", x.reach, x.home, got, x.want)
		}
	}
	v := planOf(func(p *plan.Plan, _ *plan.Aim) {
		p.Demand.System = &site.System{Water: site.Chemistry{Salinity: 30}}
	})
	if got := v.preparing(plan.Prepare{What: plan.Cut, StoreID: "vat", AddL: 12, Salinity: 31.667}); got != "cut vat: add 12.0 L purified water (to salinity 31.6)" {
		t.Errorf("%q", got)
	}
	n := nightOf(nil)
	n.System = v.Demand.System
	if got := n.enterWork(doing{prepared: &plan.Prepare{What: plan.Cut, StoreID: "vat", Litres: 52, Salinity: 31.667, ReadyH: 0.25}}); got != "When all is in, enter: tidehold stock mixed vat 52L --usable 15min --salinity 31.6" {
		t.Errorf("%q", got)
	}
}

// A heater is counted on where a vat's water is drawn half a degree warmer than it is now; of many three are named.
func TestWhichHeatersAPlanCountsOn(t *testing.T) {
	v := planOf(func(p *plan.Plan, _ *plan.Aim) {
		p.Steps[0].From = []plan.Draw{{StoreID: "warm", Temperature: 24}, {StoreID: "cold", Temperature: 24}, {StoreID: "bare", Temperature: 24}}
	})
	for _, st := range []struct {
		id      string
		c, watt float64
	}{{"warm", 23.5, 300}, {"cold", 23.4, 300}, {"bare", 15, 0}, {"other", 15, 300}} {
		v.stores = append(v.stores, site.Store{ID: st.id, Volume: decimal.NewFromInt(100), HeaterW: st.watt, Water: site.Chemistry{Temperature: units.Celsius(st.c)}})
	}
	if got := v.caution(); got != siteCaution+" Heaters of cold on from the start, under water: this counts on it." {
		t.Errorf("%q", got)
	}
	v.stores = v.stores[2:]
	if got := v.caution(); got != siteCaution {
		t.Errorf("%q", got)
	}
	if got := countedOn([]string{"a", "b", "c", "d", "e"}, nil); !strings.Contains(got, "a, b, c and 2 more") {
		t.Errorf("%q", got)
	}
}

// Beside a plan stand what limits it, another way and whether that is in time, and what media would do.
func TestWhatStandsBesideAPlan(t *testing.T) {
	h := 5.0
	for _, c := range []struct {
		alter func(p *plan.Plan, a *plan.Aim)
		want  string
	}{
		{func(*plan.Plan, *plan.Aim) {}, ""},
		{func(p *plan.Plan, _ *plan.Aim) { p.Continuous = &plan.Continuous{FlowLH: 60, Hours: 10, WaterL: 600} }, "Another way: run 60.0 L/h of new water through, in and out alike, for 10 h (600 L in all); the heaters keep up with that."},
		{func(p *plan.Plan, a *plan.Aim) {
			p.InTime, a.WithinH, p.Continuous = false, 2, &plan.Continuous{FlowLH: 60, Hours: 2, WaterL: 120}
		}, "Another way: run 60.0 L/h of new water through, in and out alike, for 2 h (120 L in all); the heaters keep up with that, and it is in time."},
		{func(p *plan.Plan, a *plan.Aim) {
			p.InTime, a.WithinH, p.Continuous = false, 2, &plan.Continuous{FlowLH: 60, Hours: 2.1, WaterL: 126}
		}, "Another way: run 60.0 L/h of new water through, in and out alike, for 2 h 6 min (126 L in all); the heaters keep up with that."},
		{func(p *plan.Plan, _ *plan.Aim) {
			p.WithMedia = &plan.WithMedia{Media: []string{"carbon", "resin"}, DoneAtH: &h, WaterL: 80}
		}, "With carbon, resin running: 5 h, 80 L. The plan does not count on it."},
		{func(_ *plan.Plan, a *plan.Aim) { a.Contaminant, a.Start, a.Target = "", 1, 0.7 }, unmeasured},
	} {
		if got := said(planOf(c.alter).notes()); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// How good a plan is, is said once it has steps: proved, or by how much another could be better.
func TestHowGoodAPlanIs(t *testing.T) {
	for _, c := range []struct {
		alter func(p *plan.Plan, a *plan.Aim)
		want  string
	}{
		{func(p *plan.Plan, _ *plan.Aim) { p.Proved = true }, "No plan within these limits is better: that was proved."},
		{func(p *plan.Plan, _ *plan.Aim) { p.GapPercent = 3.4 }, "A better plan within these limits could at most have 3.4 % less exposure."},
		{func(p *plan.Plan, _ *plan.Aim) { p.GapPercent, p.Steps = 3.4, nil }, ""},
		{func(*plan.Plan, *plan.Aim) {}, ""},
	} {
		if got := said(planOf(c.alter).asides()); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
