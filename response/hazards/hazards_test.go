package hazards

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/salinity/mixing"
	"tidehold/volumes"
	"tidehold/volumes/site"
)

var now = time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)

func ptr[T any](x T) *T { return &x }

// hall is an invented system of 640 L with one device of each kind.
func hall() site.System {
	tested := now.AddDate(0, -2, 0)
	return site.System{
		ID: "hall-reef", NetVolume: 640, NetVolumeU: 51.2, Drawdown: 0.45, ChangeEveryH: 4,
		Water: site.Chemistry{Salinity: 35, Temperature: 25.5, AlkalinityDKH: ptr(8.2), CalciumMgL: ptr(430.0), MagnesiumMgL: ptr(1320.0)},
		Limits: site.Limits{TemperatureStep: 1, TemperaturePerDay: 2, SalinityStep: 1, SalinityPerDay: 2, AlkalinityPerDay: 1,
			TemperatureLow: 22, TemperatureHigh: 29, SalinityLow: 32, SalinityHigh: 37, OxygenLow: 4},
		Ambient:     site.Ambient{Usual: 19, Coldest: 14, Hottest: 28},
		HeatLoss:    site.HeatLoss{HeaterDuty: ptr(0.35)},
		SurfaceM2:   ptr(1.1),
		Livestock:   site.Livestock{FishMassKg: 1.2, FishSizeG: 30, ReefAreaM2: 0.8, Sensitivity: site.Coral},
		UnattendedH: 12,
		Equipment: []site.Equipment{
			{ID: "heater-1", Kind: site.Heater, PowerW: 300, Guards: []site.Guard{{Kind: "high-limit cut-out", Tested: &tested}}},
			{ID: "heater-2", Kind: site.Heater, PowerW: 200},
			{ID: "top-off", Kind: site.TopOff, Reservoir: 40, FlowLH: 6},
			{ID: "alk", Kind: site.Doser, Doses: "alkalinity", Reservoir: 2, Strength: 1.9, FlowLH: 1.8},
			{ID: "ca", Kind: site.Doser, Doses: "calcium", Reservoir: 2, Strength: 40, FlowLH: 1.8},
			{ID: "mg", Kind: site.Doser, Doses: "magnesium", Reservoir: 2, Strength: 40, FlowLH: 1.8},
			{ID: "skim", Kind: site.Skimmer, OverflowLH: 3},
			{ID: "wave", Kind: site.Circulation, PowerW: 12},
			{ID: "standby", Kind: site.Battery, EnergyWh: 480, Usable: 0.5, Feeds: []string{"wave"}},
		},
	}
}

func siteOf(sys ...site.System) *site.Site {
	box, err := volumes.New("box", map[string]float64{"length": 60, "width": 60, "height": 90}, nil)
	if err != nil {
		panic(err)
	}
	return &site.Site{
		Name: "Test Hall", TimeZone: time.UTC, Systems: sys,
		Purifier: &site.Purifier{RateLH: 9, RatedAt: 25, Feed: 12},
		Stores: []site.Store{
			{ID: "vat-a", Holds: site.Saltwater, Capacity: 440, Volume: decimal.NewFromInt(310), Water: site.Chemistry{Salinity: 35, Temperature: 21}},
			{ID: "pure-a", Holds: site.Purified, Shape: box, Capacity: box.Full(), Volume: decimal.NewFromInt(252), Water: site.Chemistry{Temperature: 18}, FilledBy: "purifier"},
		},
	}
}

func judged(t *testing.T, s *site.Site) Result {
	t.Helper()
	r, err := Judge(s, now, units.Metric)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := json.Marshal(r); err != nil {
		t.Fatalf("a result JSON cannot hold: %v", err)
	}
	return r
}

// loadNamed is the load of a store, a system or a part.
func loadNamed(r Result, id string) *Load {
	for i, l := range r.Floor {
		if l.Store == id || l.System == id && l.Part == "" || l.Part == id {
			return &r.Floor[i]
		}
	}
	return nil
}

func pick(t *testing.T, r Result, equipment string, f Failure, unit Unit) Hazard {
	t.Helper()
	for _, h := range r.Hazards {
		if h.Equipment == equipment && h.Failure == f && (unit == "" || h.FinalUnit == unit) {
			return h
		}
	}
	t.Fatalf("no hazard %s %s", equipment, f)
	return Hazard{}
}

