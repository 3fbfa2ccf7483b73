package schedule

import "math"

// solve looks for the plan with least exposure by the plain rules and returns it. If
// that misses a deadline, plans that meet deadlines come first, by the plain rules and
// then by those that are for need only (ways); if even the target is missed, those rules
// are tried without a deadline too. The job then holds the plan that misses least.
func (j *job) solve() (calm result) {
	j.search()
	calm = j.result()
	if calm.late == 0 {
		return calm
	}
	kept := calm
	j.hurry = true
	j.ways(func() bool {
		if j.searchFor(kept.late) {
			kept = j.result()
		}
		return kept.late > 0
	})
	if kept.score.missed > 0 && !kept.hurry {
		j.hurry = false
		j.ways(func() bool {
			if j.searchFor(kept.score.missed) {
				kept = j.result()
			}
			return kept.score.missed > 0
		})
	}
	j.restore(kept)
	if kept.score.missed > 0 {
		calm = j.makeDo()
	}
	return calm
}

// makeDo plans for a target that is never reached: a change that is permitted at time
// zero is made, and from there on the least exposure until the last deadline, or for
// three days if that is longer. Over the whole horizon the last concentration would
// outweigh all else, and water would be held back to be used in one change; but whoever
// runs short looks for more water meanwhile.
func (j *job) makeDo() result {
	j.shortL, _ = j.litresInAll(&j.start)
	j.play(nil)
	j.hurry, j.wide, j.onTop, j.fastFirst, j.atOnce = false, false, false, false, true
	j.opt.HorizonH = min(j.opt.HorizonH, shortHorizonH)
	for a := range j.aims {
		if h := j.aims[a].withinH; !math.IsInf(h, 1) {
			j.opt.HorizonH = max(j.opt.HorizonH, h)
		}
	}
	j.search()
	return j.result()
}

// shortHorizonH is three days.
const shortHorizonH = 72

// ways sets the job up for each set of rules for need that can differ from the ones
// before, until again returns false.
func (j *job) ways(again func() bool) {
	for _, way := range [4][2]bool{{false, false}, {true, false}, {false, true}, {true, true}} {
		j.wide, j.onTop, j.fastFirst = true, way[0], way[1]
		if j.onTop && len(j.salts) == 0 || j.fastFirst && !j.unlike() {
			continue
		}
		if !again() {
			return
		}
	}
}

// unlike reports whether the vessels differ in how fast they are emptied.
func (j *job) unlike() bool {
	for i := range j.vessels {
		if j.vessels[i].pumpLH != j.vessels[0].pumpLH {
			return true
		}
	}
	return false
}

// result is what a search found.
type result struct {
	score                         score
	late                          int // aims reached after their deadline or never
	best                          []int8
	nodes                         int
	within                        bool
	hurry, wide, onTop, fastFirst bool
}

func (j *job) result() result {
	return result{j.score, j.late, append([]int8(nil), j.best...), j.nodes, j.within, j.hurry, j.wide, j.onTop, j.fastFirst}
}

// restore makes a result the job's own again.
func (j *job) restore(r result) {
	j.score, j.late, j.best, j.nodes, j.within = r.score, r.late, r.best, r.nodes, r.within
	j.hurry, j.wide, j.onTop, j.fastFirst = r.hurry, r.wide, r.onTop, r.fastFirst
}

// doneAt is when the plan found is done; nil: never.
func (r *result) doneAt() *float64 {
	if math.IsInf(r.score.finishH, 1) {
		return nil
	}
	h := r.score.finishH
	return &h
}
