package schedule

import (
	"math"
	"slices"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/salinity"
)

// recorder writes a plan down while its moves are carried out again. It also follows the
// concentrations as expected with the values as stated, where the search goes by those
// that the litres are sized for.
type recorder struct {
	p        *problem
	s        state
	made     *plan.Plan
	dynamics []dilution.Dynamics
	expected []dilution.State
	// pureLeast is the least purified water left after any work; shortL the water still
	// lacking after the last change: later a source that goes on would ask for ever more.
	pureLeast, shortL float64
}

// writeOut carries out the moves found and returns the plan in full; closely: with how sure
// it is the best by the close bound, which was asked.
func (p *problem) writeOut(f found, closely bool) (plan.Plan, *recorder) {
	d := p.demand
	bound := f.quick
	if closely {
		bound = *f.close
	}
	gap, proved := f.gap(bound)
	made := plan.Plan{
		Demand: *d, Proved: proved, GapPercent: 100 * gap, Nodes: f.nodes, Reachable: true, Exposure: f.score.exposure, ExposureToH: p.horizonH, Confidence: p.sizedFor(),
		Steps: []plan.Step{}, Batches: []plan.Batch{}, Prepared: []plan.Prepare{}, Supply: []plan.SupplyPoint{},
	}
	litres, changes := p.litresInAll(&p.start)
	made.DemandL, made.DemandChanges = finite(litres), changes
	made.UsableNowL = p.usableNow()
	r := &recorder{p: p, made: &made, pureLeast: math.Inf(1), shortL: litres}
	r.s.copyFrom(&p.start)
	for a := range d.Aims {
		nominal := p.aims[a].dynamics
		nominal.VolumeL = p.tank.volL
		r.dynamics = append(r.dynamics, nominal)
		r.expected = append(r.expected, nominal.Start(d.Aims[a].Start))
	}
	r.play(f.moves)
	r.results()
	r.sum()
	return made, r
}

// play carries out the moves, passing the moments between them for the supply's sake.
func (r *recorder) play(moves []move) {
	p, s := r.p, &r.s
	r.supply()
	for k := range moves {
		m := &moves[k]
		for next, _ := p.nextMoment(s); next < m.atH; next, _ = p.nextMoment(s) {
			p.advance(s)
			r.supply()
		}
		if s.atH < m.atH {
			p.passTo(s, m.atH)
			r.supply()
		}
		switch m.kind {
		case toChange:
			r.change(&m.change)
			r.shortL, _ = p.litresInAll(s)
		case toWork:
			r.work(m)
		default:
			p.follow(s, m)
		}
	}
	for !s.done() && p.advance(s) {
		r.supply()
	}
}

// confidence is the share of cases the plan is sized for; nil where no uncertainty is
// stated.
func (p *problem) sizedFor() *float64 {
	stated := p.demand.System.NetVolumeU > 0
	for _, a := range p.demand.Aims {
		stated = stated || a.StartU > 0
	}
	if !stated {
		return nil
	}
	share := p.confidence
	return &share
}

