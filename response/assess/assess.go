package assess

import (
	"cmp"
	"fmt"
	"slices"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/dilution"
)

// Verdicts beside dilution.Above, Undecided and Below.
const (
	// FarFromNatural: no authority has a level for it, and it is nowhere near the sea's.
	FarFromNatural dilution.Verdict = "far-from-natural"
	// NotJudged: there is nothing to judge it by.
	NotJudged dilution.Verdict = "not-judged"
)

// How far from natural seawater is far, as ratios: the ions that make the salt, and
// everything else that no authority has a level for. Project practice: a mixed salt
// is seldom outside the first, and no tank needs ten times the ocean of a trace.
const (
	ionLow, ionHigh = 0.7, 1.3
	traceHigh       = 10
)

// majorIons make the salt of seawater and go with its salinity.
var majorIons = []string{"sodium", "chloride", "sulfate", "calcium", "magnesium", "potassium", "strontium", "boron", "bromide", "fluoride"}

// Analyte is one result with what it is compared with. Concentrations are µg/L.
type Analyte struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	// Fraction is dissolved, total or "" where the report does not say.
	Fraction string `json:"fraction,omitempty"`
	// ValueUgL with its expanded uncertainty; BelowLimit says the report has "<", Over
	// that it has ">".
	ValueUgL    float64 `json:"value_ug_l"`
	Uncertainty float64 `json:"uncertainty_ug_l"`
	BelowLimit  bool    `json:"below_reporting_limit"`
	Over        bool    `json:"above_measuring_range"`
	// NaturalUgL is natural seawater at the system's salinity, and Ratio the value
	// over it; null where none is known. Nutrients are ocean means.
	NaturalUgL *float64 `json:"natural_ug_l"`
	Ratio      *float64 `json:"ratio"`
	// CriterionUgL judges the result: the keeper's target, else the published one
	// named in CriterionSource; null where there is none.
	CriterionUgL    *float64 `json:"criterion_ug_l"`
	CriterionSource string   `json:"criterion_source"`
	// Verdict is above, undecided, below, far-from-natural or not-judged.
	Verdict dilution.Verdict `json:"verdict"`
	// Times is the value over the criterion; null without one.
	Times *float64 `json:"times_criterion"`
	// Others are the criteria it is not judged by, Stricter those of them that it is
	// above although it is below its own.
	Others   []Criterion `json:"other_criteria"`
	Stricter []string    `json:"above_stricter"`
	Note     string      `json:"note,omitempty"`
}

// Result is a report judged, worst first.
type Result struct {
	Analytes []Analyte
	// Concern counts the results that are neither below nor not judged; Stricter those
	// that are below the criterion they are judged by and above another published one.
	Concern, Stricter int
}

// rank orders verdicts, the worst first.
var rank = []dilution.Verdict{dilution.Above, dilution.Undecided, FarFromNatural, dilution.Below, NotJudged}

// concerns reports whether a verdict asks for something to be done.
func concerns(v dilution.Verdict) bool { return v != dilution.Below && v != NotJudged }

// Judge compares every reading. targets are the keeper's own, in µg/L by contaminant
// id; they come before published criteria.
func Judge(readings []Reading, w Water, targets map[string]float64) (Result, error) {
	density, err := w.KgPerL()
	if err != nil {
		return Result{}, err
	}
	r := Result{Analytes: []Analyte{}}
	for _, reading := range readings {
		a := judge(reading, w, density, targets)
		if concerns(a.Verdict) {
			r.Concern++
		}
		if len(a.Stricter) > 0 {
			r.Stricter++
		}
		r.Analytes = append(r.Analytes, a)
	}
	slices.SortStableFunc(r.Analytes, worse)
	return r, nil
}

// judge compares one reading.
func judge(r Reading, w Water, density float64, targets map[string]float64) Analyte {
	c := r.Contaminant
	a := Analyte{
		ID: c.ID, Name: c.Name, Fraction: r.Fraction, ValueUgL: r.UgL, Uncertainty: r.U, BelowLimit: r.Below, Over: r.Over, Note: c.Note,
		Verdict: NotJudged, Others: []Criterion{}, Stricter: []string{},
	}
	a.natural(c, float64(w.Salinity)/35*density)
	list := fitting(c, w)
	if own, given := targets[c.ID]; given {
		list = append([]Criterion{{own, "your own limit", ""}}, list...)
	}
	if len(list) == 0 {
		a.besideNature()
		return a
	}
	a.byCriterion(list)
	return a
}

// natural sets the result beside the sea.
func (a *Analyte) natural(c refs.Contaminant, kgPerLAtSalinity float64) {
	if c.NaturalUgKg == nil {
		return
	}
	natural := *c.NaturalUgKg * kgPerLAtSalinity
	a.NaturalUgL = &natural
	if natural > 0 && !a.BelowLimit {
		ratio := a.ValueUgL / natural
		a.Ratio = &ratio
	}
}

