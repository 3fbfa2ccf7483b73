package readiness

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// Decider is an assumed value that decides: at an end of its plausible range a verdict
// flips, or the litres of a plan move by a tenth or more.
type Decider struct {
	// What is its path in the site file and Value what was assumed; At is the end of
	// the range, Low to High, at which most changes.
	What  string `json:"what"`
	Value string `json:"value"`
	At    string `json:"at"`
	Low   string `json:"low"`
	High  string `json:"high"`
	// Changes are the events that fare otherwise then.
	Changes []Difference `json:"changes"`
	// Basis is what the range rests on, Measure how a keeper finds the value.
	Basis   string `json:"basis"`
	Measure string `json:"measure"`
}

// Difference is how one event fares with another value. LitresBy is the share by which the
// litres of its plan move, below zero for fewer.
type Difference struct {
	Event    string  `json:"event"`
	From     Verdict `json:"from"`
	To       Verdict `json:"to"`
	LitresBy float64 `json:"litres_by"`
}

// Why is what moving the assumed values shows.
type Why struct {
	// Tried counts the values that have a plausible range; Skipped those of them that were
	// not tried because there are too many.
	Tried    int       `json:"tried"`
	Skipped  int       `json:"skipped"`
	Deciders []Decider `json:"deciders"`
}

const (
	// mostTried is how many assumed values are moved, and decidesBy from which share on a
	// move of the litres counts.
	mostTried = 200
	decidesBy = 0.1
)

// Decide moves each assumed value of a site to the ends of its plausible range
// (refs.PlausibleRange), judges the events again on the worst day, and says which
// values decide, those that flip most verdicts first. try returns the site with one
// more assignment, as PATH=VALUE; an end that the site file does not allow beside its
// other values is passed over.
func Decide(s *site.Site, now time.Time, try func(set string) (*site.Site, error)) Why {
	w := Why{Deciders: []Decider{}}
	known := schedule.NewKnown() // most values make no difference to most events
	base := fates(s, now, known)
	for _, a := range s.Assumptions {
		r, ok := refs.PlausibleRange(generic(a))
		if !ok || a.Source == site.BasisFishOnly { // the range is that of reef animals
			continue
		}
		if w.Tried++; w.Tried > mostTried {
			w.Skipped++
			continue
		}
		best := Decider{What: a.What, Value: a.Value, Low: spelt(s, r.Path, r.Low), High: spelt(s, r.Path, r.High), Basis: r.Basis, Measure: r.Measure}
		for _, end := range []string{r.Low, r.High} {
			other, err := try(a.What + "=" + end)
			if err != nil {
				continue
			}
			if changes := compare(base, fates(other, now, known)); heavier(changes, best.Changes) {
				best.Changes, best.At = changes, spelt(s, r.Path, end)
			}
		}
		if len(best.Changes) > 0 {
			w.Deciders = append(w.Deciders, best)
		}
	}
	slices.SortStableFunc(w.Deciders, func(a, b Decider) int {
		return cmp.Or(cmp.Compare(flips(b.Changes), flips(a.Changes)), cmp.Compare(furthest(b.Changes), furthest(a.Changes)))
	})
	return w
}

// spelt is a value in the units in which the site's assumptions are.
func spelt(s *site.Site, path, text string) string { return site.Respell(path, text, s.Units) }

// generic is the path of an assumption without its id: stores.heel.
func generic(a refs.Assumption) string {
	if a.Place.ID == "" {
		return a.What
	}
	return strings.Replace(a.What, "."+a.Place.ID+".", ".", 1)
}

// fate is how one event fares.
type fate struct {
	id      string
	verdict Verdict
	litres  float64
}

// fates judges the events of a site on the worst day, without remedies.
func fates(s *site.Site, now time.Time, known *schedule.Known) []fate {
	j := newJudge(s, now, units.Metric)
	j.opt.Known = known
	out := make([]fate, len(s.Events))
	inParallel(len(s.Events), func() func(int) {
		p := j.plansFor(j.worst)
		return func(i int) {
			out[i] = fate{s.Events[i].ID, Unknown, 0}
			q, err := j.scenarioOf(s.Events[i])
			if err != nil {
				return
			}
			if made, err := p.run(q, false); err == nil {
				out[i] = fate{s.Events[i].ID, verdictOf(&made.Plans[0], 0), made.Plans[0].WaterL}
			}
		}
	})
	return out
}

// compare lists the events that fare otherwise: another verdict, or a tenth of the litres.
func compare(was, is []fate) []Difference {
	var out []Difference
	for i := range min(len(was), len(is)) {
		a, b := was[i], is[i]
		by := 0.0
		if a.litres > 0 {
			by = b.litres/a.litres - 1
		}
		if a.id == b.id && (a.verdict != b.verdict || math.Abs(by) >= decidesBy) {
			out = append(out, Difference{a.id, a.verdict, b.verdict, by})
		}
	}
	return out
}

// heavier reports whether one list of changes weighs more than another: more flips, then
// the larger move.
func heavier(a, b []Difference) bool {
	if x, y := flips(a), flips(b); x != y {
		return x > y
	}
	return furthest(a) > furthest(b)
}

func flips(list []Difference) int {
	n := 0
	for _, d := range list {
		if d.From != d.To {
			n++
		}
	}
	return n
}

func furthest(list []Difference) float64 {
	most := 0.0
	for _, d := range list {
		most = max(most, math.Abs(d.LitresBy))
	}
	return most
}
