package dilution

import (
	"math"

	"tidehold/refs/units"
)

// Source adds a contaminant to the water from time zero on.
type Source struct {
	// MgH is the rate at time zero in mg/h, zero or more.
	MgH float64
	// UntilH is the time in hours at which it stops; 0: it never does.
	UntilH float64
	// HalfLifeH is the time in hours in which its rate halves; 0: it is constant.
	HalfLifeH float64
}

// Dynamics is what acts on one contaminant in one body of water. All fields are
// finite and zero or more; the zero value of each but VolumeL means that it
// does not act.
type Dynamics struct {
	// VolumeL is the net volume in litres, above zero.
	VolumeL float64
	Source  Source
	// ClearanceLH is what media clean completely, in L/h: flow times the share
	// removed in a single pass.
	ClearanceLH float64
	// CapacityMg is how much the media can take up; 0: unlimited.
	CapacityMg float64
	// BoundRatio is the amount bound to rock and sand per amount in the water,
	// at equilibrium.
	BoundRatio float64
	// BoundRatePerH is the rate at which the bound amount relaxes, per hour.
	BoundRatePerH float64
	// ExchangeLH is new water run through continuously in L/h, and ExchangeUgL
	// what it brings in µg/L.
	ExchangeLH, ExchangeUgL float64
}

// State is one contaminant in one body of water at a moment.
type State struct {
	// AtH is the time in hours since the plan began.
	AtH float64
	// UgL is the concentration in the water in µg/L.
	UgL float64
	// BoundUg and CapturedUg are the amounts in µg on rock and sand and in the
	// media.
	BoundUg, CapturedUg float64
}

// Start returns the state at time zero for a concentration of c0 µg/L, with rock
// and sand in equilibrium with it.
func (d Dynamics) Start(c0 float64) State {
	return State{UgL: c0, BoundUg: d.BoundRatio * c0 * d.VolumeL}
}

// After returns the state dtH hours (finite, zero or more) after s, in closed
// form, piecewise where the source ends and where the media are used up.
func (d Dynamics) After(s State, dtH float64) State {
	if d.Inert() { // the usual case of a plan, asked for at every step of its search
		s.AtH += dtH
		return s
	}
	if rise, ok := d.steady(); ok {
		s.AtH, s.UgL = s.AtH+dtH, s.UgL+rise*dtH
		return s
	}
	for n := range mostPhases {
		if n > 0 && !(dtH > 0) {
			break
		}
		p, more := d.phase(s, dtH)
		s = p.end
		if !more {
			break
		}
		dtH -= p.durH
	}
	return s
}

// Change returns s after removeL litres of mixed water (0 to VolumeL) were
// replaced by as much of a water with newUgL µg/L. Only what is in the water is
// swapped; what is bound or captured stays, and no time passes.
func (d Dynamics) Change(s State, removeL, newUgL float64) State {
	share := removeL / d.VolumeL
	s.UgL = s.UgL*(1-share) + newUgL*share
	return s
}

// Inert reports whether nothing acts between changes: pure dilution.
func (d Dynamics) Inert() bool {
	return d.Source.MgH == 0 && d.ClearanceLH == 0 && d.ExchangeLH == 0 &&
		(d.BoundRatio == 0 || d.BoundRatePerH == 0)
}

// steady returns by how much the concentration rises in an hour, µg/(L·h), where nothing acts but a source
// that neither ends nor fades; false where something else does. Then all is in straight lines: a search
// for plans asks for little else, and the general solution takes fifty times as long.
func (d Dynamics) steady() (riseUgLH float64, ok bool) {
	d.Source.MgH, riseUgLH = 0, d.Source.MgH*units.UgPerMg/d.VolumeL
	return riseUgLH, riseUgLH > 0 && d.Source == Source{} && d.Inert()
}

// phase is a stretch of time in which the same things act.
type phase struct {
	system linear
	start  State
	durH   float64 // may be +Inf in the last phase
	end    State   // unset when durH is infinite
}

// at returns the state t hours into the phase.
func (p *phase) at(t float64) State {
	w, b, cleaned := p.system.solve(p.start.UgL*p.system.volume, p.start.BoundUg, t)
	return State{
		AtH:        p.start.AtH + t,
		UgL:        w / p.system.volume,
		BoundUg:    b,
		CapturedUg: p.start.CapturedUg + p.system.media*cleaned,
	}
}

// mostPhases is how many pieces there can be: the source ends once, and the media are used
// up once.
const mostPhases = 3

// phases splits dtH hours from s on at the end of the source and at the
// exhaustion of the media: at most three pieces. dtH may be +Inf.
func (d Dynamics) phases(s State, dtH float64) (list [mostPhases]phase, n int) {
	for n < len(list) && (n == 0 || dtH > 0) {
		p, more := d.phase(s, dtH)
		list[n] = p
		n++
		if !more {
			break
		}
		dtH -= p.durH
		s = p.end
	}
	return list, n
}

// phase is the first piece of dtH hours from s on; more says that something ends with it.
func (d Dynamics) phase(s State, dtH float64) (p phase, more bool) {
	p = phase{system: d.linear(s), start: s, durH: dtH}
	sourceEnds := d.Source.MgH > 0 && s.AtH < d.Source.UntilH && d.Source.UntilH-s.AtH <= dtH
	if sourceEnds {
		p.durH = d.Source.UntilH - s.AtH
	}
	usedUp := d.exhaustion(&p)
	if !math.IsInf(p.durH, 1) {
		p.end = p.at(p.durH)
		if usedUp {
			p.end.CapturedUg = d.CapacityMg * units.UgPerMg
		} else if sourceEnds {
			p.end.AtH = d.Source.UntilH
		}
	}
	return p, sourceEnds || usedUp
}

// exhaustion shortens the phase to the moment at which the media are used up and
// reports whether there is one.
func (d Dynamics) exhaustion(p *phase) bool {
	if p.system.media == 0 || d.CapacityMg == 0 {
		return false
	}
	capacity := d.CapacityMg * units.UgPerMg
	over := func(t float64) float64 { return p.at(t).CapturedUg - capacity }
	end := p.durH
	if math.IsInf(end, 1) {
		end = p.system.horizon()
		for step := 0; over(end) < 0 && p.system.adds() && step < 200; step++ {
			end *= 2
		}
	}
	if over(end) < 0 {
		return false
	}
	p.durH = crossing(over, 0, end)
	return true
}

// linear returns the system that acts at s.
func (d Dynamics) linear(s State) linear {
	l := linear{volume: d.VolumeL, bindRate: d.BoundRatePerH, ratio: d.BoundRatio}
	if l.source = d.sourceAt(s.AtH); l.source > 0 && d.Source.HalfLifeH > 0 {
		l.decay = math.Ln2 / d.Source.HalfLifeH
	}
	if d.CapacityMg == 0 || s.CapturedUg < d.CapacityMg*units.UgPerMg {
		l.media = d.ClearanceLH / d.VolumeL
	}
	l.loss = l.media + d.ExchangeLH/d.VolumeL
	l.inflow = d.ExchangeLH * d.ExchangeUgL
	return l.prepared()
}

// sourceAt is the source's rate in µg/h at a time.
func (d Dynamics) sourceAt(atH float64) float64 {
	if d.Source.MgH == 0 || d.Source.UntilH > 0 && atH >= d.Source.UntilH {
		return 0
	}
	rate := d.Source.MgH * units.UgPerMg
	if d.Source.HalfLifeH > 0 {
		rate *= math.Exp(-math.Ln2 / d.Source.HalfLifeH * atH)
	}
	return rate
}
