package plan

import (
	"fmt"
	"slices"
)

// Plan is the schedule of changes for one demand. Nil pointers are "never" or "not
// known": no infinity stands in a plan.
type Plan struct {
	Demand Demand `json:"-"`
	// Index is the demand's place in the list given to the planner.
	Index int    `json:"-"`
	Steps []Step `json:"steps"`
	// Aims tells how each aim of the demand fares, in the demand's order.
	Aims []AimResult `json:"aims"`
	// Batches are mixed, Prepared vats cut or lifted or emptied, in order of time.
	Batches  []Batch   `json:"batches"`
	Prepared []Prepare `json:"prepared"`
	// DoneAtH is when the last aim is reached, the filling included; nil: never
	// within the horizon. InTime: every aim within the time allowed for it.
	DoneAtH *float64 `json:"done_at_h"`
	InTime  bool     `json:"in_time"`
	// DemandL is the water that full-size changes, the last one trimmed, take when
	// all of it is ready, matches the system and brings what the best of the site's
	// own water brings; nil where the target is unreachable. DemandChanges is their
	// number.
	DemandL       *float64 `json:"demand_l"`
	DemandChanges int      `json:"demand_changes"`
	// UsableNowL is the saltwater left for this demand at time zero by those before
	// it, and FirstChangeL the size of the first change; 0: none.
	UsableNowL   float64 `json:"usable_now_l"`
	FirstChangeL float64 `json:"first_change_l"`
	// WaterL is what the plan uses. LackingL is the smallest addition of stored
	// saltwater, at the system's salinity and temperature, that a new plan proves
	// enough; nil: nothing is lacking, or no amount would do, or not worked out.
	WaterL   float64  `json:"water_l"`
	LackingL *float64 `json:"lacking_l"`
	// Exposure is ∫max(C − target, 0) dt of each aim over its target, summed: in
	// units of target·hours, to ExposureToH when an aim is never reached.
	Exposure    float64 `json:"exposure"`
	ExposureToH float64 `json:"exposure_to_h"`
	// Reachable says that no aim lies at or below its floor.
	Reachable bool `json:"reachable"`
	// Binding is what holds the plan back most.
	Binding Binding `json:"binding"`
	// Supply is the saltwater made usable up to each time, for a chart: a step
	// curve, litres in total, in order of time.
	Supply []SupplyPoint `json:"supply"`
	// PouredL is the water that may be used and is poured away so that the rest is fit or warm sooner; Keeping is what
	// comes of the plan without that, in a house where another system may want it. Nil: it was not asked, or little is poured.
	PouredL float64  `json:"poured_l"`
	Keeping *Keeping `json:"keeping"`
	// SaltKg is the salt the plan's batches take, PurifiedL the purified water.
	SaltKg    float64 `json:"salt_kg"`
	PurifiedL float64 `json:"purified_l"`
	// Confidence is the share of cases, by the stated uncertainties, in which the
	// litres planned suffice; nil where none is stated.
	Confidence *float64 `json:"confidence"`
	// Proved says that no permitted plan is better; otherwise GapPercent is the most
	// by which the exposure could still fall, in per cent of this plan's.
	Proved     bool    `json:"proved"`
	GapPercent float64 `json:"gap_percent"`
	Nodes      int     `json:"nodes"`
	// Continuous is the alternative where a cold store caps the changes; nil when
	// it does not or when no heater power is known.
	Continuous *Continuous `json:"continuous"`
	// WithMedia is what the site's media would bring if they run; nil: none stated.
	WithMedia *WithMedia `json:"with_media"`
}

// Of is, of plans that were made together, that of a demand by its place among those that were asked for.
func Of(made []Plan, place int) *Plan {
	return &made[slices.IndexFunc(made, func(p Plan) bool { return p.Index == place })]
}

// RisesAgain is the place of the first aim that a finished plan reaches and that does not stay
// reached with no more changes; -1 where all stay, or the plan is never done.
func (p *Plan) RisesAgain() int {
	if p.DoneAtH == nil {
		return -1
	}
	return slices.IndexFunc(p.Aims, func(a AimResult) bool { return !a.Holds })
}

