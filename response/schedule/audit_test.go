package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// audit follows a plan with what a keeper could measure: litres, degrees, salinity,
// alkalinity, calcium, magnesium and contaminants of every water, from the site file on. It
// shares nothing with the planner but package mixing for putting waters together.
type audit struct {
	t                        *testing.T
	name                     string
	site                     *site.Site
	plan                     *plan.Plan
	vats                     map[string]*audited
	tank                     audited
	levels                   []float64
	atH                      float64 // of levels
	seen                     exposed
	doneH                    []float64
	poured                   float64
	noted                    int // points of the supply that have been looked at
	steps, prepared, batches int // that have been followed
	// rough: a batch has been made on top of other water, corrected at once or not; litres add
	// up only to a thousandth or two.
	rough bool
}

// audited is water in one place.
type audited struct {
	litres, s, c, sinceH, alk, ca, mg float64
	ug                                []float64
	store                             *site.Store
	readyH                            float64
	batch                             int
	madeFor                           *plan.Plan // the batch
}

type exposed struct{ sum float64 }

// warm is the temperature of a vat at a time, by Newton's law of cooling with a heater that
// stops at the system's temperature.
func (a *audit) warm(v *audited, h float64) float64 {
	own := float64(a.plan.Demand.System.Water.Temperature)
	if v.store == nil || v.c >= own || v.litres <= 0 || h <= v.sinceH {
		return v.c
	}
	loss, room := known(v.store.HeatLossWK), float64(a.plan.Demand.System.Ambient.Usual)
	net := v.store.HeaterW - loss*(v.c-room)
	if v.store.HeaterW <= 0 || net <= 0 {
		return v.c
	}
	litre, err := mixing.LitreHeat(units.Practical(v.s), units.Celsius(v.c))
	if err != nil {
		a.t.Fatal(err)
	}
	dt, capacity := (h-v.sinceH)*3600, v.litres*litre
	if loss == 0 {
		return min(own, v.c+net*dt/capacity)
	}
	end := room + v.store.HeaterW/loss
	return min(own, end-(end-v.c)*math.Exp(-loss*dt/capacity))
}

func (a *audit) same(what string, got, want, tol float64) {
	a.t.Helper()
	if a.rough {
		tol += 2e-3 * math.Abs(want)
	}
	close2(a.t, a.name+": "+what, got, want, tol)
}

// saltsIn is what dissolves in a litre of a salinity, to a factor.
func saltsIn(sal float64) float64 {
	rho, _ := salinity.Density(units.Practical(sal), 25)
	return sal * float64(rho)
}

// makes is what a salt makes in water of the system's salinity, of what it says it makes at that of its dose.
func (a *audit) makes(stated *float64) float64 {
	return *stated * saltsIn(float64(a.plan.Demand.System.Water.Salinity)) / saltsIn(float64(a.site.Salts[0].DoseSalinity))
}

// begin lays out the waters of the site file.
func (a *audit) begin() {
	d := a.plan.Demand
	own, salt := d.System.Water, site.Salt{}
	if len(a.site.Salts) > 0 {
		salt = a.site.Salts[0]
	}
	// What is not stated is in proportion to the salts in a litre.
	firstKnown := func(sal float64, stated, made, tank *float64) float64 {
		switch {
		case stated != nil:
			return *stated
		case made != nil:
			return *made * saltsIn(sal) / saltsIn(float64(salt.DoseSalinity))
		case tank != nil:
			return *tank * saltsIn(sal) / saltsIn(float64(own.Salinity))
		}
		return 0
	}
	of := func(s *site.Store, litres, sal, c float64) *audited {
		w := site.Chemistry{}
		var bg map[string]float64
		if s != nil {
			w, bg = s.Water, s.Background
		}
		v := &audited{litres: litres, s: sal, c: c, store: s, alk: firstKnown(sal, w.AlkalinityDKH, salt.Makes.AlkalinityDKH, own.AlkalinityDKH),
			ca: firstKnown(sal, w.CalciumMgL, salt.Makes.CalciumMgL, own.CalciumMgL), mg: firstKnown(sal, w.MagnesiumMgL, salt.Makes.MagnesiumMgL, own.MagnesiumMgL)}
		for _, x := range d.Aims {
			ug, stated := bg[x.Contaminant]
			if !stated && len(a.site.Salts) > 0 {
				ug = a.site.Salts[0].Background[x.Contaminant]
			}
			v.ug = append(v.ug, ug)
		}
		return v
	}
	a.vats = map[string]*audited{}
	for i := range a.site.Stores {
		if s := &a.site.Stores[i]; s.Holds == site.Saltwater {
			a.vats[s.ID] = of(s, s.Volume.InexactFloat64(), float64(s.Water.Salinity), float64(s.Water.Temperature))
		}
	}
	for n, x := range a.site.Deliveries {
		sal, c := float64(own.Salinity), float64(own.Temperature)
		if x.Salinity != nil {
			sal = float64(*x.Salinity)
		}
		if x.Temperature != nil {
			c = float64(*x.Temperature)
		}
		v := of(nil, float64(x.Saltwater), sal, c)
		v.readyH = x.AfterH
		a.vats[fmt.Sprint("delivery ", n+1)] = v
	}
	a.tank = audited{litres: float64(d.System.NetVolume), s: float64(own.Salinity), c: float64(own.Temperature), alk: known(own.AlkalinityDKH), ca: known(own.CalciumMgL), mg: known(own.MagnesiumMgL)}
	for _, x := range d.Aims {
		a.levels, a.doneH = append(a.levels, x.Start), append(a.doneH, math.Inf(1))
	}
}

