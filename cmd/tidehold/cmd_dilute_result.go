package main

import "tidehold/response/dilution"

// diluteResult is a dilution plan in JSON. Concentrations are ug/L; a plan for a
// share to remove has fractions of the start in their place.
type diluteResult struct {
	Changes int     `json:"changes"`
	WaterL  float64 `json:"water_l"`
	// NeededL is the water that reaches the target where there is enough.
	NeededL       float64  `json:"needed_l"`
	FinalUgL      *float64 `json:"final_ug_l,omitempty"`
	FloorUgL      *float64 `json:"floor_ug_l,omitempty"`
	FinalFraction *float64 `json:"final_fraction,omitempty"`
	FloorFraction *float64 `json:"floor_fraction,omitempty"`
	// Reachable: with unlimited water; Reached: with the water there is; Holds:
	// stays at or below the target with no more changes, for good.
	Reachable bool         `json:"reachable"`
	Reached   bool         `json:"reached"`
	Holds     bool         `json:"holds"`
	DoneAtH   *float64     `json:"done_at_h"`
	Steps     []diluteStep `json:"steps"`
	// The smallest number of full-size changes that suffices in half, 90 % and 95 %
	// of the trials; null when none does, and for water run through.
	ChangesP50 *int `json:"changes_p50"`
	ChangesP90 *int `json:"changes_p90"`
	ChangesP95 *int `json:"changes_p95"`
	// Confidence is the share of cases the plan is sized for, null where no input
	// is uncertain; ReachShare that in which unlimited changes reach the target.
	Confidence *float64 `json:"confidence"`
	ReachShare float64  `json:"reach_share"`
	// Controlling names the contaminant that asks for the most; null when unnamed.
	Controlling  *string         `json:"controlling"`
	Contaminants []diluteOutcome `json:"contaminants"`
	LeastWater   bool            `json:"least_water"`
	LowerFloor   []diluteLever   `json:"would_lower_the_floor"`
	SameWater    []diluteSplit   `json:"same_water_otherwise"`
	// Schedule is set for a plan from a site's own water.
	Schedule *diluteSchedule `json:"schedule,omitempty"`
}

type diluteStep struct {
	N   int     `json:"n"`
	AtH float64 `json:"at_h"`
	// ForH is the duration of water run through, null for a change.
	ForH           *float64     `json:"for_h"`
	RemoveL        float64      `json:"remove_l"`
	AddL           float64      `json:"add_l"`
	BeforeUgL      *float64     `json:"before_ug_l,omitempty"`
	AfterUgL       *float64     `json:"after_ug_l,omitempty"`
	BeforeFraction *float64     `json:"before_fraction,omitempty"`
	AfterFraction  *float64     `json:"after_fraction,omitempty"`
	From           []diluteFrom `json:"from"`
}

// diluteFrom is water drawn for a change.
type diluteFrom struct {
	Store string `json:"store"`
	// Batch numbers the batch it was mixed in, null when it was stored.
	Batch   *int    `json:"batch"`
	VolumeL float64 `json:"volume_l"`
	TempC   float64 `json:"temp_c"`
}

type diluteOutcome struct {
	Name   string  `json:"name"`
	Start  float64 `json:"start"`
	Target float64 `json:"target"`
	Final  float64 `json:"final"`
	Floor  float64 `json:"floor"`
	// Peak is the highest after the plan with no more changes; null: no limit to it.
	Peak         *float64 `json:"peak_after"`
	Reachable    bool     `json:"reachable"`
	Holds        bool     `json:"holds"`
	StartVerdict string   `json:"start_verdict"`
}

type diluteLever struct {
	What    string  `json:"what"`
	Floor   float64 `json:"floor"`
	Reaches bool    `json:"reaches_target"`
}

// diluteSplit is what the same litres do in another number of changes; 0: run
// through.
type diluteSplit struct {
	Changes int     `json:"changes"`
	EachL   float64 `json:"each_l"`
	Final   float64 `json:"final"`
}

// newDiluteResult is the plan in JSON; share says that levels are fractions.
func newDiluteResult(p dilution.Problem, plan dilution.Plan, share bool) diluteResult {
	r := diluteResult{
		Changes: plan.Changes, WaterL: plan.WaterL, NeededL: plan.NeededL,
		Reachable: plan.Reachable, Reached: plan.Reached, Holds: plan.Holds, DoneAtH: plan.DoneAtH,
		Steps: []diluteStep{}, ChangesP50: plan.P50, ChangesP90: plan.P90, ChangesP95: plan.P95, ReachShare: plan.ReachShare,
		Contaminants: []diluteOutcome{}, LeastWater: plan.LeastWater, LowerFloor: []diluteLever{}, SameWater: []diluteSplit{},
	}
	place(share, plan.Final, &r.FinalUgL, &r.FinalFraction)
	place(share, plan.Floor, &r.FloorUgL, &r.FloorFraction)
	if p.Uncertain() {
		r.Confidence = &p.Confidence
	}
	if name := plan.Outcomes[plan.Controlling].Name; name != "" {
		r.Controlling = &name
	}
	for _, s := range plan.Steps {
		step := diluteStep{N: s.N, AtH: s.AtH, ForH: s.ForH, RemoveL: s.RemoveL, AddL: s.AddL, From: []diluteFrom{}}
		place(share, s.Before, &step.BeforeUgL, &step.BeforeFraction)
		place(share, s.After, &step.AfterUgL, &step.AfterFraction)
		r.Steps = append(r.Steps, step)
	}
	for _, o := range plan.Outcomes {
		r.Contaminants = append(r.Contaminants, diluteOutcome{o.Name, o.Start, o.Target, o.Final, o.Floor, o.Peak, o.Reachable, o.Holds, string(o.StartVerdict)})
	}
	for _, l := range plan.Levers {
		r.LowerFloor = append(r.LowerFloor, diluteLever{string(l.What), l.Floor, l.Reaches})
	}
	for _, s := range plan.Splits {
		r.SameWater = append(r.SameWater, diluteSplit(s))
	}
	return r
}

// place puts a level where its kind belongs.
func place(share bool, level float64, ugL, fraction **float64) {
	if share {
		*fraction = &level
		return
	}
	*ugL = &level
}
