package schedule

import "math"

// reach is the outlook from a state reckoned closely for one aim: the most that can be
// poured by a time, by a linear programme in the litres of every water there can be, with
// the limits on temperature, salinity and alkalinity. It takes too long to be asked at every
// step of a search, and is asked about the finished plan.
type reach struct {
	outlook
	waters   []source // what can be poured
	pures    []pure   // what can be mixed or cut with
	heaters  []heater
	vatsL    float64   // most that all vats can hold for one change
	pumpLH   float64   // of the fastest pump
	drift    float64   // by how much the heat of the system's litre can come to differ, by its salinity
	gaps     []content // what mixed litres hold more than their parts
	gapsPure []content // the same of purified water
	lp       simplex
	litres   []float64
}

// source is water that can be poured. Its worth is what it does, as a share of what the
// cleanest water does.
type source struct {
	kind             origin
	of               int // the purified water or the salt it is made with, or the vat
	litres, fromH    float64
	s, c, alk, worth float64
	litre, warmed    content // as it is, and brought to the system's temperature by a heater
	lacks            float64 // heat to that temperature, kJ a litre
	grows            float64 // by how much, at most, where salt lifts it
	cutBy            float64 // litres it grows by, at most, where it is cut,
	liftBy           float64 // and kilograms of salt that lift it, a litre
}

type origin int8

const (
	stored  origin = iota
	mixed          // a batch
	cutting        // purified water in a vat that is cut with it
	lifting        // salt in a vat that is lifted with it: kilograms, no litres
	heel           // what the pump does not reach, where a batch takes its place
)

// pure is purified water of one temperature: litres at a time, and a rate.
type pure struct{ litres, atH, rateLH, c float64 }

// heater is one in a vat: net watts at best, the share of its heat that the first change
// can draw, and the vat.
type heater struct {
	watts, drawn float64
	vat          int
}

// spread is more than waters that are taken for alike differ in the mass or heat of a litre,
// as they are warmed, mixed and poured.
const spread = 1.003

// reach looks ahead from a state for an aim that nothing but changes takes out of.
func (p *problem) reach(s *state, a int) *reach {
	r := &reach{vatsL: p.outsideL - p.reserveL}
	r.look(p, s)
	m := &p.aims[a]
	e0 := max(s.conc[a].UgL-m.purest, math.SmallestNonzeroFloat64)
	worth := func(level float64) float64 { return min(1, max(0, 1-(level-m.purest)/e0)) }
	for i := range s.vats {
		r.vessel(i, worth(s.levels[i*len(p.aims)+a]))
	}
	if p.outsideL > 0 {
		own := p.tank.own
		r.add(stored, -1, p.outsideL, s.atH, own.s, max(own.c, s.water.c), own.alk, 1)
		r.pumpLH = math.Inf(1)
	}
	r.purify()
	best, alk := 0.0, p.tank.own.alk // of several salts, that which no limit feels
	for k := range p.works.salts {
		best = max(best, worth(p.works.salts[k].background[a]))
	}
	if len(p.works.salts) == 1 {
		alk = p.works.salts[0].alk
	}
	for k := range r.pures {
		if len(p.works.salts) > 0 {
			r.add(mixed, k, 0, s.atH, p.tank.own.s, r.pures[k].c, alk, best)
		}
		r.add(cutting, k, 0, s.atH, 0, r.pures[k].c, 0, 1+m.purest/e0)
	}
	for k := range p.works.salts {
		salt := content{kg: 1, salt: p.works.salts[k].dry}
		r.waters = append(r.waters, source{kind: lifting, of: k, fromH: s.atH, litre: salt})
	}
	r.drift = tie
	for k := range r.waters {
		if w := &r.waters[k]; w.kind == stored || w.kind == mixed {
			r.drift = max(r.drift, heatPerUnit*math.Abs(w.s-s.water.s))
		}
	}
	r.heated()
	r.lookAtMixing()
	return r
}

func (r *reach) add(kind origin, of int, litres, fromH, s, c, alk, worth float64) {
	l := litreOf(s, c)
	r.waters = append(r.waters, source{kind: kind, of: of, litres: litres, fromH: fromH, s: s, c: c, alk: alk, worth: worth, litre: l, warmed: l, grows: 1})
}

// heated works out what brings each water to the system's temperature, where there is a
// heater.
func (r *reach) heated() {
	own := r.p.tank.own
	over := r.above(ofTemperature, 1, own.c)
	for k := range r.waters {
		w := &r.waters[k]
		if w.kind != lifting && w.c < own.c && len(r.heaters) > 0 {
			w.lacks, w.warmed = max(0, -over(w.s, 0, w.litre)), litreOf(w.s, own.c)
		}
	}
}

// purify lists the purified water there is and comes.
func (r *reach) purify() {
	p, s := r.p, r.s
	if s.pure.litres > 0 {
		r.pures = append(r.pures, pure{s.pure.litres, s.atH, 0, s.pure.c})
	}
	if p.works.rateLH > 0 {
		r.pures = append(r.pures, pure{min(0, s.pure.litres), s.pure.atH, p.works.rateLH, p.works.feedC})
	}
	for _, c := range p.works.comes[s.comes:] {
		if c.pureL > 0 {
			r.pures = append(r.pures, pure{c.pureL, c.atH, 0, c.pureC})
		}
	}
}

// by is how much of it there is by time h.
func (x *pure) by(h float64) float64 {
	if h < x.atH-slackH {
		return 0
	}
	return max(0, x.litres+x.rateLH*(h-x.atH))
}

// brings is more than what a litre of a salinity grows by where it is cut to the system's, and than the salt
// in kg that lifts it there, at any temperature.
func (p *problem) brings(s float64) (cutL, saltKg float64) {
	const swells, dissolves = 1.0005, 1.002
	if s > p.tank.own.s {
		return max(0, p.toSalinity(s)*swells-1), 0
	}
	for k, target := 0, saltShare(p.tank.own.s); k < len(p.works.salts); k++ {
		if dry := p.works.salts[k].dry; dry > target {
			saltKg = max(saltKg, (target-saltShare(s))/(dry-target)*kgPerLitre(s, 0)*dissolves)
		}
	}
	return 0, saltKg
}

// vessel adds one vessel's water, room, pump and heater.
func (r *reach) vessel(i int, worth float64) {
	p, v, w := r.p, &r.s.vats[i], &r.p.vessels[i]
	c := v.at(r.s.atH)
	if x := v.volL*p.lifted(v) - w.heelL; x > 0 && !math.IsInf(v.readyH, 1) {
		r.add(stored, i, x, v.readyH, v.s, c, v.alk, worth)
	}
	if x := min(v.volL, w.heelL); x > 0 {
		r.add(heel, i, x, r.s.atH, v.s, c, v.alk, worth)
	}
	for k := range r.waters {
		if x := &r.waters[k]; x.of == i && (x.kind == stored || x.kind == heel) {
			x.grows = p.lifted(v) // 1 where it is too salty
			x.cutBy, x.liftBy = p.brings(x.s)
		}
	}
	room := max(0, max(w.capL, v.volL*p.lifted(v))-w.heelL)
	r.vatsL += room
	r.pumpLH = max(r.pumpLH, 60/w.minutesPerL())
	watts := w.heaterW + w.lossWK*(w.roomC-r.coldest)
	if w.heaterW > 0 && watts > 0 && room > 0 {
		most := min(p.tank.mostL, room)
		r.heaters = append(r.heaters, heater{watts, most / (most + w.heelL), i})
	}
}
