package incident

import (
	"slices"

	"tidehold/response/plan"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// Breach is a reading at a limit of what the animals bear, or beyond it, as the cards count it. Temperatures are °C, oxygen
// is mg/L.
type Breach struct {
	Entry int        `json:"entry"`
	Limit plan.Limit `json:"limit"`
	Is    float64    `json:"is"`
	Bound float64    `json:"bound"`
}

// Breaches are the readings of an entry at a limit of its system or beyond, oxygen first: it kills
// soonest. Temperature and salinity are left out where the system is kept beyond their limits, which are
// then of other animals.
func (l Log) Breaches(sys *site.System, entry int) (list []Breach) {
	k := slices.IndexFunc(l.Items, func(it Item) bool { return it.ID == entry && it.Kind == stock.Reading })
	if k < 0 {
		return nil
	}
	v, x := l.Items[k].Values, sys.Limits
	low := func(limit plan.Limit, is *float64, bound float64) {
		if is != nil && *is <= bound {
			list = append(list, Breach{entry, limit, *is, bound})
		}
	}
	high := func(limit plan.Limit, is *float64, bound float64) {
		if is != nil && *is >= bound {
			list = append(list, Breach{entry, limit, *is, bound})
		}
	}
	low(plan.OxygenLow, v.OxygenMgL, x.OxygenLow)
	if own := sys.Water.Temperature; own > x.TemperatureLow && own < x.TemperatureHigh {
		low(plan.TemperatureLow, v.TempC, float64(x.TemperatureLow))
		high(plan.TemperatureHigh, v.TempC, float64(x.TemperatureHigh))
	}
	if own := sys.Water.Salinity; own > x.SalinityLow && own < x.SalinityHigh {
		low(plan.SalinityLow, v.Salinity, float64(x.SalinityLow))
		high(plan.SalinityHigh, v.Salinity, float64(x.SalinityHigh))
	}
	return list
}

// Unborne are the breaches of what was read last of oxygen, temperature and salinity, oxygen first: a later reading of the
// same within the limits ends one, and so does a change that by the reckoning brought the water back.
func (st *State) Unborne() (list []Breach) {
	last := map[plan.Limit]int{}
	for _, it := range st.Log.Items {
		if it.Kind != stock.Reading {
			continue
		}
		for limit, read := range map[plan.Limit]*float64{
			plan.OxygenLow: it.Values.OxygenMgL, plan.TemperatureLow: it.Values.TempC, plan.TemperatureHigh: it.Values.TempC,
			plan.SalinityLow: it.Values.Salinity, plan.SalinityHigh: it.Values.Salinity,
		} {
			if read != nil {
				last[limit] = it.ID
			}
		}
	}
	now, x := st.Water.State, st.System.Limits
	back := map[plan.Limit]bool{
		plan.TemperatureLow: now.Temperature > float64(x.TemperatureLow), plan.TemperatureHigh: now.Temperature < float64(x.TemperatureHigh),
		plan.SalinityLow: now.Salinity > float64(x.SalinityLow), plan.SalinityHigh: now.Salinity < float64(x.SalinityHigh),
	}
	for _, limit := range []plan.Limit{plan.OxygenLow, plan.TemperatureLow, plan.TemperatureHigh, plan.SalinityLow, plan.SalinityHigh} {
		for _, b := range st.Log.Breaches(st.System, last[limit]) {
			if b.Limit == limit && !back[limit] {
				list = append(list, b)
			}
		}
	}
	return list
}