// pass lets what is added add up, and the exposure.
func (a *audit) pass(h float64) {
	for k, x := range a.plan.Demand.Aims {
		rate := x.SourceMgH * 1000 / a.tank.litres
		const steps = 2000
		for n := range steps { // by the midpoint
			c := a.levels[k] + rate*(h-a.atH)*(float64(n)+0.5)/steps
			a.seen.sum += max(0, c-x.Target) / x.Target * (h - a.atH) / steps
		}
		a.levels[k] += rate * (h - a.atH)
	}
	a.atH = h
}

// step checks one change against the waters it is made of.
func (a *audit) step(n int) {
	s, d := &a.plan.Steps[n], &a.plan.Demand
	a.pass(s.AtH)
	if d.Reheats {
		a.tank.c = float64(d.System.Water.Temperature)
	}
	a.state("before", s.Before)
	parts := []mixing.Water{{Volume: units.Litres(a.tank.litres - s.RemoveL), Salinity: units.Practical(a.tank.s), Temperature: units.Celsius(a.tank.c)}}
	left := 1 - s.RemoveL/a.tank.litres
	alk, ca, mg, minutes := a.tank.alk*left, a.tank.ca*left, a.tank.mg*left, 0.0
	falls := make([]float64, len(d.Aims))
	for _, from := range s.From {
		id, pump := from.StoreID, math.Inf(1)
		if from.Delivery > 0 {
			id = fmt.Sprint("delivery ", from.Delivery)
			for _, st := range a.site.Stores { // by the slowest pump there is
				if st.TransferLH != nil {
					pump = min(pump, *st.TransferLH)
				}
			}
			if math.IsInf(pump, 1) {
				pump = 600
			}
		} else if pump = known(a.site.StoreByID(id).TransferLH); pump == 0 {
			pump = 600 // a bucket of 10 L a minute
		}
		v := a.vats[id]
		c := a.warm(v, s.AtH)
		a.same("temperature of "+id, from.Temperature, c, 1e-6)
		a.same("salinity of "+id, from.Salinity, v.s, 1e-6)
		batch := v.batch
		if v.madeFor != a.plan {
			batch = 0 // for this plan it is water like any
		}
		if from.Batch != batch || from.Buckets != (from.Delivery == 0 && a.site.StoreByID(id).TransferLH == nil) && from.Delivery == 0 {
			a.t.Errorf("%s: %+v, %s holds batch %d", a.name, from, id, v.batch)
		}
		if s.AtH < v.readyH-1e-6 {
			a.t.Errorf("%s: %s drawn at %g h, ready at %g", a.name, id, s.AtH, v.readyH)
		}
		v.litres, v.c, v.sinceH = v.litres-from.Litres, c, s.AtH
		if v.store != nil && v.litres < float64(v.store.Heel)-1e-6 || v.litres < -1e-6 {
			a.t.Errorf("%s: %g L left in %s", a.name, v.litres, id)
		}
		parts = append(parts, mixing.Water{Volume: units.Litres(from.Litres), Salinity: units.Practical(from.Salinity), Temperature: units.Celsius(c)})
		share := from.Litres / a.tank.litres
		alk, ca, mg, minutes = alk+v.alk*share, ca+v.ca*share, mg+v.mg*share, minutes+60*from.Litres/pump
		for k := range falls {
			falls[k] += (a.levels[k] - v.ug[k]) * share
		}
	}
	mix, err := mixing.Blend(parts...)
	if err != nil {
		a.t.Fatal(err)
	}
	a.tank.s, a.tank.c, a.tank.alk, a.tank.ca, a.tank.mg = float64(mix.Salinity), float64(mix.Temperature), alk, ca, mg
	a.state("after", s.After)
	a.same("drain", s.DrainMinutes, minutes, 1e-6)
	a.same("fill", s.FillMinutes, minutes, 1e-6)
	a.same("done", s.DoneH, s.AtH+2*minutes/60, 1e-9)
	a.same("added", s.AddL, s.RemoveL, 0)
	a.poured += s.AddL
	for k, x := range d.Aims {
		a.same("level before", s.Levels[k].Before, a.levels[k], 1e-6*x.Start)
		a.levels[k] -= falls[k]
		a.same("level after", s.Levels[k].After, a.levels[k], 1e-6*x.Start)
		a.same("as sized", s.Levels[k].SizedAfter, a.levels[k], 1e-6*x.Start)
		is := a.levels[k]
		if a.rough {
			is = s.Levels[k].SizedAfter // which has been found the same within a thousandth or two
		}
		if math.IsInf(a.doneH[k], 1) && is <= x.Target*(1+1e-7) {
			a.doneH[k] = s.DoneH
		}
	}
	if s.N != n+1 {
		a.t.Errorf("%s: change %d is numbered %d", a.name, n+1, s.N)
	}
}

