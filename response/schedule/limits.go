package schedule

import (
	"math"

	"tidehold/response/plan"
)

// perDayH is the rolling window of the limits per day, hours.
const perDayH = 24

// band is where a quantity may be after a change, and which limit set each end.
type band struct {
	low, high     float64
	lowBy, highBy plan.Limit
}

// narrow tightens both ends.
func (b *band) narrow(low, high float64, lowBy, highBy plan.Limit) {
	if low > b.low {
		b.low, b.lowBy = low, lowBy
	}
	if high < b.high {
		b.high, b.highBy = high, highBy
	}
}

// stretch makes sure that standing still is allowed: a limit already broken only
// forbids moving further away.
func (b *band) stretch(now float64) {
	b.low, b.high = min(b.low, now), max(b.high, now)
}

func everywhere() band { return band{low: math.Inf(-1), high: math.Inf(1)} }

// bands are where temperature, salinity and alkalinity may be after a change.
type bands [3]band

const (
	ofTemperature = iota
	ofSalinity
	ofAlkalinity
)

// allowed returns the bands at this moment. Net change counts: whatever value the
// system held within the last 24 h, the new one may differ from it by no more than
// the limit per day.
func (p *problem) allowed(f *state) bands {
	now := p.inside(f)
	low, high := now, now // of what was held within a day
	for _, h := range f.held {
		if h.untilH > f.atH-perDayH+slackH {
			for q, x := range [3]float64{h.c, h.s, h.alk} {
				low[q], high[q] = min(low[q], x), max(high[q], x)
			}
		}
	}
	l := p.tank.limits
	b := bands{everywhere(), everywhere(), everywhere()}
	t, s, a := &b[ofTemperature], &b[ofSalinity], &b[ofAlkalinity]
	t.narrow(now[0]-l.TemperatureStep, now[0]+l.TemperatureStep, plan.TemperatureStep, plan.TemperatureStep)
	t.narrow(high[0]-l.TemperaturePerDay, low[0]+l.TemperaturePerDay, plan.TemperaturePerDay, plan.TemperaturePerDay)
	t.narrow(float64(l.TemperatureLow), float64(l.TemperatureHigh), plan.TemperatureLow, plan.TemperatureHigh)
	s.narrow(now[1]-l.SalinityStep, now[1]+l.SalinityStep, plan.SalinityStep, plan.SalinityStep)
	s.narrow(high[1]-l.SalinityPerDay, low[1]+l.SalinityPerDay, plan.SalinityPerDay, plan.SalinityPerDay)
	s.narrow(float64(l.SalinityLow), float64(l.SalinityHigh), plan.SalinityLow, plan.SalinityHigh)
	if p.tank.hasAlk {
		a.narrow(high[2]-l.AlkalinityPerDay, low[2]+l.AlkalinityPerDay, plan.AlkalinityPerDay, plan.AlkalinityPerDay)
	}
	for q := range b {
		b[q].stretch(now[q])
	}
	return b
}

// slackH is a time too short to matter, in hours: it keeps 24 h after a change from
// failing by rounding.
const slackH = 1e-9

// perDay reports whether the limit counts over a day.
func perDay(l plan.Limit) bool {
	return l == plan.TemperaturePerDay || l == plan.SalinityPerDay || l == plan.AlkalinityPerDay
}

// within returns the share of the way from inside to outside at which the first
// band is left, the limit met there, and whether any is left at all.
func (b *bands) leave(inside, outside [3]float64) (share float64, by plan.Limit, left bool) {
	share = 1
	for q := range b {
		end, limit := b[q].high, b[q].highBy
		if outside[q] < inside[q] {
			end, limit = b[q].low, b[q].lowBy
		}
		over := outside[q] - end
		if outside[q] < inside[q] {
			over = -over
		}
		if over <= limitSlack {
			continue
		}
		way := (end - inside[q]) / (outside[q] - inside[q])
		if way = max(0, way); !left || way < share {
			share, by, left = way, limit, true
		}
	}
	return share, by, left
}

// limitSlack is how far a quantity may pass a limit by rounding: a billionth of a
// kelvin, of salinity and of dKH.
const limitSlack = 1e-9

// reached returns the limit that a change from one state of the system to another comes to; false when it
// comes to none. A system that is kept at a limit has not come to it.
func (b *bands) reached(from, to [3]float64) (plan.Limit, bool) {
	const close = 1e-5
	for q := range b {
		switch {
		case to[q] < from[q]-close && to[q] <= b[q].low+close:
			return b[q].lowBy, b[q].lowBy != ""
		case to[q] > from[q]+close && to[q] >= b[q].high-close:
			return b[q].highBy, b[q].highBy != ""
		}
	}
	return "", false
}
