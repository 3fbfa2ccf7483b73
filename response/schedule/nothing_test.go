package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// Water as dirty as the system takes nothing out: nobody pours it for that, nor for the kept end of the
// clean, and what is dirtier still even less; where a limit bites, too.
func TestWaterAsDirtyAsTheSystemIsNotPoured(t *testing.T) {
	for _, step := range []float64{9, 0.2} {
		sys := reef(400)
		sys.LeastChange, sys.Limits.SalinityStep, sys.Limits.SalinityPerDay = 0, step, 9
		vats := []site.Store{vatOf("clean", 30, 440), vatOf("as dirty", 100, 440), vatOf("dirtier", 100, 440), vatOf("nearly as dirty", 30, 440)}
		for k, copper := range []float64{0, 60, 80, 50} {
			vats[k].Background, vats[k].Water.Salinity = map[string]float64{"copper": copper}, units.Practical([]float64{37, 34.5, 33, 38}[k])
		}
		p := laid(t, placeOf(sys, vats...), plan.Demand{Aims: []plan.Aim{{Contaminant: "copper", Start: 60, Target: 30}}})
		for _, like := range []taste{mostFall, leastFall} {
			var table table
			list := table.options(p, &p.start, like, 0, false)
			if len(list) != 1 {
				t.Errorf("taste %d, a step of %g: %d changes", like, step, len(list))
				continue
			}
			drawn := 0.0
			for _, d := range list[0].draws {
				if id := p.vessels[d.vat].id; strings.HasPrefix(id, "as") && like == leastFall || id == "dirtier" || step == 9 && id == "as dirty" {
					t.Errorf("taste %d, a step of %g: %g L of %s", like, step, d.litres, id)
				}
				drawn += d.litres
			}
			if want := 60.0; step == 9 && drawn != want || drawn <= 0 {
				t.Errorf("taste %d, a step of %g: %g L in all", like, step, drawn)
			}
		}
	}
}

// Of what matches alone nothing else is poured, though more could be poured with it: at the lowest
// temperature that is allowed, a hair colder.
func TestOfWhatMatchesAloneNothingElseIsPoured(t *testing.T) {
	hair, warm := vatOf("a hair colder", 100, 440), vatOf("warm", 100, 440)
	hair.Water.Temperature, warm.Water.Temperature = 24.99, 27
	sys := reef(400)
	sys.Limits.TemperatureLow, sys.LeastChange = 25, 0
	p := laid(t, placeOf(sys, hair, warm), plan.Demand{Aims: []plan.Aim{share(0.4, 24)}})
	var table table
	if list := table.options(p, &p.start, matchingOnly, 0, false); len(list) > 0 {
		t.Errorf("%+v", list[0])
	}
	// Where one change is enough and the first taste has none, another has.
	if list := table.options(p, &p.start, matchingOnly, tastes, true); len(list) != 1 || len(list[0].draws) != 2 {
		t.Errorf("%+v", list)
	}
}

// Of many small vats as many are looked at as the whole demand takes, though two changes would find
// enough in half of them: a share of a contaminant, and one in µg/L.
func TestManySmallVatsAreEnough(t *testing.T) {
	var vats []site.Store
	for k := range 45 {
		vats = append(vats, vatOf(fmt.Sprint("vat", k), 20, 25))
	}
	for _, a := range []plan.Aim{share(0.8, 48), {Contaminant: "copper", Start: 60, Target: 12, WithinH: 48}} {
		p := planned(t, placeOf(reef(400), vats...), Options{}, true, a)
		if p.DoneAtH == nil || p.WaterL > 900 {
			t.Errorf("%s: done %v with %g L of 900", a.Contaminant, p.DoneAtH, p.WaterL)
		}
	}
}

