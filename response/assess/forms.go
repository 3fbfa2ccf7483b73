package assess

import (
	"fmt"
	"regexp"
	"strings"

	"tidehold/refs"
	"tidehold/salinity"
)

// forms are analytes whose name says that the result is given as another species
// than the table's, folded: the id, and the species.
var forms = map[string]struct{ id, as string }{
	"nitraten": {"nitrate", "N"}, "no3n": {"nitrate", "N"}, "nitratenitrogen": {"nitrate", "N"}, "nitratstickstoff": {"nitrate", "N"}, "azotenitrique": {"nitrate", "N"}, "nitrogenonitrico": {"nitrate", "N"}, "azotonitrico": {"nitrate", "N"}, "nitraatstikstof": {"nitrate", "N"},
	"nitriten": {"nitrite", "N"}, "no2n": {"nitrite", "N"}, "nitritenitrogen": {"nitrite", "N"}, "nitritstickstoff": {"nitrite", "N"}, "azotenitreux": {"nitrite", "N"}, "azotonitroso": {"nitrite", "N"}, "nitrietstikstof": {"nitrite", "N"},
	"phosphorus": {"phosphate", "P"}, "p": {"phosphate", "P"}, "po4p": {"phosphate", "P"}, "phosphatep": {"phosphate", "P"}, "phosphor": {"phosphate", "P"}, "phosphore": {"phosphate", "P"}, "fosforo": {"phosphate", "P"}, "fosfor": {"phosphate", "P"}, "orthophosphatp": {"phosphate", "P"},
	"ammonium": {"ammonia_total", "NH4"}, "nh4": {"ammonia_total", "NH4"}, "nh4+": {"ammonia_total", "NH4"}, "amonio": {"ammonia_total", "NH4"}, "ammonio": {"ammonia_total", "NH4"},
	"sio2": {"silicate", "SIO2"}, "silica": {"silicate", "SIO2"},
}

// bases are the species a result may be given as, for each contaminant: a ratio (ratioOf)
// that multiplies, or with "/" before it divides; "" where it is the table's own.
var bases = map[string]map[string]string{
	"nitrate":           {"N": "no3_per_n", "NO3-N": "no3_per_n", "NO3": ""},
	"nitrite":           {"N": "no2_per_n", "NO2-N": "no2_per_n", "NO2": ""},
	"phosphate":         {"P": "po4_per_p", "PO4-P": "po4_per_p", "PO4": ""},
	"ammonia_total":     {"N": "", "NH3-N": "", "NH4-N": "", "NH3": "/nh3_per_n", "NH4": "/nh4_per_n"},
	"ammonia_unionised": {"N": "nh3_per_n", "NH3-N": "nh3_per_n", "NH3": ""},
	"silicate":          {"SI": "", "SIO2": "/sio2_per_si"},
	"sulfide":           {"S": "", "H2S": "/" + h2sPerS},
	"hydrogen_sulfide":  {"S": h2sPerS, "H2S": ""},
}

// basis is what a result given as a species is multiplied by.
func basis(c refs.Contaminant, as string) (float64, error) {
	id, ok := bases[c.ID][strings.ToUpper(as)]
	if !ok {
		return 0, fmt.Errorf("a result as %s makes no sense here; give it as %s itself", strings.ToUpper(as), c.Name)
	}
	if id == "" {
		return 1, nil
	}
	if name, divides := strings.CutPrefix(id, "/"); divides {
		return 1 / ratioOf(name), nil
	}
	return ratioOf(id), nil
}

// h2sPerS is the one ratio that is not among those of refs: the criterion rests on it.
const h2sPerS = "h2s_per_s"

// ratioOf is a ratio of the table of bases. That each is there is held by a test.
func ratioOf(id string) float64 {
	if id == h2sPerS {
		return salinity.H2SPerSulfur
	}
	r, ok := refs.RatioByID(id)
	if !ok {
		panic("assess: no ratio " + id)
	}
	return r.Value
}

