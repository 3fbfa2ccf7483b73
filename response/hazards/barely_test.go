package hazards

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes"
	"tidehold/volumes/site"
)

// outages are the temperature clocks of a power failure.
func outages(r Result) (out []Hazard) {
	for _, h := range r.Hazards {
		if h.Equipment == mains && h.Failure == Outage && h.FinalUnit == Celsius {
			out = append(out, h)
		}
	}
	return out
}

// A room just as hot or as cold as a limit does not take the water past it without power: a clock that
// never strikes is not shown, and the cold one says why.
func TestARoomAtTheLimitWithoutPower(t *testing.T) {
	sys := hall()
	for hottest, clocks := range map[units.Celsius]int{28: 1, 29: 1, 29.1: 2} {
		sys.Ambient.Hottest = hottest
		if got := outages(judged(t, siteOf(sys))); len(got) != clocks {
			t.Errorf("%g °C beside a limit of 29: %d clocks, want %d", float64(hottest), len(got), clocks)
		}
	}
	sys = hall()
	for coldest, limit := range map[units.Celsius]bool{22: false, 21.9: true} {
		sys.Ambient.Coldest, sys.Ambient.Usual = coldest, 23
		cold := outages(judged(t, siteOf(sys)))[0]
		if (cold.Limit != "") != limit || strings.Contains(cold.Detail, "no colder than") == limit {
			t.Errorf("%g °C beside a limit of 22: %+v", float64(coldest), cold)
		}
	}
}

// At a limit no time is left, though nobody knows how fast the tank loses heat.
func TestAtALimitWithoutHeatLoss(t *testing.T) {
	sys := hall()
	sys.HeatLoss = site.HeatLoss{}
	b, _, err := newBody(sys, units.Metric)
	if err != nil || b.Known() {
		t.Fatal(b, err)
	}
	for _, inputW := range []float64{0, 500} {
		for way, hours := range map[string]func(limit, inputW, room float64) (float64, bool){"rises": b.risesTo, "falls": b.fallsTo} {
			if h, ok := hours(b.start, inputW, 19); !ok || h != 0 {
				t.Errorf("%v W, %s: %v h, %v", inputW, way, h, ok)
			}
		}
	}
	// 500 W warm it within hours; no watts warm nothing, and that is said.
	warm, none := hall(), hall()
	warm.HeatLoss, none.HeatLoss = site.HeatLoss{}, site.HeatLoss{}
	none.Equipment = slices.Clone(none.Equipment)
	none.Equipment[0].PowerW, none.Equipment[1].PowerW, none.Equipment[7].PowerW = 0, 0, 0
	for _, c := range []struct {
		sys  site.System
		want string
	}{{warm, "that stay on reach 29.0 °C in "}, {none, "heaters and pumps without power warm nothing"}} {
		if h := pick(t, judged(t, siteOf(c.sys)), "heater-1", StuckOn, ""); !strings.Contains(h.Detail, c.want) || (h.HoursToLimit == nil) != (c.sys.Equipment[0].PowerW == 0) {
			t.Errorf("%s, want %q", h.Detail, c.want)
		}
	}
}

// A heater of half a watt is a heater: what it holds is told, and that it is too weak.
func TestAHeaterOfHalfAWatt(t *testing.T) {
	sys := hall()
	sys.HeatLoss = site.HeatLoss{Coefficient: ptr(18.0)}
	sys.Equipment = []site.Equipment{{ID: "cable", Kind: site.Heater, PowerW: 0.5}}
	if h := judged(t, siteOf(sys)).Thermal[0]; h.HoldsC == nil || !(math.Abs(*h.HoldsC-(14+0.5/18)) <= 1e-9) || !h.TooWeak {
		t.Errorf("%+v", h)
	}
}

