package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// laid is the problem that a demand on a site's first system makes.
func laid(t testing.TB, s *site.Site, d plan.Demand) *problem {
	t.Helper()
	pl, err := New(s, noon)
	if err != nil {
		t.Fatal(err)
	}
	d.System = &s.Systems[0]
	p, err := pl.problem(&d, Options{}.withDefaults(s), nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

var copperAim = plan.Aim{Contaminant: "copper", Start: 60, Target: 20, WithinH: 24}

// twoSalts is a house with a vat, purified water at 19 °C and two salts, each with its own
// chemistry and copper.
func twoSalts(volume float64, sal, c, first, second float64) *site.Site {
	v := vatOf("vat", volume, 440)
	v.Water.Salinity, v.Water.Temperature, v.Water.AlkalinityDKH, v.Water.CalciumMgL, v.Water.MagnesiumMgL = units.Practical(sal), units.Celsius(c), ptr(7), ptr(400), ptr(1200)
	v.Background = map[string]float64{"copper": 3}
	p := pureOf("pure", 300, 400)
	p.Water.Temperature = 19
	s := placeOf(reef(400), v, p)
	for i, kg := range []float64{first, second} {
		x := houseSalt(kg)
		x.ID = fmt.Sprint("salt", i)
		x.DoseGL += 2 * float64(i)
		x.Makes = site.Chemistry{AlkalinityDKH: ptr(9 + 2*float64(i)), CalciumMgL: ptr(440 + 20*float64(i)), MagnesiumMgL: ptr(1300 + 50*float64(i)), PH: ptr(8.3 + 0.2*float64(i))}
		x.Background = map[string]float64{"copper": 1 + float64(i)}
		s.Salts = append(s.Salts, x)
	}
	return s
}

// A batch takes the salt and the purified water that package mixing says, salt by salt; its
// heat is that of the purified water; what it brings is what each salt brings, by litres.
func TestABatchTakesWhatMixingSays(t *testing.T) {
	for _, c := range []struct{ had, firstKg, litres float64 }{{0, 30, 200}, {0, 3.84, 200}, {60, 3.84, 200}, {60, 30, 100}} {
		s := twoSalts(c.had, 35, 23, c.firstKg, 40)
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{copperAim}})
		var f state
		f.copyFrom(&p.start)
		took := p.work(&f, job{vat: 0, batchL: c.litres})
		recipe := func(k int) mixing.Batch {
			b, err := mixing.New(1, 35, 25, 25, s.Salts[k].Dose())
			if err != nil {
				t.Fatal(err)
			}
			return b
		}
		first, second := recipe(0), recipe(1)
		ofFirst := min(c.litres, c.firstKg/first.SaltKg)
		ofSecond := c.litres - ofFirst
		name := fmt.Sprintf("%+v: ", c)
		close2(t, name+"salt", took.saltKg, ofFirst*first.SaltKg+ofSecond*second.SaltKg, 1e-9)
		close2(t, name+"first salt left", f.saltKg[0], c.firstKg-ofFirst*first.SaltKg, 1e-9)
		close2(t, name+"second salt left", f.saltKg[1], 40-ofSecond*second.SaltKg, 1e-9)
		pure := ofFirst*float64(first.Water) + ofSecond*float64(second.Water)
		close2(t, name+"purified", took.pureL, pure, 1e-9)
		close2(t, name+"purified left", f.pure.litres, 300-pure, 1e-9)
		v := &f.vats[0]
		close2(t, name+"held before", took.heldL, c.had, 1e-9)
		close2(t, name+"in the vat", v.volL, c.had+c.litres, 1e-9)
		mean := func(was, one, two float64) float64 {
			return (was*c.had + one*ofFirst + two*ofSecond) / (c.had + c.litres)
		}
		close2(t, name+"alkalinity", v.alk, mean(7, 9, 11), 1e-3) // litres, less what they shrink by
		close2(t, name+"calcium", v.ca, mean(400, 440, 460), 0.05)
		close2(t, name+"magnesium", v.mg, mean(1200, 1300, 1350), 0.1)
		close2(t, name+"copper", f.levels[0], mean(3, 1, 2), 2e-3)
		highest := 8.3
		if ofSecond > 0 {
			highest = 8.5
		}
		close2(t, name+"pH", v.ph, highest, 0)
		parts := []mixing.Water{{Volume: units.Litres(c.litres), Salinity: 35, Temperature: 19}}
		if c.had > 0 {
			parts = append(parts, mixing.Water{Volume: units.Litres(c.had), Salinity: 35, Temperature: 23})
		}
		want, err := mixing.Blend(parts...)
		if err != nil {
			t.Fatal(err)
		}
		close2(t, name+"temperature", v.at(0), float64(want.Temperature), 1e-6)
		close2(t, name+"salinity", v.s, 35, 1e-9)
		close2(t, name+"mixed", v.readyH, 2, 0)
		if v.batch != 1 || f.spent.batches != 1 {
			t.Errorf("%sbatch %d of %d", name, v.batch, f.spent.batches)
		}
	}
}

