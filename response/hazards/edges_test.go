package hazards

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// TestOnlyWhatWaterUndoesIsPasted: each thing that is missing keeps a hazard out, and the
// share is rounded up to a whole percent, from just above one to 99.
func TestOnlyWhatWaterUndoesIsPasted(t *testing.T) {
	s := siteOf(hall())
	whole := Hazard{System: "hall-reef", Equipment: "x", Failure: Overrun, Limit: "salinity_low", Playbook: "p", WaterToUndoL: ptr(100.0), RemoveShare: ptr(0.3)}
	for name, change := range map[string]func(*Hazard){
		"no water": func(h *Hazard) { h.WaterToUndoL = nil }, "no share": func(h *Hazard) { h.RemoveShare = nil },
		"no limit": func(h *Hazard) { h.Limit = "" }, "nothing": func(h *Hazard) { h.RemoveShare = ptr(0.0) },
	} {
		h := whole
		change(&h)
		if text := Events(s, Result{Hazards: []Hazard{h}}); strings.Contains(text, "- {id") {
			t.Errorf("%s: %s", name, text)
		}
	}
	for share, want := range map[float64]string{0.3: "30 %", 0.3001: "31 %", 0.005: "1 %", 0.28 + 1e-15: "28 %", 0.999: "99 %", 1: "99 %"} {
		h := whole
		h.RemoveShare = &share
		if text := Events(s, Result{Hazards: []Hazard{h}}); !strings.Contains(text, "remove: "+want+", within: 24 h") {
			t.Errorf("a share of %g: %s", share, text)
		}
	}
	if text := Events(s, Result{Hazards: []Hazard{whole, whole, whole}}); !strings.Contains(text, "{id: x-overrun,") || !strings.Contains(text, "{id: hall-reef-x-overrun,") || !strings.Contains(text, "{id: hall-reef-x-overrun-too,") {
		t.Errorf("three alike: %s", text)
	}
}

// TestSmallAmountsHarmToo: half a litre in a vat leaks, half a watt heats, a skimmer that loses
// half a litre an hour empties its system.
func TestSmallAmountsHarmToo(t *testing.T) {
	sys := hall()
	sys.Equipment[6].OverflowLH = 0.5
	s := siteOf(sys)
	s.Stores[0].Volume = decimal.NewFromFloat(0.5)
	s.Stores[1].Volume = decimal.Zero
	r := judged(t, s)
	if h := pick(t, r, "vat-a", Leak, ""); *h.Final != 0.5 {
		t.Errorf("%+v", h)
	}
	for _, h := range r.Hazards {
		if h.Equipment == "pure-a" && h.Failure == Leak {
			t.Error("an empty vat leaks")
		}
	}
	// 40 L of top-off thrown out at 0.5 L/h by exp(−40/588.8): 35 → 32.70.
	if h := pick(t, r, "skim", Overflow, ""); h.FinalUnit != "practical salinity" || !(math.Abs(*h.Final-35*math.Exp(-40/588.8)) <= 1e-9) {
		t.Errorf("%+v", h)
	}
	if got := powerFirst(site.System{Equipment: []site.Equipment{{ID: "air", Kind: site.Air}, {ID: "h", Kind: site.Heater, PowerW: 0.6}}}); !strings.Contains(got, "heaters (1 W) last") {
		t.Error(got)
	}
	if got := powerFirst(site.System{Equipment: []site.Equipment{{ID: "air", Kind: site.Air}, {ID: "h", Kind: site.Heater}}}); strings.Contains(got, "heaters") {
		t.Error(got)
	}
	// A surface of half a square metre carries the system.
	sys.SurfaceM2 = ptr(0.5)
	if l := loadNamed(judged(t, siteOf(sys)), "hall-reef"); l == nil || !(math.Abs(l.MassKg-640*1.0232) <= 1) {
		t.Errorf("%+v", l)
	}
	for _, none := range []*float64{nil, ptr(0.0)} {
		sys.SurfaceM2 = none
		if l := loadNamed(judged(t, siteOf(sys)), "hall-reef"); l != nil {
			t.Errorf("on no surface: %+v", l)
		}
	}
}

// TestWithinTheLimitsIsWithin: a room or a volume exactly at what is borne is warned of nothing.
func TestWithinTheLimitsIsWithin(t *testing.T) {
	warned := func(change func(*site.System), text string) bool {
		sys := hall()
		change(&sys)
		return strings.Contains(strings.Join(judged(t, siteOf(sys)).Warnings, "\n"), text)
	}
	for u, want := range map[units.Litres]bool{576: false, 577: true} { // 90 % of 640 L
		if got := warned(func(s *site.System) { s.NetVolumeU = u }, "uncertain by nearly all of it"); got != want {
			t.Errorf("640 ± %v L: warned %v", u, got)
		}
	}
	for room, want := range map[units.Celsius]bool{28.9: false, 29: true} {
		if got := warned(func(s *site.System) { s.Ambient.Hottest = room }, "no heater has to fail"); got != want {
			t.Errorf("a room of %v °C: warned %v", room, got)
		}
	}
}