// By hand: loss = (0.35·500 + 12)/(25.5 − 19) = 28.77 W/K; stuck 300 + 12 W in a
// room of 28 °C settle at 28 + 312/28.77 = 38.8 °C.
func TestHeatersByHand(t *testing.T) {
	r := judged(t, siteOf(hall()))
	near(t, "coefficient", *r.Thermal[0].CoefficientWK, 187/6.5, 1e-9)
	stuck := pick(t, r, "heater-1", StuckOn, "")
	near(t, "settles at", *stuck.Final, 28+312/(187/6.5), 1e-9)
	if stuck.Limit != "temperature_high" || *stuck.HoursToLimit < 5 || *stuck.HoursToLimit > 20 {
		t.Errorf("%+v", stuck)
	}
	if !stuck.SinglePoint || stuck.Counting() != 1 {
		t.Errorf("layers of heater-1: %+v", stuck.Guards)
	}
	// heater-2 and the pump alone: 14 + 212/28.77 = 21.37 °C, below 22.
	off := pick(t, r, "heater-1", FailedOff, "")
	near(t, "cools to", *off.Final, 14+212/(187/6.5), 1e-9)
	if off.Limit != "temperature_low" || off.HoursToLimit == nil {
		t.Errorf("%+v", off)
	}
	broken := pick(t, r, "heater-1", BrokenOpen, "")
	if *broken.HoursToLimit != 0 || *broken.WaterToUndoL < 320 || *broken.RemoveShare != 0.5 {
		t.Errorf("%+v", broken)
	}
}

// The safe reservoir is the largest that breaks no limit: at it nothing is
// reached, 1 % more and the limit is. Salt is conserved as a blend conserves it.
func TestSafeReservoirIsTheEdge(t *testing.T) {
	for _, id := range []string{"top-off", "alk", "skim"} {
		sys := hall()
		h := pick(t, judged(t, siteOf(sys)), id, map[string]Failure{"top-off": Overrun, "alk": Overrun, "skim": Overflow}[id], "")
		if h.SafeReservoirL == nil || h.Limit == "" && id != "skim" {
			t.Fatalf("%s: %+v", id, h)
		}
		feeds := id
		if id == "skim" {
			feeds = "top-off"
		}
		for _, c := range []struct {
			factor float64
			breaks bool
		}{{1 - 1e-9, false}, {1.01, true}} {
			for i := range sys.Equipment {
				if sys.Equipment[i].ID == feeds {
					sys.Equipment[i].Reservoir = units.Litres(*h.SafeReservoirL * c.factor)
				}
			}
			again := pick(t, judged(t, siteOf(sys)), id, h.Failure, "")
			if (again.Limit != "") != c.breaks {
				t.Errorf("%s with %.9f of the safe reservoir: limit %q", id, c.factor, again.Limit)
			}
		}
	}
}

func TestTopOffFinalMatchesABlend(t *testing.T) {
	sys := hall()
	h := pick(t, judged(t, siteOf(sys)), "top-off", Overrun, "")
	blend, err := mixing.Blend(
		mixing.Water{Volume: sys.NetVolume - sys.NetVolumeU, Salinity: 35, Temperature: 25.5},
		mixing.Water{Volume: 40, Salinity: 0, Temperature: 25.5})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "salinity", *h.Final, float64(blend.Salinity), 1e-9)
}

// A slow drip never breaks a per-day limit, only the low one.
func TestPerDayLimitNeedsTheFlow(t *testing.T) {
	sys := hall()
	sys.Equipment = []site.Equipment{{ID: "drip", Kind: site.TopOff, Reservoir: 500, FlowLH: 0.5}}
	h := pick(t, judged(t, siteOf(sys)), "drip", Overrun, "")
	if h.Limit != "salinity_low" {
		t.Errorf("%+v", h)
	}
	sys.Equipment = []site.Equipment{{ID: "slow", Kind: site.Doser, Doses: "alkalinity", Reservoir: 5, Strength: 1.9, FlowLH: 0.001}}
	if h := pick(t, judged(t, siteOf(sys)), "slow", Overrun, ""); h.Limit != "" || !strings.Contains(h.Detail, "any 24 h") {
		t.Errorf("%+v", h)
	}
}