// Cutting and lifting against package mixing: purified water, salt, volume, temperature. What
// the water brings is thinned by what is added, and the salt brings its own.
func TestCuttingAndLiftingTakeWhatMixingSays(t *testing.T) {
	for _, c := range []struct{ litres, sal, removed float64 }{{200, 39, 0}, {200, 36, 50}, {200, 33, 0}, {120, 30, 20}} {
		s := twoSalts(c.litres, c.sal, 23, 40, 40)
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{copperAim}})
		var f state
		f.copyFrom(&p.start)
		took := p.work(&f, job{vat: 0, removeL: c.removed, correct: true})
		dose := s.Salts[0].Dose()
		kept := c.litres - c.removed
		want, err := mixing.Correct(mixing.Water{Volume: units.Litres(kept), Salinity: units.Practical(c.sal), Temperature: 23}, 35, mixing.Means{Dose: &dose, Source: 19})
		if err != nil {
			t.Fatal(err)
		}
		name, v := fmt.Sprintf("%+v: ", c), &f.vats[0]
		close2(t, name+"purified", took.pureL, float64(want.AddWater), 1e-6)
		close2(t, name+"salt", took.saltKg, want.AddSaltKg, 1e-6)
		close2(t, name+"salt left", f.saltKg[0], 40-want.AddSaltKg, 1e-6)
		close2(t, name+"purified left", f.pure.litres, 300-float64(want.AddWater), 1e-6)
		close2(t, name+"volume", v.volL, float64(want.Volume), 1e-6)
		close2(t, name+"salinity", v.s, 35, 1e-9)
		close2(t, name+"temperature", v.at(0), float64(want.Temperature), 1e-6)
		share := kept / (kept + took.pureL) // of what is in it
		salty := took.saltKg / p.works.salts[0].kgPerL / kept
		close2(t, name+"copper", f.levels[0], 3*share+1*salty, 1e-9)
		close2(t, name+"alkalinity", v.alk, 7*share+9*salty, 1e-9)
		close2(t, name+"calcium", v.ca, 400*share+440*salty, 1e-9)
		close2(t, name+"magnesium", v.mg, 1200*share+1300*salty, 1e-9)
		ready, ph := 0.25, 8.2
		if c.sal < 35 {
			ready, ph = 2, 8.3
		}
		close2(t, name+"may be drawn", v.readyH, ready, 0)
		close2(t, name+"pH", v.ph, ph, 0)
		if v.batch != 0 || f.spent.batches != 0 {
			t.Errorf("%sa batch was made", name)
		}
		close2(t, name+"a litre becomes", p.toSalinity(c.sal), float64(want.Volume)/kept, 2e-3)
		if now, want := p.correction(&p.start, 0, kept), want; !(math.Abs(now.pureL-float64(want.AddWater)) <= 1e-6) || !(math.Abs(now.saltL*p.works.salts[0].kgPerL-want.AddSaltKg) <= 1e-6) || !(math.Abs(now.grows*kept-float64(want.Volume)) <= 1e-6) {
			t.Errorf("%sforeseen %+v, mixing %+v", name, now, want)
		}
	}
}

