package hazards

import (
	"testing"

	"tidehold/volumes/site"
)

// The demonstration's 640 L at 35 and 25.5 °C, with TEOS-10 density (1023.19 kg/m³) and
// heat capacity (3999.2 J/(kg K)), computed by the library python3-gsw 3.6.16: 2.619 MJ
// for one °C; ice melts with 333426.5 J/kg and its water takes 106949.8 J/kg to
// 25.5 °C: 5.947 kg of it; 300 W take 2.425 h. Findings A13 print 2.6 MJ, about 6 kg
// and 2.4 h. 0.15 %: the heat capacity here is UNESCO 44's.
func TestAidsAgainstTEOS10(t *testing.T) {
	sys := hall()
	sys.Equipment = []site.Equipment{{ID: "heater-1", Kind: site.Heater, PowerW: 300}}
	a, err := AidsFor(sys)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "MJ per °C", a.HeatMJPerC, 2.618872, 0.0015*2.619)
	near(t, "kg of ice per °C", a.IceKgPerC, 5.946897, 0.0015*5.947)
	near(t, "hours per °C of 300 W", *a.HeaterHoursPerC, 2.424882, 0.0015*2.425)
	if a.HeaterW != 300 || len(a.Basis) != 3 {
		t.Errorf("%+v", a)
	}
}

// By hand: 300 W of which 35 % hold the tank at its usual room leave 195 W: 2.43·300/195.
func TestHeaterWithWhatItLoses(t *testing.T) {
	sys := hall()
	sys.Equipment = []site.Equipment{{ID: "heater-1", Kind: site.Heater, PowerW: 300}}
	a, err := AidsFor(sys)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "hours", *a.SpareHoursPerC, *a.HeaterHoursPerC*300/195, 1e-9)
	sys.Equipment, sys.HeatLoss = nil, site.HeatLoss{}
	if a, err = AidsFor(sys); err != nil || a.HeaterHoursPerC != nil || a.SpareHoursPerC != nil {
		t.Errorf("no heater: %+v, %v", a, err)
	}
	sys.Water.Salinity = 350
	if _, err := AidsFor(sys); err == nil {
		t.Error("salinity 350")
	}
	if _, err := IceKgPerC(sys); err == nil {
		t.Error("ice at salinity 350")
	}
}

// 100 mL of 1.9 meq/mL in 640 L: 0.190 eq/640 L = 0.2969 meq/L, at 2.8039 dKH per meq/L
// (1 dKH = 10 mg/L CaO; IUPAC atomic weights) 0.832 dKH. Findings B17: 0.83. Calcium of
// 40 mg/mL: 4000 mg/640 L = 6.25 mg/L.
func TestWhatIsMissingFromABottle(t *testing.T) {
	sys := hall()
	alk, ca := Step(sys, sys.Equipment[3]), Step(sys, sys.Equipment[4])
	near(t, "alkalinity", alk.Per100ML, 0.8324, 0.0001)
	near(t, "calcium", ca.Per100ML, 6.25, 1e-12)
	near(t, "bottle", ca.Bottle, 125, 1e-9)
	if alk.Unit != "dKH" || ca.Unit != "mg/L" {
		t.Errorf("%+v %+v", alk, ca)
	}
	list := judged(t, siteOf(sys)).Dosers
	if len(list) != 3 || list[0] != alk || list[1] != ca || list[2].Doses != "magnesium" {
		t.Errorf("%+v", list)
	}
}

// Findings A14, with the same formula from memory: about 1100 mg/h from 30 cm without
// stopping, 30 L/min, at a deficit of 2 mg/L and 25.5 °C. By hand: r = 1 + 0.38·1.8·0.3·
// 0.967·2.173 = 1.4312, 1800·2·(1 − 1/1.4312) = 1084.6.
func TestJug(t *testing.T) {
	near(t, "mg/h", pouring(2, 25.5).MgH, 1084.6, 0.2)
	if pouring(-1, 25).MgH != 0 {
		t.Error("a jug takes no oxygen out")
	}
	a, err := AidsFor(hall())
	if err != nil || !(a.Jug.MgH > 0) || !(a.OxygenDoubleMgH > a.OxygenRestMgH) {
		t.Errorf("%+v, %v", a, err)
	}
}

// By hand: ten fish of 50 g at 25 °C, restless, use 205.2 mg/h. At salinity 35 water
// holds 6.7707 mg/L (TEOS-10): from 90 % of it to 4 mg/L are 2.0936 mg in a litre, so
// that two hours take 196 L. Source: [clarke1999].
func TestBinWhoseAirLasts(t *testing.T) {
	sys := hall()
	sys.Water.Temperature = 25
	sys.Livestock = site.Livestock{FishMassKg: 0.5, FishSizeG: 50, ReefAreaM2: 3}
	l, ok, err := BinL(sys, 2)
	if !ok || err != nil {
		t.Fatal(ok, err)
	}
	near(t, "litres", l, 196, 0.5)
	sys.Limits.OxygenLow = 6.5
	if _, ok, _ := BinL(sys, 2); ok {
		t.Error("there is no air to live on")
	}
	sys.Livestock, sys.Limits.OxygenLow = site.Livestock{ReefAreaM2: 3}, 4
	if _, ok, _ := BinL(sys, 2); ok {
		t.Error("no fish, and a bin")
	}
	sys.Water.Salinity = 350
	if _, _, err := BinL(sys, 2); err == nil {
		t.Error("salinity 350")
	}
}
