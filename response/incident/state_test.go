package incident

import (
	"math"
	"strings"
	"testing"
	"time"

	"tidehold/response/dilution"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

func noTarget(string) (float64, bool) { return 0, false }

// opened is a book with a copper incident, not reheating.
func opened(t *testing.T) *book {
	b := &book{t: t}
	open := at(0)
	open.Incident = 0
	b.put(open.Open(copperOpening))
	return b
}

func (b *book) log() Log {
	b.t.Helper()
	logs, problems := Logs(b.entries)
	if len(problems) > 0 {
		b.t.Fatal(problems)
	}
	return logs[0]
}

func (b *book) state(s *site.Site, h float64) State {
	b.t.Helper()
	st, err := b.log().StateAt(s, at(h).At, noTarget)
	if err != nil {
		b.t.Fatal(err)
	}
	return st
}

// The water after a change is the mixture by heat and salt; what is used of a day's limit
// is the distance to anything held within 24 h, and no longer.
func TestWaterFollowsReadingsAndChanges(t *testing.T) {
	s := house(t)
	b := opened(t)
	b.put(at(0.5).Reading(Values{TempC: x(24.6), Salinity: x(34.8), PH: x(8.0), AlkalinityDKH: x(7), OxygenMgL: x(6)}, nil))
	b.put(at(1).Change(pour("vat-a", 100, 33, 20)))
	st := b.state(s, 2)
	w := st.Water
	// 300 L at 24.6 °C with 100 L at 20 °C: 23.45 °C but for a per mille of heat capacity
	// and density; salinity 34.35 likewise.
	if !(math.Abs(w.State.Temperature-23.45) <= 0.02) || !(math.Abs(w.State.Salinity-34.35) <= 0.01) || w.TempBasis != Computed {
		t.Errorf("%+v", w.State)
	}
	if *w.State.PH != 8.0 || *w.State.AlkalinityDKH != 7 {
		t.Error("what was read is forgotten")
	}
	if !(math.Abs(w.UsedC-(25-w.State.Temperature)) <= 1e-9) || !(math.Abs(w.UsedSalinity-(35-w.State.Salinity)) <= 1e-9) {
		t.Errorf("used %v °C and %v", w.UsedC, w.UsedSalinity)
	}
	if len(w.Held) != 2 || w.Held[0].Temperature != 25 || !(math.Abs(w.Held[0].UntilH+1.5) <= 1e-9) || w.Held[1].Temperature != 24.6 || !(math.Abs(w.Held[1].UntilH+1) <= 1e-9) {
		t.Errorf("held %+v", w.Held)
	}
	// A day after the first reading only what came since counts.
	w = b.state(s, 24.9).Water
	if len(w.Held) != 1 || !(math.Abs(w.UsedC-(24.6-w.State.Temperature)) <= 1e-9) {
		t.Errorf("after a day: %+v, used %v", w.Held, w.UsedC)
	}
	if w = b.state(s, 30).Water; w.UsedC != 0 || len(w.Held) != 0 {
		t.Errorf("after more than a day: %+v, used %v", w.Held, w.UsedC)
	}
	if st.NextChange != at(5).At || b.state(s, 7).NextChange != at(7).At {
		t.Error("the next change may start four hours after the last, or now")
	}
	if d := st.Demand; d.NotBeforeH != 3 || d.Now.Temperature != st.Water.State.Temperature || d.Reheats {
		t.Errorf("demand %+v", d)
	}
	sys := s.Systems[0]
	for h, want := range map[float64]time.Time{0: three, 0.5: at(0.5).At, 3: at(3).At} {
		sys.LeadH = h
		if got := opened(t).log().NextChange(&sys, three); got != want {
			t.Errorf("with a lead of %v h the first change is at %v", h, got)
		}
	}
}

// A system that reheats is back at its own temperature when the next change may start,
// unless a thermometer said otherwise.
func TestReheatingWater(t *testing.T) {
	s := house(t)
	b := &book{t: t}
	o := copperOpening
	o.Reheats = true
	open := at(0)
	open.Incident = 0
	b.put(open.Open(o))
	b.put(at(1).Change([]stock.Pour{pour("vat-a", 100, 35, 20)[0], {Litres: pour("", 20, 1, 1)[0].Litres}}))
	if c := b.state(s, 2).Water.State.Temperature; c > 24 {
		t.Errorf("an hour later %v °C", c)
	}
	if w := b.state(s, 6).Water; w.State.Temperature != 25 || w.UsedC < 1 {
		t.Errorf("five hours later %v °C, used %v", w.State.Temperature, w.UsedC)
	}
	b.put(at(5.5).Reading(Values{TempC: x(23)}, nil))
	if c := b.state(s, 9).Water.State.Temperature; c != 23 {
		t.Errorf("read 23 °C, is %v", c)
	}
}

// A reading of a tank on its way back after a change is no reason to plan as if it stayed there; one that lags
// behind, or is no colder than the tank is kept, stands: the heaters may be what broke.
func TestAReadingOnTheWayBack(t *testing.T) {
	s := house(t)
	for _, c := range []struct {
		atH, readC, want float64
		reheats          bool
	}{
		{1.25, 23.8, 25, true}, {1.25, 23.2, 23.2, true}, {3, 24.2, 25, true}, {3, 23.8, 23.8, true}, {4.9, 24.6, 24.6, true}, {4.9, 24.8, 25, true},
		{1.25, 26, 26, true}, {1.25, 25, 25, true}, {5.5, 24.9, 24.9, true}, {1.25, 23.8, 23.8, false},
	} {
		b := &book{t: t}
		o := copperOpening
		o.Reheats = c.reheats
		open := at(0)
		open.Incident = 0
		b.put(open.Open(o))
		b.put(at(1).Change(pour("vat-a", 100, 35, 20))) // 400 L at 25 °C: 23.76 °C, back at 5 h
		b.put(at(c.atH).Reading(Values{TempC: &c.readC}, nil))
		b.put(at(c.atH).Reading(Values{Salinity: x(35)}, nil))
		st := b.state(s, 6)
		if got := st.Water.State.Temperature; got != c.want {
			t.Errorf("read %v °C at %v h, reheats %v: %v °C at 6 h, want %v", c.readC, c.atH, c.reheats, got, c.want)
		}
		if got := b.state(s, c.atH).Water.State.Temperature; got != c.readC {
			t.Errorf("read %v °C at %v h: is %v °C then", c.readC, c.atH, got)
		}
	}
}

func TestWaterThatCannotBeMixedIsAnError(t *testing.T) {
	s := house(t)
	b := opened(t)
	b.put(at(1).Change(pour("vat-a", 100, 35, 20)))
	l := b.log()
	l.Items[1].Pours[0].Salinity = x(99)
	if _, err := l.StateAt(s, at(2).At, noTarget); err == nil {
		t.Error("salinity 99 was mixed")
	}
	l.Opening.System = "pool"
	if _, err := l.StateAt(s, at(2).At, noTarget); err == nil || !strings.Contains(err.Error(), `"pool"`) {
		t.Error(err)
	}
	if _, err := l.ReportOn(s, s, b.entries, at(2).At, noTarget, schedule.Options{}); err == nil {
		t.Error("a report on no system")
	}
}

// Goals: before any result the start is what the event supposes, with what it says is still added since (0.2 mg/h into
// 400 L); a result replaces it;
// a share is counted from the changes; a result of something else brings its own goal.
func TestGoals(t *testing.T) {
	s := house(t)
	b := opened(t)
	st := b.state(s, 1)
	g := st.Main()
	if !(math.Abs(g.Finding.Now.Value-60.5) <= 1e-9) || !(math.Abs(g.Finding.Now.U()-6.05) <= 1e-9) || *g.Finding.Predicted != g.Finding.Now.Value || g.Verdict != dilution.Above || !(math.Abs(g.WithinH-167) <= 1e-9) {
		t.Errorf("%+v", g)
	}
	if a := st.Demand.Aims[0]; a.Start != g.Finding.Now.Value || a.SourceMgH != 0.2 || a.EventID != "heater-gone" || a.WithinH != g.WithinH {
		t.Errorf("%+v", a)
	}
	b.put(at(1).Change(pour("vat-a", 180, 35, 25)))
	b.put(at(1.5).Result([]Measured{{"copper", 4, 0.4, false}, {"zinc", 30, 3, false}, {"lead", 1, 0, true}}, ""))
	st, err := b.log().StateAt(s, at(2).At, func(c string) (float64, bool) { return map[string]float64{"zinc": 8}[c], c == "zinc" })
	if err != nil {
		t.Fatal(err)
	}
	if len(st.Goals) != 3 || st.Goals[0].Verdict != dilution.Below || st.Goal("zinc").Verdict != dilution.Above || st.Goal("lead").Verdict != "" || st.Goal("tin") != nil {
		t.Errorf("%+v", st.Goals)
	}
	if !st.Goal("lead").Finding.AtMost || st.Done() || st.Main().Contaminant != "zinc" || len(st.Demand.Aims) != 1 {
		t.Errorf("done %v, main %s, %d aims", st.Done(), st.Main().Contaminant, len(st.Demand.Aims))
	}
	overdue := b.state(s, 200)
	if g := overdue.Goals[0]; !g.Overdue || g.WithinH != 0 {
		t.Errorf("%+v", g)
	}
}

func TestShareIsCountedFromTheChanges(t *testing.T) {
	s := house(t)
	b := &book{t: t}
	open := at(0)
	open.Incident = 0
	b.put(open.Open(Opening{Name: "white film", System: "tank", Aims: []Aim{{Remove: 0.5, WithinH: 24}}}))
	b.put(at(1).Change(pour("vat-a", 120, 35, 25)))
	st := b.state(s, 2)
	if g := st.Main(); g.Left != 0.7 || g.Target != 0.5 || g.Verdict != dilution.Above || st.Done() {
		t.Errorf("%+v", g)
	}
	if a := st.Demand.Aims[0]; !a.Share() || a.Start != 1 || !(math.Abs(a.Target-0.5/0.7) <= 1e-12) || a.EventID != "" {
		t.Errorf("%+v", a)
	}
	p, _, err := st.Plan(s, schedule.Options{})
	if err != nil || len(p.Steps) == 0 || p.Steps[0].AtH < st.Demand.NotBeforeH-1e-9 {
		t.Errorf("%+v, %v", p, err)
	}
	// One trimmed change of 400·(1 − 0.5/0.7) = 114.3 L, and no less than that.
	total := 0.0
	for _, step := range p.Steps {
		total += step.RemoveL
	}
	if total < 400*(1-0.5/0.7)-1e-6 {
		t.Errorf("%v L planned", total)
	}
	b.put(at(6).Change(pour("vat-a", 120, 35, 25)))
	if st = b.state(s, 7); !st.Done() || len(st.Demand.Aims) != 0 {
		t.Errorf("%+v", st.Goals)
	}
	if p, _, err := st.Plan(s, schedule.Options{}); p != nil || err != nil {
		t.Error("a plan for nothing")
	}
	if (&State{}).Main() != nil || (&State{}).Done() {
		t.Error("nothing has a goal")
	}
}

// What goes on acting is what the results say; carbon is never counted on.
func TestActing(t *testing.T) {
	f := Finding{Explanation: Undecided}
	if s, r, _ := f.acting(0.4); s != 0.4 || r != 0 {
		t.Error("before any result it is what the event supposes")
	}
	series := Series{VolumeL: 400, doses: []dose{{1, 100, 0}, {50, 100, 0}}}
	fit := Fit{Explanation: StillAdding, SourceMgH: Fitted{1.5, 0.2}}
	f = Finding{Series: series, Explanation: StillAdding, Chosen: &fit, MoreIn: true}
	if s, _, _ := f.acting(0.4); s != 1.5 {
		t.Error("the source found is not planned with")
	}
	fit.Explanation = TakenOut
	f.Explanation = TakenOut
	if s, r, _ := f.acting(0.4); s != 0 || r != 0 {
		t.Error("carbon is counted on")
	}
	fit = Fit{Explanation: ComingBack, RatePerH: Fitted{0.1, 0.05}}
	fit.theta[pStart], fit.theta[pVolume], fit.theta[pRatio], fit.theta[pRate] = 60, 400, 1, math.Log(0.1)
	f = Finding{Series: series, Explanation: ComingBack, Chosen: &fit, MoreIn: true, nowH: 10}
	_, ratio, rate := f.acting(0)
	ug, level := series.bound(fit.theta, 10)
	if rate != 0.1 || ratio <= 1 || !(math.Abs(ratio*level*400-ug) <= 1e-6) {
		t.Errorf("ratio %v, rate %v, %v µg bound at %v µg/L", ratio, rate, ug, level)
	}
	fit.theta[pStart] = 0
	if s, r, _ := f.acting(0); s != 0 || r != 0 {
		t.Error("nothing comes back from nothing")
	}
}

func TestRetests(t *testing.T) {
	s := house(t)
	b := opened(t)
	b.put(at(0.1).Result([]Measured{{"copper", 60, 5, false}}, ""))
	st := b.state(s, 1)
	var ids []string
	for _, r := range st.Retests() {
		ids = append(ids, r.ID)
	}
	if got := strings.Join(ids, " "); got != "copper-decide copper-deadline" {
		t.Error(got)
	}
	b.put(at(2).Result([]Measured{{"copper", 2, 0.1, false}}, ""))
	b.put(at(3).Result([]Measured{{"copper", 2, 0.1, false}}, ""))
	found := false
	st = b.state(s, 4)
	for _, r := range st.Retests() {
		found = found || r.ID == "copper-confirm" && r.At.Equal(at(27).At)
	}
	if st.Goals[0].Verdict == dilution.Below && !found {
		t.Errorf("%+v", st.Retests())
	}
	for _, r := range st.Retests() {
		if st.Goals[0].Verdict == dilution.Below && r.ID == "copper-deadline" {
			t.Error("what is reached has a deadline")
		}
	}
	free := st
	free.Goals = []Goal{{Contaminant: "copper", Target: 5, Finding: &Finding{}, Verdict: dilution.Above}}
	if r := free.Retests(); len(r) != 0 {
		t.Errorf("no time was set, and yet %+v", r)
	}
	b.put(at(5).Close(""))
	st = b.state(s, 6)
	if len(st.Retests()) != 0 {
		t.Error("a closed incident asks for more")
	}
	// Of two substances the one that falls due first stands first, by its name in words.
	two := st
	two.Log.ClosedAt = nil
	two.Goals = []Goal{{Contaminant: "copper", WithinH: 120, Verdict: dilution.Above}, {Contaminant: "ammonia_total", WithinH: 12, Verdict: dilution.Above}}
	if r := two.Retests(); len(r) != 2 || r[0].What != "the time allowed ends: ammonia total" {
		t.Errorf("%+v", r)
	}
	share := &book{t: t}
	open := at(0)
	open.Incident = 0
	share.put(open.Open(Opening{Name: "a b", System: "tank", Aims: []Aim{{Remove: 0.5, WithinH: 24}}}))
	st = share.state(s, 1)
	if r := st.Retests(); len(r) != 1 || r[0].ID != "share-deadline" || !r[0].At.Equal(at(24).At) {
		t.Errorf("%+v", r)
	}
}

// The report adds up what the journal holds, and sets each change beside the plan that
// could be made just before it.
func TestReport(t *testing.T) {
	s := house(t)
	b := opened(t)
	b.put(at(0.1).Result([]Measured{{"copper", 60, 5, false}}, ""))
	b.put(at(0.5).Reading(Values{TempC: x(24.4), Salinity: x(35.5)}, nil))
	b.put(at(1).Change(pour("vat-a", 100, 35, 24.5)))
	b.put(at(5).Change(append(pour("vat-a", 60, 34, 24.5), pour("", 40, 35, 25)...)))
	kg := pour("", 3.5, 1, 1)[0].Litres
	b.put(stock.Entry{Kind: stock.Salt, SaltID: "house", UsedKg: &kg, Time: at(6).At}, nil)
	undone := b.put(stock.Entry{Kind: stock.Salt, SaltID: "house", UsedKg: &kg, Time: at(6).At}, nil)
	b.put(stock.Entry{Kind: stock.Undo, Undoes: undone, Time: at(6).At}, nil)
	b.put(at(20).Result([]Measured{{"copper", 33, 3, false}, {"zinc", 2, 0, true}}, ""))
	folded, _ := stock.Fold(s, b.entries, at(24).At)
	r, err := b.log().ReportOn(s, folded, b.entries, at(24).At, noTarget, schedule.Options{Nodes: 200})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Drawn) != 2 || r.Drawn[0] != (Drawn{"vat-a", 160}) || r.Drawn[1] != (Drawn{"", 40}) || r.DrawnL != 160 || !(math.Abs(r.Salinity-(100*35+60*34)/160.0) <= 1e-12) || r.SaltKg != 3.5 {
		t.Errorf("%+v", r)
	}
	if len(r.Steps) != 2 || r.Steps[0].Planned == nil || r.Steps[1].Planned == nil {
		t.Fatalf("%+v", r.Steps)
	}
	// Before the first change the plan was from 60 µg/L with 300 L in the vat; it may take
	// no more than 45 % at once. What the event says goes on, 0.2 mg/h into 400 L, adds
	// half a microgram an hour until then.
	if p := r.Steps[0].Planned; p.RemoveL > 180+1e-6 || !(math.Abs(p.Levels[0].Before-60-0.5*p.AtH) <= 1) || r.Steps[0].PlannedAt.Before(at(1).At) {
		t.Errorf("%+v", p)
	}
	// At 5 h the interval of four hours had just passed.
	if r.Steps[1].PlannedAt.Before(at(5).At) {
		t.Errorf("planned at %v", r.Steps[1].PlannedAt)
	}
	// What was read, 24.4 °C and 35.5, and what it was before.
	if r.Coldest != 24.4 || r.Warmest != 25 || r.MostSalt != 35.5 || r.LeastSalt != 35 {
		t.Errorf("%v to %v °C, %v to %v", r.Coldest, r.Warmest, r.LeastSalt, r.MostSalt)
	}
	if len(r.Exposure) != 2 || !(math.Abs(r.Exposure[0].AboveH-24) <= 1e-6) || r.Exposure[0].Highest != 60 || r.Exposure[1].Highest != 0 {
		t.Errorf("%+v", r.Exposure)
	}
	b.put(at(25).Close("moved out"))
	if r, err = b.log().ReportOn(s, folded, b.entries, at(90).At, noTarget, schedule.Options{Nodes: 200}); err != nil || !(math.Abs(r.Exposure[0].AboveH-25) <= 1e-6) {
		t.Errorf("after the close nothing more is counted: %+v, %v", r.Exposure, err)
	}
}

