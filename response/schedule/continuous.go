package schedule

import (
	"math"

	"tidehold/response/plan"
)

// offerContinuous adds the slow exchange where the cold of the stores caps the
// changes: new water in and mixed water out at the rate that the system's heaters can
// warm beside what they lose to the room. It is offered when the heaters' power and
// the heat loss are known, the event leaves the heaters in use (Reheats), salinity
// stays within its limit per day, and the water usable at once suffices.
func (p *Planner) offerContinuous(made *plan.Plan, d *plan.Demand, opt Options) {
	if !d.Reheats || !cappedByCold(made) {
		return
	}
	sys := d.System
	heat, err := sys.Heat()
	if err != nil {
		return
	}
	spare := heat.SpareW(sys.Water.Temperature, sys.Ambient.Usual)
	if spare <= 0 {
		return
	}
	s, c, levels, litres := meanDraw(p, d, made)
	if !(c < float64(sys.Water.Temperature)) || litres <= 0 {
		return
	}
	perLitre := (float64(sys.Water.Temperature) - c) * litreHeat(s, (c+float64(sys.Water.Temperature))/2)
	flow := spare * secondsPerHour / perLitre
	hours := 0.0
	for a := range d.Aims {
		h := p.continuousHours(made, d, a, flow, levels[a], opt)
		hours = max(hours, h)
	}
	water := flow * hours
	turned := -math.Expm1(-water / float64(sys.NetVolume))
	if math.IsInf(hours, 1) || water > made.UsableNowL || math.Abs(s-float64(sys.Water.Salinity))*turned > sys.Limits.SalinityPerDay {
		return
	}
	made.Continuous = &plan.Continuous{FlowLH: flow, Hours: hours, WaterL: water, HeaterW: spare}
}

func cappedByCold(made *plan.Plan) bool {
	for _, s := range made.Steps {
		switch s.LimitedBy {
		case plan.TemperatureStep, plan.TemperaturePerDay, plan.TemperatureLow:
			return s.After.Temperature < s.Before.Temperature
		}
	}
	return false
}

// meanDraw is the mean salinity, temperature and backgrounds of what the plan draws.
func meanDraw(p *Planner, d *plan.Demand, made *plan.Plan) (s, c float64, levels []float64, litres float64) {
	levels = make([]float64, len(d.Aims))
	for _, step := range made.Steps {
		for _, from := range step.From {
			s += from.Salinity * from.Litres
			c += from.Temperature * from.Litres
			litres += from.Litres
			for a := range d.Aims {
				levels[a] += made.Aims[a].Background * from.Litres
			}
		}
	}
	for a := range levels {
		levels[a] /= litres
	}
	return s / litres, c / litres, levels, litres
}

// continuousHours is how long the exchange takes for one aim; +Inf: it does not get
// there within the horizon.
func (p *Planner) continuousHours(made *plan.Plan, d *plan.Demand, a int, flow, level float64, opt Options) float64 {
	q, err := p.problem(d, opt, nil)
	if err != nil {
		return math.Inf(1)
	}
	m := &q.aims[a]
	dyn := m.dynamics
	dyn.ExchangeLH, dyn.ExchangeUgL = flow, level
	h, ok := dyn.FirstBelow(dyn.Start(m.startUgL), d.Aims[a].Target, opt.HorizonH)
	if !ok {
		return math.Inf(1)
	}
	return h
}
