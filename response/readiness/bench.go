package readiness

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"tidehold/volumes/site"
)

// bench is where remedies are tried: a scenario and the site cut down to the systems
// it strikes, so that a trial costs the same in a house of any size.
type bench struct {
	judge
	scenario
	// today tries them on today's stock instead of the worst day's.
	today bool
	// lackingL is the stored saltwater that would do, once it is known: a guess for everything that
	// turns into water. Nil: no amount does; 0: not known.
	lackingL *float64
	// tooMuchL is where more than that no longer does; 0: it always does.
	tooMuchL float64
	// rough makes every trial by hastyNodes: for amounts that are made as small as they can be,
	// and proved, later.
	rough bool
	// thorough asks the whole search of every rung below an answer, not the quick one first: for
	// remedies that are listed, which no card waits for.
	thorough bool
	memory   *memory
}

// newBench is a bench with nothing tried yet.
func (j judge) newBench(q scenario, today bool) bench {
	return bench{judge: j, scenario: q, today: today, memory: &memory{known: map[string]bool{}, hasty: map[string]bool{}, late: map[string]bool{}, lateAtLast: map[string]bool{}}}
}

// guess is where the smallest amount of a way may lie: as much water as is lacking, or the salt in it; 0 for
// what is no water.
func (b bench) guess(w way) float64 {
	switch {
	case b.lackingL == nil:
		return 0
	case w.what == MoreSalt:
		return b.saltFor(*b.lackingL, b.first().Water.Salinity)
	case w.unit == "L" && w.what != VatCapacity:
		return *b.lackingL
	}
	return 0
}

// first is the system that new water is made for.
func (b bench) first() *site.System { return b.scenario[0].System }

// with is the stock and the scenario with the amounts added.
func (b bench) with(amounts []amount) (plans, scenario) {
	return b.stocked(amounts, func(*site.Site) {})
}

// stocked is with, what is added kept in a way of its own.
func (b bench) stocked(amounts []amount, keep func(*site.Site)) (plans, scenario) {
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
	keep(t.Site)
	after := t.Site
	if !b.today {
		after, _ = onWorstDay(after, b.now)
	}
	return b.plansFor(after), t.scenario
}

// memory is what was tried on one bench, by keyOf: it is not tried again. known is by the
// budget of the plans that are shown, hasty by hastyNodes; late is what their whole search says.
type memory struct {
	sync.Mutex
	known, hasty, late, lateAtLast map[string]bool
}

// hastyNodes is the budget of a trial on the way to an answer. What does not mend costs the
// whole budget, and most that mends is found in a fifth of it; the answer itself, and what must
// not be enough, are tried by the full one.
const hastyNodes = 200

// mends reports whether the site, with the amounts added, gets through the scenario.
func (b bench) mends(amounts ...amount) bool {
	if b.rough {
		return b.hastily(amounts...)
	}
	return b.tried(b.memory.known, b.opt.Nodes, amounts)
}

// hastily is mends by a fifth of the budget: it may miss a plan that mends finds. A single
// demand that it finds a plan for mends finds one for, because every stage of that search
// has a larger budget; of several the first may take other water.
func (b bench) hastily(amounts ...amount) bool {
	k := keyOf(amounts)
	if met, ok := b.memory.recall(b.memory.known, k); ok {
		return met
	}
	met := b.tried(b.memory.hasty, min(hastyNodes, b.opt.Nodes), amounts)
	if met && len(b.scenario) == 1 {
		b.memory.keep(b.memory.known, k, true)
	}
	return met
}

// hopeless reports whether no search, however long, can find the scenario done in time with the
// amounts added: it costs what setting up the plan does.
func (b bench) hopeless(amounts ...amount) bool {
	p, q := b.with(amounts)
	return p.hopeless(q)
}

// fails reports whether the plan that is shown, with the amounts added, is late or never done.
// The search for the best plan may come upon one in time that mends does not.
func (b bench) fails(amounts ...amount) bool {
	// That search begins with the one of mends, which comes first only where it is seen to mend.
	k := keyOf(amounts)
	if met, ok := b.memory.recall(b.memory.known, k); ok && met {
		return false
	}
	if met, ok := b.memory.recall(b.memory.hasty, k); ok && met && b.mends(amounts...) {
		return false
	}
	return b.once(b.memory.late, amounts, plans.likelyLate)
}

