package hazards

import (
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/volumes"
	"tidehold/volumes/site"
)

// 640 L, 300 W, 25.5 → 29 °C without any loss: 640·1.0232·3996 J/K · 3.5 K / 300 W =
// 8.48 h. It is the fastest it can be, and where it ends is not known.
func TestStuckHeaterWithoutHeatLoss(t *testing.T) {
	sys := hall()
	sys.NetVolumeU, sys.HeatLoss = 0, site.HeatLoss{}
	sys.Equipment = []site.Equipment{{ID: "heater-1", Kind: site.Heater, PowerW: 300}}
	h := pick(t, judged(t, siteOf(sys)), "heater-1", StuckOn, "")
	near(t, "hours", *h.HoursToLimit, 8.48, 0.01)
	if h.Final != nil || h.Limit != "temperature_high" || h.Harm != WithinADay {
		t.Errorf("%+v", h)
	}
	sys.Equipment[0].PowerW = 0
	if h := pick(t, judged(t, siteOf(sys)), "heater-1", StuckOn, ""); h.Limit != "" || !strings.Contains(h.Detail, "without power") {
		t.Errorf("%+v", h)
	}
}

// 30 mL/min of 1.9 meq/mL into 640 L: one dKH (0.35665 meq/L) is 120.1 mL, 0.0667 h.
// Top-off at 6 L/h: from 35 to 33, salt and mass conserved, 640·1023.19/996.9·2/33 =
// 39.8 L, 6.63 h; the skimmer at 3 L/h: 640·ln(35/33) = 37.7 L, 12.55 h.
func TestHoursOfOverruns(t *testing.T) {
	sys := hall()
	sys.NetVolumeU = 0
	r := judged(t, siteOf(sys))
	near(t, "alkalinity", *pick(t, r, "alk", Overrun, "").HoursToLimit, 0.0667, 0.0001)
	top := pick(t, r, "top-off", Overrun, "")
	near(t, "top-off", *top.HoursToLimit, 6.63, 0.01)
	near(t, "its reservoir", *top.SafeReservoirL, 39.8, 0.1)
	near(t, "skimmer", *pick(t, r, "skim", Overflow, "").HoursToLimit, 12.55, 0.01)
}

// 324 L of fresh water at 18 °C (0.99860 kg/L) on 60 cm by 60 cm weigh 323.5 kg, 898.7
// kg/m²; 640 L of seawater (1.02319) over 1.1 m² weigh 654.8 kg, 595.3 kg/m². A floor
// of 40 lb/ft² carries 195.3 kg/m², 30 lb/ft² 146.5; water 20 cm deep is 200.
// Source: ASCE's usual design loads, [asce-floor].
func TestWeightOnTheFloor(t *testing.T) {
	near(t, "40 lb/ft²", floorKgM2, 195.3, 0.05)
	near(t, "30 lb/ft²", sleepingKgM2, 146.5, 0.05)
	r := judged(t, siteOf(hall()))
	vat, tank := loadNamed(r, "pure-a"), loadNamed(r, "hall-reef")
	near(t, "vat, kg", vat.MassKg, 323.5, 0.1)
	near(t, "vat, kg/m²", vat.KgPerM2, 898.7, 0.3)
	near(t, "tank, kg", tank.MassKg, 654.8, 0.1)
	near(t, "tank, kg/m²", tank.KgPerM2, 595.3, 0.2)
	for _, l := range []*Load{vat, tank} {
		if !strings.Contains(l.Caution, "195 kg/m² (sleeping rooms 146 kg/m²)") {
			t.Errorf("%q", l.Caution)
		}
	}
	sys := hall()
	sys.SurfaceM2 = ptr(4.0) // 163.7 kg/m²
	if l := loadNamed(judged(t, siteOf(sys)), "hall-reef"); l.Caution != "" {
		t.Errorf("%+v", l)
	}
	sys.SurfaceM2 = nil
	if l := loadNamed(judged(t, siteOf(sys)), "hall-reef"); l != nil {
		t.Errorf("over what does it stand? %+v", l)
	}
}

// A part weighs its water to the level and the rock beyond the water it displaces:
// 80·50·40 cm are 160 L, 163.7 kg; 24 kg of 2.9 kg/L displace 8.3 L, 8.5 kg of water.
func TestAPartWeighsItsRock(t *testing.T) {
	sys := hall()
	box, _ := volumes.New("box", map[string]float64{"length": 80, "width": 50, "height": 45}, nil)
	sys.Parts = []volumes.Part{{ID: "sump", Shape: box, LevelCm: units.Exact(40), BrimCm: 44,
		Displaced: volumes.Displaced{RockMassKg: units.Exact(24), RockDensity: units.Exact(2.9)}}}
	l := loadNamed(judged(t, siteOf(sys)), "sump")
	near(t, "kg", l.MassKg, 163.71+24-8.47, 0.05)
	near(t, "kg/m²", l.KgPerM2, (163.71+24-8.47)/0.4, 0.1)
	sys.Parts[0].LevelCm = units.Exact(50)
	if _, err := Judge(siteOf(sys), now, units.Metric); err == nil {
		t.Error("a level above the shape was weighed")
	}
}

