package dilution

import "math"

// need is what one case asks for.
type need struct {
	// n is the number of full-size changes, never when none suffices.
	n int32
	// last is the litres of the last of them when trimmed; for a continuous
	// exchange, all the litres.
	last float64
}

const never = math.MaxInt32

// anyNumber number of changes.
const anyNumber = -1

// worker draws cases and works each out.
type worker struct {
	p          Problem
	pure       bool
	largestL   float64
	usual      int // the number of changes of the stated case; at least 1
	usualLimit int // beyond which a case is not followed without need
	// lastOf is the number of changes whose last one is worked out where that costs
	// extra; anyNumber for all.
	lastOf       int
	starts, news []float64
}

// usualFollowed is how many changes are followed of a case that may have no end.
const usualFollowed = 50

func (p Problem) worker() *worker {
	w := &worker{p: p, pure: p.pure(), largestL: p.ChangeL, lastOf: anyNumber}
	if p.Continuous {
		w.largestL = 0
	}
	w.starts, w.news = make([]float64, len(p.Contaminants)), make([]float64, len(p.Contaminants))
	if p.Continuous {
		return w
	}
	if w.pure {
		w.usual = p.usualChanges()
	} else {
		w.usualLimit = usualFollowed
		if c := p.nominal(); p.reaches(c) {
			n, _, _ := c.need(MaxChanges)
			w.usualLimit = min(4*n+50, MaxChanges)
		}
	}
	return w
}

// stated is what the case with every input at its stated value asks for; its
// targets lie above their floors.
func (p Problem) stated() need {
	if !p.Continuous && !p.pure() {
		n, last, ok := p.nominal().need(MaxChanges)
		if !ok {
			return need{n: never}
		}
		return need{int32(n), last}
	}
	w := p.worker()
	for j, c := range p.Contaminants {
		w.starts[j], w.news[j] = c.Start.Value, c.New.Value
	}
	return w.one(p.Volume.Value)
}

// usualChanges is the number of changes of the stated case when nothing acts
// between them; 1 where that case never ends.
func (p Problem) usualChanges() int {
	most := 1
	for _, c := range p.Contaminants {
		if n, ok := ChangesNeeded(c.Start.Value, c.Target, c.New.Value, p.ChangeL/p.Volume.Value); ok {
			most = max(most, n)
		}
	}
	return most
}

// nominal is the course with every input at its stated value.
func (p Problem) nominal() *course {
	starts, news := make([]float64, len(p.Contaminants)), make([]float64, len(p.Contaminants))
	for i, c := range p.Contaminants {
		starts[i], news[i] = c.Start.Value, c.New.Value
	}
	return p.course(p.Volume.Value, starts, news)
}

// one works out a single case: the worker's starts and news in volume litres.
func (w *worker) one(volume float64) need {
	switch {
	case w.p.Continuous:
		return w.continuousNeed(volume)
	case w.pure:
		return w.pureNeed(volume)
	}
	return w.stepNeed(volume)
}

// pureNeed is the closed form of a case in which nothing acts between changes.
func (w *worker) pureNeed(volume float64) need {
	most, left := 0, 1.0
	kept := 1 - w.p.ChangeL/volume
	for j := range w.p.Contaminants {
		c := &w.p.Contaminants[j]
		if Met(w.starts[j], c.Target) {
			continue
		}
		n, before, ok := w.count(w.starts[j], c.Target, w.news[j], kept)
		if !ok {
			return need{n: never}
		}
		if n > most {
			most, left = n, before
		}
	}
	result := need{n: int32(most)}
	if w.p.Trim && most > 0 && (w.lastOf == anyNumber || w.lastOf == most) {
		result.last = w.pureLast(volume, left)
	}
	return result
}

// count is ChangesNeeded, with the share of the start's excess that is left before
// the last change. Cases differ little from the stated one, so it begins at that
// one's number and moves by single changes, which costs a fraction of two
// logarithms; a case further away takes the logarithms.
func (w *worker) count(c0, target, newC, kept float64) (n int, before float64, ok bool) {
	if newC >= target && kept > 0 {
		return 0, 0, false
	}
	aim := (target*(1+Slack) - newC) / (c0 - newC)
	n = w.usual
	before = power(kept, n-1)
	for range 4 {
		switch {
		case before <= aim && n > 1:
			n--
			before /= kept
		case before*kept > aim:
			n++
			before *= kept
		default:
			return n, before, n <= MaxChanges
		}
	}
	x, ok := changesByLog(c0, target, newC, math.Log(kept))
	if !ok || x > MaxChanges {
		return 0, 0, false
	}
	return int(x), power(kept, int(x)-1), true
}

// pureLast is the trimmed change that follows full-size ones which left the given
// share of the start's excess over the new water. Water that is itself at the target does
// it by the whole volume only.
func (w *worker) pureLast(volume, left float64) float64 {
	last := 0.0
	for j := range w.p.Contaminants {
		before := w.news[j] + (w.starts[j]-w.news[j])*left
		if target := w.p.Contaminants[j].Target; before > target && Met(w.news[j], target) {
			last = max(last, LastChange(volume, before, target, w.news[j]))
		}
	}
	return min(last, w.p.ChangeL)
}

// power returns x^n for a whole n ≥ 0 by squaring; the exponents here are small,
// where it is several times faster than math.Pow.
func power(x float64, n int) float64 {
	result := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			result *= x
		}
		x *= x
	}
	return result
}

// stepNeed follows a case from change to change. Where that takes far longer than
// usual, the floor says whether it ever ends.
func (w *worker) stepNeed(volume float64) need {
	n, last, ok := w.p.course(volume, w.starts, w.news).need(w.usualLimit)
	if ok {
		return need{int32(n), last}
	}
	c := w.p.course(volume, w.starts, w.news)
	if !w.p.reaches(c) {
		return need{n: never}
	}
	if n, last, ok = c.need(MaxChanges); ok {
		return need{int32(n), last}
	}
	return need{n: never}
}

// reaches reports whether no target of a course at its start lies under its floor.
func (p Problem) reaches(c *course) bool {
	for i := range c.members {
		m := &c.members[i]
		if !floorOf(m.d, m.s.UgL, m.newUgL, p.ChangeL, p.EveryH).reaches(m.target) {
			return false
		}
	}
	return true
}

// continuousNeed is the litres a continuous exchange takes.
func (w *worker) continuousNeed(volume float64) need {
	if w.p.FlowLH > 0 {
		if hours, ok := w.p.course(volume, w.starts, w.news).firstMet(math.Inf(1)); ok {
			return need{n: 1, last: hours * w.p.FlowLH}
		}
		return need{n: never}
	}
	result := need{}
	for j, c := range w.p.Contaminants {
		volumes, ok := ExchangeNeeded(w.starts[j], c.Target, w.news[j])
		if !ok {
			return need{n: never}
		}
		result.last = math.Max(result.last, volumes*volume)
	}
	if result.last > 0 {
		result.n = 1
	}
	return result
}