// TestAtTheLimitAlready: water at its limit has no hours left, and says so with all kinds of
// failures.
func TestAtTheLimitAlready(t *testing.T) {
	sys := hall()
	sys.Water.Temperature = 22
	if h := pick(t, judged(t, siteOf(sys)), "heater-1", FailedOff, ""); h.HoursToLimit == nil || *h.HoursToLimit != 0 || h.Limit != "temperature_low" {
		t.Errorf("at the cold limit: %+v", h)
	}
	sys.Water.Temperature = 29
	if h := pick(t, judged(t, siteOf(sys)), "heater-1", StuckOn, ""); h.HoursToLimit == nil || *h.HoursToLimit != 0 || h.Limit != "temperature_high" {
		t.Errorf("at the warm limit: %+v", h)
	}
	// Between them both take their time.
	sys = hall()
	r := judged(t, siteOf(sys))
	for _, f := range []Failure{StuckOn} {
		if h := pick(t, r, "heater-1", f, ""); h.HoursToLimit == nil || !(*h.HoursToLimit > 1) {
			t.Errorf("%s: %+v", f, h)
		}
	}
	if l := (oxygenBudget{start: 4, volume: 100, saturation: 7}); true {
		if hours, ok := l.hours(4, 10, 0); !ok || hours != 0 {
			t.Errorf("oxygen at its limit: %g, %v", hours, ok)
		}
		if hours, ok := l.hours(3.9, 10, 0); !ok || !(math.Abs(hours-1) <= 1e-9) { // 0.1 mg/L of 100 L at 10 mg/h
			t.Errorf("oxygen above its limit: %g, %v, want 1 h", hours, ok)
		}
		if _, ok := l.hours(3.9, 0, 10); ok {
			t.Error("oxygen is used up by nobody")
		}
	}
}

// TestStuckWithoutHeatLoss: what is known is said: hours where watts are, and neither where
// they are not.
func TestStuckWithoutHeatLoss(t *testing.T) {
	sys := hall()
	sys.HeatLoss = site.HeatLoss{}
	h := pick(t, judged(t, siteOf(sys)), "heater-1", StuckOn, "")
	if h.HoursToLimit == nil || !strings.Contains(h.Detail, "312 W that stay on reach 29.0 °C in") {
		t.Errorf("%+v", h)
	}
	sys.Equipment = []site.Equipment{{ID: "heater-1", Kind: site.Heater}}
	h = pick(t, judged(t, siteOf(sys)), "heater-1", StuckOn, "")
	if h.HoursToLimit != nil || !strings.Contains(h.Detail, "without power warm nothing") {
		t.Errorf("%+v", h)
	}
}

// TestAStoppedPumpCountsTheOthersOnly: the pump that stands still moves nothing.
func TestAStoppedPumpCountsTheOthersOnly(t *testing.T) {
	sys := hall()
	sys.Equipment = append(sys.Equipment, site.Equipment{ID: "return", Kind: site.Return, PowerW: 40})
	if got := movers(sys, "return"); len(got) != 1 || got[0] != "wave" {
		t.Errorf("%v", got)
	}
	if got := movers(sys, "wave"); len(got) != 1 || got[0] != "return" {
		t.Errorf("%v", got)
	}
}

// TestWhoDiesWithinADay: a top-off that could bring the system below salinity_low by noon
// tomorrow, one that takes longer, and one whose reservoir does not hold it.
func TestWhoDiesWithinADay(t *testing.T) {
	for _, c := range []struct {
		reservoir units.Litres
		flow      float64
		want      Harm
	}{
		// 588.8 L fall from 35 to 32 by 56.5 L of fresh water (masses: 602.5 kg × 3/32 / 0.997).
		{100, 6, WithinADay}, {100, 2.4, WithinADay}, {100, 2.3, Slow}, {56, 6, Slow}, {100, 0.1, NoHarm},
	} {
		sys := hall()
		sys.Equipment[2].Reservoir, sys.Equipment[2].FlowLH = c.reservoir, c.flow
		h := pick(t, judged(t, siteOf(sys)), "top-off", Overrun, "")
		if c.want == NoHarm {
			// 0.1 L/h is 2.4 L a day: the limit per day is never reached, the lower one after weeks.
			if h.Limit != "salinity_low" || h.Harm != Slow {
				t.Errorf("%v L at %g L/h: %+v", c.reservoir, c.flow, h)
			}
			continue
		}
		if h.Harm != c.want {
			t.Errorf("%v L at %g L/h: harm %q to %s, want %q", c.reservoir, c.flow, h.Harm, h.Limit, c.want)
		}
	}
}

