package hazards

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// mains is the equipment of an outage.
const mains = "mains power"

// outage is a power cut: the oxygen clock, then the temperature clock.
func (j *judge) outage(sys site.System, b body) error {
	l, err := newOxygenBudget(sys)
	if err != nil {
		return err
	}
	air := Hazard{System: sys.ID, Equipment: mains, Failure: Outage, FinalUnit: OxygenMgL, Playbook: "outage"}
	air.clock(sys, l)
	if air.Limit != "" {
		air.Detail += ". " + powerFirst(sys)
		j.assume(refs.Assumption{What: "oxygen when the power fails, " + sys.ID, Value: fmt.Sprintf("%.0f %% of saturation", startSaturation*100), Source: "planning value of this tool"})
		j.assume(refs.Assumption{What: "gas transfer of a rippled surface", Value: fmt.Sprintf("%.0f cm/h; of a still one 0", rippledCmH), Source: "rippled: from memory, unverified; still: lowest of the published fits at zero wind (0 to 2.51 cm/h)"})
	}
	j.add(air.stoodBy(j.supplies(sys.ID, site.Air, site.Circulation, site.Return), j.now))
	j.add(cooling(sys, b, j.units).stoodBy(j.supplies(sys.ID, site.Heater), j.now))
	if float64(sys.Ambient.Hottest) > float64(sys.Limits.TemperatureHigh) {
		j.add(warming(sys, b, j.units).stoodBy(j.supplies(sys.ID, site.Chiller), j.now))
	}
	for _, e := range sys.Equipment {
		if e.Kind == site.Return {
			j.add(stopped(sys, e, l).bare())
		}
	}
	return nil
}

// powerFirst names what to connect first when little power is left.
func powerFirst(sys site.System) string {
	var first []string
	heat := 0.0
	for _, kind := range []site.EquipmentKind{site.Air, site.Circulation, site.Return} {
		for _, e := range sys.Equipment {
			if e.Kind == kind {
				first = append(first, fmt.Sprintf("%s (%s)", e.ID, units.Watts(e.PowerW)))
			}
		}
	}
	for _, e := range sys.Equipment {
		if e.Kind == site.Heater {
			heat += e.PowerW
		}
	}
	if len(first) == 0 {
		return "No air pump or circulation is listed: have a battery air pump ready"
	}
	s := "Power first: " + strings.Join(first, ", then ")
	if heat > 0 {
		s += fmt.Sprintf("; heaters (%s) last", units.Watts(heat))
	}
	return s
}

// cooling is the temperature clock with everything off in the coldest room.
func cooling(sys site.System, b body, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: mains, Failure: Outage, FinalUnit: Celsius, Playbook: "outage"}
	room, low := float64(sys.Ambient.Coldest), float64(sys.Limits.TemperatureLow)
	h.ends(math.Min(b.start, room), AtLeast)
	if room >= low {
		h.Detail = fmt.Sprintf("the coldest room (%s) is no colder than %s", u.Temperature(room), u.Temperature(low))
		return h
	}
	if !b.Known() {
		h.Missing = []string{"heat_loss"}
		h.Detail = "the temperature clock needs heat_loss: switch the heaters off for 3 h, note both temperatures, and enter them as cooling_test"
		return h
	}
	if hours, ok := b.fallsTo(low, 0, room); ok {
		h.reach(plan.TemperatureLow, hours)
		h.Harm = bySpeed(&hours)
		h.Detail = fmt.Sprintf("without power it falls to %s after %s in a room of %s", u.Temperature(low), hoursText(&hours), u.Temperature(room))
	}
	return h
}

// warming is the same in a room hotter than the limit.
func warming(sys site.System, b body, u units.System) Hazard {
	room, high := float64(sys.Ambient.Hottest), float64(sys.Limits.TemperatureHigh)
	h := Hazard{System: sys.ID, Equipment: mains, Failure: Outage, FinalUnit: Celsius, Playbook: "outage"}
	h.ends(math.Max(b.start, room), AtMost)
	if !b.Known() {
		h.Missing = []string{"heat_loss"}
		h.Detail = fmt.Sprintf("the hottest room (%s) is above %s; how fast it warms needs heat_loss", u.Temperature(room), u.Temperature(high))
		return h
	}
	if hours, ok := b.risesTo(high, 0, room); ok {
		h.reach(plan.TemperatureHigh, hours)
		h.Harm = bySpeed(&hours)
		h.Detail = fmt.Sprintf("without power it warms to %s after %s in a room of %s", u.Temperature(high), hoursText(&hours), u.Temperature(room))
	}
	return h
}