// AimResult is what a plan does for one aim.
type AimResult struct {
	EventID     string `json:"event"`
	Contaminant string `json:"contaminant"`
	// DoneAtH is when the target is reached, filling included; nil: never. Final
	// is the concentration or share at the end of the plan as expected, and Floor
	// the lowest that unlimited changes of the best water would lead to.
	DoneAtH *float64 `json:"done_at_h"`
	Final   float64  `json:"final"`
	Floor   float64  `json:"floor"`
	// Reachable: the target lies above the floor. InTime: reached within the time
	// allowed (or no time was set). Holds: stays reached with no more changes.
	Reachable bool `json:"reachable"`
	InTime    bool `json:"in_time"`
	Holds     bool `json:"holds"`
	// Background is what the site's new water brings, µg/L.
	Background float64 `json:"background_ug_l"`
	// PeakAfter is the highest from the end of the plan on with no more changes;
	// nil: no limit to it.
	PeakAfter *float64 `json:"peak_after"`
}

// Step is one change.
type Step struct {
	N int `json:"n"`
	// Rest is true where this finishes a change that was begun and interrupted.
	Rest bool `json:"rest"`
	// AtH is when draining starts, DoneH when the system is full again;
	// DrainMinutes and FillMinutes are the two parts.
	AtH          float64 `json:"at_h"`
	DoneH        float64 `json:"done_h"`
	DrainMinutes float64 `json:"drain_min"`
	FillMinutes  float64 `json:"fill_min"`
	RemoveL      float64 `json:"remove_l"`
	AddL         float64 `json:"add_l"`
	From         []Draw  `json:"from"`
	// Levels are the concentrations or shares before and after, by aim.
	Levels []Level `json:"levels"`
	// Before and After are the system's water.
	Before State `json:"water_before"`
	After  State `json:"water_after"`
	// LimitedBy is what kept the change from being larger.
	LimitedBy Limit `json:"limited_by"`
}

// Level is one aim's concentration (µg/L) or share around a change, as expected
// with the stated values; SizedAfter is the one the litres were sized for, which
// allows for the stated uncertainties.
type Level struct {
	Before     float64 `json:"before"`
	After      float64 `json:"after"`
	SizedAfter float64 `json:"sized_after"`
	// Un-ionised ammonia (NH3, µg/L as N) around the change; nil unless the aim is
	// ammonia and the pHs are known. Rises: the mixture has more of it.
	UnionisedBefore *float64 `json:"unionised_before_ug_l,omitempty"`
	UnionisedAfter  *float64 `json:"unionised_after_ug_l,omitempty"`
	Rises           bool     `json:"rises,omitempty"`
}

// Draw is water taken for a change.
type Draw struct {
	// StoreID is the store's id, "" for a delivery.
	StoreID string `json:"store"`
	// Delivery numbers the site's deliveries from 1; 0 for a store.
	Delivery int `json:"delivery"`
	// Batch numbers the plan's batches from 1 when the water is newly made; 0: it
	// was stored.
	Batch  int     `json:"batch"`
	Litres float64 `json:"volume_l"`
	// Salinity, practical; Temperature in °C as drawn.
	Salinity    float64 `json:"salinity"`
	Temperature float64 `json:"temp_c"`
	// Buckets: moved by hand, no pump is stated.
	Buckets bool `json:"buckets"`
	// LeftL is what could still be drawn of it after the change, for rounding; nil: not known.
	LeftL *float64 `json:"-"`
}

// From names the store or the delivery that the water is drawn from.
func (d Draw) From() string {
	if d.Delivery > 0 {
		return fmt.Sprintf("delivery %d", d.Delivery)
	}
	return d.StoreID
}

// State is the system's water. The pointers are nil where nothing is known of
// the system's own water.
type State struct {
	Salinity      float64  `json:"salinity"`
	Temperature   float64  `json:"temp_c"`
	AlkalinityDKH *float64 `json:"alkalinity_dkh"`
	CalciumMgL    *float64 `json:"calcium_mg_l"`
	MagnesiumMgL  *float64 `json:"magnesium_mg_l"`
	PH            *float64 `json:"ph"`
}

// Batch is purified water and salt mixed in a vat.
type Batch struct {
	N       int    `json:"n"`
	StoreID string `json:"store"`
	// StartH is when all water and salt are in, MixedH when it may be used, and
	// WarmH when it is at the system's temperature too: nil when the vat never
	// gets there by itself.
	StartH float64  `json:"start_h"`
	MixedH float64  `json:"usable_h"`
	WarmH  *float64 `json:"warm_h"`
	// Litres made, PurifiedL and SaltKg put in. OnTop says that the vat was not
	// empty, so that all of it had to wait.
	Litres      float64 `json:"volume_l"`
	PurifiedL   float64 `json:"purified_l"`
	SaltKg      float64 `json:"salt_kg"`
	Salts       []Salt  `json:"salts"`
	OnTop       bool    `json:"on_top"`
	Salinity    float64 `json:"salinity"`
	Temperature float64 `json:"temp_c"`
}

