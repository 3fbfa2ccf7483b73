package incident

import (
	"math"
	"slices"

	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// How far a reading may lie from what the tank had before it is to be read twice: rules of this
// tool, no published figures. A heater that sticks on warms a tank by less in the time between
// two looks; a missing digit makes 3.5 of 35.
const (
	leapC        = 5.0
	leapSalinity = 5.0
)

// Leap is a reading that lies far from what the tank had before.
type Leap struct{ Was, Is float64 }

// Leaps compares what an entry read with the water just before it: temperature in °C and practical
// salinity; nil where the entry read no such value, or one that could be. Errors as WaterAt.
func (l Log) Leaps(sys *site.System, entry int) (temp, salinity *Leap, err error) {
	k := slices.IndexFunc(l.Items, func(it Item) bool { return it.ID == entry && it.Kind == stock.Reading })
	if k < 0 {
		return nil, nil, nil
	}
	it := l.Items[k]
	l.Items = slices.Delete(slices.Clone(l.Items), k, k+1)
	w, err := l.WaterAt(sys, it.At)
	if err != nil {
		return nil, nil, err
	}
	far := func(is *float64, was, most float64) *Leap {
		if is == nil || math.Abs(*is-was) <= most {
			return nil
		}
		return &Leap{Was: was, Is: *is}
	}
	return far(it.Values.TempC, w.State.Temperature, leapC), far(it.Values.Salinity, w.State.Salinity, leapSalinity), nil
}

// Steps compares what a change, with the parts before it, did to the water with what may be done in one
// step: temperature in °C and practical salinity; nil where the entry is no change, or one within the
// limits. Errors as WaterAt.
func (l Log) Steps(sys *site.System, entry int) (temp, salinity *Leap, err error) {
	k := slices.IndexFunc(l.Items, func(it Item) bool { return it.ID == entry && it.Kind == stock.Change })
	if k < 0 {
		return nil, nil, nil
	}
	rows := l.first(k + 1).rows(sys)
	begin := rows[len(rows)-1].first
	before, err := l.first(begin).WaterAt(sys, l.Items[begin].At)
	if err != nil {
		return nil, nil, err
	}
	after, err := l.first(k+1).WaterAt(sys, l.Items[k].At)
	if err != nil {
		return nil, nil, err
	}
	over := func(was, is, most float64) *Leap {
		if math.Abs(is-was) <= most*(1+stepSlack) {
			return nil
		}
		return &Leap{Was: was, Is: is}
	}
	return over(before.State.Temperature, after.State.Temperature, sys.Limits.TemperatureStep), over(before.State.Salinity, after.State.Salinity, sys.Limits.SalinityStep), nil
}

// stepSlack is by how much a step may pass its limit before it is worth a word: the litres of a plan at
// its limit, as a bucket measures them.
const stepSlack = 0.05
