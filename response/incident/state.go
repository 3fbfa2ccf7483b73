package incident

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// State is an incident at a moment: what is in the water, what the water is, and what is
// still asked for.
type State struct {
	Log    Log
	System *site.System
	Now    time.Time
	Water  Water
	// Goals in the order of the opening's aims, then what results brought up since.
	Goals []Goal
	// NextChange is the earliest moment at which another change may start.
	NextChange time.Time
	Demand     plan.Demand
	// Rest is what is left of a change that was interrupted; nil: nothing is, or nobody asked
	// (UnderWay).
	Rest *Rest
	// Besides are the other incidents that are open then, beside what they ask for.
	Besides []Log
	beside  []plan.Demand
	// Arrived are the deliveries whose time has come, with what is left of them; deliveries all of them as
	// they stand, nil where nobody asked (UnderWay).
	Arrived    []Arrival
	deliveries []site.Delivery
	// warmed are the vats that are warmer than by their record.
	warmed map[string]units.Celsius
	target Target
}

// Goal is one thing to bring down and how far it has come.
type Goal struct {
	// Contaminant is an id of refs; "" for a share of whatever was there.
	Contaminant string
	// Target in µg/L, 0 if none is known; for a share the share that may remain.
	Target float64
	// WithinH is what is left of the time allowed, hours; 0: none was set. Overdue: it
	// was set and is over.
	WithinH float64
	Overdue bool
	// Finding is what the results say; nil for a share.
	Finding *Finding
	// Left is the share still there, for a share.
	Left float64
	// Verdict sets the level now with its ± against the target; "" where there is no
	// target or nothing is known.
	Verdict dilution.Verdict
}

// Target gives the criterion of a contaminant that has a result but no aim, µg/L; false
// where there is none.
type Target func(contaminant string) (ugL float64, ok bool)

// StateAt works an incident out at a moment. Errors: the system is not in the site, water
// outside the ranges of the mixing relations.
func (l Log) StateAt(s *site.Site, now time.Time, target Target) (State, error) {
	sys := s.SystemByID(l.Opening.System)
	if sys == nil {
		return State{}, fmt.Errorf("system %q of incident %d is not in the site file", l.Opening.System, l.ID)
	}
	l = l.until(now)
	st := State{Log: l, System: sys, Now: now, NextChange: l.NextChange(sys, now), target: target}
	var err error
	if st.Water, err = l.WaterAt(sys, now); err != nil {
		return State{}, err
	}
	for _, a := range l.Opening.Aims {
		st.Goals = append(st.Goals, l.goalOf(s, sys, a, now))
	}
	for _, c := range l.contaminants() {
		if st.Goal(c) != nil {
			continue
		}
		a := Aim{Contaminant: c}
		a.Target, _ = target(c)
		st.Goals = append(st.Goals, l.goalOf(s, sys, a, now))
	}
	st.Demand = st.demand()
	if e := s.EventByID(l.Opening.Name); e != nil && l.Opening.Event {
		st.Demand.Priority = e.Priority
	}
	return st, nil
}

// until leaves out what had not happened by then.
func (l Log) until(now time.Time) Log {
	for i, it := range l.Items {
		if it.At.After(now.Add(clockSlack)) {
			l.Items = l.Items[:i:i]
			break
		}
	}
	return l
}

// contaminants lists what has results, in the order in which it was first found.
func (l Log) contaminants() []string {
	var out []string
	seen := map[string]bool{}
	for _, it := range l.Items {
		for _, m := range it.Results {
			if !seen[m.Contaminant] {
				seen[m.Contaminant] = true
				out = append(out, m.Contaminant)
			}
		}
	}
	return out
}

// Goal finds the goal of a contaminant; nil if there is none.
func (st *State) Goal(contaminant string) *Goal {
	for i := range st.Goals {
		if st.Goals[i].Contaminant == contaminant {
			return &st.Goals[i]
		}
	}
	return nil
}