// The time above a level on a straight line, by hand.
func TestAbove(t *testing.T) {
	for _, c := range []struct{ a, b, want float64 }{{10, 10, 2}, {1, 1, 0}, {10, 0, 1}, {0, 10, 1}, {7, 3, 1}, {9, 4, 1.6}, {2, 8, 1}, {4, 6.5, 1.2}} {
		if got := above(Band{AtH: 3, Mid: c.a}, Band{AtH: 5, Mid: c.b}, 5); !(math.Abs(got-c.want) <= 1e-12) {
			t.Errorf("%v to %v: %v h above 5, want %v", c.a, c.b, got, c.want)
		}
	}
}

// The series of a log has its changes, each after the samples that were taken before it,
// also in the same minute.
func TestSeriesOfALog(t *testing.T) {
	s := house(t)
	b := opened(t)
	b.put(at(-0.5).Result([]Measured{{"copper", 60, 6, false}, {"zinc", 1, 0, false}}, ""))
	b.put(at(1).Result([]Measured{{"copper", 59, 6, false}}, ""))
	b.put(at(1).Change(pour("vat-a", 160, 35, 24)))
	b.put(at(1).Result([]Measured{{"copper", 36, 0, false}}, ""))
	l := b.log()
	series := l.SeriesOf("copper", &s.Systems[0], Background(s, "copper"))
	if !series.T0.Equal(at(-0.5).At) || len(series.Samples) != 3 || len(series.doses) != 1 || series.doses[0] != (dose{1.5, 160, 1}) {
		t.Fatalf("%+v", series)
	}
	if a, b := series.Samples[1], series.Samples[2]; a.doses != 0 || b.doses != 1 || a.AtH != 1.5 || a.AssumedU || !b.AssumedU || b.U != AssumedShare*36 {
		t.Errorf("%+v, %+v", a, b)
	}
	// 60 before, 36.4 after a change of 160 in 400 L of water with 1 µg/L.
	if c := series.predict(vector{pStart: 60, pVolume: 400}, []point{{1.5, 0}, {1.5, 1}}); c[0] != 60 || !(math.Abs(c[1]-36.4) <= 1e-12) {
		t.Errorf("%v", c)
	}
	zinc := l.SeriesOf("zinc", &s.Systems[0], Background(s, "zinc"))
	if zinc.Supposed != 0 || series.Supposed != 60 || series.SupposedU != 6 || series.VolumeU != 32 {
		t.Errorf("%+v", zinc)
	}
	only := b.state(s, 1.2)
	if got := len(only.Log.Items); got != 5 {
		t.Errorf("%d items are known at 1.2 h", got)
	}
	if got := len(b.state(s, 0.5).Log.Items); got != 2 {
		t.Errorf("%d items are known at 0.5 h", got)
	}
}

