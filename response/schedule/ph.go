package schedule

import (
	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
)

// mixedPH is the pH of the system after a change: that of the water that stays mixed
// with what is drawn, by alkalinity and dissolved carbon; the highest of them where the
// carbonate constants do not reach. No limit depends on it, so only the plan that is
// written down works it out.
func (p *problem) mixedPH(s *state, ch *change) float64 {
	waters := []mixing.Buffered{buffered(s.water, p.tank.volL-ch.litres, s.water.ph)}
	for _, d := range ch.draws {
		v := &s.vats[d.vat]
		waters = append(waters, buffered(water{s: v.s, c: v.at(s.atH), alk: v.alk, ph: v.ph}, d.litres, s.water.ph))
	}
	pH, _, err := mixing.BlendPHOrHighest(waters...)
	if err != nil {
		return ch.after.ph // the highest of the two, as the search left it
	}
	return pH
}

// buffered is a parcel of a water; one whose pH nobody knows has the system's, one
// whose alkalinity nobody knows that of natural seawater.
func buffered(w water, litres, systemPH float64) mixing.Buffered {
	b := mixing.Buffered{PH: w.ph, AlkalinityMeqL: salinity.AlkalinityFromDKH(w.alk).MeqPerLitre,
		Water: mixing.Water{Volume: units.Litres(litres), Salinity: units.Practical(w.s), Temperature: units.Celsius(w.c)}}
	if b.PH == 0 {
		b.PH = systemPH
	}
	if w.alk == 0 {
		if natural, err := mixing.NaturalAlkalinityMeqL(b.Water); err == nil {
			b.AlkalinityMeqL = natural
		}
	}
	return b
}
