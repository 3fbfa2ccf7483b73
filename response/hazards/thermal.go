package hazards

import (
	"fmt"
	"math"

	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// body is a system as a lump of heat: capacity in J/K, loss coefficient in W/K,
// heaters and pumps in W. Pumps warm the water with all they draw.
type body struct {
	capacityJK float64
	lossWK     float64
	known      bool // lossWK is known
	from       string
	start      float64 // °C
	heaterW    float64
	pumpW      float64
}

// newBody finds the heat capacity of the smallest likely volume and the loss
// coefficient from whichever of the three ways the site file gives. problem is a
// sentence for the keeper when what it gives cannot be used.
func newBody(sys site.System, u units.System) (b body, problem string, err error) {
	rho, err := salinity.Density(sys.Water.Salinity, sys.Water.Temperature)
	if err != nil {
		return b, "", err
	}
	cp, err := salinity.HeatCapacity(sys.Water.Salinity, sys.Water.Temperature)
	if err != nil {
		return b, "", err
	}
	perLitre := float64(rho) / 1000 * cp
	b.start = float64(sys.Water.Temperature)
	b.capacityJK = perLitre * lowVolume(sys)
	for _, e := range sys.Equipment {
		switch e.Kind {
		case site.Heater:
			b.heaterW += e.PowerW
		case site.Circulation, site.Return:
			b.pumpW += e.PowerW
		}
	}
	problem = b.findLoss(sys, perLitre*float64(sys.NetVolume), u)
	return b, problem, nil
}

// findLoss sets the loss coefficient from the heaters' duty, a stated coefficient
// or a cooling test with the heaters off and the pumps on.
func (b *body) findLoss(sys site.System, nominalJK float64, u units.System) (problem string) {
	usual := float64(sys.Ambient.Usual)
	switch h := sys.HeatLoss; {
	case h.Coefficient != nil:
		b.lossWK, b.known, b.from = *h.Coefficient, *h.Coefficient > 0, "stated coefficient"
		if !b.known {
			return fmt.Sprintf("%s: a heat loss coefficient of zero cannot be; measure a cooling test", sys.ID)
		}
	case h.HeaterDuty != nil:
		if b.start <= usual {
			return fmt.Sprintf("%s: the room (%s) is as warm as the water (%s), so the heaters' duty says nothing of the heat loss; measure a cooling test", sys.ID, u.Temperature(usual), u.Temperature(b.start))
		}
		power := *h.HeaterDuty*b.heaterW + b.pumpW
		if power <= 0 {
			return fmt.Sprintf("%s: the heaters' duty is given but neither heaters nor pumps have a power; give their watts", sys.ID)
		}
		b.lossWK, b.known, b.from = power/(b.start-usual), true, "heater duty"
	case h.CoolingTest != nil:
		k, ok := lossFromCooling(*h.CoolingTest, nominalJK, b.pumpW, usual)
		if !ok {
			return fmt.Sprintf("%s: the cooling test does not fall towards the room (%s); repeat it with the heaters off", sys.ID, u.Temperature(usual))
		}
		b.lossWK, b.known, b.from = k, true, "cooling test"
	default:
		return fmt.Sprintf("%s: heat_loss is not given; switch the heaters off for 3 h in the usual room, note both temperatures, and enter them as cooling_test", sys.ID)
	}
	return ""
}

// lossFromCooling solves C dT/dt = P − k (T − room) for k, given the fall over the
// test: T(t) = E + (T0 − E)·exp(−k t/C), E = room + P/k. The end temperature falls
// monotonically with k, so bisection finds it.
func lossFromCooling(c site.CoolingTest, capacityJK, pumpW, room float64) (float64, bool) {
	from, to, seconds := float64(c.From), float64(c.To), c.InH*3600
	if !(from > to) || !(to > room) || !(seconds > 0) {
		return 0, false
	}
	end := func(k float64) float64 {
		b := body{capacityJK: capacityJK, lossWK: k, known: true, start: from}
		return b.at(c.InH, pumpW, room)
	}
	low, high := 1e-9, 1e9
	if end(high) > to || end(low) < to {
		return 0, false
	}
	for range 200 {
		mid := math.Sqrt(low * high)
		if end(mid) > to {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Sqrt(low * high), true
}

// settles is where the temperature ends, °C, with a heat input in a room.
func (b body) settles(inputW, room float64) float64 { return room + inputW/b.lossWK }

// at is the temperature after hours: Newton's law of cooling with a heat input.
func (b body) at(hours, inputW, room float64) float64 {
	e := b.settles(inputW, room)
	return e + (b.start-e)*math.Exp(-b.lossWK*hours*3600/b.capacityJK)
}

// reaches is the hours until the temperature is at a limit, false when it never
// gets there. Already past it is zero hours.
func (b body) reaches(limit, inputW, room float64, rising bool) (float64, bool) {
	if rising && b.start >= limit || !rising && b.start <= limit {
		return 0, true
	}
	if !b.known {
		if !rising || inputW <= 0 {
			return 0, false
		}
		// Without losses: the fastest it can be.
		return (limit - b.start) * b.capacityJK / inputW / 3600, true
	}
	e := b.settles(inputW, room)
	if rising && e <= limit || !rising && e >= limit {
		return 0, false
	}
	return math.Log((b.start-e)/(limit-e)) * b.capacityJK / b.lossWK / 3600, true
}

// heaters are the three failures of each heater of a system.
func (j *judge) heaters(sys site.System, b body) {
	for _, e := range sys.Equipment {
		if e.Kind != site.Heater {
			continue
		}
		j.add(stuckOn(sys, b, e, j.units).guard(e.Guards, j.now))
		j.add(failedOff(sys, b, e, j.units).guard(e.Guards, j.now))
		j.add(j.brokenOpen(sys, e).guard(e.Guards, j.now))
	}
}

// stuckOn heats without end in the hottest room.
func stuckOn(sys site.System, b body, e site.Equipment, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: StuckOn, FinalUnit: "°C", Playbook: "heater-stuck-on"}
	room, high := float64(sys.Ambient.Hottest), float64(sys.Limits.TemperatureHigh)
	input := e.PowerW + b.pumpW
	if hours, ok := b.reaches(high, input, room, true); ok {
		h.Limit, h.HoursToLimit = "temperature_high", &hours
	}
	if !b.known {
		h.Missing = []string{"heat_loss"}
		h.Detail = fmt.Sprintf("%.0f W that stay on reach %s in %s if no heat is lost; where it ends needs heat_loss", input, u.Temperature(high), hoursText(h.HoursToLimit))
		return h
	}
	final := b.settles(input, room)
	h.Final = &final
	if h.HoursToLimit == nil {
		h.Detail = fmt.Sprintf("stays below %s: with %.0f W in a room of %s it settles at %s", u.Temperature(high), input, u.Temperature(room), u.Temperature(final))
		return h
	}
	h.Detail = fmt.Sprintf("passes %s after %s in a room of %s and heads for %s", u.Temperature(high), hoursText(h.HoursToLimit), u.Temperature(room), u.Temperature(final))
	return h
}

// failedOff cools in the coldest room with whatever heaters are left.
func failedOff(sys site.System, b body, e site.Equipment, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: FailedOff, FinalUnit: "°C", Playbook: "chilled"}
	if !b.known {
		h.Missing = []string{"heat_loss"}
		h.Detail = "how fast it cools needs heat_loss: switch the heaters off for 3 h, note both temperatures, and enter them as cooling_test"
		return h
	}
	room, low := float64(sys.Ambient.Coldest), float64(sys.Limits.TemperatureLow)
	left := b.heaterW - e.PowerW + b.pumpW
	final := math.Min(b.start, b.settles(left, room))
	h.Final = &final
	if hours, ok := b.reaches(low, left, room, false); ok {
		h.Limit, h.HoursToLimit = "temperature_low", &hours
		h.Detail = fmt.Sprintf("falls to %s after %s in a room of %s and heads for %s", u.Temperature(low), hoursText(&hours), u.Temperature(room), u.Temperature(final))
		return h
	}
	h.Detail = fmt.Sprintf("the heat that is left holds it at %s in a room of %s, above %s", u.Temperature(final), u.Temperature(room), u.Temperature(low))
	return h
}

// brokenOpen spills metal into the water at once. How much nobody knows on the
// night: the litres are those that remove the share the site plans for.
func (j *judge) brokenOpen(sys site.System, e site.Equipment) Hazard {
	share, basis := brokenShare(j.site, sys.ID)
	litres := undo(float64(sys.NetVolume), sys.Drawdown, 1-share)
	zero := 0.0
	return Hazard{
		System: sys.ID, Equipment: e.ID, Failure: BrokenOpen, Limit: "unknown metals", HoursToLimit: &zero,
		FinalUnit: "µg/L", WaterToUndoL: &litres, RemoveShare: &share, Playbook: "heater-break",
		Detail: fmt.Sprintf("metals are in the water at once, how much only a laboratory can say; removing %.0f %% (%s) takes %s", share*100, basis, j.units.Volume(litres, units.Up)),
	}
}

// brokenShare is the share a site plans to remove when a heater breaks: its own
// event's, else one half.
func brokenShare(s *site.Site, system string) (share float64, basis string) {
	for _, ev := range s.Events {
		if ev.System != system || ev.Playbook != "heater-break" {
			continue
		}
		if ev.Remove != nil {
			return *ev.Remove, "your event " + ev.ID
		}
		if ev.StartUgL > ev.TargetUgL && ev.TargetUgL > 0 {
			return 1 - ev.TargetUgL/ev.StartUgL, "your event " + ev.ID
		}
	}
	return 0.5, "no heater-break event says more"
}

// lowVolume is the smallest volume the stated uncertainty allows, litres.
func lowVolume(sys site.System) float64 {
	low := float64(sys.NetVolume - sys.NetVolumeU)
	if low <= 0 {
		return float64(sys.NetVolume)
	}
	return low
}

// hoursText prints the hours that are left, rounded down to the minute, or "never".
func hoursText(h *float64) string {
	if h == nil {
		return "never"
	}
	return units.Hours(units.Down.To(*h, 1.0/60))
}
