package readiness

import (
	"cmp"
	"math"
	"slices"

	"tidehold/volumes/site"
)

// bench is where remedies are tried: a scenario and the site cut down to the systems
// it strikes, so that a trial costs the same in a house of any size.
type bench struct {
	judge
	scenario
	// today tries them on today's stock instead of the worst day's.
	today bool
}

// first is the system that new water is made for.
func (b bench) first() *site.System { return b.scenario[0].System }

// with is the stock and the scenario with the amounts added.
func (b bench) with(amounts []amount) (plans, scenario) {
	s := *b.site
	s.Systems = b.struck()
	s.Stores = append(make([]site.Store, 0, len(s.Stores)+2), s.Stores...)
	s.Salts = append([]site.Salt(nil), s.Salts...)
	if s.Purifier != nil {
		p := *s.Purifier
		s.Purifier = &p
	}
	t := trial{&s, b.scenario.copy()}
	for _, a := range amounts {
		a.apply(&t, a.x)
	}
	after := t.Site
	if !b.today {
		after, _ = onWorstDay(after, b.now)
	}
	return b.plansFor(after), t.scenario
}

// tries reports whether the site, with the amounts added, gets through the scenario.
func (b bench) tries(amounts ...amount) bool {
	p, q := b.with(amounts)
	return p.tries(q)
}

// proves is tries as the scenario is judged.
func (b bench) proves(amounts ...amount) bool {
	p, q := b.with(amounts)
	return p.proves(q)
}

// least is the smallest amount of one way, with others as they are.
func (b bench) least(w way, others ...amount) (amount, bool) {
	return b.leastBelow(w, w.most, others...)
}

// leastBelow is least among the amounts up to most.
func (b bench) leastBelow(w way, most float64, others ...amount) (amount, bool) {
	all := func(x float64) []amount { return append(slices.Clip(others), amount{way: w, x: x}) }
	found, ok := smallest(
		func(x float64) bool { return b.tries(all(x)...) },
		func(x float64) bool { return b.proves(all(x)...) }, min(most, w.most))
	return amount{w, found.least, found.tooMuch}, ok
}

// atMost is every way at its largest.
func atMost(ways []way) []amount {
	out := make([]amount, len(ways))
	for i, w := range ways {
		out[i] = amount{way: w, x: w.most}
	}
	return out
}

// mostAlike is how many stores of one kind are told apart when remedies are tried.
const mostAlike = 6

// alike thins a list of stores to those worth trying one by one: of stores whose water
// and fittings are the same, the one with the most of what counts, and of those the
// first mostAlike by rank.
func (b bench) alike(list []int, counts func(int) float64) []int {
	type likeness struct{ s, c, heater, loss, pump float64 }
	best := map[likeness]int{}
	for _, i := range list {
		st := &b.site.Stores[i]
		k := likeness{float64(st.Water.Salinity), float64(st.Water.Temperature), st.HeaterW, orZero(st.HeatLossWK), orZero(st.TransferLH)}
		at, found := best[k]
		if !found || counts(i) > counts(at) || counts(i) == counts(at) && st.ID < b.site.Stores[at].ID {
			best[k] = i
		}
	}
	out := make([]int, 0, len(best))
	for _, i := range best {
		out = append(out, i)
	}
	b.rank(out, counts)
	return out[:min(len(out), mostAlike)]
}

// rank sorts stores: the best matches to the first system's water first, then those
// with the most of what counts, then by id.
func (b bench) rank(list []int, counts func(int) float64) {
	far := func(i int) float64 {
		w := &b.site.Stores[i].Water
		return math.Max(math.Abs(float64(w.Salinity-b.first().Water.Salinity)), math.Abs(float64(w.Temperature-b.first().Water.Temperature)))
	}
	slices.SortFunc(list, func(x, y int) int {
		return cmp.Or(cmp.Compare(far(x), far(y)), -cmp.Compare(counts(x), counts(y)), cmp.Compare(b.site.Stores[x].ID, b.site.Stores[y].ID))
	})
}

func orZero(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}