// unitShape is an amount, perhaps of a named species, per amount of water, perhaps
// "as" a species: mg/L, µg/kg, mmol/L, mg N/L, mg/L as NO3, µg L-1.
var unitShape = regexp.MustCompile(`^(ng|ug|mcg|mg|g|nmol|umol|mmol|mol)(` + species + `)?/(l|ml|dm3|m3|kg|g)(?:as|als|en|come)?(` + species + `)?$`)

const species = `no3-n|no2-n|nh4-n|nh3-n|po4-p|no3|no2|nh4|nh3|po4|h2s|sio2|si|n|p|s`

// amounts are µg, or µmol, in one of each.
var amounts = map[string]float64{"ng": 1e-3, "ug": 1, "mcg": 1, "mg": 1e3, "g": 1e6, "nmol": 1e-3, "umol": 1, "mmol": 1e3, "mol": 1e6}

// waters are how many of each make a litre; per mass, a kilogram.
var waters = map[string]float64{"l": 1, "dm3": 1, "ml": 1e3, "m3": 1e-3, "kg": 1, "g": 1e3}

// shorthand are units of one word. ppm and ppb are taken as mg/L and µg/L.
var shorthand = map[string]string{"ppb": "ug/l", "ppm": "mg/l", "um": "umol/l", "nm": "nmol/l", "mm": "mmol/l", "‰": "g/kg", "permille": "g/kg", "promille": "g/kg", "promil": "g/kg"}

// plainUnit brings a unit to one spelling: µg L⁻¹, ug l-1, μg/litre, µg/Liter.
var plainUnit = strings.NewReplacer("µ", "u", "μ", "u", " ", "", "\u00a0", "", "³", "3", "⁻¹", "-1", "−", "-", "·", "", "*", "",
	"litres", "l", "liters", "l", "litre", "l", "liter", "l", "litro", "l", "_", "", "[", "", "]", "", "(", "", ")", "")

// unitKey is the spelling that unitShape reads.
func unitKey(unit string) string {
	key := plainUnit.Replace(strings.ToLower(strings.TrimSpace(unit)))
	for _, per := range []string{"l", "kg", "dm3", "m3"} {
		if rest, ok := strings.CutSuffix(key, per+"-1"); ok {
			key = strings.TrimSuffix(rest, ".") + "/" + per
		}
	}
	if plain, ok := shorthand[key]; ok {
		return plain
	}
	return key
}

// factorKnown reports whether a unit is one that reports have.
func factorKnown(unit string) bool { return unitShape.MatchString(unitKey(unit)) }

// factorOf is µg/L of the contaminant in one of the unit; as is the species the unit
// names, "" for none. Density in kg/L.
func factorOf(unit string, c refs.Contaminant, density float64) (factor float64, as string, err error) {
	key := unitKey(unit)
	if key == "" {
		return 0, "", fmt.Errorf("no unit; write ug/L, mg/L, umol/L or ug/kg")
	}
	m := unitShape.FindStringSubmatch(key)
	if m == nil {
		return 0, "", unknownUnit(unit, key)
	}
	factor = amounts[m[1]] * waters[m[3]]
	if m[3] == "kg" || m[3] == "g" {
		factor *= density
	}
	as = m[2] + m[4]
	if strings.HasSuffix(m[1], "mol") {
		factor *= c.MolarMass
		as = "" // a mole of nitrate has a mole of nitrogen
	}
	return factor, as, nil
}

// unknownUnit says what is allowed, with the nearest.
func unknownUnit(unit, key string) error {
	if key == "ppt" {
		return fmt.Errorf("ppt could be parts per thousand or per trillion; write g/L or ng/L")
	}
	hint := ""
	known := []string{"ug/L", "mg/L", "ng/L", "ppm", "ppb", "umol/L", "nmol/L", "mmol/L", "ug/kg", "mg/kg"}
	if len(unit) < maxField/10 {
		if near, ok := refs.Nearest(unit, known); ok {
			hint = "; " + refs.DidYouMean(near)
		}
	}
	return fmt.Errorf("unknown unit %s; %s are known%s", shown(unit), strings.Join(known, ", "), hint)
}
