package salinity

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/outside"
	"tidehold/refs/units"
)

// TestAmmoniaAlternatives: percent NH3 at salinity 35 and pH 8.1, with pH on each
// formula's own scale; computed apart from this code to two decimals.
func TestAmmoniaAlternatives(t *testing.T) {
	for tc, row := range map[units.Celsius]map[AmmoniaMethod]float64{
		15: {CleggWhitfieldTotal: 3.20, CleggWhitfieldFree: 2.66, YaoMillero: 3.02, Bell: 2.58, EPA1989: 2.75},
		20: {CleggWhitfieldTotal: 4.74, CleggWhitfieldFree: 3.86, YaoMillero: 4.49, Bell: 3.67, EPA1989: 3.95},
		25: {CleggWhitfieldTotal: 6.90, CleggWhitfieldFree: 5.48, YaoMillero: 6.52, Bell: 5.20, EPA1989: 5.63},
		30: {CleggWhitfieldTotal: 9.86, CleggWhitfieldFree: 7.65, YaoMillero: 9.28, EPA1989: 7.98},
	} {
		for m, want := range row {
			f, err := UnionisedFraction(m, 8.1, 35, tc)
			if err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("%s at %g °C", m, float64(tc)), 100*f, want, 0.0051)
		}
	}
	// The conversion to kilograms of seawater lowers the fraction at pH 8 from
	// 0.0556 to 0.0537.
	f, err := UnionisedFraction(CleggWhitfieldTotalPerKg, 8, 35, 25)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "per kilogram of seawater", f, 0.0537, 5.1e-5)
	if _, err := UnionisedFraction(Bell, 8.1, 35, 28); err == nil || !strings.Contains(err.Error(), "5 to 25 °C") {
		t.Errorf("beyond the data of Bell: %v", err)
	}
}

// TestAmmoniaAgainstPrintedCriteria: the printed total-ammonia tables of EPA
// 440/5-88-004, mg/L as NH3, against criterion over fraction. The tables scatter
// about their own formula (rms 2.2 %), so the mean is what tells T = t + 273.15 from
// t + 273, which is 1.1 % off.
func TestAmmoniaAgainstPrintedCriteria(t *testing.T) {
	var sum, squares float64
	n := 0
	for _, row := range outside.Table(t, "../testdata/tables/ammonia_saltwater_epa1989.csv") {
		printed := row.Number("total_ammonia_mg_L_as_NH3")
		if row.Text("status") != "printed" || printed < 5 {
			continue
		}
		f, err := UnionisedFraction(EPA1989, row.Number("pH"), units.Practical(row.Number("salinity_g_kg")), units.Celsius(row.Number("temperature_C")))
		if err != nil {
			t.Fatal(err)
		}
		criterion := AmmoniaAcute
		if strings.HasPrefix(row.Text("criterion"), "CCC") {
			criterion = AmmoniaChronic
		}
		d := criterion/f/printed - 1
		if !(math.Abs(d) <= 0.1) {
			t.Errorf("printed %g mg/L at pH %s, %s g/kg, %s °C: computed %g", printed, row.Text("pH"), row.Text("salinity_g_kg"), row.Text("temperature_C"), criterion/f)
		}
		sum += d
		squares += d * d
		n++
	}
	if n < 140 {
		t.Fatalf("compared %d printed values only", n)
	}
	mean, rms := sum/float64(n), math.Sqrt(squares/float64(n))
	t.Logf("%d printed values: mean %.2f %%, rms %.2f %%", n, 100*mean, 100*rms)
	if !(math.Abs(mean) < 0.004) || !(rms < 0.025) {
		t.Errorf("printed tables: mean %.2f %%, rms %.2f %%", 100*mean, 100*rms)
	}
}

