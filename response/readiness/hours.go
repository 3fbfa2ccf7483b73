package readiness

import (
	"slices"
	"time"

	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// People sleep. What is done in time if it begins in the morning may be late if it begins in the
// evening: a change falls due at night and waits for the day. So what is covered as of now, or will be
// with what is bought, is judged at every other full hour too. The stock is the same: only the clock differs.

// hoursOfDay are those at which an event may begin.
const hoursOfDay = 24

// mostAtHours is of how many events and combinations that is looked at, each by up to 24 more searches.
const mostAtHours = 2 * MostRemedied

// begun is what begins at one of these hours, on its bench.
type begun struct {
	events []string
	bench  bench
	plans  []plan.Plan // as of now
	late   *[]int      // for the hours at which it is late; nil where it is so as of now: then
	awake  *bool       // for whether it would be in time for whoever gets up at night
}

// asked is what the result judges, events first; nothing where no hour differs from another, or
// there are too many.
func (j judge) asked(r *Result, outcomes []schedule.Outcome) (list []begun) {
	if j.site.Awake == nil || len(outcomes) > mostAtHours {
		return nil
	}
	add := func(v Verdict, late *[]int, awake *bool, made []plan.Plan, ids ...string) {
		q, err := j.scenarioOf(j.eventsOf(ids)...)
		if err != nil || v != Covered && !v.Fails() {
			return
		}
		if v == Covered {
			awake = nil
		} else {
			late = nil
		}
		list = append(list, begun{ids, j.newBench(q, false), made, late, awake})
	}
	for i := range r.Events {
		e := &r.Events[i]
		add(e.Verdict, &e.LateAtHours, &e.InTimeIfAwake, outcomes[i].Plans, e.ID)
	}
	for i := range r.Together {
		t := &r.Together[i]
		add(t.Verdict, &t.LateAtHours, &t.InTimeIfAwake, outcomes[len(r.Events)+i].Plans, t.Events...)
	}
	return list
}

// atOtherHours fills in at which hours of the day what is covered would be late, and of what is not
// whether getting up at night is all that is wanting.
func atOtherHours(list []begun) {
	for _, b := range list {
		if b.awake != nil {
			*b.awake = !b.bench.awake(nil).fails()
		}
	}
	covered := slices.DeleteFunc(slices.Clone(list), func(b begun) bool { return b.late == nil })
	for k, hours := range lateHours(covered) {
		*covered[k].late = hours
	}
}

// lateHours are the full hours of the day at which each would be late with the amounts.
func lateHours(list []begun, amounts ...amount) [][]int {
	late := make([][hoursOfDay]bool, len(list))
	inParallel(len(list)*hoursOfDay, func() func(int) {
		return func(i int) {
			b, hour := &list[i/hoursOfDay], i%hoursOfDay
			bench := b.bench.begunAt(hour)
			late[i/hoursOfDay][hour] = !stands(b.plans, bench.site, bench.now) && bench.fails(amounts...)
		}
	})
	hours := make([][]int, len(list))
	for k := range list {
		hours[k] = []int{}
		for hour, is := range late[k] {
			if is {
				hours[k] = append(hours[k], hour)
			}
		}
	}
	return hours
}

// begunAt is the bench to whoever begins at a full hour of the day.
func (b bench) begunAt(hour int) bench {
	return b.awake(b.site.Awake.Later(float64(hour) - b.site.ClockH(b.now)))
}

// awake is the bench where changes may be started at other hours.
func (b bench) awake(hours *site.Awake) bench {
	s := *b.site
	s.Awake, b.site = hours, &s
	return b.judge.newBench(b.scenario, b.today)
}

// stands reports whether plans that begin now can be carried out as they are.
func stands(made []plan.Plan, s *site.Site, now time.Time) bool {
	clockH := s.ClockH(now)
	asleep := func(atH float64) bool { return atH > site.AlwaysAwakeH && s.Awake.WaitH(clockH+atH) > 0 }
	return made != nil && !slices.ContainsFunc(made, func(p plan.Plan) bool {
		return slices.ContainsFunc(p.Steps, func(x plan.Step) bool { return asleep(x.AtH) }) ||
			slices.ContainsFunc(p.Batches, func(x plan.Batch) bool { return asleep(x.StartH) }) ||
			slices.ContainsFunc(p.Prepared, func(x plan.Prepare) bool { return asleep(x.AtH) })
	})
}

// lateThen is what is late at other hours of the day with all that is bought.
func (r *Result) lateThen(asked []begun, whole basket) []LateThen {
	late := []LateThen{}
	asked = slices.DeleteFunc(slices.Clone(asked), func(b begun) bool { return slices.Contains(r.NotByPurchase, plan.AllOf(b.events)) })
	for k := range asked {
		p, q := asked[k].bench.with(whole)
		out, _ := p.run(q, false)
		asked[k].plans = out.Plans
	}
	for k, hours := range lateHours(asked, whole...) {
		if len(hours) > 0 {
			late = append(late, LateThen{asked[k].events, hours})
		}
	}
	return late
}
