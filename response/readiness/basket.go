package readiness

import (
	"cmp"
	"slices"
)

// basket is amounts that are bought together.
type basket []amount

// add puts an amount in, on top of what there is of the same way: it was found beside that.
func (s basket) add(a amount) basket {
	for i := range s {
		if s[i].same(a.way) {
			out := slices.Clone(s)
			out[i].x += a.x
			return out
		}
	}
	return append(slices.Clip(s), a)
}

// same reports whether two ways are of the same thing in the same place.
func (w way) same(v way) bool {
	return w.what == v.what && w.where == v.where && w.afterH == v.afterH && slices.Equal(w.in, v.in) &&
		(w.water == nil || v.water == nil || w.water.Salinity == v.water.Salinity && w.water.Temperature == v.water.Temperature)
}

// priced reports whether what a way costs is known: by the site's prices, or next to nothing
// for water from its own purifier.
func priced(b bench, w way) bool {
	return b.cost(amount{way: w, x: 1}) != nil || b.free(w)
}

// free reports whether a way is water that the site's own purifier makes for next to nothing.
func (b bench) free(w way) bool {
	return w.what == StoredPurified && !w.needsRoom && b.site.Purifier != nil
}

// pricedMend reports whether all that has a price, as much as there could be of it, covers
// every target.
func pricedMend(targets []target) bool {
	var have []amount
	for _, w := range purchasable(targets) {
		if priced(targets[0].bench, w) {
			have = append(have, amount{way: w, x: w.most})
		}
	}
	return len(have) > 0 && all(targets, have)
}

// purchasable are the ways of all targets, each once and as large as for any of them: those
// with a price first, then by effort.
func purchasable(targets []target) []way {
	var out basket
	for _, t := range targets {
		for _, w := range withoutTimeWays(t.ways) {
			if at := slices.IndexFunc(out, func(a amount) bool { return a.same(w) }); at >= 0 {
				out[at].most = max(out[at].most, w.most)
				continue
			}
			out = append(out, amount{way: w})
		}
	}
	ways := make([]way, len(out))
	for i, a := range out {
		ways[i] = a.way
	}
	unpriced := func(w way) int {
		if priced(targets[0].bench, w) {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(ways, func(x, y way) int {
		return cmp.Or(cmp.Compare(unpriced(x), unpriced(y)), cmp.Compare(effort[x.what], effort[y.what]), cmp.Compare(choice(x), choice(y)))
	})
	return ways
}

// leastForAll is the smallest amount of a way up to most that covers every target beside
// what is in the basket already; of those that are sturdy, where there are some.
func leastForAll(targets []target, w way, most float64, have basket) (amount, bool) {
	with := func(x float64) []amount { return append(slices.Clip(have), amount{way: w, x: x}) }
	guess := 0.0
	for _, t := range targets {
		b := t.bench
		b.lackingL = &t.shortL
		guess = max(guess, b.guess(w))
	}
	hopeless := func(x float64) bool { return anyHopeless(targets, with(x)) }
	hasty := func(x float64) bool { return allHastily(targets, with(x)) }
	found, ok := smallest([]func(float64) bool{hasty, func(x float64) bool { return all(targets, with(x)) }}, hopeless, most, guess)
	if ok && found.tooMuch > 0 && !sturdy(targets, append(slices.Clip(have), amount{w, found.least, found.tooMuch})) {
		firm := func(x float64) bool { return all(targets, with(x)) && sturdy(targets, with(x)) }
		if more, ok := smallest([]func(float64) bool{hasty, firm}, hopeless, most, found.tooMuch); ok {
			found = more
		}
	}
	return amount{w, found.least, found.tooMuch}, ok
}

// withoutTime leaves out what nobody can buy.
func withoutTime(list []amount) []amount {
	return slices.DeleteFunc(slices.Clone(list), func(a amount) bool { return a.what == MoreTime })
}

// built reports whether a way is anything but water or salt on a shelf.
func built(w way) bool {
	return w.what != MoreSalt && w.what != StoredPurified && w.what != StoredSaltwater
}

func withoutTimeWays(ways []way) []way {
	return slices.DeleteFunc(slices.Clone(ways), func(w way) bool { return w.what == MoreTime })
}

// shrunk takes out of a basket what is not needed and makes the rest as small as it can
// be, the dearest first.
func shrunk(targets []target, have basket) basket {
	order := slices.Clone(have)
	slices.SortStableFunc(order, func(x, y amount) int { return dearer(targets[0].bench, basket{y}, basket{x}) })
	for _, a := range order {
		at := slices.IndexFunc(have, func(b amount) bool { return b.same(a.way) })
		rest := append(slices.Clone(have[:at]), have[at+1:]...)
		if all(targets, rest) {
			have = rest
			continue
		}
		if least, ok := leastForAll(targets, a.way, a.x, rest); ok {
			have = append(rest, amount{way: a.way, x: least.x})
		}
	}
	return have
}

// all reports whether every target is covered with the amounts.
func all(targets []target, amounts []amount) bool { return allBy(bench.mends, targets, amounts) }

// allHastily is all by a fifth of the budget.
func allHastily(targets []target, amounts []amount) bool {
	return allBy(bench.hastily, targets, amounts)
}

func allBy(covers func(bench, ...amount) bool, targets []target, amounts []amount) bool {
	return !slices.ContainsFunc(targets, func(t target) bool { return !covers(t.bench, amounts...) })
}

// anyHopeless reports whether there is a target that nothing covers with the amounts.
func anyHopeless(targets []target, amounts []amount) bool {
	return slices.ContainsFunc(targets, func(t target) bool { return t.bench.hopeless(amounts...) })
}

// proved runs every target again in full with the basket.
func proved(targets []target, have basket) (basket, bool) {
	if !all(targets, have) {
		return nil, false
	}
	return have, true
}

// sturdy reports whether every target is covered with a little more of all that is bought too: a plan that
// hangs on one amount to the litre is nothing to shop by.
func sturdy(targets []target, have basket) bool {
	const most = 1.1
	if slices.ContainsFunc(have, func(a amount) bool { return a.tooMuch > 0 && a.tooMuch < most*a.x }) {
		return false
	}
	for _, share := range []float64{1.02, 1.05, most} {
		more := slices.Clone(have)
		for i := range more {
			more[i].x = min(more[i].most, share*more[i].x)
		}
		if !all(targets, more) {
			return false
		}
	}
	return true
}

// cheapest is the basket that costs least of those that are sturdy, else of all; nil when there is none.
func cheapest(targets []target, baskets []basket) basket {
	if len(baskets) == 0 {
		return nil
	}
	if frail := func(b basket) bool { return !sturdy(targets, b) }; len(baskets) > 1 {
		if some := slices.DeleteFunc(slices.Clone(baskets), frail); len(some) > 0 {
			baskets = some
		}
	}
	return slices.MinFunc(baskets, func(x, y basket) int { return dearer(targets[0].bench, x, y) })
}

// dearer compares what two baskets cost: first by how many things have no price, then
// by what the rest costs, then by effort. Purified water that the site's own purifier
// makes costs next to nothing.
func dearer(b bench, x, y basket) int {
	sum := func(s basket) (unpriced int, cost float64, work int) {
		for _, a := range s {
			work += effort[a.what]
			switch c := b.cost(a); {
			case c != nil:
				cost += *c
			case b.free(a.way):
			default:
				unpriced++
			}
		}
		return
	}
	nx, cx, ex := sum(x)
	ny, cy, ey := sum(y)
	return cmp.Or(cmp.Compare(nx, ny), cmp.Compare(cx, cy), cmp.Compare(ex, ey))
}