// Dosing: 2 L of 1.9 meq/mL in 588.8 L raise alkalinity by 6.453 meq/L, 18.09 dKH
// (1 meq/L = 2.80385 dKH, IUPAC atomic weights).
func TestDoserByHand(t *testing.T) {
	r := judged(t, siteOf(hall()))
	h := pick(t, r, "alk", Overrun, "dKH")
	near(t, "ends at", *h.Final, 8.2+2000*1.9/588.8*2.80385, 1e-3)
	near(t, "safe litres", *h.SafeReservoirL, 1/2.80385*588.8/1.9/1000, 1e-6)
	if ca := pick(t, r, "ca", Overrun, ""); ca.Limit != "" || !(math.Abs(*ca.Final-(430+40*2000/588.8)) <= 1e-9) {
		t.Errorf("%+v", ca)
	}
	if mg := pick(t, r, "mg", Overrun, ""); *mg.Final <= 1320 {
		t.Errorf("%+v", mg)
	}
}

func TestOutageClocks(t *testing.T) {
	r := judged(t, siteOf(hall()))
	o := pick(t, r, "mains power", Outage, "mg/L oxygen")
	if *o.HoursLow >= *o.HoursHigh || *o.HoursToLimit != *o.HoursLow {
		t.Errorf("%+v", o)
	}
	if !strings.Contains(o.Detail, "Power first: wave (12 W); heaters (500 W) last") {
		t.Errorf("%s", o.Detail)
	}
	cool := pick(t, r, "mains power", Outage, "°C")
	if cool.Limit != "temperature_low" || cool.HoursToLimit == nil {
		t.Errorf("%+v", cool)
	}
	// No inverter is stated in this site, so none is reckoned with: 240 Wh / 12 W.
	if len(r.Batteries) != 1 || *r.Batteries[0].Hours != 20 {
		t.Errorf("%+v", r.Batteries)
	}
}

func TestOutageEdges(t *testing.T) {
	sys := hall()
	sys.Livestock = site.Livestock{}
	if h := pick(t, judged(t, siteOf(sys)), "mains power", Outage, "mg/L oxygen"); len(h.Missing) == 0 {
		t.Errorf("%+v", h)
	}
	sys.Limits.OxygenLow = 8 // already below at 90 % of saturation
	if h := pick(t, judged(t, siteOf(sys)), "mains power", Outage, "mg/L oxygen"); h.HoursToLimit == nil || *h.HoursToLimit != 0 {
		t.Errorf("%+v", h)
	}
	sys = hall()
	sys.SurfaceM2 = nil
	if h := pick(t, judged(t, siteOf(sys)), "mains power", Outage, "mg/L oxygen"); h.HoursHigh != nil || !strings.Contains(h.Detail, "give surface") {
		t.Errorf("%+v", h)
	}
	sys = hall()
	sys.Livestock = site.Livestock{FishMassKg: 0.01, FishSizeG: 10}
	if h := pick(t, judged(t, siteOf(sys)), "mains power", Outage, "mg/L oxygen"); h.HoursHigh != nil || !strings.Contains(h.Detail, "as long as") {
		t.Errorf("%+v", h)
	}
	sys = hall()
	sys.Ambient = site.Ambient{Usual: 23, Coldest: 23, Hottest: 33}
	sys.Equipment = []site.Equipment{{ID: "spare", Kind: site.Battery, EnergyWh: 100, Usable: 0.5}, {ID: "gen", Kind: site.Generator, Guards: []site.Guard{{Kind: "test run", Tested: ptr(now.AddDate(0, -1, 0))}}}}
	sys.HeatLoss = site.HeatLoss{Coefficient: ptr(18.0)}
	r := judged(t, siteOf(sys))
	joined := strings.Join(r.Warnings, "\n")
	for _, want := range []string{"hottest room", "feeds nothing"} {
		if !strings.Contains(joined, want) {
			t.Errorf("no warning of %q in %s", want, joined)
		}
	}
	found := false
	for _, h := range r.Hazards {
		found = found || h.Failure == Outage && h.Limit == "temperature_high"
	}
	if !found {
		t.Error("a room hotter than the limit is no hazard")
	}
}

