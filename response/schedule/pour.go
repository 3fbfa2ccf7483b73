package schedule

import "math"

// litresBy is the most that can be poured by time h in a number of changes, each litre by
// its worth; none: in any one change after the first.
func (r *reach) litresBy(h, changes float64) float64 {
	x, n := &r.lp, len(r.waters)
	x.begin(n + len(r.heaters)) // the last are the heat of the vats' heaters, kJ
	made, total := r.stock(h)
	if total <= 0 {
		return 0
	}
	all := x.constrain(total)
	for k := range r.waters {
		if r.waters[k].kind != lifting {
			all[k] = 1
		}
	}
	if !math.IsInf(changes, 1) {
		total = min(total, max(1, changes)*r.p.tank.mostL)
		copy(x.constrain(total), all)
	}
	if made > 0 {
		r.share(h, made)
	}
	r.warm(h, changes)
	r.limit(h, changes)
	r.litres = append(r.litres[:0], make([]float64, len(x.gain))...)
	if !x.solve(r.litres) {
		return total
	}
	sum := 0.0
	for k := range r.waters {
		sum += r.litres[k] * r.waters[k].worth
	}
	return sum * (1 + mixes)
}

// mixes is more than the share by which litres of unlike waters differ from the litres they
// make together, where the programme adds them up.
const mixes = 5e-6

// anyOne asks litresBy for the most of any one change.
const anyOne = 0

// stock fills in how much there can be of each water by time h, and returns what can have
// been made, and all that can be poured.
func (r *reach) stock(h float64) (made, total float64) {
	p, x := r.p, &r.lp
	batch, cut := r.batchBy(h), r.cutBy(h)
	made = batch + cut
	total = made - p.reserveL
	for k := range r.waters {
		w := &r.waters[k]
		x.gain[k], x.most[k] = w.worth, 0
		if w.fromH > h {
			continue
		}
		switch w.kind {
		case stored:
			x.most[k] = w.litres
			total += w.litres
		case heel: // takes a batch in for what it gives
			if made > 0 {
				x.most[k] = w.litres
			}
		case mixed:
			x.most[k] = batch
		case cutting:
			x.most[k] = cut
		case lifting:
			if h >= r.s.atH+p.works.mixH {
				x.most[k] = r.saltBy(h-p.works.mixH) * p.works.salts[w.of].kgPerL
			}
		}
	}
	return made, total
}

// share adds that batches share the salt with vats that are lifted, and the purified water
// with those that are cut, and that no heel gives more than it takes in.
func (r *reach) share(h, made float64) {
	p, x := r.p, &r.lp
	heels := x.constrain(made)
	for k := range r.waters {
		if r.waters[k].kind == heel {
			heels[k] = 1
		}
	}
	r.bring()
	leanest := math.Inf(1)
	for k := range p.works.salts {
		leanest = min(leanest, p.works.salts[k].purePerL)
	}
	if len(p.works.salts) > 0 {
		row := x.constrain(r.saltBy(h - p.works.mixH))
		for k := range r.waters {
			switch w := &r.waters[k]; w.kind {
			case mixed:
				row[k] = 1
			case lifting:
				row[k] = 1 / p.works.salts[w.of].kgPerL
			}
		}
	}
	for j := range r.pures {
		// Cut water may be drawn sooner, so that it finds more.
		row := x.constrain(r.pures[j].by(h - min(p.works.cutH, p.works.mixH)))
		for k := range r.waters {
			switch w := &r.waters[k]; {
			case w.kind == mixed && w.of == j:
				row[k] = leanest
				x.most[k] = min(x.most[k], r.pures[j].by(h-p.works.mixH)/leanest)
			case w.kind == cutting && w.of == j:
				row[k] = 1 / cutSwell
				x.most[k] = min(x.most[k], r.pures[j].by(h-p.works.cutH)*cutSwell)
			}
		}
	}
}

// bring adds that no more purified water is poured than the saltier water that is poured with it takes to
// come down to the system's salinity, and no more salt than the fresher takes to come up: vats are cut and
// lifted that far and no further, whatever part of them is poured then.
func (r *reach) bring() {
	down, up := r.lp.constrain(0), r.lp.constrain(0)
	for k := range r.waters {
		switch w := &r.waters[k]; w.kind {
		case cutting:
			down[k] = 1
		case lifting:
			up[k] = 1
		default:
			down[k], up[k] = -w.cutBy, -w.liftBy
		}
	}
}

// warm adds what each heater can give by time h, and that it gives it to water in its vat,
// none of which it warms beyond the system's temperature.
func (r *reach) warm(h, changes float64) {
	x, dt := &r.lp, max(0, h-r.s.atH)*secondsPerHour
	for k, w := range r.heaters {
		column := len(r.waters) + k
		x.most[column] = w.watts * dt / 1000 * spread
		if changes == 1 {
			x.most[column] *= w.drawn
		}
		row := x.constrain(0)
		row[column] = 1
		for j := range r.waters {
			if in := &r.waters[j]; in.of == w.vat && (in.kind == stored || in.kind == heel) || in.kind == mixed || in.kind == cutting {
				row[j] = -in.lacks * spread
			}
		}
	}
}