// Of an empty vat nobody is told that its water is old, or has no date: it has none. And it is mixed in.
func TestAnEmptyVatHasNoAge(t *testing.T) {
	old := noon.Add(-60 * 24 * time.Hour)
	for _, mixed := range []*time.Time{nil, &old} {
		v := vatOf("vat", 0, 440)
		v.Mixed, v.MaxAgeH = mixed, 24
		s := workshop(0, 300, 0)
		s.Stores[0] = v
		out, err := Run(s, noon, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{share(0.3, 24)}}}, Options{Explain: true})
		if err != nil {
			t.Fatal(err)
		}
		if said := strings.Join(out.Warnings, "\n"); strings.Contains(said, "vat") || len(out.Plans[0].Batches) != 1 || out.UsableNowL != 0 {
			t.Errorf("mixed %v: %q, %d batches", mixed, said, len(out.Plans[0].Batches))
		}
	}
}

// Less than the reserve is stored: nothing is usable now, of the site and for the plan, and no less.
func TestLessThanTheReserveIsNothing(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 50, 440))
	s.Reserve.Saltwater = 80
	out, err := Run(s, noon, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{share(0.3, 24)}}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if p := out.Plans[0]; out.UsableNowL != 0 || p.UsableNowL != 0 || len(p.Steps) > 0 || p.Supply[0].Litres != 0 || p.Confidence != nil {
		t.Errorf("%g L, %g for the plan, supply %+v, confidence %v", out.UsableNowL, p.UsableNowL, p.Supply, p.Confidence)
	}
}

// A little uncertainty is uncertainty, of the volume and of the start; one salt needs no name.
func TestALittleUncertaintyIsSaid(t *testing.T) {
	for _, c := range []struct {
		volumeU units.Litres
		startU  float64
	}{{0.5, 0}, {0, 0.5}} {
		sys := reef(400)
		sys.NetVolumeU = c.volumeU
		s := placeOf(sys, vatOf("vat", 0, 440), pureOf("pure", 300, 300))
		s.Salts = []site.Salt{houseSalt(40)}
		p := planned(t, s, Options{}, false, plan.Aim{Contaminant: "copper", Start: 60, StartU: c.startU, Target: 40, WithinH: 24})
		if p.Confidence == nil || *p.Confidence != defaultConfidence {
			t.Errorf("± %g L, ± %g µg/L: sized for %v", float64(c.volumeU), c.startU, p.Confidence)
		}
		if len(p.Batches) == 0 || len(p.Batches[0].Salts) != 1 || p.Batches[0].Salts[0].Named {
			t.Errorf("batches %+v", p.Batches)
		}
	}
}

// Two events on one system: the foremost priority of those that have one is theirs, in either order.
func TestNoPriorityTakesNoneAway(t *testing.T) {
	half := 0.5
	for _, c := range []struct{ a, b, want int }{{0, 0, 0}, {2, 0, 2}, {0, 2, 2}, {2, 1, 1}, {1, 2, 1}} {
		s := placeOf(reef(400), vatOf("vat", 300, 440))
		s.Events = []site.Event{{ID: "a", System: "reef", Remove: &half, Priority: c.a}, {ID: "b", System: "reef", Remove: &half, Priority: c.b}}
		d, err := Demands(s)
		if err != nil || len(d) != 1 || d[0].Priority != c.want {
			t.Errorf("%d and %d: %+v, %v; want %d", c.a, c.b, d, err, c.want)
		}
	}
}

// A system of fresh water is changed with fresh water; no salt is put into it, and salt water is let in
// only as far as its limits have it.
func TestASystemOfFreshWater(t *testing.T) {
	sys := reef(400)
	sys.Water.Salinity, sys.Limits.SalinityLow, sys.Limits.SalinityHigh = 0, 0, 1
	sys.Limits.SalinityStep, sys.Limits.SalinityPerDay = 0.5, 0.5
	fresh, salty := vatOf("fresh", 300, 440), vatOf("salty", 200, 440)
	fresh.Water.Salinity = 0
	s := placeOf(sys, fresh, salty, pureOf("pure", 100, 100))
	s.Salts = []site.Salt{houseSalt(40)}
	p := planned(t, s, Options{Explain: true}, true, share(0.6, 24))
	if p.DoneAtH == nil || len(p.Batches) > 0 || p.SaltKg > 0 {
		t.Errorf("done %v, %d batches, %g kg of salt", p.DoneAtH, len(p.Batches), p.SaltKg)
	}
	limitsHold(t, "fresh", Outcome{Plans: []plan.Plan{p}})
	for _, step := range p.Steps {
		if step.After.Salinity > 0.5+1e-9 {
			t.Errorf("salinity %g", step.After.Salinity)
		}
	}
}

