package hazards

import (
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// A target of zero and below is never reached: litresTo of it was a negative number,
// which became a reservoir of −1602 L and −267 h.
func TestASalinityOfNothingIsNeverReached(t *testing.T) {
	f := freshening{from: 1.5, litres: func(float64) float64 { return -1602 }}
	for _, target := range []float64{0, -0.5, math.Inf(-1), math.NaN()} {
		if got := f.to(target); !math.IsInf(got, 1) {
			t.Errorf("%v: %v L", target, got)
		}
	}
	if f.to(1.5) != 0 || f.to(2) != 0 {
		t.Error("it is there already")
	}
	sys := hall()
	sys.Water.Salinity = 1.5
	sys.Limits.SalinityLow = 1
	r := judged(t, siteOf(sys))
	// By salt: 1.5·588.8·ρ_sea/(588.8·ρ_sea + 40·ρ_fresh) = 1.405, above 1: no limit.
	h := pick(t, r, "top-off", Overrun, "")
	if h.Limit != "" || h.HoursToLimit != nil || !(math.Abs(*h.Final-1.405) <= 0.001) {
		t.Errorf("%+v", h)
	}
}

// numbersOf walks a result and reports every float in it that cannot be true.
func numbersOf(v reflect.Value, path string, bad func(path string, x float64)) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			numbersOf(v.Elem(), path, bad)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				numbersOf(v.Field(i), path+"."+v.Type().Field(i).Name, bad)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			numbersOf(v.Index(i), path, bad)
		}
	case reflect.Float64:
		x := v.Float()
		if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 && !strings.HasSuffix(path, "C") && !strings.HasSuffix(path, ".Final") {
			bad(path, x)
		}
	}
}

// impossible is an amount that cannot be, in a sentence; a room may be below zero.
var impossible = regexp.MustCompile(`NaN|Inf| -[0-9.]+ (L|h|d|min|W|mg|dKH|kg)`)

// Whatever a site file may hold, no number of a result is negative, infinite or none,
// and no hour lies before now.
func TestNoImpossibleNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pickOf := func(what string, xs ...float64) float64 { return rapid.SampledFrom(xs).Draw(t, what) }
		sys := hall()
		sys.NetVolume = units.Litres(pickOf("volume", 0.1, 40, 640, 1e7))
		sys.NetVolumeU = sys.NetVolume * units.Litres(pickOf("U", 0, 0.08, 1, 3))
		sys.Drawdown = pickOf("drawdown", 0.01, 0.45, 0.95)
		sys.Water.Salinity = units.Practical(pickOf("salinity", 0, 0.5, 1.5, 35, 40))
		sys.Water.Temperature = units.Celsius(pickOf("temperature", 0, 25.5, 40))
		alk := pickOf("alkalinity", 0, 8.2)
		sys.Water.AlkalinityDKH = &alk
		sys.Limits.SalinityPerDay = pickOf("per day", 0.01, 2, 36)
		sys.Limits.SalinityLow = units.Practical(pickOf("low", 0, 32))
		sys.Limits.OxygenLow = pickOf("oxygen", 0, 4, 20)
		sys.Ambient = site.Ambient{Usual: units.Celsius(pickOf("usual", -20, 19, 25.5)), Coldest: -20, Hottest: units.Celsius(pickOf("hottest", 25.5, 45))}
		sys.Livestock = site.Livestock{FishMassKg: pickOf("fish", 0, 1.2, 1e6), FishSizeG: pickOf("size", 0, 0.1, 30), ReefAreaM2: pickOf("reef", 0, 0.8)}
		surface := pickOf("surface", 0.001, 1.1)
		sys.SurfaceM2 = &surface
		if rapid.Bool().Draw(t, "loss?") {
			sys.HeatLoss = site.HeatLoss{CoolingTest: &site.CoolingTest{From: 25.5, To: units.Celsius(pickOf("to", 18, 25.1, 25.49)), InH: 3}}
		}
		for i := range sys.Equipment {
			e := &sys.Equipment[i]
			e.Reservoir, e.FlowLH = units.Litres(pickOf("reservoir", 0, 40, 1e7)), pickOf("flow", 0, 6, 1e6)
			e.Strength, e.OverflowLH, e.PowerW = pickOf("strength", 0, 1.9, 1e4), pickOf("overflow", 0, 3), pickOf("power", 0, 300)
			e.EnergyWh, e.Inverter, e.IdleW = pickOf("energy", 0, 480), pickOf("inverter", 0, 0.85), pickOf("idle", 0, 10)
		}
		r, err := Judge(siteOf(sys), now, units.Metric)
		if err != nil {
			t.Fatal(err)
		}
		numbersOf(reflect.ValueOf(r), "", func(path string, x float64) { t.Errorf("%s is %v", path, x) })
		for _, h := range r.Hazards {
			if impossible.MatchString(h.Detail) {
				t.Errorf("%s %s: %s", h.Equipment, h.Failure, h.Detail)
			}
			if h.Final != nil && *h.Final < 0 && h.FinalUnit != "°C" {
				t.Errorf("%s %s ends at %v %s", h.Equipment, h.Failure, *h.Final, h.FinalUnit)
			}
		}
	})
}
