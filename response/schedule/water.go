package schedule

import "math"

// drawable is the saltwater that may be drawn now: what is ready, less heels and
// the reserve.
func (p *problem) drawable(s *state) float64 {
	sum := p.outsideL - p.reserveL
	for i := range s.vats {
		sum += s.vats[i].usable(&p.vessels[i], s.atH)
	}
	return sum
}

// pureAt is the purified water at hand at time h, less the reserve. While a batch
// waits for it, the vat takes what the purified stores cannot.
func (p *problem) pureAt(s *state, h float64) float64 {
	x := s.pure.litres + p.works.rateLH*max(0, h-s.pure.atH)
	if s.ask.planned.vat < 0 {
		x = min(x, max(s.pure.litres, p.works.roomL))
	}
	return x
}

// pureC is the temperature of the purified water at hand: what has been made since has
// the feed's.
func (p *problem) pureC(s *state) float64 {
	had, now := max(0, s.pure.litres), p.pureAt(s, s.atH)
	if now <= had || now <= 0 {
		return s.pure.c
	}
	return (had*s.pure.c + (now-had)*p.works.feedC) / now
}

// saltLitres is what the salt at hand makes.
func (p *problem) saltLitres(s *state) float64 {
	sum := 0.0
	for k := range p.works.salts {
		sum += s.saltKg[k] / p.works.salts[k].kgPerL
	}
	return sum
}

// pureFor is the purified water that a batch takes, with the salts in their order.
func (p *problem) pureFor(s *state, litres float64) float64 {
	sum := 0.0
	for k := range p.works.salts {
		x := min(litres, s.saltKg[k]/p.works.salts[k].kgPerL)
		sum += x * p.works.salts[k].purePerL
		litres -= x
	}
	return sum
}

// litresFrom is the inverse of pureFor.
func (p *problem) litresFrom(s *state, pure float64) float64 {
	sum := 0.0
	for k := range p.works.salts {
		x := min(max(0, pure)/p.works.salts[k].purePerL, s.saltKg[k]/p.works.salts[k].kgPerL)
		sum += x
		pure -= x * p.works.salts[k].purePerL
	}
	return sum
}

// toSalinity is how many litres a litre of a salinity becomes at the system's: by cutting
// with purified water, or by lifting with salt.
func (p *problem) toSalinity(s float64) float64 {
	if by, ok := p.scratch.grown.find(s); ok {
		return by
	}
	own, c := p.tank.own.s, p.tank.own.c
	by := math.Inf(1)
	switch {
	case own <= 0:
	case s > own:
		by = saltShare(s) * kgPerLitre(s, c) / (saltShare(own) * kgPerLitre(own, c))
	default:
		by = (1 - saltShare(s)) * kgPerLitre(s, c) / ((1 - saltShare(own)) * kgPerLitre(own, c))
	}
	return p.scratch.grown.keep(s, by)
}

// usableNow is the stored saltwater left for this demand, less the reserve.
func (p *problem) usableNow() float64 {
	sum := p.outsideL - p.reserveL
	for i := range p.vessels {
		if v, w := &p.start.vats[i], &p.vessels[i]; w.store >= 0 && v.readyH <= slackH {
			sum += max(0, v.volL-w.heelL)
		}
	}
	return max(0, sum)
}