func (a *audit) state(when string, s plan.State) {
	a.t.Helper()
	a.same("temperature "+when, s.Temperature, a.tank.c, 1e-6)
	a.same("salinity "+when, s.Salinity, a.tank.s, 1e-6)
	a.same("alkalinity "+when, *s.AlkalinityDKH, a.tank.alk, 1e-6)
	a.same("calcium "+when, *s.CalciumMgL, a.tank.ca, 1e-4)
	a.same("magnesium "+when, *s.MagnesiumMgL, a.tank.mg, 1e-4)
}

// batch fills a vat with what one is made of. Purified water has the same temperature
// wherever it comes from.
func (a *audit) batch(b *plan.Batch, pureC float64) {
	v, salt := a.vats[b.StoreID], a.site.Salts[0]
	own := a.plan.Demand.System.Water
	one, err := mixing.New(1, own.Salinity, own.Temperature, units.Celsius(pureC), salt.Dose())
	if err != nil {
		a.t.Fatal(err)
	}
	c := a.warm(v, b.StartH)
	held := v.litres
	a.rough = a.rough || held > 1e-6
	litres := b.Litres
	if math.Abs(v.s-float64(own.Salinity)) > 1e-6 && math.Abs(b.Salinity-float64(own.Salinity)) < 1e-6 && held > 1e-6 {
		litres = a.corrected(v, b, c, pureC, one)
		c = v.c
	} else {
		a.same("litres of salt", b.SaltKg/one.SaltKg, b.Litres, 1e-6)
		a.same("litres of purified water", b.PurifiedL/float64(one.Water), b.Litres, 0.005*b.Litres+1e-6)
	}
	parts := []mixing.Water{{Volume: units.Litres(litres), Salinity: own.Salinity, Temperature: units.Celsius(pureC)}}
	if v.litres > 1e-6 {
		parts = append(parts, mixing.Water{Volume: units.Litres(v.litres), Salinity: units.Practical(v.s), Temperature: units.Celsius(c)})
	}
	mix, err := mixing.Blend(parts...)
	if err != nil {
		a.t.Fatal(err)
	}
	was := v.litres / (v.litres + litres)
	join := func(x *float64, makes float64) { *x = *x*was + makes*(1-was) }
	join(&v.alk, a.makes(salt.Makes.AlkalinityDKH))
	join(&v.ca, a.makes(salt.Makes.CalciumMgL))
	join(&v.mg, a.makes(salt.Makes.MagnesiumMgL))
	for k, x := range a.plan.Demand.Aims {
		join(&v.ug[k], salt.Background[x.Contaminant])
	}
	if onTop := held > float64(v.store.Heel)+1e-6; onTop != b.OnTop {
		a.t.Errorf("%s: batch %d on top of %g L: %v", a.name, b.N, v.litres, b.OnTop)
	}
	v.litres, v.s, v.c, v.sinceH, v.batch = held+b.Litres, float64(mix.Salinity), float64(mix.Temperature), b.StartH, b.N
	v.madeFor = a.plan
	v.readyH = b.StartH + a.site.Mixing.EmergencyTimeH
	a.same("salinity of a batch", b.Salinity, v.s, 1e-6)
	a.same("temperature of a batch", b.Temperature, v.c, 1e-6)
	a.same("mixed", b.MixedH, v.readyH, 1e-9)
	if v.litres > float64(v.store.Capacity)+1e-6 {
		a.t.Errorf("%s: %g L in %s of %g", a.name, v.litres, b.StoreID, float64(v.store.Capacity))
	}
	if b.WarmH != nil {
		own := float64(own.Temperature)
		if c := a.warm(v, *b.WarmH); c < own-1e-6 || *b.WarmH < b.MixedH-1e-9 {
			a.t.Errorf("%s: batch %d %g °C at %g h", a.name, b.N, c, *b.WarmH)
		} else if early := *b.WarmH - 0.01; early > b.MixedH && a.warm(v, early) >= own {
			a.t.Errorf("%s: batch %d is warm before %g h", a.name, b.N, *b.WarmH)
		}
	} else if a.warm(v, 1e5) >= float64(own.Temperature) {
		a.t.Errorf("%s: batch %d gets warm", a.name, b.N)
	}
}