func TestUnknownHeatLossSaysWhatToMeasure(t *testing.T) {
	sys := hall()
	sys.HeatLoss = site.HeatLoss{}
	sys.Ambient.Hottest = 31
	r := judged(t, siteOf(sys))
	if !strings.Contains(strings.Join(r.Warnings, " "), "cooling_test") {
		t.Errorf("%v", r.Warnings)
	}
	for _, f := range []Failure{FailedOff, Outage} {
		id := "heater-1"
		if f == Outage {
			id = "mains power"
		}
		if h := pick(t, r, id, f, "°C"); h.HoursToLimit != nil || len(h.Missing) == 0 {
			t.Errorf("%+v", h)
		}
	}
	stuck := pick(t, r, "heater-1", StuckOn, "")
	if stuck.HoursToLimit == nil || stuck.Final != nil {
		t.Errorf("%+v", stuck)
	}
}

func TestThermalProblemsAreSaid(t *testing.T) {
	for _, c := range []struct {
		change func(*site.System)
		want   string
	}{
		{func(s *site.System) { s.Ambient.Usual = 26 }, "as warm as the water"},
		{func(s *site.System) { s.HeatLoss = site.HeatLoss{Coefficient: ptr(0.0)} }, "cannot be"},
		{func(s *site.System) { s.Equipment = nil }, "neither heaters nor pumps"},
		{func(s *site.System) {
			s.HeatLoss = site.HeatLoss{CoolingTest: &site.CoolingTest{From: 25, To: 25, InH: 3}}
		}, "does not fall"},
		{func(s *site.System) { s.HeatLoss = site.HeatLoss{Coefficient: ptr(80.0)} }, "cannot hold"},
	} {
		sys := hall()
		c.change(&sys)
		if got := strings.Join(judged(t, siteOf(sys)).Warnings, "\n"); !strings.Contains(got, c.want) {
			t.Errorf("no %q in %q", c.want, got)
		}
	}
	sys := hall()
	sys.HeatLoss = site.HeatLoss{CoolingTest: &site.CoolingTest{From: 25.5, To: 25.1, InH: 3}}
	if r := judged(t, siteOf(sys)); r.Thermal[0].CoefficientWK == nil || r.Thermal[0].Basis != site.ByCoolingTest {
		t.Errorf("%+v", r.Thermal)
	}
	sys.Water.Salinity = 350
	if _, err := Judge(siteOf(sys), now, units.Metric); err == nil {
		t.Error("salinity 350 was judged")
	}
}

func TestWaterOnTheFloor(t *testing.T) {
	sys := hall()
	box, _ := volumes.New("box", map[string]float64{"length": 80, "width": 50, "height": 45}, nil)
	sys.Parts = []volumes.Part{{ID: "sump", Shape: box, LevelCm: units.Exact(40), BrimCm: 44, DrainsBackL: 18}}
	s := siteOf(sys)
	r := judged(t, s)
	over := pick(t, r, "pure-a", Overfill, "")
	near(t, "hours to the brim", *over.HoursToLimit, (324-252)/9.0, 1e-9)
	near(t, "litres on the floor", *over.Final, 9*12-72, 1e-9)
	sump := pick(t, r, "sump", DrainBack, "")
	near(t, "spilled", *sump.Final, 18-16, 1e-6)
	if sump.Limit != "brim" {
		t.Errorf("%+v", sump)
	}
	pick(t, r, "hall-reef", Leak, "")
	pick(t, r, "vat-a", Leak, "")
	if l := loadNamed(r, "pure-a"); l == nil || l.Caution == "" {
		t.Errorf("%+v", r.Floor)
	}
	sys.Parts[0].DrainsBackL = 10
	s = siteOf(sys)
	s.Purifier.RateLH = 0
	s.Stores[0].Volume = decimal.Zero
	r = judged(t, s)
	if h := pick(t, r, "sump", DrainBack, ""); h.Limit != "" || !strings.Contains(h.Detail, "to spare") {
		t.Errorf("%+v", h)
	}
	if h := pick(t, r, "pure-a", Overfill, ""); h.Limit != "" || h.HoursToLimit != nil {
		t.Errorf("%+v", h)
	}
}

