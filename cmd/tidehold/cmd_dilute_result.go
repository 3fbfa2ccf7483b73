package main

import (
	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/response/readiness"
)

// diluteResult is a plan in JSON: one plan, whether from flags or from a site's own
// water. Concentrations are ug/L; a plan for a share to remove has fractions of the
// start in their place.
type diluteResult struct {
	Changes int     `json:"changes"`
	WaterL  float64 `json:"water_l"`
	// NeededL is the water that reaches the target where there is enough and all of it
	// matches; null where none does.
	NeededL       *float64 `json:"needed_l"`
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
	// of the trials; null when none does, for water run through, and for a plan from a
	// site's own water, whose changes are not full-size ones alone.
	ChangesP50 *int `json:"changes_p50"`
	ChangesP90 *int `json:"changes_p90"`
	ChangesP95 *int `json:"changes_p95"`
	// Confidence is the share of cases the plan is sized for, null where no input
	// is uncertain; ReachShare that in which unlimited changes reach the target, null for
	// a plan from a site.
	Confidence *float64 `json:"confidence"`
	ReachShare *float64 `json:"reach_share"`
	// Controlling names the contaminant that asks for the most; null when unnamed.
	Controlling  *string         `json:"controlling"`
	Contaminants []diluteOutcome `json:"contaminants"`
	LeastWater   bool            `json:"least_water"`
	LowerFloor   []diluteLever   `json:"would_lower_the_floor"`
	SameWater    []diluteSplit   `json:"same_water_otherwise"`
	// Proved and GapPercent are how sure a plan from a site's own water is the best: none is
	// better, or the most by which the exposure could fall; absent for other plans.
	Proved     *bool    `json:"proved,omitempty"`
	GapPercent *float64 `json:"gap_percent,omitempty"`
	// Schedule is the whole plan, for one from a site's own water.
	Schedule *diluteSchedule `json:"schedule,omitempty"`
}

// diluteStep is one change, or water run through for a time (null for a change). The
// system's water stands in a plan from a site.
type diluteStep struct {
	plan.Shown
	ForH        *float64     `json:"for_h"`
	WaterBefore *plan.State  `json:"water_before,omitempty"`
	WaterAfter  *plan.State  `json:"water_after,omitempty"`
	Levels      []plan.Level `json:"levels,omitempty"`
}

// diluteSchedule is what a plan from a site has besides its steps.
type diluteSchedule struct {
	System  string   `json:"system"`
	Event   string   `json:"event"`
	WithinH *float64 `json:"within_h"`
	plan.Plan
	// WorstDay is the event just after the regular changes, as ready judges it; null where they take nothing.
	WorstDay *readiness.JustAfter `json:"worst_day"`
	// The steps stand above.
	Steps *struct{} `json:"steps,omitempty"`
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

// common is what the results of both kinds of plan have, in JSON.
func (v *planView) common() diluteResult {
	share, a := v.aim().Share(), v.Aims[0]
	r := diluteResult{
		WaterL: v.WaterL, NeededL: v.DemandL, Reachable: v.Reachable, DoneAtH: v.DoneAtH,
		Steps: []diluteStep{}, Contaminants: []diluteOutcome{}, LowerFloor: []diluteLever{}, SameWater: []diluteSplit{},
	}
	place(share, a.Final, &r.FinalUgL, &r.FinalFraction)
	place(share, a.Floor, &r.FloorUgL, &r.FloorFraction)
	for _, l := range v.levers {
		r.LowerFloor = append(r.LowerFloor, diluteLever{string(l.What), l.Floor, l.Reaches})
	}
	return r
}

// result is a plan from a site.
func (v *siteView) result() diluteResult {
	r := v.common()
	r.Changes, r.Reached, r.Holds, r.Confidence = len(v.Steps), v.DoneAtH != nil, v.DoneAtH != nil, v.Confidence
	for i, s := range v.Shown() {
		r.Steps = append(r.Steps, diluteStep{Shown: s, WaterBefore: &v.Steps[i].Before, WaterAfter: &v.Steps[i].After, Levels: s.Levels})
	}
	for i, a := range v.Aims {
		aim := v.Demand.Aims[i]
		r.Contaminants = append(r.Contaminants, diluteOutcome{aim.Contaminant, aim.Start, aim.Target, a.Final, a.Floor, a.PeakAfter, a.Reachable, a.Holds,
			string(dilution.Judge(aim.Start, aim.StartU, aim.Target, false))})
		r.Holds = r.Holds && a.Holds
	}
	if name := v.aim().Contaminant; name != "" {
		r.Controlling = &name
	}
	r.Schedule = &diluteSchedule{System: v.Demand.System.ID, Event: v.aim().EventID, Plan: v.Plan, WorstDay: v.justAfter}
	r.Proved, r.GapPercent = &v.Plan.Proved, &v.Plan.GapPercent
	if h := v.aim().WithinH; h > 0 {
		r.Schedule.WithinH = &h
	}
	return r
}

// result is a plan from flags.
func (v *freeView) result() diluteResult {
	r := v.common()
	for i, s := range v.Shown() {
		r.Steps = append(r.Steps, diluteStep{Shown: s, ForH: v.made.Steps[i].ForH})
	}
	p := v.made
	r.Changes, r.Reached, r.Holds = p.Changes, p.Reached, p.Holds
	r.ChangesP50, r.ChangesP90, r.ChangesP95, r.ReachShare, r.LeastWater = p.P50, p.P90, p.P95, &p.ReachShare, p.LeastWater
	if v.problem.Uncertain() {
		r.Confidence = &v.problem.Confidence
	}
	if name := p.Outcomes[p.Controlling].Name; name != "" {
		r.Controlling = &name
	}
	for _, o := range p.Outcomes {
		r.Contaminants = append(r.Contaminants, diluteOutcome{o.Name, o.Start, o.Target, o.Final, o.Floor, o.Peak, o.Reachable, o.Holds, string(o.StartVerdict)})
	}
	for _, s := range p.Splits {
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