// finite is x, nil where it is infinite: no infinity stands in a plan.
func finite(x float64) *float64 {
	if math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// change writes a change down and carries it out.
func (r *recorder) change(ch *change) {
	p, f := r.p, &r.s
	minutes := p.minutes(ch.draws)
	if f.water.ph != 0 {
		ch.after.ph = p.mixedPH(f, ch)
	}
	s := plan.Step{
		N: len(r.made.Steps) + 1, AtH: f.atH, DoneH: f.atH + 2*minutes/60,
		DrainMinutes: minutes, FillMinutes: minutes,
		RemoveL: ch.litres, AddL: ch.litres, LimitedBy: ch.by,
		Before: stateOf(p.demand, f.water), After: stateOf(p.demand, ch.after),
	}
	for _, d := range ch.draws {
		v, w := &f.vats[d.vat], &p.vessels[d.vat]
		left := max(0, v.volL-w.heelL-d.litres)
		s.From = append(s.From, plan.Draw{
			StoreID: w.id, Delivery: w.delivery, Batch: v.batch, Litres: d.litres,
			Salinity: v.s, Temperature: v.at(f.atH), Buckets: w.pumpLH <= 0, LeftL: &left,
		})
	}
	for a := range r.expected {
		r.expected[a] = r.at(a, f.atH)
		before := r.expected[a].UgL
		for _, d := range ch.draws {
			r.expected[a].UgL -= (before - f.levels[d.vat*len(p.aims)+a]) * d.litres / p.tank.volL
		}
		s.Levels = append(s.Levels, plan.Level{Before: before, After: r.expected[a].UgL})
	}
	was := f.water
	p.change(f, ch)
	for a := range s.Levels {
		s.Levels[a].SizedAfter = f.conc[a].UgL
		if p.demand.Aims[a].Contaminant == plan.TotalAmmonia {
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

// unionise sets the un-ionised ammonia before and after a change, at the pH of the
// system and of the mixture.
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

// work carries work on a vat out and writes it down: pouring away, cutting or lifting, and
// a batch.
func (r *recorder) work(m *move) {
	p, s, j := r.p, &r.s, m.job
	v, w := &s.vats[j.vat], &p.vessels[j.vat]
	before, had := *v, r.salts()
	took := p.follow(s, m)
	if !w.overAge || before.batch > 0 {
		r.made.PouredL += j.removeL
	}
	salts := r.taken(had)
	r.pureLeast = min(r.pureLeast, s.pure.litres)
	r.made.SaltKg += took.saltKg
	r.made.PurifiedL += took.pureL
	x := plan.Prepare{What: plan.Empty, StoreID: w.id, AtH: s.atH, ReadyH: s.atH, RemoveL: j.removeL, Salts: []plan.Salt{}, Litres: took.heldL, Salinity: before.s}
	if took.heldL > w.heelL+leastEmpty*p.tank.volL {
		x.What = plan.Lower
	}
	if j.batchL > 0 {
		if j.removeL > leastDrawL {
			r.made.Prepared = append(r.made.Prepared, x)
		}
		r.batch(j, took, salts)
		return
	}
	if took.pureL > 0 || took.saltKg > 0 {
		x.What, x.ReadyH, x.AddL, x.SaltKg, x.Salts, x.Litres, x.Salinity = plan.Cut, v.readyH, took.pureL, took.saltKg, salts, v.volL, v.s
	}
	if took.saltKg > 0 {
		x.What = plan.Lift
	}
	r.made.Prepared = append(r.made.Prepared, x)
}

// salts is how much of each salt there has been so far, deliveries on the way counted as
// here: what is gone of it afterwards was poured.
func (r *recorder) salts() []float64 {
	kg := slices.Clone(r.s.saltKg)
	for _, a := range r.p.works.comes[r.s.comes:] {
		if len(kg) > 0 {
			kg[0] += a.saltKg
		}
	}
	return kg
}

// taken is what has been poured of each salt since there was had of them.
func (r *recorder) taken(had []float64) []plan.Salt {
	out := []plan.Salt{}
	for k, left := range r.salts() {
		if kg := had[k] - left; kg > leastSaltKg {
			out = append(out, plan.Salt{ID: r.p.works.salts[k].id, Kg: kg, Named: len(had) > 1})
		}
	}
	return out
}

// leastSaltKg is what no scale of a keeper shows: what rounding leaves of a salt used up.
const leastSaltKg = 1e-6

// batch writes a batch down; the vat has just been filled.
func (r *recorder) batch(j job, took worked, salts []plan.Salt) {
	v, w := &r.s.vats[j.vat], &r.p.vessels[j.vat]
	b := plan.Batch{
		N: r.s.spent.batches, StoreID: w.id, StartH: r.s.atH, MixedH: v.readyH, Litres: v.volL - took.heldL,
		PurifiedL: took.pureL, SaltKg: took.saltKg, Salts: salts, OnTop: took.heldL > w.heelL+leastDrawL, Salinity: v.s, Temperature: v.at(r.s.atH),
	}
	if h := v.warmH; !math.IsInf(h, 1) {
		h = max(h, v.readyH)
		b.WarmH = &h
	}
	r.made.Batches = append(r.made.Batches, b)
}

// supply notes the saltwater made usable so far, when it has grown.
func (r *recorder) supply() {
	x := max(0, r.p.drawable(&r.s)) + r.s.spent.waterL
	if n := len(r.made.Supply); n == 0 || x > r.made.Supply[n-1].Litres+leastDrawL {
		r.made.Supply = append(r.made.Supply, plan.SupplyPoint{AtH: r.s.atH, Litres: x})
	}
}

// results tells how each aim fared.
func (r *recorder) results() {
	p, made, f := r.p, r.made, &r.s
	all := true
	last := 0.0
	for a := range p.aims {
		m := &p.aims[a]
		end := r.at(a, f.atH)
		res := plan.AimResult{
			EventID: p.demand.Aims[a].EventID, Contaminant: p.demand.Aims[a].Contaminant, Floor: m.floor, Reachable: m.reachable, Background: m.newUgL,
			Final: end.UgL, PeakAfter: finite(r.dynamics[a].Peak(end)),
		}
		if f.reached(a) && m.reachable {
			h := f.doneH[a]
			res.DoneAtH, res.InTime = &h, h <= m.withinH*(1+tie)
			res.Holds = res.PeakAfter != nil && dilution.Met(*res.PeakAfter, p.demand.Aims[a].Target)
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
func (r *recorder) sum() {
	made := r.made
	made.Exposure -= r.p.after(&r.s)
	made.WaterL = r.s.spent.waterL
	if len(made.Steps) > 0 && made.Steps[0].AtH <= r.p.start.nextH {
		made.FirstChangeL = made.Steps[0].RemoveL
	}
	if !made.Reachable {
		made.DemandL, made.DemandChanges = nil, 0
	}
	if made.DoneAtH == nil && made.Reachable {
		made.LackingL = finite(r.shortL)
	}
}