// What an empty vat once held says nothing of new water, and who is where they are to come to, is there.
func TestWhatIsNotThereIsNotNewWater(t *testing.T) {
	empty, vat := vatOf("empty", 0, 440), vatOf("vat", 300, 440)
	empty.Background, vat.Background = map[string]float64{"copper": 0}, map[string]float64{"copper": 9}
	p := planned(t, placeOf(reef(400), empty, vat), Options{}, false, plan.Aim{Contaminant: "copper", Start: 60, Target: 5, WithinH: 24})
	if p.Reachable || p.Aims[0].Floor != 9 || p.Aims[0].Background != 9 {
		t.Errorf("brought below what is in the only water: %+v", p.Aims[0])
	}
	p = planned(t, placeOf(reef(400), vat), Options{}, false, plan.Aim{Contaminant: "copper", Start: 9, StartU: 2, Target: 9, WithinH: 24})
	if !p.Reachable || p.DoneAtH == nil || *p.DoneAtH != 0 || len(p.Steps) > 0 {
		t.Errorf("at its target: %+v", p.Aims[0])
	}
}

// A vat that holds nothing, and has room for nothing, is nothing: whatever is said of its water and
// whatever its walls let through, neither bound says anything else of what can be poured, or of an aim.
func TestAnEmptyVatChangesNothing(t *testing.T) {
	for seed := range uint64(fewer(600, 4)) {
		r := rand.New(rand.NewPCG(seed, 411))
		s, d := coldHouse(r)
		if r.IntN(2) == 0 {
			d.Now = &plan.State{Salinity: 35 + oneOf(r, -0.4, 0.2), Temperature: 25 - oneOf(r, 0, 0.5)}
		}
		say := func() (list []float64) {
			p := laid(t, s, d)
			w := outlook{}
			w.look(p, &p.start)
			q := p.reach(&p.start, 0)
			for _, h := range []float64{0.5, 3, 20} {
				for _, changes := range []float64{1, 3, math.Inf(1)} {
					list = append(list, w.litresBy(h, changes), q.litresBy(h, changes))
				}
			}
			b := p.bound(&p.start, worst())
			return append(list, p.aims[0].floor, p.aims[0].purest, p.aims[0].cleanest, b.exposure, b.finishH)
		}
		was := say()
		v := vatOf("empty", 0, 0)
		v.Water.Temperature, v.Water.Salinity = units.Celsius(oneOf(r, 2, 38)), units.Practical(oneOf(r, 5, 41))
		if v.Background = map[string]float64{"copper": 0}; s.Stores[0].Background != nil {
			for k := range s.Stores {
				s.Stores[k].Background["copper"] += 1
			}
			was = say()
		}
		s.Stores = append(s.Stores, v)
		for k, got := range say() {
			if got != was[k] && !(math.Abs(got-was[k]) <= 1e-9*min(math.Abs(was[k]), math.MaxFloat64)) { // +Inf (never) is itself alone
				t.Errorf("seed %d: with an empty vat %.9g, without it %.9g (%d)", seed, got, was[k], k)
			}
		}
		if t.Failed() {
			return
		}
	}
}

