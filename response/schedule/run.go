package schedule

import (
	"fmt"
	"slices"
	"time"

	"tidehold/refs"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// Outcome is the plan for every demand, in the order in which they share the
// water: by priority, then deadline, then as given; or, Reordered, in another in which fewer are late,
// and none that was not late by priority.
type Outcome struct {
	Plans     []plan.Plan
	Reordered bool
	// UsableNowL is the saltwater of the whole site that can be drawn at once.
	UsableNowL float64
	// Assumptions are the defaults the planner took, each once; Warnings what the
	// keeper should look at.
	Assumptions []refs.Assumption
	Warnings    []string
}

// Demands turns events of a site into demands, in the order in which their systems stand in
// the file, however the events are listed. Those on one system become one demand, its
// aims in the order of the ids, served by the same changes, with the temperature
// steps adding up if any of them cannot reheat and the foremost of their
// priorities. Without ids, all events of the site.
//
// Errors: an event or system that does not exist, or an event that says neither
// how much to remove nor start and target.
func Demands(s *site.Site, eventIDs ...string) ([]plan.Demand, error) {
	if len(eventIDs) == 0 {
		for i := range s.Events {
			eventIDs = append(eventIDs, s.Events[i].ID)
		}
	}
	var list []plan.Demand
	place := map[string]int{}
	for _, id := range eventIDs {
		e := s.EventByID(id)
		if e == nil {
			return nil, fmt.Errorf("event %q is not in the site file", id)
		}
		sys := s.SystemByID(e.System)
		if sys == nil {
			return nil, fmt.Errorf("event %s: system %q is not in the site file", id, e.System)
		}
		a, err := aimOf(e)
		if err != nil {
			return nil, err
		}
		k, ok := place[e.System]
		if !ok {
			k = len(list)
			place[e.System] = k
			list = append(list, plan.Demand{System: sys, Reheats: true, NotBeforeH: sys.LeadH})
		}
		d := &list[k]
		d.Aims = append(d.Aims, a)
		d.Reheats = d.Reheats && e.Reheats
		if e.Priority > 0 && (d.Priority == 0 || e.Priority < d.Priority) {
			d.Priority = e.Priority
		}
	}
	list, _ = InFileOrder(s, list)
	return list, nil
}

func aimOf(e *site.Event) (plan.Aim, error) {
	a := plan.Aim{EventID: e.ID, WithinH: e.WithinH}
	switch {
	case e.Remove != nil:
		a.Start, a.Target = 1, 1-*e.Remove
	case e.Contaminant == "":
		return a, fmt.Errorf("event %s: it says neither what share to remove nor which contaminant to bring down", e.ID)
	case !(e.StartUgL > 0):
		return a, fmt.Errorf("event %s: the start concentration of %s is not known", e.ID, e.Contaminant)
	default:
		a.Contaminant, a.Start, a.StartU, a.Target, a.SourceMgH = e.Contaminant, e.StartUgL, e.StartUUgL, e.TargetUgL, e.SourceMgH
	}
	return a, nil
}

// Run plans all demands of a site from start on; see Planner.Run.
func Run(s *site.Site, at time.Time, demands []plan.Demand, opt Options) (Outcome, error) {
	p, err := New(s, at)
	if err != nil {
		return Outcome{}, err
	}
	return p.Run(demands, opt)
}

// Run plans the demands one after the other, by priority, then deadline, then as
// given, each with the water that those before it leave; in another order where that spares one from
// being late, and makes none late that was not.
//
// Errors: an aim that is negative or not finite, a salt that cannot make the
// system's salinity.
func (p *Planner) Run(demands []plan.Demand, opt Options) (Outcome, error) {
	opt = opt.withDefaults(p.site)
	order := servingOrder(demands)
	plans, err := p.serve(demands, order, opt)
	if err != nil {
		return Outcome{}, err
	}
	out := Outcome{UsableNowL: max(0, p.usableL-p.mixingL-float64(p.site.Reserve.Saltwater)), Plans: plans}
	if better, err := p.betterOrder(demands, order, lateOf(plans), opt); err != nil {
		return Outcome{}, err
	} else if better != nil {
		if out.Plans, err = p.serve(demands, better, opt); err != nil {
			return Outcome{}, err
		}
		out.Reordered = true
	}
	if opt.Explain || opt.Note {
		p.explain(&out)
	}
	return out, nil
}

// serve plans the demands in an order. Where good water is poured away and a later demand is late, they are planned
// again with that water kept, and so where that is better: 1,656 L were poured away for changes of 122 L, and a reef
// that had been in time was not.
func (p *Planner) serve(demands []plan.Demand, order []int, opt Options) ([]plan.Plan, error) {
	plans, err := p.serveOnce(demands, order, opt)
	if err == nil && !opt.keepsStored && poursFirst(plans) {
		opt.keepsStored = true
		kept, err := p.serveOnce(demands, order, opt)
		if err != nil || failuresOf(kept) < failuresOf(plans) && !anyNew(lateOf(kept), lateOf(plans)) {
			return kept, err
		}
	}
	return plans, err
}

// failuresOf counts the plans that are late, and those that are never done once more each.
func failuresOf(plans []plan.Plan) int {
	n := len(lateOf(plans))
	for k := range plans {
		if plans[k].DoneAtH == nil {
			n++
		}
	}
	return n
}

// poursFirst reports whether good water is poured away by any plan before the last that is late.
func poursFirst(plans []plan.Plan) bool {
	for k := len(plans) - 1; k >= 0; k-- {
		if !allInTime(&plans[k]) {
			return slices.ContainsFunc(plans[:k], func(x plan.Plan) bool { return x.PouredL > leastDrawL })
		}
	}
	return false
}

// serveOnce plans the demands in an order. The last may pour away what it likes.
func (p *Planner) serveOnce(demands []plan.Demand, order []int, opt Options) ([]plan.Plan, error) {
	plans := make([]plan.Plan, 0, len(demands))
	used, keeps := takenFor(demands), opt.keepsStored
	for n, i := range order {
		opt.shared = n < len(order)-1
		opt.keepsStored = keeps && opt.shared
		made, err := p.plan(&demands[i], opt, used, true)
		if err != nil {
			return nil, err
		}
		made.Index = i
		plans = append(plans, made)
	}
	return plans, nil
}

// Meets reports whether every aim of the demands is reached within its deadline, as
// Run would find, but without the plan: many times faster for trying what would help.
// Aims without a deadline must be reached within the horizon.
//
// Errors as Run.
func (p *Planner) Meets(demands []plan.Demand, opt Options) (bool, error) {
	return p.allBy(p.meets, demands, opt)
}

// InTime reports whether every plan that Run finds is in time, all its aims within their deadlines or,
// without one, within the horizon: Meets by the whole search, which may come upon what that misses. It
// ends as soon as it is known.
//
// Errors as Run.
func (p *Planner) InTime(demands []plan.Demand, opt Options) (bool, error) {
	return p.allBy(p.inTime, demands, opt)
}

// allBy reports whether every demand is met in one of the orders that Run tries.
func (p *Planner) allBy(met func(*plan.Demand, Options, *taken) (bool, error), demands []plan.Demand, opt Options) (bool, error) {
	opt = opt.withDefaults(p.site)
	opt.Explain = false
	_, all, err := p.inAnyOrder(servingOrder(demands), len(demands), func(order []int) (int, error) {
		return p.firstLate(met, demands, order, opt)
	})
	return all, err
}

// firstLate is the first place of an order that is late, -1 for none. The last demand is asked by met
// alone; what it finds left hangs on the whole plans of those before it. As serve does it asks again with the good water
// kept that one before poured away.
func (p *Planner) firstLate(met func(*plan.Demand, Options, *taken) (bool, error), demands []plan.Demand, order []int, opt Options) (int, error) {
	late, pouredL, err := p.firstLateOnce(met, demands, order, opt)
	if err == nil && late > 0 && pouredL > leastDrawL {
		opt.keepsStored = true
		if again, _, err := p.firstLateOnce(met, demands, order, opt); err != nil || again < 0 {
			return again, err
		}
	}
	return late, err
}

// firstLateOnce is firstLate, and how much good water is poured away by the plans before.
func (p *Planner) firstLateOnce(met func(*plan.Demand, Options, *taken) (bool, error), demands []plan.Demand, order []int, opt Options) (late int, pouredL float64, err error) {
	used, keeps := takenFor(demands), opt.keepsStored
	for n, i := range order {
		if opt.shared = n < len(order)-1; !opt.shared {
			opt.keepsStored = false
			ok, err := met(&demands[i], opt, used)
			if err != nil || !ok {
				return n, pouredL, err
			}
			return -1, pouredL, nil
		}
		opt.keepsStored = keeps
		made, err := p.plan(&demands[i], opt, used, true)
		if err != nil || !allInTime(&made) {
			return n, pouredL, err
		}
		pouredL += made.PouredL
	}
	return -1, pouredL, nil
}

// meets is Meets for one demand, after what earlier ones have taken.
func (p *Planner) meets(d *plan.Demand, opt Options, used *taken) (bool, error) {
	q, err := p.problem(d, opt, used)
	if err != nil {
		return false, err
	}
	if q.outOfReach() {
		return false, nil
	}
	x := takeSearch()
	defer x.giveBack()
	return q.meets(opt.Nodes, x), nil
}

// inTime is InTime for one demand, after what earlier ones have taken.
func (p *Planner) inTime(d *plan.Demand, opt Options, used *taken) (bool, error) {
	q, err := p.problem(d, opt, used)
	if err != nil {
		return false, err
	}
	opt.AnyInTime = true
	return q.solved(&opt, false).score.missed == 0, nil
}

// Hopeless reports whether by the bound alone no plan reaches every aim of the demands within its
// deadline, each demand with all the water to itself: then Meets finds none, however many nodes it has.
//
// Errors as Run.
func (p *Planner) Hopeless(demands []plan.Demand, opt Options) (bool, error) {
	opt = opt.withDefaults(p.site)
	for i := range demands {
		q, err := p.problem(&demands[i], opt, nil)
		if err != nil {
			return false, err
		}
		if q.outOfReach() {
			return true, nil
		}
	}
	return false, nil
}

// outOfReach reports whether the bound says that an aim is late, or its floor is above it.
func (p *problem) outOfReach() bool {
	for a := range p.aims {
		if !p.aims[a].reachable {
			return true
		}
	}
	return p.bound(&p.start, worst()).missed > 0
}

// allInTime reports whether every aim of a plan is.
func allInTime(made *plan.Plan) bool {
	for i := range made.Aims {
		if !made.Aims[i].InTime {
			return false
		}
	}
	return true
}

// plan searches for one demand's plan and writes it out; commit notes what it uses.
func (p *Planner) plan(d *plan.Demand, opt Options, used *taken, commit bool) (plan.Plan, error) {
	q, err := p.problem(d, opt, used)
	if err != nil {
		return plan.Plan{}, err
	}
	shown := (opt.Explain || opt.Note) && !opt.Unproved
	made, r := q.writeOut(q.solved(&opt, shown), shown)
	left := used
	if commit && used != nil {
		left = used.clone()
		used.add(q, &r.s, r.pureLeast)
	}
	if opt.Explain {
		p.bind(&made, d, opt, left)
		p.offerContinuous(&made, d, opt)
		p.keeping(&made, opt, used)
	}
	return made, nil
}

// solved is the plan that is found for a problem, or was before. Where it is shown, how sure
// it is the best is looked at closely.
func (p *problem) solved(opt *Options, shown bool) found {
	if opt.AnyInTime {
		if root := p.bound(&p.start, worst()); root.never > 0 {
			return found{score: root, horizonH: p.horizonH, quick: root}
		}
	}
	q, f, known := opt.Known.recall(p, opt.Nodes)
	if !known {
		x := takeSearch()
		x.verdict, x.brief = opt.AnyInTime, opt.AnyInTime && opt.Brief
		f = p.solve(opt.Nodes, x)
		x.giveBack()
	}
	p.horizonH, p.afterH = f.horizonH, f.afterH
	if known && (!shown || f.close != nil) || opt.AnyInTime && (f.score.missed == 0 || opt.Brief) {
		return f
	}
	if shown {
		p.look(&f)
	}
	opt.Known.keep(q, f)
	return f
}
