package salinity

import (
	"fmt"
	"math"

	"tidehold/refs"
	"tidehold/refs/units"
)

// molarNH3 and molarN are molar masses in g/mol, for converting between ammonia
// as NH3 and ammonia as nitrogen.
const (
	molarNH3 = 17.031
	molarN   = 14.007
)

// NH3PerN is the mass of ammonia in one of its nitrogen.
const NH3PerN = molarNH3 / molarN

// Criteria for un-ionised ammonia in saltwater, mg/L as NH3: a one-hour and a
// four-day average. They are set for wild waters; none is a limit for captive
// animals.
//
// Source: [epa1989].
const (
	AmmoniaAcute   = 0.233
	AmmoniaChronic = 0.035
)

// totalAmmonia is the range accepted in mg/L: up to a litre of it in a litre, so
// that every result is finite.
var totalAmmonia = Range{0, 1e6}

// AmmoniaWater is a water whose ammonia is in question.
type AmmoniaWater struct {
	// Total ammonia, NH3 + NH4⁺, in mg/L as nitrogen.
	TotalN float64
	// PH as measured.
	PH          float64
	Salinity    units.Practical
	Temperature units.Celsius
}

// Ammonia is the un-ionised ammonia of one water by every published alternative,
// beside the criteria.
type Ammonia struct {
	TotalN      float64 `json:"total_mg_l_as_n"`
	TotalNH3    float64 `json:"total_mg_l_as_nh3"`
	PH          float64 `json:"ph"`
	Salinity    float64 `json:"salinity"`
	Temperature float64 `json:"temp_c"`
	// Method is the one Fraction and NH3 are by.
	Method  AmmoniaMethod `json:"method"`
	PHScale string        `json:"ph_scale"`
	Source  string        `json:"source"`
	// Fraction of the total that is un-ionised; NH3 in mg/L as NH3.
	Fraction float64 `json:"unionised_fraction"`
	NH3      float64 `json:"unionised_mg_l_as_nh3"`
	NH3N     float64 `json:"unionised_mg_l_as_n"`
	// FractionLow and FractionHigh bound the alternatives.
	FractionLow  float64              `json:"unionised_fraction_low"`
	FractionHigh float64              `json:"unionised_fraction_high"`
	Alternatives []AmmoniaAlternative `json:"alternatives"`
	Criteria     *AmmoniaCriteria     `json:"criteria"`
	// LeftOut says which alternatives do not reach this water.
	LeftOut []string `json:"-"`

	Assumptions []refs.Assumption `json:"-"`
	Warnings    []string          `json:"-"`
}

// AmmoniaAlternative is the same water by one published constant, with pH taken
// to be on that constant's own scale.
type AmmoniaAlternative struct {
	Method   AmmoniaMethod `json:"method"`
	PHScale  string        `json:"ph_scale"`
	Source   string        `json:"source"`
	Fraction float64       `json:"unionised_fraction"`
	NH3      float64       `json:"unionised_mg_l_as_nh3"`
}

// AmmoniaCriteria sets the water beside the saltwater criteria, with the fraction
// by the criteria's own formula.
type AmmoniaCriteria struct {
	Source   string  `json:"source"`
	Fraction float64 `json:"unionised_fraction"`
	NH3      float64 `json:"unionised_mg_l_as_nh3"`
	// Acute and Chronic criteria in mg/L as NH3, un-ionised.
	Acute   float64 `json:"acute_mg_l_as_nh3"`
	Chronic float64 `json:"chronic_mg_l_as_nh3"`
	// AcuteTotalN and ChronicTotalN are the totals, in mg/L as nitrogen, at which
	// this water would meet them.
	AcuteTotalN   float64 `json:"acute_total_mg_l_as_n"`
	ChronicTotalN float64 `json:"chronic_total_mg_l_as_n"`
	AboveAcute    bool    `json:"above_acute"`
	AboveChronic  bool    `json:"above_chronic"`
}

