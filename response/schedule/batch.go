package schedule

import "math"

// start is one way to begin a batch: how much, in which vat, and when its purified
// water is there.
type start struct {
	vat    int // -1: none now
	litres float64
	fromH  float64
	never  bool // with -1: none for the sake of badly fitting water at all
}

// leastBatch is the share of a full-size change below which a batch is not started,
// nor a change waited for, while more water is still being purified: a trickle of small
// batches is much work for little.
const leastBatch = 0.25

// starts lists the ways to begin a batch at this moment: as large as still needed, if
// the water and salt for it are there. While water is still being purified, what is
// there now if that is worth it, else when there is enough for the next change; where
// that does not do, all of these, the whole of what is needed, half of it, and what
// deliveries will leave of it are tried. Nothing is listed when no batch can begin.
func (j *job) starts(f *frame, list []start) []start {
	if f.waiting.vat >= 0 || len(j.salts) == 0 || f.changes >= mostSteps {
		return list
	}
	saltL := j.saltLitres(f)
	if saltL <= leastDrawL {
		return list
	}
	need := j.idealAhead(f) - j.stock(f)
	odd := 0.0
	if !f.settled {
		odd = j.odd(f)
	}
	if need+odd <= leastDrawL {
		return list
	}
	if need > leastDrawL {
		need = max(need, leastChange*j.volL) // nobody mixes a cupful
		list = j.startsFor(f, min(need, saltL), list)
		if less := need - j.toCome(f); j.wide && less > leastDrawL && less < need {
			list = j.startsFor(f, min(less, saltL), list)
		}
		if len(list) > 0 && !j.free(f, list[0].vat, true) && !j.nothingToDraw(f) {
			list = append(list, start{vat: -1})
		}
	}
	if odd > 0 {
		n := len(list)
		list = j.startsFor(f, min(max(0, need)+odd, saltL), list)
		if n == 0 && len(list) > 0 {
			list = append(list, start{vat: -1, never: true})
		}
	}
	return list
}

// idealAhead is the water still needed: where something is added or comes back out of
// rock, also as things will stand when a batch begun now is mixed.
func (j *job) idealAhead(f *frame) float64 {
	ideal, _ := j.litresNeeded(f)
	inert := true
	for a := range j.aims {
		inert = inert && j.aims[a].inert
	}
	if inert || f.nextH > f.atH+j.mixH {
		return ideal
	}
	now := append(j.now[:0], f.conc...)
	j.now = now
	for a := range f.conc {
		f.conc[a] = j.aims[a].dynamics.After(f.conc[a], j.mixH)
	}
	later, _ := j.litresNeeded(f)
	copy(f.conc, now)
	return max(ideal, later)
}

// odd is stored water that no heater will make fit and that the limits therefore
// let in only by and by: it is worth a batch beside it.
func (j *job) odd(f *frame) float64 {
	sum := 0.0
	for i := range f.vats {
		v := &f.vats[i]
		if v.batch == 0 && math.IsInf(v.warmH, 1) && j.mismatch(f, v, v.at(f.atH))*j.mostL > j.volL {
			sum += v.usable(&j.vessels[i], f.atH)
		}
	}
	return min(sum, j.mostL)
}

// startsFor lists the ways to make up to the given litres: in the best vat at its heel
// or spare; else on top of what the best vat holds, if next to nothing can be drawn from
// any, or if it is mixed before the next change may start, so that nothing has to wait
// for it. Where that is tried for need, on top of what any holds.
func (j *job) startsFor(f *frame, litres float64, list []start) []start {
	if vat := j.vatFor(f, litres, true); vat >= 0 {
		return j.startsIn(f, vat, litres, list)
	}
	if j.mixing(f) || !j.onTop && !j.nothingToDraw(f) && f.atH+j.mixH > f.nextH {
		return list
	}
	if !j.onTop {
		if vat := j.vatFor(f, litres, false); vat >= 0 {
			list = j.startsIn(f, vat, litres, list)
		}
		return list
	}
	for vat := range f.vats {
		if j.free(f, vat, false) && j.vessels[vat].capL-f.vats[vat].volL > leastDrawL {
			list = j.startsIn(f, vat, litres, list)
		}
	}
	return list
}

