package schedule

import (
	"math"

	"tidehold/volumes/site"
)

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
		if s := &p.site.Stores[i]; s.ID == id && s.Holds == site.Saltwater && !j.has(i) && !s.OverAge(p.start) {
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
