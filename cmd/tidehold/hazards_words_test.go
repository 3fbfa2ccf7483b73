package main

import (
	"testing"

	"tidehold/refs/units"
	"tidehold/response/hazards"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// What stands between a failure and the animals is counted; else it is said why nothing does.
func TestWhatStandsBetween(t *testing.T) {
	fits, misfit := hazards.Layer{Fits: true}, hazards.Layer{Tested: "2026-10-01"}
	old := hazards.Layer{Fits: true, Tested: "2024-10-01"}
	counts := hazards.Layer{Fits: true, Tested: "2026-10-01", Counts: true}
	for want, h := range map[string]hazards.Hazard{
		"none can": {},
		"NO GUARD": {Guardable: true, Guards: []hazards.Layer{misfit}},
		"untested": {Guardable: true, Guards: []hazards.Layer{misfit, fits}},
		"old test": {Guardable: true, Guards: []hazards.Layer{old, fits}},
		"1 guard":  {Guardable: true, Guards: []hazards.Layer{old, counts}},
		"2 guards": {Guardable: true, Guards: []hazards.Layer{counts, counts}},
	} {
		if got := guardsWord(h); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Where a failure ends is rounded so that a bound stays one, in the unit of what ends there.
func TestWhereAFailureEnds(t *testing.T) {
	at := func(x float64, unit hazards.Unit, bound hazards.Bound) hazards.Hazard {
		return hazards.Hazard{Final: &x, FinalUnit: unit, FinalBound: bound}
	}
	for _, c := range []struct {
		h    hazards.Hazard
		want string
	}{
		{hazards.Hazard{}, "unknown"}, {hazards.Hazard{Limit: hazards.Metals}, "metals in it"},
		{at(31.24, hazards.Celsius, ""), "31.2 °C"}, {at(31.24, hazards.Celsius, hazards.AtMost), "at most 31.3 °C"}, {at(31.26, hazards.Celsius, hazards.AtLeast), "at least 31.2 °C"},
		{at(30.26, hazards.Practical, ""), "30.3 ppt"}, {at(30.26, hazards.Practical, hazards.AtLeast), "at least 30.2 ppt"},
		{at(2.26, hazards.OxygenMgL, hazards.AtLeast), "at least 2.2 mg/L"}, {at(13.4, hazards.DKH, hazards.AtMost), "at most 14 dKH"}, {at(120.4, hazards.FloorL, ""), "120.4 L"},
	} {
		v := hazardView{units: units.Metric}
		if got := v.end(c.h); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// The time to a limit is rounded down; under a minute it is at once.
func TestHowLongUntilALimit(t *testing.T) {
	for h, want := range map[float64]string{0: "at once", 0.9 / 60: "at once", 1.01 / 60: "1 min", 2.99: "2 h 59 min", 23.999: "23 h 59 min"} {
		if got := (hazardView{}).after(hazards.Hazard{HoursToLimit: &h}); got != want {
			t.Errorf("%g h: %q, want %q", h, got, want)
		}
	}
	if got := (hazardView{}).after(hazards.Hazard{}); got != "unknown" {
		t.Errorf("%q", got)
	}
}

// What fails is named by its part, by its kind where several parts of one kind fail alike, and by its system where
// there are several.
func TestWhatFailsIsNamed(t *testing.T) {
	one, two := &site.Site{Systems: make([]site.System, 1)}, &site.Site{Systems: make([]site.System, 2)}
	kinds := map[string]site.EquipmentKind{"reef/heater-1": site.Heater}
	for _, c := range []struct {
		s    *site.Site
		g    gatheredHazard
		want string
	}{
		{one, gatheredHazard{hazards.Hazard{System: "reef", Equipment: "heater-1", Failure: hazards.StuckOn}, 1}, "heater-1 stuck on"},
		{two, gatheredHazard{hazards.Hazard{System: "reef", Equipment: "heater-1", Failure: hazards.FailedOff}, 1}, "reef heater-1 stays off"},
		{one, gatheredHazard{hazards.Hazard{System: "reef", Equipment: "heater-1", Failure: hazards.BrokenOpen}, 2}, "heater breaks"},
		{one, gatheredHazard{hazards.Hazard{Equipment: "vat-a", Failure: hazards.Leak}, 1}, "vat-a leaks"},
		{one, gatheredHazard{hazards.Hazard{Equipment: "vat-a", Failure: hazards.Leak}, 2}, "a tank or vat leaks"},
		{one, gatheredHazard{hazards.Hazard{System: "reef", Failure: hazards.Outage, Limit: plan.TemperatureLow}, 1}, "reef outage: cold"},
		{one, gatheredHazard{hazards.Hazard{System: "reef", Failure: hazards.Outage, Limit: plan.TemperatureHigh}, 1}, "reef outage: heat"},
		{one, gatheredHazard{hazards.Hazard{System: "reef", Failure: hazards.Outage}, 1}, "reef outage: oxygen"},
	} {
		if got := (hazardView{site: c.s, kinds: kinds}).sentence(c.g); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// What is too heavy for a dwelling's floor is counted and the heaviest named; what is not reckoned names the keys.
func TestWhatElseCountsTonight(t *testing.T) {
	v := hazardView{units: units.Metric}
	if v.heavy() != "" || v.missing() != "" {
		t.Errorf("%q, %q", v.heavy(), v.missing())
	}
	v.Floor = []hazards.Load{{Store: "light", KgPerM2: 900}, {Store: "vat-a", KgPerM2: 400, Caution: "c"}, {System: "reef", Part: "sump", KgPerM2: 700, Caution: "c"}, {System: "pool", KgPerM2: 300, Caution: "c"}}
	if got := v.heavy(); got != "Floor: 3 vessels above a dwelling's usual load, reef sump the most (700 kg/m²)." {
		t.Errorf("%q", got)
	}
	if got := loadName(hazards.Load{System: "pool"}); got != "pool" {
		t.Errorf("%q", got)
	}
	v.Hazards = []hazards.Hazard{{Missing: []string{"surface", "flow"}}, {Missing: []string{"flow"}}}
	if got := v.missing(); got != "Not all is reckoned yet; the site file does not say: surface and flow." {
		t.Errorf("%q", got)
	}
}
