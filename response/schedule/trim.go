package schedule

import (
	"math"

	"tidehold/response/plan"
)

// trim gives back what is not needed to reach every target that is still ahead:
// from the worst match on or, where waters that lean either way hold each other
// within the limits, from all alike.
func (j *job) trim(f *frame, ch *change, alike bool) {
	gone := j.gone[:0]
	for range j.aims {
		gone = append(gone, 0)
	}
	j.gone = gone
	kept := 0
	for ; kept < len(ch.draws) && !ch.trimmed; kept++ {
		d := &ch.draws[kept]
		need := 0.0
		for a := range j.aims {
			if f.reached(a) {
				continue
			}
			fall := j.fall(f, a, d.vat)
			ahead := f.conc[a].UgL - j.aims[a].target - gone[a]
			gone[a] += fall * d.litres
			switch {
			case ahead <= 0:
			case fall <= 0:
				need = math.Inf(1)
			default:
				need = max(need, ahead/fall)
			}
		}
		// What was mixed to measure may be short of it by rounding.
		if need <= d.litres*(1+tie) {
			ch.trimmed = true
			if !alike {
				d.litres = min(d.litres, need)
			}
		}
	}
	if !ch.trimmed {
		return
	}
	if alike {
		j.scale(f, ch)
	} else {
		ch.draws = ch.draws[:kept]
	}
	ch.litres, ch.by = 0, plan.ToTarget
	for _, d := range ch.draws {
		ch.litres += d.litres
	}
}

// scale makes all draws smaller in proportion until the last target is just met.
func (j *job) scale(f *frame, ch *change) {
	share := 0.0
	for a := range j.aims {
		if f.reached(a) {
			continue
		}
		fall := 0.0
		for _, d := range ch.draws {
			fall += j.fall(f, a, d.vat) * d.litres
		}
		share = max(share, (f.conc[a].UgL-j.aims[a].target)/fall)
	}
	for i := range ch.draws {
		ch.draws[i].litres *= min(1, share)
	}
}

// fall is what a litre from a vat takes off an aim's concentration.
func (j *job) fall(f *frame, a, vat int) float64 {
	return (f.conc[a].UgL - f.levels[vat*len(j.aims)+a]) / j.aims[a].dynamics.VolumeL
}
