package hazards

import (
	"fmt"
	"math"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// dKHPerMeq is dKH in one meq/L, through the units table.
var dKHPerMeq = float64(salinity.AlkalinityFromMeq(1).DKH)

// threshold is the limit that an overrun reaches first: its name, the value
// there, and the litres of reservoir that take the system to it.
type threshold struct {
	name   string
	value  float64
	litres float64
}

// first picks the threshold that is reached first by a flow: a per-day limit only
// counts when the flow gets there within 24 h.
func first(list []threshold, flowLH float64) (threshold, bool) {
	var best threshold
	found := false
	for _, t := range list {
		if t.name == perDay(t.name) && flowLH > 0 && t.litres > flowLH*24 {
			continue
		}
		if !found || t.litres < best.litres {
			best, found = t, true
		}
	}
	return best, found
}

// perDay returns the name when it is a per-day limit, "" otherwise.
func perDay(name string) string {
	if name == "salinity_per_day" || name == "alkalinity_per_day" {
		return name
	}
	return ""
}

// topOff is a float that sticks: fresh water until the reservoir is empty. Salt
// is conserved: S' = S·m/(m + m_fresh), masses at their own densities. What
// evaporates meanwhile is left out, so it is the worst case.
func topOff(sys site.System, e site.Equipment, u units.System) (Hazard, error) {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: Overrun, FinalUnit: "practical salinity", Playbook: "top-off-overrun"}
	sea, err := salinity.Density(sys.Water.Salinity, sys.Water.Temperature)
	if err != nil {
		return h, err
	}
	fresh, err := salinity.Density(0, sys.Water.Temperature)
	if err != nil {
		return h, err
	}
	s, mass := float64(sys.Water.Salinity), float64(sea)*lowVolume(sys)
	after := func(litres float64) float64 { return s * mass / (mass + float64(fresh)*litres) }
	litresTo := func(target float64) float64 {
		if target >= s {
			return 0
		}
		return mass * (s/target - 1) / float64(fresh)
	}
	return fall(h, sys, e, e.FlowLH, litresTo, after, u), nil
}

// skimmerOverflow throws saltwater out at a rate while the top-off replaces it
// with fresh: S = S0·exp(−v/V) after v litres, until its reservoir is empty.
func skimmerOverflow(sys site.System, e site.Equipment, topoff *site.Equipment, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: Overflow, FinalUnit: "practical salinity", Playbook: "skimmer-overflow"}
	if topoff == nil {
		h.FinalUnit = "L/h on the floor"
		out := e.OverflowLH
		h.Final = &out
		h.Detail = fmt.Sprintf("%s of saltwater leave the system; no top-off replaces it, so the level falls until a pump runs dry", u.Flow(e.OverflowLH))
		return h
	}
	s, volume := float64(sys.Water.Salinity), lowVolume(sys)
	after := func(litres float64) float64 { return s * math.Exp(-litres/volume) }
	litresTo := func(target float64) float64 {
		if target >= s {
			return 0
		}
		return volume * math.Log(s/target)
	}
	replaced := *topoff
	flow := e.OverflowLH
	if topoff.FlowLH > 0 {
		flow = math.Min(flow, topoff.FlowLH)
	}
	return fall(h, sys, replaced, flow, litresTo, after, u)
}

// fall judges a fall of salinity fed from the reservoir of e at a flow.
func fall(h Hazard, sys site.System, e site.Equipment, flowLH float64, litresTo, after func(float64) float64, u units.System) Hazard {
	s := float64(sys.Water.Salinity)
	list := []threshold{
		{"salinity_per_day", s - sys.Limits.SalinityPerDay, litresTo(s - sys.Limits.SalinityPerDay)},
		{"salinity_low", float64(sys.Limits.SalinityLow), litresTo(float64(sys.Limits.SalinityLow))},
	}
	reservoir := float64(e.Reservoir)
	final := after(reservoir)
	h.Final = &final
	limit, ok := first(list, flowLH)
	if !ok {
		h.Detail = fmt.Sprintf("an empty reservoir of %s leaves salinity %.1f", u.Volume(reservoir, units.Nearest), final)
		return h
	}
	h.SafeReservoirL = &limit.litres
	if reservoir <= limit.litres {
		h.Detail = fmt.Sprintf("the whole reservoir of %s leaves salinity %.1f, within %s", u.Volume(reservoir, units.Nearest), final, limit.name)
		return h
	}
	h.Limit = limit.name
	h.setHours(limit.litres, flowLH)
	share := 1 - (s-limit.value)/(s-final)
	h.setUndo(sys, share)
	h.Detail = fmt.Sprintf("fresh water until the reservoir of %s is empty: salinity %.1f; a reservoir of %s could not break %s", u.Volume(reservoir, units.Nearest), final, u.Volume(limit.litres, units.Down), limit.name)
	return h
}

