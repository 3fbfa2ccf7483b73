package schedule

import (
	"tidehold/refs"
	"tidehold/response/dilution"
)

// Outcome is the plan for every demand, in the order in which they share the
// water: by priority, then deadline, then as given.
type Outcome struct {
	Plans []Plan
	// UsableNowL is the saltwater of the whole site that can be drawn at once.
	UsableNowL float64
	// Assumptions are the defaults the planner took, each once; Warnings what the
	// keeper should look at.
	Assumptions []refs.Assumption
	Warnings    []string
}

// Plan is the schedule of changes for one demand.
type Plan struct {
	Demand Demand
	// Index is the demand's place in the list given to Run.
	Index int
	Steps []Step
	// Aims tells how each aim of the demand fares, in the demand's order.
	Aims []AimResult
	// DoneAtH is when the last aim is reached, the filling included; nil: never
	// within the horizon.
	DoneAtH *float64
	// DemandL is the water that full-size changes, the last one trimmed, take when
	// all of it is ready, matches the system and brings what the site's own new
	// water brings. +Inf where the target is unreachable.
	DemandL float64
	// DemandChanges is the number of those changes.
	DemandChanges int
	// UsableNowL is the saltwater left for this demand at time zero by those
	// before it, and FirstChangeL the size of a change at time zero; 0: none.
	UsableNowL, FirstChangeL float64
	// WaterL is what the plan uses. ShortfallL is what is lacking, as DemandL counts it,
	// after the most that the site can do within the horizon; 0 when the plan is done.
	WaterL, ShortfallL float64
	// Exposure is ∫max(C − target, 0) dt of each aim over its target, summed: in
	// units of target·hours, to the horizon when the aim is never reached.
	Exposure float64
	// Reachable says that no aim lies at or below its floor.
	Reachable bool
	Binding   Binding
	Batches   []Batch
	// Supply is the saltwater made usable up to each time, for a chart: a step
	// curve, litres in total, in order of time.
	Supply []SupplyPoint
	// SaltKg is the salt the plan's batches take, PurifiedL the purified water.
	SaltKg, PurifiedL float64
	// Confidence is the share of cases, by the stated uncertainties, in which the
	// litres planned suffice; 0.5 when none is stated.
	Confidence float64
	// Continuous is the alternative where a cold store caps the changes; nil when
	// it does not or when no heater power is known.
	Continuous *Continuous
	// Hurried says that the plan with least exposure misses a deadline that this
	// one meets; CalmDoneAtH and CalmExposure are that plan's.
	Hurried      bool
	CalmDoneAtH  *float64
	CalmExposure float64
	// Exact says that the search was completed; otherwise the plan is the best
	// found within the budget of Nodes.
	Exact bool
	Nodes int
}

// AimResult is what a plan does for one aim.
type AimResult struct {
	EventID string
	// DoneAtH is when the target is reached, filling included; nil: never. Final
	// is the concentration or share at the end of the plan as expected, and Floor
	// the lowest that unlimited changes would lead to.
	DoneAtH      *float64
	Final, Floor float64
	// Reachable: the target lies above the floor.
	Reachable bool
	// InTime: reached within the time allowed (or no time was set).
	InTime bool
	// Background is what the site's new water brings, µg/L, as DemandL counts it.
	Background float64
	// Dynamics acts on the aim between changes, media and source counted, and End is
	// its state at the end of the plan as expected: what follows with no more changes.
	Dynamics dilution.Dynamics
	End      dilution.State
}

// Peak is the highest concentration or share from the end of the plan on with no
// more changes; +Inf where there is no limit to it.
func (r AimResult) Peak() float64 { return r.Dynamics.Peak(r.End) }

// Step is one change.
type Step struct {
	N int
	// AtH is when draining starts, FinishH when the system is full again;
	// DrainMinutes and FillMinutes are the two parts.
	AtH, FinishH              float64
	DrainMinutes, FillMinutes float64
	RemoveL, AddL             float64
	From                      []Draw
	// Levels are the concentrations or shares before and after, by aim.
	Levels []Level
	// Before and After are the system's state.
	Before, After State
	// CappedBy is what kept the change from being larger.
	CappedBy Limit
}

