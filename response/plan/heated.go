package plan

import (
	"slices"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// coveredShare is the share of what a vat holds at its brim below which its water is not taken to cover its heater, which
// hangs near the bottom. A rule of this tool: where it really hangs no file says.
const coveredShare = 0.1

// Covers reports whether a vat with so many litres in it is taken to cover its heater: more than what is left at the bottom.
func Covers(st *site.Store, litres float64) bool {
	return litres > max(float64(st.Heel), coveredShare*float64(st.Capacity))
}

// Heated are the vats of which the changes count on more warmth than they have: those whose heaters may be on from the
// start, and those that are to be filled first. A heater that is switched on in a vat that is all but empty burns.
func (p *Plan) Heated(stores []site.Store, warmer units.Celsius) (now, filled []string) {
	for i := range stores {
		st := &stores[i]
		k := slices.IndexFunc(p.Steps, func(s Step) bool { return p.warmed(&s, st, warmer) != nil })
		if st.HeaterW <= 0 || k < 0 {
			continue
		}
		if d := p.warmed(&p.Steps[k], st, warmer); Covers(st, st.Volume.InexactFloat64()) && !p.refilled(d.Batch) {
			now = append(now, st.ID)
		} else {
			filled = append(filled, st.ID)
		}
	}
	return now, filled
}

// warmed is what a change draws of a vat warmer than it is; nil for none.
func (p *Plan) warmed(s *Step, st *site.Store, warmer units.Celsius) *Draw {
	k := slices.IndexFunc(s.From, func(d Draw) bool {
		return d.StoreID == st.ID && units.Celsius(d.Temperature) > st.Water.Temperature+warmer
	})
	if k < 0 {
		return nil
	}
	return &s.From[k]
}

// refilled reports whether the vat of a batch is empty when that is mixed.
func (p *Plan) refilled(batch int) bool {
	k := slices.IndexFunc(p.Batches, func(b Batch) bool { return b.N == batch })
	return k >= 0 && !p.Batches[k].OnTop
}