func TestUnionisedAmmoniaBesideTheCriteria(t *testing.T) {
	a, err := UnionisedAmmonia(AmmoniaWater{TotalN: 1, PH: 8.1, Salinity: 35, Temperature: 25})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "total as NH3", a.TotalNH3, 1.2159, 5e-5)
	near(t, "NH3", a.NH3, 0.0690*1.2159, 1e-4)
	near(t, "NH3 as N", a.NH3N, 0.0690, 1e-4)
	if a.Method != CleggWhitfieldTotal || a.PHScale != "total" || len(a.Alternatives) != len(AmmoniaMethods()) {
		t.Errorf("method %s on the %s scale with %d alternatives", a.Method, a.PHScale, len(a.Alternatives))
	}
	if a.FractionHigh != a.Fraction || !(a.FractionLow < a.FractionHigh) {
		t.Errorf("spread %g to %g about %g", a.FractionLow, a.FractionHigh, a.Fraction)
	}
	c := a.Criteria
	if c == nil || c.AboveAcute || !c.AboveChronic {
		t.Fatalf("criteria %+v", c)
	}
	near(t, "fraction of the criteria", c.Fraction, 0.0563, 1e-4)
	near(t, "total at the acute criterion", c.AcuteTotalN, 0.233/0.0563/1.2159, 0.01)
	if _, err := json.Marshal(a); err != nil {
		t.Error(err)
	}
	// What the criteria give back as a total is at the criterion exactly.
	b, err := UnionisedAmmonia(AmmoniaWater{TotalN: c.AcuteTotalN, PH: 8.1, Salinity: 35, Temperature: 25})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "at the criterion", b.Criteria.NH3, AmmoniaAcute, 1e-15)
}

func TestAmmoniaOutsideTheCriteria(t *testing.T) {
	a, err := UnionisedAmmonia(AmmoniaWater{TotalN: 1, PH: 8.1, Salinity: 20, Temperature: 38})
	if err != nil {
		t.Fatal(err)
	}
	if a.Criteria != nil || !strings.Contains(strings.Join(a.Warnings, "\n"), "no comparison with the criteria") {
		t.Errorf("criteria %v, warnings %q", a.Criteria, a.Warnings)
	}
	for _, w := range []AmmoniaWater{{-1, 8, 35, 25}, {math.NaN(), 8, 35, 25}, {1, math.NaN(), 35, 25}, {1, 8, 41, 25}, {1, 8, 35, -9}} {
		var e *RangeError
		if _, err := UnionisedAmmonia(w); !errors.As(err, &e) {
			t.Errorf("%+v: %v", w, err)
		}
	}
	var e *MethodError
	if _, err := UnionisedFraction("x", 8, 35, 25); !errors.As(err, &e) || !strings.Contains(err.Error(), "yao-millero, clegg-whitfield-free") {
		t.Errorf("unknown method: %v", err)
	}
}

func TestFractionRisesWithPHAndTemperature(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := units.Practical(rapid.Float64Range(5, 40).Draw(t, "s"))
		tc := units.Celsius(rapid.Float64Range(5, 24).Draw(t, "t"))
		pH := rapid.Float64Range(6, 9).Draw(t, "pH")
		for _, m := range AmmoniaMethods() {
			f, _ := UnionisedFraction(m, pH, s, tc)
			up, _ := UnionisedFraction(m, pH+0.01, s, tc)
			warm, _ := UnionisedFraction(m, pH, s, tc+0.1)
			if !(up > f && warm > f && f > 0 && warm < 1) {
				t.Fatalf("%s: %g, %g at higher pH, %g warmer", m, f, up, warm)
			}
		}
	})
}

// As much total ammonia nitrogen as a criterion allows makes just the un-ionised ammonia that it names.
func TestACriterionInTotalAmmoniaIsTheCriterion(t *testing.T) {
	for _, w := range []AmmoniaWater{{PH: 8.2, Salinity: 35, Temperature: 25}, {PH: 7.6, Salinity: 12, Temperature: 8}} {
		at := func(totalN float64) *AmmoniaCriteria {
			w.TotalN = totalN
			a, err := UnionisedAmmonia(w)
			if err != nil || a.Criteria == nil {
				t.Fatalf("%+v: %v", w, err)
			}
			return a.Criteria
		}
		c := at(0)
		if got := at(c.AcuteTotalN).NH3; !(math.Abs(got-AmmoniaAcute) <= 1e-12) {
			t.Errorf("%+v: %g mg/L of nitrogen make %g of NH3, the criterion is %g", w, c.AcuteTotalN, got, AmmoniaAcute)
		}
		if got := at(c.ChronicTotalN).NH3; !(math.Abs(got-AmmoniaChronic) <= 1e-12) {
			t.Errorf("%+v: %g mg/L of nitrogen make %g of NH3, the criterion is %g", w, c.ChronicTotalN, got, AmmoniaChronic)
		}
	}
}