// Where there is less purified water or salt than it takes, what there is goes in: salt and
// mass are conserved.
func TestCorrectingWithTooLittleConservesSalt(t *testing.T) {
	for _, sal := range []float64{39, 31} {
		s := twoSalts(200, sal, 23, 0.2, 0.1)
		s.Stores[1].Volume = decimal.NewFromInt(5)
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{copperAim}})
		var f state
		f.copyFrom(&p.start)
		took := p.work(&f, job{vat: 0, correct: true})
		v := &f.vats[0]
		kg := func(litres, s, c float64) (all, salt float64) {
			rho, err := salinity.Density(units.Practical(s), units.Celsius(c))
			if err != nil {
				t.Fatal(err)
			}
			m := litres * float64(rho) / 1000
			return m, m * s * 35.16504 / 35 / 1000 // Reference Composition Salinity
		}
		m0, s0 := kg(200, sal, 23)
		pure, _ := kg(took.pureL, 0, 19)
		m1, s1 := kg(v.volL, v.s, v.at(0))
		dry := (0.2-f.saltKg[0])*p.works.salts[0].dry + (0.1-f.saltKg[1])*p.works.salts[1].dry
		close2(t, "mass", m1, m0+pure+took.saltKg, 1e-6)
		close2(t, "salt", s1, s0+dry, 1e-6)
		if sal > 35 {
			close2(t, "purified", took.pureL, 5, 1e-9)
			close2(t, "purified left", f.pure.litres, 0, 1e-9)
			close2(t, "salt taken", took.saltKg, 0, 0)
		} else {
			close2(t, "salt taken", took.saltKg, 0.3, 1e-9)
			close2(t, "copper", f.levels[0], 3+(1*0.2/p.works.salts[0].kgPerL+2*0.1/p.works.salts[1].kgPerL)/200, 1e-9)
		}
	}
}

// With no purified water and no salt nothing is corrected: what is in a vat stays as it is.
func TestWithNothingNothingIsCorrected(t *testing.T) {
	for _, sal := range []float64{39, 31} {
		s := twoSalts(200, sal, 23, 0, 0)
		s.Stores[1].Volume = decimal.NewFromInt(0)
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{copperAim}})
		var f state
		f.copyFrom(&p.start)
		took, v := p.work(&f, job{vat: 0, correct: true}), &f.vats[0]
		if took.pureL != 0 || took.saltKg != 0 || v.readyH > 0 || f.levels[0] != 3 || f.pure.litres != 0 {
			t.Errorf("at %g: took %+v, %+v", sal, took, v)
		}
		close2(t, "salinity", v.s, sal, 1e-9)
		close2(t, "litres", v.volL, 200, 1e-9)
	}
}

// Purified water as it is made, taken and delivered: litres and degrees by hand. 100 L at
// 19 °C, 10 L/h at 15 °C: after 5 h 150 L at (100·19 + 50·15)/150 °C.
func TestPurifiedWaterAddsUp(t *testing.T) {
	s := twoSalts(0, 35, 25, 40, 40)
	s.Stores[1].Volume = decimal.NewFromInt(100)
	s.Stores[1].Capacity = 160
	s.Purifier = &site.Purifier{RateLH: 10 / refs.PurifierFactors(15, 25).Lowest, RatedAt: 25, Feed: 15}
	s.Deliveries = []site.Delivery{{AfterH: 8, Purified: 60, Temperature: func() *units.Celsius { c := units.Celsius(21); return &c }()}, {AfterH: 3, SaltKg: 4}}
	p := laid(t, s, plan.Demand{Aims: []plan.Aim{copperAim}})
	var f state
	f.copyFrom(&p.start)
	p.passTo(&f, 5)
	close2(t, "salt delivered", f.saltKg[0], 44, 1e-9)
	close2(t, "of the second salt", f.saltKg[1], 40, 0)
	close2(t, "at 5 h", p.pureAt(&f, 5), 150, 1e-9)
	close2(t, "warm", p.pureC(&f), (100*19+50*15)/150.0, 1e-9)
	p.passTo(&f, 7)
	close2(t, "full at 7 h", p.pureAt(&f, 7), 160, 1e-9)
	before := p.pureC(&f)
	close2(t, "warm when full", before, (100*19+60*15)/160.0, 1e-9)
	p.passTo(&f, 8)
	close2(t, "beyond the brim with what is delivered", p.pureAt(&f, 8), 220, 1e-9)
	close2(t, "warm with it", p.pureC(&f), (160*before+60*21)/220, 1e-9)
	p.await(&f, job{vat: 0, batchL: 200, fromH: 12})
	if f.ask.planned.batchL != 200 || f.ask.workFrom != 1 {
		t.Errorf("awaited %+v, work from %d", f.ask.planned, f.ask.workFrom)
	}
	p.passTo(&f, 10)
	close2(t, "the vat takes what the store cannot", p.pureAt(&f, 10), 240, 1e-9)
	p.due(&f)
	close2(t, "kept for it", p.pureAt(&f, 10), 240, 1e-9)
	if f.ask.planned.vat >= 0 {
		t.Error("still awaited")
	}
	warm := p.pureC(&f)
	c := p.takePure(&f, 100)
	close2(t, "drawn at", c, warm, 1e-9)
	close2(t, "left", p.pureAt(&f, 10), 140, 1e-9)
	close2(t, "an hour later", p.pureAt(&f, 11), 150, 1e-9)
}

