package schedule

import "math"

// search finds the plan: depth first, the largest change and the plain batch
// first, leaving out whatever cannot beat the best plan found (bound.go).
func (j *job) search() {
	j.score = score{missed: math.MaxInt}
	j.found = false
	j.run()
}

// searchFor looks for a plan that misses fewer than the given number of aims and
// reports whether there is one.
func (j *job) searchFor(fewer int) bool {
	j.score = score{missed: fewer, exposure: -1}
	j.found = true
	budget := j.opt.Nodes
	j.opt.Nodes = max(1, budget/shareForNeed)
	j.run()
	j.opt.Nodes = budget
	return j.score.missed < fewer
}

// shareForNeed is by how much the budget of nodes is smaller when there is a plan
// already and one by the rules for need is looked for.
const shareForNeed = 5

func (j *job) run() {
	j.best, j.path = j.best[:0], j.path[:0]
	j.nodes, j.within = 0, true
	j.frameAt(0).copyFrom(&j.start)
	j.explore(0)
}

// frameAt returns the frame for a depth; pointers to frames of lesser depth stay
// valid.
func (j *job) frameAt(depth int) *frame {
	for len(j.stack) <= depth {
		j.stack = append(j.stack, &frame{})
	}
	return j.stack[depth]
}

// The choices of a path: a number from 0 on picks a way to begin a batch.
const (
	toChange int8 = -1
	toWait   int8 = -2
)

// explore tries everything from the frame at a depth on.
func (j *job) explore(depth int) {
	f := j.frameAt(depth)
	mark := len(j.path)
	decided := true // since the bound was last looked at
	for {
		j.nodes++
		if f.done() {
			j.offer(f)
			break
		}
		if j.nodes > j.opt.Nodes && j.found {
			j.within = false
			break
		}
		if decided && j.hopeless(f) {
			break
		}
		decided = false
		if f.mix {
			f.mix = false
			var room [16]start
			if list := j.starts(f, room[:0]); len(list) > 0 {
				for k, s := range list {
					child := j.frameAt(depth + 1)
					child.copyFrom(f)
					j.begin(child, s)
					j.descend(depth, int8(k))
				}
				break
			}
		}
		if f.decide {
			f.decide = false
			if j.tryChange(f, depth) {
				if j.atOnce && f.atH == 0 {
					break
				}
				j.path = append(j.path, toWait)
				decided = true
			}
		}
		if !j.advance(f) {
			j.offer(f)
			break
		}
	}
	j.path = j.path[:mark]
}

// descend explores the frame below after a choice.
func (j *job) descend(depth int, choice int8) {
	j.path = append(j.path, choice)
	j.explore(depth + 1)
	j.path = j.path[:len(j.path)-1]
}

// tryChange explores what follows the largest change permitted now, and reports
// whether there was any.
func (j *job) tryChange(f *frame, depth int) bool {
	child := j.frameAt(depth + 1)
	ch := j.largest(f, child.draws)
	child.draws = ch.draws
	if !j.worthwhile(&ch) {
		return false
	}
	child.copyFrom(f)
	j.make(child, &ch)
	j.descend(depth, toChange)
	return true
}

// leastChange is the share of the system's volume below which a change is not
// worth an interval, unless it reaches the target.
const leastChange = 0.01

func (j *job) worthwhile(ch *change) bool {
	return ch.litres > 0 && (ch.trimmed || ch.litres >= leastChange*j.volL)
}

// offer keeps the plan that ends with f if it is the best so far.
func (j *job) offer(f *frame) {
	s := score{exposure: f.exposure, finishH: math.Inf(1), waterL: f.waterL}
	if f.done() {
		s.finishH = 0
	}
	late := 0
	for a, h := range f.doneH {
		s.finishH = max(s.finishH, h)
		if h > j.aims[a].withinH*(1+tie) || math.IsInf(h, 1) {
			late++
		}
		if j.misses(a, h) {
			s.missed++
		}
	}
	if s.better(j.score) {
		j.score, j.late = s, late
		j.best = append(j.best[:0], j.path...)
		j.found = true
	}
}

// misses reports whether an aim that is reached at h counts as missed: never
// reached, for that is exposure without end, or after its deadline where plans are
// compared by that first.
func (j *job) misses(a int, h float64) bool {
	return math.IsInf(h, 1) || j.hurry && h > j.aims[a].withinH*(1+tie)
}