// nothingToDraw reports whether what can be drawn is too little for a change.
func (j *job) nothingToDraw(f *frame) bool { return j.drawable(f) < leastChange*j.volL }

// mixing reports whether a batch is being mixed.
func (j *job) mixing(f *frame) bool {
	for i := range f.vats {
		if f.vats[i].readyH > f.atH && j.vessels[i].mixes {
			return true
		}
	}
	return false
}

// startsIn lists the ways to make up to the given litres in a vat.
func (j *job) startsIn(f *frame, vat int, litres float64, list []start) []start {
	had := len(list)
	litres += max(0, j.vessels[vat].heelL-f.vats[vat].volL) // out of reach once it is in
	litres = min(min(litres, j.saltLitres(f)), j.vessels[vat].capL-f.vats[vat].volL)
	pure := j.pureAt(f, f.atH)
	take := j.pureFor(f, litres)
	if pure >= take*(1-tie) {
		return appendStart(list, start{vat: vat, litres: litres, fromH: f.atH})
	}
	worth := leastBatch * j.mostL
	if now := j.litresFrom(f, pure); now > 0 && (j.rateLH <= 0 || now >= worth) {
		list = appendStart(list, start{vat: vat, litres: min(now, litres), fromH: f.atH})
	}
	if j.rateLH <= 0 || len(list) > had && !j.wide {
		return list
	}
	wait := func(x float64) start {
		return start{vat: vat, litres: x, fromH: max(f.atH, f.pureH) + max(0, j.pureFor(f, x)-pure)/j.rateLH}
	}
	next := min(litres, j.mostL-max(0, j.drawable(f)))
	if next >= worth && next < litres {
		list = appendStart(list, wait(next))
		if !j.wide {
			return list
		}
	}
	list = appendStart(list, wait(litres))
	if j.wide && litres >= worth {
		list = appendStart(list, wait(litres/2))
	}
	return list
}

// toCome is the saltwater still to be delivered.
func (j *job) toCome(f *frame) float64 {
	sum := 0.0
	for i := range f.vats {
		if w := &j.vessels[i]; w.store < 0 && w.fromH > f.atH {
			sum += f.vats[i].volL
		}
	}
	return sum
}

// appendStart leaves out what is already listed.
func appendStart(list []start, s start) []start {
	for _, o := range list {
		if o.vat == s.vat && near(o.litres, s.litres) && near(o.fromH, s.fromH) {
			return list
		}
	}
	return append(list, s)
}

// free reports whether a batch can be begun in a vat now; empty asks for one at its
// heel or spare, but for what is too little for a change.
func (j *job) free(f *frame, vat int, empty bool) bool {
	v, w := &f.vats[vat], &j.vessels[vat]
	return w.mixes && v.readyH <= f.atH && v.usedH <= f.atH && max(w.fromH, w.mixFromH) <= f.atH && !(empty && v.volL >= w.heelL+max(leastDrawL, leastChange*j.volL)) &&
		!j.staysCold(f, v, w)
}

// staysCold reports whether what is mixed in a vat could never be used: the vat has no
// heater, the system is kept at its lowest temperature, and the water is below that.
func (j *job) staysCold(f *frame, v *vat, w *vessel) bool {
	low := float64(j.limits.TemperatureLow)
	return w.heaterW <= 0 && j.ownC <= low+limitSlack && max(j.pureTemperature(f), v.at(f.atH)) < low-limitSlack
}

// vatFor returns the free vat in which most of the litres can be made; among equals
// where least has to wait that could be drawn, then the one that is warm first. -1 when
// there is none.
func (j *job) vatFor(f *frame, litres float64, empty bool) int {
	best := -1
	var bestL, bestHeld, bestWarm float64
	for i := range f.vats {
		v, w := &f.vats[i], &j.vessels[i]
		x := min(litres, w.capL-v.volL)
		if !j.free(f, i, empty) || x <= leastDrawL {
			continue
		}
		held, warm := v.usable(w, f.atH), math.MaxFloat64
		if w.heaterW > 0 {
			warm = (v.volL + x) / w.heaterW
		}
		equal := best >= 0 && near(x, bestL)
		if best < 0 || !equal && x > bestL || equal && (held < bestHeld || held == bestHeld && warm < bestWarm) {
			best, bestL, bestHeld, bestWarm = i, x, held, warm
		}
	}
	return best
}
