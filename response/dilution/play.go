package dilution

import "math"

// play carries the changes out with every input at its stated value and fills in
// what comes of them.
func (p Problem) play(plan *Plan, sizes []float64) {
	for _, size := range sizes {
		plan.NeededL += size
	}
	sizes = p.limited(sizes)
	c := p.nominal()
	met := c.met()
	if p.Continuous {
		met = p.playExchange(plan, c, sizes) || met
	} else {
		met = p.playChanges(plan, c, sizes) || met
	}
	plan.Changes = len(plan.Steps)
	plan.Reached = plan.Reachable && met
	if p.Uncertain() {
		plan.Reached = plan.Reachable && plan.WaterL >= plan.NeededL*(1-1e-12)
	}
	switch {
	case !plan.Reached:
		plan.DoneAtH = nil
	case plan.DoneAtH == nil && !p.Continuous:
		// Sized for a share of cases to which the stated values do not belong.
		at := plan.lastAtH()
		plan.DoneAtH = &at
	}
	plan.Holds = plan.Reached
	for i := range c.members {
		m, o := &c.members[i], &plan.Outcomes[i]
		o.Final = m.s.UgL
		peak := m.d.Peak(m.s)
		o.Holds = Met(peak, m.target) || p.Uncertain() && plan.Reached && Met(peak, m.s.UgL)
		if !math.IsInf(peak, 1) {
			o.Peak = &peak
		}
		plan.Holds = plan.Holds && o.Holds
	}
	plan.Final = plan.Outcomes[plan.Controlling].Final
}

// playChanges makes the changes one by one, then waits for a target that is still
// to be reached, and reports whether it is.
func (p Problem) playChanges(plan *Plan, c *course, sizes []float64) bool {
	for k, size := range sizes {
		if k > 0 {
			c.advance(p.EveryH)
		}
		s := Step{N: k + 1, AtH: float64(k) * p.EveryH, RemoveL: size, AddL: size, before: c.states()}
		c.change(size)
		s.after = c.states()
		s.Before, s.After = s.before[plan.Controlling].UgL, s.after[plan.Controlling].UgL
		plan.Steps = append(plan.Steps, s)
		plan.WaterL += size
	}
	at := plan.lastAtH()
	if wait, ok := c.firstMet(math.Inf(1)); ok && plan.Reachable {
		c.advance(wait)
		at += wait
		plan.DoneAtH = &at
		return true
	}
	return c.met()
}

// lastAtH is when the last change is made; 0 without one.
func (plan *Plan) lastAtH() float64 {
	if len(plan.Steps) == 0 {
		return 0
	}
	return plan.Steps[len(plan.Steps)-1].AtH
}

// playExchange runs new water through and then stops it.
func (p Problem) playExchange(plan *Plan, c *course, sizes []float64) bool {
	for _, litres := range sizes {
		s := Step{N: 1, RemoveL: litres, AddL: litres, before: c.states()}
		if p.FlowLH > 0 {
			hours := litres / p.FlowLH
			c.advance(hours)
			s.ForH, plan.DoneAtH = &hours, &hours
		} else {
			for i := range c.members {
				m := &c.members[i]
				m.s.UgL = AfterExchange(m.s.UgL, m.newUgL, litres/m.d.VolumeL)
			}
		}
		s.after = c.states()
		s.Before, s.After = s.before[plan.Controlling].UgL, s.after[plan.Controlling].UgL
		plan.Steps = append(plan.Steps, s)
		plan.WaterL += litres
	}
	for i := range c.members {
		c.members[i].d.ExchangeLH = 0
	}
	return c.met()
}

// advance lets dtH hours go by.
func (c *course) advance(dtH float64) {
	for i := range c.members {
		m := &c.members[i]
		m.s = m.d.After(m.s, dtH)
	}
}

// states are the states of all contaminants.
func (c *course) states() []State {
	list := make([]State, len(c.members))
	for i := range c.members {
		list[i] = c.members[i].s
	}
	return list
}
