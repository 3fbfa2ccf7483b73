package hazards

import (
	"fmt"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// dKHPerMeq is dKH in one meq/L, through the units table.
var dKHPerMeq = float64(salinity.AlkalinityFromMeq(1).DKH)

// DoseStep is what a dosing solution does to the system it doses: what a keeper who
// finds a bottle emptier than it should be needs to know.
type DoseStep struct {
	System string `json:"system"`
	ID     string `json:"id"`
	// Doses is "alkalinity", "calcium" or "magnesium".
	Doses site.Dosed `json:"doses"`
	// Per100ML is the rise by 100 mL in the net volume, in Unit: dKH or mg/L.
	Per100ML float64 `json:"per_100_ml"`
	Unit     Unit    `json:"unit"`
	// Bottle is the rise by the whole bottle, the same way.
	Bottle float64 `json:"bottle"`
}

// Step is what a doser's solution does to its system: strength times volume over the
// net volume. It adds up as long as nothing precipitates, so that a large rise is an
// upper bound.
func Step(sys site.System, e site.Equipment) DoseStep {
	d := DoseStep{System: sys.ID, ID: e.ID, Doses: e.Doses, Unit: MgL}
	perML := e.Strength / float64(sys.NetVolume)
	if e.Doses == site.Alkalinity {
		d.Unit = DKH
		perML *= dKHPerMeq
	}
	d.Per100ML = 100 * perML
	d.Bottle = perML * float64(e.Reservoir) * 1000
	return d
}

// doser is a dosing pump that does not stop.
func doser(sys site.System, e site.Equipment, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: Overrun, Playbook: "dosing-overrun"}
	step := Step(sys, e)
	h.FinalUnit = step.Unit
	if e.Doses != site.Alkalinity {
		h.FinalUnit += Unit(" " + e.Doses)
	}
	rise := step.Bottle * float64(sys.NetVolume) / lowVolume(sys)
	if start := level(sys, e.Doses); start != nil {
		h.ends(*start+rise, AtMost)
	}
	missing := fmt.Sprintf("100 mL missing from the bottle are %s %s in this tank", units.Significant(step.Per100ML, 2), step.Unit)
	switch {
	case e.Strength <= 0:
		h.Detail = "a dose without strength changes nothing"
	case e.Doses != site.Alkalinity:
		h.Detail = fmt.Sprintf("the whole bottle raises %s by at most %.0f mg/L; the site file has no limit for it; %s", e.Doses, rise, missing)
	default:
		h.alkalinity(sys, e, rise, u)
		h.Detail += "; " + missing
	}
	return h
}

// level is what the system's water holds of what is dosed, nil when unknown: dKH of
// alkalinity, mg/L of the ions.
func level(sys site.System, doses site.Dosed) *float64 {
	switch doses {
	case site.Alkalinity:
		return sys.Water.AlkalinityDKH
	case site.Calcium:
		return sys.Water.CalciumMgL
	}
	return sys.Water.MagnesiumMgL
}

// alkalinity judges an overrun of alkalinity that raises it by so many dKH. No rate of
// change is published that harms; an overrun that doubles what the water held within
// a day is counted as killing, because pH and precipitation go with it: a planning
// value of this tool.
func (h *Hazard) alkalinity(sys site.System, e site.Equipment, rise float64, u units.System) {
	litresPerDKH := lowVolume(sys) / (e.Strength * dKHPerMeq) / 1000
	perDay := sys.Limits.AlkalinityPerDay
	limit, ok := firstReached([]threshold{{plan.AlkalinityPerDay, true, perDay, perDay * litresPerDKH}}, e.FlowLH)
	if !ok {
		h.Detail = fmt.Sprintf("at its flow it raises alkalinity by less than %.1f dKH in any 24 h; the whole bottle is worth %.1f dKH", perDay, rise)
		return
	}
	h.SafeReservoirL = &limit.litres
	bottle := float64(e.Reservoir)
	if bottle <= limit.litres {
		h.Detail = fmt.Sprintf("the whole bottle raises alkalinity by %.1f dKH, within %s", rise, limit.name)
		return
	}
	h.Limit = limit.name
	h.setHours(limit.litres, e.FlowLH)
	h.Harm = Slow
	if own := sys.Water.AlkalinityDKH; own != nil && rise >= *own && *own*litresPerDKH <= e.FlowLH*aDayH {
		h.Harm = WithinADay
	}
	h.setUndo(sys, 1-perDay/rise)
	h.Detail = fmt.Sprintf("the whole bottle of %s raises alkalinity by at most %.1f dKH, less what precipitates; %s could not break %s", u.Volume(bottle, units.Nearest), rise, u.Volume(limit.litres, units.Down), limit.name)
}
