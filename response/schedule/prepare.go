package schedule

import (
	"fmt"
	"math"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// prepare sets the planner's job up for a demand, after what earlier demands have
// taken.
func (p *Planner) prepare(d *Demand, opt Options, taken *taken) (*job, error) {
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
	j.hurry, j.wide, j.onTop, j.fastFirst, j.record = false, false, false, false, nil
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
		if err := a.check(); err != nil {
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
		if !a.Share() {
			p.takeMedia(&m.dynamics, j.demand.System.ID, a.Contaminant)
		}
		m.inert = m.dynamics.Inert()
		j.aims = append(j.aims, m)
	}
	return nil
}

// check says what is wrong with an aim.
func (a *Aim) check() error {
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
		b, err := mixing.New(1, units.Practical(j.batchS), units.Celsius(j.ownC), p.feed(j), dose(s))
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

// takeVats chooses the stores that the plan looks at.
func (p *Planner) takeVats(j *job, taken *taken) {
	f := &j.start
	j.vessels, f.vats, f.levels = j.vessels[:0], f.vats[:0], f.levels[:0]
	j.outsideL = p.usableL
	enough := plenty*p.roughDemand(j) + j.reserveL
	got := 0.0
	list := p.matched(j.demand.System)
	for n, i := range list {
		if len(list) > fewStores && n >= fewStores && got >= enough || n >= mostStores {
			break
		}
		got += p.usable[i]
		p.takeVat(j, i, taken)
	}
	for n, i := range p.spare {
		if len(p.spare) > fewStores && n >= mostSpare {
			break
		}
		p.takeVat(j, i, taken)
	}
	for id := range j.opt.Extra.StoreL {
		p.takeNamed(j, id, taken)
	}
	if taken != nil {
		for i, c := range taken.vats {
			if !j.has(i) {
				j.outsideL -= p.usable[i] - max(0, c.volL-float64(p.site.Stores[i].Heel))
			}
		}
	}
}

// takeNamed makes sure that a store with something added is looked at.
func (p *Planner) takeNamed(j *job, id string, taken *taken) {
	for i := range p.site.Stores {
		if s := &p.site.Stores[i]; s.ID == id && s.Holds == site.Saltwater && !j.has(i) && !p.tooOld(s) {
			p.takeVat(j, i, taken)
		}
	}
}

func (j *job) has(store int) bool {
	for k := range j.vessels {
		if j.vessels[k].store == store {
			return true
		}
	}
	return false
}

// roughDemand is the litres of the largest aim, for choosing stores.
func (p *Planner) roughDemand(j *job) float64 {
	most := j.mostL
	for a := range j.aims {
		m := &j.aims[a]
		if m.target > 0 && m.startUgL > m.target {
			most = max(most, j.volL*math.Log(m.startUgL/m.target)*2)
		}
	}
	return min(most, 20*j.volL)
}

func (p *Planner) takeVat(j *job, i int, taken *taken) {
	s, sys := &p.site.Stores[i], j.demand.System
	extra := &j.opt.Extra
	w := vessel{
		id: s.ID, store: i, capL: float64(s.Capacity) + extra.CapacityL[s.ID], heelL: float64(s.Heel),
		heaterW: s.HeaterW + extra.HeaterW[s.ID], lossWK: known(s.HeatLossWK), roomC: float64(sys.Ambient.Usual),
		pumpLH: known(s.TransferLH), mixes: p.mayMix(s),
	}
	salt := p.firstSalt()
	v := vat{
		volL: s.Volume.InexactFloat64() + extra.StoreL[s.ID], s: float64(s.Water.Salinity),
		alk: firstOf(s.Water.AlkalinityDKH, salt.AlkalinityDKH, sys.Water.AlkalinityDKH),
		ca:  firstOf(s.Water.CalciumMgL, salt.CalciumMgL, sys.Water.CalciumMgL),
		mg:  firstOf(s.Water.MagnesiumMgL, salt.MagnesiumMgL, sys.Water.MagnesiumMgL),
		ph:  firstOf(s.Water.PH, salt.PH, sys.Water.PH),
	}
	c := float64(s.Water.Temperature)
	made := false
	if taken != nil {
		if t, ok := taken.vats[i]; ok {
			v, c, made, w.fromH, w.mixFromH = t.vat, t.c, t.vat.batch > 0, t.fromH, t.mixFromH
			v.readyH, v.batch = t.fromH, 0
		}
	}
	v.heat(&w, c, w.fromH, j.ownC)
	j.outsideL -= p.usable[i]
	j.vessels = append(j.vessels, w)
	j.start.vats = append(j.start.vats, v)
	for a := range j.demand.Aims {
		j.start.levels = append(j.start.levels, p.background(s, j.demand.Aims[a].Contaminant, made))
	}
}

// background is what a store's water brings of a contaminant: as stated, else what
// the salt brings, else nothing.
func (p *Planner) background(s *site.Store, contaminant string, made bool) float64 {
	if x, ok := s.Background[contaminant]; ok && !made {
		return x
	}
	if len(p.site.Salts) > 0 {
		return p.site.Salts[0].Background[contaminant]
	}
	return 0
}

func (p *Planner) firstSalt() site.Chemistry {
	if len(p.site.Salts) > 0 {
		return p.site.Salts[0].Makes
	}
	return site.Chemistry{}
}

func firstOf(a, b, c *float64) float64 {
	if a != nil {
		return *a
	}
	return first(b, c)
}

// takeDeliveries adds what comes later: saltwater in whatever it comes in, and salt
// of the first kind.
func (p *Planner) takeDeliveries(j *job, taken *taken) {
	sys := j.demand.System
	for n := range p.site.Deliveries {
		d := &p.site.Deliveries[n]
		if d.SaltKg > 0 && len(j.salts) > 0 {
			j.comeSalt(d.AfterH, d.SaltKg)
		}
		litres := float64(d.Saltwater)
		if taken != nil {
			litres -= taken.deliveredL[n]
		}
		if litres <= leastDrawL {
			continue
		}
		s, c := j.batchS, j.ownC
		if d.Salinity != nil {
			s = float64(*d.Salinity)
		}
		if d.Temperature != nil {
			c = float64(*d.Temperature)
		}
		w := vessel{store: -1, delivery: n + 1, capL: litres, fromH: d.AfterH, pumpLH: p.slowestPump()}
		salt := p.firstSalt()
		v := vat{
			volL: litres, readyH: d.AfterH, s: s,
			alk: first(salt.AlkalinityDKH, sys.Water.AlkalinityDKH), ca: first(salt.CalciumMgL, sys.Water.CalciumMgL),
			mg: first(salt.MagnesiumMgL, sys.Water.MagnesiumMgL), ph: first(salt.PH, sys.Water.PH),
		}
		v.heat(&w, c, 0, j.ownC)
		j.vessels = append(j.vessels, w)
		j.start.vats = append(j.start.vats, v)
		for a := range j.demand.Aims {
			j.start.levels = append(j.start.levels, p.background(&site.Store{}, j.demand.Aims[a].Contaminant, true))
		}
	}
	j.useSalt()
}

// comeSalt notes a delivery of salt, in order of time.
func (j *job) comeSalt(atH, kg float64) {
	j.deliveries = append(j.deliveries, saltDelivery{atH, kg})
	for k := len(j.deliveries) - 1; k > 0 && j.deliveries[k].atH < j.deliveries[k-1].atH; k-- {
		j.deliveries[k], j.deliveries[k-1] = j.deliveries[k-1], j.deliveries[k]
	}
}

// useSalt takes salt that earlier demands used beyond what was on hand out of the
// deliveries.
func (j *job) useSalt() {
	if len(j.start.saltKg) == 0 || j.start.saltKg[0] >= 0 {
		return
	}
	owed := -j.start.saltKg[0]
	j.start.saltKg[0] = 0
	for k := range j.deliveries {
		x := min(owed, j.deliveries[k].kg)
		j.deliveries[k].kg -= x
		owed -= x
	}
}

// slowestPump is the rate of the slowest stated pump, L/h; 0 when none is stated.
func (p *Planner) slowestPump() float64 {
	slowest := 0.0
	for i := range p.site.Stores {
		if x := known(p.site.Stores[i].TransferLH); x > 0 && (slowest == 0 || x < slowest) {
			slowest = x
		}
	}
	return slowest
}