// corrected brings what a vat holds to the system's salinity before a batch goes on top of it,
// and returns the litres of the batch: its salt and its water are told in one sum.
func (a *audit) corrected(v *audited, b *plan.Batch, c, pureC float64, one mixing.Batch) (litres float64) {
	salt := a.site.Salts[0]
	dose := salt.Dose()
	fix, err := mixing.Correct(mixing.Water{Volume: units.Litres(v.litres), Salinity: units.Practical(v.s), Temperature: units.Celsius(c)}, a.plan.Demand.System.Water.Salinity, mixing.Means{Dose: &dose, Source: units.Celsius(pureC)})
	if err != nil {
		a.t.Fatal(err)
	}
	litres = (b.SaltKg - fix.AddSaltKg) / one.SaltKg
	a.same("purified water of a batch and a cut", b.PurifiedL, float64(fix.AddWater)+litres*float64(one.Water), 0.01*b.PurifiedL)
	thin, more := v.litres/(v.litres+float64(fix.AddWater)), fix.AddSaltKg/one.SaltKg/v.litres
	v.alk, v.ca, v.mg = v.alk*thin+a.makes(salt.Makes.AlkalinityDKH)*more, v.ca*thin+a.makes(salt.Makes.CalciumMgL)*more, v.mg*thin+a.makes(salt.Makes.MagnesiumMgL)*more
	for k, aim := range a.plan.Demand.Aims {
		v.ug[k] = v.ug[k]*thin + salt.Background[aim.Contaminant]*more
	}
	v.litres, v.s, v.c = float64(fix.Volume), float64(fix.Salinity), float64(fix.Temperature)
	return litres
}