// Drawn reports whether a change draws from the vat of a batch once that may be used. One that none
// draws from is the reserve, which lets another water be drawn.
func (p *Plan) Drawn(b *Batch) bool {
	return slices.ContainsFunc(p.Steps, func(s Step) bool {
		return s.AtH >= b.MixedH-1e-6 && slices.ContainsFunc(s.From, func(d Draw) bool { return d.StoreID == b.StoreID })
	})
}

// Preparation is what is done to the water of a vat before it is used.
type Preparation string

// The preparations.
const (
	Cut   Preparation = "cut"   // brought down to the system's salinity with purified water
	Lift  Preparation = "lift"  // brought up to it with salt
	Empty Preparation = "empty" // poured away to make room
	Lower Preparation = "lower" // partly poured away: less is warm sooner, or leaves room
)

// Prepare is one preparation of one vat.
type Prepare struct {
	What    Preparation `json:"what"`
	StoreID string      `json:"store"`
	// AtH is when it begins and ReadyH when the water may be used.
	AtH    float64 `json:"at_h"`
	ReadyH float64 `json:"usable_h"`
	// RemoveL is poured away first, to stay within the brim; AddL purified water and
	// SaltKg salt go in.
	RemoveL float64 `json:"remove_l"`
	AddL    float64 `json:"purified_l"`
	SaltKg  float64 `json:"salt_kg"`
	Salts   []Salt  `json:"salts"`
	// Litres in the vat afterwards, and its salinity.
	Litres   float64 `json:"volume_l"`
	Salinity float64 `json:"salinity"`
}

// Pours reports whether water is poured away and nothing added.
func (p *Prepare) Pours() bool { return p.What == Empty || p.What == Lower }

// LeavesL is the litres that stay in the vat when RemoveL has been poured away.
func (p *Prepare) LeavesL() float64 { return max(0, p.Litres-p.AddL) }

// SupplyPoint is the saltwater made usable up to a time.
type SupplyPoint struct {
	AtH    float64 `json:"at_h"`
	Litres float64 `json:"volume_l"`
}

// Binding is the limit that holds the plan back most and what one notch of it
// saves. Limit is "" when nothing does: one trimmed change at once.
type Binding struct {
	Limit Limit `json:"limit"`
	// From and To are the limit now and one notch looser, in Unit.
	From float64 `json:"from"`
	To   float64 `json:"to"`
	Unit string  `json:"unit"`
	// DoneAtH is when the plan would be done with the notch; nil: still never.
	DoneAtH *float64 `json:"done_at_h"`
	// SavedH is what the notch saves; nil when the plan, with it or without it,
	// is never done.
	SavedH *float64 `json:"saved_h"`
	// Bars says that no change at all can be made within the limit, and some can one notch looser: no water
	// helps before it is loosened. Key is then its place in the site file, and Assumed says that the file does
	// not state it.
	Bars    bool   `json:"bars"`
	Key     string `json:"key"`
	Assumed bool   `json:"assumed"`
	// Detail says it in a sentence.
	Detail string `json:"detail"`
}

// Continuous is a slow exchange: new water in and mixed water out at the same
// rate, as much as the system's heaters can warm.
type Continuous struct {
	// FlowLH in L/h, Hours until every aim is reached, WaterL it takes.
	FlowLH float64 `json:"flow_l_h"`
	Hours  float64 `json:"for_h"`
	WaterL float64 `json:"water_l"`
	// HeaterW is the heater power it uses, in W.
	HeaterW float64 `json:"heater_w"`
}

// Keeping is a plan in time that pours away no good water but what makes room; or, where that would be late, the same as
// without.
type Keeping struct {
	PouredL  float64  `json:"poured_l"`
	DoneAtH  *float64 `json:"done_at_h"`
	Exposure float64  `json:"exposure"`
}

// WithMedia is the same plan if the site's media do what the site file states.
type WithMedia struct {
	Media   []string `json:"media"` // their ids
	DoneAtH *float64 `json:"done_at_h"`
	InTime  bool     `json:"in_time"`
	WaterL  float64  `json:"water_l"`
}
