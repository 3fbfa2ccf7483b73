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
// all that the vats' heaters can give by then is given to it, and what their heels hold.
type outlook struct {
	p       *problem
	s       *state
	lots    []lot     // stored and delivered, the warmest first
	taken   []float64 // of those, what a change takes (warmth.go)
	coldest float64   // of all that is in the vats and can get into them
	watts   float64   // of the vats' heaters, what the room gives or takes included
	heelKL  float64   // warmth of the heels above the coldest, litres times kelvin
	slack   float64   // more than the waters differ in the heat of a litre
	madeC   float64   // warmest that purified water can be without a heater
	cutL    float64   // purified water that all vats take that can be cut
	leanest float64   // purified water in a litre of the salt that needs least
}

// lot is water of one temperature, there from a time on.
type lot struct {
	litres, c, fromH, s float64
	vat                 int
}

func warmestFirst(a, b lot) int { return cmp.Compare(b.c, a.c) }

// outlook looks ahead from a state.
func (p *problem) outlook(s *state) *outlook {
	w := &p.scratch.outlook
	w.look(p, s)
	return w
}

// look lists what is there and comes.
func (w *outlook) look(p *problem, s *state) {
	w.p, w.s, w.lots = p, s, w.lots[:0]
	w.coldest = p.coldestMade(s)
	apart := math.Abs(p.tank.own.s - s.water.s)
	for i := range s.vats {
		v, vessel := &s.vats[i], &p.vessels[i]
		c := v.at(s.atH)
		if v.volL > 0 {
			w.coldest = min(w.coldest, c)
			apart = max(apart, math.Abs(v.s-s.water.s))
		}
		if x := v.volL*p.lifted(v) - vessel.heelL; x > 0 && !math.IsInf(v.readyH, 1) {
			w.lots = append(w.lots, lot{litres: x, c: c, s: v.s, fromH: v.readyH, vat: i})
		}
	}
	w.watts, w.heelKL, w.slack = 0, 0, heatSlack+heatPerUnit*apart
	for i := range s.vats {
		v, vessel := &s.vats[i], &p.vessels[i]
		if vessel.heaterW > 0 {
			w.watts += max(0, vessel.heaterW+vessel.lossWK*(vessel.roomC-w.coldest))
		}
		if below := min(v.volL, vessel.heelL); below != 0 {
			w.heelKL += below * max(0, v.at(s.atH)-w.coldest)
		}
	}
	slices.SortFunc(w.lots, warmestFirst)
	w.lookAtPure()
}

// lookAtPure works out what is made of purified water, whenever that is.
func (w *outlook) lookAtPure() {
	p, s := w.p, w.s
	w.madeC = s.pure.c
	if p.works.rateLH > 0 {
		w.madeC = max(w.madeC, p.works.feedC)
	}
	for _, a := range p.works.comes[s.comes:] {
		if a.pureL > 0 {
			w.madeC = max(w.madeC, a.pureC)
		}
	}
	w.cutL = 0
	for i := range s.vats {
		v := &s.vats[i]
		if v.s > p.tank.own.s && p.vessels[i].store >= 0 && !math.IsInf(v.readyH, 1) {
			w.cutL += v.volL * max(0, p.toSalinity(v.s)*1.0005-1)
		}
	}
	w.leanest = math.Inf(1)
	for k := range p.works.salts {
		w.leanest = min(w.leanest, p.works.salts[k].purePerL)
	}
}

// lifted is by how much a vat's water can grow where salt lifts it to the system's salinity:
// salt brings some water of its own.
func (p *problem) lifted(v *vat) float64 {
	if v.s >= p.tank.own.s {
		return 1
	}
	if by, ok := p.scratch.lifts.find(v.s); ok {
		return by
	}
	grows, target := 1.0, saltShare(p.tank.own.s)
	for k := range p.works.salts {
		if dry := p.works.salts[k].dry; dry > target {
			salt := (target - saltShare(v.s)) / (dry - target)
			grows = max(grows, (1+salt)*kgPerLitre(v.s, p.tank.own.c)/kgPerLitre(p.tank.own.s, p.tank.own.c))
		}
	}
	const mixing = 2e-4 // with a batch on top, by their temperatures
	return p.scratch.lifts.keep(v.s, grows*(1+mixing))
}

// coldestMade is the lowest temperature of purified water, now or later.
func (p *problem) coldestMade(s *state) float64 {
	c := p.works.feedC
	if s.pure.litres > 0 {
		c = min(c, s.pure.c)
	}
	for _, a := range p.works.comes[s.comes:] {
		if a.pureL > 0 {
			c = min(c, a.pureC)
		}
	}
	return c
}

// litresBy is the most that can be poured by time h in a number of changes.
func (w *outlook) litresBy(h, changes float64) float64 {
	made := w.madeBy(h)
	floor, least := w.heatBy(h, changes, leastUsed)
	x := w.pour(h, made, floor, least)
	if x.sum < x.total { // mostly all of it can be poured, and how much heat there is makes no difference
		if _, heat := w.heatBy(h, changes, used); heat > least {
			x = w.pour(h, made, floor, heat)
		}
	}
	// What is kept back may be the coldest.
	return max(0, min(x.sum, x.total-w.p.reserveL))
}

