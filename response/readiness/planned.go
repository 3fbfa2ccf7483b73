package readiness

import (
	"slices"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// Planned is the plan of one demand with what the planner took for granted.
type Planned struct {
	Plan        plan.Plan
	Assumptions []refs.Assumption
	Warnings    []string
}

// Shown is what a plan is shown with beyond its steps.
type Shown struct {
	// Confidence is the share of cases the litres must suffice in; 0: 0.90.
	Confidence float64
	// Binding says what holds the plan back most, and offers a slow exchange: a few
	// searches more.
	Binding bool
}

// PlanFor is the plan of one demand on the stock of a site as it stands at now: the one
// that ready, dilute, assess, an incident and the cards show, digit for digit. It says
// what is lacking where it is late or never done, and what the site's media would
// bring beside it. beside are other systems' demands that are under way and share the water: it is
// planned with them, alike whichever of them is asked for, and what is lacking is lacking for all.
//
// Errors: as schedule.Run.
func PlanFor(s *site.Site, now time.Time, d plan.Demand, show Shown, beside ...plan.Demand) (Planned, error) {
	list, given := schedule.InFileOrder(s, append([]plan.Demand{d}, beside...))
	made, err := PlansFor(s, now, list, show)
	if err != nil {
		return Planned{}, err
	}
	return made.Of(slices.Index(given, 0)), nil
}

// Shared are the plans of demands that strike at once and share the water.
type Shared struct {
	// Plans in the order in which the water goes to them; Reordered where that is not by priority,
	// since one would be late so and none is in this order.
	Plans       []plan.Plan
	Reordered   bool
	Assumptions []refs.Assumption
	Warnings    []string
}

// Of is the plan of a demand by its place among those that were asked for.
func (r *Shared) Of(place int) Planned {
	return Planned{*plan.Of(r.Plans, place), r.Assumptions, r.Warnings}
}

// PlansFor is PlanFor for demands that strike at once. What is lacking is what all of them lack together.
//
// Errors: as schedule.Run.
func PlansFor(s *site.Site, now time.Time, list []plan.Demand, show Shown) (Shared, error) {
	j := newJudge(s, now, units.Metric)
	j.opt.Confidence = show.Confidence
	q := scenario(list)
	p := j.plansFor(s)
	out, err := p.run(q, show.Binding)
	if err != nil {
		return Shared{}, err
	}
	lacking := j.lackingOf(q, out.Plans, true)
	for k := range out.Plans {
		made := &out.Plans[k]
		if made.LackingL = nil; !made.InTime {
			made.LackingL = lacking
		}
		if len(list) == 1 {
			made.WithMedia = p.withMedia(s, list[0])
		}
	}
	return Shared{out.Plans, out.Reordered, out.Assumptions, out.Warnings}, nil
}

// lackingOf is what plans of a scenario lack today, or on the worst day; nil where all are in time, or no amount would do.
func (j judge) lackingOf(q scenario, plans []plan.Plan, today bool) *float64 {
	demandL, shortL, ok := fallShort(plans)
	if !ok {
		return nil
	}
	litres, _ := j.newBench(q, today).lacking(demandL, shortL)
	return litres
}

// fallShort is what plans of one scenario ask for together, and what those that are late or never done fall
// short of that by: where what they lack is looked for. False where none is late, or one has no demand.
func fallShort(plans []plan.Plan) (demandL, shortL float64, late bool) {
	for k := range plans {
		made := &plans[k]
		if made.DemandL == nil {
			return 0, 0, false
		}
		demandL += *made.DemandL
		if !made.InTime {
			late, shortL = true, shortL+max(0, *made.DemandL-made.WaterL)
		}
	}
	return demandL, shortL, late
}

// EventPlan is PlanFor for an event of the site by its id.
//
// Errors: an event that is not in the site file or does not say what it asks for.
func EventPlan(s *site.Site, now time.Time, event string) (Planned, error) {
	demands, err := schedule.Demands(s, event)
	if err != nil {
		return Planned{}, err
	}
	return PlanFor(s, now, demands[0], Shown{Binding: true})
}

// withMedia is what the media of the demand's system would bring if they do what the
// site file states; nil where none is stated that takes up what is to be brought down.
func (p plans) withMedia(s *site.Site, d plan.Demand) *plan.WithMedia {
	w := plan.WithMedia{}
	for _, m := range s.Media {
		if m.System != d.System.ID || m.CapacityMg == nil || *m.CapacityMg <= 0 {
			continue
		}
		for _, a := range d.Aims {
			if !a.Share() && m.SinglePass[a.Contaminant] > 0 {
				w.Media = append(w.Media, m.ID)
				break
			}
		}
	}
	if len(w.Media) == 0 {
		return nil
	}
	opt := p.opt
	opt.Media = true
	out, err := p.planner.Run(scenario{d}, opt)
	if err != nil {
		return nil
	}
	made := &out.Plans[0]
	w.DoneAtH, w.InTime, w.WaterL = made.DoneAtH, made.InTime, made.WaterL
	return &w
}

// lacking is the smallest addition of stored saltwater, kept at the system's own
// salinity and temperature in a container of its own, with which a new plan does
// everything in time; nil where no amount would do. tooMuchL is where more no longer does, 0 where
// that was not met. demandL bounds what is tried; shortL, what
// the plan without it falls short by, is where it may lie.
func (b bench) lacking(demandL, shortL float64) (litres *float64, tooMuchL float64) {
	a, ok := b.least(b.container(site.Saltwater, demandL*mostWater+b.keptBack()), shortL)
	if !ok {
		return nil, 0
	}
	return &a.x, a.tooMuch
}

// Levers are what would lower the floor of a plan whose target is out of reach, by the
// closed form with all the water at hand.
//
// Errors: as dilution.Problem.Plan.
func Levers(made plan.Plan) ([]dilution.Lever, error) {
	var background []float64
	for _, a := range made.Aims {
		background = append(background, a.Background)
	}
	p := schedule.Ideal(made.Demand, background)
	p.Volume.U = 0
	for i := range p.Contaminants {
		p.Contaminants[i].Start.U = 0
	}
	free, err := p.Plan()
	return free.Levers, err
}

// Foremost is a demand with the aim that asks for the most water first, by the closed
// form with all the water at hand; background is what new water brings of each, µg/L.
//
// Errors: as dilution.Problem.Plan.
func Foremost(d plan.Demand, background []float64) (plan.Demand, error) {
	p := schedule.Ideal(d, background)
	p.Trials, p.Seed = dilution.UsualTrials, 1
	free, err := p.Plan()
	if err != nil {
		return d, err
	}
	d.Aims = append([]plan.Aim(nil), d.Aims...)
	d.Aims[0], d.Aims[free.Controlling] = d.Aims[free.Controlling], d.Aims[0]
	return d, nil
}
