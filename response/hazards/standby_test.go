package hazards

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// standbyOf are the batteries and generators of a site.
func standbyOf(s *site.Site) ([]Battery, []Generator) {
	j := newJudge(s, time.Time{}, units.Metric)
	j.power()
	return j.out.Batteries, j.out.Generators
}

// By hand: 480 Wh of which 50 % is usable, 12 W through an inverter of 85 % that draws
// 10 W itself: 240 / (12/0.85 + 10) = 9.951 h; it was said to last 20 h.
func TestBatteryAfterInverterAndIdleDraw(t *testing.T) {
	cell := site.Equipment{Kind: site.Battery, EnergyWh: 480, Usable: 0.5, Inverter: 0.85, IdleW: 10}
	hours, ok := runtimeH(cell, 12)
	near(t, "hours", hours, 9.951, 0.001)
	if !ok {
		t.Error("it feeds 12 W")
	}
	if _, ok := runtimeH(cell, 0); ok {
		t.Error("nothing that draws power, and it lasts")
	}
	cell.LastsH = ptr(7.5)
	if hours, _ := runtimeH(cell, 12); hours != 7.5 {
		t.Errorf("%v h, stated 7.5", hours)
	}
}

// All that a battery feeds counts, in whatever system; the hours are rounded down.
func TestBatteryFeedsSeveralSystems(t *testing.T) {
	sys, pool := hall(), site.System{ID: "pool", NetVolume: 200, Water: hall().Water, Limits: hall().Limits, Ambient: hall().Ambient,
		Livestock: site.Livestock{FishMassKg: 1, FishSizeG: 50}, Equipment: []site.Equipment{{ID: "air", Kind: site.Air, PowerW: 4}}}
	for i := range sys.Equipment {
		if sys.Equipment[i].ID == "standby" {
			sys.Equipment[i] = site.Equipment{ID: "standby", Kind: site.Battery, EnergyWh: 480, Usable: 0.5, Inverter: 0.85, IdleW: 10, Feeds: []string{"wave", "pool/air"},
				Guards: []site.Guard{{Kind: "load test", Tested: ptr(now.AddDate(0, -1, 0))}}}
		}
	}
	r := judged(t, siteOf(sys, pool))
	b := r.Batteries[0]
	if b.PowerW != 16 || b.Hours == nil || !strings.Contains(b.Detail, "8 h 19 min") { // 240/(16/0.85 + 10) = 8.326 h
		t.Errorf("%+v", b)
	}
	for _, h := range r.Hazards {
		if h.Failure != Outage {
			continue
		}
		want := 0
		if h.FinalUnit == "mg/L oxygen" {
			want = 1
		}
		if h.Counting() != want {
			t.Errorf("%s %s: %d guards, want %d", h.System, h.FinalUnit, h.Counting(), want)
		}
	}
}

// A battery that runs the pumps stands between a power cut and the oxygen limit, not
// between it and the cold; a generator that names nothing stands before both, in every
// system of the site.
func TestStandbyGuardsOnlyWhatItFeeds(t *testing.T) {
	sys := hall()
	tested := []site.Guard{{Kind: "test run", Tested: ptr(now.AddDate(0, -1, 0))}}
	for i := range sys.Equipment {
		if sys.Equipment[i].ID == "standby" {
			sys.Equipment[i].Guards = tested
		}
	}
	other := hall()
	other.ID = "annex"
	counting := func(id string, unit Unit) int {
		for _, h := range judged(t, siteOf(sys, other)).Hazards {
			if h.System == id && h.Failure == Outage && h.FinalUnit == unit {
				return h.Counting()
			}
		}
		t.Fatalf("no outage of %s", id)
		return 0
	}
	if air, cold := counting("hall-reef", "mg/L oxygen"), counting("hall-reef", "°C"); air != 1 || cold != 0 {
		t.Errorf("guards: oxygen %d, cold %d", air, cold)
	}
	sys.Equipment = append(sys.Equipment, site.Equipment{ID: "gen", Kind: site.Generator, PowerW: 400, FuelL: 10, UsePerHourL: 0.8, Guards: tested})
	if air, cold, far := counting("hall-reef", "mg/L oxygen"), counting("hall-reef", "°C"), counting("annex", "°C"); air != 2 || cold != 1 || far != 1 {
		t.Errorf("with a generator: oxygen %d, cold %d, annex %d", air, cold, far)
	}
}

// By hand: 400 W carry the pump (12 W) and the heater of 300 W, not that of 200 W; 10 L
// at 0.8 L/h last 12.5 h.
func TestWhatAGeneratorRuns(t *testing.T) {
	sys := hall()
	sys.Equipment = append(sys.Equipment, site.Equipment{ID: "gen", Kind: site.Generator, PowerW: 400, FuelL: 10, UsePerHourL: 0.8})
	_, list := standbyOf(siteOf(sys))
	g := list[0]
	if *g.Hours != 12.5 || g.LoadW != 512 || !strings.Contains(g.Detail, "do not carry the 512 W connected: without heater-2") {
		t.Errorf("%+v", g)
	}
	if !slices.Contains(g.Runs, "wave") || !slices.Contains(g.Runs, "heater-1") || slices.Contains(g.Runs, "heater-2") {
		t.Errorf("runs %v, waits %v", g.Runs, g.Waits)
	}
	sys.Equipment[len(sys.Equipment)-1] = site.Equipment{ID: "gen", Kind: site.Generator, PowerW: 400, Feeds: []string{"wave"}}
	if _, list := standbyOf(siteOf(sys)); list[0].Hours != nil || list[0].LoadW != 12 || !strings.Contains(list[0].Detail, "needs fuel") {
		t.Errorf("%+v", list)
	}
	sys.Equipment = append(sys.Equipment, site.Equipment{ID: "cool", Kind: site.Chiller, PowerW: 180})
	sys.Equipment[len(sys.Equipment)-2].Feeds = []string{"wave", "cool"}
	if _, list := standbyOf(siteOf(sys)); !strings.Contains(list[0].Detail, "chiller takes several times") {
		t.Errorf("%+v", list)
	}
}

// Ten thousand generators that name nothing do not make a list of a hundred million.
func TestManySiteWideGenerators(t *testing.T) {
	var systems []site.System
	for i := range 2000 {
		sys := hall()
		sys.ID = fmt.Sprintf("tank-%d", i)
		sys.Equipment = []site.Equipment{{ID: "gen", Kind: site.Generator, PowerW: 400}, {ID: "p", Kind: site.Return, PowerW: 5}}
		systems = append(systems, sys)
	}
	r := judged(t, siteOf(systems...))
	for _, h := range r.Hazards {
		if len(h.Guards) > mostSiteWide+1 {
			t.Fatalf("%d guards", len(h.Guards))
		}
	}
}
