package schedule

import (
	"math"

	"tidehold/response/plan"
	"tidehold/volumes/site"
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
	spare := spareHeat(sys)
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

// spareHeat is the power of the system's heaters beyond what it loses at the usual
// room temperature, in W; 0 when either is unknown.
func spareHeat(sys *site.System) float64 {
	power := 0.0
	for _, e := range sys.Equipment {
		if e.Kind == site.Heater {
			power += e.PowerW
		}
	}
	loss := &sys.HeatLoss
	over := float64(sys.Water.Temperature - sys.Ambient.Usual)
	switch {
	case loss.HeaterDuty != nil:
		return power * (1 - *loss.HeaterDuty)
	case loss.Coefficient != nil:
		return power - *loss.Coefficient*over
	case loss.CoolingTest != nil:
		t := loss.CoolingTest
		// L = C·ln((T_from − T_room)/(T_to − T_room))/t
		capacity := float64(sys.NetVolume) * litreHeat(float64(sys.Water.Salinity), float64(sys.Water.Temperature))
		rate := math.Log(float64(t.From-sys.Ambient.Usual)/float64(t.To-sys.Ambient.Usual)) / (t.InH * secondsPerHour)
		if !(rate > 0) {
			return 0
		}
		return power - capacity*rate*over
	}
	return 0
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
	j, err := p.prepare(d, opt, nil)
	if err != nil {
		return math.Inf(1)
	}
	m := &j.aims[a]
	dyn := m.dynamics
	dyn.ExchangeLH, dyn.ExchangeUgL = flow, level
	h, ok := dyn.FirstBelow(dyn.Start(m.startUgL), d.Aims[a].Target, opt.HorizonH)
	if !ok {
		return math.Inf(1)
	}
	return h
}
