package schedule

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// problem lays out what a demand asks, after what earlier demands have taken.
//
// Errors: an aim that is negative or not finite, a salt that cannot make the system's
// salinity.
func (pl *Planner) problem(d *plan.Demand, opt Options, taken *taken) (*problem, error) {
	p := &problem{
		demand: d, horizonH: opt.HorizonH, confidence: opt.Confidence, reserveL: float64(pl.site.Reserve.Saltwater),
		closely: opt.Nodes > mostNodes, rounds: rounds(pl.site), finishing: opt.finishing(pl.site),
		shared: opt.shared, wanted: pl.site.Reserve.KeepsStored || opt.keepsStored,
	}
	p.tank = pl.tankOf(d, &opt)
	p.works = works{mixH: opt.mixH(pl), cutH: pl.site.Mixing.CutTimeH}
	p.start = state{
		nextH: max(0, d.NotBeforeH), water: p.tank.own,
		ask: ask{change: d.NotBeforeH <= 0, planned: noJob, freedH: math.Inf(1)},
	}
	if d.Now != nil {
		p.start.water = waterOf(*d.Now, p.tank.own)
	}
	for _, h := range d.Held {
		w := waterOf(h.State, p.tank.own)
		p.start.held = append(p.start.held, held{w.s, w.c, w.alk, h.UntilH})
	}
	if err := pl.takeAims(p, opt); err != nil {
		return nil, err
	}
	if err := pl.takeSalts(p, opt, taken); err != nil {
		return nil, err
	}
	pl.takePurified(p, opt, taken)
	pl.takeVats(p, opt, taken)
	pl.takeDeliveries(p, taken)
	p.arrange()
	p.size()
	return p, nil
}

func (pl *Planner) tankOf(d *plan.Demand, opt *Options) tank {
	sys := d.System
	w := &sys.Water
	volL := float64(sys.NetVolume)
	return tank{
		volL: volL, mostL: sys.Drawdown * volL, leastL: sys.LeastChange * volL, everyH: sys.ChangeEveryH,
		own:    water{float64(w.Salinity), float64(w.Temperature), known(w.AlkalinityDKH), known(w.CalciumMgL), known(w.MagnesiumMgL), known(w.PH)},
		limits: &sys.Limits, hasAlk: w.AlkalinityDKH != nil, reheats: d.Reheats, awake: pl.awakeFrom(opt),
	}
}

// awakeFrom is when changes and work on vats may be started, counted from the planner's start on the
// site's clock.
func (pl *Planner) awakeFrom(opt *Options) awake {
	a := pl.site.Awake
	if a == nil || opt.sleepless {
		return awake{always: true}
	}
	return awake{clockH: pl.site.ClockH(pl.start), hours: *a, alwaysUntilH: site.AlwaysAwakeH}
}

// waterOf is a state of the system, as it is kept where nothing else is known.
func waterOf(s plan.State, own water) water {
	w := water{s: s.Salinity, c: s.Temperature, alk: own.alk, ca: own.ca, mg: own.mg, ph: own.ph}
	for _, x := range []struct {
		to   *float64
		from *float64
	}{{&w.alk, s.AlkalinityDKH}, {&w.ca, s.CalciumMgL}, {&w.mg, s.MagnesiumMgL}, {&w.ph, s.PH}} {
		if x.from != nil {
			*x.to = *x.from
		}
	}
	return w
}

// takeAims checks the aims and lays out their dynamics.
func (pl *Planner) takeAims(p *problem, opt Options) error {
	if len(p.demand.Aims) == 0 {
		return fmt.Errorf("system %s: nothing to bring down", p.demand.System.ID)
	}
	for i := range p.demand.Aims {
		a := &p.demand.Aims[i]
		if err := checkAim(a); err != nil {
			return fmt.Errorf("system %s: %w", p.demand.System.ID, err)
		}
		m := aim{startUgL: a.Start, target: a.Target, withinH: math.Inf(1)}
		if a.WithinH > 0 {
			m.withinH = a.WithinH
		}
		m.dynamics = dilution.Dynamics{
			VolumeL: p.tank.volL, Source: dilution.Source{MgH: a.SourceMgH},
			BoundRatio: a.BoundRatio, BoundRatePerH: a.BoundRatePerH,
		}
		if opt.Media && !a.Share() {
			pl.takeMedia(&m.dynamics, p.demand.System.ID, a.Contaminant)
		}
		m.inert = m.dynamics.Inert()
		p.aims = append(p.aims, m)
	}
	return nil
}