func TestGuardsCountWhenTestedAndIndependent(t *testing.T) {
	month := now.AddDate(0, -1, 0)
	old := now.AddDate(-2, 0, 0)
	future := now.AddDate(0, 1, 0)
	yearAgo := now.Add(-testedWithin)
	list := layers([]site.Guard{
		{Kind: "a", Tested: &month}, {Kind: "b", Tested: &old}, {Kind: "c"}, {Kind: "d", Tested: &future},
		{Kind: "x", Tested: &old, SharedWith: "controller"}, // does not count, so it takes nothing from the next
		{Kind: "e", Tested: &month, SharedWith: "controller"}, {Kind: "f", Tested: &month, SharedWith: "controller"},
		{Kind: "g", Tested: &month, SharedWith: "heater"}, {Kind: "h", Tested: &yearAgo},
	}, "heater", now, func(string) string { return "" })
	counts := ""
	for _, l := range list {
		if l.Counts {
			counts += l.Kind
		} else if l.Why == "" {
			t.Errorf("%s does not count and does not say why", l.Kind)
		}
	}
	if counts != "aeh" {
		t.Errorf("%q count", counts)
	}
	sys := hall()
	sys.Equipment[0].Guards = []site.Guard{{Kind: "cut-out", Tested: &month, SharedWith: "controller"}}
	sys.Equipment[2].Guards = []site.Guard{{Kind: "second float", Tested: &month, SharedWith: "controller"}}
	s := siteOf(sys)
	s.Purifier.Guards = []site.Guard{{Kind: "leak shutoff"}}
	r := judged(t, s)
	if len(r.SharedCauses) != 1 || r.NoLayer == 0 || r.OneLayer != 2 {
		t.Errorf("%v, %d, %d", r.SharedCauses, r.NoLayer, r.OneLayer)
	}
}

// What a guard can stop, by the failure and not by the device it hangs on. A heater
// that is off or broken is stopped by nothing (findings: a high-limit cut-out was
// counted against both); an alarm, a ground-fault device and a part's own control
// stop nothing, and what is not known counts for nothing and is said.
func TestGuardsStopWhatTheirKindCan(t *testing.T) {
	tested := ptr(now.AddDate(0, -1, 0))
	for _, c := range []struct {
		kind, device string
		failure      Failure
		counts       int
	}{
		{"high-limit cut-out", "heater-1", StuckOn, 1},
		{"high-limit cut-out", "heater-1", FailedOff, 0},
		{"high-limit cut-out", "heater-1", BrokenOpen, 0},
		{"thermostat plug", "heater-1", StuckOn, 1},
		{"thermostat", "heater-1", StuckOn, 0},
		{"Controller", "heater-1", StuckOn, 1},
		{"high-limit alarm", "heater-1", StuckOn, 0},
		{"GFCI", "heater-1", BrokenOpen, 0},
		{"second float", "heater-1", StuckOn, 0},
		{"second float", "top-off", Overrun, 1},
		{"float", "top-off", Overrun, 0},
		{"leak shutoff", "top-off", Overrun, 0},
		{"run-time limit", "alk", Overrun, 1},
		{"level sensor", "alk", Overrun, 0},
		{"leak alarm with shutoff", "skim", Overflow, 1},
		{"leak alarm", "skim", Overflow, 0},
		{"lucky charm", "skim", Overflow, 0},
	} {
		sys := hall()
		for i := range sys.Equipment {
			sys.Equipment[i].Guards = nil
			if sys.Equipment[i].ID == c.device {
				sys.Equipment[i].Guards = []site.Guard{{Kind: c.kind, Tested: tested}}
			}
		}
		r := judged(t, siteOf(sys))
		h := pick(t, r, c.device, c.failure, "")
		if h.Counting() != c.counts || !h.SinglePoint || len(h.Guards) != 1 || (h.Guards[0].Why == "") != h.Guards[0].Counts {
			t.Errorf("%s against %s %s: %+v", c.kind, c.device, c.failure, h.Guards)
		}
		if warned := strings.Contains(strings.Join(r.Warnings, "\n"), "lucky charm"); warned != (c.kind == "lucky charm") {
			t.Errorf("%s: warned %v", c.kind, warned)
		}
	}
	for f, want := range map[Failure]bool{StuckOn: true, FailedOff: false, BrokenOpen: false} {
		if h := pick(t, judged(t, siteOf(hall())), "heater-1", f, ""); h.Guardable != want {
			t.Errorf("%s: guardable %v", f, h.Guardable)
		}
	}
}