// goalOf sets an aim against what is known now.
func (l Log) goalOf(s *site.Site, sys *site.System, a Aim, now time.Time) Goal {
	g := Goal{Contaminant: a.Contaminant, Target: a.Target}
	if a.WithinH > 0 {
		g.WithinH = a.WithinH - now.Sub(l.OpenedAt).Hours()
		if g.WithinH <= 0 {
			g.WithinH, g.Overdue = 0, true
		}
	}
	if a.Contaminant == "" {
		g.Target, g.Left = 1-a.Remove, l.shareLeft(sys)
		g.Verdict = dilution.Above
		if met(g.Left, g.Target) {
			g.Verdict = dilution.Below
		}
		return g
	}
	f := l.SeriesOf(a.Contaminant, sys, Background(s, a.Contaminant)).Explain(now, a.Target)
	g.Finding = &f
	if f.Now != nil && a.Target > 0 {
		g.Verdict = dilution.Judge(f.Now.Value, f.Now.U(), a.Target, f.AtMost)
		if f.Chosen == nil && f.Now.U() == 0 && !f.AtMost && met(f.Now.Value, a.Target) {
			g.Verdict = dilution.Below // reckoned from the start supposed, like a share
		}
	}
	return g
}

// measurable is the smallest change that anybody can measure, as a share of the net volume: half a litre
// of 250 L, by marked buckets. A goal that less would reach is reached: whoever pours the litres of the plan
// must not be asked for a spoonful more. A rule of this tool.
const measurable = 0.002

// met reports whether a level reckoned from the litres alone is at its target, or would be with a change
// too small to measure.
func met(level, target float64) bool {
	return dilution.Met(level*(1-measurable), target)
}

// shareLeft is what the changes left of whatever was there, the volume as stated.
func (l Log) shareLeft(sys *site.System) float64 {
	left := 1.0
	for _, it := range l.Items {
		if it.Kind == stock.Change {
			left *= 1 - math.Min(1, it.Litres()/float64(sys.NetVolume))
		}
	}
	return left
}

// demand is what is still to be planned for: the water as it is now, as warm as it is when the next change may start,
// what was held within a day, and the goals not yet reached.
func (st *State) demand() plan.Demand {
	w := st.Water.State
	if then, err := st.Log.WaterAt(st.System, st.NextChange); err == nil && st.NextChange.After(st.Now) {
		w.Temperature = then.State.Temperature
	}
	d := plan.Demand{System: st.System, Reheats: st.Log.Opening.Reheats, Now: &w, Held: st.held(w.Temperature), NotBeforeH: st.NextChange.Sub(st.Now).Hours()}
	for _, g := range st.Goals {
		if a, ok := st.aim(g); ok {
			d.Aims = append(d.Aims, a)
		}
	}
	return d
}

// standsStillC is how far a system that stays as warm as it is may move, °C: water of one temperature and two salinities is
// warmer by a millionth of a degree once it is mixed.
const standsStillC = 1e-4

// held is what was held within a day, for a system that is at c by the next change. One that its heaters brought
// back from further down than the limit of a day allows may stay where it is: 600 L as warm as the tank waited
// for a day, because the last change had been colder by 0.02 °C than planned.
func (st *State) held(c float64) []plan.Held {
	if !st.Log.Opening.Reheats {
		return st.Water.Held
	}
	lowest := c - st.System.Limits.TemperaturePerDay
	out := slices.Clone(st.Water.Held)
	for i := range out {
		if h := &out[i].State; h.Temperature < lowest+standsStillC {
			h.Temperature = lowest + standsStillC
		}
	}
	return out
}

