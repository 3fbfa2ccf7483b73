package schedule

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/outside"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// 300 L at 15 °C and a 500 W heater; no change may be smaller than 80 L, which must be at
// 20 °C to cool 400 L by no more than 1 K. All of it takes 3.4 h to warm; the 80 L alone
// 80 L × 1.025 kg/L × 3.99 kJ/(kg K) × 5 K / 500 W = 0.91 h (density and heat capacity of
// seawater at 35 and 15 to 20 °C: UNESCO 1983, EOS-80).
func TestPouringAwayWarmsTheRestSooner(t *testing.T) {
	sys, vat := reef(400), vatOf("vat", 300, 440)
	sys.LeastChange = 0.2
	vat.Water.Temperature, vat.HeaterW = 15, 500
	p := planned(t, placeOf(sys, vat), Options{}, false, share(0.2, 24))
	if len(p.Steps) != 1 || len(p.Prepared) != 1 {
		t.Fatalf("steps %+v after %+v, want one change after some is poured away", p.Steps, p.Prepared)
	}
	if at := p.Steps[0].AtH; at < 0.9 || at > 0.93 {
		t.Errorf("the change is made after %.3f h, want 0.91 h", at)
	}
	if p.Prepared[0].What != plan.Lower {
		t.Errorf("%s: whoever reads that pours all of it away", p.Prepared[0].What)
	}
	close2(t, "poured away", p.Prepared[0].RemoveL, 220, 4)
}

// 300 L, 110 L a change, an hour apart: 70 L at once, 108 L after 2 h, 64 L after 2.5 h. All
// there is each time leaves (1 − 70/300)(1 − 108/300)(1 − 64/300) = 38.6 %; 22 L at once
// leave enough for two full-size changes, and those take out more: 37.2 %.
func TestASmallerChangeNowLeavesLargerOnesLater(t *testing.T) {
	sys := reef(300)
	sys.Drawdown, sys.ChangeEveryH = 110.0/300, 1
	s := placeOf(sys, vatOf("vat", 70, 300))
	s.Deliveries = []site.Delivery{{AfterH: 2, Saltwater: 108}, {AfterH: 2.5, Saltwater: 64}}
	p := planned(t, s, Options{}, false, share(1-0.38, 4))
	if p.DoneAtH == nil || *p.DoneAtH > 4 {
		t.Fatalf("done after %v; steps %+v", p.DoneAtH, p.Steps)
	}
	if first := p.Steps[0]; first.LimitedBy != plan.ForLater || first.RemoveL >= 70 {
		t.Errorf("first change %.1f L, set by %s", first.RemoveL, first.LimitedBy)
	}
}

// More salt never makes the demo's broken heater short, and what is over its age is all
// poured away before anything is mixed on top.
func TestMoreSaltIsNeverShortAtTheDemo(t *testing.T) {
	outside.Alone(t)
	for kg := 42.0; kg <= 70; kg += 0.5 {
		s, faults := site.Load("demo.yaml", site.Demo())
		if s == nil {
			t.Fatal(faults)
		}
		s.Salts[0].OnHand = decimal.NewFromFloat(kg)
		demands, err := Demands(s, "broken-heater")
		if err != nil {
			t.Fatal(err)
		}
		out, err := Run(s, noon.AddDate(0, 0, 5), demands, Options{})
		if err != nil {
			t.Fatal(err)
		}
		p := &out.Plans[0]
		if p.DoneAtH == nil || *p.DoneAtH > 240 {
			t.Errorf("%g kg of salt: done after %v h", kg, p.DoneAtH)
		}
		emptied := false
		old := s.StoreByID("vat-b")
		for _, w := range p.Prepared {
			emptied = emptied || w.StoreID == "vat-b" && math.Abs(w.RemoveL-float64(old.Usable())) < 1
		}
		for _, b := range p.Batches {
			if b.StoreID == "vat-b" && !emptied {
				t.Errorf("%g kg of salt: a batch on top of water over its age", kg)
			}
		}
	}
}

// Two vats of 150 L at 15 °C, 250 W each: 80 L of one alone take 1.82 h to 20 °C; 40 L of both
// half of that. Only to pour away of both at once makes it sooner.
func TestOfTwoVatsBothArePouredAway(t *testing.T) {
	sys, a, b := reef(400), vatOf("a", 150, 150), vatOf("b", 150, 150)
	sys.LeastChange = 0.2
	a.Water.Temperature, a.HeaterW = 15, 250
	b.Water.Temperature, b.HeaterW = 15, 250
	p := planned(t, placeOf(sys, a, b), Options{}, false, share(0.2, 24))
	if len(p.Steps) != 1 || len(p.Prepared) != 2 {
		t.Fatalf("steps %+v after %+v", p.Steps, p.Prepared)
	}
	if at := p.Steps[0].AtH; at < 0.9 || at > 0.96 {
		t.Errorf("the change is made after %.3f h, want 0.91 h", at)
	}
}

