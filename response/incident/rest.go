package incident

import (
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// A change that is interrupted (the power fails, the pump stops, the phone rings) is gone on with,
// not counted as a smaller one: what is left of it is the first step of the plan from here, and the
// next change may start as if the first had been made in one go.
const (
	// goOnShare is how long a change can be gone on with, as a share of the time between two
	// changes. Later, its rest and the next change would be one pour larger than a step.
	goOnShare = 0.5
	// leastRest is the smallest rest that is one, as a share of the change as planned: less is
	// how well a bucket is filled.
	leastRest = 0.1
	// inOneGo is by how much the parts together may be more than may be out at once: buckets.
	inOneGo = 1.01
)

// row is one change as a plan counts it, made in one part or several.
type row struct {
	first, last int // places in Log.Items; what lies between may be other entries
	began       time.Time
	litres      float64
}

// rows are the changes made, in order. A part joins the change before it if it began in time
// to go on with it and both together are not more than may be out at once.
func (l Log) rows(sys *site.System) []row {
	var out []row
	for i, it := range l.Items {
		if it.Kind != stock.Change {
			continue
		}
		litres := it.Litres()
		if n := len(out); n > 0 && it.At.Before(out[n-1].goOnUntil(sys)) && out[n-1].litres+litres <= inOneGo*sys.Drawdown*float64(sys.NetVolume) {
			out[n-1].last = i
			out[n-1].litres += litres
			continue
		}
		out = append(out, row{i, i, it.At, litres})
	}
	return out
}

// goOnUntil is until when a change can be gone on with.
func (r row) goOnUntil(sys *site.System) time.Time {
	return r.began.Add(hours(goOnShare * sys.ChangeEveryH))
}

// Rushed says of an entry that is a change whether more went out at once than may be, and how long after the change before it, of
// this incident or of the one before, it began where that is too soon for another one; 0: it is not. 300 L of a tank of 400 for
// 30, and two changes that were made at night and entered in the morning as made now, brought a goal near by a slip.
func (l Log) Rushed(sys *site.System, entry int) (tooMuch bool, after time.Duration) {
	k := slices.IndexFunc(l.Items, func(it Item) bool { return it.ID == entry && it.Kind == stock.Change })
	if k < 0 {
		return false, 0
	}
	it, rows := l.Items[k], l.rows(sys)
	tooMuch = it.Litres() > inOneGo*sys.Drawdown*float64(sys.NetVolume)
	n := slices.IndexFunc(rows, func(r row) bool { return r.first == k })
	var began time.Time
	switch {
	case n > 0:
		began = rows[n-1].began
	case n == 0 && l.Before != nil:
		began, _ = l.Before.lastBegan(sys)
	}
	if !began.IsZero() && it.At.Before(row{began: began}.goOnUntil(sys)) {
		after = it.At.Sub(began)
	}
	return tooMuch, after
}

// Rest is what is left of a change that was interrupted.
type Rest struct {
	// Row is the number of the change, from 1; MadeL of its PlannedL are made.
	Row             int
	MadeL, PlannedL float64
	// Until is until when it can be gone on with.
	Until time.Time
	Step  plan.Step
}

// UnderWay looks at what else is going on: other incidents, which share the water, so that one plan never
// pours away or draws what another counts on; deliveries on their way; and a change that was interrupted, with
// whose rest the plan from here then begins. filed is the site as the file says, folded as it stands, entries the whole journal.
//
// Errors: as StateAt.
func (st *State) UnderWay(filed, folded *site.Site, entries []stock.Entry, opt schedule.Options) error {
	if len(st.Demand.Aims) == 0 {
		return nil // nothing is left that a plan, or a change, would be for
	}
	logs, _ := Logs(entries)
	for _, l := range logs {
		if l.ID == st.Log.ID || l.OpenedAt.After(st.Now) || l.ClosedAt != nil && !l.ClosedAt.After(st.Now) || folded.SystemByID(l.Opening.System) == nil {
			continue
		}
		other, err := l.StateAt(folded, st.Now, st.target)
		if err != nil {
			return err
		}
		if len(other.Demand.Aims) > 0 {
			st.Besides, st.beside = append(st.Besides, l), append(st.beside, other.Demand)
		}
	}
	since := st.since()
	entered := stock.Standing(entries, since, st.Now)
	st.await(folded, entered, since)
	st.warm(folded, entered, since)
	var err error
	st.Rest, err = st.Log.unfinished(filed, folded, entries, st.Now, st.target, opt)
	return err
}

// unfinished finds what is left of the last change, nil if nothing is: it was planned larger
// right before it began, it can still be gone on with, and its water is there.
//
// Errors: as StateAt.
func (l Log) unfinished(filed, folded *site.Site, entries []stock.Entry, now time.Time, target Target, opt schedule.Options) (*Rest, error) {
	l = l.until(now)
	sys := folded.SystemByID(l.Opening.System)
	rows := l.rows(sys)
	if l.ClosedAt != nil || len(rows) == 0 {
		return nil, nil
	}
	r := rows[len(rows)-1]
	if !now.Before(r.goOnUntil(sys)) || r.litres >= (1-leastRest)*sys.Drawdown*float64(sys.NetVolume) {
		return nil, nil // too late, or as much as may be out at once: no plan has to be asked
	}
	planned, err := l.meant(r.first, filed, entries, target, opt)
	if err != nil || planned == nil || hours(planned.AtH) > r.goOnUntil(sys).Sub(r.began) || planned.RemoveL-r.litres < leastRest*planned.RemoveL {
		return nil, err
	}
	var made []stock.Pour
	for _, it := range l.Items[r.first : r.last+1] {
		made = append(made, it.Pours...)
	}
	step, ok := restOf(*planned, made, r.litres, folded, now)
	if !ok {
		return nil, nil
	}
	return &Rest{Row: len(rows), MadeL: r.litres, PlannedL: planned.RemoveL, Until: r.goOnUntil(sys), Step: step}, nil
}

// meant is the smaller of what was planned right before the i-th item, a change, as was known then and as is known now: a
// change of the 6.3 L that a result asked for, written down with it an hour later, was to be finished with 19.7 L.
//
// Errors: as StateAt.
func (l Log) meant(i int, filed *site.Site, entries []stock.Entry, target Target, opt schedule.Options) (*plan.Step, error) {
	then, err := l.plannedAt(i, false, filed, entries, target, opt)
	if err != nil || then == nil || !l.wroteMeanwhile(i) {
		return then, err
	}
	now, err := l.plannedAt(i, true, filed, entries, target, opt)
	if err != nil || now == nil || now.RemoveL < then.RemoveL {
		return now, err
	}
	return then, nil
}

// restOf is a planned change less what was poured of it, as far as its stores still hold it beyond
// what is never planned away; false where they do not.
func restOf(planned plan.Step, made []stock.Pour, madeL float64, s *site.Site, now time.Time) (plan.Step, bool) {
	st := stock.StatusOf(s, now)
	free := 0.0
	for _, t := range st.Totals {
		if t.Holds == site.Saltwater {
			free = t.Usable.InexactFloat64()
		}
	}
	left := min(planned.RemoveL-madeL, free)
	step := plan.Step{N: 1, Rest: true, LimitedBy: planned.LimitedBy}
	for _, d := range toPour(planned, made) {
		k := slices.IndexFunc(st.Stores, func(x stock.StoreStatus) bool { return x.ID == d.StoreID })
		if k < 0 || st.Stores[k].State == stock.OverAge {
			continue
		}
		usable := st.Stores[k].Usable.InexactFloat64()
		d.Litres = min(d.Litres, usable, left-step.RemoveL)
		if d.Litres <= 0 {
			continue
		}
		usable -= d.Litres
		d.LeftL = &usable
		d.Salinity, d.Temperature = float64(st.Stores[k].Salinity), float64(st.Stores[k].TemperatureC)
		step.From = append(step.From, d)
		step.RemoveL += d.Litres
	}
	step.AddL = step.RemoveL
	part := step.RemoveL / planned.RemoveL
	step.DrainMinutes, step.FillMinutes = part*planned.DrainMinutes, part*planned.FillMinutes
	step.DoneH = (step.DrainMinutes + step.FillMinutes) / 60
	return step, part >= leastRest
}

// toPour is how much of each store a change as planned still asks for. Where more was poured from one
// than planned, the keeper goes on from there: what is left comes from that store first, as far as it goes.
func toPour(planned plan.Step, made []stock.Pour) []plan.Draw {
	var out []plan.Draw
	for _, d := range planned.From {
		if d.Batch > 0 || d.Delivery > 0 {
			continue // not there when the change began, whatever was poured instead
		}
		for _, p := range made {
			if p.Store == d.StoreID {
				d.Litres -= p.Litres.InexactFloat64()
			}
		}
		if d.Litres < 0 {
			d.Litres = planned.RemoveL
			out = slices.Insert(out, 0, d)
			continue
		}
		out = append(out, d)
	}
	return out
}

// goOn is the plan from here where a change is to be finished first: the rest now, and the plan
// for what is left to do after it, with what the stores hold then.
func (st *State) goOn(s *site.Site, opt schedule.Options) (*plan.Plan, schedule.Outcome, error) {
	after, stores, err := st.afterRest(s)
	if err != nil {
		return nil, schedule.Outcome{}, err
	}
	first := st.Rest.Step
	first.Before, first.After = st.Water.State, after.Water.State
	p, out, err := after.Plan(stores, opt)
	if err != nil {
		return nil, out, err
	}
	if p == nil { // no more than the rest is needed
		done := first.DoneH
		p = &plan.Plan{DoneAtH: &done, InTime: true, Reachable: true, Proved: true}
		for _, a := range st.Demand.Aims {
			p.Aims = append(p.Aims, plan.AimResult{EventID: a.EventID, Contaminant: a.Contaminant, DoneAtH: &done, Reachable: true, InTime: true, Holds: true, Final: after.level(a)})
		}
	}
	st.join(p, &first, &after)
	if len(out.Plans) == 0 {
		out.Plans = []plan.Plan{*p}
	}
	return p, out, nil
}

// afterRest is the state, and the site, once the rest is poured.
func (st *State) afterRest(s *site.Site) (State, *site.Site, error) {
	var pours []stock.Pour
	stores := *s
	stores.Stores = slices.Clone(s.Stores)
	for _, d := range st.Rest.Step.From {
		litres := decimal.NewFromFloat(d.Litres)
		salinity, temp := d.Salinity, d.Temperature
		pours = append(pours, stock.Pour{Store: d.StoreID, Litres: litres, Salinity: &salinity, TemperatureC: &temp})
		store := stores.StoreByID(d.StoreID)
		store.Volume = decimal.Max(decimal.Decimal{}, store.Volume.Sub(litres))
	}
	l := st.Log
	l.Items = append(slices.Clone(l.Items), Item{At: st.Now, Kind: stock.Change, Pours: pours})
	after, err := l.StateAt(&stores, st.Now, st.target)
	after.Besides, after.beside, after.deliveries, after.warmed = st.Besides, st.beside, st.deliveries, st.warmed
	return after, &stores, err
}

// join sets the rest before a plan that was made for the water after it.
func (st *State) join(p *plan.Plan, first *plan.Step, after *State) {
	share := 1 - first.RemoveL/float64(st.System.NetVolume)
	for k, a := range st.Demand.Aims {
		first.Levels = append(first.Levels, plan.Level{Before: a.Start, After: after.level(a), SizedAfter: after.level(a)})
		if !a.Share() {
			continue
		}
		// The plan counts shares from what is there after the rest.
		first.Levels[k].After, first.Levels[k].SizedAfter = share, share
		for i := range p.Steps {
			scale(&p.Steps[i].Levels[k], share)
		}
		p.Aims[k].Final *= share
		p.Aims[k].Floor *= share
	}
	p.Demand = st.Demand
	p.Steps = append([]plan.Step{*first}, p.Steps...)
	for i := range p.Steps {
		p.Steps[i].N = i + 1
	}
	p.WaterL += first.RemoveL
	p.UsableNowL += first.RemoveL
	p.FirstChangeL = first.RemoveL
	if p.DemandL != nil {
		whole := *p.DemandL + first.RemoveL
		p.DemandL = &whole
		p.DemandChanges++
	}
	for i := range p.Supply {
		p.Supply[i].Litres += first.RemoveL
	}
}

func scale(l *plan.Level, share float64) {
	l.Before *= share
	l.After *= share
	l.SizedAfter *= share
}

// level is what is in the water of an aim's contaminant, µg/L.
func (st *State) level(a plan.Aim) float64 {
	if g := st.Goal(a.Contaminant); g != nil && g.Finding != nil && g.Finding.PlanFrom != nil {
		return g.Finding.PlanFrom.Value
	}
	return 0
}

// Changes is how many changes were made: one that was interrupted and gone on with is one.
func (l Log) Changes(sys *site.System) int { return len(l.rows(sys)) }