// prepare pours away, cuts or lifts.
func (a *audit) prepare(x *plan.Prepare, pureC float64) {
	v := a.vats[x.StoreID]
	c := a.warm(v, x.AtH)
	kept := v.litres - x.RemoveL
	// Emptied is what holds no more than its heel, and what lies at the bottom of it.
	if bottom := float64(v.store.Heel) + 0.01*a.tank.litres; x.What == plan.Empty && kept > bottom+1e-6 || x.What == plan.Lower && kept < bottom-1e-6 {
		a.t.Errorf("%s: %s at %g h: %g L are left, heel %g", a.name, x.What, x.AtH, kept, float64(v.store.Heel))
	}
	switch x.What {
	case plan.Empty:
		a.same("left", x.Litres, kept, 1e-6)
		a.same("salinity left", x.Salinity, v.s, 1e-6)
		a.same("ready", x.ReadyH, x.AtH, 0)
	case plan.Cut:
		parts := []mixing.Water{{Volume: units.Litres(kept), Salinity: units.Practical(v.s), Temperature: units.Celsius(c)}, {Volume: units.Litres(x.AddL), Temperature: units.Celsius(pureC)}}
		mix, err := mixing.Blend(parts...)
		if err != nil {
			a.t.Fatal(err)
		}
		thin := kept / (kept + x.AddL)
		v.alk, v.ca, v.mg = v.alk*thin, v.ca*thin, v.mg*thin
		for k := range v.ug {
			v.ug[k] *= thin
		}
		kept, v.s, c, v.readyH = float64(mix.Volume), float64(mix.Salinity), float64(mix.Temperature), x.AtH+a.site.Mixing.CutTimeH
		a.same("cut", x.ReadyH, v.readyH, 1e-9)
	case plan.Lift:
		salt := a.site.Salts[0]
		dose := salt.Dose()
		lift, err := mixing.Correct(mixing.Water{Volume: units.Litres(kept), Salinity: units.Practical(v.s), Temperature: units.Celsius(c)}, units.Practical(x.Salinity), mixing.Means{Dose: &dose, Source: units.Celsius(pureC)})
		if err != nil {
			a.t.Fatal(err)
		}
		a.same("salt", x.SaltKg, lift.AddSaltKg, 1e-6)
		one, _ := mixing.New(1, a.plan.Demand.System.Water.Salinity, a.plan.Demand.System.Water.Temperature, units.Celsius(pureC), dose)
		more := x.SaltKg / one.SaltKg / kept
		v.alk, v.ca, v.mg = v.alk+a.makes(salt.Makes.AlkalinityDKH)*more, v.ca+a.makes(salt.Makes.CalciumMgL)*more, v.mg+a.makes(salt.Makes.MagnesiumMgL)*more
		for k, aim := range a.plan.Demand.Aims {
			v.ug[k] += salt.Background[aim.Contaminant] * more
		}
		kept, v.s, v.readyH = float64(lift.Volume), x.Salinity, x.AtH+a.site.Mixing.EmergencyTimeH
		a.same("lifted", x.ReadyH, v.readyH, 1e-9)
	}
	v.litres, v.c, v.sinceH = kept, c, x.AtH
	a.same("litres after "+string(x.What), x.Litres, v.litres, 1e-4)
	a.same("salinity after "+string(x.What), x.Salinity, v.s, 1e-6)
}

// finish checks what the plan says of itself.
func (a *audit) finish() {
	p := a.plan
	water, salt, pure, done := 0.0, 0.0, 0.0, 0.0
	for _, s := range p.Steps {
		water += s.AddL
	}
	for _, b := range p.Batches {
		salt, pure = salt+b.SaltKg, pure+b.PurifiedL
	}
	for _, x := range p.Prepared {
		salt, pure = salt+x.SaltKg, pure+x.AddL
	}
	a.same("water", p.WaterL, water, 1e-6)
	a.same("salt in all", p.SaltKg, salt, 1e-9)
	a.same("purified in all", p.PurifiedL, pure, 1e-9)
	inTime := true
	for k, r := range p.Aims {
		x := p.Demand.Aims[k]
		done = max(done, a.doneH[k])
		switch {
		case !r.Reachable:
		case r.DoneAtH == nil:
			if !math.IsInf(a.doneH[k], 1) {
				a.t.Errorf("%s: aim %d done at %g h, and said never to be", a.name, k, a.doneH[k])
			}
			inTime = false
		default:
			a.same("done", *r.DoneAtH, a.doneH[k], 1e-9)
			in := x.WithinH == 0 || a.doneH[k] <= x.WithinH+1e-9
			if r.InTime != in {
				a.t.Errorf("%s: aim %d done at %g of %g h, in time %v", a.name, k, a.doneH[k], x.WithinH, r.InTime)
			}
			if holds := x.SourceMgH == 0; r.Holds != holds {
				a.t.Errorf("%s: aim %d holds: %v", a.name, k, r.Holds)
			}
			inTime = inTime && in
		}
	}
	if p.DoneAtH != nil {
		a.same("all done", *p.DoneAtH, done, 1e-9)
		if p.InTime != inTime {
			a.t.Errorf("%s: in time %v", a.name, p.InTime)
		}
	} else if p.InTime {
		a.t.Errorf("%s: in time and never done", a.name)
	}
	last := 0.0
	if n := len(p.Steps); n > 0 {
		last = p.Steps[n-1].AtH
	}
	until := max(last, p.ExposureToH)
	if p.DoneAtH != nil { // what is added while the last change is poured comes after the target is met
		until = last
	}
	if a.pass(until); p.Reachable && p.DoneAtH == nil || last == 0 {
		return
	}
	a.same("exposure", p.Exposure, a.seen.sum, 2e-3*(1+p.Exposure))
	first := 0.0
	if p.Steps[0].AtH <= p.Demand.NotBeforeH {
		first = p.Steps[0].RemoveL
	}
	a.same("first change", p.FirstChangeL, first, 1e-9)
	for n, x := range p.Supply {
		if n > 0 && (x.Litres <= p.Supply[n-1].Litres || x.AtH <= p.Supply[n-1].AtH) {
			a.t.Errorf("%s: supply %+v", a.name, p.Supply)
		}
	}
}

