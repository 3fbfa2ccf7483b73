package schedule

import "math"

// advance takes the state to the next moment at which something can be decided and
// reports whether there is one before the horizon; if not, it stands at the horizon.
func (p *problem) advance(s *state) bool {
	next, change := p.nextMoment(s)
	if next > p.horizonH-slackH { // nothing is begun at the very end: a change that is counted on for days
		p.passTo(s, p.horizonH)
		return false
	}
	was := s.atH
	p.passTo(s, next)
	if s.ask.warmerH <= s.atH+slackH || p.closely && p.readied(s, was) {
		s.ask.warmerH = 0 // there may be a larger change to wait for
	}
	s.ask.change = change && s.atH >= s.nextH-slackH && p.up(s)
	s.ask.workFrom = 0
	return true
}

// readied reports whether a vat that is still being warmed has become ready since a time: whether it is warm enough was
// asked when it was not.
func (p *problem) readied(s *state, since float64) bool {
	for i := range s.vats {
		if v := &s.vats[i]; v.readyH > since+slackH && v.readyH <= s.atH+slackH && v.warmH > s.atH+worthWaitingH && !math.IsInf(v.warmH, 1) {
			return true
		}
	}
	return false
}

// up reports whether people are, so that a change or work on a vat may be begun.
func (p *problem) up(s *state) bool { return p.tank.awake.next(s.atH) <= s.atH+slackH }

// nextMoment returns the time of the next moment and whether a change may be
// decided then: the interval has passed, or more water is usable.
func (p *problem) nextMoment(s *state) (next float64, change bool) {
	m := moment{afterH: s.atH, atH: math.Inf(1)}
	awake := &p.tank.awake
	if s.spent.changes < mostSteps {
		m.meet(awake.next(s.nextH), true)
		for i := range s.vats {
			v := &s.vats[i]
			if v.volL <= p.vessels[i].heelL+leastDrawL {
				continue
			}
			m.meet(awake.next(max(v.readyH, s.nextH)), true)
			m.meet(v.readyH, false)
			if v.warmH > s.nextH || v.warmH > v.readyH {
				m.meet(awake.next(max(v.warmH, v.readyH, s.nextH)), true)
			}
		}
		if s.ask.warmerH == 0 {
			s.ask.warmerH = p.warmEnough(s)
		}
		m.meet(awake.next(s.ask.warmerH), true)
		if s.ask.dayCap {
			for _, h := range s.held {
				m.meet(awake.next(max(h.untilH+perDayH, s.nextH)), true)
			}
		}
	}
	if h := awake.next(s.atH); h > s.atH { // what could be worked on waits for it
		m.meet(h, false)
	} else if h := awake.bedH(s.atH); p.works.rateLH > 0 { // what has been purified by then can still be mixed
		m.meet(h, false)
	}
	m.meet(s.ask.freedH, false)
	for i := range p.vessels {
		m.meet(p.vessels[i].freeH, false)
	}
	if s.ask.planned.vat >= 0 {
		m.meet(s.ask.planned.fromH, false)
	}
	if s.comes < len(p.works.comes) {
		m.meet(p.works.comes[s.comes].atH, false)
	}
	return m.atH, m.change
}

// moment is the earliest of the times met that lie ahead.
type moment struct {
	afterH, atH float64
	change      bool
}

func (m *moment) meet(h float64, change bool) {
	switch {
	case h <= m.afterH+slackH || h > m.atH:
	case h == m.atH:
		m.change = m.change || change
	default:
		m.atH, m.change = h, change
	}
}
