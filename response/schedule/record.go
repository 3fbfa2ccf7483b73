package schedule

import (
	"math"
	"slices"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/salinity"
)

// recorder follows a plan while it is played again and writes it down. It also
// follows the concentrations as expected with the values as stated, where the search
// goes by those that the litres are sized for.
type recorder struct {
	made      *plan.Plan
	dynamics  []dilution.Dynamics
	expected  []dilution.State
	pureAfter []float64
}

// writeOut plays the best plan again and returns it in full.
func (j *job) writeOut() plan.Plan {
	d := j.demand
	made := plan.Plan{
		Demand: *d, Proved: j.within, Nodes: j.nodes, Reachable: true, Exposure: j.score.exposure, ExposureToH: j.opt.HorizonH, Confidence: j.confidence(),
		Steps: []plan.Step{}, Batches: []plan.Batch{}, Prepared: []plan.Prepare{}, Supply: []plan.SupplyPoint{},
	}
	litres, changes := j.litresInAll(&j.start)
	made.DemandL, made.DemandChanges = finite(litres), changes
	made.UsableNowL = max(0, j.drawable(&j.start))
	r := &recorder{made: &made}
	for a := range d.Aims {
		nominal := j.aims[a].dynamics
		nominal.VolumeL = j.volL
		r.dynamics = append(r.dynamics, nominal)
		r.expected = append(r.expected, nominal.Start(d.Aims[a].Start))
	}
	j.record = r
	f := j.play(r)
	j.record, j.last = r, f
	j.results(&made, f, r)
	j.sum(&made, f)
	return made
}

// confidence is the share of cases the plan is sized for; nil where no uncertainty is
// stated.
func (j *job) confidence() *float64 {
	stated := j.demand.System.NetVolumeU > 0
	for _, a := range j.demand.Aims {
		stated = stated || a.StartU > 0
	}
	if !stated {
		return nil
	}
	share := j.opt.Confidence
	return &share
}

