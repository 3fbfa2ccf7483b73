package hazards

import (
	"fmt"
	"math"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// body is a system's heat in the smallest likely volume, from its temperature now.
type body struct {
	site.Heat
	volume units.Litres
	start  float64 // °C
}

// newBody finds the heat of a system. problem is a sentence for the keeper when what
// the site file says of its loss cannot be used.
func newBody(sys site.System, u units.System) (b body, problem string, err error) {
	b.Heat, err = sys.Heat()
	b.volume, b.start = units.Litres(lowVolume(sys)), float64(sys.Water.Temperature)
	return b, lossProblem(sys, b.Basis, u), err
}

// lossProblem says what to do about a loss coefficient that is not known.
func lossProblem(sys site.System, basis site.HeatBasis, u units.System) string {
	usual := u.Temperature(float64(sys.Ambient.Usual))
	switch basis {
	case site.ZeroLoss:
		return fmt.Sprintf("%s: a heat loss coefficient of zero cannot be; measure a cooling test", sys.ID)
	case site.WarmRoom:
		return fmt.Sprintf("%s: the room (%s) is as warm as the water (%s), so the heaters' duty says nothing of the heat loss; measure a cooling test", sys.ID, usual, u.Temperature(float64(sys.Water.Temperature)))
	case site.NoPower:
		return fmt.Sprintf("%s: the heaters' duty is given but neither heaters nor pumps have a power; give their watts", sys.ID)
	case site.NoFallToRoom:
		return fmt.Sprintf("%s: the cooling test does not fall towards the room (%s); repeat it with the heaters off", sys.ID, usual)
	case site.NoHeatLoss:
		return fmt.Sprintf("%s: heat_loss is not given; switch the heaters off for 3 h in the usual room, note both temperatures, and enter them as cooling_test", sys.ID)
	}
	return ""
}

// settles is where the temperature ends, °C, with a heat input in a room; the loss
// must be known.
func (b body) settles(inputW, room float64) float64 {
	end, _ := b.Body(b.volume, inputW, units.Celsius(room)).Settles()
	return end
}

// risesTo is the hours until the temperature has risen to a limit, false when it never
// does; 0 when it is there already. Without a known loss it is the fastest it can be.
func (b body) risesTo(limit, inputW, room float64) (float64, bool) {
	if b.start >= limit {
		return 0, true
	}
	return b.hoursTo(limit, inputW, room)
}

// fallsTo is the same of a fall, which cannot be told without a known loss.
func (b body) fallsTo(limit, inputW, room float64) (float64, bool) {
	if b.start <= limit {
		return 0, true
	}
	return b.hoursTo(limit, inputW, room)
}

func (b body) hoursTo(limit, inputW, room float64) (float64, bool) {
	return b.Body(b.volume, inputW, units.Celsius(room)).Course(b.start).HoursTo(limit)
}

// heaters are the three failures of each heater of a system.
func (j *judge) heaters(sys site.System, b body) {
	for _, e := range sys.Equipment {
		if e.Kind != site.Heater {
			continue
		}
		j.add(stuckOn(sys, b, e, j.units).guard(e.Kind, e.Guards, j.now))
		j.add(failedOff(sys, b, e, j.units).guard(e.Kind, e.Guards, j.now))
		j.add(j.brokenOpen(sys, e).guard(e.Kind, e.Guards, j.now))
	}
}

// stuckOn heats without end in the hottest room.
func stuckOn(sys site.System, b body, e site.Equipment, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: StuckOn, FinalUnit: Celsius, Playbook: "too-hot"}
	room, high := float64(sys.Ambient.Hottest), float64(sys.Limits.TemperatureHigh)
	input := e.PowerW + b.PumpW
	if hours, ok := b.risesTo(high, input, room); ok {
		h.reach(plan.TemperatureHigh, hours)
		h.Harm = bySpeed(&hours)
	}
	if !b.Known() {
		h.Missing = []string{"heat_loss"}
		if h.HoursToLimit == nil {
			h.Detail = "heaters and pumps without power warm nothing; whether the room does needs heat_loss"
			return h
		}
		h.Detail = fmt.Sprintf("%s that stay on reach %s in %s if no heat is lost; where it ends needs heat_loss", units.Watts(input), u.Temperature(high), hoursText(h.HoursToLimit))
		return h
	}
	final := b.settles(input, room)
	h.ends(final, AtMost)
	if h.HoursToLimit == nil {
		h.Detail = fmt.Sprintf("stays below %s: with %s in a room of %s it settles at %s", u.Temperature(high), units.Watts(input), u.Temperature(room), u.Temperature(final))
		return h
	}
	h.Detail = fmt.Sprintf("passes %s after %s in a room of %s and heads for %s", u.Temperature(high), hoursText(h.HoursToLimit), u.Temperature(room), u.Temperature(final))
	return h
}

