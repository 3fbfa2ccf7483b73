package incident

import (
	"math"
	"testing"
	"time"

	"tidehold/response/dilution"
	"tidehold/response/schedule"
	"tidehold/volumes/stock"
)

// The last that is closed is named, with its number, and nothing where there was none.
func TestFindNamesTheLastThatIsClosed(t *testing.T) {
	closed := three
	logs := []Log{{ID: 1, ClosedAt: &closed, Opening: Opening{Name: "a", System: "tank"}}, {ID: 5, ClosedAt: &closed, Opening: Opening{Name: "b", System: "pool"}}}
	for _, c := range []struct {
		logs []Log
		want string
	}{
		{nil, "no incident is open; open one first, as in: tidehold incident open EVENT"},
		{logs[:1], "no incident is open; the last, a on tank, is closed: --incident 1; or open one first, as in: tidehold incident open EVENT"},
		{logs, "no incident is open; the last, b on pool, is closed: --incident 5; or open one first, as in: tidehold incident open EVENT"},
	} {
		if _, err := Find(c.logs, 0, ""); err == nil || err.Error() != c.want {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}

// An opening is taken back while it stands alone; how many entries stand in the way is counted.
func TestAnOpeningThatOthersBelongTo(t *testing.T) {
	b := opened(t)
	undo := stock.Entry{Kind: stock.Undo, Undoes: 1, Time: at(2).At}
	if err := Validate(b.entries, undo, three.Add(72*time.Hour)); err != nil {
		t.Errorf("alone: %v", err)
	}
	b.put(at(1).Remark("x"))
	b.put(at(1.5).Change(pour("vat-a", 10, 35, 25)))
	b.refused(undo, nil, "entry 1 opened incident 1, and 2 entries belong to it; undo those first")
}

// Whatever the results leave undecided, the event's own source goes on in the plan: a plan without it
// would be too small, and one that knows better says so.
func TestWhatIsUndecidedIsPlannedAsSupposed(t *testing.T) {
	fit := Fit{Explanation: Dilution}
	for _, c := range []struct {
		f    Finding
		want float64
	}{
		{Finding{Explanation: Undecided, Chosen: &fit}, 0.4},
		{Finding{Explanation: Undecided, Chosen: &fit, MoreIn: true}, 0},
		{Finding{Explanation: Undecided, Chosen: &fit, LessIn: true}, 0},
		{Finding{Explanation: Dilution, Chosen: &fit}, 0},
	} {
		if got, ratio, rate := c.f.acting(0.4); got != c.want || ratio != 0 || rate != 0 {
			t.Errorf("%+v: %v mg/h, want %v", c.f, got, c.want)
		}
	}
}

// What is still being added is fitted, whichever explanation is chosen: the source in the water is 0.4 mg/h.
func TestTheSourceIsThatOfTheFitWithASource(t *testing.T) {
	f := at24(sampled(dilution.Dynamics{Source: dilution.Source{MgH: 0.4}}, 0.2, 4, 9, 14, 24))
	if x := f.SourceMgH; x == nil || x.SE <= 0 || x.Value < 0.4-2*x.SE || x.Value > 0.4+2*x.SE {
		t.Errorf("%+v mg/h", x)
	}
	if f = at24(sampled(dilution.Dynamics{ClearanceLH: 25}, 0.2, 4, 9, 14, 24)); f.SourceMgH == nil || f.SourceMgH.Value > 0 {
		t.Errorf("carbon takes out, and %+v mg/h are added", f.SourceMgH)
	}
}

// A result below the target whose ± reaches above it has not met it; what nobody measured is judged
// by the start supposed, which has no ±.
func TestAResultIsMetWithItsUncertaintyOnly(t *testing.T) {
	s := house(t)
	for _, c := range []struct {
		u    float64
		want dilution.Verdict
	}{{0.2, dilution.Below}, {1, dilution.Undecided}} {
		b := opened(t)
		b.put(at(1).Result([]Measured{{"copper", 4.5, c.u, false}}, "")) // target 5
		if g := b.state(s, 1).Goals[0]; g.Verdict != c.want {
			t.Errorf("4.5 ± %g of 5 µg/L: %s, want %s", c.u, g.Verdict, c.want)
		}
	}
	for _, c := range []struct {
		start, u float64
		want     dilution.Verdict
	}{{60, 0, dilution.Above}, {5, 0, dilution.Below}, {4, 0, dilution.Below}, {4, 2, dilution.Undecided}} {
		b := &book{t: t}
		open := at(0)
		open.Incident = 0
		o := copperOpening
		o.Aims = []Aim{{Contaminant: "copper", Start: c.start, StartU: c.u, Target: 5, WithinH: 168}}
		b.put(open.Open(o))
		if g := b.state(s, 1).Goals[0]; g.Verdict != c.want {
			t.Errorf("%g ± %g µg/L supposed, target 5: %s, want %s", c.start, c.u, g.Verdict, c.want)
		}
	}
}

// Whose water comes first is what the site file says of the event; an event that is no longer in it has
// none, and an incident that only bears the name of one neither.
func TestPriorityIsTheEvents(t *testing.T) {
	s := house(t)
	s.Events[0].Priority = 7
	b := opened(t)
	if got := b.state(s, 1).Demand.Priority; got != 7 {
		t.Errorf("priority %d, want 7", got)
	}
	s.Events = nil
	if got := b.state(s, 1).Demand.Priority; got != 0 {
		t.Errorf("of an event that is gone: %d", got)
	}
	named := &book{t: t}
	open := at(0)
	open.Incident = 0
	o := copperOpening
	o.Event = false
	named.put(open.Open(o))
	s = house(t)
	s.Events[0].Priority = 7
	if got := named.state(s, 1).Demand.Priority; got != 0 {
		t.Errorf("of the name alone: %d", got)
	}
}

// What was read in the minute of the opening is a change from how the water was kept; a change for which
// there was no water has no plan beside it.
func TestReportOfTheFirstMinute(t *testing.T) {
	s := house(t)
	b := opened(t)
	b.put(at(0).Reading(Values{TempC: x(21), Salinity: x(33)}, nil))
	for k := range s.Stores {
		s.Stores[k].Volume = *litres(0)
	}
	s.Salts, s.Purifier = nil, nil
	b.put(at(1).Change(pour("", 10, 34, 22))) // borrowed
	folded, _ := stock.Fold(s, b.entries, at(2).At)
	r, err := b.log().ReportOn(s, folded, b.entries, at(2).At, noTarget, schedule.Options{Nodes: 200})
	if err != nil {
		t.Fatal(err)
	}
	if r.Coldest != 21 || r.Warmest != 25 || r.LeastSalt != 33 || r.MostSalt != 35 {
		t.Errorf("%v to %v °C, %v to %v", r.Coldest, r.Warmest, r.LeastSalt, r.MostSalt)
	}
	if len(r.Steps) != 1 || r.Steps[0].Planned != nil {
		t.Errorf("%+v", r.Steps)
	}
}

// Five degrees are no leap, and a little more is one.
func TestTheEdgeOfALeap(t *testing.T) {
	s := house(t)
	for temp, leaps := range map[float64]bool{20: false, 19.99: true, 30: false, 30.01: true} {
		b := opened(t)
		id := b.put(at(1).Reading(Values{TempC: x(temp)}, nil))
		if got, _, err := b.log().Leaps(&s.Systems[0], id); err != nil || (got != nil) != leaps {
			t.Errorf("%g °C of 25: %+v, %v", temp, got, err)
		}
	}
}

// Two results that contradict each other ask for a third: the second is the odd one, and nothing is
// made of it.
func TestTheSecondOfTwoResultsIsASurprise(t *testing.T) {
	f := at24(tank(Sample{AtH: 0.2, UgL: 60, U: 4}, Sample{AtH: 9, UgL: 60, U: 2}))
	if f.Surprise != 3 || f.Explanation != Undecided {
		t.Errorf("surprise %d, %s", f.Surprise, f.Explanation)
	}
}

// An incident that is done, or asks for nothing, draws on nothing: it is none of those beside.
func TestADoneIncidentIsNotBeside(t *testing.T) {
	s := house(t)
	b := opened(t)
	d := at(0)
	d.Incident = 0
	b.put(d.Open(Opening{Name: "a look", System: "tank2", Aims: []Aim{{Remove: 0.01, WithinH: 24}}}))
	second := s.Systems[0]
	second.ID = "tank2"
	s.Systems = append(s.Systems, second)
	beside := func(h float64) int {
		st, _ := b.going(s, h)
		return len(st.Besides)
	}
	if n := beside(0.5); n != 1 {
		t.Errorf("%d beside while it asks for water", n)
	}
	e := at(1)
	e.Incident = 2
	b.put(e.Change(pour("vat-a", 40, 35, 25)))
	if n := beside(2); n != 0 {
		t.Errorf("%d beside once it is done", n)
	}
}

// What was found to be added goes into the plan as found, however little, and never below nothing; what
// comes back from rock is told by its share, whatever the level.
func TestALittleThatIsStillAdded(t *testing.T) {
	for found, want := range map[float64]float64{0.4: 0.4, 0.01: 0.01, -0.3: 0} {
		f := Finding{Explanation: StillAdding, MoreIn: true, Chosen: &Fit{Explanation: StillAdding, SourceMgH: Fitted{found, 0.1}}}
		if got, ratio, rate := f.acting(9); got != want || ratio != 0 || rate != 0 {
			t.Errorf("%g mg/h found: %g, ratio %g, rate %g", found, got, ratio, rate)
		}
	}
	fit := Fit{Explanation: ComingBack, RatePerH: Fitted{0.1, 0.05}}
	fit.theta[pVolume], fit.theta[pRatio], fit.theta[pRate] = 400, 1, math.Log(0.1)
	f := Finding{Series: Series{VolumeL: 400, doses: []dose{{1, 100, 0}, {50, 100, 0}}}, Explanation: ComingBack, Chosen: &fit, MoreIn: true, nowH: 10}
	fit.theta[pStart] = 60
	_, of60, _ := f.acting(0)
	fit.theta[pStart] = 0.6
	if _, got, _ := f.acting(0); !(math.Abs(got/of60-1) <= 1e-9) {
		t.Errorf("ratio %g from 60 µg/L, %g from 0.6", of60, got)
	}
}

// To the minute of the deadline a goal that is not met is overdue.
func TestTheMinuteOfTheDeadline(t *testing.T) {
	for h, overdue := range map[float64]bool{167.9: false, 168: true, 168.1: true} {
		if g := opened(t).state(house(t), h).Goals[0]; g.Overdue != overdue || overdue && g.WithinH != 0 {
			t.Errorf("at %g h of 168: %+v", h, g)
		}
	}
}

// The least and the most that an instrument may show are readings, and nothing beyond.
func TestReadingsAtTheirBounds(t *testing.T) {
	for name, c := range map[string]struct {
		of   func(v float64) Values
		most float64
	}{
		"temperature": {func(v float64) Values { return Values{TempC: &v} }, 40}, "salinity": {func(v float64) Values { return Values{Salinity: &v} }, 42},
		"pH": {func(v float64) Values { return Values{PH: &v} }, 14}, "alkalinity": {func(v float64) Values { return Values{AlkalinityDKH: &v} }, 100},
		"oxygen": {func(v float64) Values { return Values{OxygenMgL: &v} }, 50},
	} {
		for v, ok := range map[float64]bool{0: true, 0.5: true, c.most: true, -0.01: false, c.most + 0.01: false} {
			b := opened(t)
			e, err := at(1).Reading(c.of(v), nil)
			if err == nil {
				e.ID = 2
				err = Validate(b.entries, e, three.Add(72*time.Hour))
			}
			if (err == nil) != ok {
				t.Errorf("%s of %g: %v", name, v, err)
			}
		}
	}
}

// Each explanation is charged for what only the results can tell it: the start, and of what acts how much.
// The volume and the rate of rock are known beforehand, with their ±.
func TestWhatAnExplanationAsks(t *testing.T) {
	want := map[Explanation]int{Dilution: 1, StillAdding: 2, ComingBack: 2, TakenOut: 2}
	for _, m := range tank(Sample{AtH: 0.2, UgL: 60, U: 4}, Sample{AtH: 9, UgL: 30, U: 2}, Sample{AtH: 20, UgL: 20, U: 2}, Sample{AtH: 30, UgL: 20, U: 2}).models() {
		if m.asked() != want[m.name] {
			t.Errorf("%s asks for %d, want %d", m.name, m.asked(), want[m.name])
		}
		delete(want, m.name)
	}
	if len(want) != 0 {
		t.Errorf("not tried: %v", want)
	}
}
