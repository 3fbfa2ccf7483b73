package readiness

import (
	"cmp"
	"slices"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// fixes are the smallest remedies of each kind that bring everything of the scenario to
// its end in time, planned again with each; where no kind does alone, the smallest
// pair. The cheapest comes first. own are those of single.
func (b bench) fixes(ways []way, own []amount) []Fix {
	out := []Fix{}
	for _, a := range own {
		out = append(out, b.fix(a))
	}
	if len(out) == 0 {
		if pair, ok := b.pair(ways); ok {
			f, with := b.fix(pair[0], pair[1]), b.fix(pair[1], pair[0])
			f.With = &with
			out = append(out, f)
		}
	}
	slices.SortFunc(out, cheaper)
	return out
}

// single is the smallest amount of each kind that mends by itself, beside others that
// are given.
func (b bench) single(ways []way, others ...amount) []amount {
	// What is built or made on the spot is tried all at once first: often none of it
	// comes in time, and then none of its kinds needs a trial of its own.
	made := func(w way) bool {
		return w.what == MoreSalt || w.what == StoredPurified || w.what == VatHeater || w.what == PurifierRate || w.what == VatCapacity
	}
	var together []way
	for _, w := range ways {
		if made(w) {
			together = append(together, w)
		}
	}
	if len(together) > 0 && !b.mends(append(slices.Clip(others), atMost(together)...)...) {
		ways = slices.DeleteFunc(slices.Clone(ways), made)
	}
	found := make([]*amount, len(kinds))
	inParallel(len(kinds), func() func(int) {
		return func(i int) {
			if a, ok := b.kind(of(ways, kinds[i]), others...); ok {
				found[i] = &a
			}
		}
	})
	var out []amount
	for _, a := range found {
		if a != nil {
			out = append(out, *a)
		}
	}
	return out
}

// one is the smallest amount of one way up to most. Of saltwater in a container of its own
// that is what is lacking, which is known.
func (b bench) one(w way, most float64, others ...amount) (amount, bool) {
	if w.needsRoom && w.what == StoredSaltwater && b.lackingL != nil && len(others) == 0 {
		return amount{w, *b.lackingL, b.tooMuchL}, *b.lackingL <= most
	}
	return b.leastBelow(w, most, b.guess(w), others...)
}

// of picks the ways of a kind.
func of(ways []way, what Remedy) []way {
	var out []way
	for _, w := range ways {
		if w.what == what {
			out = append(out, w)
		}
	}
	return out
}

// kind is the smallest amount of one kind: by the ways that come first, else by the
// others. Where all its ways at their largest together do not mend, none does alone: one
// trial instead of one for each. (Stored saltwater is known to mend or not.)
func (b bench) kind(ways []way, others ...amount) (amount, bool) {
	if len(ways) > 1 && b.tellsTogether(ways[0].what) && !b.mends(append(slices.Clip(others), atMost(ways)...)...) {
		return amount{}, false
	}
	for _, second := range []bool{false, true} {
		var best amount
		found := false
		for _, w := range ways {
			if w.second != second || found && w.needsRoom && !best.needsRoom {
				continue // what fits in the vats comes before what does not
			}
			most := w.most
			if found {
				most = min(most, best.x*proofStep) // only a smaller one is of interest
			}
			if a, ok := b.one(w, most, others...); ok {
				best, found = a, true
				if w.what == Delivered {
					return best, true // the one that is needed latest
				}
			}
		}
		if found {
			return best, true
		}
	}
	return amount{}, false
}

// tellsTogether reports whether it has to be seen first whether all ways of a kind together mend. Of
// deliveries the latest is wanted; stored saltwater may be known to mend; and much cold purified
// water makes what a vat holds colder.
func (b bench) tellsTogether(what Remedy) bool {
	return what != Delivered && what != StoredPurified && (what != StoredSaltwater || b.lackingL == nil)
}

// pairRounds bounds how often the two halves of a pair are made smaller in turn, and
// mostPairs how many pairs are looked at.
const (
	pairRounds = 4
	mostPairs  = 40
)

// pair finds two remedies that together mend what none does alone, of the two kinds
// with the least effort of which the largest amounts do: the second as small as
// it can be with plenty of the first, then the first as small as it can be. Kinds, and then ways,
// that do not mend beside all of the other kind are left out without being
// paired one by one.
func (b bench) pair(ways []way) ([]amount, bool) {
	kept := 0
	for sum := 1; sum < 2*len(kinds)-2; sum++ {
		for i := max(0, sum-len(kinds)+1); 2*i < sum; i++ {
			first, second := of(ways, kinds[i]), of(ways, kinds[sum-i])
			if len(first) == 0 || len(second) == 0 || !b.mends(append(atMost(first), atMost(second)...)...) {
				continue
			}
			for _, w := range b.beside(first, second) {
				for _, v := range b.beside(second, []way{w}) {
					if kept++; kept > mostPairs {
						return nil, false
					}
					if x, y, ok := b.both(w, v); ok {
						return []amount{x, y}, true
					}
				}
			}
		}
	}
	return nil, false
}

// beside keeps the ways that mend, at their largest, together with all of the others at
// theirs; those that come first, first.
func (b bench) beside(ways, others []way) []way {
	plenty := atMost(others)
	var out []way
	for _, w := range ways {
		if b.mends(append(slices.Clip(plenty), amount{way: w, x: w.most})...) {
			out = append(out, w)
		}
	}
	return out
}

func choice(w way) int {
	if w.second {
		return 1
	}
	return 0
}

// both makes two amounts as small as they can be together: each is proved with the
// other as it is. Usually the second found with plenty of the first is the one; but
// more water in a vat also warms more slowly, so they are tried in turn.
func (b bench) both(first, second way) (x, y amount, ok bool) {
	if second.what == MoreTime {
		second.most = mostPairHours
	}
	x = amount{way: first, x: first.most}
	for range pairRounds {
		if y, ok = b.least(second, 0, x); !ok {
			return x, y, false
		}
		if x, ok = b.leastBelow(first, x.x, 0, y); !ok {
			return x, y, false
		}
		beside := func(l float64) []amount { return []amount{x, {way: second, x: l}} }
		if _, less := mendsBelow(func(l float64) bool { return !b.fails(beside(l)...) }, func(l float64) bool { return b.hopeless(beside(l)...) },
			y.x, append([]float64{proofStep}, ladder...)); !less {
			return x, y, true
		}
	}
	return x, y, false
}

// fix is an amount as it is shown, with its cost and what the plan does with it beside the other half of a pair.
func (b bench) fix(a amount, beside ...amount) Fix {
	f := b.plain(a)
	f.How = b.how(a, beside...)
	return f
}

// plain is an amount as it is shown, with its cost at the site's prices.
func (b bench) plain(a amount) Fix {
	f := Fix{What: a.what, Amount: a.x, Unit: a.unit, Where: a.place(b.site)}
	if a.tooMuch > 0 {
		f.TooMuch = &a.tooMuch
	}
	if a.what == Delivered {
		f.AfterH = &a.afterH
	}
	if a.water != nil {
		s, c := float64(a.water.Salinity), float64(a.water.Temperature)
		if f.Salinity = &s; !a.asWarm {
			f.KeptAtC = &c
		}
	}
	if a.needsRoom {
		f.NeedsRoomL = a.x // what a container costs is not known
	}
	f.BackgroundUgL = a.counted(b.scenario)
	f.Cost = b.cost(a)
	return f
}

// cost is what an amount costs at the site's prices; nil when that is not known.
func (b bench) cost(a amount) *float64 {
	switch {
	case a.needsRoom:
		return nil
	case a.what == MoreSalt:
		return costOf(b.site.Salts, a.where, a.x)
	case a.what == StoredSaltwater && len(b.site.Salts) > 0:
		s := b.first().Water.Salinity
		if a.water != nil {
			s = a.water.Salinity
		}
		return costOf(b.site.Salts, b.site.Salts[0].ID, b.saltFor(a.x, s))
	}
	return nil
}

// how says how a remedy has to be entered where that is not plain, and what the new plan does with stored
// water to make it fit, where that is what it is for: "" where there is nothing of the kind.
func (b bench) how(a amount, beside ...amount) string {
	have := append([]amount{a}, beside...)
	if a.needsRoom {
		if how := toEnter([]target{{bench: b}}, have); how != "" {
			return how
		}
	}
	if a.what != StoredPurified && a.what != StoredSaltwater && a.what != MoreSalt {
		return ""
	}
	p, q := b.with(have)
	if p.err != nil {
		return ""
	}
	out, err := p.planner.Run(q, p.opt)
	if err != nil {
		return ""
	}
	for _, made := range out.Plans {
		for _, x := range made.Prepared {
			switch x.What {
			case plan.Cut:
				return "it cuts the water in " + x.StoreID + " to fit"
			case plan.Lift:
				return "it lifts the water in " + x.StoreID + " to fit"
			}
		}
	}
	return ""
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

// saltFor is the salt in kg that l litres of a salinity take with the site's first
// salt; 0 when there is none.
func (b bench) saltFor(l float64, s units.Practical) float64 {
	if len(b.site.Salts) == 0 {
		return 0
	}
	salt := b.site.Salts[0]
	batch, err := mixing.New(units.Litres(l), s, salt.DoseTemperature, salt.DoseTemperature, salt.Dose())
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