// aim is a goal as the planner takes it; false where it is reached or nothing is known.
func (st *State) aim(g Goal) (plan.Aim, bool) {
	if g.Verdict == "" || g.Verdict == dilution.Below {
		return plan.Aim{}, false
	}
	a := plan.Aim{Contaminant: g.Contaminant, Target: g.Target, WithinH: g.WithinH}
	if st.Log.Opening.Event {
		a.EventID = st.Log.Opening.Name
	}
	if g.Finding == nil {
		// A share is counted from what is left now.
		a.Start, a.Target = 1, math.Min(1, g.Target/g.Left)
		return a, true
	}
	from := g.Finding.PlanFrom
	a.Start, a.StartU = from.Value, from.U()
	a.SourceMgH, a.BoundRatio, a.BoundRatePerH = g.Finding.acting(st.Log.supposedSource(g.Contaminant))
	return a, true
}

// supposedSource is what the event says still adds a contaminant, mg/h.
func (l Log) supposedSource(contaminant string) float64 {
	for _, a := range l.Opening.Aims {
		if a.Contaminant == contaminant {
			return a.SourceMgH
		}
	}
	return 0
}

// acting is what goes on acting, for the plan. Until the results speak, it is what the
// event supposes. Media are left out: a plan must not rest on them. What rock still
// holds is counted by its amount now, spread as if it were in equilibrium with the
// water, since a plan begins in equilibrium.
func (f *Finding) acting(supposed float64) (sourceMgH, ratio, ratePerH float64) {
	switch {
	case f.Chosen == nil || f.Explanation == Undecided && !f.MoreIn && !f.LessIn:
		return supposed, 0, 0
	case f.Chosen.Explanation == StillAdding:
		return math.Max(0, f.Chosen.SourceMgH.Value), 0, 0
	case f.Chosen.Explanation == ComingBack:
		s, x := f.Series, f.Chosen.theta
		bound, level := s.bound(x, f.nowH)
		if level > 0 {
			return 0, bound / (level * x[pVolume]), f.Chosen.RatePerH.Value
		}
	}
	return 0, 0, 0
}

// bound is the amount on rock and sand, µg, and the level, µg/L, at a time.
func (s Series) bound(x vector, atH float64) (ug, ugL float64) {
	d := s.dynamics(x)
	st := d.Start(x[pStart])
	for _, k := range s.doses {
		if k.atH > atH {
			break
		}
		st = d.After(st, math.Max(0, k.atH-st.AtH))
		st = d.Change(st, math.Min(k.litres, d.VolumeL), k.newUgL)
	}
	st = d.After(st, math.Max(0, atH-st.AtH))
	return st.BoundUg, st.UgL
}

// Main is the goal that answers are about: the first that is not reached, else the
// first; nil where there is none.
func (st *State) Main() *Goal {
	for i := range st.Goals {
		if st.Goals[i].Verdict != dilution.Below {
			return &st.Goals[i]
		}
	}
	if len(st.Goals) > 0 {
		return &st.Goals[0]
	}
	return nil
}

// Done reports whether every goal with a target is reached.
func (st *State) Done() bool {
	judged := 0
	for _, g := range st.Goals {
		if g.Verdict == dilution.Below {
			judged++
		} else if g.Verdict != "" || g.Target > 0 {
			return false
		}
	}
	return judged > 0
}

// Plan makes the plan from here with what the stores hold now, the rest of a change first; nil
// where nothing is left to plan for. The outcome has it first, then the plans of Besides, which are made with it. Errors as
// schedule.Run.
func (st *State) Plan(s *site.Site, opt schedule.Options) (*plan.Plan, schedule.Outcome, error) {
	if len(st.Demand.Aims) == 0 {
		return nil, schedule.Outcome{}, nil
	}
	if st.Rest != nil {
		return st.goOn(s, opt)
	}
	if opt.Nodes == 0 { // the plan that is shown, with what is lacking
		// Where people sleep it is worth asking whether sleep is what it is late for.
		p, out, err := st.shown(s, readiness.Shown{Confidence: opt.Confidence, Binding: opt.Explain || s.Awake != nil})
		if err == nil && len(p.Steps) == 0 && p.DoneAtH == nil { // why none can be made is the answer
			p, out, err = st.shown(s, readiness.Shown{Confidence: opt.Confidence, Binding: true})
		}
		return p, out, err
	}
	return st.run(s, opt)
}

