package refs

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
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

// Criterion is the published value results are judged by when the keeper names
// no target of their own: EPA chronic, else EPA acute, else ANZG 95 %. ok is
// false when there is none.
func (c Contaminant) Criterion() (ugL float64, source string, ok bool) {
	switch {
	case c.EPAChronic != nil:
		return *c.EPAChronic, "US EPA saltwater chronic (4 d mean) [" + c.EPASource + "]", true
	case c.EPAAcute != nil:
		return *c.EPAAcute, "US EPA saltwater acute (1 h mean) [" + c.EPASource + "]", true
	case c.ANZG95 != nil:
		return *c.ANZG95, "ANZG marine, 95 % of species [" + c.ANZGSource + "]", true
	}
	return 0, "", false
}

// Contaminants returns the whole table in the order it is printed.
func Contaminants() []Contaminant { return contaminantTable() }

var contaminantTable = sync.OnceValue(func() []Contaminant {
	rows, err := csv.NewReader(strings.NewReader(contaminantsText)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("embedded contaminants.csv: %v", err)) // held by a test
	}
	bc, err := csv.NewReader(strings.NewReader(bcMarineText)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("embedded bc_marine.csv: %v", err)) // held by a test
	}
	guidelines := map[string][]string{}
	for _, r := range bc[1:] {
		guidelines[r[0]] = r
	}
	var out []Contaminant
	for _, r := range rows[1:] {
		c := Contaminant{
			ID: r[0], Name: r[1], NaturalSource: r[6], EPASource: r[9],
			ANZGYear: r[12], ANZGReliability: r[13], ANZGSource: r[14], Fraction: r[15], Note: r[16],
			EPAAcute: optional(r[7]), EPAChronic: optional(r[8]), ANZG99: optional(r[10]), ANZG95: optional(r[11]),
		}
		if r[2] != "" {
			c.Aliases = strings.Split(r[2], ";")
		}
		c.MolarMass = must(r[3])
		c.NaturalUgKg = perKg(r[4], r[5], c.MolarMass)
		if g, ok := guidelines[c.ID]; ok {
			c.BCAcute, c.BCChronic, c.BCBasis = optional(g[1]), optional(g[2]), g[3]
		}
		out = append(out, c)
	}
	return out
})

// perKg brings a natural level to µg/kg.
func perKg(text, unit string, molarMass float64) *float64 {
	v := optional(text)
	if v == nil {
		return nil
	}
	switch unit {
	case "mg/kg":
		*v *= 1000
	case "umol/kg":
		*v *= molarMass
	}
	return v
}

func optional(text string) *float64 {
	if text == "" {
		return nil
	}
	v := must(text)
	return &v
}

// must reads a number of an embedded table.
func must(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("embedded table: %v", err)) // held by a test
	}
	return v
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
