package schedule

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/outside"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// trait is one thing that holds a plan back in an otherwise easy house.
type trait struct {
	name string
	make func(r *rand.Rand, s *site.Site, d *plan.Demand)
}

func oneOf(r *rand.Rand, x ...float64) float64 { return x[r.IntN(len(x))] }

// traits are the things that can hold a plan back, one by one.
var traits = []trait{
	{"drawdown", func(r *rand.Rand, s *site.Site, d *plan.Demand) {}},
	{"little water", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Volume = decimal.NewFromFloat(60 + 60*r.Float64())
		s.Deliveries = []site.Delivery{{AfterH: 1 + 9*r.Float64(), Saltwater: units.Litres(100 + 200*r.Float64())}, {AfterH: 12, Saltwater: 300}}
	}},
	{"heel and reserve", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Volume, s.Stores[0].Heel, s.Reserve.Saltwater = decimal.NewFromFloat(160), units.Litres(20*r.Float64()), units.Litres(10+20*r.Float64())
		s.Deliveries = []site.Delivery{{AfterH: 2 + 5*r.Float64(), Saltwater: 400}}
	}},
	{"cold", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Water.Temperature = units.Celsius(oneOf(r, 15, 18, 21))
		d.Reheats = true
	}},
	{"cold by day", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Water.Temperature = units.Celsius(oneOf(r, 18, 20, 21))
		s.Systems[0].Limits.TemperatureStep, s.Systems[0].Limits.TemperaturePerDay = 2, oneOf(r, 2, 2.5)
	}},
	{"warm", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Water.Temperature = units.Celsius(oneOf(r, 28, 30))
		s.Systems[0].Limits.TemperatureHigh = units.Celsius(oneOf(r, 26, 29))
		d.Reheats = r.IntN(2) == 0
	}},
	{"warmed", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		v := &s.Stores[0]
		v.Water.Temperature, v.HeaterW, v.HeatLossWK = units.Celsius(oneOf(r, 15, 18, 21)), oneOf(r, 200, 500), ptr(oneOf(r, 0, 5))
		d.Reheats = r.IntN(2) == 0
	}},
	{"salty", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Water.Salinity = units.Practical(oneOf(r, 37.5, 39))
		s.Systems[0].Limits.SalinityHigh = units.Practical(oneOf(r, 36, 38))
	}},
	{"fresh", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Water.Salinity = units.Practical(oneOf(r, 31, 33))
		s.Systems[0].Limits.SalinityPerDay = oneOf(r, 1, 1.5)
	}},
	{"alkaline", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Water.AlkalinityDKH = ptr(oneOf(r, 5, 11, 12))
		s.Systems[0].Limits.AlkalinityPerDay = oneOf(r, 0.5, 1)
	}},
	{"to be mixed", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Volume = decimal.NewFromFloat(oneOf(r, 0, 50))
		s.Stores = append(s.Stores, pureOf("pure", 120+200*r.Float64(), 600))
		s.Salts = []site.Salt{houseSalt(oneOf(r, 4, 8, 40))}
	}},
	{"to be purified", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Volume = decimal.NewFromFloat(oneOf(r, 80, 100))
		s.Stores = append(s.Stores, vatOf("spare", 0, 400), pureOf("pure", 60, 600))
		s.Purifier = &site.Purifier{RateLH: 20, RatedAt: 25, Feed: 25}
		s.Salts = []site.Salt{houseSalt(40)}
	}},
	{"to be cut", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Water.Salinity = units.Practical(oneOf(r, 37, 39))
		s.Stores = append(s.Stores, pureOf("pure", 100, 600))
	}},
	{"two waters", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Water.Temperature = 20
		v := vatOf("warm", 60+100*r.Float64(), 300)
		v.Water.Temperature = units.Celsius(oneOf(r, 27, 30))
		s.Stores = append(s.Stores, v)
		d.Reheats = true
	}},
	{"dirty", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Background = map[string]float64{"copper": 2 * r.Float64()}
		v := vatOf("clean", 100+100*r.Float64(), 300)
		s.Stores = append(s.Stores, v)
	}},
	{"by night", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Awake = &site.Awake{FromH: oneOf(r, 6, 8), ToH: oneOf(r, 16.5, 20, 22)}
		s.Systems[0].ChangeEveryH = oneOf(r, 3, 6)
	}},
	{"by a slow pump", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].TransferLH = ptr(oneOf(r, 30, 60))
	}},
	{"later", func(r *rand.Rand, s *site.Site, d *plan.Demand) { d.NotBeforeH = oneOf(r, 0.5, 2) }},
	{"too large to begin with", func(r *rand.Rand, s *site.Site, d *plan.Demand) { s.Systems[0].LeastChange = 0.1 }},
	{"taken up", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		d.Aims[0].BoundRatio, d.Aims[0].BoundRatePerH = 0.5*r.Float64(), 0.2*r.Float64()
	}},
	{"filtered", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Media = []site.Media{{ID: "carbon", System: "reef", FlowLH: 100, SinglePass: map[string]float64{"copper": 0.5 * r.Float64()}, CapacityMg: ptr(20)}}
		s.Stores[0].Volume = decimal.NewFromFloat(100 * r.Float64())
	}},
	{"two aims", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		d.Aims = append(d.Aims, share(0.3+0.4*r.Float64(), oneOf(r, 3, 12)))
	}},
	{"too old", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		old := noon.Add(-40 * 24 * time.Hour)
		s.Stores[0].Mixed, s.Stores[0].MaxAgeH, s.Stores[0].Capacity, s.Stores[0].Volume = &old, 24, 300, decimal.NewFromInt(200)
		s.Stores = append(s.Stores, vatOf("fresh", 100, 300), pureOf("pure", 60+100*r.Float64(), 600))
		s.Salts = []site.Salt{houseSalt(40)}
	}},
	{"cold and to be mixed", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		v := &s.Stores[0]
		v.Volume, v.Capacity, v.HeaterW, v.HeatLossWK = decimal.NewFromFloat(oneOf(r, 0, 80)), 400, oneOf(r, 0, 300), ptr(3)
		v.Heel = units.Litres(oneOf(r, 0, 10))
		p := pureOf("pure", 150+150*r.Float64(), 600)
		p.Water.Temperature = units.Celsius(oneOf(r, 15, 20))
		s.Stores, s.Salts = append(s.Stores, p), []site.Salt{houseSalt(30)}
		d.Reheats = true
	}},
	{"to be lifted", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Water.Salinity, s.Stores[0].Volume = units.Practical(oneOf(r, 28, 32)), decimal.NewFromFloat(150+100*r.Float64())
		s.Salts = []site.Salt{houseSalt(oneOf(r, 1, 5))}
	}},
	{"under way", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		d.Now = &plan.State{Salinity: 34.6, Temperature: oneOf(r, 24, 26)}
		d.Held = []plan.Held{{State: plan.State{Salinity: 35, Temperature: 25}, UntilH: -oneOf(r, 3, 20)}}
		s.Stores[0].Water.Temperature = units.Celsius(oneOf(r, 20, 29))
	}},
	{"salt comes", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Volume = decimal.NewFromFloat(60 * r.Float64())
		s.Stores, s.Salts = append(s.Stores, pureOf("pure", 200+200*r.Float64(), 600)), []site.Salt{houseSalt(2 * r.Float64())}
		s.Deliveries = append(s.Deliveries, site.Delivery{AfterH: 1 + 5*r.Float64(), SaltKg: 3 + 5*r.Float64()}, site.Delivery{AfterH: 9, SaltKg: 10})
	}},
	{"purified water comes", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Volume = decimal.NewFromFloat(60 * r.Float64())
		s.Stores, s.Salts = append(s.Stores, pureOf("pure", oneOf(r, 0, 30), 600)), []site.Salt{houseSalt(40)}
		s.Deliveries = append(s.Deliveries, site.Delivery{AfterH: 1 + 5*r.Float64(), Purified: units.Litres(60 + 100*r.Float64())}, site.Delivery{AfterH: 9, Purified: 300})
	}},
	{"dirty salt", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Volume, s.Stores[0].Background = decimal.NewFromFloat(60*r.Float64()), map[string]float64{"copper": 5 * r.Float64()}
		s.Stores, s.Salts = append(s.Stores, pureOf("pure", 300, 600)), []site.Salt{houseSalt(5), houseSalt(40)}
		for k := range s.Salts {
			s.Salts[k].ID, s.Salts[k].Background = fmt.Sprint("salt", k), map[string]float64{"copper": 6 * r.Float64()}
			s.Salts[k].DoseGL += float64(k)
		}
	}},
	{"cold in a deep heel", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		v := &s.Stores[0]
		v.Volume, v.Heel, v.Water.Temperature = decimal.NewFromFloat(oneOf(r, 40, 60, 90)), 60, units.Celsius(oneOf(r, 18, 30))
		p := pureOf("pure", 100+100*r.Float64(), 600)
		p.Water.Temperature = units.Celsius(oneOf(r, 15, 22))
		s.Stores, s.Salts = append(s.Stores, p), []site.Salt{houseSalt(20)}
		s.Systems[0].Limits.TemperatureStep, d.Reheats = oneOf(r, 0.5, 1), r.IntN(2) == 0
	}},
	{"purified and cold", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Stores[0].Volume, s.Stores[0].HeaterW = decimal.NewFromFloat(30), oneOf(r, 0, 300)
		s.Stores = append(s.Stores, pureOf("pure", 30, 600))
		s.Purifier, s.Salts = &site.Purifier{RateLH: 40, RatedAt: 25, Feed: units.Celsius(oneOf(r, 8, 15))}, []site.Salt{houseSalt(40)}
		d.Reheats = r.IntN(2) == 0
	}},
	{"kept low", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		s.Systems[0].Limits.TemperatureLow, s.Systems[0].Limits.SalinityLow = units.Celsius(oneOf(r, 24, 24.5)), units.Practical(oneOf(r, 34, 34.7))
		s.Stores[0].Water.Temperature, s.Stores[0].Water.Salinity = units.Celsius(oneOf(r, 21, 24)), units.Practical(oneOf(r, 35, 33))
	}},
	{"soon", func(r *rand.Rand, s *site.Site, d *plan.Demand) {
		d.NotBeforeH, d.Aims[0].Target = 0.3, 60*(0.85+0.1*r.Float64())
	}},
	{tiny, func(*rand.Rand, *site.Site, *plan.Demand) {}},
	{"added to", func(r *rand.Rand, s *site.Site, d *plan.Demand) { d.Aims[0].SourceMgH = 0.5 * r.Float64() }},
}

