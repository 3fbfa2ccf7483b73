package assess

import (
	"cmp"
	"fmt"
	"slices"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/salinity"
)

// NoCriterion is the verdict where neither a published criterion nor a target of
// the keeper's own exists.
const NoCriterion = "no-criterion"

// Analyte is one result with what it is compared with. Concentrations are µg/L.
type Analyte struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	// ValueUgL with its expanded uncertainty; BelowLimit says the report has "<".
	ValueUgL    float64 `json:"value_ug_l"`
	Uncertainty float64 `json:"uncertainty_ug_l"`
	BelowLimit  bool    `json:"below_reporting_limit"`
	// NaturalUgL is natural seawater at the system's salinity, and Ratio the value
	// over it; null where none is known. Nutrients are ocean means.
	NaturalUgL *float64 `json:"natural_ug_l"`
	Ratio      *float64 `json:"ratio"`
	// CriterionUgL judges the result: the keeper's target, else the published one
	// named in CriterionSource; null where there is none.
	CriterionUgL    *float64 `json:"criterion_ug_l"`
	CriterionSource string   `json:"criterion_source"`
	// Verdict is below, undecided, above or no-criterion.
	Verdict string `json:"verdict"`
	// Times is the value over the criterion; null without one.
	Times      *float64 `json:"times_criterion"`
	EPAAcute   *float64 `json:"epa_acute_ug_l"`
	EPAChronic *float64 `json:"epa_chronic_ug_l"`
	ANZG95     *float64 `json:"anzg_95_ug_l"`
	ANZG99     *float64 `json:"anzg_99_ug_l"`
	// Stricter names the published criteria that a result below its own criterion is
	// above all the same.
	Stricter []string `json:"above_stricter"`
	Note     string   `json:"note,omitempty"`
}

// Result is a report judged, by concern: above first, the highest multiple of its
// criterion first.
type Result struct {
	Analytes []Analyte
	// Concern counts the results that are not below; Stricter those that are below
	// the criterion they are judged by and above another published one.
	Concern, Stricter int
}

// Water is the system's water, for natural levels and results per kilogram.
type Water struct {
	Salinity    units.Practical
	Temperature units.Celsius
}

// KgPerL is the density of the water in kg/L.
func (w Water) KgPerL() (float64, error) {
	rho, err := salinity.Density(w.Salinity, w.Temperature)
	return float64(rho) / 1000, err
}

// Judge compares every reading. targets are the keeper's own, in µg/L by
// contaminant id; they come before published criteria.
func Judge(readings []Reading, w Water, targets map[string]float64) (Result, error) {
	density, err := w.KgPerL()
	if err != nil {
		return Result{}, err
	}
	r := Result{Analytes: []Analyte{}}
	for _, reading := range readings {
		a := judge(reading, float64(w.Salinity), density, targets)
		if a.Verdict == string(dilution.Above) || a.Verdict == string(dilution.Undecided) {
			r.Concern++
		}
		if len(a.Stricter) > 0 {
			r.Stricter++
		}
		r.Analytes = append(r.Analytes, a)
	}
	slices.SortStableFunc(r.Analytes, moreConcern)
	return r, nil
}

// judge compares one reading.
func judge(r Reading, s, density float64, targets map[string]float64) Analyte {
	c := r.Contaminant
	a := Analyte{
		ID: c.ID, Name: c.Name, ValueUgL: r.UgL, Uncertainty: r.U, BelowLimit: r.Below, Note: c.Note,
		EPAAcute: c.EPAAcute, EPAChronic: c.EPAChronic, ANZG95: c.ANZG95, ANZG99: c.ANZG99,
		Verdict: NoCriterion, Stricter: []string{},
	}
	if c.NaturalUgKg != nil {
		natural := *c.NaturalUgKg * s / 35 * density
		a.NaturalUgL = &natural
		if natural > 0 && !r.Below {
			ratio := r.UgL / natural
			a.Ratio = &ratio
		}
	}
	criterion, source, ok := c.Criterion()
	if own, given := targets[c.ID]; given {
		criterion, source, ok = own, "your own target", true
	}
	if !ok {
		return a
	}
	a.CriterionUgL, a.CriterionSource = &criterion, source
	a.Verdict = string(dilution.Judge(r.UgL, r.U, criterion, r.Below))
	if criterion > 0 {
		times := r.UgL / criterion
		a.Times = &times
	}
	if a.Verdict == string(dilution.Below) && !r.Below {
		a.Stricter = stricter(r.UgL, c)
	}
	return a
}

// stricter names the published criteria a value is above; ANZG at 95 % of species,
// since 99 % is close to natural seawater for some metals.
func stricter(ugL float64, c refs.Contaminant) []string {
	var out []string
	for _, p := range []struct {
		name string
		ugL  *float64
	}{{"US EPA chronic", c.EPAChronic}, {"US EPA acute", c.EPAAcute}, {"ANZG 95 %", c.ANZG95}} {
		if p.ugL != nil && ugL > *p.ugL {
			out = append(out, fmt.Sprintf("%s, %s", p.name, units.Dissolved(*p.ugL)))
		}
	}
	return out
}

// moreConcern orders above, undecided, without criterion, below; within each the
// larger multiple of the criterion, else of natural seawater, first.
func moreConcern(x, y Analyte) int {
	rank := func(a Analyte) int {
		return slices.Index([]string{string(dilution.Above), string(dilution.Undecided), NoCriterion, string(dilution.Below)}, a.Verdict)
	}
	weight := func(a Analyte) float64 {
		switch {
		case a.Times != nil:
			return *a.Times
		case a.Ratio != nil:
			return *a.Ratio
		}
		return 0
	}
	return cmp.Or(cmp.Compare(rank(x), rank(y)), cmp.Compare(weight(y), weight(x)))
}

// ToLower lists what has to come down, for the planner: every result that is not
// below its criterion, with what the new water brings (µg/L by id). A "<" result
// above its criterion is planned from its reporting limit, the worst it can be.
func (r Result) ToLower(background map[string]float64) []dilution.Contaminant {
	var out []dilution.Contaminant
	for _, a := range r.Analytes {
		if a.CriterionUgL == nil || a.Verdict == string(dilution.Below) {
			continue
		}
		out = append(out, dilution.Contaminant{
			Name:   a.ID,
			Start:  units.Measured{Value: a.ValueUgL, U: a.Uncertainty},
			Target: *a.CriterionUgL,
			New:    units.Measured{Value: background[a.ID]},
		})
	}
	return out
}

// Uncovered lists the contaminants of r that have no background stated.
func (r Result) Uncovered(background map[string]float64) []refs.Assumption {
	var out []refs.Assumption
	for _, c := range r.ToLower(background) {
		if _, ok := background[c.Name]; !ok {
			out = append(out, refs.Assumption{What: c.Name + " in the new water", Value: "0 µg/L", Source: "not stated under background of any store or salt"})
		}
	}
	return out
}
