package site

import (
	"math"
	"regexp"
	"testing"

	"tidehold/refs"
	"tidehold/refs/units"
)

// What the loader takes as a quantity, the schema takes too, and the other way
// round: for every unit of every dimension a site file uses.
func TestSchemaAndParserAgreeOnSpellings(t *testing.T) {
	compared := 0
	for _, d := range usedDimensions() {
		rule := regexp.MustCompile(spelling(d))
		for _, unit := range d.Spellings() {
			for _, text := range []string{
				"12 " + unit, "12" + unit, "0.5 " + unit, "0 " + unit, "12 ± 1 " + unit, "12 " + unit + " ± 1 " + unit, "12 " + unit + " +- 8 %", "12" + unit + "+/-0.5" + unit,
				"012 " + unit, "1,5 " + unit, "1_000 " + unit, ".5 " + unit, "5. " + unit, "1e3 " + unit, "0x10 " + unit, "12 " + unit + "x", unit, "12 " + unit + " ±", "± 1 " + unit, "-12 " + unit, "12 12 " + unit, "1.2.3 " + unit,
			} {
				q, err := units.Parse(text, d)
				if d == units.Gravity && err == nil && q.Pair == "" {
					continue // the loader asks for the pair of temperatures besides
				}
				compared++
				if got := rule.MatchString(text); got != (err == nil) {
					t.Errorf("%s: %q: the schema says %v, the parser %v", d, text, got, err)
				}
			}
		}
	}
	if compared < 1000 {
		t.Errorf("only %d spellings compared", compared)
	}
}

// The defaults for calcium and magnesium are the reference composition (Millero et
// al. 2008, in mg/kg) times the density of seawater of salinity 35 at 25 °C,
// 1.02334 kg/L (TEOS-10), to the milligram.
func TestDefaultChemistryIsTheReferenceComposition(t *testing.T) {
	const density = 1.02334
	for id, key := range map[string]string{"calcium": "systems.water.calcium", "magnesium": "systems.water.magnesium"} {
		c, ok := refs.ContaminantByID(id)
		if !ok || c.NaturalUgKg == nil {
			t.Fatalf("no natural value of %s", id)
		}
		q, err := units.Parse(presets()[key].text, units.Concentration)
		if err != nil {
			t.Fatal(err)
		}
		if want := *c.NaturalUgKg * density; math.Abs(q.Value-want) > 500 {
			t.Errorf("%s: default %v ug/L, reference composition %v ug/L", id, q.Value, want)
		}
	}
}