// tightHouse is a house with plenty of matching water but for the traits.
func tightHouse(seed uint64, list ...trait) (*site.Site, plan.Demand) {
	r := rand.New(rand.NewPCG(seed, 97))
	sys := reef(200 + 300*r.Float64())
	sys.Drawdown, sys.ChangeEveryH = 0.2+0.3*r.Float64(), oneOf(r, 2, 4, 6)
	s := placeOf(sys, vatOf("vat", 1500, 1600))
	d := plan.Demand{System: &s.Systems[0], Aims: []plan.Aim{{Contaminant: "copper", Start: 60, Target: 60 * (0.3 + 0.4*r.Float64()), WithinH: oneOf(r, 2.5, 9, 48, 0)}}}
	for _, x := range list {
		x.make(r, s, &d)
	}
	d.System = &s.Systems[0]
	if slices.ContainsFunc(list, func(x trait) bool { return x.name == tiny }) {
		shrink(s, 100)
	}
	return s, d
}

// tiny is the trait of a house with a hundredth of everything: a litre is much in it.
const tiny = "tiny"

// shrink leaves a part of all that has a size.
func shrink(s *site.Site, part float64) {
	for k := range s.Systems {
		s.Systems[k].NetVolume /= units.Litres(part)
	}
	s.Reserve.Saltwater /= units.Litres(part)
	for k := range s.Stores {
		v := &s.Stores[k]
		v.Capacity, v.Heel, v.Volume = v.Capacity/units.Litres(part), v.Heel/units.Litres(part), v.Volume.Mul(decimal.NewFromFloat(1/part))
		v.HeaterW /= part
		for _, x := range []*float64{v.HeatLossWK, v.TransferLH} {
			if x != nil {
				*x /= part
			}
		}
	}
	for k := range s.Salts {
		s.Salts[k].OnHand = s.Salts[k].OnHand.Mul(decimal.NewFromFloat(1 / part))
	}
	for k := range s.Deliveries {
		d := &s.Deliveries[k]
		d.Saltwater, d.Purified, d.SaltKg = d.Saltwater/units.Litres(part), d.Purified/units.Litres(part), d.SaltKg/part
	}
	if s.Purifier != nil {
		s.Purifier.RateLH /= part
	}
	for k := range s.Media {
		s.Media[k].FlowLH /= part
		*s.Media[k].CapacityMg /= part
	}
}