// tried makes a trial with a budget of nodes.
func (b bench) tried(known map[string]bool, nodes int, amounts []amount) bool {
	return b.once(known, amounts, func(p plans, q scenario) bool {
		p.opt.Nodes = nodes
		return p.mends(q)
	})
}

// once tries amounts, or remembers what came of it.
func (b bench) once(known map[string]bool, amounts []amount, try func(plans, scenario) bool) bool {
	k := keyOf(amounts)
	if was, ok := b.memory.recall(known, k); ok {
		return was
	}
	is := try(b.with(amounts))
	b.memory.keep(known, k, is)
	return is
}

func (m *memory) recall(known map[string]bool, k string) (is, ok bool) {
	m.Lock()
	defer m.Unlock()
	is, ok = known[k]
	return is, ok
}

func (m *memory) keep(known map[string]bool, k string, is bool) {
	m.Lock()
	defer m.Unlock()
	known[k] = is
}

// keyOf tells lists of amounts apart; the same litres of two waters too, as the containers for two systems.
func keyOf(amounts []amount) string {
	var b strings.Builder
	for _, a := range amounts {
		fmt.Fprint(&b, a.what, a.where, a.in, a.afterH, math.Float64bits(a.x))
		if w := a.water; w != nil {
			fmt.Fprint(&b, " ", math.Float64bits(float64(w.Salinity)), math.Float64bits(float64(w.Temperature)))
		}
		b.WriteByte(';')
	}
	return b.String()
}

// least is the smallest amount of one way, with others as they are; guess is where it may
// lie, 0 for no idea.
func (b bench) least(w way, guess float64, others ...amount) (amount, bool) {
	return b.leastBelow(w, w.most, guess, others...)
}

// leastBelow is least among the amounts up to most.
func (b bench) leastBelow(w way, most, guess float64, others ...amount) (amount, bool) {
	all := func(x float64) []amount { return append(slices.Clip(others), amount{way: w, x: x}) }
	tests := []func(float64) bool{
		func(x float64) bool { return b.hastily(all(x)...) },
		func(x float64) bool { return b.mends(all(x)...) },
		func(x float64) bool { return !b.fails(all(x)...) },
	}
	rungs := below
	if !b.rough && len(b.scenario) == 1 {
		rungs = ladder
	}
	hopeless := func(x float64) bool { return b.hopeless(all(x)...) }
	found, ok := smallest(tests[:b.levels()], hopeless, min(most, w.most), guess, rungs...)
	if ok && b.thorough {
		surely := func(x float64) bool {
			return !b.fails(all(x)...) || !b.once(b.memory.lateAtLast, all(x), plans.surelyLate)
		}
		found = climbedDown(found, append(slices.Clip(tests[:2]), surely), hopeless, w.most)
		found = provedLeast(found, surely, hopeless, w.most)
	}
	a := amount{w, found.least, found.tooMuch}
	if ok && w.what == MoreTime && !b.rough {
		a.x = b.exactTime(a, others)
	}
	if ok && !b.rough && contained(append(slices.Clip(others), a)) {
		a = b.untilEntered(a, others)
	}
	return a, ok
}

// exactTime is the time by which the plan that is found with a little too much of it is late: what
// a plan is late by and what it needs are one number.
func (b bench) exactTime(a amount, others []amount) float64 {
	p, q := b.with(append(slices.Clip(others), a))
	out, err := p.planner.Run(q, p.opt)
	if err != nil {
		return a.x
	}
	spare := math.Inf(1)
	for _, made := range out.Plans {
		for i, aim := range made.Demand.Aims {
			if done := made.Aims[i].DoneAtH; aim.WithinH > 0 && done != nil {
				spare = min(spare, aim.WithinH-*done)
			}
		}
	}
	exact := a
	if exact.x = roundUp((a.x-spare)*60, amountDigits+1) / 60; exact.x > 0 && exact.x < a.x && !b.fails(append(slices.Clip(others), exact)...) {
		return exact.x
	}
	return a.x
}

// levels is how many of the tests, from the quickest on, amounts are found by.
func (b bench) levels() int {
	if b.rough {
		return 1
	}
	return 3
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