func TestBackgroundOfAPour(t *testing.T) {
	s := house(t)
	of := Background(s, "copper")
	if of("vat-a") != 1 || of("pure") != 0.5 || of("") != 0.5 {
		t.Errorf("%v, %v, %v", of("vat-a"), of("pure"), of(""))
	}
	s.Salts = nil
	if of("") != 0 {
		t.Error("something comes from nowhere")
	}
	d := doseOf(Item{Pours: append(pour("vat-a", 30, 35, 25), pour("", 10, 35, 25)...)}, 2, of)
	if d.litres != 40 || d.newUgL != 0.75 || d.atH != 2 {
		t.Errorf("%+v", d)
	}
}

// A goal that a spoonful more would reach is reached: the plan's own litres, entered as they were read off
// a bucket, must not leave a change of 0.04 L. 400 L to 50 %: 199.7 L leave 50.08 %, 197 L leave 50.4 %.
func TestASpoonfulIsNoChange(t *testing.T) {
	if !met(1-199.7/400, 0.5) || met(1-197.0/400, 0.5) {
		t.Error("0.6 L more of 400 L is too small to measure, three litres are not")
	}
	s := house(t)
	for litres, done := range map[float64]bool{199.7: true, 197: false} {
		b := &book{t: t}
		open := at(0)
		open.Incident = 0
		b.put(open.Open(Opening{Name: "spill", System: "tank", Aims: []Aim{{Contaminant: "copper", Start: 60, Target: 30.5}}}))
		b.put(at(1).Change(pour("vat-a", litres, 35, 25)))
		if st := b.state(s, 2); st.Done() != done {
			t.Errorf("%v L: done %v, %+v", litres, st.Done(), st.Goals[0].Finding.Now)
		}
	}
}
