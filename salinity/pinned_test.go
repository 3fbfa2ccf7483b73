package salinity

import (
	"math"
	"strings"
	"testing"

	"tidehold/refs/units"
)

// What a planted mistake once got past every test: defaults and tables that only an
// exact number holds in place.

// TestUsualSettingsOfInstruments: the meter's 0.020 per °C is worth 1.1 in salinity at
// 15 °C; the hand refractometer's 1 is taken where the user gives none.
func TestUsualSettingsOfInstruments(t *testing.T) {
	c, err := CompensatedConductivity(35, 15, CompensationAlpha)
	if err != nil {
		t.Fatal(err)
	}
	at15, err := Conductivity(35, 15)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "conductivity at 25 °C by 0.020 per °C", float64(c), float64(at15)/(1+0.020*(15-25)), 1e-9)
	m := measure(t, Reading{Instrument: InstrumentRefractometer, Scale: ScaleSalinity, Value: 35, Temperature: 25})
	near(t, "hand refractometer without a stated ±", m.U, 1.0, 0.15) // the temperature's share is small
	if !(m.U >= 1) {
		t.Errorf("a refractometer good to 1 is given as ± %g", m.U)
	}
}

// TestOxygenAtAnotherPressure: the correction of Benson and Krause, eq. (24), worked by
// hand at 20 °C in fresh water: theta = 0.000975 − 1.426e-5·20 + 6.436e-8·400 =
// 0.000715544. Pressures far from one atmosphere, where theta shows.
func TestOxygenAtAnotherPressure(t *testing.T) {
	const theta = 0.000715544
	pw := vapourPressure(0, 20)
	for _, p := range []float64{0.55, 0.8, 1.08} {
		want := p * (1 - pw/p) * (1 - theta*p) / ((1 - pw) * (1 - theta))
		near(t, "pressure factor", oxygenPressureFactor(0, 20, p), want, 1e-12)
	}
	near(t, "theta at 0 °C", bkTheta[0], 0.000975, 0)
	// Vapour pressure of pure water at 20 °C: 23.39 hPa (IAPWS, to four figures; from
	// memory). The expression of 1967 lies 0.14 % below it.
	near(t, "vapour pressure at 20 °C, atm", pw, 23.39/1013.25, 4e-5)
}

// TestCriteriaBeyondTheirTables: the printed tables end at salinity 10 and 30, and the
// answer says when it goes on by the formula, but not before.
func TestCriteriaBeyondTheirTables(t *testing.T) {
	for s, beyond := range map[units.Practical]bool{9.9: true, 10: false, 20: false, 30: false, 30.1: true, 35: true} {
		a, err := UnionisedAmmonia(AmmoniaWater{TotalN: 1, PH: 8, Salinity: s, Temperature: 25})
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Join(a.Warnings, "\n")
		if strings.Contains(text, "the criteria are tabulated for salinity 10 to 30") != beyond {
			t.Errorf("salinity %g: %q", float64(s), text)
		}
		if math.IsNaN(a.Criteria.NH3) {
			t.Errorf("salinity %g: no figure", float64(s))
		}
	}
}

// TestEveryCoefficientIsListed: a table of rows lists each of its numbers once.
func TestEveryCoefficientIsListed(t *testing.T) {
	want := map[string]int{
		"un-ionised ammonia, clegg-whitfield-total": 2 + 5*4, "un-ionised ammonia, clegg-whitfield-free": 2 + 4*4,
		"Lueker carbonic acid": 10, "Dickson boric acid": 12, "Millero ion product of water": 7, "Millero, Plese and Fernandez hydrogen sulfide": 5,
	}
	for _, r := range Relations() {
		n, ok := want[r.Name]
		if !ok {
			continue
		}
		delete(want, r.Name)
		names := map[string]bool{}
		for _, c := range r.Coefficients {
			names[c.Name] = true
		}
		if len(r.Coefficients) != n || len(names) != n {
			t.Errorf("%s lists %d coefficients by %d names, want %d", r.Name, len(r.Coefficients), len(names), n)
		}
		if strings.HasPrefix(r.Name, "un-ionised ammonia, clegg-whitfield-total") && r.Coefficients[2].Name != "total0.0" {
			t.Errorf("%s: %+v", r.Name, r.Coefficients[2])
		}
	}
	for name := range want {
		t.Errorf("%s is not listed", name)
	}
}