// checkAim says what is wrong with an aim.
func checkAim(a *plan.Aim) error {
	for _, x := range []struct {
		name  string
		value float64
	}{{"start", a.Start}, {"uncertainty of the start", a.StartU}, {"target", a.Target}, {"source", a.SourceMgH},
		{"bound ratio", a.BoundRatio}, {"bound rate", a.BoundRatePerH}, {"time allowed", a.WithinH}} {
		if !(x.value >= 0) || math.IsInf(x.value, 1) {
			return fmt.Errorf("%s %g; it must be zero or more and finite", x.name, x.value)
		}
	}
	return nil
}

// takeMedia counts the media of a system whose capacity has been measured.
func (pl *Planner) takeMedia(d *dilution.Dynamics, system, contaminant string) {
	for i := range pl.site.Media {
		m := &pl.site.Media[i]
		if m.System == system && m.CapacityMg != nil && *m.CapacityMg > 0 && m.SinglePass[contaminant] > 0 {
			d.ClearanceLH += m.FlowLH * m.SinglePass[contaminant]
			d.CapacityMg += *m.CapacityMg
		}
	}
}

// takeSalts works out what each salt takes per litre at the system's salinity.
func (pl *Planner) takeSalts(p *problem, opt Options, taken *taken) error {
	if p.tank.own.s <= 0 {
		return nil
	}
	sys := p.demand.System
	for i := range pl.site.Salts {
		s := &pl.site.Salts[i]
		b, err := mixing.New(1, units.Practical(p.tank.own.s), units.Celsius(p.tank.own.c), pl.feed(p), s.Dose())
		if err != nil {
			return fmt.Errorf("salt %s: %w", s.ID, err)
		}
		k := saltKind{
			id: s.ID, dry: pl.dry[i], kgPerL: b.SaltKg, purePerL: float64(b.Water),
			ph: first(s.Makes.PH, sys.Water.PH),
		}
		k.alk, k.ca, k.mg = brought(&site.Chemistry{}, s, sys, p.tank.own.s)
		for a := range p.demand.Aims {
			k.background = append(k.background, s.Background[p.demand.Aims[a].Contaminant])
		}
		p.works.salts = append(p.works.salts, k)
		kg := s.OnHand.InexactFloat64() + opt.Extra.SaltKg[s.ID]
		if taken != nil {
			kg -= taken.saltKg[s.ID]
		}
		p.start.saltKg = append(p.start.saltKg, kg)
	}
	return nil
}

// first is the first of two values that is known, else 0.
func first(a, b *float64) float64 {
	if a != nil {
		return *a
	}
	return known(b)
}

// brought is what water of a salinity holds of what salt brings: as stated of the water, else as its salt makes
// it, else as in the system, both in proportion to the salinity; of alkalinity, which systems are dosed with, not
// more than a salt makes.
//
// Source: law of constant proportions, [mfwm2008]; alkalinity of 7 to 11 dKH in new water of salinity 35: common
// practice.
func brought(stated *site.Chemistry, salt *site.Salt, sys *site.System, sal float64) (alk, ca, mg float64) {
	const mostDKH = 11
	bySalt, ofSystem := proportion(sal, float64(salt.DoseSalinity)), proportion(sal, float64(sys.Water.Salinity))
	of := func(stated, made, own *float64, most float64) float64 {
		switch {
		case stated != nil:
			return *stated
		case made != nil:
			return *made * bySalt
		case own == nil:
			return 0
		}
		return min(*own*ofSystem, max(*own, most))
	}
	makes := &salt.Makes
	alk = of(stated.AlkalinityDKH, makes.AlkalinityDKH, sys.Water.AlkalinityDKH, mostDKH*proportion(sal, 35))
	ca = of(stated.CalciumMgL, makes.CalciumMgL, sys.Water.CalciumMgL, math.Inf(1))
	mg = of(stated.MagnesiumMgL, makes.MagnesiumMgL, sys.Water.MagnesiumMgL, math.Inf(1))
	return alk, ca, mg
}