// meterOffset is how much the fraction is overstated, as a factor, when a pH read
// with a meter set in low-ionic-strength buffers (NBS scale) is put into the
// total-scale constant at salinity 35 and 25 °C: 10^0.137.
//
// Source: [takahashi1982].
var meterOffset = math.Pow(10, 0.137)

// UnionisedAmmonia returns the un-ionised ammonia of w by the default for harm
// (seawater constants, total pH scale) and by every alternative whose range holds
// it, beside the saltwater criteria by their own formula.
//
// Range as CleggWhitfieldTotal; a negative or non-finite total is a *RangeError.
// Where the criteria's formula does not reach, Criteria is nil with a warning.
//
// Source: [cw1995]; criteria: [epa1989].
func UnionisedAmmonia(w AmmoniaWater) (Ammonia, error) {
	if !totalAmmonia.holds(w.TotalN) {
		return Ammonia{}, &RangeError{"un-ionised ammonia", "total ammonia", w.TotalN, totalAmmonia.Low, totalAmmonia.High, "mg/L as N"}
	}
	f, err := UnionisedFraction(CleggWhitfieldTotal, w.PH, w.Salinity, w.Temperature)
	if err != nil {
		return Ammonia{}, err
	}
	total := w.TotalN * molarNH3 / molarN
	a := Ammonia{
		TotalN: w.TotalN, TotalNH3: total, PH: w.PH,
		Salinity: float64(w.Salinity), Temperature: float64(w.Temperature),
		Method: CleggWhitfieldTotal, PHScale: ammoniaRelations[0].scale, Source: ammoniaRelations[0].source,
		Fraction: f, NH3: f * total, NH3N: f * w.TotalN,
		Assumptions: []refs.Assumption{{
			What: "pH scale", Value: "total", Source: "gives the most un-ionised ammonia of the published scales [cw1995]",
		}},
		Warnings: []string{fmt.Sprintf("a pH meter set in ordinary buffers reads above the total scale: "+
			"the un-ionised share may then be overstated by about %.0f %%; act on the larger figure", 100*(meterOffset-1))},
	}
	a.compare(w, total)
	a.judge(w, total)
	return a, nil
}

// compare fills the alternatives and their spread.
func (a *Ammonia) compare(w AmmoniaWater, total float64) {
	a.FractionLow, a.FractionHigh = a.Fraction, a.Fraction
	for _, r := range ammoniaRelations {
		f, err := r.fraction(w.PH, float64(w.Salinity), float64(w.Temperature))
		if err != nil {
			a.LeftOut = append(a.LeftOut, "left out of the comparison: "+err.Error())
			continue
		}
		a.Alternatives = append(a.Alternatives, AmmoniaAlternative{r.method, r.scale, r.source, f, f * total})
		a.FractionLow, a.FractionHigh = min(a.FractionLow, f), max(a.FractionHigh, f)
	}
}

// judge sets the water beside the criteria.
func (a *Ammonia) judge(w AmmoniaWater, total float64) {
	f, err := UnionisedFraction(EPA1989, w.PH, w.Salinity, w.Temperature)
	if err != nil {
		a.Warnings = append(a.Warnings, "no comparison with the criteria: "+err.Error())
		return
	}
	if !epaTabulatedSalinity.holds(float64(w.Salinity)) {
		a.Warnings = append(a.Warnings, fmt.Sprintf("the criteria are tabulated for salinity %g to %g; their formula is used at %g",
			epaTabulatedSalinity.Low, epaTabulatedSalinity.High, float64(w.Salinity)))
	}
	perTotalN := f * molarNH3 / molarN
	a.Criteria = &AmmoniaCriteria{
		Source: "epa1989", Fraction: f, NH3: f * total,
		Acute: AmmoniaAcute, Chronic: AmmoniaChronic,
		AcuteTotalN: AmmoniaAcute / perTotalN, ChronicTotalN: AmmoniaChronic / perTotalN,
		AboveAcute: f*total > AmmoniaAcute, AboveChronic: f*total > AmmoniaChronic,
	}
}
