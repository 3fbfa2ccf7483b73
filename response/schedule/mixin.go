package schedule

// pureAt is the purified water at hand at time h ≥ f.pureH, less the reserve. While
// a batch waits for it, the vat takes what the purified stores cannot.
func (j *job) pureAt(f *frame, h float64) float64 {
	p := f.pureL + j.rateLH*max(0, h-f.pureH)
	if f.waiting.vat < 0 {
		p = min(p, max(f.pureL, j.pureRoomL))
	}
	return p
}

// saltLitres is what the salt at hand makes.
func (j *job) saltLitres(f *frame) float64 {
	sum := 0.0
	for k := range j.salts {
		sum += f.saltKg[k] / j.salts[k].kgPerL
	}
	return sum
}

// pureFor is the purified water that a batch takes, with the salts in their order.
func (j *job) pureFor(f *frame, litres float64) float64 {
	sum := 0.0
	for k := range j.salts {
		x := min(litres, f.saltKg[k]/j.salts[k].kgPerL)
		sum += x * j.salts[k].purePerL
		litres -= x
	}
	return sum
}

// litresFrom is the inverse of pureFor.
func (j *job) litresFrom(f *frame, pure float64) float64 {
	sum := 0.0
	for k := range j.salts {
		x := min(max(0, pure)/j.salts[k].purePerL, f.saltKg[k]/j.salts[k].kgPerL)
		sum += x
		pure -= x * j.salts[k].purePerL
	}
	return sum
}

// begin starts a batch, or waits for its water. Another vat may then be free.
func (j *job) begin(f *frame, s start) {
	f.mix = s.vat >= 0 || s.never
	switch {
	case s.vat < 0:
		f.settled = f.settled || s.never
	case s.fromH > f.atH:
		f.pureL, f.pureC = j.pureAt(f, f.atH), j.pureTemperature(f)
		f.pureH = max(f.pureH, f.atH)
		f.waiting = waiting{s.vat, s.litres, s.fromH}
	default:
		j.mixIn(f, s.vat, s.litres)
	}
}

// pureTemperature is that of the purified water at hand: what has been made since
// f.pureH has the feed's temperature.
func (j *job) pureTemperature(f *frame) float64 {
	had, now := max(0, f.pureL), j.pureAt(f, f.atH)
	if now <= had || had <= 0 && now <= 0 {
		return f.pureC
	}
	return (had*f.pureC + (now-had)*j.feedC) / now
}

// mixIn puts water and salt for a batch into a vat now.
func (j *job) mixIn(f *frame, vat int, litres float64) {
	c, pure := j.pureTemperature(f), j.pureFor(f, litres)
	f.pureL, f.pureC, f.pureH = j.pureAt(f, f.atH)-pure, c, max(f.pureH, f.atH)
	f.waiting = waiting{vat: -1}
	v, w := &f.vats[vat], &j.vessels[vat]
	oldL, oldS, oldC := v.volL, v.s, v.at(f.atH)
	taken := litres
	var kg float64
	for k := range j.salts {
		x := min(taken, f.saltKg[k]/j.salts[k].kgPerL)
		if x <= 0 {
			continue
		}
		f.saltKg[k] -= x * j.salts[k].kgPerL
		kg += x * j.salts[k].kgPerL
		taken -= x
		j.pour(f, vat, k, x)
	}
	f.batches++
	all := content{}.plus(litreOf(oldS, oldC), oldL).plus(litreOf(j.batchS, c), litres)
	v.s, c = all.state(c)
	v.batch, v.readyH, v.usedH = f.batches, f.atH+j.mixH, f.atH
	v.heat(w, c, f.atH, j.ownC)
	if j.record != nil {
		j.record.batch(j, f, vat, litres, pure, kg, oldL > w.heelL+leastDrawL)
	}
}

// pour adds x litres made with salt k to the vat's chemistry and volume.
func (j *job) pour(f *frame, vat, k int, x float64) {
	v, salt := &f.vats[vat], &j.salts[k]
	old := v.volL / (v.volL + x)
	mean := func(a, b float64) float64 { return a*old + b*(1-old) }
	v.alk, v.ca, v.mg = mean(v.alk, salt.alk), mean(v.ca, salt.ca), mean(v.mg, salt.mg)
	v.ph = max(v.ph, salt.ph)
	levels := f.levels[vat*len(j.aims):]
	for a := range j.aims {
		levels[a] = mean(levels[a], salt.background[a])
	}
	v.volL += x
}
