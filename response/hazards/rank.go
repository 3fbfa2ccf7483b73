package hazards

import (
	"cmp"
	"math"
)

// Harm is who a hazard hurts, and how soon.
type Harm string

// The harms, worst first. A hazard that reaches no limit, or cannot be reckoned, has
// none.
const (
	People     Harm = "people"
	WithinADay Harm = "within-a-day"
	Slow       Harm = "slow"
	NoHarm     Harm = ""
)

// aDayH is the time within which a limit that animals do not survive is counted as
// killing within a day, hours.
const aDayH = 24

// bySpeed is the harm of a limit that animals do not survive, by the hours to it.
func bySpeed(hours *float64) Harm {
	if hours != nil && *hours <= aDayH {
		return WithinADay
	}
	return Slow
}

// rank is the place of a hazard's harm in the order; those that cannot be reckoned
// come before those that reach nothing.
func (h Hazard) rank() int {
	switch h.Harm {
	case People:
		return 0
	case WithinADay:
		return 1
	case Slow:
		return 2
	}
	if len(h.Missing) > 0 {
		return 3
	}
	return 4
}

// hours is the time to the limit for ordering; +Inf where it is not known.
func (h Hazard) hours() float64 {
	if h.HoursToLimit == nil {
		return math.Inf(1)
	}
	return *h.HoursToLimit
}

// worseFirst orders hazards by what they do, then by the time left, then by the
// guards that count.
func worseFirst(a, b Hazard) int {
	return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(a.hours(), b.hours()), cmp.Compare(a.Counting(), b.Counting()))
}

// Of is the part of a result that concerns one system; what concerns no system, a vat
// or the purifier, is left out.
func (r Result) Of(system string) Result {
	r.Hazards = kept(r.Hazards, func(h Hazard) bool { return h.System == system })
	r.Thermal = kept(r.Thermal, func(t Thermal) bool { return t.System == system })
	r.Batteries = kept(r.Batteries, func(b Battery) bool { return b.System == system })
	r.Generators = kept(r.Generators, func(g Generator) bool { return g.System == system })
	r.Dosers = kept(r.Dosers, func(d DoseStep) bool { return d.System == system })
	r.Floor = kept(r.Floor, func(l Load) bool { return l.System == system })
	r.NoLayer, r.OneLayer = counts(r.Hazards)
	return r
}

// kept are the items that pass, in a list of its own.
func kept[T any](list []T, pass func(T) bool) []T {
	out := []T{}
	for _, x := range list {
		if pass(x) {
			out = append(out, x)
		}
	}
	return out
}

// counts tells how many failures that do reach a limit have no guard that counts, and
// how many have one.
func counts(list []Hazard) (none, one int) {
	for _, h := range list {
		if h.Limit == "" {
			continue
		}
		switch h.Counting() {
		case 0:
			none++
		case 1:
			one++
		}
	}
	return none, one
}
