package schedule

import (
	"math"

	"tidehold/volumes/site"
)

// takeVats chooses the stores that the plan looks at.
func (pl *Planner) takeVats(p *problem, opt Options, taken *taken) {
	p.outsideL = pl.usableL
	enough := plenty*pl.roughDemand(p) + p.reserveL
	got := 0.0
	list := pl.matched(p.demand.System)
	for n, i := range list {
		if len(list) > fewStores && n >= fewStores && got >= enough || n >= mostStores {
			break
		}
		got += pl.usable[i]
		pl.takeVat(p, i, opt, taken)
	}
	for n, i := range pl.spare {
		if len(pl.spare) > fewStores && n >= mostSpare {
			break
		}
		pl.takeVat(p, i, opt, taken)
	}
	for n, i := range pl.overAge {
		if n < mostSpare && pl.mayMix(&pl.site.Stores[i]) {
			pl.takeVat(p, i, opt, taken)
			p.vessels[len(p.vessels)-1].overAge = true
			if v := &p.start.vats[len(p.vessels)-1]; taken == nil || taken.vats[i].batch == 0 {
				v.readyH = math.Inf(1)
			}
		}
	}
	for id := range opt.Extra.StoreL {
		pl.takeNamed(p, id, opt, taken)
	}
	if taken != nil {
		for i, c := range taken.vats {
			if !p.has(i) {
				p.outsideL -= pl.usable[i] - max(0, c.volL-float64(pl.site.Stores[i].Heel))
			}
		}
	}
}

// takeNamed makes sure that a store with something added is looked at.
func (pl *Planner) takeNamed(p *problem, id string, opt Options, taken *taken) {
	for i := range pl.site.Stores {
		if s := &pl.site.Stores[i]; s.ID == id && s.Holds == site.Saltwater && !p.has(i) && !s.OverAge(pl.start) {
			pl.takeVat(p, i, opt, taken)
		}
	}
}

func (p *problem) has(store int) bool {
	for k := range p.vessels {
		if p.vessels[k].store == store {
			return true
		}
	}
	return false
}

// roughDemand is the litres of the largest aim, for choosing stores.
func (pl *Planner) roughDemand(p *problem) float64 {
	most := p.tank.mostL
	for a := range p.aims {
		m := &p.aims[a]
		if m.target > 0 && m.startUgL > m.target {
			most = max(most, p.tank.volL*math.Log(m.startUgL/m.target)*2)
		}
	}
	return min(most, 20*p.tank.volL)
}

func (pl *Planner) takeVat(p *problem, i int, opt Options, taken *taken) {
	s, sys := &pl.site.Stores[i], p.demand.System
	extra := &opt.Extra
	w := vessel{
		id: s.ID, store: i, capL: float64(s.Capacity) + extra.CapacityL[s.ID], heelL: float64(s.Heel),
		heaterW: s.HeaterW + extra.HeaterW[s.ID], lossWK: known(s.HeatLossWK), roomC: float64(sys.Ambient.Usual),
		pumpLH: known(s.TransferLH), mixes: pl.mayMix(s),
	}
	salt := pl.firstSalt()
	v := vat{
		volL: s.Volume.InexactFloat64() + extra.StoreL[s.ID], s: float64(s.Water.Salinity), stored: 1,
		ph: firstOf(s.Water.PH, salt.Makes.PH, sys.Water.PH),
	}
	v.alk, v.ca, v.mg = brought(&s.Water, salt, sys, v.s)
	if h := s.BeingMixed(pl.start); h > 0 { // a batch under way: warming runs alongside, as with one of the plan's own
		v.readyH, w.fromH, w.freeH = h, h, h
	}
	c, warmsFromH := float64(s.Water.Temperature), 0.0
	made := 0.0 // share of it
	if taken != nil {
		if t, ok := taken.vats[i]; ok {
			v, c, w.fromH, w.freeH = t.vat, t.c, t.fromH, t.freeH
			warmsFromH = max(w.fromH, w.freeH)
			if v.batch > 0 {
				made = 1 - v.stored
			}
			v.batch, v.fresh = 0, false
			if !math.IsInf(v.readyH, 1) {
				v.readyH = t.fromH
			}
		}
	}
	p.heat(&v, &w, c, warmsFromH)
	p.outsideL -= pl.usable[i]
	p.vessels = append(p.vessels, w)
	p.start.vats = append(p.start.vats, v)
	for a := range p.demand.Aims {
		p.start.levels = append(p.start.levels, pl.background(s.Background, p.demand.Aims[a].Contaminant, made))
	}
}

