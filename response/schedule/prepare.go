package schedule

import (
	"fmt"
	"math"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// prepare sets the planner's job up for a demand, after what earlier demands have
// taken.
func (p *Planner) prepare(d *plan.Demand, opt Options, taken *taken) (*job, error) {
	j := &p.job
	sys := d.System
	j.opt, j.demand, j.limits = opt, d, &sys.Limits
	j.volL = float64(sys.NetVolume)
	j.mostL = sys.Drawdown * j.volL
	j.everyH = sys.ChangeEveryH
	j.ownC = float64(sys.Water.Temperature)
	j.batchS = float64(sys.Water.Salinity)
	j.hasAlk = sys.Water.AlkalinityDKH != nil
	j.mixH = opt.mixH(p)
	j.reserveL = float64(p.site.Reserve.Saltwater)
	j.hurry, j.wide, j.onTop, j.fastFirst, j.atOnce, j.record = false, false, false, false, false, nil
	f := &j.start
	f.atH, f.nextH, f.freedH, f.decide, f.mix = 0, 0, math.Inf(1), true, true
	f.dayCap, f.settled, f.changes, f.batches, f.comes = false, false, 0, 0, 0
	f.exposure, f.waterL, f.finishH, f.waiting = 0, 0, 0, waiting{vat: -1}
	f.held = f.held[:0]
	f.system = water{j.batchS, j.ownC, known(sys.Water.AlkalinityDKH), known(sys.Water.CalciumMgL), known(sys.Water.MagnesiumMgL), known(sys.Water.PH)}
	if err := p.takeAims(j); err != nil {
		return nil, err
	}
	if err := p.takeSalts(j, taken); err != nil {
		return nil, err
	}
	p.takePurified(j, taken)
	p.takeVats(j, taken)
	p.takeDeliveries(j, taken)
	return j, p.size(j)
}

// takeAims checks the aims and lays out their dynamics.
func (p *Planner) takeAims(j *job) error {
	if len(j.demand.Aims) == 0 {
		return fmt.Errorf("system %s: nothing to bring down", j.demand.System.ID)
	}
	j.aims = j.aims[:0]
	for i := range j.demand.Aims {
		a := &j.demand.Aims[i]
		if err := checkAim(a); err != nil {
			return fmt.Errorf("system %s: %w", j.demand.System.ID, err)
		}
		m := aim{startUgL: a.Start, target: a.Target, withinH: math.Inf(1)}
		if a.WithinH > 0 {
			m.withinH = a.WithinH
		}
		m.dynamics = dilution.Dynamics{
			VolumeL: j.volL, Source: dilution.Source{MgH: a.SourceMgH},
			BoundRatio: a.BoundRatio, BoundRatePerH: a.BoundRatePerH,
		}
		if j.opt.Media && !a.Share() {
			p.takeMedia(&m.dynamics, j.demand.System.ID, a.Contaminant)
		}
		m.inert = m.dynamics.Inert()
		j.aims = append(j.aims, m)
	}
	return nil
}

// checkAim says what is wrong with an aim.
func checkAim(a *plan.Aim) error {
	for _, x := range []struct {
		name  string
		value float64
	}{{"start", a.Start}, {"uncertainty of the start", a.StartU}, {"target", a.Target}, {"source", a.SourceMgH},
		{"bound ratio", a.BoundRatio}, {"bound rate", a.BoundRatePerH}, {"time allowed", a.WithinH}} {
		if !(x.value >= 0) || math.IsInf(x.value, 1) {
			return fmt.Errorf("%s %g; it must be zero or more and finite", x.name, x.value)
		}
	}
	return nil
}

// takeMedia counts the media of a system whose capacity has been measured.
func (p *Planner) takeMedia(d *dilution.Dynamics, system, contaminant string) {
	for i := range p.site.Media {
		m := &p.site.Media[i]
		if m.System == system && m.CapacityMg != nil && *m.CapacityMg > 0 && m.SinglePass[contaminant] > 0 {
			d.ClearanceLH += m.FlowLH * m.SinglePass[contaminant]
			d.CapacityMg += *m.CapacityMg
		}
	}
}

// takeSalts works out what each salt takes per litre at the system's salinity.
func (p *Planner) takeSalts(j *job, taken *taken) error {
	j.salts, j.start.saltKg, j.deliveries = j.salts[:0], j.start.saltKg[:0], j.deliveries[:0]
	if j.batchS <= 0 {
		return nil
	}
	sys := j.demand.System
	for i := range p.site.Salts {
		s := &p.site.Salts[i]
		b, err := mixing.New(1, units.Practical(j.batchS), units.Celsius(j.ownC), p.feed(j), s.Dose())
		if err != nil {
			return fmt.Errorf("salt %s: %w", s.ID, err)
		}
		k := saltKind{
			id: s.ID, kgPerL: b.SaltKg, purePerL: float64(b.Water),
			alk: first(s.Makes.AlkalinityDKH, sys.Water.AlkalinityDKH), ca: first(s.Makes.CalciumMgL, sys.Water.CalciumMgL),
			mg: first(s.Makes.MagnesiumMgL, sys.Water.MagnesiumMgL), ph: first(s.Makes.PH, sys.Water.PH),
		}
		for a := range j.demand.Aims {
			k.background = append(k.background, s.Background[j.demand.Aims[a].Contaminant])
		}
		j.salts = append(j.salts, k)
		kg := s.OnHand.InexactFloat64() + j.opt.Extra.SaltKg[s.ID]
		if taken != nil {
			kg -= taken.saltKg[s.ID]
		}
		j.start.saltKg = append(j.start.saltKg, kg)
	}
	return nil
}

// first is the first of two values that is known, else 0.
func first(a, b *float64) float64 {
	if a != nil {
		return *a
	}
	return known(b)
}

// feed is the temperature of newly purified water, and that of the system where
// there is no purifier.
func (p *Planner) feed(j *job) units.Celsius {
	if p.site.Purifier != nil {
		return units.Celsius(min(max(float64(p.site.Purifier.Feed), coldest), warmest))
	}
	return units.Celsius(j.ownC)
}

func (p *Planner) takePurified(j *job, taken *taken) {
	f := &j.start
	f.pureL, f.pureC, f.pureH = p.pureL, p.pureC, 0
	j.pureRoomL, j.rateLH, j.feedC = p.pureRoomL, 0, float64(p.feed(j))
	rate := j.opt.Extra.PurifierLH
	if p.site.Purifier != nil {
		rate += p.site.Purifier.RateLH
	}
	if rate > 0 {
		j.rateLH = rate
		if q := p.site.Purifier; q != nil {
			j.rateLH *= PurifierFactor(q.Feed, q.RatedAt)
		}
	}
	for id, x := range j.opt.Extra.StoreL {
		if s := p.site.StoreByID(id); s != nil && s.Holds == site.Purified {
			f.pureL += x
			j.pureRoomL += x
		}
	}
	for id, x := range j.opt.Extra.CapacityL {
		if s := p.site.StoreByID(id); s != nil && s.Holds == site.Purified && s.FilledBy == "purifier" {
			j.pureRoomL += x
		}
	}
	if taken != nil && taken.pureH > 0 {
		f.pureL, f.pureC, f.pureH = taken.pureL, taken.pureC, taken.pureH
	} else if taken != nil {
		f.pureL -= taken.pureNowL
	}
}