// supply checks what the plan says can have been poured, up to a time: what has been, and what
// may be drawn from vats that are ready, less the reserve. No growth is left out.
func (a *audit) supply(untilH float64) {
	could := func(h float64) float64 {
		sum := -float64(a.site.Reserve.Saltwater)
		for _, v := range a.vats {
			heel := 0.0
			if v.store != nil {
				heel = float64(v.store.Heel)
			}
			if v.readyH <= h+1e-6 {
				sum += max(0, v.litres-heel)
			}
		}
		return a.poured + max(0, sum)
	}
	list := a.plan.Supply
	for ; a.noted < len(list) && list[a.noted].AtH <= untilH+1e-6; a.noted++ {
		a.same("supply", list[a.noted].Litres, could(list[a.noted].AtH), 1e-4)
		if before := could(list[a.noted].AtH - 1e-5); a.noted > 0 && before > list[a.noted-1].Litres*1.002+1e-3 {
			a.t.Errorf("%s: %g L could have been poured before %g h: %+v", a.name, before, list[a.noted].AtH, list)
		}
	}
	if a.noted == 0 {
		a.t.Errorf("%s: the supply begins with %+v", a.name, list)
		return
	}
	if most := could(untilH); most > list[a.noted-1].Litres*1.002+1e-3 {
		a.t.Errorf("%s: %g L could have been poured by %g h, the supply has %+v", a.name, most, untilH, list[:a.noted])
	}
}

// next is when the plan goes on, and with what: 1 a change, 2 a preparation, 3 a batch; 0: it does not.
func (a *audit) next() (at float64, what int) {
	at = math.Inf(1)
	if a.steps < len(a.plan.Steps) {
		at, what = a.plan.Steps[a.steps].AtH, 1
	}
	if a.prepared < len(a.plan.Prepared) && a.plan.Prepared[a.prepared].AtH <= at { // what is drawn from is not worked on
		at, what = a.plan.Prepared[a.prepared].AtH, 2
	}
	if x := a.batches; x < len(a.plan.Batches) && (a.plan.Batches[x].StartH < at || what == 1 && a.plan.Batches[x].StartH == at) {
		at, what = a.plan.Batches[a.batches].StartH, 3
	}
	return at, what
}

// goOn does what is next.
func (a *audit) goOn(what int, pureC float64) {
	switch what {
	case 1:
		a.step(a.steps)
		a.steps++
	case 2:
		a.prepare(&a.plan.Prepared[a.prepared], pureC)
		a.prepared++
	case 3:
		a.batch(&a.plan.Batches[a.batches], pureC)
		a.batches++
	}
}

// play follows a plan from its start to its end.
func (a *audit) play(pureC float64) {
	a.begin()
	for !a.t.Failed() {
		at, what := a.next()
		if last := len(a.plan.Steps) - 1; what == 0 && a.plan.DoneAtH != nil {
			if at = 0; last >= 0 {
				at = a.plan.Steps[last].AtH // what comes after it is not looked at
			}
		}
		a.supply(min(at, a.plan.ExposureToH))
		if what == 0 {
			a.finish()
			return
		}
		a.goOn(what, pureC)
	}
}

