package refs

import (
	"math"
	"strings"
	"testing"
)

func TestContaminantTableIsWhole(t *testing.T) {
	seen := map[string]string{}
	for _, c := range Contaminants() {
		if c.MolarMass <= 0 || c.Name == "" || c.ID != strings.ToLower(c.ID) {
			t.Errorf("%+v: incomplete", c)
		}
		for _, s := range append([]string{c.ID, c.Name}, c.Aliases...) {
			k := plainName(s)
			if other, dup := seen[k]; dup && other != c.ID {
				t.Errorf("%q names both %s and %s", s, other, c.ID)
			}
			seen[k] = c.ID
		}
		for _, key := range []string{c.NaturalSource, c.EPASource, c.ANZGSource} {
			if key == "" {
				continue
			}
			if _, ok := Lookup(key); !ok {
				t.Errorf("%s: source key [%s] is not in sources.md", c.ID, key)
			}
		}
		if (c.EPAAcute != nil || c.EPAChronic != nil) != (c.EPASource != "") || (c.ANZG95 != nil) != (c.ANZGSource != "") || (c.NaturalUgKg != nil) != (c.NaturalSource != "") {
			t.Errorf("%s: a value without a source, or a source without a value", c.ID)
		}
		if c.ANZG99 != nil && *c.ANZG99 > *c.ANZG95 {
			t.Errorf("%s: 99 %% protection above 95 %%", c.ID)
		}
		if c.EPAAcute != nil && c.EPAChronic != nil && *c.EPAChronic > *c.EPAAcute {
			t.Errorf("%s: chronic above acute", c.ID)
		}
	}
	if len(seen) < 100 {
		t.Errorf("only %d spellings", len(seen))
	}
}

// Saltwater pairs as the US EPA criteria search export of 2025-03-18 and 40 CFR
// 131.38 print them (acute, chronic, µg/L, dissolved), and ANZG 95 % values of the
// master table of April 2026.
func TestPublishedCriteria(t *testing.T) {
	for _, c := range []struct {
		id                   string
		acute, chronic, anzg float64
	}{
		{"copper", 4.8, 3.1, 0.6},
		{"zinc", 90, 81, 8},
		{"nickel", 74, 8.2, 5.9},
		{"lead", 210, 8.1, 4.4},
		{"cadmium", 33, 7.9, 5.5},
		{"arsenic", 69, 36, math.NaN()},
		{"selenium", 290, 71, math.NaN()},
		{"chlorine", 13, 7.5, 10},
	} {
		row, ok := ContaminantByID(c.id)
		if !ok || *row.EPAAcute != c.acute || *row.EPAChronic != c.chronic {
			t.Errorf("%s: %+v", c.id, row)
		}
		if math.IsNaN(c.anzg) != (row.ANZG95 == nil) || row.ANZG95 != nil && *row.ANZG95 != c.anzg {
			t.Errorf("%s: ANZG %v", c.id, row.ANZG95)
		}
	}
}

func TestFindContaminantBySpelling(t *testing.T) {
	for spelling, id := range map[string]string{
		"Cu": "copper", "COPPER": "copper", "aluminum": "aluminium", "Cr (VI)": "chromium_vi",
		"NH4-N": "ammonia_total", "un-ionized ammonia": "ammonia_unionised", "H2S": "hydrogen_sulfide",
	} {
		if c, _, ok := FindContaminant(spelling); !ok || c.ID != id {
			t.Errorf("%q: %s, %v", spelling, c.ID, ok)
		}
	}
	if _, near, ok := FindContaminant("coper"); ok || near != "copper" {
		t.Errorf("near %q, %v", near, ok)
	}
	if _, ok := ContaminantByID("nothing"); ok {
		t.Error("an unknown id was found")
	}
}

func TestNutrientsAreConvertedByMolarMass(t *testing.T) {
	c, _ := ContaminantByID("nitrate")
	if !(math.Abs(*c.NaturalUgKg-30*62.004) <= 1e-9) {
		t.Errorf("nitrate natural = %v µg/kg", *c.NaturalUgKg)
	}
}

// The guidelines of British Columbia as its own table prints them: a row each way.
func TestMarineGuidelinesOfBritishColumbia(t *testing.T) {
	zinc, _ := ContaminantByID("zinc")
	nitrate, _ := ContaminantByID("nitrate")
	asN, _ := RatioByID("no3_per_n")
	boron, _ := ContaminantByID("boron")
	if *zinc.BCAcute != 55 || *zinc.BCChronic != 10 || boron.BCChronic != nil {
		t.Errorf("zinc %v %v, boron %v", *zinc.BCAcute, *zinc.BCChronic, boron.BCChronic)
	}
	if want := 3700 * asN.Value; !(math.Abs(*nitrate.BCChronic-want) <= 0.5) {
		t.Errorf("nitrate %v, want 3.7 mg/L as N, %v", *nitrate.BCChronic, want)
	}
	n := 0
	for _, c := range Contaminants() {
		if c.BCAcute != nil || c.BCChronic != nil {
			n++
			if c.BCBasis == "" {
				t.Errorf("%s: no basis", c.ID)
			}
		}
	}
	if n != strings.Count(bcMarineText, "\n")-1 {
		t.Errorf("%d rows found their contaminant of %d", n, strings.Count(bcMarineText, "\n")-1)
	}
	if _, ok := Lookup("bc-marine"); !ok {
		t.Error("the source is not listed")
	}
}

// The ions that were recalled close the composition with those that were read: the mass
// fractions of the Reference Composition (Millero et al. 2008) add up to 1 and their
// charges to 0.
func TestReferenceCompositionCloses(t *testing.T) {
	const saltMgPerKg = 35165.04
	share := func(id string) float64 {
		c, ok := ContaminantByID(id)
		if !ok {
			t.Fatalf("no %s", id)
		}
		return *c.NaturalUgKg / 1000 / saltMgPerKg
	}
	// What the table does not have: carbonate, borate, hydroxide and their acids.
	sum := 0.0029805 + 0.0004078 + 0.0002259 + 0.0000038 + 0.0005527 + 0.0000121
	charge := -(0.0029805/61.01684 + 2*0.0004078/60.0089 + 0.0002259/78.8404 + 0.0000038/17.00734)
	for id, perMole := range map[string]float64{"sodium": 1, "magnesium": 2, "calcium": 2, "potassium": 1, "strontium": 2, "chloride": -1, "sulfate": -2, "bromide": -1, "fluoride": -1} {
		c, _ := ContaminantByID(id)
		sum += share(id)
		charge += share(id) / c.MolarMass * perMole
	}
	if !(math.Abs(sum-1) <= 5e-6) || !(math.Abs(charge) <= 3e-6) {
		t.Errorf("mass fractions add up to %.7f, charges to %.2g mol per g of salt", sum, charge)
	}
}
