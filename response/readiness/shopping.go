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

// target is one event or combination that fails, on its bench, with all ways of having more
// and, once it was worked out, the smallest amount of each kind that mends it alone.
type target struct {
	name     string
	events   []string
	together *Together // nil for an event
	bench    bench
	ways     []way
	own      []amount
	// shortL is what its plan falls short by, litres; 0 where it is no shortage.
	shortL float64
}

const (
	// mostTargets is how many failing events and combinations a shopping list is made for: each
	// way is tried on all of them.
	mostTargets = 12
	// mostPartSteps is how many cheaper steps are named beside it.
	mostPartSteps = 3
)

// shop finds the cheapest set of purchases and actions after which every target is
// covered, and names what nothing covers. Nothing where no set was found.
//
// Ways of putting a basket together are compared: one thing that is enough for all; and
// what each target asks for at least cost, one after the other, each beside what
// is in the basket already. What is no longer needed is taken out again and the rest made as
// small as it can be. That is no proof that nothing cheaper exists; that everything is
// covered is.
func shop(all []target) (list []Purchase, best basket, never []string) {
	list, never = []Purchase{}, hopeless(all)
	targets := mendable(all, never)
	if len(targets) == 0 {
		return
	}
	var baskets []basket
	one, firm := oneForAll(targets)
	if one != nil {
		baskets = append(baskets, one)
	}
	// One thing that has no price is beaten only by things that all have one.
	if !firm || len(targets) > 1 && (priced(targets[0].bench, one[0].way) || pricedMend(targets)) {
		if b, ok := oneByOne(targets, firm); ok {
			baskets = append(baskets, b)
		}
	}
	best = asLacking(targets, allEntered(targets, traded(targets, helped(targets, cheapest(targets, baskets)))))
	for i, a := range best {
		p := Purchase{Fix: targets[0].bench.plain(a), Covers: []string{}}
		p.BackgroundUgL = a.counted(struckBy(targets))
		if contained([]amount{a}) {
			p.How = toEnter(targets, best)
		}
		rest := append(slices.Clone(best[:i]), best[i+1:]...)
		for _, t := range targets {
			// Each fails as it is.
			if len(rest) == 0 || !t.bench.mends(rest...) {
				p.Covers = append(p.Covers, t.name)
			}
		}
		list = append(list, p)
	}
	slices.SortStableFunc(list, func(a, b Purchase) int { return cheaper(a.Fix, b.Fix) })
	return list, best, never
}

// asLacking is a basket for one target that is what it lacks in one container, as that is found with more search
// than lists are: one figure, whatever says it.
func asLacking(targets []target, best basket) basket {
	if len(targets) > 1 || len(best) != 1 || !best[0].needsRoom || best[0].what != StoredSaltwater {
		return best
	}
	t := &targets[0]
	if a, ok := t.bench.least(best[0].way, t.shortL); ok && sturdy(targets, basket{a}) {
		return basket{a}
	}
	return best
}

// struckBy are the demands of all targets.
func struckBy(targets []target) scenario {
	var all scenario
	for _, t := range targets {
		all = append(all, t.bench.scenario...)
	}
	return all
}

// saved is by how much less a basket must cost to be looked for.
const saved = 0.99

// helped is a basket, or a cheaper one of one thing beside purified water that the site's own
// purifier makes for next to nothing: salt and that water may do for less what stored
// saltwater does.
func helped(targets []target, best basket) basket {
	b := targets[0].bench
	cost := b.worth(best)
	ways := purchasable(targets)
	var free basket
	for _, w := range ways {
		if b.free(w) {
			free = append(free, amount{way: w, x: w.most})
		}
	}
	if len(free) == 0 || cost <= 0 {
		return best
	}
	baskets := []basket{best}
	for _, w := range ways {
		per := b.price(w)
		if per <= 0 {
			continue
		}
		most := min(w.most, saved*cost/per)
		if !allHastily(targets, free.add(amount{way: w, x: most})) {
			continue
		}
		if a, ok := leastForAll(targets, w, most, free); ok {
			if less, ok := proved(targets, shrunk(targets, free.add(a))); ok {
				baskets = append(baskets, less)
			}
		}
	}
	return cheapest(targets, baskets)
}

