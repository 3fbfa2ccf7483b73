package schedule

import (
	"cmp"
	"math"
	"slices"
)

// outlook is the most water that can be poured by a time, whatever is done: for bounds.
// Two things hold it back. Water: what is in the vats and comes, at its own salinity or
// brought to the system's, and batches of all purified water there can be by then. Cold:
// what is colder than the system takes heat from it, and only so much heat may be taken;
// all that the vats' heaters can give by then is given to it.
type outlook struct {
	p     *problem
	s     *state
	lots  []lot // stored and delivered, the warmest first
	watts float64
}

// lot is water of one temperature, there from a time on.
type lot struct{ litres, c, fromH, s float64 }

func warmestFirst(a, b lot) int { return cmp.Compare(b.c, a.c) }

// outlook looks ahead from a state.
func (p *problem) outlook(s *state) *outlook {
	w := &p.scratch
	w.p, w.s, w.lots, w.watts = p, s, w.lots[:0], 0
	for i := range s.vats {
		v := &s.vats[i]
		w.watts += p.vessels[i].heaterW
		if math.IsInf(v.readyH, 1) {
			continue
		}
		if x := v.volL - p.vessels[i].heelL; x > 0 {
			w.lots = append(w.lots, lot{litres: x, c: v.at(s.atH), fromH: v.readyH})
		}
	}
	slices.SortFunc(w.lots, warmestFirst)
	return w
}

// litresBy is the most that can be poured by time h in a number of changes.
func (w *outlook) litresBy(h, changes float64) float64 {
	p, s := w.p, w.s
	made, madeC := w.madeBy(h)
	floor, heat := w.heatBy(h, changes)
	sum, room := 0.0, heat
	pour := func(litres, c float64) {
		cost := floor - c
		if cost > 0 {
			litres = min(litres, max(0, room)/cost)
		}
		sum, room = sum+litres, room-litres*cost
	}
	withheld := max(0, p.reserveL-p.outsideL)
	if p.outsideL > p.reserveL {
		pour(p.outsideL-p.reserveL, max(p.tank.own.c, s.water.c))
	}
	done := made <= 0
	for _, l := range w.lots {
		if !done && madeC >= l.c {
			pour(made, madeC)
			done = true
		}
		if l.fromH <= h {
			pour(l.litres, l.c)
		}
	}
	if !done {
		pour(made, madeC)
	}
	return max(0, sum-withheld)
}

// heatBy is the lowest temperature that the system may have by time h, and how much heat
// may be taken from it by then, in litres times kelvin: what it holds above that, or at
// every change where it is reheated, and what the vats' heaters give.
func (w *outlook) heatBy(h, changes float64) (floor, heat float64) {
	p, s := w.p, w.s
	l, dt := p.tank.limits, max(0, h-s.atH)
	const wattHour = secondsPerHour
	given := w.watts * dt * wattHour / leastLitreHeat
	low := min(float64(l.TemperatureLow), s.water.c)
	if p.tank.reheats {
		own := max(p.tank.own.c, s.water.c)
		low = min(low, p.tank.own.c)
		fall := min(l.TemperatureStep, l.TemperaturePerDay, own-low)
		if math.IsInf(changes, 1) {
			return own, math.Inf(1)
		}
		return own, max(0, fall)*p.tank.volL*changes*heatSlack + given
	}
	days := math.Floor(dt/perDayH) + 1
	floor = max(low, s.water.c-days*l.TemperaturePerDay)
	return floor, p.tank.volL*(s.water.c-floor)*heatSlack + given
}

// leastLitreHeat is less than the heat capacity of a litre of any water here, J/K, and
// heatSlack more than what litres of different water differ by in it.
const (
	leastLitreHeat = 3900
	heatSlack      = 1.05
)

// madeBy is the most litres that purified water can have been made into or added as by
// time h, and the warmest it can be without a heater.
func (w *outlook) madeBy(h float64) (litres, c float64) {
	p, s := w.p, w.s
	cut := 0.0
	if h >= s.atH+p.works.cutH {
		for i := range s.vats {
			v := &s.vats[i]
			if p.vessels[i].store >= 0 && !math.IsInf(v.readyH, 1) {
				cut += v.volL * max(0, p.toSalinity(v.s)*1.0005-1)
			}
		}
		cut = min(cut, max(0, w.pureBy(h-p.works.cutH))*1.01)
	}
	c = s.pure.c
	if p.works.rateLH > 0 {
		c = max(c, p.works.feedC)
	}
	for _, a := range p.works.comes[s.comes:] {
		if a.pureL > 0 {
			c = max(c, a.pureC)
		}
	}
	if len(p.works.salts) == 0 || h < s.atH+p.works.mixH {
		return cut, c
	}
	salt, leanest := 0.0, math.Inf(1)
	for k := range p.works.salts {
		salt += s.saltKg[k] / p.works.salts[k].kgPerL
		leanest = min(leanest, p.works.salts[k].purePerL)
	}
	for _, a := range p.works.comes[s.comes:] {
		if a.atH <= h-p.works.mixH {
			salt += a.saltKg / p.works.salts[0].kgPerL
		}
	}
	return cut + min(salt, max(0, w.pureBy(h-p.works.mixH))/leanest), c
}

// pureBy is the most purified water there can be by time h.
func (w *outlook) pureBy(h float64) float64 {
	x := w.s.pure.litres + w.p.works.rateLH*max(0, h-w.s.pure.atH)
	for _, a := range w.p.works.comes[w.s.comes:] {
		if a.atH <= h {
			x += a.pureL
		}
	}
	return x
}