// A plan carried out again without any alteration is the same plan, or a better one.
func TestAPlanCarriedOutAgainIsTheSame(t *testing.T) {
	same, n := 0, 0
	for seed := range uint64(fewer(400, 4)) {
		s, d := small(rand.New(rand.NewPCG(seed, 97)))
		for k := range s.Stores {
			if seed%3 == 0 && s.Stores[k].Holds == site.Saltwater { // batch after batch
				s.Stores[k].Volume = s.Stores[k].Volume.Div(decimal.NewFromInt(8))
			}
		}
		pl, err := New(s, noon)
		if err != nil {
			t.Fatal(err)
		}
		p, err := pl.problem(&d[0], Options{HorizonH: 120}.withDefaults(s), nil)
		if err != nil || p.start.done() {
			continue
		}
		for _, how := range styles[:decisive] {
			x := new(search)
			x.begin(p)
			plan := x.bestStarts([]style{how}, mostNodes)[0]
			if len(plan.moves) == 0 {
				continue
			}
			x.begin(p)
			x.retrace(plan.style, nil, &p.start, plan.moves, asLarge)
			if n++; !plan.score.better(x.score) {
				same++
			}
			p.followed(t, "carried out again", found{moves: x.best, score: x.score})
		}
	}
	if t.Logf("%d of %d are the same or better", same, n); n == 0 || same*100 < n*97 {
		t.Errorf("%d of %d plans come out as they were", same, n)
	}
}

// Who is awake until 20:00 may begin a change at 19:59 and not at 20:01, to the second.
func TestMinutesOfTheClockCount(t *testing.T) {
	for _, c := range []struct {
		min, sec int
		late     bool
	}{{29, 40, false}, {30, 20, true}} {
		sys := reef(400)
		s := placeOf(sys, vatOf("vat", 300, 440))
		s.Awake = &site.Awake{FromH: 8, ToH: 20.5}
		s.Deliveries = nil
		at := time.Date(2026, 11, 20, 15, c.min, c.sec, 0, time.UTC)
		s.Systems[0].ChangeEveryH = 5 // the second at 20:29:40, or 20:30:20
		out, err := Run(s, at, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{share(0.5, 24)}}}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		steps := out.Plans[0].Steps
		if len(steps) != 2 || (steps[1].AtH > 5.1) != c.late {
			t.Errorf("15:%d:%d: the second change after %v h", c.min, c.sec, steps[len(steps)-1].AtH)
		}
	}
}