// setHours is litres at a flow; a missing flow leaves it null and says so.
func (h *Hazard) setHours(litres, flowLH float64) {
	if flowLH <= 0 {
		h.Missing = append(h.Missing, "flow")
		return
	}
	hours := litres / flowLH
	h.HoursToLimit = &hours
}

// setUndo is the water that removes a share of the disturbance.
func (h *Hazard) setUndo(sys site.System, share float64) {
	share = math.Max(0, share)
	litres := undo(float64(sys.NetVolume), sys.Drawdown, 1-share)
	h.WaterToUndoL, h.RemoveShare = &litres, &share
}

// undo is the least new water that leaves a fraction of a disturbance in volume V
// by changes of at most drawdown·V: full-size changes and a trimmed last one. No
// number of changes leaves nothing: that is +Inf.
func undo(volume, drawdown, fraction float64) float64 {
	n, ok := dilution.ChangesNeeded(1, fraction, 0, drawdown)
	if !ok {
		return math.Inf(1)
	}
	if n == 0 {
		return 0
	}
	before := dilution.AfterChanges(1, 0, drawdown, n-1)
	return float64(n-1)*drawdown*volume + dilution.LastChange(volume, before, fraction, 0)
}

// doser is a dosing pump that does not stop.
func doser(sys site.System, e site.Equipment, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: Overrun, Playbook: "dosing-overrun"}
	volume, reservoirML := lowVolume(sys), float64(e.Reservoir)*1000
	if e.Doses != "alkalinity" {
		h.FinalUnit = "mg/L " + e.Doses
		start := sys.Water.CalciumMgL
		if e.Doses == "magnesium" {
			start = sys.Water.MagnesiumMgL
		}
		rise := e.Strength * reservoirML / volume
		h.Detail = fmt.Sprintf("the whole bottle raises %s by %.0f mg/L; the site file has no limit for it", e.Doses, rise)
		if start != nil {
			final := *start + rise
			h.Final = &final
		}
		return h
	}
	h.FinalUnit = "dKH"
	rise := e.Strength * reservoirML / volume * dKHPerMeq
	if sys.Water.AlkalinityDKH != nil {
		final := *sys.Water.AlkalinityDKH + rise
		h.Final = &final
	}
	if e.Strength <= 0 {
		h.Detail = "a dose without strength changes nothing"
		return h
	}
	toLimit := sys.Limits.AlkalinityPerDay / dKHPerMeq * volume / e.Strength / 1000
	limit, ok := first([]threshold{{"alkalinity_per_day", sys.Limits.AlkalinityPerDay, toLimit}}, e.FlowLH)
	if !ok {
		h.Detail = fmt.Sprintf("at its flow it raises alkalinity by less than %.1f dKH in any 24 h; the whole bottle is worth %.1f dKH", sys.Limits.AlkalinityPerDay, rise)
		return h
	}
	h.SafeReservoirL = &limit.litres
	if float64(e.Reservoir) <= limit.litres {
		h.Detail = fmt.Sprintf("the whole bottle raises alkalinity by %.1f dKH, within %s", rise, limit.name)
		return h
	}
	h.Limit = limit.name
	h.setHours(limit.litres, e.FlowLH)
	h.setUndo(sys, 1-limit.value/rise)
	h.Detail = fmt.Sprintf("the whole bottle of %s raises alkalinity by %.1f dKH if none of it precipitates; %s could not break %s", u.Volume(float64(e.Reservoir), units.Nearest), rise, u.Volume(limit.litres, units.Down), limit.name)
	return h
}
