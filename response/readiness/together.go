package readiness

import (
	"fmt"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/schedule"
)

// together judges events that strike at once and share the water.
func (j judge) together(p plans, ids []string) (Together, schedule.Outcome) {
	t := Together{Events: ids, Verdict: Covered, Each: []TogetherEvent{}, Fixes: []Fix{}}
	q, err := j.scenarioOf(j.eventsOf(ids)...)
	var out schedule.Outcome
	if err == nil {
		out, err = p.run(q, false)
	}
	if err != nil {
		t.Verdict, t.Reason = Unknown, "cannot be worked out: "+err.Error()
		return t, schedule.Outcome{}
	}
	fate := map[string]TogetherEvent{}
	for k := range out.Plans {
		p := &out.Plans[k]
		if p.DemandL != nil {
			t.DemandL += *p.DemandL
		}
		for i, a := range p.Aims {
			fate[a.EventID] = TogetherEvent{ID: a.EventID, Verdict: verdictOf(p, i), DoneAtH: a.DoneAtH, WithinH: p.Demand.Aims[i].WithinH, Changes: len(p.Steps), WaterL: p.WaterL}
		}
	}
	var failing []string
	for _, id := range ids {
		e := fate[id]
		t.Each = append(t.Each, e)
		t.Verdict = worst(t.Verdict, e.Verdict)
		switch {
		case e.Verdict == Covered:
		case e.DoneAtH != nil:
			failing = append(failing, fmt.Sprintf("%s is done after %s of the %s allowed", id, units.HoursPast(*e.DoneAtH, e.WithinH), units.Hours(e.WithinH)))
		default:
			failing = append(failing, id+" is never done")
		}
	}
	if len(failing) == 0 {
		failing = []string{"all done in time"}
	}
	t.Reason = strings.Join(failing, "; ")
	_, t.shortL, _ = fallShort(out.Plans)
	if out.Reordered {
		t.ServedFirst = out.Plans[0].Demand.EventIDs()
	}
	t.Reason += t.WaterFirst()
	return t, out
}

// WaterFirst says that the water does not go by priority: ", if spill has the water first"; "" where it does.
func (t *Together) WaterFirst() string {
	if len(t.ServedFirst) == 0 {
		return ""
	}
	return ", if " + strings.Join(t.ServedFirst, " and ") + " has the water first"
}
