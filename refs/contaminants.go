package refs

import (
	_ "embed"
	"strings"
	"sync"
)

//go:embed contaminants.csv
var contaminantsText string

//go:embed bc_marine.csv
var bcMarineText string

// Contaminant is one substance a keeper may find in the water: what is natural in
// the sea and which published criteria exist. Criteria are written for wild
// waters; none is a limit set for captive animals.
type Contaminant struct {
	// ID is the key used in site files and reports, e.g. "copper".
	ID      string   `json:"id"`
	Name    string   `json:"name"`
	Aliases []string `json:"aliases,omitempty"`
	// MolarMass in g/mol, of the species the values are expressed as (IUPAC
	// abridged atomic weights).
	MolarMass float64 `json:"molar_mass_g_mol"`
	// NaturalUgKg is the level in natural seawater of salinity 35 in µg/kg; nil
	// when none was found or none is natural.
	NaturalUgKg   *float64 `json:"natural_ug_kg"`
	NaturalSource string   `json:"natural_source,omitempty"`
	// US EPA national recommended saltwater criteria in µg/L: a 1 h mean and a
	// 4 d mean, each not to be exceeded more than once in three years.
	EPAAcute   *float64 `json:"epa_acute_ug_l"`
	EPAChronic *float64 `json:"epa_chronic_ug_l"`
	EPASource  string   `json:"epa_source,omitempty"`
	// ANZG default guideline values in µg/L, by share of species protected.
	ANZG99          *float64 `json:"anzg_99_ug_l"`
	ANZG95          *float64 `json:"anzg_95_ug_l"`
	ANZGYear        string   `json:"anzg_year,omitempty"`
	ANZGReliability string   `json:"anzg_reliability,omitempty"`
	ANZGSource      string   `json:"anzg_source,omitempty"`
	// Water quality guidelines of British Columbia for marine life in µg/L, approved,
	// interim and working ones: BCBasis says which. Boron and fluoride are left out:
	// theirs lie below natural seawater or barely above it.
	//
	// Source: [bc-marine].
	BCAcute   *float64 `json:"bc_acute_ug_l"`
	BCChronic *float64 `json:"bc_chronic_ug_l"`
	BCBasis   string   `json:"bc_basis,omitempty"`
	// Fraction the criteria are written for: "dissolved", "total" or "" unknown.
	Fraction string `json:"fraction,omitempty"`
	Note     string `json:"note,omitempty"`
}

// Contaminants returns the whole table in the order it is printed.
func Contaminants() []Contaminant { return contaminantTable() }

var contaminantTable = sync.OnceValue(func() []Contaminant {
	guidelines := map[string]record{}
	for _, r := range embedded("bc_marine.csv", bcMarineText) {
		guidelines[r.text("id")] = r
	}
	var out []Contaminant
	for _, r := range embedded("contaminants.csv", contaminantsText) {
		c := contaminantOf(r)
		if g, ok := guidelines[c.ID]; ok {
			c.BCAcute, c.BCChronic, c.BCBasis = g.optional("acute_ug_l"), g.optional("chronic_ug_l"), g.text("basis")
		}
		out = append(out, c)
	}
	return out
})

// contaminantOf is a row of the table of contaminants.
func contaminantOf(r record) Contaminant {
	c := Contaminant{
		ID: r.text("id"), Name: r.text("name"), MolarMass: r.number("molar_mass_g_mol"), NaturalSource: r.text("natural_source"),
		EPAAcute: r.optional("epa_acute_ug_l"), EPAChronic: r.optional("epa_chronic_ug_l"), EPASource: r.text("epa_source"),
		ANZG99: r.optional("anzg_99_ug_l"), ANZG95: r.optional("anzg_95_ug_l"),
		ANZGYear: r.text("anzg_year"), ANZGReliability: r.text("anzg_reliability"), ANZGSource: r.text("anzg_source"),
		Fraction: r.text("fraction"), Note: r.text("note"),
	}
	if aliases := r.text("aliases"); aliases != "" {
		c.Aliases = strings.Split(aliases, ";")
	}
	c.NaturalUgKg = perKg(r.optional("natural"), r.text("natural_unit"), c.MolarMass)
	return c
}

// perKg brings a natural level to µg/kg; nil stays nil.
func perKg(level *float64, unit string, molarMass float64) *float64 {
	if level == nil {
		return nil
	}
	switch unit {
	case "mg/kg":
		*level *= 1000
	case "umol/kg":
		*level *= molarMass
	}
	return level
}

// ContaminantByID returns the row with the id.
func ContaminantByID(id string) (Contaminant, bool) {
	for _, c := range Contaminants() {
		if c.ID == id {
			return c, true
		}
	}
	return Contaminant{}, false
}

// FindContaminant looks a name up as a laboratory or a keeper writes it: id,
// name, symbol or other spelling, ignoring case except for symbols of one or two
// letters that differ only in case. When there is none, near is the closest
// spelling known, or "".
func FindContaminant(name string) (c Contaminant, near string, ok bool) {
	want := plainName(name)
	var known []string
	for _, c := range Contaminants() {
		for _, s := range append([]string{c.ID, c.Name}, c.Aliases...) {
			if plainName(s) == want {
				return c, "", true
			}
			known = append(known, s)
		}
	}
	near, _ = Nearest(name, known)
	return Contaminant{}, near, false
}

// plainName folds case, blanks, hyphens and underscores away.
func plainName(s string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case ' ', '-', '_', '\t':
			return -1
		}
		return r
	}, strings.ToLower(s))
}