// byCriterion judges by the first of the list and names the others.
func (a *Analyte) byCriterion(list []Criterion) {
	first := list[0]
	a.CriterionUgL, a.CriterionSource = &first.UgL, first.Authority
	if first.Source != "" {
		a.CriterionSource += " [" + first.Source + "]"
	}
	a.Others = append(a.Others, list[1:]...)
	a.Verdict = dilution.Judge(a.ValueUgL, a.Uncertainty, first.UgL, a.BelowLimit)
	if a.Over && a.Verdict != dilution.Above {
		a.Verdict = dilution.Undecided
	}
	if first.UgL > 0 {
		times := a.ValueUgL / first.UgL
		a.Times = &times
	}
	if a.Verdict != dilution.Below || a.BelowLimit {
		return
	}
	for _, other := range list[1:] {
		if a.ValueUgL > other.UgL {
			a.Stricter = append(a.Stricter, other.String())
		}
	}
}

// besideNature judges what no authority has a level for.
func (a *Analyte) besideNature() {
	if a.NaturalUgL == nil || *a.NaturalUgL <= 0 {
		return
	}
	major, ratio := slices.Contains(majorIons, a.ID), a.ValueUgL / *a.NaturalUgL
	switch {
	case major && ratio < ionLow && !a.Over: // true of "<" too: it is less still
		a.Verdict = FarFromNatural
	case a.BelowLimit:
	case major && ratio > ionHigh, !major && ratio > traceHigh:
		a.Verdict = FarFromNatural
	}
}

// distance is how far a result is from where it should be, as a factor.
func (a Analyte) distance() float64 {
	switch {
	case a.Times != nil:
		return *a.Times
	case a.Ratio != nil && *a.Ratio > 0:
		return max(*a.Ratio, 1 / *a.Ratio)
	}
	return 0
}

// worse orders by verdict, then the larger multiple of the criterion, else of natural
// seawater, first.
func worse(x, y Analyte) int {
	return cmp.Or(cmp.Compare(slices.Index(rank, x.Verdict), slices.Index(rank, y.Verdict)), cmp.Compare(y.distance(), x.distance()), cmp.Compare(x.ID, y.ID))
}

// Lower is one contaminant that a plan brings down: to what, and why not to the
// criterion it is judged by where that lies below what the new water brings.
type Lower struct {
	Analyte
	TargetUgL  float64
	Background float64
	// Instead says that the target is not the criterion the result was judged by.
	Instead string
}

// reachable is how far above what the new water brings a target must lie for a plan to
// end: dilution alone never gets there.
const reachable = 1.05

// ToLower lists what a plan brings down: every result above or undecided whose value
// was measured; one that is only "<" asks for a lower reporting limit first. What lies
// far from natural has no level to plan for. background is what the new water brings,
// µg/L by id. Where the criterion is out of reach of that water, the next one that is
// not is the target; where none is, it is left out and named in beyond.
func (r Result) ToLower(background map[string]float64) (list []Lower, beyond []Analyte) {
	seen := map[string]int{}
	for _, a := range r.Analytes {
		if a.CriterionUgL == nil || a.BelowLimit || a.Verdict != dilution.Above && a.Verdict != dilution.Undecided {
			continue
		}
		target, instead, ok := a.Target(background[a.ID])
		if !ok || instead != "" && a.ValueUgL <= target {
			beyond = append(beyond, a)
			continue
		}
		// Two fractions of one element are one contaminant: the higher counts.
		if i, twice := seen[a.ID]; twice {
			if a.ValueUgL > list[i].ValueUgL {
				list[i].Analyte = a
			}
			continue
		}
		seen[a.ID] = len(list)
		list = append(list, Lower{a, target, background[a.ID], instead})
	}
	return list, beyond
}

// Target is what water that brings background µg/L of the analyte can be planned to: the
// criterion it is judged by where that lies above the background, else the next stricter
// of the others that does, whose authority instead names. ok is false where none does.
func (a Analyte) Target(background float64) (ugL float64, instead string, ok bool) {
	if a.CriterionUgL == nil {
		return 0, "", false
	}
	if *a.CriterionUgL > background*reachable {
		return *a.CriterionUgL, "", true
	}
	others := slices.Clone(a.Others)
	slices.SortStableFunc(others, func(x, y Criterion) int { return cmp.Compare(x.UgL, y.UgL) })
	for _, o := range others {
		if o.UgL > background*reachable {
			return o.UgL, o.Authority, true
		}
	}
	return 0, "", false
}

// Contaminants are the list as the dilution planner takes it.
func Contaminants(list []Lower) []dilution.Contaminant {
	var out []dilution.Contaminant
	for _, l := range list {
		out = append(out, dilution.Contaminant{Name: l.ID, Start: units.Measured{Value: l.ValueUgL, U: l.Uncertainty},
			Target: l.TargetUgL, New: units.Measured{Value: l.Background}})
	}
	return out
}

// Uncovered lists the contaminants to be lowered that have no background stated.
func Uncovered(list []Lower, background map[string]float64) []refs.Assumption {
	var out []refs.Assumption
	for _, l := range list {
		if _, ok := background[l.ID]; !ok {
			out = append(out, refs.Assumption{What: l.ID + " in the new water", Value: "0 µg/L", Source: "not stated under background of any store or salt"})
		}
	}
	return out
}

// Asks is what a laboratory has to do better: the reporting limit that would decide a
// "<" result.
func (a Analyte) Asks() string {
	if !a.BelowLimit || a.CriterionUgL == nil || a.Verdict != dilution.Undecided {
		return ""
	}
	return fmt.Sprintf("%s: ask for a reporting limit of %s or lower", a.ID, units.Dissolved(*a.CriterionUgL))
}
