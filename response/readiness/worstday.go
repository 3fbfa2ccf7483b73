package readiness

import (
	"sort"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// WorstDay is what the regular changes take from the stores before an event is
// judged: an event that strikes just after them finds the least.
type WorstDay struct {
	// RoutineL is the water of all regular changes together, litres.
	RoutineL float64 `json:"routine_l"`
	// DrawnL is what of it the stores gave: less than RoutineL when they run dry.
	DrawnL float64 `json:"drawn_l"`
	// From says which store gave how much.
	From []Drawn `json:"from"`
}

// Drawn is water that the regular changes took from one store.
type Drawn struct {
	Store   string  `json:"store"`
	VolumeL float64 `json:"volume_l"`
}

// JustAfter is how an event fares just after the regular changes: as Judge judges it, beside a plan on
// today's stock.
type JustAfter struct {
	// RoutineL is what the regular changes ask for, DrawnL what of it the stores gave: what is bought for empty stores is
	// drawn as well.
	RoutineL float64  `json:"routine_l"`
	DrawnL   float64  `json:"drawn_l"`
	Verdict  Verdict  `json:"verdict"`
	DoneAtH  *float64 `json:"done_at_h"`
	LackingL *float64 `json:"lacking_l"`
}

// EventJustAfter is how an event of the site fares just after the regular changes; nil where there
// are none.
//
// Errors: an event that does not say what it asks for.
func EventJustAfter(s *site.Site, now time.Time, event site.Event) (*JustAfter, error) {
	j := newJudge(s, now, units.Metric)
	if j.day.RoutineL <= 0 {
		return nil, nil
	}
	q, err := j.scenarioOf(event)
	if err != nil {
		return nil, err
	}
	out, err := j.plansFor(j.worst).run(q, false)
	if err != nil {
		return nil, err
	}
	made := &out.Plans[0]
	then := JustAfter{RoutineL: j.day.RoutineL, DrawnL: j.day.DrawnL, Verdict: verdictOf(made, 0), DoneAtH: made.DoneAtH}
	if then.Verdict.Fails() {
		then.LackingL = j.lackingOf(q, out.Plans, false)
	}
	return &then, nil
}

// onWorstDay returns a copy of the site just after every regular change, all on
// one day, has been made from the saltwater stores, and says what was drawn.
//
// Water is drawn down to the heel, the oldest first as a keeper would, undated
// water last, ties by id; water over its age is left alone, because it is not
// counted anyway. Nothing has been mixed to replace it yet: salt and purified
// water are untouched.
func onWorstDay(s *site.Site, now time.Time) (*site.Site, WorstDay) {
	w := WorstDay{From: []Drawn{}}
	for _, r := range s.Routine {
		w.RoutineL += float64(r.Volume)
	}
	after := *s
	after.Stores = append([]site.Store(nil), s.Stores...)
	left := decimal.NewFromFloat(w.RoutineL)
	for _, i := range routineOrder(after.Stores, now) {
		st := &after.Stores[i]
		usable := st.Volume.Sub(decimal.NewFromFloat(float64(st.Heel)))
		take := decimal.Min(left, usable)
		if !take.IsPositive() {
			continue
		}
		st.Volume = st.Volume.Sub(take)
		left = left.Sub(take)
		w.From = append(w.From, Drawn{Store: st.ID, VolumeL: take.InexactFloat64()})
		w.DrawnL += take.InexactFloat64()
	}
	return &after, w
}

// routineOrder lists the saltwater stores that count, in the order the regular
// change draws from them.
func routineOrder(stores []site.Store, now time.Time) []int {
	var order []int
	for i, st := range stores {
		if st.Holds == site.Saltwater && !st.OverAge(now) {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(a, b int) bool {
		x, y := stores[order[a]], stores[order[b]]
		sx, sy := x.FreshSince(), y.FreshSince()
		switch {
		case sx == nil && sy == nil || sx != nil && sy != nil && sx.Equal(*sy):
			return x.ID < y.ID
		case sx == nil || sy == nil:
			return sx != nil
		}
		return sx.Before(*sy)
	})
	return order
}
