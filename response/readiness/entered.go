package readiness

import (
	"slices"

	"tidehold/volumes/site"
)

// enteredAt are the shares of an amount that are tried until it is enough as a store of the site file too: few, as a
// share that is not enough takes a whole search.
var enteredAt = []float64{1, 1.02, 1.05, 1.1, 1.2, 1.5, 2}

// untilEntered is an amount, or the next larger one that was found, with which what stands in new containers
// is enough as stores of the site file too. A search that has more to choose from may miss what it found
// without, and whoever buys by a list is owed it; where no amount is, it stays.
func (b bench) untilEntered(a amount, others []amount) amount {
	for _, share := range enteredAt {
		more := a
		if more.x = min(a.most, roundUp(a.x*share, amountDigits)); share == 1 {
			more.x = a.x
		}
		if a.tooMuch > 0 && more.x >= a.tooMuch {
			break
		}
		if have := append(slices.Clip(others), more); b.entered(have, true) && (share == 1 || !b.fails(have...)) {
			return more
		}
	}
	return a
}

// allEntered is a basket, or one with more of what stands in new containers, that covers every target with
// those as stores of the site file too; the basket itself where none was found.
func allEntered(targets []target, have basket) basket {
	if !contained(have) {
		return have
	}
	for _, share := range enteredAt {
		more := slices.Clone(have)
		for i := range more {
			if more[i].needsRoom && share > 1 {
				more[i].x = min(more[i].most, roundUp(more[i].x*share, amountDigits))
			}
		}
		late := func(t target) bool { return !t.bench.entered(more, true) }
		if !slices.ContainsFunc(targets, late) && (share == 1 || all(targets, more)) {
			return more
		}
	}
	return have
}

// entered reports whether everything is done in time with new containers as stores of the site file: batches
// may be mixed in them, where it does not say in which vats, and without a pump they are emptied by bucket.
func (b bench) entered(amounts []amount, pumped bool) bool {
	if !contained(amounts) {
		return true
	}
	p, q := b.stocked(amounts, func(s *site.Site) { enter(s, pumped) })
	return !p.late(q)
}

// toEnter says how what stands in new containers has to be entered in the site file so that it is enough; ""
// where any way will do.
func toEnter(targets []target, have []amount) string {
	late := func(pumped bool) bool {
		return slices.ContainsFunc(targets, func(t target) bool { return !t.bench.entered(have, pumped) })
	}
	switch b := targets[0].bench; {
	case !late(false):
		return ""
	case late(true):
		return "enter it as a store that is not named in mixing.in"
	default:
		pump := 0.0
		for i := range b.site.Stores {
			if st := &b.site.Stores[i]; st.Holds == site.Saltwater {
				pump = max(pump, orZero(st.TransferLH))
			}
		}
		return "enter its pump too (transfer: " + b.units.Flow(pump) + ")"
	}
}

// enter makes new containers stores as the site file has them.
func enter(s *site.Site, pumped bool) {
	everywhere := len(s.Mixing.In) > 0
	for i := range s.Stores {
		st := &s.Stores[i]
		if st.ID == newContainer {
			if !pumped {
				st.TransferLH = nil
			}
		} else if st.Holds == site.Saltwater && !slices.Contains(s.Mixing.In, st.ID) {
			everywhere = false
		}
	}
	if everywhere {
		s.Mixing.In = append(slices.Clip(s.Mixing.In), newContainer)
	}
}

// contained reports whether something of it stands in a new container.
func contained(amounts []amount) bool {
	return slices.ContainsFunc(amounts, func(a amount) bool { return a.needsRoom })
}
