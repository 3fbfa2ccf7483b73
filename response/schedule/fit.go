package schedule

import (
	"math"

	"tidehold/response/plan"
)

// shrink takes all waters back alike until every limit is kept. The quantities are
// almost linear in the share: false position from none at all.
func (t *table) shrink(p *problem, s *state) {
	state := p.inside(s)
	outside := t.mixed(p, s, 1)
	low, high := 0.0, 1.0
	way, _, left := t.bands.leave(state, outside)
	if !left {
		return
	}
	for range 8 {
		mid := low + way*(high-low)
		if mid <= low || mid >= high {
			break
		}
		at := t.mixed(p, s, mid)
		if _, _, out := t.bands.leave(state, at); out {
			high, outside = mid, at
		} else {
			low, state = mid, at
		}
		if way, _, left = t.bands.leave(state, outside); !left || way*(high-low) < 1e-12 {
			break
		}
	}
	for i := range t.litres {
		t.litres[i] *= low
	}
}

// trim gives back what is not needed to reach every target that is still ahead: from the
// last water on or, where the rest would then break a limit, from all alike.
func (t *table) trim(p *problem, s *state, ch *change) {
	share, reaches := p.shareNeeded(s, ch.draws)
	if !reaches {
		return
	}
	ch.trimmed, ch.by = true, plan.ToTarget
	if t.cut(p, s, ch) {
		return
	}
	ch.litres = 0
	for i := range ch.draws {
		ch.draws[i].litres *= share
		ch.litres += ch.draws[i].litres
	}
}

// shareNeeded is the share of the draws that just reaches every target; false when all of
// them do not.
func (p *problem) shareNeeded(s *state, draws []draw) (share float64, reaches bool) {
	for a := range p.aims {
		ahead := s.conc[a].UgL - p.aims[a].target
		if s.reached(a) || ahead <= 0 {
			continue
		}
		fall := 0.0
		for _, d := range draws {
			fall += p.fall(s, a, d.vat) * d.litres
		}
		if !(fall > 0) {
			return 0, false
		}
		share = max(share, ahead/fall)
	}
	// What was mixed to measure may be short of it by rounding.
	return min(share, 1), share > 0 && share <= 1+tie
}

// cut shortens the last draws to what is needed and reports whether the limits are kept.
func (t *table) cut(p *problem, s *state, ch *change) bool {
	kept := len(ch.draws)
	for kept > 1 {
		if _, ok := p.shareNeeded(s, ch.draws[:kept-1]); !ok {
			break
		}
		kept--
	}
	rest, last := ch.draws[:kept-1], ch.draws[kept-1]
	if last.litres = min(max(0, p.litresToTarget(s, rest, last.vat)), last.litres); math.IsNaN(last.litres) {
		return false
	}
	clear(t.litres)
	t.pour(rest)
	t.pour([]draw{last})
	if _, _, out := t.bands.leave(p.inside(s), t.mixed(p, s, 1)); out {
		return false
	}
	ch.draws = append(rest, last)
	ch.litres = t.sum()
	return true
}

// litresToTarget is what it takes of a vat, with the rest of the draws, to reach every target that is
// still ahead.
func (p *problem) litresToTarget(s *state, rest []draw, vat int) (litres float64) {
	for a := range p.aims {
		ahead := s.conc[a].UgL - p.aims[a].target
		if s.reached(a) || ahead <= 0 {
			continue
		}
		for _, d := range rest {
			ahead -= p.fall(s, a, d.vat) * d.litres
		}
		if ahead > 0 {
			litres = max(litres, ahead/p.fall(s, a, vat))
		}
	}
	return litres
}

// pour puts the litres of draws into the table.
func (t *table) pour(draws []draw) {
	for _, d := range draws {
		for i := range t.offers {
			if t.offers[i].vat == d.vat {
				t.litres[i] = d.litres
			}
		}
	}
}

// finish works out the system's water after the change.
func (t *table) finish(p *problem, s *state, ch *change) {
	clear(t.litres)
	share := 1 - ch.litres/p.tank.volL
	ch.after = s.water
	ch.after.ca, ch.after.mg = s.water.ca*share, s.water.mg*share
	t.pour(ch.draws)
	for _, d := range ch.draws {
		v := &s.vats[d.vat]
		ch.after.ca += v.ca * d.litres / p.tank.volL
		ch.after.mg += v.mg * d.litres / p.tank.volL
		if s.water.ph != 0 {
			ch.after.ph = max(ch.after.ph, v.ph)
		}
	}
	x := t.mixed(p, s, 1)
	ch.after.c, ch.after.s, ch.after.alk = x[ofTemperature], x[ofSalinity], x[ofAlkalinity]
}
