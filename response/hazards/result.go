package hazards

import (
	"tidehold/refs"
	"tidehold/response/plan"
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

// Bound says that a number is not where it ends but a bound of it.
type Bound string

// The bounds.
const (
	AtMost  Bound = "at most"
	AtLeast Bound = "at least"
)

// Limits that are not keys of the site file.
const (
	Brim    plan.Limit = "brim"
	OnFloor plan.Limit = "floor"
	Metals  plan.Limit = "unknown metals"
)

// Unit is what the end of a hazard is told in.
type Unit string

// The units of ends. An overrun of calcium or magnesium has MgL with the name behind it.
const (
	Celsius   Unit = "°C"
	Practical Unit = "practical salinity"
	DKH       Unit = "dKH"
	MgL       Unit = "mg/L"
	OxygenMgL Unit = "mg/L oxygen"
	MetalUgL  Unit = "µg/L"
	FloorL    Unit = "L on the floor"
	FloorLH   Unit = "L/h on the floor"
)

// Hazard is one device failing in one way.
type Hazard struct {
	// System is the system harmed; "" for a store.
	System    string  `json:"system"`
	Equipment string  `json:"equipment"`
	Failure   Failure `json:"failure"`
	// Harm is who is hurt and how soon; "" where no limit is reached.
	Harm Harm `json:"harm"`
	// Limit is the limit reached first, by the site file's name ("temperature_high",
	// "salinity_per_day"), "brim", "floor" for water on it, "unknown metals", or ""
	// when none is.
	Limit plan.Limit `json:"limit"`
	// HoursToLimit is null when the limit is never reached or cannot be computed;
	// Detail says which.
	HoursToLimit *float64 `json:"hours_to_limit"`
	// Final is where it ends if nobody comes, in FinalUnit; null when unknown. With a
	// FinalBound it is a bound of that.
	Final      *float64 `json:"final"`
	FinalUnit  Unit     `json:"final_unit"`
	FinalBound Bound    `json:"final_bound,omitempty"`
	// SafeReservoirL is the largest reservoir that breaks no limit, litres, at the
	// low end of the volume; null where the failure has no reservoir or none does.
	SafeReservoirL *float64 `json:"safe_reservoir_l"`
	Guards         []Layer  `json:"guards"`
	// Guardable says that a guard could stop it, if there were one.
	Guardable bool `json:"guardable"`
	// SinglePoint: fewer than two guards that count stand between the failure and
	// the animals.
	SinglePoint bool `json:"single_point"`
	// WaterToUndoL is the new saltwater that brings the system back within its
	// limits by changes, litres; null where water does not undo it.
	WaterToUndoL *float64 `json:"water_to_undo_l"`

	// Detail is one sentence a keeper can act on: what happens, or what to measure.
	Detail string `json:"detail"`
	// HoursLow and HoursHigh bound HoursToLimit where it is a range (oxygen); with
	// a HoursLow, a missing HoursHigh has no end.
	HoursLow  *float64 `json:"hours_low,omitempty"`
	HoursHigh *float64 `json:"hours_high,omitempty"`
	// RemoveShare is the share of the change in the water that must be removed to
	// be back within limits, for turning the hazard into an event.
	RemoveShare *float64 `json:"remove_share,omitempty"`
	// Playbook is the card for it.
	Playbook string `json:"playbook,omitempty"`
	// Missing names the site-file keys that would let it be computed.
	Missing []string `json:"missing,omitempty"`
}

// reach sets the limit that is reached, and when.
func (h *Hazard) reach(limit plan.Limit, hours float64) { h.Limit, h.HoursToLimit = limit, &hours }

// ends sets where it ends, or a bound of that.
func (h *Hazard) ends(final float64, bound Bound) { h.Final, h.FinalBound = &final, bound }

// Layer is one guard, and whether it counts.
type Layer struct {
	Kind string `json:"kind"`
	// Tested is the date of the last test, YYYY-MM-DD, "" never.
	Tested string `json:"tested"`
	// Fits says that a guard of its kind can stop this failure.
	Fits   bool `json:"fits"`
	Counts bool `json:"counts"`
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
	// Runs is what it can run at once within its power, what the animals need first
	// first; Waits is what has to wait. Both as system/id.
	Runs  []string `json:"runs"`
	Waits []string `json:"waits"`
	// Hours is null when fuel or use is not stated.
	Hours  *float64 `json:"hours"`
	Detail string   `json:"detail"`
}

// Load is the weight of a full vessel on the floor: of a store, or of a system or a
// part of one.
type Load struct {
	Store   string  `json:"store"`
	System  string  `json:"system"`
	Part    string  `json:"part"`
	MassKg  float64 `json:"mass_kg"`
	KgPerM2 float64 `json:"kg_per_m2"`
	// Caution is "" up to the usual design load of a dwelling's floor.
	Caution string `json:"caution"`
}

// Thermal is what the tool knows of how a system holds its heat.
type Thermal struct {
	System string `json:"system"`
	// CoefficientWK is null when the site file does not let it be found.
	CoefficientWK *float64 `json:"coefficient_w_k"`
	// Basis is where it is from. It is not in the JSON: one tank is one answer,
	// however its file says what it loses.
	Basis site.HeatBasis `json:"-"`
	// HoldsC is the warmest that all heaters and pumps can keep the water in the
	// coldest room, null when unknown; TooWeak says that this is below where the
	// water is now.
	HoldsC  *float64 `json:"holds_c"`
	TooWeak bool     `json:"too_weak"`
}

// Result is every hazard of a site, worst first.
type Result struct {
	Hazards    []Hazard    `json:"hazards"`
	Thermal    []Thermal   `json:"thermal"`
	Batteries  []Battery   `json:"batteries"`
	Generators []Generator `json:"generators"`
	Dosers     []DoseStep  `json:"dosers"`
	Floor      []Load      `json:"floor"`
	// UnattendedH is the longest nobody looks at any system, hours.
	UnattendedH float64 `json:"unattended_h"`
	// NoLayer and OneLayer count the failures that reach a limit with no guard that
	// counts, and with one.
	NoLayer  int `json:"no_layer"`
	OneLayer int `json:"one_layer"`
	// SharedCauses lists guards that fail together.
	SharedCauses []string `json:"shared_causes"`

	Assumptions []refs.Assumption `json:"-"`
	Warnings    []string          `json:"-"`
}