// Two guards of their own are enough; one that depends on another is not.
func TestTwoGuardsAreNoSinglePoint(t *testing.T) {
	tested := ptr(now.AddDate(0, -1, 0))
	sys := hall()
	sys.Equipment[0].Guards = []site.Guard{{Kind: "high-limit cut-out", Tested: tested}, {Kind: "controller", Tested: tested, SharedWith: "controller"}}
	if h := pick(t, judged(t, siteOf(sys)), "heater-1", StuckOn, ""); h.SinglePoint || h.Counting() != 2 {
		t.Errorf("%+v", h)
	}
}

// What harms people first, then what kills within a day, then what is slow, each by
// the hours; what reaches no limit last.
func TestWorstFirst(t *testing.T) {
	r := judged(t, siteOf(hall()))
	place := map[Harm]int{People: 0, WithinADay: 1, Slow: 2, NoHarm: 3}
	for i := 1; i < len(r.Hazards); i++ {
		a, b := r.Hazards[i-1], r.Hazards[i]
		if place[a.Harm] > place[b.Harm] || a.Harm == b.Harm && a.Harm != NoHarm && a.hours() > b.hours() {
			t.Errorf("%s %s (%q, %v h) before %s %s (%q, %v h)", a.Equipment, a.Failure, a.Harm, a.hours(), b.Equipment, b.Failure, b.Harm, b.hours())
		}
		if (b.Harm == NoHarm) != (b.Limit == "") {
			t.Errorf("%s %s: harm %q, limit %q", b.Equipment, b.Failure, b.Harm, b.Limit)
		}
	}
	for _, c := range []struct {
		id   string
		f    Failure
		unit Unit
		want Harm
	}{
		{"heater-1", BrokenOpen, "", People}, {"hall-reef", Leak, "", People}, {"pure-a", Overfill, "", People},
		{mains, Outage, "mg/L oxygen", WithinADay}, {"heater-1", StuckOn, "", WithinADay}, {"alk", Overrun, "", WithinADay},
		{"top-off", Overrun, "", Slow}, {"skim", Overflow, "", Slow}, {"ca", Overrun, "", NoHarm},
	} {
		if h := pick(t, r, c.id, c.f, c.unit); h.Harm != c.want {
			t.Errorf("%s %s: %q, want %q", c.id, c.f, h.Harm, c.want)
		}
	}
	// A limit that a day does not reach is slow; so is a bottle that does not double
	// what the water holds, and one that takes longer than a day to.
	sys := hall()
	sys.HeatLoss = site.HeatLoss{Coefficient: ptr(4.0)}
	sys.Ambient.Coldest = 15
	if h := pick(t, judged(t, siteOf(sys)), mains, Outage, "°C"); h.Harm != Slow || *h.HoursToLimit <= 24 {
		t.Errorf("%+v", h)
	}
	for _, c := range []struct {
		reservoir units.Litres
		flow      float64
		want      Harm
	}{{0.9, 1.8, Slow}, {0.91, 1.8, WithinADay}, {2, 0.037, Slow}, {2, 0.038, WithinADay}} {
		// 8.2 dKH in 588.8 L are 8.2/2.80385·588.8/1.9 = 906 mL; over 24 h 37.8 mL/h.
		sys := hall()
		sys.Equipment[3].Reservoir, sys.Equipment[3].FlowLH = c.reservoir, c.flow
		if h := pick(t, judged(t, siteOf(sys)), "alk", Overrun, ""); h.Harm != c.want {
			t.Errorf("%v L at %v L/h: %q, want %q", c.reservoir, c.flow, h.Harm, c.want)
		}
	}
	sys = hall()
	sys.Equipment[2].Reservoir = 90 // down to 30.4 within the day
	if h := pick(t, judged(t, siteOf(sys)), "top-off", Overrun, ""); h.Harm != WithinADay {
		t.Errorf("%+v", h)
	}
}

