package hazards

import (
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// has insists that a sentence says something, or that it does not (a "!" before it).
func has(t *testing.T, sentence string, wants ...string) {
	t.Helper()
	for _, w := range wants {
		if not, forbidden := strings.CutPrefix(w, "!"); forbidden == strings.Contains(sentence, strings.TrimPrefix(w, "!")) {
			t.Errorf("%q in %q", not, sentence)
		}
	}
}

// The clock says in one line what it counts, and that sand and filter are not in it.
func TestTheOxygenClockSaysWhatItCounts(t *testing.T) {
	for _, c := range []struct {
		live site.Livestock
		want []string
	}{
		{site.Livestock{FishMassKg: 1.2, FishSizeG: 30, ReefAreaM2: 0.8}, []string{"from 90 % of saturation to your limit of 4.0 mg/L, for 40 fish and the reef at night; sand and filter use more"}},
		{site.Livestock{FishMassKg: 1.2, FishSizeG: 30}, []string{"for 40 fish;", "!reef"}},
		{site.Livestock{FishMassKg: 0.01, FishSizeG: 30}, []string{"for 1 fish;"}},
		{site.Livestock{FishMassKg: 1.2, ReefAreaM2: 0.8}, []string{"for the reef at night;", "!1 fish"}},
	} {
		sys := hall()
		sys.Livestock = c.live
		has(t, pick(t, judged(t, siteOf(sys)), mains, Outage, "mg/L oxygen").Detail, c.want...)
	}
	r := judged(t, siteOf(hall()))
	var assumed []string
	for _, a := range r.Assumptions {
		assumed = append(assumed, a.Value)
	}
	has(t, strings.Join(assumed, "; "), "90 % of saturation", "5 cm/h; of a still one 0")
	has(t, pick(t, r, mains, Outage, "mg/L oxygen").Detail, "from 6.0 to 4.0 mg/L in 58 min")
}

// Ten fish of 50 g at 25 °C use 102.6 mg/h at rest, twice that restless, and 0.2 m² of
// reef 157.4. Source: [clarke1999], [long2013].
func TestOxygenBudget(t *testing.T) {
	sys := hall()
	sys.Water.Temperature = 25
	sys.Livestock = site.Livestock{FishMassKg: 0.5, FishSizeG: 50, ReefAreaM2: 0.2}
	l, err := newOxygenBudget(sys)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "at rest", l.rest, 102.6+157.4, 0.05)
	near(t, "restless", l.double, 205.2+157.4, 0.1)
	near(t, "through the surface, L/h", l.rippled, 55, 1e-9) // 5 cm/h over 1.1 m²
	sys.Livestock.FishSizeG = 0
	if l, _ = newOxygenBudget(sys); l.rest != l.double {
		t.Errorf("fish without a size are counted: %+v", l)
	}
}

func TestHoursInWords(t *testing.T) {
	half := 0.5
	for _, c := range []struct {
		h    *float64
		want string
	}{{&half, "30 min"}, {ptr(8.3329), "8 h 19 min"}, {nil, "never"}} {
		if got := hoursText(c.h); got != c.want {
			t.Errorf("%v: %q, want %q", c.h, got, c.want)
		}
	}
}

// A room as hot as the limit passes it without any heater; the outage of a hotter one
// ends at the room.
func TestHotRooms(t *testing.T) {
	sys := hall()
	sys.Ambient.Hottest = 29
	has(t, strings.Join(judged(t, siteOf(sys)).Warnings, "\n"), "plan cooling")
	sys.Ambient.Hottest = 28.9
	has(t, strings.Join(judged(t, siteOf(sys)).Warnings, "\n"), "!plan cooling")
	sys.Ambient.Hottest = 33
	for _, h := range judged(t, siteOf(sys)).Hazards {
		if h.Failure == Outage && h.Limit == "temperature_high" {
			if *h.Final != 33 || h.FinalBound != AtMost || h.Harm == NoHarm {
				t.Errorf("%+v", h)
			}
			return
		}
	}
	t.Error("no outage towards the heat")
}

