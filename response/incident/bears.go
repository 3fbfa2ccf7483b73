package incident

import (
	"math"
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

// borne is a quantity of which animals bear so much: the limits, where they lie, what instruments read of it, and what it is
// by the reckoning, and how that is known; nil where nothing is reckoned.
type borne struct {
	low, high plan.Limit
	bounds    func(x *site.Limits) (low, high float64)
	read      func(v *Values) *float64
	now       func(w plan.State) float64
	basis     func(w Water) Basis
}

// allBorne are those quantities, oxygen first: it kills soonest.
var allBorne = []borne{
	{plan.OxygenLow, "", func(x *site.Limits) (low, high float64) { return x.OxygenLow, math.Inf(1) },
		func(v *Values) *float64 { return v.OxygenMgL }, nil, nil},
	{plan.TemperatureLow, plan.TemperatureHigh, func(x *site.Limits) (low, high float64) { return float64(x.TemperatureLow), float64(x.TemperatureHigh) },
		func(v *Values) *float64 { return v.TempC }, func(w plan.State) float64 { return w.Temperature }, func(w Water) Basis { return w.TempBasis }},
	{plan.SalinityLow, plan.SalinityHigh, func(x *site.Limits) (low, high float64) { return float64(x.SalinityLow), float64(x.SalinityHigh) },
		func(v *Values) *float64 { return v.Salinity }, func(w plan.State) float64 { return w.Salinity }, func(w Water) Basis { return w.SalinityBasis }},
}

// breach is the limit that a value is at or beyond; "" for none.
func (b *borne) breach(is float64, x *site.Limits) (limit plan.Limit, bound float64) {
	switch low, high := b.bounds(x); {
	case is <= low:
		return b.low, low
	case is >= high:
		return b.high, high
	}
	return "", 0
}

// beyond is the limit that the water is at or beyond by the reckoning.
func (b *borne) beyond(w plan.State, x *site.Limits) plan.Limit {
	if b.now == nil {
		return ""
	}
	limit, _ := b.breach(b.now(w), x)
	return limit
}

// Breaches are the readings of an entry at a limit of its system or beyond, oxygen first. Temperature and salinity are left
// out where the system is kept beyond their limits, which are then of other animals.
func (l Log) Breaches(sys *site.System, entry int) (list []Breach) {
	items := l.sinceBefore()
	k := slices.IndexFunc(items, func(it Item) bool { return it.ID == entry && it.Kind == stock.Reading })
	if k < 0 {
		return nil
	}
	for i := range allBorne {
		b := &allBorne[i]
		is := b.read(items[k].Values)
		if is == nil || b.beyond(keptState(sys), &sys.Limits) != "" {
			continue
		}
		if limit, bound := b.breach(*is, &sys.Limits); limit != "" {
			list = append(list, Breach{entry, limit, *is, bound})
		}
	}
	return list
}

// Unborne are the breaches of what was read last of oxygen, temperature and salinity, oxygen first: a later reading of the
// same within the limits ends one, and so does a change that by the reckoning brought the water back.
func (st *State) Unborne() (list []Breach) {
	for i := range allBorne {
		b, last := &allBorne[i], 0
		for _, it := range st.Log.sinceBefore() {
			if it.Kind == stock.Reading && b.read(it.Values) != nil {
				last = it.ID
			}
		}
		for _, x := range st.Log.Breaches(st.System, last) {
			if (x.Limit == b.low || x.Limit == b.high) && (b.now == nil || b.beyond(st.Water.State, &st.System.Limits) == x.Limit) {
				list = append(list, x)
			}
		}
	}
	return list
}

// Reckoned are the limits that the water is at or beyond by the reckoning after a change, where nobody has read it since: 105 L
// of 18 °C took a tank from 22.6 °C below the lowest it bears, and no word was said of that. No entry is named.
func (st *State) Reckoned() (list []Breach) {
	w, x := st.Water, &st.System.Limits
	for i := range allBorne {
		b := &allBorne[i]
		if b.basis == nil || b.basis(w) != Computed || b.beyond(keptState(st.System), x) != "" {
			continue
		}
		is := b.now(w.State)
		if limit, bound := b.breach(is, x); limit != "" {
			list = append(list, Breach{0, limit, is, bound})
		}
	}
	return list
}
