package incident

import (
	"slices"

	"tidehold/response/plan"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// Breach is a reading at a limit of what the animals bear, or beyond it, as the cards count it.
type Breach struct {
	Limit     plan.Limit
	Is, Bound float64
}

// Breaches are the readings of an entry at a limit of its system or beyond, oxygen first: it kills
// soonest. Salinity is left out where the system is kept beyond the limits, which are then of other
// animals.
func (l Log) Breaches(sys *site.System, entry int) (list []Breach) {
	k := slices.IndexFunc(l.Items, func(it Item) bool { return it.ID == entry && it.Kind == stock.Reading })
	if k < 0 {
		return nil
	}
	v, x := l.Items[k].Values, sys.Limits
	low := func(limit plan.Limit, is *float64, bound float64) {
		if is != nil && *is <= bound {
			list = append(list, Breach{limit, *is, bound})
		}
	}
	high := func(limit plan.Limit, is *float64, bound float64) {
		if is != nil && *is >= bound {
			list = append(list, Breach{limit, *is, bound})
		}
	}
	low(plan.OxygenLow, v.OxygenMgL, x.OxygenLow)
	low(plan.TemperatureLow, v.TempC, float64(x.TemperatureLow))
	high(plan.TemperatureHigh, v.TempC, float64(x.TemperatureHigh))
	if own := sys.Water.Salinity; own > x.SalinityLow && own < x.SalinityHigh {
		low(plan.SalinityLow, v.Salinity, float64(x.SalinityLow))
		high(plan.SalinityHigh, v.Salinity, float64(x.SalinityHigh))
	}
	return list
}