// A leak stands under the limits, with its litres and their depth: 691.2 L (the volume
// and its ±) over 20 m² are 34.6 mm, rounded up. It cannot be guarded.
func TestLeakIsALimitReached(t *testing.T) {
	h := pick(t, judged(t, siteOf(hall())), "hall-reef", Leak, "")
	if h.Limit != OnFloor || h.Harm != People || h.FinalBound != AtMost || h.Guardable || !h.SinglePoint ||
		!strings.Contains(h.Detail, "20 m² that is 35 mm deep") || !strings.Contains(h.Detail, "rooms under it") {
		t.Errorf("%+v", h)
	}
	near(t, "litres", *h.Final, 691.2, 1e-9)
	// 691.2 L are 24.41 ft³: 1.46 in over 200 ft².
	if s := depthOnFloor(691.2, units.US); !strings.Contains(s, "1.5 in deep") {
		t.Error(s)
	}
}

// What a formula overshoots is printed as a bound: oxygen does not end at 0 mg/L, nor
// alkalinity at 26 dKH.
func TestEndsAreBounds(t *testing.T) {
	r := judged(t, siteOf(hall()))
	for _, c := range []struct {
		id    string
		f     Failure
		unit  Unit
		bound Bound
		final float64
	}{
		{mains, Outage, "mg/L oxygen", AtMost, 4}, {"alk", Overrun, "", AtMost, 26.29}, {"ca", Overrun, "", AtMost, 565.9}, {"top-off", Overrun, "", AtLeast, 32.82},
		{"skim", Overflow, "", AtLeast, 32.70}, {"heater-1", StuckOn, "", AtMost, 38.84}, {"heater-1", FailedOff, "", AtLeast, 21.37}, {mains, Outage, "°C", AtLeast, 14},
	} {
		h := pick(t, r, c.id, c.f, c.unit)
		if h.FinalBound != c.bound {
			t.Errorf("%s %s: %q", c.id, c.f, h.FinalBound)
		}
		near(t, c.id+" "+string(c.f), *h.Final, c.final, 0.01+c.final*1e-3)
	}
}

// The smallest likely volume is never nothing, however uncertain it is said to be.
func TestLowVolume(t *testing.T) {
	sys := hall()
	near(t, "± 8 %", lowVolume(sys), 588.8, 1e-9)
	sys.NetVolumeU = 700
	near(t, "more than all of it", lowVolume(sys), 64, 1e-9)
	if got := strings.Join(judged(t, siteOf(sys)).Warnings, "\n"); !strings.Contains(got, "measure it") {
		t.Errorf("no warning: %s", got)
	}
}

// With every heater on, 112 W of pump and heaters against 18 W/K hold 14 + 6.2 °C.
func TestAHeaterThatCannotHoldTheTank(t *testing.T) {
	sys := hall()
	sys.HeatLoss = site.HeatLoss{Coefficient: ptr(18.0)}
	sys.Equipment = []site.Equipment{{ID: "h", Kind: site.Heater, PowerW: 100}, {ID: "wave", Kind: site.Circulation, PowerW: 12}}
	r := judged(t, siteOf(sys))
	near(t, "holds", *r.Thermal[0].HoldsC, 14+112/18.0, 1e-9)
	if !r.Thermal[0].TooWeak || !strings.Contains(strings.Join(r.Warnings, "\n"), "100 W hold only 20.2 °C") {
		t.Errorf("%+v %v", r.Thermal, r.Warnings)
	}
	sys.Equipment[0].PowerW = 400
	if r := judged(t, siteOf(sys)); r.Thermal[0].TooWeak {
		t.Errorf("%+v", r.Thermal)
	}
}

// A return pump that stops takes the air with it where nothing else moves the water;
// the filter's own oxygen is gone either way.
func TestAStoppedReturn(t *testing.T) {
	sys := hall()
	sys.Equipment = []site.Equipment{{ID: "r", Kind: site.Return, PowerW: 30}}
	r := judged(t, siteOf(sys))
	alone, cut := pick(t, r, "r", FailedOff, ""), pick(t, r, mains, Outage, "mg/L oxygen")
	if alone.Limit != "oxygen_low" || *alone.HoursToLimit != *cut.HoursToLimit || alone.Guardable {
		t.Errorf("%+v", alone)
	}
	sys.Equipment = append(sys.Equipment, site.Equipment{ID: "wave", Kind: site.Circulation, PowerW: 12})
	helped := pick(t, judged(t, siteOf(sys)), "r", FailedOff, "")
	if helped.Limit != "" || helped.Harm != NoHarm || !strings.Contains(helped.Detail, "moved by wave") {
		t.Errorf("%+v", helped)
	}
	for _, h := range []Hazard{alone, helped} {
		if !strings.Contains(h.Detail, "empty it before it runs again") {
			t.Error(h.Detail)
		}
	}
}

// What of a result concerns one system.
func TestOfOneSystem(t *testing.T) {
	other := hall()
	other.ID = "annex"
	r := judged(t, siteOf(hall(), other))
	one := r.Of("annex")
	if len(one.Hazards) == 0 || 2*len(one.Hazards) >= len(r.Hazards) || len(one.Thermal) != 1 || len(one.Dosers) != 3 || len(one.Batteries) != 1 || len(one.Floor) != 1 {
		t.Errorf("%d of %d hazards, %+v", len(one.Hazards), len(r.Hazards), one)
	}
	for _, h := range one.Hazards {
		if h.System != "annex" {
			t.Errorf("%+v", h)
		}
	}
	if one.NoLayer >= r.NoLayer {
		t.Errorf("%d of %d", one.NoLayer, r.NoLayer)
	}
}