// auditedSite is a random site with all of a keeper's water stated, purified water of one
// temperature.
func auditedSite(r *rand.Rand) (*site.Site, plan.Demand, float64) {
	pick := func(x ...float64) float64 { return x[r.IntN(len(x))] }
	sys := reef(200 + 300*r.Float64())
	sys.Water.Salinity = units.Practical(pick(35, 35, 34, 33))
	sys.Drawdown, sys.ChangeEveryH, sys.LeastChange = 0.2+0.4*r.Float64(), pick(1, 3, 6), pick(0, 0.05)
	sys.Limits.TemperatureStep, sys.Limits.SalinityStep = pick(1, 2), pick(0.5, 1)
	sys.Limits.AlkalinityPerDay = pick(0.3, 1, 5)
	s := placeOf(sys)
	s.Mixing.EmergencyTimeH, s.Reserve.Saltwater = pick(1, 2, 4), units.Litres(pick(0, 0, 20))
	for i := range 1 + r.IntN(3) {
		v := vatOf(fmt.Sprint("vat", i), 180*r.Float64(), 300)
		w := &v.Water
		w.Temperature, w.Salinity = units.Celsius(pick(19, 23, 25, 27)), units.Practical(pick(35, 35, 34, 36.5, 38))
		w.AlkalinityDKH, w.CalciumMgL, w.MagnesiumMgL = ptr(pick(7, 8, 10)), ptr(400+50*r.Float64()), ptr(1200+150*r.Float64())
		v.Heel, v.TransferLH = units.Litres(pick(0, 5)), ptr(pick(600, 1200))
		if r.IntN(3) == 0 {
			v.TransferLH = nil
		}
		if r.IntN(2) == 0 {
			v.HeaterW, v.HeatLossWK = pick(50, 200), ptr(pick(0, 5))
		}
		if r.IntN(4) > 0 {
			v.Background = map[string]float64{"copper": 3 * r.Float64()}
		} else {
			w.AlkalinityDKH = nil
		}
		if r.IntN(4) == 0 {
			v.Volume = decimal.NewFromInt(0)
		}
		s.Stores = append(s.Stores, v)
	}
	pureC := pick(18, 22, 25)
	if r.IntN(3) > 0 {
		x := houseSalt(12 * r.Float64())
		x.Makes = site.Chemistry{AlkalinityDKH: ptr(pick(8, 9.5)), CalciumMgL: ptr(430), MagnesiumMgL: ptr(1350), PH: ptr(8.2)}
		x.Background = map[string]float64{"copper": r.Float64()}
		s.Salts = []site.Salt{x}
		p := pureOf("pure", 150*r.Float64(), 200)
		p.Water.Temperature = units.Celsius(pureC)
		s.Stores = append(s.Stores, p)
		if r.IntN(2) == 0 {
			s.Purifier = &site.Purifier{RateLH: 20 * r.Float64(), RatedAt: 25, Feed: units.Celsius(pureC)}
		}
	}
	if r.IntN(3) == 0 {
		x := site.Delivery{AfterH: 8 * r.Float64(), Saltwater: units.Litres(120 * r.Float64())}
		if r.IntN(2) == 0 {
			sal, c := units.Practical(pick(34, 36)), units.Celsius(pick(20, 24))
			x.Salinity, x.Temperature = &sal, &c
		}
		s.Deliveries = []site.Delivery{x}
	}
	d := plan.Demand{System: &s.Systems[0], Reheats: r.IntN(2) == 0, NotBeforeH: pick(0, 0, 0.7)}
	d.Aims = []plan.Aim{{EventID: "c", Contaminant: "copper", Start: 60, Target: 15 + 30*r.Float64(), WithinH: pick(0, 6, 24)}}
	if r.IntN(2) == 0 {
		d.Aims[0].SourceMgH = 0.3 * r.Float64()
	}
	if r.IntN(3) == 0 {
		d.Aims = append(d.Aims, share(0.2+0.4*r.Float64(), pick(0, 6, 24)))
	}
	return s, d, pureC
}