// A change takes the concentrations, the vats, the clock and the exposure on as worked by hand:
// 100 L of 400, 40 from a vat at 3 µg/L and 60 from one at 5, by pumps of 1200 and 600 L/h.
func TestAChangeByHand(t *testing.T) {
	a, b := vatOf("a", 200, 440), vatOf("b", 150, 440)
	a.Background, b.Background = map[string]float64{"copper": 3}, map[string]float64{"copper": 5}
	b.TransferLH = ptr(600)
	b.HeaterW, b.Water.Temperature = 100, 23
	s := placeOf(reef(400), a, b)
	for _, reheats := range []bool{true, false} {
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{copperAim, {EventID: "x", Start: 1, Target: 0.8, WithinH: 1}}, Reheats: reheats})
		var f state
		f.copyFrom(&p.start)
		p.passTo(&f, 1.5)
		close2(t, "exposure", f.spent.exposure, 1.5*40/20+1.5*0.2/0.8, 1e-12)
		ia := 0
		if p.vessels[0].id != "a" {
			ia = 1
		}
		ch := &change{litres: 100, draws: []draw{{ia, 40}, {1 - ia, 60}}, after: water{s: 34.9, c: 24.7, alk: 8.1, ca: 1, mg: 2, ph: 8}}
		wasB := f.vats[1-ia]
		f.ask.change, f.ask.workFrom, f.ask.warmerH = true, 2, 9
		p.change(&f, ch)
		end := 1.5 + 2*(40.0/1200+60.0/600)
		close2(t, "copper", f.conc[0].UgL, 60-(40*(60-3)+60*(60-5))/400.0, 1e-12)
		close2(t, "share", f.conc[1].UgL, 1-100/400.0, 1e-12)
		close2(t, "share reached", f.doneH[1], end, 1e-12)
		if f.reached(0) || f.done() {
			t.Error("copper is not reached")
		}
		close2(t, "vat a", f.vats[ia].volL, 160, 1e-12)
		close2(t, "vat b", f.vats[1-ia].volL, 90, 1e-12)
		close2(t, "vat b is as warm as it was", f.vats[1-ia].at(1.5), wasB.at(1.5), 1e-12)
		if got, was := f.vats[1-ia].warmH, wasB.warmH; !(got < was) || !(got > 1.5) {
			t.Errorf("90 L are warm at %g h, 150 L at %g", got, was)
		}
		close2(t, "in use", f.vats[ia].usedH, end, 1e-12)
		c := 24.7
		if reheats {
			c = 25
		}
		close2(t, "temperature", f.water.c, c, 0)
		close2(t, "salinity", f.water.s, 34.9, 0)
		close2(t, "water", f.spent.waterL, 100, 0)
		close2(t, "next", f.nextH, 5.5, 1e-12)
		close2(t, "over", f.spent.finishH, end, 1e-12)
		close2(t, "freed", f.ask.freedH, end, 1e-12)
		if f.ask.change || f.ask.workFrom != 0 || f.ask.warmerH != 0 {
			t.Errorf("still to be decided: %+v", f.ask)
		}
		if h := f.held[len(f.held)-1]; h != (held{35, 25, 8, 1.5}) || f.spent.changes != 1 {
			t.Errorf("held %+v, %d changes", h, f.spent.changes)
		}
		// Slower than the interval: the next one waits until this one is over.
		p.vessels[ia].pumpLH, p.vessels[1-ia].pumpLH = 20, 0
		f.copyFrom(&p.start)
		p.change(&f, ch)
		close2(t, "by a small pump and with buckets", f.nextH, 2*(40.0/20+60.0/600), 1e-12)
		x := p.score(&f)
		if x.missed != 2 || x.never != 1 || x.waterL != 100 || !math.IsInf(x.finishH, 1) {
			t.Errorf("score %+v: the share is late, copper never", x)
		}
	}
}

// A deadline is met at the minute itself, and not a moment later.
func TestMissedIsAfterTheDeadline(t *testing.T) {
	m := &aim{withinH: 4}
	if m.misses(4) || m.misses(3.99) || !m.misses(4.0001) || !m.misses(math.Inf(1)) {
		t.Error("4 h meet 4 h, later does not")
	}
	open := &aim{withinH: math.Inf(1)}
	if open.misses(1e6) || !open.misses(math.Inf(1)) {
		t.Error("without a deadline only never is missed")
	}
}