// pour pours all the water there can be by time h, as far as a heat lasts.
func (w *outlook) pour(h, made, floor, heat float64) poured {
	p, x := w.p, poured{floor: floor, room: heat}
	if made > 0 {
		x.room += w.heelKL * w.slack
	}
	x = x.with(p.outsideL, max(p.tank.own.c, w.s.water.c))
	done := made <= 0
	for i := range w.lots {
		l := &w.lots[i]
		if !done && w.madeC >= l.c {
			x = x.with(made, w.madeC)
			done = true
		}
		if l.fromH <= h {
			x = x.with(l.litres, l.c)
		}
	}
	if !done {
		x = x.with(made, w.madeC)
	}
	return x
}

// poured adds up waters, each as far as there is room for its cold: total leaves the cold
// aside.
type poured struct{ floor, room, total, sum float64 }

func (x poured) with(litres, c float64) poured {
	x.total += litres
	cost := x.floor - c
	if cost > 0 {
		litres = min(litres, max(0, x.room)/cost)
	}
	x.sum, x.room = x.sum+litres, x.room-litres*cost
	return x
}

// heatBy is the lowest temperature that the system may have by time h, and how much heat
// may be taken from it by then, in litres times kelvin: what it holds above that, or at
// every change where it is reheated, and what the vats' heaters give. used says how many
// kelvin of the way to that temperature can be used.
func (w *outlook) heatBy(h, changes float64, used func(from, floor, coldest, changes float64) float64) (floor, heat float64) {
	p, s := w.p, w.s
	l, dt := p.tank.limits, max(0, h-s.atH)
	given := w.watts * dt * secondsPerHour / leastLitreHeat
	low := min(float64(l.TemperatureLow), s.water.c)
	if p.tank.reheats {
		// The first change is made from what the system has now, those after it from its own.
		warm, cold := max(p.tank.own.c, s.water.c), min(p.tank.own.c, s.water.c)
		low = min(low, cold)
		fall := min(l.TemperatureStep, l.TemperaturePerDay, warm-low)
		if math.IsInf(changes, 1) {
			return cold, math.Inf(1)
		}
		return cold, max(0, fall)*p.tank.volL*changes*w.slack + given
	}
	days := math.Floor(dt/perDayH) + 1
	floor = max(low, s.water.c-min(days*l.TemperaturePerDay, changes*l.TemperatureStep))
	room := s.water.c - floor
	if changes == 1 {
		return s.water.c, p.tank.volL*room*w.slack + given
	}
	return floor, p.tank.volL*used(s.water.c, floor, w.coldest, changes)*w.slack + given
}

// used is how many kelvin of the way from a temperature to a floor changes can use at best.
// The warmer the system, the more heat goes out with what is removed: of n changes those by
// equal ratios of T − coldest waste least.
func used(from, floor, coldest, changes float64) float64 {
	above, all := floor-coldest, from-coldest
	if above <= 0 || all <= above {
		return from - floor
	}
	x := math.Log(all / above) // n (1 − (above/all)^(1/n)) for n without end
	if changes > 0 && !math.IsInf(changes, 1) {
		x = -changes * math.Expm1(-x/changes)
	}
	return min(all-above, x*above)
}

// leastUsed is less than used, and takes no time: what a single change can use.
func leastUsed(from, floor, coldest, _ float64) float64 {
	above, all := floor-coldest, from-coldest
	if above <= 0 || all <= above {
		return from - floor
	}
	return (all - above) * above / all * (1 - tie)
}

// leastLitreHeat is less than the heat capacity of a litre of any water, J/K: at salinity 0 to
// 42 and 0 to 40 °C it is 4063 to 4217. At one salinity it differs by less than a fiftieth, and
// for each unit of salinity by less than a thousandth more.
const (
	leastLitreHeat = 4060
	heatSlack      = 1.02
	heatPerUnit    = 0.001
)

// madeBy is the most litres that purified water can have been made into or added as by
// time h.
func (w *outlook) madeBy(h float64) float64 { return w.cutBy(h) + w.batchBy(h) }

// cutBy is the most purified water that vats can have been cut with.
func (w *outlook) cutBy(h float64) float64 {
	cutH := w.p.works.cutH
	if h < w.s.atH+cutH {
		return 0
	}
	return min(w.cutL, max(0, w.pureBy(h-cutH))*cutSwell)
}

// cutSwell is more than the litres that a litre of purified water adds to a vat.
const cutSwell = 1.01

// batchBy is the most that can have been mixed.
func (w *outlook) batchBy(h float64) float64 {
	p, s := w.p, w.s
	if len(p.works.salts) == 0 || h < s.atH+p.works.mixH {
		return 0
	}
	return min(w.saltBy(h-p.works.mixH), max(0, w.pureBy(h-p.works.mixH))/w.leanest)
}

// saltBy is what the salt that there can be by time h makes, in litres.
func (w *outlook) saltBy(h float64) float64 {
	salt := w.p.saltLitres(w.s)
	for _, a := range w.p.works.comes[w.s.comes:] {
		if a.atH <= h && len(w.p.works.salts) > 0 {
			salt += a.saltKg / w.p.works.salts[0].kgPerL
		}
	}
	return salt
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