// What the skimmer throws out, the top-off replaces no faster than its own pump.
func TestSkimmerIsReplacedAtTheSlowerFlow(t *testing.T) {
	for _, c := range []struct{ topoff, overflow, want float64 }{{2, 3, 2}, {6, 3, 3}, {0, 3, 3}} {
		sys := hall()
		sys.NetVolumeU = 0
		sys.Equipment[2].FlowLH, sys.Equipment[6].OverflowLH = c.topoff, c.overflow
		h := pick(t, judged(t, siteOf(sys)), "skim", Overflow, "")
		near(t, "hours", *h.HoursToLimit, *h.SafeReservoirL/c.want, 1e-9)
	}
	sys := hall()
	sys.Equipment[6].OverflowLH = 0
	if h := pick(t, judged(t, siteOf(sys)), "skim", Overflow, ""); h.Harm != NoHarm || h.Limit != "" {
		t.Errorf("%+v", h)
	}
}

// A limit that the water is at already is not what the failure reaches; the day's is.
func TestALimitPassedBeforeIsNotReached(t *testing.T) {
	sys := hall()
	sys.Water.Salinity, sys.Equipment[2].Reservoir = 32, 90
	h := pick(t, judged(t, siteOf(sys)), "top-off", Overrun, "")
	if h.Limit != "salinity_per_day" || *h.HoursToLimit <= 0 {
		t.Errorf("%+v", h)
	}
}

// By hand: 40 L bring 640 L (no ±) from 35 to 32.99: back to 33 takes what leaves
// 2/2.01 of the fall: less than 4 L. 90 L bring it to 30.78: 2/4.218 are left by two
// changes, of 288 L (45 %) and 640·(1 − 0.4739/0.55) = 88.5 L.
func TestWaterToUndoByHand(t *testing.T) {
	sys := hall()
	sys.NetVolumeU = 0
	for _, c := range []struct {
		reservoir   units.Litres
		final, undo float64
	}{{40, 32.992, 2.5}, {90, 30.782, 376.5}} {
		sys.Equipment[2].Reservoir = c.reservoir
		h := pick(t, judged(t, siteOf(sys)), "top-off", Overrun, "")
		near(t, "ends at", *h.Final, c.final, 0.002)
		near(t, "litres", *h.WaterToUndoL, c.undo, 1.5)
		near(t, "share", *h.RemoveShare, 1-2/(35-*h.Final), 1e-9)
	}
}

// A battery's sentence shows its whole sum; a generator that names what it feeds is no
// guard elsewhere, and one without a chiller says nothing of starting one.
func TestStandbyInWords(t *testing.T) {
	sys, annex := hall(), hall()
	annex.ID = "annex"
	cell := site.Equipment{ID: "cell", Kind: site.Battery, EnergyWh: 480, Usable: 0.5, Inverter: 0.85, IdleW: 10, Feeds: []string{"wave"}}
	tested := []site.Guard{{Kind: "test run", Tested: ptr(now.AddDate(0, -1, 0))}}
	gen := site.Equipment{ID: "gen", Kind: site.Generator, PowerW: 600, Feeds: []string{"wave", "heater-1"}, Guards: tested}
	cell.Guards = tested
	sys.Equipment = append(sys.Equipment, cell, gen)
	r := judged(t, siteOf(sys, annex))
	for _, b := range r.Batteries {
		if b.ID == "cell" {
			has(t, b.Detail, "480 Wh, 50 % of it usable, 85 % of that through the inverter, which draws 10 W: 12 W run for 9 h 57 min", "!stated")
		}
	}
	has(t, r.Generators[0].Detail, "start one device at a time", "!chiller", "!do not carry")
	for _, h := range r.Hazards {
		if h.Failure != Outage || h.FinalUnit != "mg/L oxygen" {
			continue
		}
		if guarded := h.System == "hall-reef"; h.Counting() == 2 != guarded || h.SinglePoint == guarded {
			t.Errorf("%s: %d guards, single point %v", h.System, h.Counting(), h.SinglePoint)
		}
	}
	cell.LastsH = ptr(7.0)
	sys.Equipment[len(sys.Equipment)-2] = cell
	for _, b := range judged(t, siteOf(sys)).Batteries {
		if b.ID == "cell" {
			has(t, b.Detail, "lasts 7 h, as stated or measured", "!inverter")
		}
	}
	if hours, ok := runtimeH(site.Equipment{EnergyWh: 100, Usable: 1}, 0); ok || hours != 0 {
		t.Errorf("%v h of nothing", hours)
	}
}

