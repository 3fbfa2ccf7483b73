package readiness

import (
	"fmt"
	"runtime"
	"slices"
	"sync"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// Options say what to judge beyond the site itself.
type Options struct {
	// Event restricts the answer to one event; "": all, and the combinations.
	Event string
	// Units is the system the sentences of the result are written in. Numbers are
	// always in base units.
	Units units.System
}

// MostRemedied is the number of failing events for which remedies, and what holds
// them back most, are worked out, the worst first: a list of hundreds helps nobody,
// and each takes some hundred plans. One event asked for by name always gets them.
const MostRemedied = 40

// judge is one question about one site.
type judge struct {
	site  *site.Site // as given
	worst *site.Site // on the worst day of the routine
	day   WorstDay
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
	r := Result{Verdict: Covered, Events: make([]Event, len(events)), Together: []Together{}, WorstDay: j.day}

	outcomes := make([]schedule.Outcome, len(events))
	inParallel(len(events), func() func(int) {
		p := j.plansFor(j.worst)
		return func(i int) { r.Events[i], outcomes[i] = j.event(p, events[i]) }
	})
	if opt.Event == "" && len(s.Together) > 0 {
		p := j.plansFor(j.worst)
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
	j.remedy(&r, events)
	r.FirstFix = firstFix(r.Events)
	r.Kit = CheckKit(s.Kit, now)
	r.Ages = CheckAges(s.Stores, now)
	r.Drills = CheckDrills(s.Drills, now)
	r.UntestedGuards = CheckGuards(s, now)
	return r, nil
}

// newJudge prepares to judge a site as it stands at now.
func newJudge(s *site.Site, now time.Time, u units.System) judge {
	j := judge{site: s, now: now, units: u, systems: make(map[string]*site.System, len(s.Systems))}
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
	assumed, warned := map[refs.Assumption]bool{}, map[string]bool{}
	for _, a := range r.Assumptions {
		assumed[a] = true
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

// remedy works out what holds the failing events back and their fixes, the worst first up to
// MostRemedied, and of the failing combinations whose events are each covered
// alone.
func (j judge) remedy(r *Result, events []site.Event) {
	alone := map[string]Verdict{}
	var failing []int
	for i, e := range r.Events {
		alone[e.ID] = e.Verdict
		if (e.Verdict == Late || e.Verdict == Short) && e.DemandL != nil {
			failing = append(failing, i)
		}
	}
	slices.SortStableFunc(failing, func(a, b int) int { return r.Events[b].Verdict.rank() - r.Events[a].Verdict.rank() })
	if left := len(failing) - MostRemedied; left > 0 {
		r.Warnings = append(r.Warnings, fmt.Sprintf("remedies are worked out for the %d worst events only; ask for one of the other %d with --event", MostRemedied, left))
		failing = failing[:MostRemedied]
	}
	inParallel(2*len(failing), func() func(int) {
		p := j.plansFor(j.worst)
		return func(k int) {
			i := failing[k/2]
			if k%2 == 0 {
				r.Events[i].Fixes = j.fixes(events[i:i+1], *r.Events[i].DemandL)
				return
			}
			j.explain(p, events[i], &r.Events[i])
		}
	})
	for _, i := range failing {
		r.Events[i].conclude(j.units)
	}
	for i := range r.Together {
		t := &r.Together[i]
		if t.Verdict != Late && t.Verdict != Short || slices.ContainsFunc(t.Events, func(id string) bool { return alone[id] != Covered }) {
			continue
		}
		t.Fixes = j.fixes(j.eventsOf(t.Events), t.DemandL)
	}
}
