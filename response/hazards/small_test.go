package hazards

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
	"tidehold/volumes"
	"tidehold/volumes/site"
)

// TestHalfAUnitIsSomething: half a litre that runs back, half a litre of fuel, half a watt, a
// weak solution and a slow overflow count like large ones.
func TestHalfAUnitIsSomething(t *testing.T) {
	weak := site.Equipment{ID: "alk", Kind: site.Doser, Doses: "calcium", Reservoir: 2, Strength: 0.5, FlowLH: 1}
	if h := doser(hall(), weak, units.Metric); !strings.Contains(h.Detail, "raises calcium by at most") {
		t.Error(h.Detail)
	}
	weak.Strength = 0
	if h := doser(hall(), weak, units.Metric); !strings.Contains(h.Detail, "without strength") {
		t.Error(h.Detail)
	}
	for rate, floods := range map[float64]bool{0.5: true, 0: false} {
		h := spills(Hazard{}, rate, units.Metric)
		if (h.Limit == OnFloor) != floods || floods && (h.HoursToLimit == nil || *h.HoursToLimit != 0) {
			t.Errorf("%g L/h: %+v", rate, h)
		}
	}
	sys := hall()
	sys.Equipment = append(sys.Equipment, site.Equipment{ID: "gen", Kind: site.Generator, PowerW: 900, FuelL: 0.5, UsePerHourL: 0.25})
	if _, gens := standbyOf(siteOf(sys)); gens[0].Hours == nil || *gens[0].Hours != 2 {
		t.Errorf("%+v", gens[0])
	}
	if hours, ok := runtimeH(site.Equipment{EnergyWh: 1, Usable: 1}, 0.5); !ok || hours != 2 {
		t.Errorf("half a watt of 1 Wh: %g h, %v", hours, ok)
	}
	if _, ok := runtimeH(site.Equipment{EnergyWh: 1, Usable: 1, IdleW: 5}, 0); ok {
		t.Error("nothing is fed and it lasts some hours")
	}
	for back, spilled := range map[float64]float64{0.5: 0.25, 0.25: 0} {
		h := drained(hall(), "sump", back, 0.25, units.Metric)
		if *h.Final != spilled || (h.Limit == Brim) != (spilled > 0) || spilled > 0 && (h.HoursToLimit == nil || *h.HoursToLimit != 0) {
			t.Errorf("%g L back into 0.25 L: %+v", back, h)
		}
	}
}

// TestWhichLimitComesFirst: one passed before, and one that the flow does not reach within a day,
// do not count; at just a day it does.
func TestWhichLimitComesFirst(t *testing.T) {
	list := func(day, low float64) []threshold { return []threshold{{"day", true, 0, day}, {"low", false, 0, low}} }
	for _, c := range []struct {
		day, low, flow float64
		want           plan.Limit
	}{
		{24, 50, 1, "day"}, {24.1, 50, 1, "low"}, {24.1, 50, 0, "day"}, {0, 50, 1, "low"}, {24, 0, 1, "day"}, {0, 0, 1, ""}, {math.Inf(1), 50, 0, "low"}, {math.Inf(1), math.Inf(1), 0, ""}, {20, 10, 1, "low"}, {0.5, 50, 1, "day"},
	} {
		got, ok := firstReached(list(c.day, c.low), c.flow)
		if got.name != c.want || ok != (c.want != "") {
			t.Errorf("%+v: %q, %v", c, got.name, ok)
		}
	}
}

