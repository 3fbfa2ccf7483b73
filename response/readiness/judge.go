package readiness

import (
	"fmt"
	"runtime"
	"slices"
	"sync"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// Options say what to judge beyond the site itself.
type Options struct {
	// Event restricts the answer to one event; "": all, and the combinations.
	Event string
	// Brief leaves out what each event lacks, its remedies, what holds it back most and the part
	// steps, how near the best the plans of today and of the combinations are, and, of what fails on the
	// worst day, the plan of today where that is covered or short: the verdicts, their plans and the
	// shopping list remain, all as without it.
	Brief bool
	// Units is the system the sentences of the result are written in. Numbers are
	// always in base units.
	Units units.System
}

// MostRemedied is the number of failing events for which remedies, and what holds
// them back most, are worked out, the worst first: a list of hundreds helps nobody,
// and each takes some hundred plans. One event asked for by name always gets them.
const MostRemedied = 12

// judge is one question about one site.
type judge struct {
	site  *site.Site // as given: today's stock
	worst *site.Site // on the worst day of the routine
	day   WorstDay
	opt   schedule.Options // of every plan that is shown
	now   time.Time
	units units.System
	// systems by id: a file may hold thousands.
	systems map[string]*site.System
}

// Judge says whether the site would get through each of its events, alone and in
// the combinations it names, if they struck at now, just after the regular
// changes. It returns an error when opt.Event names no event of the site; what
// only one event lacks makes that event unknown.
func Judge(s *site.Site, now time.Time, opt Options) (Result, error) {
	events := s.Events
	if opt.Event != "" {
		ev := s.EventByID(opt.Event)
		if ev == nil {
			_, err := s.FindEvent(opt.Event)
			return Result{}, err
		}
		events = []site.Event{*ev}
	}
	j := newJudge(s, now, opt.Units)
	r := Result{Verdict: Covered, Events: make([]Event, len(events)), Together: []Together{}, WorstDay: j.day,
		Shopping: []Purchase{}, PartSteps: []Purchase{}, NotByPurchase: []string{}}

	outcomes := make([]schedule.Outcome, len(events))
	inParallel(len(events), func() func(int) {
		today, day := j.plansFor(s), j.plansFor(j.worst)
		today.opt.Unproved = opt.Brief
		return func(i int) { r.Events[i], outcomes[i] = j.event(today, day, events[i]) }
	})
	if opt.Event == "" && len(s.Together) > 0 {
		p := j.plansFor(j.worst)
		p.opt.Unproved = opt.Brief
		for _, ids := range s.Together {
			t, out := j.together(p, ids)
			r.Together, outcomes = append(r.Together, t), append(outcomes, out)
		}
	}
	for _, e := range r.Events {
		r.Verdict = worst(r.Verdict, e.Verdict)
	}
	for _, t := range r.Together {
		r.Verdict = worst(r.Verdict, t.Verdict)
	}
	r.gather(s, outcomes)
	asked := j.asked(&r, outcomes)
	atOtherHours(asked)
	j.remedy(&r, events, asked, opt.Brief)
	r.Kit = CheckKit(s.Kit, now)
	r.Ages = CheckAges(s.Stores, now)
	r.Drills = CheckDrills(s.Drills, now)
	r.UntestedGuards = CheckGuards(s, now)
	return r, nil
}

// newJudge prepares to judge a site as it stands at now.
func newJudge(s *site.Site, now time.Time, u units.System) judge {
	j := judge{site: s, now: now, units: u, opt: schedule.Options{Nodes: schedule.Budget(s), Known: schedule.NewKnown()}, systems: make(map[string]*site.System, len(s.Systems))}
	for i := range s.Systems {
		j.systems[s.Systems[i].ID] = &s.Systems[i]
	}
	j.worst, j.day = onWorstDay(s, now)
	return j
}

// inParallel does pieces 0 to n-1 of a job on all cores; each worker makes its own
// function.
func inParallel(n int, worker func() func(i int)) {
	workers := min(n, runtime.GOMAXPROCS(0))
	if workers <= 1 {
		f := worker()
		for i := range n {
			f(i)
		}
		return
	}
	next := make(chan int)
	var group sync.WaitGroup
	for range workers {
		group.Add(1)
		go func() {
			defer group.Done()
			f := worker()
			for i := range next {
				f(i)
			}
		}()
	}
	for i := range n {
		next <- i
	}
	close(next)
	group.Wait()
}

// gather collects assumptions and warnings, each once, the site's own first.
func (r *Result) gather(s *site.Site, outcomes []schedule.Outcome) {
	r.Assumptions, r.Warnings = slices.Clone(s.Assumptions), site.Texts(s.Warnings)
	// The planner's are few and a large site's own many thousand: these are looked through once.
	assumed, warned := map[refs.Assumption]bool{}, map[string]bool{}
	for _, out := range outcomes {
		for _, a := range out.Assumptions {
			assumed[a] = false
		}
	}
	for _, a := range r.Assumptions {
		if _, planned := assumed[a]; planned {
			assumed[a] = true
		}
	}
	for _, w := range r.Warnings {
		warned[w] = true
	}
	if slices.ContainsFunc(r.Events, func(e Event) bool { return e.Work.BucketTrips > 0 }) {
		r.Assumptions = append(r.Assumptions, refs.Assumption{What: "buckets one person carries for a change",
			Value: fmt.Sprintf("%d of %g L", tripsPerPerson, bucketL), Source: "assumption of this tool"})
	}
	for _, out := range outcomes {
		for _, a := range out.Assumptions {
			if !assumed[a] {
				assumed[a] = true
				r.Assumptions = append(r.Assumptions, a)
			}
		}
		for _, w := range out.Warnings {
			if !warned[w] {
				warned[w] = true
				r.Warnings = append(r.Warnings, w)
			}
		}
	}
}

// remedy works out the shopping list and, unless brief, what holds the failing events back,
// what each lacks and its fixes, the worst first up to MostRemedied, and those of the failing
// combinations.
//
// The list comes first and by itself, so that it is the same list however much is asked.
func (j judge) remedy(r *Result, events []site.Event, asked []begun, brief bool) {
	failing := r.failing()
	count := len(failing) + r.failingTogether()
	if count > mostTargets {
		r.Warnings = append(r.Warnings, fmt.Sprintf("no shopping list is made for %d events and combinations that fail, only for up to %d", count, mostTargets))
		if brief {
			return
		}
	}
	if left := len(failing) - MostRemedied; left > 0 {
		r.Warnings = append(r.Warnings, fmt.Sprintf("remedies are worked out for the %d worst events only; ask for one of the other %d with --event", MostRemedied, left))
		failing = failing[:MostRemedied]
	}
	targets := j.targets(r, events, failing)
	var whole basket
	if count <= mostTargets {
		r.Shopping, whole, r.NotByPurchase = shop(targets)
		if len(whole) > 0 && len(asked) > 0 {
			r.LateThen = r.lateThen(asked, whole)
		}
	}
	if brief {
		return
	}
	inParallel(2*len(failing), func() func(int) {
		p := j.plansFor(j.worst)
		return func(k int) {
			i := failing[k/2]
			if k%2 == 1 {
				j.explain(p, events[i], &r.Events[i])
				return
			}
			j.mend(&targets[k/2], &r.Events[i])
		}
	})
	for _, i := range failing {
		r.Events[i].conclude(j.units)
	}
	for k := len(failing); k < len(targets); k++ {
		j.mendTogether(&targets[k], r.Events)
	}
	if count <= mostTargets {
		r.PartSteps = partSteps(mendable(targets, r.NotByPurchase), whole)
	}
}

// failing are the events that are late or short, the worst first, as indices.
func (r *Result) failing() []int {
	var out []int
	for i, e := range r.Events {
		if e.Verdict.Fails() && e.DemandL != nil {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return r.Events[b].Verdict.rank() - r.Events[a].Verdict.rank() })
	return out
}

func (r *Result) failingTogether() int {
	n := 0
	for _, t := range r.Together {
		if t.Verdict.Fails() {
			n++
		}
	}
	return n
}

// targets are failing events, by their indices, and then the failing combinations, each on
// its bench.
func (j judge) targets(r *Result, events []site.Event, failing []int) []target {
	var out []target
	for _, i := range failing {
		e := &r.Events[i]
		if q, err := j.scenarioOf(events[i]); err == nil {
			t := target{name: e.ID, events: []string{e.ID}, bench: j.newBench(q, false), shortL: max(0, *e.DemandL-e.WaterL)}
			t.ways = t.bench.ways(*e.DemandL)
			out = append(out, t)
		}
	}
	for i := range r.Together {
		t := &r.Together[i]
		if !t.Verdict.Fails() {
			continue
		}
		if q, err := j.scenarioOf(j.eventsOf(t.Events)...); err == nil {
			x := target{name: plan.AllOf(t.Events), events: t.Events, bench: j.newBench(q, false), together: t, shortL: t.shortL}
			x.ways = x.bench.ways(t.DemandL)
			out = append(out, x)
		}
	}
	return out
}

// mend finds the remedies of one failing event and what it lacks, today and on the worst day.
func (j judge) mend(t *target, e *Event) {
	e.LackingL, t.bench.tooMuchL = t.bench.lacking(*e.DemandL, t.shortL)
	e.tooMuchL = t.bench.tooMuchL
	t.bench.lackingL, t.bench.thorough = e.LackingL, true
	t.own = t.bench.single(t.ways)
	e.Fixes = t.bench.fixes(t.ways, t.own)
	// What is added is there when the regular changes are made, and they may take of it.
	if j.day.RoutineL == 0 {
		e.Today.LackingL = e.LackingL
	} else if p := e.Today.Plan; !p.InTime && p.DemandL != nil {
		e.Today.LackingL, _ = j.newBench(t.bench.scenario, true).lacking(*p.DemandL, max(0, *p.DemandL-p.WaterL))
	}
}

// mendTogether finds the remedies of a combination. Where one of its events fails alone they
// are not listed beside it: that event's are the ones to begin with.
func (j judge) mendTogether(x *target, events []Event) {
	t := x.together
	t.LackingL, x.bench.tooMuchL = x.bench.lacking(t.DemandL, t.shortL)
	if x.bench.lackingL = t.LackingL; t.LackingL != nil {
		t.Reason += "; " + plan.LacksWords(*t.LackingL, x.bench.first(), j.units) + butNot(*t.LackingL, x.bench.tooMuchL, j.units)
	}
	alone := func(id string) bool {
		return slices.ContainsFunc(events, func(e Event) bool { return e.ID == id && e.Verdict == Covered })
	}
	if !slices.ContainsFunc(t.Events, func(id string) bool { return !alone(id) }) {
		x.own = x.bench.single(x.ways)
		t.Fixes = x.bench.fixes(x.ways, x.own)
	}
}