// hopeless names what nothing that can be bought mends: an event that only more time would,
// and the combinations it is in.
func hopeless(targets []target) []string {
	never := []string{}
	for _, t := range targets {
		if len(t.events) == 1 && !t.buyable() || slices.ContainsFunc(never, func(n string) bool { return slices.Contains(t.events, n) }) {
			never = append(never, t.name)
		}
	}
	return never
}

// buyable reports whether something that can be bought mends a target, alone or in a pair.
// Most often much saltwater does.
func (t *target) buyable() bool {
	ways := withoutTimeWays(t.ways)
	slices.SortStableFunc(ways, func(x, y way) int {
		ready := func(w way) int {
			if w.what == StoredSaltwater && w.needsRoom {
				return 0
			}
			return 1
		}
		return cmp.Compare(ready(x), ready(y))
	})
	for _, w := range ways {
		if t.bench.mends(amount{way: w, x: w.most}) {
			return true
		}
	}
	_, ok := t.bench.pair(ways)
	return ok
}

// mendable leaves out the targets that are named.
func mendable(targets []target, never []string) []target {
	return slices.DeleteFunc(slices.Clone(targets), func(t target) bool { return slices.Contains(never, t.name) })
}

// oneForAll is the one thing that is enough for every target and costs least; of those
// without a price the one with the least effort. One that is not sturdy only where none is;
// nil where there is none.
func oneForAll(targets []target) (best basket, firm bool) {
	for _, w := range purchasable(targets) {
		if firm && !priced(targets[0].bench, w) {
			return best, firm
		}
		a, ok := leastForAll(targets, w, w.most, nil)
		if !ok {
			continue
		}
		less := best == nil || dearer(targets[0].bench, basket{a}, best) < 0
		switch stands := sturdy(targets, basket{a}); {
		case stands && (less || !firm):
			best, firm = basket{a}, true
		case less && !firm:
			best = basket{a}
		}
	}
	return best, firm
}

// oneByOne covers one target after the other, the worst first, each by what costs least
// beside what is in the basket already; then takes out what is no longer needed and
// makes the rest smaller, the dearest first. With onlyPriced it gives up where that takes
// anything without a price.
func oneByOne(targets []target, onlyPriced bool) (basket, bool) {
	var have basket
	for _, t := range targets {
		t.bench.rough = true // all is made smaller, and proved, at the end
		if len(have) > 0 && t.bench.mends(have...) {
			continue
		}
		// It is mostly a little more of what is bought in litres or kilograms; what has no price
		// is looked at where that does not do, and what is built last.
		var list []amount
		for _, sort := range []func(w way) bool{
			func(w way) bool { return !built(w) && priced(t.bench, w) },
			func(w way) bool { return !built(w) && !priced(t.bench, w) },
			func(w way) bool { return built(w) && w.what != MoreTime },
		}[:kindsOf(onlyPriced)] {
			if list = t.bench.single(slices.DeleteFunc(slices.Clone(t.ways), func(w way) bool { return !sort(w) }), have...); len(list) > 0 {
				break
			}
		}
		more, enough := grown(t.bench, have)
		switch {
		case len(list) > 0 || enough:
		case onlyPriced:
			return nil, false
		default:
			pair, ok := t.bench.pair(withoutTimeWays(t.ways))
			if !ok {
				return nil, false
			}
			have = have.add(pair[0]).add(pair[1])
			continue
		}
		var either []basket
		for _, a := range list {
			either = append(either, have.add(a))
		}
		if enough {
			either = append(either, more)
		}
		have = cheapest(targets, either)
	}
	return proved(targets, shrunk(targets, have))
}

// grown is the basket with more of all that is in it, so that a target is covered: a combination
// may need more of two waters where more of either does not do.
func grown(b bench, have basket) (basket, bool) {
	for _, share := range []float64{1.25, 2, 4} {
		more := slices.Clone(have)
		for i := range more {
			more[i].x = min(more[i].most, more[i].x*share)
		}
		if len(more) > 1 && b.mends(more...) {
			return more, true
		}
	}
	return nil, false
}

// kindsOf is how many sorts of ways are looked at.
func kindsOf(onlyPriced bool) int {
	if onlyPriced {
		return 1
	}
	return 3
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
