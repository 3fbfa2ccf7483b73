package hazards

import (
	"tidehold/refs"
	"tidehold/volumes/site"
)

// Failure is a way of going wrong.
type Failure string

// The failures, by the names the site's sheets use.
const (
	StuckOn    Failure = "stuck-on"
	FailedOff  Failure = "failed-off"
	BrokenOpen Failure = "broken-open"
	Overrun    Failure = "overrun"
	Overfill   Failure = "overfill"
	Overflow   Failure = "overflow"
	Outage     Failure = "outage"
	DrainBack  Failure = "drain-back"
	Leak       Failure = "leak"
)

// Hazard is one device failing in one way.
type Hazard struct {
	// System is the system harmed; "" for a store.
	System    string  `json:"system"`
	Equipment string  `json:"equipment"`
	Failure   Failure `json:"failure"`
	// Limit is the limit reached first, by the site file's name ("temperature_high",
	// "salinity_per_day", "brim"), "" when none is.
	Limit string `json:"limit"`
	// HoursToLimit is null when the limit is never reached or cannot be computed;
	// Detail says which.
	HoursToLimit *float64 `json:"hours_to_limit"`
	// Final is where it ends if nobody comes, in FinalUnit; null when unknown.
	Final     *float64 `json:"final"`
	FinalUnit string   `json:"final_unit"`
	// SafeReservoirL is the largest reservoir that breaks no limit, litres, at the
	// low end of the volume; null where the failure has no reservoir.
	SafeReservoirL *float64 `json:"safe_reservoir_l"`
	Guards         []Layer  `json:"guards"`
	// SinglePoint: fewer than two independent, tested layers stand between the
	// failure and the animals.
	SinglePoint bool `json:"single_point"`
	// WaterToUndoL is the new saltwater that brings the system back within its
	// limits by changes, litres; null where water does not undo it.
	WaterToUndoL *float64 `json:"water_to_undo_l"`

	// Detail is one sentence a keeper can act on: what happens, or what to measure.
	Detail string `json:"detail"`
	// HoursLow and HoursHigh bound HoursToLimit where it is a range (oxygen).
	HoursLow  *float64 `json:"hours_low,omitempty"`
	HoursHigh *float64 `json:"hours_high,omitempty"`
	// RemoveShare is the share of the change in the water that must be removed to
	// be back within limits, for turning the hazard into an event.
	RemoveShare *float64 `json:"remove_share,omitempty"`
	// Playbook is the sheet for it.
	Playbook string `json:"playbook,omitempty"`
	// Missing names the site-file keys that would let it be computed.
	Missing []string `json:"missing,omitempty"`
}

// Layer is one guard, and whether it counts.
type Layer struct {
	Kind string `json:"kind"`
	// Tested is the date of the last test, YYYY-MM-DD, "" never.
	Tested string `json:"tested"`
	Counts bool   `json:"counts"`
	// Why says why it does not count, "" when it does.
	Why string `json:"why,omitempty"`
}

// Battery is how long a battery runs what it feeds.
type Battery struct {
	System string   `json:"system"`
	ID     string   `json:"id"`
	Feeds  []string `json:"feeds"`
	PowerW float64  `json:"power_w"`
	// Hours is null when it feeds nothing that draws power.
	Hours  *float64 `json:"hours"`
	Detail string   `json:"detail"`
}

// Generator is how long a generator runs, and what it would have to carry.
type Generator struct {
	System string  `json:"system"`
	ID     string  `json:"id"`
	PowerW float64 `json:"power_w"`
	LoadW  float64 `json:"load_w"`
	// Hours is null when fuel or use is not stated.
	Hours  *float64 `json:"hours"`
	Detail string   `json:"detail"`
}

// Load is the weight of a full vat on the floor.
type Load struct {
	Store   string  `json:"store"`
	MassKg  float64 `json:"mass_kg"`
	KgPerM2 float64 `json:"kg_per_m2"`
	Caution string  `json:"caution"`
}

// Thermal is what the tool knows of how a system holds its heat.
type Thermal struct {
	System string `json:"system"`
	// CoefficientWK is null when the site file does not let it be found.
	CoefficientWK *float64 `json:"coefficient_w_k"`
	// Basis is where it is from. It is not in the JSON: one tank is one answer,
	// however its file says what it loses.
	Basis site.HeatBasis `json:"-"`
}

// Result is every hazard of a site, worst first.
type Result struct {
	Hazards    []Hazard    `json:"hazards"`
	Thermal    []Thermal   `json:"thermal"`
	Batteries  []Battery   `json:"batteries"`
	Generators []Generator `json:"generators"`
	Floor      []Load      `json:"floor"`
	// NoLayer and OneLayer count the failures that reach a limit with no layer that
	// counts, and with one.
	NoLayer  int `json:"no_layer"`
	OneLayer int `json:"one_layer"`
	// SharedCauses lists guards that fail together.
	SharedCauses []string `json:"shared_causes"`

	Assumptions []refs.Assumption `json:"-"`
	Warnings    []string          `json:"-"`
}
