package hazards

import (
	"fmt"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// chillers are the failures of each chiller of a system.
func (j *judge) chillers(sys site.System, b body) {
	for _, e := range sys.Equipment {
		if e.Kind != site.Chiller {
			continue
		}
		j.add(j.chillerOff(sys, b, e).guard(e.Kind, e.Guards, j.now))
		j.add(Hazard{System: sys.ID, Equipment: e.ID, Failure: StuckOn, FinalUnit: Celsius, Playbook: "too-cold",
			Detail: "it cools without end; how far is not known, because the site file holds no cooling power: note how long it takes for one degree"}.guard(e.Kind, e.Guards, j.now))
	}
}

// chillerOff warms towards the hottest room and beyond it, by what the pumps add;
// the heaters' own thermostats keep them off.
func (j *judge) chillerOff(sys site.System, b body, e site.Equipment) Hazard {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: FailedOff, FinalUnit: Celsius, Playbook: "too-hot"}
	room, high, t := float64(sys.Ambient.Hottest), float64(sys.Limits.TemperatureHigh), j.units.Temperature
	if !b.Known() {
		h.Missing = []string{"heat_loss"}
		h.Detail = "how fast it warms needs heat_loss: note a fall of temperature with the heaters off and enter it as cooling_test"
		return h
	}
	h.ends(max(b.start, b.settles(b.PumpW, room)), AtMost)
	if hours, ok := b.risesTo(high, b.PumpW, room); ok {
		h.reach(plan.TemperatureHigh, hours)
		h.Harm = bySpeed(&hours)
		h.Detail = fmt.Sprintf("passes %s after %s in a room of %s and heads for %s, pumps running", t(high), hoursText(&hours), t(room), t(*h.Final))
		return h
	}
	h.Detail = fmt.Sprintf("without it the water ends at %s in a room of %s, no higher than %s", t(*h.Final), t(room), t(high))
	return h
}