// TestOrderOfWhatIsReckoned: people, a day, slow, what cannot be reckoned, what reaches nothing.
func TestOrderOfWhatIsReckoned(t *testing.T) {
	list := []Hazard{{Harm: People}, {Harm: WithinADay}, {Harm: Slow}, {Missing: []string{"flow"}}, {}}
	for i := range list {
		for k := range list {
			if got := worseFirst(list[i], list[k]); (got < 0) != (i < k) || (got > 0) != (i > k) {
				t.Errorf("%d and %d: %d", i, k, got)
			}
		}
	}
	a, b := Hazard{Harm: Slow, HoursToLimit: ptr(3.0)}, Hazard{Harm: Slow}
	if worseFirst(a, b) >= 0 {
		t.Error("a time that is known comes before one that is not")
	}
	if bySpeed(ptr(24.0)) != WithinADay || bySpeed(ptr(24.1)) != Slow || bySpeed(nil) != Slow {
		t.Error("a day is 24 hours")
	}
}

// TestWhatAGeneratorCarries: just its power, what the animals need first first, whatever the
// order of the file; of a thousand devices fifty are named.
func TestWhatAGeneratorCarries(t *testing.T) {
	sys := hall()
	sys.Equipment = []site.Equipment{
		{ID: "h", Kind: site.Heater, PowerW: 100}, {ID: "cool", Kind: site.Chiller, PowerW: 50}, {ID: "pump", Kind: site.Return, PowerW: 30},
		{ID: "wave", Kind: site.Circulation, PowerW: 20}, {ID: "air", Kind: site.Air, PowerW: 5}, {ID: "gen", Kind: site.Generator, PowerW: 155},
	}
	list, all := []string{}, siteOf(sys)
	all.Purifier = nil
	_, gens := standbyOf(all)
	list = append(list, gens[0].Runs...)
	if fmt.Sprint(list) != "[air wave pump h]" || fmt.Sprint(gens[0].Waits) != "[cool]" || gens[0].LoadW != 205 {
		t.Errorf("155 W run %v, %v wait, %g W", list, gens[0].Waits, gens[0].LoadW)
	}
	sys.Equipment[5].PowerW = 154
	if _, gens := standbyOf(siteOf(sys)); fmt.Sprint(gens[0].Runs) != "[air wave pump cool]" || fmt.Sprint(gens[0].Waits) != "[h]" || !strings.Contains(gens[0].Detail, "chiller") {
		t.Errorf("154 W: %+v", gens[0])
	}
	if strings.Contains(gens[0].Detail, "a chiller takes") || !strings.Contains(gens[0].Detail, "start one device at a time") {
		t.Errorf("%s", gens[0].Detail)
	}
	many := hall()
	many.Equipment = []site.Equipment{{ID: "gen", Kind: site.Generator, PowerW: 1e6}}
	for i := range 200 {
		many.Equipment = append(many.Equipment, site.Equipment{ID: fmt.Sprint("p", i), Kind: site.Circulation, PowerW: 1})
	}
	if _, gens := standbyOf(siteOf(many)); len(gens[0].Runs) != 50 || gens[0].LoadW != 200 {
		t.Errorf("%d named, %g W", len(gens[0].Runs), gens[0].LoadW)
	}
}

// TestWhoAGeneratorGuards: ten that name nothing stand before every system; the eleventh before
// its own alone, whatever it carries there.
func TestWhoAGeneratorGuards(t *testing.T) {
	var systems []site.System
	for i := range 12 {
		sys := hall()
		sys.ID = fmt.Sprint("tank-", i)
		sys.Equipment = []site.Equipment{{ID: "h", Kind: site.Heater, PowerW: 100}, {ID: fmt.Sprint("gen-", i), Kind: site.Generator, PowerW: 500}}
		systems = append(systems, sys)
	}
	r := judged(t, siteOf(systems...))
	count := func(system string) int {
		for _, h := range r.Hazards {
			if h.System == system && h.Failure == Outage {
				return len(h.Guards)
			}
		}
		return -1
	}
	if a, b := count("tank-0"), count("tank-11"); a != 10 || b != 11 {
		t.Errorf("%d guards before the first, %d before the last; want 10 and 11", a, b)
	}
	// One that names a heater guards against the cold, not for oxygen.
	sys := hall()
	sys.Equipment = append(sys.Equipment, site.Equipment{ID: "gen", Kind: site.Generator, PowerW: 500, Feeds: []string{"heater-1"}})
	for _, h := range judged(t, siteOf(sys)).Hazards {
		if h.Failure != Outage {
			continue
		}
		named := false
		for _, g := range h.Guards {
			named = named || strings.Contains(g.Kind, "gen")
		}
		if named != (h.FinalUnit == "°C") {
			t.Errorf("%s: guards %+v", h.FinalUnit, h.Guards)
		}
	}
}