// tightRow is a house of testdata/bounds.csv: the exposure of a plan there is and when it is
// done (+Inf: never) and begins its last change; what the quick bound and the close one say of
// the exposure, and of the time.
type tightRow struct {
	traits                                                   string
	seed                                                     uint64
	exposure, doneH, lastH, quick, quickH, close_, earliestH float64
	missed, quickMissed, closeMissed                         float64 // aims late, and ten for each that is never reached
	litres, closeLitres                                      float64 // most that can be poured, summed over times and numbers of changes
}

var tightFile = filepath.Join("testdata", "bounds.csv")

func (row tightRow) numbers() []float64 {
	return []float64{row.exposure, row.doneH, row.lastH, row.quick, row.quickH, row.close_, row.earliestH, row.missed, row.quickMissed, row.closeMissed, row.litres, row.closeLitres}
}

func readTight(t *testing.T) (rows []tightRow) {
	t.Helper()
	for _, rec := range listedHouses(t, tightFile, 1) {
		row := tightRow{traits: rec[0]}
		var err error
		row.seed, _ = strconv.ParseUint(rec[1], 10, 64)
		for k, to := range []*float64{&row.exposure, &row.doneH, &row.lastH, &row.quick, &row.quickH, &row.close_, &row.earliestH, &row.missed, &row.quickMissed, &row.closeMissed, &row.litres, &row.closeLitres} {
			if *to, err = strconv.ParseFloat(rec[2+k], 64); err != nil {
				t.Fatal(err)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

func (row tightRow) problem(t *testing.T) *problem {
	t.Helper()
	var list []trait
	for _, name := range strings.Split(row.traits, " + ") {
		for _, x := range traits {
			if x.name == name {
				list = append(list, x)
			}
		}
	}
	s, d := tightHouse(row.seed, list...)
	pl, err := New(s, noon)
	if err != nil {
		t.Fatal(err)
	}
	p, err := pl.problem(&d, Options{HorizonH: 96, Media: true}.withDefaults(s), nil)
	if err != nil {
		t.Fatal(err)
	}
	if math.IsInf(row.doneH, 1) {
		p.horizonH, p.afterH = row.lastH, row.lastH
	}
	if row.seed >= pairsFrom && row.seed%2 == 1 {
		p.passTo(&p.start, 1.3) // under way
	}
	return p
}

// late counts the aims late and, tenfold, those never reached.
func late(x score) float64 { return float64(x.missed + 10*x.never) }

// bounds are what the two bounds say, of a plan with an exposure and a last change.
func (row *tightRow) bounds(p *problem) {
	quick := p.bound(&p.start, worst())
	best := score{exposure: row.exposure}
	if math.IsInf(row.doneH, 1) {
		best.never = 1
	}
	b := p.closer(quick, best, []move{{atH: row.lastH, kind: toChange}})
	row.quick, row.quickH, row.close_ = quick.exposure, quick.finishH, b.exposure
	row.quickMissed, row.closeMissed = late(quick), late(b)
	row.litres, row.closeLitres, row.earliestH = 0, 0, 0
	for _, h := range []float64{1.3, 5, 9.7, 30} {
		for _, changes := range []float64{1, 2, 5, math.Inf(1)} {
			row.litres += p.outlook(&p.start).litresBy(h+p.start.atH, changes)
		}
		for _, changes := range []float64{anyOne, 1, 3, math.Inf(1)} {
			row.closeLitres += p.reach(&p.start, 0).litresBy(h+p.start.atH, changes)
		}
	}
	for a := range p.aims {
		if !p.start.reached(a) && p.aims[a].dynamics.ClearanceLH == 0 {
			row.earliestH = max(row.earliestH, p.earliest(p.reach(&p.start, a), a, nil))
		}
	}
}

// The bounds of houses in which one thing or two hold plans back: never above a plan that
// there is, and never weaker than they have been. UPDATE_BOUNDS=1 writes the file again.
func TestBoundsOfTightHouses(t *testing.T) {
	if os.Getenv("UPDATE_BOUNDS") != "" {
		writeTight(t)
	}
	for k, row := range readTight(t) {
		if !outside.Tried(k, 1) {
			continue
		}
		p, name := row.problem(t), fmt.Sprintf("%s %d", row.traits, row.seed)
		is := row
		is.bounds(p)
		if is.close_ > row.exposure*(1+2e-6) || is.quick > row.exposure*(1+2e-6) && p.quickHolds() {
			t.Errorf("%s: bounds %.9g and %.9g, a plan has %.9g", name, is.quick, is.close_, row.exposure)
		}
		if is.earliestH > row.doneH+1e-6 || is.quickH > row.doneH+1e-6 && p.quickHolds() {
			t.Errorf("%s: earliest %g h and %g h, a plan is done at %g", name, is.quickH, is.earliestH, row.doneH)
		}
		if is.closeMissed > row.missed || is.quickMissed > row.missed && p.quickHolds() {
			t.Errorf("%s: %g or %g aims are late by the bounds, %g by a plan", name, is.quickMissed, is.closeMissed, row.missed)
		}
		// Who has enough stops early, and says no more than the whole bound.
		for _, part := range []float64{0.3, 0.9, 1.1} {
			if b := p.bound(&p.start, score{exposure: part * is.quick}); b.exposure > is.quick*(1+1e-9) || b.exposure < min(part, 1)*is.quick*(1-1e-6) {
				t.Errorf("%s: %g of %g is enough: %g", name, part*is.quick, is.quick, b.exposure)
			}
		}
		for what, x := range map[string][2]float64{"aims late by the quick bound": {is.quickMissed, row.quickMissed}, "aims late by the close bound": {is.closeMissed, row.closeMissed},
			"litres of the quick bound": {-is.litres, -row.litres}, "litres of the close bound": {-is.closeLitres, -row.closeLitres},
			"quick bound": {is.quick, row.quick}, "time of the quick bound": {is.quickH, row.quickH},
			"close bound": {is.close_, row.close_}, "time of the close bound": {is.earliestH, row.earliestH}} {
			if x[0] < x[1]-1e-6*math.Abs(x[1])-1e-9 {
				t.Errorf("%s: the %s is worse, %.9g and now %.9g", name, what, x[1], x[0])
			}
		}
	}
}

// No plan is worse than one that is known, by more than a hundredth.
func TestPlansOfTightHousesAreNoWorseThanKnown(t *testing.T) {
	outside.Alone(t)
	for k, row := range readTight(t) {
		if k%outside.Cases(1, 4, 11) != 0 {
			continue
		}
		p := row.problem(t)
		f := p.solve(fewNodes, new(search))
		p.followed(t, fmt.Sprintf("%s %d", row.traits, row.seed), f)
		if never := math.IsInf(row.doneH, 1); f.score.never > 0 && !never || f.score.exposure > row.exposure*1.01+1e-6 && (f.score.never > 0) == never {
			t.Errorf("%s %d: exposure %g, never %d; a plan has %g, done at %g h", row.traits, row.seed, f.score.exposure, f.score.never, row.exposure, row.doneH)
		}
	}
}

// followed holds the bounds along a plan to what the plan does: none is above its score, and no
// more has been poured than they say can be.
func (p *problem) followed(t *testing.T, name string, f found) {
	t.Helper()
	var s state
	s.copyFrom(&p.start)
	r, w := p.reach(&p.start, 0), outlook{}
	w.look(p, &p.start)
	poured, worth, changes := 0.0, 0.0, 0.0
	m := &p.aims[0]
	for k := range f.moves {
		if b := p.bound(&s, worst()); p.quickHolds() && (b.exposure > f.score.exposure*(1+1e-6)+1e-9 || b.missed > f.score.missed || b.never > f.score.never || b.finishH > f.score.finishH+1e-6) {
			t.Errorf("%s: bound %+v before move %d, the plan has %+v", name, b, k, f.score)
		}
		mv := &f.moves[k]
		for s.atH < mv.atH {
			if next, _ := p.nextMoment(&s); next >= mv.atH || !p.advance(&s) {
				p.passTo(&s, mv.atH)
			}
		}
		if mv.kind == toChange && m.inert {
			changes++
			for _, d := range mv.change.draws {
				poured += d.litres
				worth += d.litres * (s.conc[0].UgL - s.levels[d.vat*len(p.aims)]) / (s.conc[0].UgL - m.purest)
			}
			if most := w.litresBy(mv.atH+slackH, changes); p.quickHolds() && poured > most*(1+1e-6)+1e-6 {
				t.Errorf("%s: %g L poured by %g h, %g can be", name, poured, mv.atH, most)
			}
			if most := r.litresBy(mv.atH+slackH, changes); worth > most*(1+1e-6)+1e-6 {
				t.Errorf("%s: %g L poured by %g h, %g can be by the close bound", name, worth, mv.atH, most)
			}
		}
		p.follow(&s, mv)
	}
	got := p.score(&s)
	if !s.done() {
		p.passTo(&s, p.horizonH)
		got = p.score(&s)
	}
	if !(math.Abs(got.exposure-f.score.exposure) <= 1e-9*(1+got.exposure)) || got.missed != f.score.missed || got.never != f.score.never || got.waterL != f.score.waterL {
		t.Errorf("%s: the moves lead to %+v, not %+v", name, got, f.score)
	}
}

// What is left counts on after the horizon only: a change that comes after the last of a plan
// that gets there may take it out.
func TestNothingCountsAfterAPlanThatGetsThere(t *testing.T) {
	outside.Alone(t)
	n := 0
	for _, row := range readTight(t) {
		if math.IsInf(row.doneH, 1) {
			continue
		}
		is, was := row, row
		p := row.problem(t)
		was.bounds(p)
		p.afterH = p.horizonH
		is.bounds(p)
		if n++; is.close_ > was.close_*(1+1e-9) && is.close_ > is.quick*(1+1e-9) {
			t.Errorf("%s %d: close bound %.9g, %.9g with what is left after it", row.traits, row.seed, was.close_, is.close_)
		}
	}
	if n < 100 {
		t.Errorf("%d plans get there", n)
	}
}

// pairsFrom is the first seed of the houses with two traits.
const pairsFrom = 100

func writeTight(t *testing.T) {
	t.Helper()
	var rows []tightRow
	for _, x := range traits {
		for seed := range uint64(8) {
			rows = append(rows, tightRow{traits: x.name, seed: seed})
		}
	}
	for k, x := range traits {
		for seed := range uint64(3) {
			if x.name != tiny {
				rows = append(rows, tightRow{traits: x.name + " + " + tiny, seed: 1000 + 10*uint64(k) + seed})
			}
		}
	}
	r := rand.New(rand.NewPCG(1, 98))
	for n := range uint64(400) {
		k := r.Perm(len(traits))
		rows = append(rows, tightRow{traits: traits[k[0]].name + " + " + traits[k[1]].name, seed: pairsFrom + n})
	}
	if err := os.MkdirAll("testdata", 0o755); err != nil {
		t.Fatal(err)
	}
	f, err := os.Create(tightFile)
	if err != nil {
		t.Fatal(err)
	}
	w := csv.NewWriter(f)
	_ = w.Write([]string{"traits", "seed", "exposure", "done_h", "last_h", "quick", "quick_h", "close", "earliest_h", "missed", "quick_missed", "close_missed", "litres", "close_litres"})
	for _, row := range rows {
		p := row.problem(t)
		f := p.solve(fewNodes, new(search))
		if !(f.score.exposure > 0.01) {
			continue
		}
		row.exposure, row.doneH, row.lastH = f.score.exposure, f.score.finishH, lastChange(f.moves)
		if f.score.never > 0 {
			row.doneH, row.lastH = math.Inf(1), p.horizonH
		}
		row.missed = late(f.score)
		row.bounds(row.problem(t))
		rec := []string{row.traits, strconv.FormatUint(row.seed, 10)}
		for k, x := range row.numbers() {
			digits := 9
			if k < 3 { // of the plan, to the last bit
				digits = -1
			}
			rec = append(rec, strconv.FormatFloat(x, 'g', digits, 64))
		}
		_ = w.Write(rec)
	}
	w.Flush()
	if err := f.Close(); err != nil || w.Error() != nil {
		t.Fatal(err, w.Error())
	}
}

// A system that is warmer or colder than it is kept (a night under way) takes a first change
// from there, and the second from its own temperature: by hand 400/(26 − 15) and 400/(25 − 15)
// litres of water at 15 °C for a step of 1 °C.
func TestTheFirstChangeIsMadeFromWhatTheSystemHas(t *testing.T) {
	for _, c := range []float64{26, 25, 24} {
		v := vatOf("vat", 1000, 1600)
		v.Water.Temperature = 15
		d := plan.Demand{Aims: []plan.Aim{share(0.5, 24)}, Reheats: true, Now: &plan.State{Salinity: 35, Temperature: c}}
		p := laid(t, placeOf(reef(400), v), d)
		can := 400/(c-15) + 400/(25-15)
		for what, most := range map[string]float64{"quick": p.outlook(&p.start).litresBy(4.5, 2), "close": p.reach(&p.start, 0).litresBy(4.5, 2)} {
			// A litre at 15 °C holds a little less heat than one at 25 °C.
			if most < can*(1-3e-3) || what == "quick" && most > 1.15*can {
				t.Errorf("from %g °C %.1f L in two changes, the %s bound says %.1f", c, can, what, most)
			}
		}
	}
}
