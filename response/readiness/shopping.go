package readiness

import (
	"cmp"
	"slices"
)

// Purchase is one thing to buy or to do, and what it is good for.
type Purchase struct {
	Fix
	// Covers names the events, and the combinations as "a + b". In the shopping list those that
	// fail without it; among the part steps those that it alone covers.
	Covers []string `json:"covers"`
}

// target is one event or combination that fails, on its bench, with the smallest amount
// of each kind that mends it alone.
type target struct {
	name   string
	events []string
	// unbought says that nothing but more time mends it.
	unbought bool
	bench    bench
	ways     []way
	own      []amount
}

const (
	// mostTargets is how many failing events and combinations a shopping list is made for: each
	// way is tried on all of them.
	mostTargets = 12
	// mostPartSteps is how many cheaper steps are named beside it.
	mostPartSteps = 3
)

// basket is amounts that are bought together.
type basket []amount

// add puts an amount in; of the same way the larger one stays.
func (s basket) add(a amount) basket {
	for i := range s {
		if s[i].same(a.way) {
			out := slices.Clone(s)
			out[i].x = max(out[i].x, a.x)
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

// shop finds the cheapest set of purchases and actions after which every target is
// covered, and cheaper steps that cover some. Nothing where no set was found.
//
// Three ways of putting a basket together are compared: one thing that is enough for
// all; what each target asks for at least cost, one after the other, each beside what
// is in the basket already; and the same with the targets in the other order. What is no
// longer needed is taken out again and the rest made as small as it can be. That
// is no proof that nothing cheaper exists; that everything is covered is.
func (j judge) shop(targets []target) (list, steps []Purchase, never []string) {
	list, steps, never = []Purchase{}, []Purchase{}, []string{}
	if len(targets) > mostTargets {
		return
	}
	if targets, never = mendable(targets); len(targets) == 0 {
		return
	}
	var baskets []basket
	for _, a := range candidates(targets) {
		if b, ok := enoughForAll(targets, a); ok {
			baskets = append(baskets, b)
		}
	}
	if b, ok := oneByOne(targets); ok {
		baskets = append(baskets, b)
	}
	best := cheapest(targets, baskets)
	if best == nil {
		return list, partSteps(targets, nil), never
	}
	for i, a := range best {
		rest := append(slices.Clone(best[:i]), best[i+1:]...)
		p := Purchase{Fix: targets[0].bench.plain(a), Covers: []string{}}
		for _, t := range targets {
			if !t.bench.mends(rest...) {
				p.Covers = append(p.Covers, t.name)
			}
		}
		list = append(list, p)
	}
	slices.SortStableFunc(list, func(a, b Purchase) int { return cheaper(a.Fix, b.Fix) })
	return list, partSteps(targets, best), never
}

// mendable leaves out what nothing that can be bought mends: an event that only more
// time would, and the combinations it is in. It names them.
func mendable(targets []target) (out []target, never []string) {
	never = []string{}
	for _, t := range targets {
		hopeless := len(t.events) == 1 && t.unbought
		for _, n := range never {
			hopeless = hopeless || slices.Contains(t.events, n)
		}
		if hopeless {
			never = append(never, t.name)
			continue
		}
		out = append(out, t)
	}
	return out, never
}

// withoutTime leaves out what nobody can buy.
func withoutTime(list []amount) []amount {
	return slices.DeleteFunc(slices.Clone(list), func(a amount) bool { return a.what == MoreTime })
}

// candidates are the ways that are enough for some target, each once with its largest amount.
func candidates(targets []target) []amount {
	var out basket
	for _, t := range targets {
		for _, a := range withoutTime(t.own) {
			out = out.add(a)
		}
	}
	return out
}

// enoughForAll makes one way large enough for every target.
func enoughForAll(targets []target, a amount) (basket, bool) {
	for _, t := range targets {
		if t.bench.mends(a) {
			continue
		}
		more, ok := t.bench.least(a.way, a.x)
		if !ok {
			return nil, false
		}
		a.x = max(a.x, more.x)
	}
	return proved(targets, basket{a})
}

// oneByOne covers one target after the other, the worst first, each by what costs least
// beside what is in the basket already; then takes out what is no longer needed and
// makes the rest smaller, the dearest first.
func oneByOne(targets []target) (basket, bool) {
	var have basket
	for _, t := range targets {
		if t.bench.mends(have...) {
			continue
		}
		list := withoutTime(t.own)
		if len(have) > 0 || len(list) == 0 {
			// Beside a basket it is mostly a little more of what is bought in litres or
			// kilograms; what is built is looked at where that does not do.
			if list = t.bench.single(slices.DeleteFunc(slices.Clone(t.ways), built), have...); len(list) == 0 {
				list = t.bench.single(slices.DeleteFunc(slices.Clone(t.ways), func(w way) bool { return !built(w) || w.what == MoreTime }), have...)
			}
		}
		if len(list) == 0 {
			pair, ok := t.bench.pair(withoutTimeWays(t.ways))
			if !ok {
				return nil, false
			}
			have = have.add(pair[0]).add(pair[1])
			continue
		}
		slices.SortStableFunc(list, func(x, y amount) int { return dearer(t.bench, basket{x}, basket{y}) })
		have = have.add(list[0])
	}
	return proved(targets, shrunk(targets, have))
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
	if len(have) < 2 {
		return have
	}
	order := slices.Clone(have)
	slices.SortStableFunc(order, func(x, y amount) int { return dearer(targets[0].bench, basket{y}, basket{x}) })
	for _, a := range order {
		at := slices.IndexFunc(have, func(b amount) bool { return b.same(a.way) })
		rest := append(slices.Clone(have[:at]), have[at+1:]...)
		if all(targets, rest) {
			have = rest
			continue
		}
		with := func(x float64) bool { return all(targets, append(slices.Clip(rest), amount{way: a.way, x: x})) }
		found, ok := smallest(with, func(x float64) bool { return !with(x) }, a.x, 0)
		if ok {
			have = append(rest, amount{way: a.way, x: found.least})
		}
	}
	return have
}

// all reports whether every target is covered with the amounts.
func all(targets []target, amounts []amount) bool {
	for _, t := range targets {
		if !t.bench.mends(amounts...) {
			return false
		}
	}
	return true
}

// proved runs every target again in full with the basket.
func proved(targets []target, have basket) (basket, bool) {
	for _, t := range targets {
		if !t.bench.mends(have...) {
			return nil, false
		}
	}
	return have, true
}

// cheapest is the basket that costs least; nil when there is none.
func cheapest(targets []target, baskets []basket) basket {
	if len(baskets) == 0 {
		return nil
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
			case a.what == StoredPurified && !a.needsRoom && b.site.Purifier != nil:
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

// partSteps are things that cost less than the whole list, or are less work, and cover some
// of the targets, the cheapest first.
func partSteps(targets []target, whole basket) []Purchase {
	out := []Purchase{}
	var seen []amount
	for _, of := range targets {
		for _, a := range withoutTime(of.own) {
			if slices.ContainsFunc(seen, func(b amount) bool { return b.same(a.way) && b.x == a.x }) {
				continue
			}
			seen = append(seen, a)
			if whole != nil && dearer(of.bench, basket{a}, whole) >= 0 && !lessOf(a, whole) {
				continue
			}
			p := Purchase{Fix: of.bench.plain(a), Covers: []string{}}
			for _, t := range targets {
				if t.bench.mends(a) {
					p.Covers = append(p.Covers, t.name)
				}
			}
			if len(p.Covers) > 0 {
				out = append(out, p)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Purchase) int {
		return cmp.Or(cmp.Compare(len(b.Covers), len(a.Covers)), cheaper(a.Fix, b.Fix))
	})
	out = oneForEach(out)
	return out[:min(len(out), mostPartSteps)]
}

// lessOf reports whether an amount is a part of a basket of one thing.
func lessOf(a amount, whole basket) bool {
	return len(whole) == 1 && whole[0].same(a.way) && a.x < whole[0].x*proofStep
}

// oneForEach keeps the first step for each set of events covered.
func oneForEach(list []Purchase) []Purchase {
	out := []Purchase{}
	for _, p := range list {
		if !slices.ContainsFunc(out, func(q Purchase) bool { return slices.Equal(q.Covers, p.Covers) }) {
			out = append(out, p)
		}
	}
	return out
}
