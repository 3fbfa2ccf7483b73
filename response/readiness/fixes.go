package readiness

import (
	"cmp"
	"slices"

	"tidehold/refs/units"
	"tidehold/response/schedule"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// amount is a change of a given size.
type amount struct {
	change
	x float64
}

// bench is where remedies are tried: the events, and the site cut down to the
// systems they strike, so that a trial costs the same in a house of any size.
type bench struct {
	judge
	struck
}

// first is the system that new water is made for.
func (b bench) first() *site.System { return &b.struck.systems[0] }

// with is the site and the events with the amounts added, on the worst day.
func (b bench) with(amounts []amount) (plans, struck) {
	t := trial{b.site, b.struck}.copy()
	for _, a := range amounts {
		a.apply(&t, a.x)
	}
	after, _ := onWorstDay(t.Site, b.now)
	return b.plansFor(after), t.struck
}

// mends reports whether the site, with the amounts added, covers every event.
func (b bench) mends(amounts ...amount) bool {
	p, q := b.with(amounts)
	return p.meets(q)
}

// proves runs the events again in full, as they are judged.
func (b bench) proves(amounts ...amount) bool {
	p, q := b.with(amounts)
	out, err := p.run(q, schedule.Options{})
	if err != nil {
		return false
	}
	for _, plan := range out.Plans {
		for i := range plan.Aims {
			if verdictOf(plan, i) != Covered {
				return false
			}
		}
	}
	return true
}

// least is the smallest amount of one way, with others as they are.
func (b bench) least(c change, most float64, others ...amount) (float64, bool) {
	all := func(x float64) []amount { return append(slices.Clip(others), amount{c, x}) }
	return smallest(
		func(x float64) bool { return b.mends(all(x)...) },
		func(x float64) bool { return b.proves(all(x)...) }, most)
}

// fixes finds the smallest remedy of each kind that makes every one of the given
// events covered, each run again with it; where no kind does alone, the smallest
// pair. demandL bounds the water tried. The cheapest comes first.
func (j judge) fixes(events []site.Event, demandL float64) []Fix {
	b := bench{j, j.strike(events...)}
	list := changesFor(b.site, b.now, b.first(), demandL)
	best := map[Remedy]Fix{}
	for _, second := range []bool{false, true} {
		var ways []change
		for _, c := range list {
			if _, found := best[c.what]; c.second == second && !found {
				ways = append(ways, c)
			}
		}
		for _, f := range b.each(ways) {
			known, found := best[f.What]
			room := cmp.Compare(f.NeedsRoomL, 0) - cmp.Compare(known.NeedsRoomL, 0)
			if !found || room < 0 || room == 0 && f.Amount < known.Amount {
				best[f.What] = f // what fits in the vats comes before what does not
			}
		}
	}
	out := []Fix{}
	for _, f := range best {
		out = append(out, f)
	}
	if len(out) == 0 {
		if f, ok := b.pair(list); ok {
			out = append(out, f)
		}
	}
	slices.SortFunc(out, cheaper)
	return out
}

// each is the smallest amount of every way that mends the events by itself.
func (b bench) each(ways []change) []Fix {
	found := make([]*Fix, len(ways))
	inParallel(len(ways), func() func(int) {
		return func(i int) {
			if x, ok := b.least(ways[i], ways[i].most); ok {
				f := b.fix(amount{ways[i], x})
				found[i] = &f
			}
		}
	})
	var out []Fix
	for _, f := range found {
		if f != nil {
			out = append(out, *f)
		}
	}
	return out
}

// pair finds two remedies that together mend what none does alone: the first in
// order of effort, the second as small as it can be with plenty of the first,
// then the first as small as it can be.
func (b bench) pair(list []change) (Fix, bool) {
	type two struct{ a, b change }
	var pairs []two
	for i, a := range list {
		for _, c := range list[i+1:] {
			switch {
			case effort[a.what] < effort[c.what]:
				pairs = append(pairs, two{a, c})
			case effort[a.what] > effort[c.what]:
				pairs = append(pairs, two{c, a})
			}
		}
	}
	slices.SortStableFunc(pairs, func(p, q two) int {
		return cmp.Or(
			cmp.Compare(effort[p.a.what]+effort[p.b.what], effort[q.a.what]+effort[q.b.what]),
			cmp.Compare(seconds(p.a, p.b), seconds(q.a, q.b)))
	})
	for _, p := range pairs {
		if x, y, ok := b.both(p.a, p.b); ok {
			f, with := b.fix(amount{p.a, x}), b.fix(amount{p.b, y})
			f.With = &with
			return f, true
		}
	}
	return Fix{}, false
}

// pairRounds bounds how often the two halves of a pair are made smaller in turn.
const pairRounds = 4

// both makes two amounts as small as they can be together: each is proved with the
// other as it is. Usually the second found with plenty of the first is the one; but
// more water in a vat also warms more slowly, so they are tried in turn.
func (b bench) both(first, second change) (x, y float64, ok bool) {
	if second.what == MoreTime {
		second.most = mostPairHours
	}
	x = first.most
	for range pairRounds {
		if y, ok = b.least(second, second.most, amount{first, x}); !ok {
			return 0, 0, false
		}
		if x, ok = b.least(first, x, amount{second, y}); !ok {
			return 0, 0, false
		}
		if !b.proves(amount{first, x}, amount{second, y * proofStep}) {
			return x, y, true
		}
	}
	return 0, 0, false
}

// seconds counts the ways of a pair that are second choice.
func seconds(list ...change) int {
	n := 0
	for _, c := range list {
		if c.second {
			n++
		}
	}
	return n
}

// fix is an amount as it is shown, with its cost at the site's prices.
func (b bench) fix(a amount) Fix {
	f := Fix{What: a.what, Amount: a.x, Unit: a.unit, Where: a.where}
	if a.needsRoom {
		f.NeedsRoomL = a.x
		if a.what == StoredSaltwater {
			kept := float64(b.first().Water.Temperature)
			f.KeptAtC = &kept
		}
		return f // what a container costs is not known
	}
	switch a.what {
	case MoreSalt:
		f.Cost = costOf(b.site.Salts, a.where, a.x)
	case StoredSaltwater:
		if len(b.site.Salts) > 0 {
			f.Cost = costOf(b.site.Salts, b.site.Salts[0].ID, b.saltFor(a.x))
		}
	}
	return f
}

// costOf is the price of kg of a salt, rounded up to the hundredth; nil when it is
// not known.
func costOf(salts []site.Salt, id string, kg float64) *float64 {
	for _, s := range salts {
		if s.ID != id || s.PricePerKg == nil || kg <= 0 {
			continue
		}
		bill, err := mixing.BillFor(kg, 0, s.PricePerKg)
		if err != nil || bill.Cost == nil {
			return nil
		}
		cost := bill.Cost.InexactFloat64()
		return &cost
	}
	return nil
}

// saltFor is the salt in kg that l litres of a system's water take with the
// site's first salt; 0 when there is none.
func (b bench) saltFor(l float64) float64 {
	if len(b.site.Salts) == 0 {
		return 0
	}
	salt := b.site.Salts[0]
	batch, err := mixing.New(units.Litres(l), b.first().Water.Salinity, salt.DoseTemperature, salt.DoseTemperature, salt.Dose())
	if err != nil {
		return 0
	}
	return batch.SaltKg
}

// cheaper orders fixes: known costs first, the lowest first; then by effort.
func cheaper(a, b Fix) int {
	switch {
	case a.Cost != nil && b.Cost != nil:
		return cmp.Or(cmp.Compare(*a.Cost, *b.Cost), cmp.Compare(effort[a.What], effort[b.What]))
	case a.Cost != nil:
		return -1
	case b.Cost != nil:
		return 1
	}
	return cmp.Compare(effort[a.What], effort[b.What])
}

// firstFix is the first remedy of the worst event that has one: the worse
// verdict, then the lower coverage, then the order of the file.
func firstFix(events []Event) *FirstFix {
	var at *Event
	for i := range events {
		e := &events[i]
		if len(e.Fixes) == 0 {
			continue
		}
		if at == nil || e.Verdict.Worse(at.Verdict) || e.Verdict == at.Verdict && coverage(*e) < coverage(*at) {
			at = e
		}
	}
	if at == nil {
		return nil
	}
	return &FirstFix{Event: at.ID, Fix: at.Fixes[0], Cheapest: at.Fixes[0].Cost != nil}
}

func coverage(e Event) float64 {
	if e.Coverage == nil {
		return 0
	}
	return *e.Coverage
}