// TestAYearOfAGuard: to the day, and not before its date.
func TestAYearOfAGuard(t *testing.T) {
	fits := func(string) string { return "" }
	for age, why := range map[time.Duration]string{365 * 24 * time.Hour: "", 365*24*time.Hour + time.Hour: testPassed, 0: "", -time.Hour: testToCome} {
		tested := now.Add(-age)
		l := layers([]site.Guard{{Kind: "cut-out", Tested: &tested}}, "heater", now, fits)[0]
		if l.Why != why || l.Counts != (why == "") {
			t.Errorf("tested %v ago: %+v", age, l)
		}
	}
	tested := now
	g := func(shared string) site.Guard {
		return site.Guard{Kind: "cut-out", Tested: &tested, SharedWith: shared}
	}
	var counts []bool
	for _, l := range layers([]site.Guard{g("plug"), g("plug"), g(""), g("heater"), g("")}, "heater", now, fits) {
		counts = append(counts, l.Counts)
	}
	if fmt.Sprint(counts) != "[true false true false true]" {
		t.Errorf("%v", counts)
	}
	sys := hall()
	sys.Equipment[0].Guards = []site.Guard{g("plug")}
	if got := judged(t, siteOf(sys)).SharedCauses; len(got) != 0 {
		t.Errorf("one guard shares with none: %v", got)
	}
	sys.Equipment[1].Guards = []site.Guard{g("plug")}
	if got := judged(t, siteOf(sys)).SharedCauses; len(got) != 1 || got[0] != "plug: heater-1's cut-out, heater-2's cut-out fail together" {
		t.Errorf("%v", got)
	}
}

// TestWarningsAreSaidOnce, none of them empty, and none about what tests a battery.
func TestWarningsAreSaidOnce(t *testing.T) {
	sys := hall()
	sys.Equipment[0].Guards = []site.Guard{{Kind: "lucky charm"}, {Kind: "lucky charm"}}
	sys.Equipment[8].Guards = []site.Guard{{Kind: "discharged by hand"}}
	seen := map[string]int{}
	for _, w := range judged(t, siteOf(sys)).Warnings {
		if seen[w]++; w == "" || seen[w] > 1 || strings.Contains(w, "discharged by hand") {
			t.Errorf("%q", w)
		}
	}
	if len(seen) == 0 {
		t.Error("a guard of no known kind is not mentioned")
	}
}

// TestATankWithoutHeaters holds no temperature, and is not said to be too weak for one.
func TestATankWithoutHeaters(t *testing.T) {
	sys := hall()
	loss := 18.0
	sys.HeatLoss = site.HeatLoss{Coefficient: &loss}
	sys.Equipment = sys.Equipment[2:]
	r := judged(t, siteOf(sys))
	if h := r.Thermal[0]; h.HoldsC != nil || h.TooWeak || *h.CoefficientWK != 18 {
		t.Errorf("%+v", h)
	}
}

// TestAPurifiedVatWeighsFreshWater: 324 L of 18 °C are 323.6 kg (0.9986 kg/L by the usual
// tables), whatever its salinity is said to be.
func TestAPurifiedVatWeighsFreshWater(t *testing.T) {
	s := siteOf(hall())
	s.Stores[1].Water.Salinity = 5
	if l := loadNamed(judged(t, s), "pure-a"); l == nil || !(math.Abs(l.MassKg-324*0.9986) <= 0.05) {
		t.Errorf("%+v", l)
	}
}

// TestWhoIsCounted: 1.2 kg of 30 g are 40 fish; less than half of one is still one; a reef
// without fish is a reef.
func TestWhoIsCounted(t *testing.T) {
	l := oxygenBudget{}
	for _, c := range []struct {
		live site.Livestock
		want string
	}{
		{site.Livestock{FishMassKg: 1.2, FishSizeG: 30, ReefAreaM2: 1}, "40 fish and the reef at night"}, {site.Livestock{FishMassKg: 0.01, FishSizeG: 30}, "for 1 fish;"},
		{site.Livestock{ReefAreaM2: 1}, "for the reef at night;"}, {site.Livestock{FishMassKg: 1.2, ReefAreaM2: 1}, "for the reef at night;"}, {site.Livestock{FishSizeG: 30, ReefAreaM2: 1}, "for the reef at night;"},
		{site.Livestock{FishMassKg: 0.5, FishSizeG: 0.5}, "1000 fish"},
	} {
		sys := hall()
		sys.Livestock = c.live
		if got := l.counted(sys); !strings.Contains(got, c.want) {
			t.Errorf("%+v: %s", c.live, got)
		}
	}
}