// background is what the water of a store or a delivery brings of a contaminant, a share of it made since: as
// stated, and what is made as the salt brings it; where nothing is stated all of it is as that, else none.
func (pl *Planner) background(stated map[string]float64, contaminant string, made float64) float64 {
	salt := 0.0
	if len(pl.site.Salts) > 0 {
		salt = pl.site.Salts[0].Background[contaminant]
	}
	if x, ok := stated[contaminant]; ok {
		return x*(1-made) + salt*made
	}
	return salt
}

// firstSalt is the salt that water of no stated salt is taken to be of; none where the site has none.
func (pl *Planner) firstSalt() *site.Salt {
	if len(pl.site.Salts) > 0 {
		return &pl.site.Salts[0]
	}
	return &site.Salt{}
}

func firstOf(a, b, c *float64) float64 {
	if a != nil {
		return *a
	}
	return first(b, c)
}

// takeDeliveries adds what comes later: saltwater in whatever it comes in, and salt
// of the first kind.
func (pl *Planner) takeDeliveries(p *problem, taken *taken) {
	sys := p.demand.System
	for n := range pl.site.Deliveries {
		d := &pl.site.Deliveries[n]
		if d.SaltKg > 0 && len(p.works.salts) > 0 {
			p.comes(arrival{atH: d.AfterH, saltKg: d.SaltKg})
		}
		if d.Purified > 0 {
			c := p.works.feedC
			if d.Temperature != nil {
				c = float64(*d.Temperature)
			}
			p.comes(arrival{atH: d.AfterH, pureL: float64(d.Purified), pureC: c})
		}
		litres := float64(d.Saltwater)
		if taken != nil {
			litres -= taken.deliveredL[n]
		}
		if litres <= leastDrawL {
			continue
		}
		s, c := p.tank.own.s, p.tank.own.c
		if d.Salinity != nil {
			s = float64(*d.Salinity)
		}
		if d.Temperature != nil {
			c = float64(*d.Temperature)
		}
		w := vessel{store: -1, delivery: n + 1, capL: litres, fromH: d.AfterH, pumpLH: pl.slowestPump()}
		salt := pl.firstSalt()
		v := vat{
			volL: litres, readyH: d.AfterH, s: s, ph: first(salt.Makes.PH, sys.Water.PH),
		}
		v.alk, v.ca, v.mg = brought(&site.Chemistry{}, salt, sys, s)
		p.heat(&v, &w, c, 0)
		p.vessels = append(p.vessels, w)
		p.start.vats = append(p.start.vats, v)
		for a := range p.demand.Aims {
			p.start.levels = append(p.start.levels, pl.background(d.Background, p.demand.Aims[a].Contaminant, 0))
		}
	}
	p.useSalt()
}

// comes notes what is delivered beside saltwater, in order of time.
func (p *problem) comes(a arrival) {
	list := append(p.works.comes, a)
	for k := len(list) - 1; k > 0 && list[k].atH < list[k-1].atH; k-- {
		list[k], list[k-1] = list[k-1], list[k]
	}
	p.works.comes = list
}

// useSalt takes salt that earlier demands used beyond what was on hand out of the
// deliveries.
func (p *problem) useSalt() {
	if len(p.start.saltKg) == 0 || p.start.saltKg[0] >= 0 {
		return
	}
	owed := -p.start.saltKg[0]
	p.start.saltKg[0] = 0
	for k := range p.works.comes {
		x := min(owed, p.works.comes[k].saltKg)
		p.works.comes[k].saltKg -= x
		owed -= x
	}
}

// slowestPump is the rate of the slowest stated pump, L/h; 0 when none is stated.
func (pl *Planner) slowestPump() float64 {
	slowest := 0.0
	for i := range pl.site.Stores {
		if x := known(pl.site.Stores[i].TransferLH); x > 0 && (slowest == 0 || x < slowest) {
			slowest = x
		}
	}
	return slowest
}
