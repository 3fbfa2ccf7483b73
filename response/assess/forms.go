package assess

import (
	"fmt"
	"strings"

	"tidehold/refs"
)

// forms are analytes a laboratory reports as another species than the table's:
// the id, and the ratio of refs that converts.
var forms = map[string]struct{ id, ratio string }{
	"nitraten": {"nitrate", "no3_per_n"}, "no3n": {"nitrate", "no3_per_n"}, "nitratenitrogen": {"nitrate", "no3_per_n"},
	"nitriten": {"nitrite", "no2_per_n"}, "no2n": {"nitrite", "no2_per_n"}, "nitritenitrogen": {"nitrite", "no2_per_n"},
	"phosphorus": {"phosphate", "po4_per_p"}, "p": {"phosphate", "po4_per_p"}, "po4p": {"phosphate", "po4_per_p"}, "phosphatep": {"phosphate", "po4_per_p"},
}

// find looks an analyte up; form multiplies its value to the table's species.
func find(analyte string) (c refs.Contaminant, form float64, near string, ok bool) {
	key := strings.NewReplacer(" ", "", "-", "", "_", "").Replace(strings.ToLower(analyte))
	if f, known := forms[key]; known {
		c, _ = refs.ContaminantByID(f.id)
		ratio, _ := refs.RatioByID(f.ratio)
		return c, ratio.Value, "", true
	}
	if c, near, ok = refs.FindContaminant(analyte); ok {
		return c, 1, "", true
	}
	// Reports name the fraction of a metal beside it. Elsewhere it would be another
	// analyte: total phosphorus is no phosphate.
	if metal, _, found := refs.FindContaminant(fraction.Replace(strings.ToLower(analyte))); found && metal.Fraction != "" {
		return metal, 1, "", true
	}
	return c, 1, near, ok
}

// fraction takes the fraction of a metal out of an analyte's name.
var fraction = strings.NewReplacer("total", "", "dissolved", "", "filtered", "", "(", "", ")", "", ",", "")

// perLitre is µg/L in one of each unit by mass and volume; molar units multiply
// by the molar mass, units per kilogram by the density.
var (
	perLitre = map[string]float64{"ug/l": 1, "mg/l": 1e3, "g/l": 1e6, "ng/l": 1e-3, "ppb": 1, "ppm": 1e3, "ug/dm3": 1, "mg/dm3": 1e3, "mg/m3": 1, "ug/ml": 1e3, "ng/ml": 1}
	molar    = map[string]float64{"umol/l": 1, "mmol/l": 1e3, "nmol/l": 1e-3, "um": 1, "nm": 1e-3}
	perKg    = map[string]float64{"ug/kg": 1, "mg/kg": 1e3, "ng/kg": 1e-3}
	molarKg  = map[string]float64{"umol/kg": 1, "nmol/kg": 1e-3}
)

// factorOf is µg/L of the contaminant in one of the unit. ppm and ppb are taken
// as mg/L and µg/L.
func factorOf(unit string, c refs.Contaminant, density float64) (float64, error) {
	key := strings.NewReplacer("µ", "u", "μ", "u", " ", "", "³", "3", "litre", "l", "liter", "l").Replace(strings.ToLower(unit))
	ratio := 1.0
	for suffix, id := range map[string]string{"asn": "n", "asp": "p", "n": "n", "p": "p"} {
		base, found := strings.CutSuffix(key, suffix)
		if _, plain := perLitre[base]; !found || !plain {
			continue
		}
		r, err := speciesRatio(id, c)
		if err != nil {
			return 0, err
		}
		key, ratio = base, r
		break
	}
	switch {
	case key == "":
		return 0, fmt.Errorf("no unit; write ug/L, mg/L, umol/L or ug/kg")
	case perLitre[key] != 0:
		return perLitre[key] * ratio, nil
	case molar[key] != 0:
		return molar[key] * c.MolarMass, nil
	case perKg[key] != 0:
		return perKg[key] * density, nil
	case molarKg[key] != 0:
		return molarKg[key] * c.MolarMass * density, nil
	}
	hint := ""
	if near, ok := refs.Nearest(unit, []string{"ug/L", "mg/L", "ng/L", "ppm", "ppb", "umol/L", "nmol/L", "ug/kg", "mg/kg"}); ok {
		hint = fmt.Sprintf("; did you mean %q?", near)
	}
	return 0, fmt.Errorf("unknown unit %q; ug/L, mg/L, ng/L, ppm, ppb, umol/L, nmol/L, ug/kg and mg/kg are known%s", unit, hint)
}

// speciesRatio converts "as N" and "as P" to the species of the table.
func speciesRatio(element string, c refs.Contaminant) (float64, error) {
	id := map[string]string{"n/nitrate": "no3_per_n", "n/nitrite": "no2_per_n", "n/ammonia_unionised": "nh3_per_n", "p/phosphate": "po4_per_p"}[element+"/"+c.ID]
	if c.ID == "ammonia_total" && element == "n" {
		return 1, nil
	}
	r, ok := refs.RatioByID(id)
	if !ok {
		return 0, fmt.Errorf("a result as %s makes no sense here; give it as %s itself", strings.ToUpper(element), c.Name)
	}
	return r.Value, nil
}