// Level is one aim's concentration (µg/L) or share around a change, as expected
// with the stated values; SizedAfter is the one the litres were sized for, which
// allows for the stated uncertainties.
type Level struct {
	Before, After, SizedAfter float64
	// Un-ionised ammonia (NH3, µg/L as N) by the higher of the two pHs after the
	// change; nil unless the aim is ammonia and the pHs are known. Rises says that
	// the change raises it although it removes total ammonia.
	UnionisedBefore, UnionisedAfter *float64
	Rises                           bool
}

// Draw is water taken for a change.
type Draw struct {
	// StoreID is the store, "" for a delivery.
	StoreID string
	// Delivery numbers the site's deliveries from 1; 0 for a store.
	Delivery int
	// Batch numbers the plan's batches from 1 when the water is newly made; 0: it
	// was stored.
	Batch  int
	Litres float64
	// Salinity, practical; Temperature in °C as drawn.
	Salinity, Temperature float64
	// Buckets: moved by hand, no pump is stated.
	Buckets bool
}

// State is the system's water. The pointers are nil where nothing is known of
// the system's own water.
type State struct {
	Salinity, Temperature        float64
	AlkalinityDKH                *float64
	CalciumMgL, MagnesiumMgL, PH *float64
}

// Batch is purified water and salt mixed in a vat.
type Batch struct {
	N       int
	StoreID string
	// StartH is when all water and salt are in, MixedH when it may be used, and
	// WarmH when it is at the system's temperature too: nil when the vat never
	// gets there by itself.
	StartH, MixedH float64
	WarmH          *float64
	// Litres made, PurifiedL and SaltKg put in. OnTop says that the vat was not
	// empty, so that all of it had to wait.
	Litres, PurifiedL, SaltKg float64
	OnTop                     bool
	Salinity, Temperature     float64
}

// SupplyPoint is the saltwater made usable up to a time.
type SupplyPoint struct{ AtH, Litres float64 }

// Limit names what holds a change, or a plan, back.
type Limit string

// The limits, by the names of the site file where it has one.
const (
	ToTarget          Limit = "target" // trimmed: nothing held it back
	ByDrawdown        Limit = "drawdown"
	ByWater           Limit = "volume"
	BySalt            Limit = "salt"
	ByPurifiedWater   Limit = "purified water"
	ByMixing          Limit = "mixing time"
	ByWarming         Limit = "warming"
	ByDelivery        Limit = "delivery"
	ByInterval        Limit = "change_every"
	TemperatureStep   Limit = "temperature_step"
	TemperaturePerDay Limit = "temperature_per_day"
	TemperatureLow    Limit = "temperature_low"
	TemperatureHigh   Limit = "temperature_high"
	SalinityStep      Limit = "salinity_step"
	SalinityPerDay    Limit = "salinity_per_day"
	SalinityLow       Limit = "salinity_low"
	SalinityHigh      Limit = "salinity_high"
	AlkalinityPerDay  Limit = "alkalinity_per_day"
)

// Binding is the limit that holds the plan back most and what one notch of it
// saves. Limit is "" when nothing does: one trimmed change at once.
type Binding struct {
	Limit Limit
	// From and To are the limit now and one notch looser, in Unit.
	From, To float64
	Unit     string
	// DoneAtH is when the plan would be done with the notch; nil: still never.
	DoneAtH *float64
	// SavedH is what the notch saves; nil when the plan, with it or without it,
	// is never done.
	SavedH *float64
	// Detail says it in a sentence.
	Detail string
}

// Continuous is a slow exchange: new water in and mixed water out at the same
// rate, as much as the system's heaters can warm.
type Continuous struct {
	// FlowLH in L/h, Hours until every aim is reached, WaterL it takes.
	FlowLH, Hours, WaterL float64
	// HeaterW is the heater power it uses, in W.
	HeaterW float64
}