// failedOff cools in the coldest room with whatever heaters are left.
func failedOff(sys site.System, b body, e site.Equipment, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: FailedOff, FinalUnit: Celsius, Playbook: "too-cold"}
	if !b.Known() {
		h.Missing = []string{"heat_loss"}
		h.Detail = "how fast it cools needs heat_loss: switch the heaters off for 3 h, note both temperatures, and enter them as cooling_test"
		return h
	}
	room, low := float64(sys.Ambient.Coldest), float64(sys.Limits.TemperatureLow)
	left := b.HeaterW - e.PowerW + b.PumpW
	final := math.Min(b.start, b.settles(left, room))
	h.ends(final, AtLeast)
	if hours, ok := b.fallsTo(low, left, room); ok {
		h.reach(plan.TemperatureLow, hours)
		h.Harm = bySpeed(&hours)
		h.Detail = fmt.Sprintf("falls to %s after %s in a room of %s and heads for %s", u.Temperature(low), hoursText(&hours), u.Temperature(room), u.Temperature(final))
		return h
	}
	h.Detail = fmt.Sprintf("the heat that is left holds it at %s in a room of %s, above %s", u.Temperature(final), u.Temperature(room), u.Temperature(low))
	return h
}

// brokenOpen makes the water live and spills metal into it at once. How much metal
// nobody knows on the night: the litres are those that remove the share the site
// plans for.
func (j *judge) brokenOpen(sys site.System, e site.Equipment) Hazard {
	share, basis := brokenShare(j.breaks[sys.ID])
	litres := undo(float64(sys.NetVolume), sys.Drawdown, 1-share)
	h := Hazard{
		System: sys.ID, Equipment: e.ID, Failure: BrokenOpen, Harm: People,
		FinalUnit: MetalUgL, WaterToUndoL: &litres, RemoveShare: &share, Playbook: site.HeaterBreak,
		Detail: fmt.Sprintf("the water can be live, and metals are in it at once, how much only a laboratory can say; removing %.0f %% (%s) takes %s", share*100, basis, j.units.Volume(litres, units.Up)),
	}
	h.reach(Metals, 0)
	return h
}

// brokenShare is the share a site plans to remove when a heater of a system breaks: by
// the first of its own events for it that says, else one half.
func brokenShare(events []site.Event) (share float64, basis string) {
	for _, ev := range events {
		if ev.Remove != nil {
			return *ev.Remove, "your event " + ev.ID
		}
		if ev.StartUgL > ev.TargetUgL && ev.TargetUgL > 0 {
			return 1 - ev.TargetUgL/ev.StartUgL, "your event " + ev.ID
		}
	}
	return 0.5, "no heater-break event says more"
}

// leastShare is the smallest share of a net volume that is reckoned with, however
// uncertain it is said to be.
const leastShare = 0.1

// lowVolume is the smallest volume the stated uncertainty allows, litres; at least a
// tenth of what is stated.
func lowVolume(sys site.System) float64 {
	return max(float64(sys.NetVolume-sys.NetVolumeU), leastShare*float64(sys.NetVolume))
}

// hoursText prints the hours that are left, rounded down to the minute, or "never".
func hoursText(h *float64) string {
	if h == nil {
		return "never"
	}
	return units.Hours(units.Down.To(*h, 1.0/60))
}