// The edges of the order: a limit at 24 h still kills within a day; what cannot be
// reckoned comes before what reaches nothing; nothing is last in power that has none.
func TestEdgesOfTheOrder(t *testing.T) {
	for hours, want := range map[float64]Harm{0: WithinADay, 24: WithinADay, 24.01: Slow} {
		if got := bySpeed(&hours); got != want {
			t.Errorf("%v h: %q", hours, got)
		}
	}
	if bySpeed(nil) != Slow {
		t.Error("a time that is not known is no day")
	}
	open, quiet := Hazard{Missing: []string{"heat_loss"}}, Hazard{}
	if worseFirst(open, quiet) >= 0 || worseFirst(Hazard{Harm: Slow}, open) >= 0 {
		t.Error("what cannot be reckoned stands between what harms and what reaches nothing")
	}
	one, two := 1.0, 2.0
	if worseFirst(Hazard{Harm: Slow, HoursToLimit: &one}, Hazard{Harm: Slow, HoursToLimit: &two}) >= 0 ||
		worseFirst(Hazard{Harm: Slow, HoursToLimit: &two}, Hazard{Harm: Slow}) >= 0 {
		t.Error("sooner comes first, an unknown time last")
	}
	guarded := Hazard{Harm: Slow, HoursToLimit: &one, Guards: []Layer{{Counts: true}}}
	if worseFirst(Hazard{Harm: Slow, HoursToLimit: &one}, guarded) >= 0 {
		t.Error("at one time, the unguarded comes first")
	}
	sys := hall()
	sys.Equipment = []site.Equipment{{ID: "wave", Kind: site.Circulation, PowerW: 12}}
	has(t, powerFirst(sys), "Power first: wave (12 W)", "!heaters")
	has(t, powerFirst(site.System{}), "battery air pump")
}

// A vat that the purifier makes nothing for is not overfilled, one it just fills by the
// time somebody looks spills nothing, and is slow to harm.
func TestOverfillThatSpillsNothing(t *testing.T) {
	s := siteOf(hall())
	s.Systems[0].UnattendedH = 8 // 72 L of room at 9 L/h
	h := pick(t, judged(t, s), "pure-a", Overfill, "")
	if h.Harm != Slow || *h.Final != 0 || h.Limit != Brim {
		t.Errorf("%+v", h)
	}
	s.Purifier.RateLH = 0.5
	if h := pick(t, judged(t, s), "pure-a", Overfill, ""); h.Limit != Brim || *h.HoursToLimit != 144 {
		t.Errorf("%+v", h)
	}
}

// The site's own animals decide the clock, even the smallest: one milligram an hour is
// some.
func TestALittleLifeIsLife(t *testing.T) {
	sys := hall()
	sys.Livestock = site.Livestock{ReefAreaM2: 0.5 / reefRespiration} // 0.5 mg/h
	h := pick(t, judged(t, siteOf(sys)), mains, Outage, "mg/L oxygen")
	if h.Limit != "oxygen_low" || h.Harm != Slow {
		t.Errorf("%+v", h)
	}
	l := oxygenBudget{saturation: 7, start: 6, volume: 100}
	if hours, ok := l.hours(4, 0.5, 0); !ok || hours != 400 {
		t.Errorf("%v h, %v", hours, ok)
	}
	if _, ok := l.hours(4, 0, 0); ok {
		t.Error("nobody breathes, and the air runs out")
	}
}

// Fuel without a use per hour, or the other way round, tells no hours; a generator
// that just carries its load leaves nothing out.
func TestGeneratorEdges(t *testing.T) {
	sys := hall()
	sys.Equipment = append(sys.Equipment, site.Equipment{ID: "gen", Kind: site.Generator, PowerW: 512, FuelL: 10})
	gen := &sys.Equipment[len(sys.Equipment)-1]
	_, list := standbyOf(siteOf(sys))
	has(t, list[0].Detail, "needs fuel", "!do not carry")
	gen.FuelL, gen.UsePerHourL = 0, 0.8
	if _, list := standbyOf(siteOf(sys)); list[0].Hours != nil {
		t.Errorf("%+v", list[0])
	}
	other := hall()
	other.ID, other.Equipment = "annex", other.Equipment[3:4]
	r := judged(t, siteOf(sys, other))
	if one := r.Of("annex"); len(one.Dosers) != 1 || one.Dosers[0].System != "annex" || len(one.Generators) != 0 {
		t.Errorf("%+v", one.Dosers)
	}
}
