package readiness

import (
	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// searchNodes is the budget of each search for a plan. A few hundred nodes find the
// best plan almost always, and a plan says when its search was cut short; where a
// better one would have been found later, the verdict errs on the safe side. Remedies
// are proved with the same budget, so that what is proved is what is judged.
const searchNodes = 1000

// plans is a planner on one site, or why there is none.
type plans struct {
	planner *schedule.Planner
	err     error
}

// plansFor prepares the planning on a site as it stands at now.
func (j judge) plansFor(s *site.Site) plans {
	p, err := schedule.New(s, j.now)
	return plans{p, err}
}

// run plans the changes for events that strike at once.
func (p plans) run(q struck, opt schedule.Options) (schedule.Outcome, error) {
	demands, err := p.demands(q)
	if err != nil {
		return schedule.Outcome{}, err
	}
	opt.Nodes = searchNodes
	return p.planner.Run(demands, opt)
}

// meets reports whether every one of the events is done in time; many times faster
// than run.
func (p plans) meets(q struck) bool {
	demands, err := p.demands(q)
	if err != nil {
		return false
	}
	met, err := p.planner.Meets(demands, schedule.Options{Nodes: searchNodes})
	return err == nil && met
}

// demands is what the events ask of their systems.
func (p plans) demands(q struck) ([]plan.Demand, error) {
	if p.err != nil {
		return nil, p.err
	}
	return schedule.Demands(&site.Site{Systems: q.systems, Events: q.events})
}

// struck is events that strike at once and the systems they strike: all that
// planning needs of a file that may hold thousands of both.
type struck struct {
	events  []site.Event
	systems []site.System
}

// strike finds the systems of the events.
func (j judge) strike(events ...site.Event) struck {
	q := struck{events: events}
	taken := map[string]bool{}
	for _, ev := range events {
		if sys := j.systems[ev.System]; sys != nil && !taken[ev.System] {
			taken[ev.System] = true
			q.systems = append(q.systems, *sys)
		}
	}
	return q
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

// purifierRate is what the site's purifier makes with its feed water, L/h.
func purifierRate(s *site.Site) float64 {
	if s.Purifier == nil {
		return 0
	}
	return s.Purifier.RateLH * schedule.PurifierFactor(s.Purifier.Feed, s.Purifier.RatedAt)
}
