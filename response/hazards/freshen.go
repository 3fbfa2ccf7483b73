package hazards

import (
	"fmt"
	"math"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// threshold is a limit that an overrun may reach: its name, whether it is a limit per
// day, the value there, and the litres of reservoir that take the system to it: +Inf
// where none do.
type threshold struct {
	name   plan.Limit
	perDay bool
	value  float64
	litres float64
}

// firstReached picks the threshold that is reached first by a flow in L/h: a per-day
// limit counts only when the flow gets there within 24 h (or is not stated), and one
// that is never reached, or was passed before anything failed, does not.
func firstReached(list []threshold, flowLH float64) (threshold, bool) {
	var best threshold
	found := false
	for _, t := range list {
		if !(t.litres > 0) || math.IsInf(t.litres, 1) || t.perDay && flowLH > 0 && t.litres > flowLH*aDayH {
			continue
		}
		if !found || t.litres < best.litres {
			best, found = t, true
		}
	}
	return best, found
}

// freshening is fresh water that comes in: the salinity after litres of it, and the
// litres that bring it down to a target.
type freshening struct {
	from   float64
	after  func(litres float64) float64
	litres func(target float64) float64
}

// to is the litres that bring salinity down to a target: 0 where it is there already,
// +Inf for zero and below, which no amount of fresh water reaches.
func (f freshening) to(target float64) float64 {
	switch {
	case target >= f.from:
		return 0
	case !(target > 0):
		return math.Inf(1)
	}
	return f.litres(target)
}

// topOff is a float that sticks: fresh water until the reservoir is empty. Salt
// is conserved: S' = S·m/(m + m_fresh), masses at their own densities. What
// evaporates meanwhile is left out, so the end is a bound.
func topOff(sys site.System, e site.Equipment, u units.System) (Hazard, error) {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: Overrun, FinalUnit: Practical, Playbook: "top-off-overrun"}
	sea, err := salinity.Density(sys.Water.Salinity, sys.Water.Temperature)
	if err != nil {
		return h, err
	}
	fresh, err := salinity.Density(0, sys.Water.Temperature)
	if err != nil {
		return h, err
	}
	s, mass := float64(sys.Water.Salinity), float64(sea)*lowVolume(sys)
	return fall(h, sys, float64(e.Reservoir), e.FlowLH, freshening{
		from:   s,
		after:  func(litres float64) float64 { return s * mass / (mass + float64(fresh)*litres) },
		litres: func(target float64) float64 { return mass * (s/target - 1) / float64(fresh) },
	}, u), nil
}

// skimmerOverflow throws saltwater out at a rate while the top-off replaces it
// with fresh: S = S0·exp(−v/V) after v litres, until its reservoir is empty.
func skimmerOverflow(sys site.System, e site.Equipment, topoff *site.Equipment, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: Overflow, FinalUnit: Practical, Playbook: "skimmer-overflow"}
	if topoff == nil || e.OverflowLH <= 0 {
		return spills(h, e.OverflowLH, u)
	}
	s, volume := float64(sys.Water.Salinity), lowVolume(sys)
	flow := e.OverflowLH
	if topoff.FlowLH > 0 {
		flow = math.Min(flow, topoff.FlowLH)
	}
	return fall(h, sys, float64(topoff.Reservoir), flow, freshening{
		from:   s,
		after:  func(litres float64) float64 { return s * math.Exp(-litres/volume) },
		litres: func(target float64) float64 { return volume * math.Log(s/target) },
	}, u)
}

// spills is an overflow that nothing replaces: it is on the floor from the first
// minute, and the pumps run dry later.
func spills(h Hazard, litresPerHour float64, u units.System) Hazard {
	h.FinalUnit = FloorLH
	h.ends(litresPerHour, "")
	if litresPerHour <= 0 {
		h.Detail = "a skimmer that loses nothing does no harm"
		return h
	}
	h.reach(OnFloor, 0)
	h.Harm = People
	h.Detail = fmt.Sprintf("%s of saltwater leave the system; no top-off replaces it, so the level falls until a pump runs dry", u.Flow(litresPerHour))
	return h
}

// fall judges a fall of salinity fed from a reservoir in litres at a flow in L/h.
func fall(h Hazard, sys site.System, reservoir, flowLH float64, f freshening, u units.System) Hazard {
	lim := sys.Limits
	low := threshold{plan.SalinityLow, false, float64(lim.SalinityLow), f.to(float64(lim.SalinityLow))}
	day := threshold{plan.SalinityPerDay, true, f.from - lim.SalinityPerDay, f.to(f.from - lim.SalinityPerDay)}
	final := f.after(reservoir)
	h.ends(final, AtLeast)
	limit, ok := firstReached([]threshold{day, low}, flowLH)
	if !ok {
		h.Detail = fmt.Sprintf("an empty reservoir of %s leaves salinity %.1f and breaks no limit that is not broken already", u.Volume(reservoir, units.Nearest), final)
		return h
	}
	h.SafeReservoirL = &limit.litres
	if reservoir <= limit.litres {
		h.Detail = fmt.Sprintf("the whole reservoir of %s leaves salinity %.1f, within %s", u.Volume(reservoir, units.Nearest), final, limit.name)
		return h
	}
	h.Limit = limit.name
	h.setHours(limit.litres, flowLH)
	h.Harm = Slow
	if low.litres > 0 && low.litres < reservoir && low.litres <= flowLH*aDayH {
		h.Harm = WithinADay
	}
	h.setUndo(sys, 1-(f.from-limit.value)/(f.from-final))
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