// A move between two moments at which something could be decided is made when it is made; what comes by
// then has come.
func TestAMoveIsMadeWhenItIsMade(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 100, 440), pureOf("pure", 20, 300))
	s.Deliveries = []site.Delivery{{AfterH: 2, Saltwater: 50}, {AfterH: 3, Purified: 30}, {AfterH: 7, Purified: 40}}
	for _, atH := range []float64{0.3, 2, 2.5, 4.25, 9} {
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.4, 48)}})
		var f state
		f.copyFrom(&p.start)
		p.follow(&f, &move{atH: atH, kind: toWait, job: noJob})
		pure := 20.0
		for _, d := range s.Deliveries {
			if d.AfterH <= atH {
				pure += float64(d.Purified)
			}
		}
		if f.atH != atH || !(math.Abs(p.pureAt(&f, atH)-pure) <= 1e-9) {
			t.Errorf("at %g h instead of %g, with %g L of purified water instead of %g", f.atH, atH, p.pureAt(&f, atH), pure)
		}
	}
}

// What a limit that the quick bound does not know keeps slow is late, and not never, though it takes more
// than three days: 0.3 dKH a day of water 3 dKH off let in 40 L a day.
func TestSlowByALimitIsNotNever(t *testing.T) {
	v := vatOf("vat", 900, 1000)
	v.Water.AlkalinityDKH = ptr(11)
	sys := reef(400)
	sys.Limits.AlkalinityPerDay, sys.LeastChange = 0.3, 0
	for _, withinH := range []float64{0, 24} {
		p := planned(t, placeOf(sys, v), Options{}, false, share(0.4, withinH))
		if p.DoneAtH == nil || *p.DoneAtH <= 72 || *p.DoneAtH > 30*24 || p.InTime != (withinH == 0) {
			t.Errorf("within %g h: done %v, in time %v", withinH, p.DoneAtH, p.InTime)
		}
		limitsHold(t, "slow", Outcome{Plans: []plan.Plan{p}})
	}
}

// Of all limits that a plan ran into the one that is named saves most: with no other's next notch is it
// done sooner, or leaves it less where it is done at the same time, or never. None is named where no notch
// saves either.
func TestNoOtherNotchSavesMore(t *testing.T) {
	several := 0
	for seed := range uint64(fewer(160, 4)) {
		r := rand.New(rand.NewPCG(seed, 31))
		s, d := harsh(r)
		pl, err := New(s, noon)
		if err != nil {
			t.Fatal(err)
		}
		out, err := pl.Run(d, Options{Explain: true, Unproved: true, Nodes: 60, HorizonH: 96})
		if err != nil {
			t.Fatal(err)
		}
		made := &out.Plans[0]
		opt := Options{Nodes: 60 / shareForNotch, HorizonH: 96}.withDefaults(s)
		var named *plan.Plan
		var tried []plan.Plan
		for _, n := range pl.notches(made, &d[0], opt) {
			sys, again, o := *d[0].System, d[0], opt
			again.System = &sys
			n.apply(&again, &o)
			loose, err := pl.plan(&again, o, nil, false)
			if err != nil {
				continue
			}
			if tried = append(tried, loose); n.limit == made.Binding.Limit {
				named = &loose
			}
		}
		if len(tried) == 0 {
			continue
		}
		if made.Binding.Limit == "" {
			named, made.Binding.SavedH = made, new(float64) // nothing saves anything
		}
		if named == nil {
			t.Errorf("seed %d: %q is named, which it did not run into", seed, made.Binding.Limit)
			continue
		}
		if len(tried) > 1 {
			several++
		}
		for k := range tried {
			if sooner(&tried[k], named) {
				t.Errorf("seed %d: %s is named, another saves more", seed, made.Binding.Limit)
			}
		}
		if made.DoneAtH != nil && named.DoneAtH != nil && !(math.Abs(*made.Binding.SavedH-max(0, *made.DoneAtH-*named.DoneAtH)) <= 1e-9) {
			t.Errorf("seed %d: %g h are saved, of %g and %g", seed, *made.Binding.SavedH, *made.DoneAtH, *named.DoneAtH)
		}
	}
	if t.Logf("%d plans ran into several limits", several); several < fewer(60, 4) {
		t.Errorf("%d plans ran into several limits", several)
	}
}