// TestASmallSurfaceBringsAir: with half a square centimetre the best case is told, if only just
// longer than the worst.
func TestASmallSurfaceBringsAir(t *testing.T) {
	sys := hall()
	small := 0.001
	sys.SurfaceM2 = &small
	l, err := newOxygenBudget(sys)
	if err != nil || !(l.rippled > 0 && l.rippled < 1) {
		t.Fatalf("%+v, %v", l, err)
	}
	h := Hazard{}
	if h.clock(sys, l); h.HoursHigh == nil || *h.HoursHigh <= *h.HoursLow {
		t.Errorf("%+v", h)
	}
}

// TestAFishByItsMass: 50 g at 25 °C use e^(15.7 − 5020/298.15) = 0.3207 mmol/h, 10.26 mg/h [clarke1999];
// four times the mass 4^0.79 = 2.990 times as much, a quarter 4^−0.633 = 0.4158 times [nilsson2007].
func TestAFishByItsMass(t *testing.T) {
	for mass, want := range map[float64]float64{50: 10.26, 200: 10.26 * 2.990, 12.5: 10.26 * 0.4158} {
		if got := fishRespiration(mass, 25); !(math.Abs(got/want-1) <= 1e-3) {
			t.Errorf("%g g: %.4g mg/h, want %.4g", mass, got, want)
		}
	}
}

// TestATargetBetweenNothingAndOne is reached by enough fresh water; nothing itself never is.
func TestATargetBetweenNothingAndOne(t *testing.T) {
	f := freshening{from: 2.5, litres: func(target float64) float64 { return 100 * math.Log(2.5/target) }}
	for target, want := range map[float64]float64{0.5: 100 * math.Log(5), 2.5: 0, 3: 0, 0: math.Inf(1), -1: math.Inf(1)} {
		if got := f.to(target); got != want {
			t.Errorf("to %g: %g L, want %g", target, got, want)
		}
	}
}

// TestAidsByHand: the jug brings air by what the water lacks to saturation; half a watt warms
// in its time; no bin without fish or where the water is at its limit already.
func TestAidsByHand(t *testing.T) {
	sys := hall()
	a, err := AidsFor(sys)
	if err != nil {
		t.Fatal(err)
	}
	saturation, err := salinity.OxygenSaturation(35, 25.5)
	if err != nil {
		t.Fatal(err)
	}
	if one := pouring(1, 25.5).MgH; !(math.Abs(a.Jug.MgH/one-(saturation-4)) <= 1e-9) {
		t.Errorf("a jug brings %g mg/h, %g for each mg/L that is lacking, and %g are", a.Jug.MgH, one, saturation-4)
	}
	if h := hoursPerC(3600, 0.5); h == nil || *h != 2 {
		t.Errorf("half a watt into 3600 J/K: %v h", h)
	}
	if hoursPerC(3600, 0) != nil {
		t.Error("nothing warms it")
	}
	sys.Livestock = site.Livestock{ReefAreaM2: 1}
	if _, ok, err := BinL(sys, 4); ok || err != nil {
		t.Error("a bin for no fish")
	}
	sys = hall()
	sys.Limits.OxygenLow = 0.9 * saturation
	if _, ok, err := BinL(sys, 4); ok || err != nil {
		t.Error("a bin of water that is at its limit")
	}
	sys.Livestock = site.Livestock{FishMassKg: 1, ReefAreaM2: 1}
	if l, err := newOxygenBudget(sys); err != nil || l.double != 787 || l.rest != 787 {
		t.Errorf("fish of no size: %+v, %v", l, err)
	}
}

