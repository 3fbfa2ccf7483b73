package incident

import (
	"encoding/json"
	"fmt"
	"math"
	"time"

	"tidehold/volumes/stock"
)

// Opening is what is known when an incident is opened. It keeps its own copy of the
// event's aims, so that a later edit of the site file does not rewrite the night.
type Opening struct {
	// Name is the site's event id, or the keeper's own words.
	Name   string `json:"name"`
	System string `json:"system"`
	// Event is true when Name is an event of the site.
	Event   bool  `json:"event,omitempty"`
	Aims    []Aim `json:"aims,omitempty"`
	Reheats bool  `json:"reheats,omitempty"`
}

// Aim is what the incident is to bring down. Concentrations are µg/L.
type Aim struct {
	// Contaminant is an id of refs; "" for a share of whatever is in the water.
	Contaminant string `json:"contaminant,omitempty"`
	// Start is what the event supposes, with its expanded uncertainty; 0: unknown.
	Start  float64 `json:"start_ug_l,omitempty"`
	StartU float64 `json:"start_u_ug_l,omitempty"`
	Target float64 `json:"target_ug_l,omitempty"`
	// Remove is the share to remove, 0 to 1.
	Remove    float64 `json:"remove,omitempty"`
	WithinH   float64 `json:"within_h,omitempty"`
	SourceMgH float64 `json:"source_mg_h,omitempty"`
}

// Measured is one result of one sample, µg/L.
type Measured struct {
	Contaminant string  `json:"contaminant"`
	UgL         float64 `json:"ug_l"`
	// U is the expanded uncertainty (k = 2); 0: none was stated.
	U float64 `json:"u_ug_l,omitempty"`
	// Below says that the result is "<UgL".
	Below bool `json:"below,omitempty"`
}

// Values are readings of instruments; nil: not read.
type Values struct {
	TempC         *float64 `json:"temp_c,omitempty"`
	Salinity      *float64 `json:"salinity,omitempty"`
	PH            *float64 `json:"ph,omitempty"`
	AlkalinityDKH *float64 `json:"alkalinity_dkh,omitempty"`
	OxygenMgL     *float64 `json:"oxygen_mg_l,omitempty"`
}

// data is what the entries of an incident carry besides their time and note.
type data struct {
	// Incident is the id of the entry that opened it.
	Incident int `json:"incident,omitempty"`
	// Written is when the entry was made, where that is not when it happened.
	Written string          `json:"written,omitempty"`
	Opening *Opening        `json:"opening,omitempty"`
	From    json.RawMessage `json:"from,omitempty"`
	Values  *Values         `json:"values,omitempty"`
	Results []Measured      `json:"results,omitempty"`
	// Report is the name of the laboratory's file.
	Report string `json:"report,omitempty"`
	Text   string `json:"text,omitempty"`
}

// Draft is an entry about to be written.
type Draft struct {
	// At is when it happened, Written when it is entered.
	At, Written time.Time
	// Incident is the id of the entry that opened it; 0 for an opening.
	Incident int
}

// entry builds the stock entry of a kind.
func (d Draft) entry(kind stock.Kind, x data) (stock.Entry, error) {
	x.Incident = d.Incident
	if !d.Written.IsZero() && !d.Written.Equal(d.At) {
		x.Written = d.Written.UTC().Format(time.RFC3339)
	}
	raw, err := json.Marshal(x)
	if err != nil {
		return stock.Entry{}, fmt.Errorf("writing %s: %w", kind, err)
	}
	return stock.Entry{Kind: kind, Time: d.At, Data: raw}, nil
}

// Open is the entry that opens an incident.
func (d Draft) Open(o Opening) (stock.Entry, error) {
	return d.entry(stock.Opened, data{Opening: &o})
}

// Change is the entry of a change: as much out as in, drawn from the pours.
func (d Draft) Change(pours []stock.Pour) (stock.Entry, error) {
	from, err := stock.PoursJSON(pours)
	if err != nil {
		return stock.Entry{}, err
	}
	return d.entry(stock.Change, data{From: from})
}

