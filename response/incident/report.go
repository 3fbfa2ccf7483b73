package incident

import (
	"math"
	"slices"
	"time"

	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// Report is an incident from discovery to its close, for those who were not there. All of
// it comes from the journal and the site file; what nobody wrote is left out.
type Report struct {
	State State
	// Drawn is the water taken from each store, in the order of first use; "" elsewhere.
	Drawn []Drawn
	// DrawnL and Salinity are all water of the site's own stores, the mean by volume.
	DrawnL, Salinity float64
	// SaltKg is dry salt that was entered as used between opening and close.
	SaltKg float64
	// Steps are the changes as made, each beside what was planned just before.
	Steps []StepMade
	// Coldest, Warmest, LeastSalt and MostSalt are of the water as followed.
	Coldest, Warmest, LeastSalt, MostSalt float64
	// Exposure is how long each substance was above its goal, by the course fitted.
	Exposure []Exposure
	Retests  []Retest
}

// Drawn is water from one store.
type Drawn struct {
	Store  string
	Litres float64
}

// StepMade is one change as it was made.
type StepMade struct {
	Item Item
	// After is the system's water right after.
	After plan.State
	// Planned is the first change of the plan as it stood right before; nil: no change
	// was planned, or none could be. PlannedAt is when it was to start.
	Planned   *plan.Step
	PlannedAt time.Time
}

// Exposure is how long a substance was above its goal.
type Exposure struct {
	Contaminant string
	// AboveH hours above Target until the end; Highest is the highest result, µg/L.
	AboveH, Target, Highest float64
}

// ReportOn gathers the report at a moment. filed is the site as the file says, entries
// the whole journal: each change is set beside the plan that could be made just before
// it, with what the stores held then. opt bounds the search of each.
func (l Log) ReportOn(filed, folded *site.Site, entries []stock.Entry, now time.Time, target Target, opt schedule.Options) (Report, error) {
	st, err := l.StateAt(folded, now, target)
	if err != nil {
		return Report{}, err
	}
	r := Report{State: st, Retests: st.Retests()}
	r.count(entries)
	if err := r.follow(filed, entries, target, opt); err != nil {
		return Report{}, err
	}
	r.expose()
	return r, nil
}

// count adds up water and salt.
func (r *Report) count(entries []stock.Entry) {
	place := map[string]int{}
	weighed := 0.0
	for _, it := range r.State.Log.Items {
		for _, p := range it.Pours {
			litres := p.Litres.InexactFloat64()
			k, known := place[p.Store]
			if !known {
				k = len(r.Drawn)
				place[p.Store] = k
				r.Drawn = append(r.Drawn, Drawn{Store: p.Store})
			}
			r.Drawn[k].Litres += litres
			if p.Store != "" && p.Salinity != nil {
				r.DrawnL += litres
				weighed += litres * *p.Salinity
			}
		}
	}
	if r.DrawnL > 0 {
		r.Salinity = weighed / r.DrawnL
	}
	for _, e := range stock.Standing(entries, r.State.Log.OpenedAt, r.State.end()) {
		if e.UsedKg != nil {
			r.SaltKg += e.UsedKg.InexactFloat64()
		}
	}
}

// end is when the record ends: the close, or the moment of the state.
func (st *State) end() time.Time {
	if st.Log.ClosedAt != nil {
		return *st.Log.ClosedAt
	}
	return st.Now
}

// follow walks the changes, each beside its plan, and the extremes of the water.
func (r *Report) follow(filed *site.Site, entries []stock.Entry, target Target, opt schedule.Options) error {
	log, sys := r.State.Log, r.State.System
	first, err := log.WaterAt(sys, log.OpenedAt.Add(-time.Second))
	if err != nil {
		return err
	}
	r.Coldest, r.Warmest = first.State.Temperature, first.State.Temperature
	r.LeastSalt, r.MostSalt = first.State.Salinity, first.State.Salinity
	for i, it := range log.Items {
		if it.Kind != stock.Change && it.Kind != stock.Reading {
			continue
		}
		w, err := log.first(i+1).WaterAt(sys, it.At)
		if err != nil {
			return err
		}
		r.Coldest, r.Warmest = math.Min(r.Coldest, w.State.Temperature), math.Max(r.Warmest, w.State.Temperature)
		r.LeastSalt, r.MostSalt = math.Min(r.LeastSalt, w.State.Salinity), math.Max(r.MostSalt, w.State.Salinity)
		if it.Kind == stock.Reading {
			continue
		}
		made := StepMade{Item: it, After: w.State}
		if err := made.plan(log, i, filed, entries, target, opt); err != nil {
			return err
		}
		r.Steps = append(r.Steps, made)
	}
	return nil
}

// first is the log as far as its first n items.
func (l Log) first(n int) Log {
	l.Items, l.ClosedAt = l.Items[:n:n], nil
	return l
}

// plan finds what was planned just before a change, the i-th item: with the log and the stores as
// they were then.
func (m *StepMade) plan(l Log, i int, filed *site.Site, entries []stock.Entry, target Target, opt schedule.Options) error {
	var err error
	m.Planned, err = l.plannedAt(i, false, filed, entries, target, opt)
	if err == nil && m.Item.late() && l.wroteMeanwhile(i) {
		err = m.planWith(l, i, filed, entries, target, opt)
	}
	if err == nil && m.Planned != nil {
		m.PlannedAt = m.Item.At.Add(hours(m.Planned.AtH))
	}
	return err
}

// planWith takes the plan by what was written down later, where that is nearer to what was made: of a change that was written
// down with its results the next day nobody knows which of them were known, and "35 L less moved" was said of one that went by
// them.
func (m *StepMade) planWith(l Log, i int, filed *site.Site, entries []stock.Entry, target Target, opt schedule.Options) error {
	known, err := l.plannedAt(i, true, filed, entries, target, opt)
	if err != nil || known == nil {
		return err
	}
	off := func(s *plan.Step) float64 { return math.Abs(s.RemoveL - m.Item.Litres()) }
	if m.Planned == nil || off(known) < off(m.Planned) {
		m.Planned = known
	}
	return nil
}

// soon is within which time an entry is written where it is made: hands are dried first. A rule of this tool.
const soon = time.Hour

// late reports whether an item was written down later than where it was made.
func (it Item) late() bool { return it.Written.Sub(it.At) > soon }

// wroteMeanwhile reports whether what happened before the i-th item was written down only after it.
func (l Log) wroteMeanwhile(i int) bool {
	at := l.Items[i].At
	return slices.ContainsFunc(l.Items[:i], func(it Item) bool { return it.writtenAfter(at) })
}

// plannedAt is the first step of the plan as it stood right before the i-th item, a change, began;
// nil: none was planned. What was written down later was not known then, and counts only with hindsight.
//
// Errors: as StateAt.
func (l Log) plannedAt(i int, hindsight bool, filed *site.Site, entries []stock.Entry, target Target, opt schedule.Options) (*plan.Step, error) {
	at := l.Items[i].At
	var known []stock.Entry
	undone := stock.Undone(entries)
	for _, e := range entries {
		if e.ID != l.Items[i].ID && !e.Time.After(at) && !undone[e.ID] && e.Kind != stock.Undo {
			known = append(known, e)
		}
	}
	before := l.first(i)
	if !hindsight {
		before.Items = slices.DeleteFunc(slices.Clone(before.Items), func(it Item) bool { return it.writtenAfter(at) })
	}
	folded, _ := stock.Fold(filed, known, at)
	st, err := before.StateAt(folded, at, target)
	if err != nil {
		return nil, err
	}
	if err := st.UnderWay(filed, folded, known, opt); err != nil || len(st.Demand.Aims) == 0 {
		return nil, err
	}
	if st.Rest != nil {
		return &st.Rest.Step, nil
	}
	st.warmedAsRead(l.Items[i].Pours)
	p, _, err := st.run(folded, opt)
	if err != nil || len(p.Steps) == 0 {
		return nil, err
	}
	return &p.Steps[0], nil
}

// writtenAfter reports whether what an item says was not known at a time after it. A change is known to whoever makes it.
func (it Item) writtenAfter(at time.Time) bool {
	return it.Written.After(at) && it.Kind != stock.Change
}

// expose finds how long each substance was above its goal, on the course fitted.
func (r *Report) expose() {
	untilH := 0.0
	for _, g := range r.State.Goals {
		f := g.Finding
		if f == nil || len(f.Series.Samples) == 0 {
			continue
		}
		x := Exposure{Contaminant: g.Contaminant, Target: g.Target}
		for _, p := range f.Series.Samples {
			if !p.Below {
				x.Highest = math.Max(x.Highest, p.UgL)
			}
		}
		untilH = math.Max(0, r.State.end().Sub(f.Series.T0).Hours())
		course := f.Course(untilH)
		for i := 1; i < len(course) && g.Target > 0; i++ {
			x.AboveH += above(course[i-1], course[i], g.Target)
		}
		r.Exposure = append(r.Exposure, x)
	}
}

// above is the part of the time between two levels that lies above a target, on the
// straight line between them.
func above(a, b Band, target float64) float64 {
	over := func(x float64) bool { return x > target }
	switch {
	case over(a.Mid) && over(b.Mid):
		return b.AtH - a.AtH
	case !over(a.Mid) && !over(b.Mid):
		return 0
	case over(a.Mid):
		return (b.AtH - a.AtH) * (a.Mid - target) / (a.Mid - b.Mid)
	}
	return (b.AtH - a.AtH) * (b.Mid - target) / (b.Mid - a.Mid)
}