// TestCoolingByHand: everything off in a room of 14 °C: C/L·ln((25.5 − 14)/(22 − 14)), with the smaller
// volume of 588.8 L and 28.77 W/K, (0.35·500 + 12)/(25.5 − 19).
func TestCoolingByHand(t *testing.T) {
	litre, err := mixing.LitreHeat(35, 25.5)
	if err != nil {
		t.Fatal(err)
	}
	want := 588.8 * litre / (187 / 6.5) * math.Log(11.5/8) / 3600
	if h := pick(t, judged(t, siteOf(hall())), mains, Outage, "°C"); h.HoursToLimit == nil || !(math.Abs(*h.HoursToLimit/want-1) <= 1e-9) {
		t.Errorf("%v h, want %g", h.HoursToLimit, want)
	}
	h := Hazard{}
	if h.setHours(3, 0.5); h.HoursToLimit == nil || *h.HoursToLimit != 6 || len(h.Missing) != 0 {
		t.Errorf("3 L at half a litre an hour: %+v", h)
	}
	if h.setHours(3, 0); len(h.Missing) != 1 {
		t.Errorf("%+v", h)
	}
}

// TestNumbersInSentences: depths in inches, shares in percent, and who shares a plug.
func TestNumbersInSentences(t *testing.T) {
	if got := depthOnFloor(2831.6846592, units.US); !strings.Contains(got, "is 6.0 in deep") { // 100 ft³ on 200 ft²
		t.Error(got)
	}
	if got := depthOnFloor(100, units.Metric); !strings.Contains(got, "20 m² that is 5 mm deep") {
		t.Error(got)
	}
	sys := hall()
	sys.Equipment[8].Inverter, sys.Equipment[8].IdleW = 0.85, 10
	bats, _ := standbyOf(siteOf(sys))
	if got := bats[0].Detail; !strings.Contains(got, "480 Wh, 50 % of it usable, 85 % of that through the inverter, which draws 10 W: 12 W run for 9 h 57 min") {
		t.Error(got)
	}
	if h := pick(t, judged(t, siteOf(hall())), "heater-1", BrokenOpen, ""); !strings.Contains(h.Detail, "removing 50 % (") {
		t.Error(h.Detail)
	}
	s := siteOf(hall())
	s.Systems[0].Equipment[0].Guards = []site.Guard{{Kind: "high-limit cut-out", SharedWith: "plug"}}
	s.Purifier.Guards = []site.Guard{{Kind: "leak shutoff", SharedWith: "plug"}}
	if got := judged(t, s).SharedCauses; len(got) != 1 || got[0] != "plug: heater-1's high-limit cut-out, the purifier's leak shutoff fail together" {
		t.Errorf("%v", got)
	}
	box, _ := volumes.New("box", map[string]float64{"length": 100, "width": 50, "height": 50}, nil)
	s.Systems[0].Parts = []volumes.Part{{ID: "sump", Shape: box, LevelCm: units.Exact(20)}, {ID: "tank", Shape: box, LevelCm: units.Exact(40), DrainsBackL: 0.5}}
	var back []string
	for _, h := range judged(t, s).Hazards {
		if h.Failure == DrainBack {
			back = append(back, h.Equipment)
		}
	}
	if fmt.Sprint(back) != "[tank]" {
		t.Errorf("water runs back from %v", back)
	}
}

// TestALimitPassedBeforeKillsNobodyAnew: a system at its lower limit already is only said to pass
// the limit of a day.
func TestALimitPassedBeforeKillsNobodyAnew(t *testing.T) {
	sys := hall()
	sys.Water.Salinity, sys.Equipment[2].Reservoir = 32, 100
	if h := pick(t, judged(t, siteOf(sys)), "top-off", Overrun, ""); h.Limit != "salinity_per_day" || h.Harm != Slow {
		t.Errorf("%+v", h)
	}
}