// Half a litre on the floor is water on the floor beside a plug: people are in danger, and the highest
// rate that is reckoned with is listed.
func TestHalfALitreOverTheBrim(t *testing.T) {
	for over, harm := range map[float64]Harm{0.5: People, 2: People, -0.5: Slow} {
		s := siteOf(hall())
		s.Purifier.Feed = 25 // as rated
		vat := &s.Stores[1]
		full := float64(vat.Capacity)
		vat.Volume = decimal.NewFromFloat(full - (9*12 - over))
		r := judged(t, s)
		h := pick(t, r, "pure-a", Overfill, "")
		if !(math.Abs(*h.Final-max(0, over)) <= 1e-9) || h.Harm != harm {
			t.Errorf("%g L over the brim: %+v", over, h)
		}
		if !slices.ContainsFunc(r.Assumptions, func(a refs.Assumption) bool { return a.What == "purifier's highest rate" && a.Value == "9.00 L/h" }) {
			t.Errorf("%+v", r.Assumptions)
		}
	}
}

// What a part weighs without rock is its water, 1.02319 kg a litre; rock lighter than water takes nothing
// off it; a part without a shape has no weight that is known.
func TestWhatAPartWeighs(t *testing.T) {
	box, _ := volumes.New("box", map[string]float64{"length": 80, "width": 50, "height": 45}, nil)
	tray, _ := volumes.New("box", map[string]float64{"length": 80, "width": 50, "height": 0.8}, nil)
	sys := hall()
	for _, rock := range []volumes.Displaced{{}, {RockMassKg: units.Exact(4), RockDensity: units.Exact(0.8)}} {
		sys.Parts = []volumes.Part{{ID: "sump", Shape: box, LevelCm: units.Exact(40), BrimCm: 44, Displaced: rock}, {ID: "told"},
			{ID: "tray", Shape: tray, LevelCm: units.Exact(0.8), BrimCm: 0.8}}
		r := judged(t, siteOf(sys))
		near(t, "kg", loadNamed(r, "sump").MassKg, 160*1.02319, 0.02)
		near(t, "kg in a tray", loadNamed(r, "tray").MassKg, 3.2*1.02319, 0.001)
		if l := loadNamed(r, "told"); l != nil {
			t.Errorf("%+v", l)
		}
	}
}

// Exchange too slow to count is still the same law: V·dC/dt = k·A·(Csat − C) − R, walked in steps of a
// thousandth of an hour. Where it just holds the limit, the limit is never passed.
func TestTheClockOfASmallSurface(t *testing.T) {
	for _, exchange := range []float64{0.3, 0.9, 1, 1.5} {
		l := oxygenBudget{saturation: 6.8, start: 6.1, volume: 12}
		got, ok := l.hours(4, 8, exchange)
		c, steps := l.start, 0
		const dt = 1e-3
		for ; c > 4; steps++ {
			// Runge and Kutta's midpoint: the error of a step is of the third order.
			mid := c + dt/2*(exchange*(l.saturation-c)-8)/l.volume
			c += dt * (exchange*(l.saturation-mid) - 8) / l.volume
		}
		if !ok || !(math.Abs(got-float64(steps)*dt) <= 2*dt) {
			t.Errorf("%g L/h: %g h, walked %g h", exchange, got, float64(steps)*dt)
		}
	}
	if h, ok := (oxygenBudget{saturation: 7, start: 6.5, volume: 12}).hours(5, 2, 1); ok {
		t.Errorf("held at 5 mg/L for ever, and passed in %g h", h)
	}
}

// Half a kilogram of fish of half a gram breathe a thousand times what one of them does.
func TestALittleFishBreathes(t *testing.T) {
	for _, live := range []site.Livestock{{FishMassKg: 0.5, FishSizeG: 0.5}, {FishMassKg: 0.5, FishSizeG: 30}, {FishMassKg: 1.2, FishSizeG: 0.5}} {
		sys := hall()
		sys.Livestock = live
		l, err := newOxygenBudget(sys)
		want := live.FishMassKg * 1000 / live.FishSizeG * fishRespiration(live.FishSizeG, 25.5)
		if err != nil || !(math.Abs(l.rest/want-1) <= 1e-9) || !(math.Abs(l.double/want-2) <= 1e-9) {
			t.Errorf("%+v: %g mg/h and restless %g, want %g and twice that (%v)", live, l.rest, l.double, want, err)
		}
	}
	for _, live := range []site.Livestock{{FishMassKg: 0.5}, {FishSizeG: 30}} {
		sys := hall()
		sys.Livestock = live
		if l, err := newOxygenBudget(sys); err != nil || l.rest != 0 {
			t.Errorf("%+v: %+v, %v", live, l, err)
		}
	}
}

