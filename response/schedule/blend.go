package schedule

import (
	"math"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// inside is the system's water now.
func (p *problem) inside(s *state) [3]float64 {
	return [3]float64{ofTemperature: s.water.c, ofSalinity: s.water.s, ofAlkalinity: s.water.alk}
}

// mixed is the system's water after a share of what is on the table.
func (t *table) mixed(p *problem, s *state, share float64) [3]float64 {
	left, alk := p.tank.volL, 0.0
	all := content{}
	for i, x := range t.litres {
		x *= share
		left -= x
		all = all.plus(t.offers[i].litre, x)
		alk += t.offers[i].alk * x
	}
	sal, c := p.stateOf(all.plus(t.own, left), s.water.c)
	return [3]float64{ofTemperature: c, ofSalinity: sal, ofAlkalinity: (s.water.alk*left + alk) / p.tank.volL}
}

// blend puts the best blend within the limits on the table, or the one that was found when the same
// waters and limits were asked about before.
func (t *table) blend(p *problem, s *state, k taste) {
	m := p.scratch.memory
	if m == nil {
		t.blendAnew(p, s, k)
		return
	}
	// What the tastes from the second on ask of a blend differs by their order alone, but for the
	// dirtiest first.
	kind := min(k, closest)
	if k == leastFall {
		kind = k
	}
	q := append(m.question[:0], float64(kind), t.most, s.water.s, s.water.c, s.water.alk)
	for i := range t.bands {
		q = append(q, t.bands[i].low, t.bands[i].high)
	}
	for _, i := range t.order {
		o := &t.offers[i]
		q = append(q, float64(i), o.litres, o.fall, o.alk, o.litre.kg, o.litre.salt, o.litre.heat)
	}
	m.question = q
	at, known := m.blends.place(q)
	if known {
		copy(t.litres, at.answer)
		return
	}
	t.blendAnew(p, s, k)
	at.put(m.blends.of, q, t.litres...)
}

// blendAnew puts the best blend within the limits on the table: a linear programme in the
// litres of each water. Mass, salt, heat and alkalinity are linear in the litres; that
// the temperature of a heat depends on the salinity is allowed for by solving it again
// with the salinity found.
func (t *table) blendAnew(p *problem, s *state, k taste) {
	sal := s.water.s
	for range 6 {
		t.program(p, s, k, sal)
		p.scratch.lp.solve(t.litres)
		was := sal
		if sal = t.mixed(p, s, 1)[ofSalinity]; math.Abs(sal-was) < 1e-8 {
			break
		}
	}
	for i := range t.litres {
		if t.litres[i] < leastPour*p.tank.volL {
			t.litres[i] = 0
		}
	}
}

// blendSlack keeps a blend a hair inside its limits, where the salinity that the heat
// was reckoned with differs a little from the one that comes out.
const blendSlack = 1e-7

// program lays the linear programme out.
func (t *table) program(p *problem, s *state, k taste, sal float64) {
	x, n := &p.scratch.lp, len(t.offers)
	x.begin(n)
	best := 0.0
	for i := range t.offers {
		best = max(best, t.offers[i].fall)
	}
	for rank, i := range t.order {
		// The taste decides between waters that do as much.
		x.most[i] = t.offers[i].litres
		x.gain[i] = t.offers[i].fall / max(best, math.SmallestNonzeroFloat64)
		if k != mostFall {
			x.gain[i] = 1
		}
		if k == leastFall && t.offers[i].fall <= 0 {
			x.most[i] = 0
		}
		x.gain[i] += 1e-3 * float64(n-rank) / float64(n)
	}
	row := x.constrain(t.most)
	for i := range row {
		row[i] = 1
	}
	for q, now := range p.inside(s) {
		b := &t.bands[q]
		for _, sign := range [2]float64{1, -1} { // above the low end, below the high one
			// A system that is kept at a limit may be given water that is at it too.
			end := min(b.low+blendSlack, max(b.low, now))
			if sign < 0 {
				end = max(b.high-blendSlack, min(b.high, now))
			}
			if math.IsInf(end, 0) {
				continue
			}
			over := above(q, end, sal)
			mine := sign * over.of(&t.own, s.water.alk)
			row := x.constrain(p.tank.volL * mine)
			for i := range t.offers {
				row[i] = mine - sign*over.of(&t.offers[i].litre, t.offers[i].alk)
			}
		}
	}
}

// excess is by how much a litre lies above a value of a quantity, in what adds up when
// waters are mixed: joules, kilograms of salt, or alkalinity. (No function: a search makes
// hundreds of thousands, each of which would be garbage.)
type excess struct {
	q  int
	at float64 // what a kilogram has at the value; the alkalinity itself
}

func above(q int, value, sal float64) excess {
	switch q {
	case ofTemperature:
		value, _ = salinity.Enthalpy(units.Practical(sal), units.Celsius(min(max(value, coldest), warmest)))
	case ofSalinity:
		value = saltShare(min(max(value, 0), saltiest))
	}
	return excess{q, value}
}

func (e excess) of(l *content, alk float64) float64 {
	switch e.q {
	case ofTemperature:
		return (l.heat - l.kg*e.at) * 1e-3
	case ofSalinity:
		return (l.salt - l.kg*e.at) * 1e3
	}
	return alk - e.at
}