// What a second system will want is not poured away so that the first has less exposure; what
// the first cannot do without is.
func TestWaterThatOthersWantIsNotPouredAway(t *testing.T) {
	for _, c := range []struct {
		withinH float64
		pours   bool
	}{{24, false}, {1.2, true}} {
		vat := vatOf("vat", 300, 440)
		vat.Water.Temperature, vat.HeaterW = 15, 500
		s := placeOf(reef(400), vat)
		s.Systems[0].LeastChange = 0.2
		other := reef(400)
		other.ID = "other"
		s.Systems = append(s.Systems, other)
		out, err := Run(s, noon, []plan.Demand{
			{System: &s.Systems[0], Aims: []plan.Aim{share(0.2, c.withinH)}, Priority: 1},
			{System: &s.Systems[1], Aims: []plan.Aim{share(0.3, 48)}, Priority: 2},
		}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if first := out.Plans[0]; !first.InTime || (len(first.Prepared) > 0) != c.pours {
			t.Errorf("%g h: in time %v after %+v", c.withinH, first.InTime, first.Prepared)
		}
		if out.Plans[1].InTime == c.pours {
			t.Errorf("%g h: the second is in time: %v", c.withinH, out.Plans[1].InTime)
		}
	}
}

// What a plan has done and decided on before a move.
func TestWhatIsBeforeAMove(t *testing.T) {
	moves := []move{{atH: 1, kind: toWork, job: job{vat: 0}}, {atH: 2, kind: toAwait, job: job{vat: 1, fromH: 5}}, {atH: 3, kind: toWork, job: job{vat: 2}}, {atH: 3, kind: toChange, job: noJob}}
	v := variation{before: moves, at: state{atH: 3}}
	for vat, want := range []bool{false, false, true, false} {
		if v.workedOn(vat) != want {
			t.Errorf("vat %d is worked on at 3 h: %v", vat, !want)
		}
	}
	for _, c := range []struct {
		m    move
		want bool
	}{
		{move{kind: toWork, job: job{vat: 1, fromH: 5}}, true}, {move{kind: toWork, job: job{vat: 1, fromH: 6}}, false}, {move{kind: toWork, job: job{vat: 0, fromH: 5}}, false},
		{move{kind: toAwait, job: job{vat: 1, fromH: 5}}, false}, {move{kind: toWork, job: job{vat: 2}}, false},
	} {
		if got := begunBefore(moves, &c.m); got != c.want {
			t.Errorf("%+v has begun by itself: %v", c.m, got)
		}
	}
	if orAll(0) != 1 || orAll(0.4) != 0.4 || orAll(1) != 1 {
		t.Error("no share is all")
	}
	inf := math.Inf(1)
	for _, c := range []struct {
		planned int
		readyH  float64
		want    bool
	}{{-1, 3, false}, {0, 3, true}, {-1, 4, true}, {-1, inf, false}, {-1, 0, false}} {
		s := state{atH: 3, vats: []vat{{}, {readyH: c.readyH}}, ask: ask{planned: job{vat: c.planned}}}
		if s.more() != c.want {
			t.Errorf("planned in vat %d, ready at %g h: more is coming %v", c.planned, c.readyH, !c.want)
		}
	}
}

// What is poured away of a vat twice at one moment is poured away in one go, with another vat's in between,
// but not past a change that draws from it, past work on it, or at another moment.
func TestPouredAwayInOneGo(t *testing.T) {
	pour := func(vat int, litres, atH float64) move {
		return move{atH: atH, kind: toWork, job: job{vat: vat, removeL: litres}}
	}
	draw := func(vat int) move {
		return move{atH: 1, kind: toChange, job: noJob, change: change{litres: 5, draws: []draw{{vat, 5}}}}
	}
	mix, cut := pour(0, 0, 1), pour(0, 3, 1)
	mix.job.batchL, cut.job.correct = 50, true
	for _, c := range []struct {
		name  string
		moves []move
		want  []float64 // litres poured by each move
	}{
		{"one after the other", []move{pour(0, 10, 1), pour(0, 5, 1)}, []float64{15}},
		{"three", []move{pour(0, 10, 1), pour(0, 5, 1), pour(0, 2, 1)}, []float64{17}},
		{"another vat between", []move{pour(0, 10, 1), pour(1, 7, 1), pour(0, 5, 1)}, []float64{15, 7}},
		{"a change of another's water between", []move{pour(0, 10, 1), draw(1), pour(0, 5, 1)}, []float64{15, 0}},
		{"a change of its water between", []move{pour(0, 10, 1), draw(0), pour(0, 5, 1)}, []float64{10, 0, 5}},
		{"mixed between", []move{pour(0, 10, 1), mix, pour(0, 5, 1)}, []float64{10, 0, 5}},
		{"cut afterwards", []move{pour(0, 10, 1), cut}, []float64{10, 3}},
		{"mixed afterwards", []move{pour(0, 10, 1), mix}, []float64{10, 0}},
		{"later", []move{pour(0, 10, 1), pour(0, 5, 2)}, []float64{10, 5}},
	} {
		var got []float64
		for _, m := range pouredAtOnce(c.moves) {
			got = append(got, m.job.removeL)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	fresh, stored := vat{volL: 100, fresh: true}, vat{volL: 100}
	if !fresh.mayLose(50) || fresh.mayLose(51) || fresh.mayLose(100) || !stored.mayLose(100) {
		t.Error("half of a batch that nothing was drawn of may be poured away, and no more; all of what was there")
	}
}

// A change made smaller is that share of each of its waters, and the system what mixing says.
func TestASmallerChangeIsAShareOfItsWaters(t *testing.T) {
	a, b := vatOf("a", 100, 440), vatOf("b", 100, 440)
	a.Water.Temperature, a.Water.Salinity, a.Water.AlkalinityDKH = 22, 34.5, ptr(7)
	b.Water.CalciumMgL = ptr(300)
	p := laid(t, placeOf(reef(400), a, b), plan.Demand{Aims: []plan.Aim{share(0.9, 48)}})
	var table table
	all := table.options(p, &p.start, mostFall, 0, false)[0]
	less := all
	table.lessen(p, &p.start, &less, 0.25)
	parts := []mixing.Water{{Volume: units.Litres(400 - all.litres/4), Salinity: 35, Temperature: 25}}
	alk, ca := 8*(1-all.litres/1600), 420*(1-all.litres/1600)
	for k, d := range less.draws {
		close2(t, "a quarter of it", d.litres, all.draws[k].litres/4, 1e-9)
		w := &p.start.vats[d.vat]
		parts = append(parts, mixing.Water{Volume: units.Litres(d.litres), Salinity: units.Practical(w.s), Temperature: units.Celsius(w.at(0))})
		alk, ca = alk+w.alk*d.litres/400, ca+w.ca*d.litres/400
	}
	want, err := mixing.Blend(parts...)
	if err != nil {
		t.Fatal(err)
	}
	close2(t, "litres", less.litres, all.litres/4, 1e-9)
	close2(t, "salinity", less.after.s, float64(want.Salinity), 1e-9)
	close2(t, "temperature", less.after.c, float64(want.Temperature), 1e-7)
	close2(t, "alkalinity", less.after.alk, alk, 1e-9)
	close2(t, "calcium", less.after.ca, ca, 1e-9)
	if less.by != plan.ForLater || less.trimmed || less.share != 0.25 || len(less.draws) != 2 {
		t.Errorf("%+v", less)
	}
}