// proportion is salinity.Proportion; all of it where the other salinity is not known or has no salt.
func proportion(sal, of float64) float64 {
	share, err := salinity.Proportion(units.Practical(sal), units.Practical(of))
	if sal == of || of <= 0 || err != nil {
		return 1
	}
	return share
}

// feed is the temperature of newly purified water, and that of the system where
// there is no purifier.
func (pl *Planner) feed(p *problem) units.Celsius {
	if pl.site.Purifier != nil {
		return units.Celsius(min(max(float64(pl.site.Purifier.Feed), coldest), warmest))
	}
	return units.Celsius(p.tank.own.c)
}

func (pl *Planner) takePurified(p *problem, opt Options, taken *taken) {
	w := &p.works
	p.start.pure = pool{pl.pureL, pl.pureC, 0}
	w.roomL, w.feedC = pl.pureRoomL, float64(pl.feed(p))
	rate := opt.Extra.PurifierLH
	if pl.site.Purifier != nil {
		rate += pl.site.Purifier.RateLH
	}
	if rate > 0 {
		w.rateLH = rate
		if q := pl.site.Purifier; q != nil {
			w.rateLH *= q.Factors().Lowest
		}
	}
	for id, x := range opt.Extra.StoreL {
		if s := pl.site.StoreByID(id); s != nil && s.Holds == site.Purified {
			p.start.pure.litres += x
			w.roomL += x
		}
	}
	for id, x := range opt.Extra.CapacityL {
		if s := pl.site.StoreByID(id); s != nil && s.Holds == site.Purified && s.FilledBy == "purifier" {
			w.roomL += x
		}
	}
	if taken != nil && taken.pureH > 0 {
		p.start.pure = pool{taken.pureL, taken.pureC, taken.pureH}
	} else if taken != nil {
		p.start.pure.litres -= taken.pureNowL
	}
}

// arrange puts the vessels in an order that depends on what they are, not on what they
// are called.
func (p *problem) arrange() {
	n, aims := len(p.vessels), len(p.aims)
	order := ascending(n)
	far := func(i int) float64 { return p.mismatch(&p.start, &p.start.vats[i], p.start.vats[i].at(0)) }
	// Of vats that are all as salty for a tank of little salt the one that is as warm is cut first.
	cold := func(i int) float64 { return math.Abs(p.start.vats[i].at(0) - p.tank.own.c) }
	slices.SortStableFunc(order, func(a, b int) int {
		x, y, v, w := &p.vessels[a], &p.vessels[b], &p.start.vats[a], &p.start.vats[b]
		return cmp.Or(cmp.Compare(far(a), far(b)), cmp.Compare(cold(a), cold(b)), cmp.Compare(x.minutesPerL(), y.minutesPerL()), cmp.Compare(w.volL, v.volL),
			cmp.Compare(y.capL, x.capL), cmp.Compare(x.heelL, y.heelL), cmp.Compare(y.heaterW, x.heaterW), cmp.Compare(x.lossWK, y.lossWK),
			cmp.Compare(v.s, w.s), cmp.Compare(v.at(0), w.at(0)), cmp.Compare(v.alk, w.alk), cmp.Compare(v.ph, w.ph), cmp.Compare(x.fromH, y.fromH),
			slices.Compare(p.start.levels[a*aims:(a+1)*aims], p.start.levels[b*aims:(b+1)*aims]))
	})
	vessels, vats, levels := make([]vessel, n), make([]vat, n), make([]float64, 0, n*aims)
	for k, i := range order {
		vessels[k], vats[k] = p.vessels[i], p.start.vats[i]
		levels = append(levels, p.start.levels[i*aims:(i+1)*aims]...)
	}
	p.vessels, p.start.vats, p.start.levels = vessels, vats, levels
}