// The numbers of sentences, each beside what it is made of.
func TestPercentAndDepthInSentences(t *testing.T) {
	s := siteOf(hall())
	s.Systems[0].Equipment[8].Usable, s.Systems[0].Equipment[8].Inverter = 0.97, 0.94
	r := judged(t, s)
	has(t, r.Batteries[0].Detail, "97 % of it usable", "94 % of that through the inverter")
	s.Events = []site.Event{{ID: "metal", System: "hall-reef", Playbook: site.HeaterBreak, StartUgL: 100, TargetUgL: 4}}
	has(t, pick(t, judged(t, s), "heater-1", BrokenOpen, "").Detail, "removing 96 % (")
	// 100 mL of 1.9 meq/mL into 640 L are 190·2.8/640 = 0.83 dKH, of 40 mg/mL 6.25 mg/L: two digits.
	for id, want := range map[string]string{"alk": "are 0.83 dKH in this tank", "ca": "are 6.3 mg/L in this tank"} {
		has(t, pick(t, r, id, Overrun, "").Detail, want)
	}
	// 1000 L on 20 m² are 50 mm, and a litre more is rounded up; 7442 L on 200 ft² (18.58 m²) are 15.77 in.
	for litres, want := range map[float64]string{1000: "50 mm", 1001: "51 mm", 19999: "1000 mm", 20001: "1001 mm"} {
		has(t, depthOnFloor(litres, units.Metric), "20 m² that is "+want+" deep")
	}
	for _, inches := range []float64{0.9945, 0.9955, 3.045, 3.055} { // two digits: where they turn
		litres := inches * 2.54 * 200 * 30.48 * 30.48 / 1000
		has(t, depthOnFloor(litres, units.US), "200 ft² that is "+units.Significant(inches, 2)+" in deep")
	}
}