// finite is x, nil where it is infinite: no infinity stands in a plan.
func finite(x float64) *float64 {
	if math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// play follows the best path from the start and returns the last frame. A nil recorder
// writes nothing down but what is lacking after the last change: later a source that
// goes on would ask for ever more.
func (j *job) play(r *recorder) *frame {
	f := j.frameAt(0)
	f.copyFrom(&j.start)
	path := j.best
	next := func() int8 {
		c := path[0]
		path = path[1:]
		return c
	}
	var room [16]start
	r.supply(j, f)
	for !f.done() {
		for f.mix {
			f.mix = false
			if list := j.starts(f, room[:0]); len(list) > 0 {
				j.begin(f, list[next()])
			}
		}
		if f.decide {
			f.decide = false
			if ch := j.largest(f, f.draws); j.worthwhile(&ch) && next() == toChange {
				f.draws = ch.draws
				if r != nil {
					r.change(j, f, &ch)
				} else {
					j.make(f, &ch)
					j.shortL, _ = j.litresInAll(f)
				}
				continue
			}
		}
		if !j.advance(f) {
			break
		}
		r.supply(j, f)
	}
	return f
}

// change writes a change down and carries it out.
func (r *recorder) change(j *job, f *frame, ch *change) {
	minutes := j.minutes(ch.draws)
	s := plan.Step{
		N: len(r.made.Steps) + 1, AtH: f.atH, DoneH: f.atH + 2*minutes/60,
		DrainMinutes: minutes, FillMinutes: minutes,
		RemoveL: ch.litres, AddL: ch.litres, LimitedBy: ch.by,
		Before: stateOf(j.demand, f.system), After: stateOf(j.demand, ch.after),
	}
	for _, d := range ch.draws {
		v, w := &f.vats[d.vat], &j.vessels[d.vat]
		s.From = append(s.From, plan.Draw{
			StoreID: w.id, Delivery: w.delivery, Batch: v.batch, Litres: d.litres,
			Salinity: v.s, Temperature: v.at(f.atH), Buckets: w.pumpLH <= 0,
		})
	}
	for a := range r.expected {
		r.expected[a] = r.at(a, f.atH)
		before := r.expected[a].UgL
		for _, d := range ch.draws {
			r.expected[a].UgL -= (before - f.levels[d.vat*len(j.aims)+a]) * d.litres / j.volL
		}
		s.Levels = append(s.Levels, plan.Level{Before: before, After: r.expected[a].UgL})
	}
	was := f.system
	j.make(f, ch)
	for a := range s.Levels {
		s.Levels[a].SizedAfter = f.conc[a].UgL
		if j.demand.Aims[a].Contaminant == ammonia {
			unionise(&s.Levels[a], was, ch.after)
		}
	}
	r.made.Steps = append(r.made.Steps, s)
}

// at is an aim's expected state at time h.
func (r *recorder) at(a int, h float64) dilution.State {
	s := r.expected[a]
	if dt := h - s.AtH; dt > 0 && !r.dynamics[a].Inert() {
		return r.dynamics[a].After(s, dt)
	}
	s.AtH = max(h, s.AtH)
	return s
}

// ammonia is the id of total ammonia among the contaminants.
const ammonia = "ammonia_total"

// unionise sets the un-ionised ammonia before and after a change. pH is not
// conserved: the higher of the two counts.
//
// Source: [cw1995], total pH scale.
func unionise(l *plan.Level, before, after water) {
	if before.ph == 0 {
		return
	}
	was, err := salinity.UnionisedFraction(salinity.CleggWhitfieldTotal, before.ph, units.Practical(before.s), units.Celsius(before.c))
	if err != nil {
		return
	}
	is, err := salinity.UnionisedFraction(salinity.CleggWhitfieldTotal, after.ph, units.Practical(after.s), units.Celsius(after.c))
	if err != nil {
		return
	}
	was, is = was*l.Before, is*l.After
	l.UnionisedBefore, l.UnionisedAfter, l.Rises = &was, &is, is > was
}

// stateOf is the system's water as the plan prints it.
func stateOf(d *plan.Demand, w water) plan.State {
	s := plan.State{Salinity: w.s, Temperature: w.c}
	set := func(to **float64, has *float64, x float64) {
		if has != nil {
			*to = &x
		}
	}
	set(&s.AlkalinityDKH, d.System.Water.AlkalinityDKH, w.alk)
	set(&s.CalciumMgL, d.System.Water.CalciumMgL, w.ca)
	set(&s.MagnesiumMgL, d.System.Water.MagnesiumMgL, w.mg)
	set(&s.PH, d.System.Water.PH, w.ph)
	return s
}

// batch writes a batch down; the vat has just been filled.
func (r *recorder) batch(j *job, f *frame, vat int, litres, pure, kg float64, onTop bool) {
	v := &f.vats[vat]
	b := plan.Batch{
		N: f.batches, StoreID: j.vessels[vat].id, StartH: f.atH, MixedH: v.readyH, Litres: litres,
		PurifiedL: pure, SaltKg: kg, OnTop: onTop, Salinity: v.s, Temperature: v.at(f.atH),
	}
	if h := v.warmH; !math.IsInf(h, 1) {
		h = max(h, v.readyH)
		b.WarmH = &h
	}
	r.made.Batches = append(r.made.Batches, b)
	r.made.SaltKg += kg
	r.made.PurifiedL += pure
	r.pureAfter = append(r.pureAfter, f.pureL)
}

// supply notes the saltwater made usable so far, when it has grown.
func (r *recorder) supply(j *job, f *frame) {
	if r == nil {
		return
	}
	x := max(0, j.drawable(f)) + f.waterL
	if n := len(r.made.Supply); n == 0 || x > r.made.Supply[n-1].Litres+leastDrawL {
		r.made.Supply = append(r.made.Supply, plan.SupplyPoint{AtH: f.atH, Litres: x})
	}
}

// results tells how each aim fared.
func (j *job) results(made *plan.Plan, f *frame, r *recorder) {
	all := true
	last := 0.0
	for a := range j.aims {
		m := &j.aims[a]
		end := r.at(a, f.atH)
		res := plan.AimResult{
			EventID: j.demand.Aims[a].EventID, Floor: m.floor, Reachable: m.reachable, Background: m.newUgL,
			Final: end.UgL, PeakAfter: finite(r.dynamics[a].Peak(end)),
		}
		if f.reached(a) && m.reachable {
			h := f.doneH[a]
			res.DoneAtH, res.InTime = &h, h <= m.withinH*(1+tie)
			res.Holds = res.PeakAfter != nil && dilution.Met(*res.PeakAfter, j.demand.Aims[a].Target)
			last = max(last, h)
		} else {
			all = false
		}
		made.Reachable = made.Reachable && m.reachable
		made.Aims = append(made.Aims, res)
	}
	if all {
		made.DoneAtH, made.ExposureToH = &last, last
		made.InTime = !slices.ContainsFunc(made.Aims, func(a plan.AimResult) bool { return !a.InTime })
	}
}

// sum fills what follows from the steps.
func (j *job) sum(made *plan.Plan, f *frame) {
	made.WaterL = f.waterL
	if len(made.Steps) > 0 && made.Steps[0].AtH == 0 {
		made.FirstChangeL = made.Steps[0].RemoveL
	}
	if !made.Reachable {
		made.DemandL, made.DemandChanges = nil, 0
	}
	if made.DoneAtH == nil && made.Reachable {
		made.LackingL = finite(j.shortL)
	}
}