// Scores are compared by what is missed, never reached, exposure, finish, water: in that order.
func TestScoresInOrder(t *testing.T) {
	order := []score{
		{0, 0, 1, 5, 50}, {0, 0, 1, 5, 60}, {0, 0, 1, 6, 10}, {0, 0, 2, 1, 1}, {1, 0, 0, 0, 0}, {1, 1, 0, 0, 0}, {2, 0, 0, 0, 0}, worst(),
	}
	for i := range order {
		for k := range order {
			if got := order[i].better(order[k]); got != (i < k) {
				t.Errorf("%+v better than %+v: %v", order[i], order[k], got)
			}
		}
	}
	same := order[0]
	same.exposure *= 1 + 1e-13
	same.waterL *= 1 - 1e-13
	if same.better(order[0]) || order[0].better(same) {
		t.Error("rounding decides")
	}
}

// Heat as Newton's law has it: 300 W in 200 L of seawater that lose nothing warm them by
// 300·3600/(200·c) K in an hour, c by [eos80] and [unesco44] as package salinity gives them.
func TestVatsWarmByTheWatt(t *testing.T) {
	p := &problem{tank: tank{own: water{c: 25}}}
	rho, _ := salinity.Density(35, 20)
	cp, _ := salinity.HeatCapacity(35, 20)
	litre := float64(rho) / 1000 * cp
	v, w := vat{volL: 200, s: 35}, vessel{heaterW: 300, roomC: 10}
	p.heat(&v, &w, 20, 3)
	perHour := 300 * 3600 / (200 * litre)
	close2(t, "an hour on", v.at(4), 20+perHour, 1e-9)
	close2(t, "before", v.at(1), 20, 0)
	close2(t, "warm", v.warmH, 3+5/perHour, 1e-9)
	close2(t, "held there", v.at(100), 25, 0)
	for name, x := range map[string]struct {
		v vat
		w vessel
		c float64
	}{
		"without a heater":             {vat{volL: 200, s: 35}, vessel{lossWK: 6, roomC: 10}, 20},
		"with nothing in it":           {vat{s: 35}, vessel{heaterW: 300}, 20},
		"that cannot hold what it has": {vat{volL: 200, s: 35}, vessel{heaterW: 60, lossWK: 6, roomC: 10}, 20},
	} {
		p.heat(&x.v, &x.w, x.c, 3)
		if !math.IsInf(x.v.warmH, 1) || x.v.at(50) != x.c {
			t.Errorf("a vat %s: warm at %g h, %g °C", name, x.v.warmH, x.v.at(50))
		}
	}
	warm := vat{volL: 200, s: 35}
	p.heat(&warm, &vessel{heaterW: 300}, 27, 3)
	if warm.warmH != 3 || warm.at(50) != 27 {
		t.Errorf("warmer than the system: %g h, %g °C", warm.warmH, warm.at(50))
	}
}

// What mixing conserves: any waters put together and taken apart again.
func TestContentsConserve(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for range 200 {
		var parts []mixing.Water
		all, litres := content{}, 0.0
		for range 1 + r.IntN(4) {
			w := mixing.Water{Volume: units.Litres(1 + 100*r.Float64()), Salinity: units.Practical(41 * r.Float64()), Temperature: units.Celsius(5 + 30*r.Float64())}
			parts = append(parts, w)
			all = all.plus(litreOf(float64(w.Salinity), float64(w.Temperature)), float64(w.Volume))
			litres += float64(w.Volume)
		}
		want, err := mixing.Blend(parts...)
		if err != nil {
			t.Fatal(err)
		}
		s, c := all.state(float64(want.Temperature) + 6*r.Float64() - 3)
		close2(t, "salinity", s, float64(want.Salinity), 1e-9)
		close2(t, "temperature", c, float64(want.Temperature), 1e-8)
		close2(t, "litres", all.kg/kgPerLitre(s, c), float64(want.Volume), 1e-6)
		h, _ := salinity.Enthalpy(want.Salinity, 12)
		close2(t, "heat at 12 °C", all.at(12).heat/all.kg, h, 1e-6)
	}
}

// A litre takes as long as the pump says, however slow, and a minute for ten in a bucket.
func TestMinutesOfALitre(t *testing.T) {
	for pump, want := range map[float64]float64{1200: 0.05, 60: 1, 0.5: 120, 0: 0.1} {
		close2(t, fmt.Sprintf("at %g L/h", pump), (&vessel{pumpLH: pump}).minutesPerL(), want, 1e-12)
	}
}