// shown is the plan as every command shows it.
func (st *State) shown(s *site.Site, show readiness.Shown) (*plan.Plan, schedule.Outcome, error) {
	list, given := st.demands(s)
	made, err := readiness.PlansFor(st.supplied(s), st.Now, list, show)
	if err != nil {
		return nil, schedule.Outcome{}, err
	}
	out := schedule.Outcome{Plans: ownFirst(made.Plans, given), Assumptions: made.Assumptions, Warnings: made.Warnings}
	return &out.Plans[0], out, nil
}

// Begins is the plan from here by the search alone, without what is lacking: what is to be done first. Nil where nothing is
// left to plan for.
//
// Errors: as schedule.Run.
func (st *State) Begins(s *site.Site, opt schedule.Options) (*plan.Plan, error) {
	if len(st.Demand.Aims) == 0 || st.Rest != nil {
		p, _, err := st.Plan(s, opt)
		return p, err
	}
	p, _, err := st.run(s, opt)
	return p, err
}

// run is the plan by the search alone, made with those of the other incidents.
func (st *State) run(s *site.Site, opt schedule.Options) (*plan.Plan, schedule.Outcome, error) {
	list, given := st.demands(s)
	out, err := schedule.Run(st.supplied(s), st.Now, list, opt)
	if err != nil {
		return nil, out, err
	}
	out.Plans = ownFirst(out.Plans, given)
	return &out.Plans[0], out, nil
}

// demands are what this incident, the 0th, and those beside it ask for as they are planned, and which of them stands where.
func (st *State) demands(s *site.Site) (list []plan.Demand, given []int) {
	return schedule.InFileOrder(s, append([]plan.Demand{st.Demand}, st.beside...))
}

// ownFirst are plans that were made together in the order in which the incidents were given.
func ownFirst(made []plan.Plan, given []int) []plan.Plan {
	out := make([]plan.Plan, len(made))
	for place, k := range given {
		out[k] = *plan.Of(made, place)
	}
	return out
}

// Retest is a sample or a change that an open incident asks for.
type Retest struct {
	// ID tells it apart from others of the incident, however often it is worked out.
	ID   string
	At   time.Time
	What string
}

// confirmH is when a goal that is reached is confirmed, hours after the last result.
const confirmH = 24

// Retests lists what an open incident asks for, with a time: the sample that would
// decide, the second sample that confirms a goal, and the end of the time allowed, in order of
// time.
func (st *State) Retests() []Retest {
	var out []Retest
	if st.Log.ClosedAt != nil {
		return out
	}
	for _, g := range st.Goals {
		name := g.Contaminant
		if name == "" {
			name = "share"
		}
		f, said := g.Finding, strings.ReplaceAll(name, "_", " ")
		if g.Contaminant == "" {
			said = "whatever is in it"
		}
		if f != nil && f.Decider != nil {
			out = append(out, Retest{name + "-decide", f.Series.T0.Add(hours(f.Decider.AtH)), "take a sample: " + said})
		}
		if n := 0; f != nil && g.Verdict == dilution.Below && !g.confirmed() {
			n = len(f.Series.Samples)
			last := f.Series.T0
			if n > 0 {
				last = f.Series.T0.Add(hours(f.Series.Samples[n-1].AtH))
			}
			out = append(out, Retest{name + "-confirm", last.Add(confirmH * time.Hour), "confirm by a second sample: " + said})
		}
		if g.WithinH > 0 && g.Verdict != dilution.Below {
			out = append(out, Retest{name + "-deadline", st.Now.Add(hours(g.WithinH)), "the time allowed ends: " + said})
		}
	}
	slices.SortStableFunc(out, func(a, b Retest) int { return a.At.Compare(b.At) })
	return out
}