func TestSkimmerWithoutTopOff(t *testing.T) {
	sys := hall()
	sys.Equipment = []site.Equipment{{ID: "skim", Kind: site.Skimmer, OverflowLH: 3}}
	if h := pick(t, judged(t, siteOf(sys)), "skim", Overflow, ""); *h.Final != 3 || h.Limit != OnFloor || h.Harm != People {
		t.Errorf("%+v", h)
	}
}

func TestHazardsAsEvents(t *testing.T) {
	s := siteOf(hall())
	text := Events(s, judged(t, s))
	for _, want := range []string{"id: top-off-overrun, system: hall-reef, playbook: top-off-overrun, remove: ", "id: heater-1-broken-open", "within: 24 h"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if !strings.Contains(Events(s, Result{}), "No hazard") {
		t.Error("an empty result says nothing")
	}
}

// Devices of one name in two systems, and events pasted before: no id comes twice.
func TestPastedEventsHaveIdsOfTheirOwn(t *testing.T) {
	other := hall()
	other.ID = "annex"
	s := siteOf(hall(), other)
	s.Events = []site.Event{{ID: "alk-overrun", System: "hall-reef"}, {ID: "top-off-overrun", System: "elsewhere"}}
	text, seen := Events(s, judged(t, s)), map[string]bool{}
	for line := range strings.Lines(text) {
		if rest, ok := strings.CutPrefix(line, "  - {id: "); ok {
			id, _, _ := strings.Cut(rest, ",")
			if seen[id] || s.EventByID(id) != nil {
				t.Errorf("%s comes twice", id)
			}
			seen[id] = true
		}
	}
	if !seen["annex-heater-1-broken-open"] || !seen["hall-reef-top-off-overrun"] || !strings.Contains(text, "alk-overrun is an event of this site already") {
		t.Errorf("got\n%s", text)
	}
}

// By hand: 180 W of chiller off, pump of 12 W: the water heads for 28 + 12/28.77 =
// 28.4 °C, past 22 °C. A system without a chiller in such a room is warned instead.
func TestChillerOff(t *testing.T) {
	sys := hall()
	sys.Limits.TemperatureHigh, sys.Water.Temperature = 28.2, 25.5
	sys.Equipment = append(sys.Equipment, site.Equipment{ID: "cool", Kind: site.Chiller, PowerW: 180})
	r := judged(t, siteOf(sys))
	h := pick(t, r, "cool", FailedOff, "")
	near(t, "settles at", *h.Final, 28+12/(187/6.5), 1e-9)
	if h.Limit != "temperature_high" || h.HoursToLimit == nil || !h.SinglePoint {
		t.Errorf("%+v", h)
	}
	b, _, _ := newBody(sys, units.Metric)
	near(t, "at the limit", b.Body(b.volume, 12, 28).Course(b.start).At(*h.HoursToLimit), 28.2, 1e-9)
	pick(t, r, "cool", StuckOn, "")
	sys.Limits.TemperatureHigh = 29
	if h := pick(t, judged(t, siteOf(sys)), "cool", FailedOff, ""); h.Limit != "" {
		t.Errorf("%+v", h)
	}
	sys.Limits.TemperatureHigh = 27
	if got := strings.Join(judged(t, siteOf(sys)).Warnings, " "); strings.Contains(got, "plan cooling") {
		t.Errorf("has a chiller, and is told to %s", got)
	}
	sys.HeatLoss = site.HeatLoss{}
	if h := pick(t, judged(t, siteOf(sys)), "cool", FailedOff, ""); len(h.Missing) == 0 || h.Detail == "" {
		t.Errorf("%+v", h)
	}
}

// Feed warmer than the rating: the highest of the published tables counts, 1/0.85 at
// 30 °C (table A); feed colder than it never slows an overfill down.
// Source: [ro-table-a].
func TestOverfillAtTheHighestRate(t *testing.T) {
	s := siteOf(hall())
	s.Purifier.Feed = 30
	h := pick(t, judged(t, s), "pure-a", Overfill, "")
	near(t, "hours to the brim", *h.HoursToLimit, 72/(9/0.85), 1e-9)
	s.Purifier.Feed = 5
	near(t, "with cold feed", *pick(t, judged(t, s), "pure-a", Overfill, "").HoursToLimit, 8, 1e-9)
	s.Systems[0].UnattendedH = 4
	if h := pick(t, judged(t, s), "pure-a", Overfill, ""); !strings.Contains(h.Detail, "nothing runs onto the floor") {
		t.Errorf("%s", h.Detail)
	}
}

// In US units no sentence is left in metric ones.
func TestSentencesInTheReadersUnits(t *testing.T) {
	sys := hall()
	sys.Ambient.Hottest = 31
	sys.Equipment = append(sys.Equipment, site.Equipment{ID: "cool", Kind: site.Chiller}, site.Equipment{ID: "gen", Kind: site.Generator, FuelL: 9, UsePerHourL: 1})
	box, _ := volumes.New("box", map[string]float64{"length": 80, "width": 50, "height": 45}, nil)
	sys.Parts = []volumes.Part{{ID: "sump", Shape: box, LevelCm: units.Exact(40), BrimCm: 44, DrainsBackL: 18}}
	r, err := Judge(siteOf(sys), now, units.US)
	if err != nil {
		t.Fatal(err)
	}
	text := append([]string{}, r.Warnings...)
	for _, h := range r.Hazards {
		text = append(text, h.Detail)
	}
	for _, g := range r.Generators {
		text = append(text, g.Detail)
	}
	for _, l := range r.Floor {
		text = append(text, l.Caution)
	}
	for _, s := range text {
		for _, metric := range []string{"°C", " L ", " L,", " kg", "m²"} {
			if strings.Contains(s, metric) {
				t.Errorf("%q in: %s", metric, s)
			}
		}
	}
}

func TestBrokenHeaterTakesTheSitesOwnEvent(t *testing.T) {
	s := siteOf(hall())
	s.Events = []site.Event{{ID: "x", System: "hall-reef", Playbook: "heater-break", StartUgL: 60, TargetUgL: 3}}
	if h := pick(t, judged(t, s), "heater-1", BrokenOpen, ""); !(math.Abs(*h.RemoveShare-0.95) <= 1e-12) {
		t.Errorf("%+v", h)
	}
	s.Events = []site.Event{{ID: "x", System: "hall-reef", Playbook: "heater-break", Remove: ptr(1.0)}}
	if h := pick(t, judged(t, s), "heater-1", BrokenOpen, ""); h.WaterToUndoL != nil {
		t.Errorf("all of it can be removed: %+v", h)
	}
}

// More of a reservoir never takes longer to harm, and never ends better.
func TestLargerReservoirIsNeverSafer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sys := hall()
		small := rapid.Float64Range(0.1, 200).Draw(t, "reservoir")
		more := rapid.Float64Range(1, 3).Draw(t, "factor")
		flow := rapid.Float64Range(0.01, 30).Draw(t, "flow")
		sys.Equipment = []site.Equipment{
			{ID: "a", Kind: site.TopOff, Reservoir: units.Litres(small), FlowLH: flow},
			{ID: "b", Kind: site.TopOff, Reservoir: units.Litres(small * more), FlowLH: flow},
		}
		a, err := topOff(sys, sys.Equipment[0], units.Metric)
		b, err2 := topOff(sys, sys.Equipment[1], units.Metric)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		if a.Limit != "" && b.Limit == "" || *b.Final > *a.Final+1e-12 {
			t.Fatalf("%+v\n%+v", a, b)
		}
		if a.HoursToLimit != nil && !(math.Abs(*a.HoursToLimit-*b.HoursToLimit) <= 1e-9) {
			t.Fatalf("hours differ: %v %v", *a.HoursToLimit, *b.HoursToLimit)
		}
	})
}

// The water to undo, applied in changes, brings the disturbance to the fraction.
func TestUndoReplays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		volume := rapid.Float64Range(50, 5000).Draw(t, "volume")
		d := rapid.Float64Range(0.05, 0.9).Draw(t, "drawdown")
		fraction := rapid.Float64Range(0.01, 0.99).Draw(t, "fraction")
		water, left := undo(volume, d, fraction), 1.0
		for water > 1e-9 {
			r := math.Min(water, d*volume)
			left *= 1 - r/volume
			water -= r
		}
		if !(math.Abs(left-fraction) <= 1e-9) {
			t.Fatalf("left %v, want %v", left, fraction)
		}
	})
	if undo(100, 0, 0.5) < math.MaxFloat64 || undo(100, 0.5, 1) != 0 {
		t.Error("edges")
	}
}