// Every plan, followed with what a keeper could measure, is what it says it is.
func TestPlansAreWhatTheySay(t *testing.T) {
	steps, prepared, batches := 0, 0, 0
	cases := uint64(fewer(750, 3))
	for seed := range cases {
		r := rand.New(rand.NewPCG(seed, 88))
		s, d, pureC := auditedSite(r)
		out, err := Run(s, noon, []plan.Demand{d}, Options{Nodes: 100})
		if err != nil {
			t.Fatal(err)
		}
		p := &out.Plans[0]
		usable := -float64(s.Reserve.Saltwater)
		for i := range s.Stores {
			if s.Stores[i].Holds == site.Saltwater {
				usable += max(0, s.Stores[i].Volume.InexactFloat64()-float64(s.Stores[i].Heel))
			}
		}
		close2(t, "usable now", p.UsableNowL, max(0, usable), 1e-9)
		a := &audit{t: t, name: fmt.Sprint("seed ", seed), site: s, plan: p}
		a.play(pureC)
		limitsHold(t, a.name, out)
		steps, prepared, batches = steps+len(p.Steps), prepared+len(p.Prepared), batches+len(p.Batches)
		if t.Failed() {
			t.Fatalf("seed %d: %+v", seed, p)
		}
	}
	if steps < fewer(400, 1) || prepared < fewer(20, 1) || batches < fewer(100, 1) {
		t.Errorf("only %d changes, %d preparations, %d batches", steps, prepared, batches)
	}
	t.Logf("%d changes, %d preparations, %d batches", steps, prepared, batches)
}

// Two plans on one house, each followed in turn with what a keeper could measure: what the second
// draws, mixes and corrects is what the first has left of it, by then. (Without vat heaters: a vat is
// warmed for the second plan only once the first is through with it.)
func TestTwoPlansAtOnceAreWhatTheySay(t *testing.T) {
	worked, drawn := 0, 0
	for seed := range uint64(fewer(600, 4)) {
		r := rand.New(rand.NewPCG(seed, 89))
		s, d, pureC := auditedSite(r)
		for i := range s.Stores {
			s.Stores[i].HeaterW, s.Stores[i].Background = 0, nil
		}
		for i := range s.Salts {
			s.Salts[i].Background = nil
		}
		if r.IntN(4) == 0 {
			s.Mixing.EmergencyTimeH, s.Mixing.CutTimeH = 0, 0
		}
		other := s.Systems[0]
		other.ID, other.NetVolume = "other", units.Litres(150+200*r.Float64())
		s.Systems = append(s.Systems, other)
		d.Aims = d.Aims[:1]
		e := d
		e.Aims = []plan.Aim{d.Aims[0]}
		e.Aims[0].Target = 20 + 30*r.Float64()
		d.System, e.System, d.Priority, e.NotBeforeH = &s.Systems[0], &s.Systems[1], 1, oneOf(r, 0, 0.7, 3)
		out, err := Run(s, noon, []plan.Demand{d, e}, Options{Nodes: 60})
		if err != nil {
			t.Fatal(err)
		}
		first, second := audit{t: t, name: fmt.Sprint("seed ", seed, " first"), site: s, plan: &out.Plans[0]}, audit{t: t, name: fmt.Sprint("seed ", seed, " second"), site: s, plan: &out.Plans[1]}
		first.begin()
		second.begin()
		second.vats = first.vats
		for !t.Failed() {
			at, what := first.next()
			later, then := second.next()
			switch {
			case what == 0 && then == 0:
			case then == 0 || what > 0 && at <= later:
				first.goOn(what, pureC)
				second.rough = second.rough || first.rough
				continue
			default:
				second.goOn(then, pureC)
				first.rough = first.rough || second.rough
				continue
			}
			break
		}
		limitsHold(t, first.name, out)
		worked, drawn = worked+len(out.Plans[1].Batches)+len(out.Plans[1].Prepared), drawn+len(out.Plans[1].Steps)
		if t.Failed() {
			t.Fatalf("seed %d: %+v", seed, out.Plans)
		}
	}
	if t.Logf("%d works on vats, %d changes of the second", worked, drawn); worked < fewer(100, 4) || drawn < fewer(300, 4) {
		t.Errorf("only %d works on vats, %d changes of the second", worked, drawn)
	}
}