// Each line to paste has its reason above it; causes that several guards share are in the order of the
// alphabet, whatever the order of the equipment.
func TestReasonsAndCausesInOrder(t *testing.T) {
	s := siteOf(hall())
	r := judged(t, s)
	text := Events(s, r)
	told := 0
	for _, h := range r.Hazards {
		if strings.Contains(text, "{id: "+h.Equipment+"-"+string(h.Failure)+",") {
			told++
			has(t, text, "# "+h.Equipment+" "+string(h.Failure)+": "+h.Detail+"\n  - {id: "+h.Equipment)
		}
	}
	if told < 3 {
		t.Errorf("%d lines to paste:\n%s", told, text)
	}
	var want []string
	for _, cause := range []string{"zinc", "alarm", "mast", "plug", "board"} {
		for k := range 2 {
			e := &s.Systems[0].Equipment[k]
			e.Guards = append(e.Guards, site.Guard{Kind: "cut-out", SharedWith: cause})
		}
		want = append(want, cause+": heater-1's cut-out, heater-2's cut-out fail together")
	}
	slices.Sort(want)
	if got := judged(t, s).SharedCauses; !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

// A generator that runs one device is not told to start one at a time.
func TestOneDeviceStartsAlone(t *testing.T) {
	sys := hall()
	sys.Equipment = append(sys.Equipment, site.Equipment{ID: "gen", Kind: site.Generator, PowerW: 600, Feeds: []string{"wave"}})
	if _, gens := standbyOf(siteOf(sys)); strings.Contains(gens[0].Detail, "at a time") {
		t.Error(gens[0].Detail)
	}
}

// The dosers that a card names are those of the table of hazards.
func TestDosersOfTheAids(t *testing.T) {
	sys := hall()
	a, err := AidsFor(sys)
	if err != nil || !slices.Equal(a.Dosers, judged(t, siteOf(sys)).Dosers) || len(a.Dosers) != 3 {
		t.Errorf("%+v, %v", a.Dosers, err)
	}
}

// A top-off that trickles sets the pace at which a skimmer's loss is replaced.
func TestATrickleReplaces(t *testing.T) {
	for flow, want := range map[float64]float64{0.5: 0.5, 1: 1, 8: 3, 0: 3} { // the skimmer throws out 3 L/h
		sys := hall()
		sys.Equipment[2].FlowLH, sys.Equipment[2].Reservoir = flow, 400
		h := pick(t, judged(t, siteOf(sys)), "skim", Overflow, "")
		if h.HoursToLimit == nil || h.SafeReservoirL == nil || !(math.Abs(*h.HoursToLimit*want-*h.SafeReservoirL) <= 1e-9) {
			t.Errorf("%g L/h: %+v", flow, h)
		}
	}
}

// By Newton's law of cooling the times to a limit in two rooms are as the logarithms of what is left of
// the way, whatever the tank's heat and loss: nothing else warms it without power.
func TestNothingButTheRoomWarmsWithoutPower(t *testing.T) {
	var hours []float64
	for _, room := range []units.Celsius{30, 40} {
		sys := hall()
		sys.HeatLoss = site.HeatLoss{Coefficient: ptr(2.0)}
		sys.Ambient.Hottest = room
		for _, h := range outages(judged(t, siteOf(sys))) {
			if h.Limit == plan.TemperatureHigh {
				hours = append(hours, *h.HoursToLimit)
			}
		}
	}
	if len(hours) != 2 {
		t.Fatal(hours)
	}
	near(t, "hours by hours", hours[0]/hours[1], math.Log((30-25.5)/(30-29))/math.Log((40-25.5)/(40-29)), 1e-9)
}

// A heater stuck on that passes the limit says when, one that does not says where it settles.
func TestAStuckHeaterPassesOrStaysBelow(t *testing.T) {
	sys := hall()
	h := pick(t, judged(t, siteOf(sys)), "heater-1", StuckOn, "")
	has(t, h.Detail, "passes 29.0 °C after ", "and heads for", "!stays below")
	sys.HeatLoss = site.HeatLoss{Coefficient: ptr(400.0)}
	h = pick(t, judged(t, siteOf(sys)), "heater-1", StuckOn, "")
	has(t, h.Detail, "stays below 29.0 °C", "it settles at", "!passes")
}

// Water a hundredth above the lowest salinity is past it after a fifth of a litre: that kills within a day,
// and so does what gets there after a hundred litres.
func TestJustAboveTheLowestSalinity(t *testing.T) {
	for _, own := range []units.Practical{32.01, 35} {
		sys := hall()
		sys.Water.Salinity = own
		sys.Equipment[6].OverflowLH, sys.Equipment[2].FlowLH, sys.Equipment[2].Reservoir = 20, 20, 400
		if h := pick(t, judged(t, siteOf(sys)), "skim", Overflow, ""); h.Harm != WithinADay {
			t.Errorf("from %g: %+v", float64(own), h)
		}
	}
}

// A bin for a fish that breathes less than a milligram an hour, in water that has less than one to give,
// is still a bin: V = demand · hours / (start − low).
func TestABinForOneSmallFish(t *testing.T) {
	sys := hall()
	sys.Livestock = site.Livestock{FishMassKg: 0.0003, FishSizeG: 0.5}
	l, err := newOxygenBudget(sys)
	if err != nil || !(l.double > 0 && l.double < 1) {
		t.Fatal(l, err)
	}
	sys.Limits.OxygenLow = l.start - 0.5
	got, ok, err := BinL(sys, 3)
	if err != nil || !ok || !(math.Abs(got-l.double*3/0.5) <= 1e-9) {
		t.Errorf("%g L, %v, %v", got, ok, err)
	}
}
