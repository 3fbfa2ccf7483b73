package readiness

import (
	"slices"
	"strconv"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// enteredAt are the shares of an amount that are tried until it is enough as a store of the site file too: few, as a
// share that is not enough takes a whole search.
var enteredAt = []float64{1, 1.02, 1.05, 1.1, 1.2, 1.5, 2}

// untilEntered is an amount, or the next larger one that was found, with which what stands in new containers
// is enough as stores of the site file too. A search that has more to choose from may miss what it found
// without, and whoever buys by a list is owed it; where no amount is, it stays.
func (b bench) untilEntered(a amount, others []amount) amount {
	with := func(x float64) []amount { return append(slices.Clip(others), amount{way: a.way, x: x}) }
	if b.entered(with(a.x), true) {
		return a
	}
	enough := func(x float64) bool { return b.entered(with(x), true) && !b.fails(with(x)...) }
	low := a.x
	for _, share := range enteredAt[1:] {
		x := min(a.most, roundUp(a.x*share, amountDigits))
		if a.tooMuch > 0 && x >= a.tooMuch {
			break
		}
		if !enough(x) {
			low = x
			continue
		}
		for a.x = x; low < a.x*proofStep; {
			if mid := roundUp((low+a.x)/2, amountDigits); enough(mid) {
				a.x = mid
			} else {
				low = mid
			}
		}
		return a
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

// entered reports whether everything is done in time with new containers as stores of the site file: their
// water by the digits that are printed, batches may be mixed in them, where it does not say in which vats, and
// without a pump they are emptied by bucket.
func (b bench) entered(amounts []amount, pumped bool) bool {
	return b.enteredAs(amounts, pumped, true)
}

// enteredAs is entered, with new containers named in mixing.in or not.
func (b bench) enteredAs(amounts []amount, pumped, mixed bool) bool {
	if !contained(amounts) {
		return true
	}
	p, q := b.stocked(amounts, func(s *site.Site) { enter(s, pumped, mixed) })
	return !p.late(q)
}

// toEnter says how what stands in new containers has to be entered in the site file so that it is enough; ""
// where any way will do, or no way was found.
func toEnter(targets []target, have []amount) string {
	late := func(pumped, mixed bool) bool {
		return slices.ContainsFunc(targets, func(t target) bool { return !t.bench.enteredAs(have, pumped, mixed) })
	}
	const unmixed = "enter it as a store that is not named in mixing.in"
	pump := func() string { return "enter its pump too (transfer: " + targets[0].bench.bestPump() + ")" }
	switch {
	case !late(false, true):
		return ""
	case !late(true, true):
		return pump()
	case !late(false, false):
		return unmixed
	case !late(true, false):
		return unmixed + "; " + pump()
	}
	return ""
}

// bestPump is what the fastest pump of the saltwater stores moves, in words.
func (b bench) bestPump() string {
	pump := 0.0
	for i := range b.site.Stores {
		if st := &b.site.Stores[i]; st.Holds == site.Saltwater {
			pump = max(pump, orZero(st.TransferLH))
		}
	}
	return b.units.Flow(pump)
}

// enter makes new containers stores as the site file has them.
func enter(s *site.Site, pumped, mixed bool) {
	mixed = mixed && len(s.Mixing.In) > 0
	for i := range s.Stores {
		st := &s.Stores[i]
		if st.ID == newContainer {
			w := &st.Water
			w.Salinity, w.Temperature = units.Practical(printed(float64(w.Salinity))), units.Celsius(printed(float64(w.Temperature)))
			if !pumped {
				st.TransferLH = nil
			}
		} else if st.Holds == site.Saltwater && !slices.Contains(s.Mixing.In, st.ID) {
			mixed = false
		}
	}
	if mixed {
		s.Mixing.In = append(slices.Clip(s.Mixing.In), newContainer)
	}
}

// printed is a number as it is printed, to a tenth.
func printed(x float64) float64 {
	tenths, err := strconv.ParseFloat(units.Fixed(x, 1), 64)
	if err != nil {
		return x
	}
	return tenths
}

// contained reports whether something of it stands in a new container.
func contained(amounts []amount) bool {
	return slices.ContainsFunc(amounts, func(a amount) bool { return a.needsRoom })
}
