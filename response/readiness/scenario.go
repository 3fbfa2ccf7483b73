package readiness

import (
	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// scenario is what strikes at once: one event, several, or a demand that is no event
// of the site. It holds all that planning needs of a file of thousands of systems.
type scenario []plan.Demand

// scenarioOf is what events ask of their systems.
//
// Errors: an event that does not say what it asks for.
func (j judge) scenarioOf(events ...site.Event) (scenario, error) {
	small := site.Site{Events: events}
	taken := map[string]bool{}
	for _, ev := range events {
		if sys := j.systems[ev.System]; sys != nil && !taken[ev.System] {
			taken[ev.System] = true
			small.Systems = append(small.Systems, *sys)
		}
	}
	list, err := schedule.Demands(&small)
	if err != nil {
		return nil, err
	}
	list, _ = schedule.InFileOrder(j.site, list)
	return list, nil
}

// eventsOf finds events by id, in the order of the ids.
func (j judge) eventsOf(ids []string) []site.Event {
	events := make([]site.Event, 0, len(ids))
	for _, id := range ids {
		if ev := j.site.EventByID(id); ev != nil {
			events = append(events, *ev)
		}
	}
	return events
}

// copy is a scenario whose times may be changed without touching the original.
func (q scenario) copy() scenario {
	c := append(scenario(nil), q...)
	for i := range c {
		c[i].Aims = append([]plan.Aim(nil), c[i].Aims...)
	}
	return c
}

// struck are the systems of the demands, each once.
func (q scenario) struck() []site.System {
	out := make([]site.System, 0, len(q))
	for _, d := range q {
		out = append(out, *d.System)
	}
	return out
}

// plans is a planner on one stock, or why there is none.
type plans struct {
	planner *schedule.Planner
	opt     schedule.Options
	err     error
}

// plansFor prepares the planning on a site as it stands at now.
func (j judge) plansFor(s *site.Site) plans {
	p, err := schedule.New(s, j.now)
	return plans{p, j.opt, err}
}

// run plans the changes for a scenario as they are shown. With explain it says what
// holds each plan back, which takes more searches.
func (p plans) run(q scenario, explain bool) (schedule.Outcome, error) {
	if p.err != nil {
		return schedule.Outcome{}, p.err
	}
	opt := p.opt
	opt.Note, opt.Explain = true, explain
	return p.planner.Run(q, opt)
}

// mends reports whether everything is done in time: many times faster than run. Where it
// finds a plan that is, so does run.
func (p plans) mends(q scenario) bool {
	if p.err != nil {
		return false
	}
	met, err := p.planner.Meets(q, p.opt)
	return err == nil && met
}

// hopeless reports whether no plan at all brings everything about in time.
func (p plans) hopeless(q scenario) bool {
	if p.err != nil {
		return true
	}
	no, err := p.planner.Hopeless(q, p.opt)
	return err != nil || no
}

// late reports whether something is not done in time by the whole search that a plan is shown
// from.
func (p plans) late(q scenario) bool {
	if p.err != nil {
		return true
	}
	met, err := p.planner.InTime(q, p.opt)
	return err != nil || !met
}

// surelyLate is late by all that a plan that is shown is looked for with, in a house of many events too.
func (p plans) surelyLate(q scenario) bool {
	p.opt.Note = true
	return p.late(q)
}

// likelyLate is late by the greater part of that search, at a fraction of its price.
func (p plans) likelyLate(q scenario) bool {
	p.opt.Brief = true
	return p.late(q)
}

// purifierRate is what the site's purifier makes with its feed water, L/h.
func purifierRate(s *site.Site) float64 {
	if s.Purifier == nil {
		return 0
	}
	return s.Purifier.LowestLH()
}
