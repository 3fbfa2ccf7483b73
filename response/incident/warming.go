package incident

import (
	"time"

	"tidehold/refs/units"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// warm sets the vats to what their heaters have made of them since they were last measured, or since the first of
// the open incidents began: the plan says that they are on from the start. By the record alone a change that waited for a
// warm vat was put off by an hour with each hour.
func (st *State) warm(s *site.Site, entered []stock.Entry, since time.Time) {
	st.warmed = map[string]units.Celsius{}
	target := float64(st.System.Water.Temperature)
	for i := range s.Stores {
		v := &s.Stores[i]
		if v.Holds != site.Saltwater || v.HeaterW <= 0 {
			continue
		}
		at, celsius, drawn := measured(v, entered, since)
		jk, err := mixing.LitreHeat(v.Water.Salinity, v.Water.Temperature)
		hours, litres := st.Now.Sub(at).Hours(), v.Volume.InexactFloat64()+drawn
		if err != nil || hours <= 0 || litres <= 0 || celsius >= target {
			continue
		}
		b := mixing.Body{CapacityJK: litres * jk, InputW: v.HeaterW, RoomC: float64(st.System.Ambient.Usual)}
		if v.HeatLossWK != nil {
			b.LossWK = *v.HeatLossWK
		}
		if b.NetW(celsius) > 0 {
			celsius = min(target, b.Course(celsius).At(hours))
		}
		st.warmed[v.ID] = units.Celsius(celsius)
	}
}

// warmedAsRead leaves of the vats that are warmer than by their record those that a thermometer showed so as they were
// poured, no warmer than it showed: a vat that has warmed since, unread, makes no change one that was to be larger. By the
// cold record no rest was asked for of a change of a warm vat that broke off half way.
func (st *State) warmedAsRead(pours []stock.Pour) {
	read := map[string]units.Celsius{}
	for _, p := range pours {
		if c, warm := st.warmed[p.Store]; warm && p.TemperatureC != nil && !p.TempRecorded {
			read[p.Store] = min(c, units.Celsius(*p.TemperatureC))
		}
	}
	st.warmed = read
}

// measured is when the water of a vat was last known, its temperature then, and the litres drawn since, which were
// heated too.
func measured(v *site.Store, entered []stock.Entry, since time.Time) (at time.Time, celsius, drawn float64) {
	at, celsius = since, float64(v.Water.Temperature)
	for _, e := range entered {
		switch {
		case e.Kind == stock.Change:
			pours, _ := e.Pours() // what cannot be read is told where the log is read
			for _, p := range pours {
				switch {
				case p.Store != v.ID:
				case p.TemperatureC != nil && !p.TempRecorded:
					at, celsius, drawn = e.Time, *p.TemperatureC, 0
				default:
					drawn += p.Litres.InexactFloat64()
				}
			}
		case e.Store != v.ID:
		case e.Kind == stock.Draw:
			drawn += e.Litres.InexactFloat64()
		case e.Kind == stock.Mixed, e.Kind == stock.Add, e.Kind == stock.Tested && e.TemperatureC != nil:
			at, celsius, drawn = e.Time, float64(v.Water.Temperature), 0
		}
	}
	return at, celsius, drawn
}
