package dilution

import "math"

// member is one contaminant on its way.
type member struct {
	d              Dynamics
	s              State
	target, newUgL float64
	transitions    transitions
	next           State // scratch of passInterval
}

// course follows all contaminants of a problem through the same changes.
type course struct {
	members         []member
	changeL, everyH float64
}

// course returns the problem's contaminants at the start in volumeL litres, with
// the given concentrations before and in the new water.
func (p Problem) course(volumeL float64, starts, news []float64) *course {
	c := &course{members: make([]member, len(p.Contaminants)), changeL: p.ChangeL, everyH: p.EveryH}
	for i, k := range p.Contaminants {
		d := k.Dynamics(volumeL)
		if p.Continuous {
			d.ExchangeLH, d.ExchangeUgL = p.FlowLH, news[i]
		}
		c.members[i] = member{d: d, s: d.Start(starts[i]), target: k.Target, newUgL: news[i], transitions: transitions{hours: p.EveryH}}
	}
	return c
}

// met reports whether every contaminant is at its target.
func (c *course) met() bool {
	for i := range c.members {
		if !Met(c.members[i].s.UgL, c.members[i].target) {
			return false
		}
	}
	return true
}

// change makes one change.
func (c *course) change(litres float64) {
	for i := range c.members {
		m := &c.members[i]
		m.s = m.d.Change(m.s, litres, m.newUgL)
	}
}

// trimmed returns the litres of a change that brings every contaminant to its
// target just now: never more than a full-size one.
func (c *course) trimmed() float64 {
	litres := 0.0
	for i := range c.members {
		m := &c.members[i]
		if Met(m.s.UgL, m.target) {
			continue
		}
		if m.newUgL >= m.target {
			return c.changeL
		}
		litres = math.Max(litres, LastChange(m.d.VolumeL, m.s.UgL, m.target, m.newUgL))
	}
	return math.Min(litres, c.changeL)
}

// pass lets dtH hours go by, or stops at the first moment at which every
// contaminant is at its target and reports true.
func (c *course) pass(dtH float64) bool {
	dt, ok := c.firstMet(dtH)
	if !ok {
		dt = dtH
	}
	if dt > 0 {
		for i := range c.members {
			m := &c.members[i]
			m.s = m.d.After(m.s, dt)
		}
	}
	return ok
}

// stillness is the share of a time below which the search for a moment moves by rounding
// alone: at 3 h it can go on by 4e-16 h for many rounds.
const stillness = 1e-12

// firstMet returns the first moment within dtH hours (which may be +Inf) at which
// every contaminant is at its target. The moment is pushed to the first at which
// each alone is there, until none moves it.
func (c *course) firstMet(dtH float64) (float64, bool) {
	dt := 0.0
	for range 4 * len(c.members) {
		moved := false
		for i := range c.members {
			m := &c.members[i]
			s := m.s
			if dt > 0 {
				s = m.d.After(s, dt)
			}
			more, ok := m.d.FirstBelow(s, m.target, dtH-dt)
			if !ok {
				return 0, false
			}
			dt += more
			moved = moved || more > stillness*dt
		}
		if !moved {
			return dt, true
		}
	}
	return 0, false
}

// need makes full-size changes until every target is reached, at most limit of
// them, and returns how many it took and how large the last had to be: full-size
// when the target was reached between two changes. False when limit was not
// enough.
func (c *course) need(limit int) (n int, lastL float64, ok bool) {
	if c.met() {
		return 0, 0, true
	}
	for n = 1; n <= limit; n++ {
		last := c.trimmed()
		c.change(c.changeL)
		if c.met() {
			return n, last, true
		}
		if !c.passInterval() && c.pass(c.everyH) {
			return n, c.changeL, true
		}
	}
	return limit, 0, false
}

// passInterval lets the time between two changes go by and reports true, where it is
// certain that some contaminant is above its target all the while; otherwise it
// does nothing.
func (c *course) passInterval() bool {
	certain := false
	for i := range c.members {
		m := &c.members[i]
		end, mayHaveMinimum, ok := m.transitions.over(m.d, m.s)
		if !ok {
			end = m.d.After(m.s, c.everyH)
		}
		m.next = end
		certain = certain || ok && !mayHaveMinimum && !Met(m.s.UgL, m.target) && !Met(end.UgL, m.target)
	}
	if certain {
		for i := range c.members {
			c.members[i].s = c.members[i].next
		}
	}
	return certain
}