// Reading is the entry of what instruments showed; list are what test kits found, which
// count as results too.
func (d Draft) Reading(v Values, list []Measured) (stock.Entry, error) {
	return d.entry(stock.Reading, data{Values: &v, Results: list})
}

// Result is the entry of what was found in a sample taken at d.At; report names the
// laboratory's file, "" for none.
func (d Draft) Result(list []Measured, report string) (stock.Entry, error) {
	return d.entry(stock.Result, data{Results: list, Report: report})
}

// Remark is the entry of a note.
func (d Draft) Remark(text string) (stock.Entry, error) {
	return d.entry(stock.Remark, data{Text: text})
}

// Close is the entry that closes an incident, with a last remark or "".
func (d Draft) Close(text string) (stock.Entry, error) {
	return d.entry(stock.Closed, data{Text: text})
}

// decode reads what an entry of an incident carries, within the ranges that the
// computations take.
func decode(e stock.Entry) (data, error) {
	var x data
	if err := json.Unmarshal(e.Data, &x); err != nil {
		return x, fmt.Errorf("entry %d, %s, does not hold what such an entry holds", e.ID, e.Kind)
	}
	missing := ""
	switch {
	case e.Kind == stock.Opened && (x.Opening == nil || x.Opening.System == ""):
		missing = "the system"
	case e.Kind != stock.Opened && x.Incident < 1:
		missing = "the incident"
	case e.Kind == stock.Reading && x.Values == nil:
		missing = "the values"
	case e.Kind == stock.Result && len(x.Results) == 0:
		missing = "the results"
	}
	if missing != "" {
		return x, fmt.Errorf("entry %d, %s, lacks %s", e.ID, e.Kind, missing)
	}
	for _, m := range x.Results {
		if !(m.UgL >= 0 && m.UgL <= maxUgL && m.U >= 0 && m.U <= maxUgL) || m.Contaminant == "" {
			return x, fmt.Errorf("entry %d: a result of %g ± %g µg/L; 0 to 1e12 of a named substance is allowed", e.ID, m.UgL, m.U)
		}
	}
	if x.Values != nil {
		if err := x.Values.check(); err != nil {
			return x, fmt.Errorf("entry %d: %w", e.ID, err)
		}
	}
	if x.Opening != nil {
		for _, a := range x.Opening.Aims {
			if err := a.check(); err != nil {
				return x, fmt.Errorf("entry %d: %w", e.ID, err)
			}
		}
	}
	return x, nil
}

// maxUgL is a thousand grams a litre: more is no solution of anything.
const maxUgL = 1e12

// check refuses what no instrument for seawater shows; NaN fails.
func (v Values) check() error {
	for _, r := range []struct {
		name      string
		x         *float64
		low, high float64
	}{{"temperature", v.TempC, 0, 40}, {"salinity", v.Salinity, 0, 42}, {"pH", v.PH, 0, 14}, {"alkalinity", v.AlkalinityDKH, 0, 100}, {"oxygen", v.OxygenMgL, 0, 50}} {
		if r.x != nil && !(*r.x >= r.low && *r.x <= r.high) {
			return fmt.Errorf("%s is %g; %g to %g is allowed", r.name, *r.x, r.low, r.high)
		}
	}
	return nil
}

func (a Aim) check() error {
	for _, x := range []float64{a.Start, a.StartU, a.Target, a.WithinH, a.SourceMgH} {
		if !(x >= 0 && x <= maxUgL) {
			return fmt.Errorf("an aim holds %g; 0 to 1e12 is allowed", x)
		}
	}
	if !(a.Remove >= 0 && a.Remove < 1) || math.IsNaN(a.Remove) {
		return fmt.Errorf("an aim removes %g; a share from 0 to below 1 is allowed", a.Remove)
	}
	return nil
}
