package schedule

import (
	"math"
	"slices"
	"sync"

	"tidehold/response/plan"
)

// move is one thing done.
type move struct {
	atH    float64
	kind   kind
	job    job
	change change
}

// kind tells the moves apart.
type kind int8

const (
	noMove   kind = iota
	toChange      // a change is made
	toWork        // work is done on a vat
	toAwait       // a batch is decided on, for when there is enough purified water
	toWait        // no change is made now
)

// search looks for the best plan of a problem: depth first, leaving out whatever cannot
// beat the best plan found (bound). At each moment it decides first on a change, then,
// vat by vat, on work; then it waits for the next moment.
type search struct {
	p        *problem
	r        rules
	frames   []*frame
	prefix   []move // what has been done before frame 0
	best     []move
	found    bool
	score    score
	budget   int
	nodes    int
	any      bool // the first plan found will do
	thorough bool // there is time for dear alterations
	verdict  bool // no more is asked than whether a plan is in time
	brief    bool // and that not to the last
	keeps    bool // water that others want is not poured away for less exposure
	memory   memory
	cut      bool // not everything that the rules permit has been tried
}

// frame is a state on the way, the move that led to it, and memory for what can be done.
type frame struct {
	state state
	move  move
	table table
	jobs  []job
}

// searches keeps the memory of searches from one plan to the next.
var searches = sync.Pool{New: func() any { return new(search) }}

func takeSearch() *search { return searches.Get().(*search) }

func (x *search) giveBack() {
	x.remember(nil)
	x.verdict, x.brief = false, false
	searches.Put(x)
}

// begin forgets what was found before.
func (x *search) begin(p *problem) {
	if x.p != p {
		x.remember(p)
	}
	x.p, x.best, x.found, x.score, x.nodes, x.prefix = p, x.best[:0], false, worst(), 0, x.prefix[:0]
	x.any, x.cut, x.keeps = false, false, false
}

// run looks for plans better than the best so far that begin with the first moves of it,
// within a budget of nodes.
func (x *search) run(r rules, first, budget int) {
	x.r, x.budget, x.cut = r, x.nodes+budget, false
	x.prefix = append(x.prefix[:0], x.best[:first]...)
	s := &x.frameAt(0).state
	s.copyFrom(&x.p.start)
	for k := range x.prefix {
		x.p.follow(s, &x.prefix[k])
	}
	x.explore(0, r.Detours)
}

// follow passes the moments up to a move and makes it.
func (p *problem) follow(s *state, m *move) (took worked) {
	for s.atH < m.atH {
		if next, _ := p.nextMoment(s); next > m.atH || !p.advance(s) {
			p.passTo(s, m.atH) // it is made between two moments
			s.ask.change = false
		}
	}
	switch m.kind {
	case toChange:
		p.change(s, &m.change)
	case toWork:
		p.due(s)
		took = p.work(s, m.job)
	case toAwait:
		p.await(s, m.job)
	}
	return took
}

// frameAt returns the frame for a depth; pointers to frames of lesser depth stay
// valid.
func (x *search) frameAt(depth int) *frame {
	for len(x.frames) <= depth {
		x.frames = append(x.frames, &frame{})
	}
	return x.frames[depth]
}

// explore tries everything from the frame at a depth on.
func (x *search) explore(depth, detours int) {
	f := x.frameAt(depth)
	s := &f.state
	decided := true // since the bound was last looked at
	for {
		x.nodes++
		if s.done() {
			x.offer(depth)
			return
		}
		if x.nodes > x.budget && x.found || x.any && x.score.exposure >= 0 {
			x.cut = true
			return
		}
		if decided && x.hopeless(s) {
			return
		}
		decided = false
		if s.ask.change && x.changes(depth, detours) || x.work(depth, detours) {
			return
		}
		if !x.p.advance(s) {
			x.offer(depth)
			return
		}
	}
}

// changes explores the changes that can be made now, and making none, and reports whether
// there were any.
func (x *search) changes(depth, detours int) bool {
	f := x.frames[depth]
	s := &f.state
	s.ask.change = false
	// Who may not leave the first choice needs no other.
	x.cut = x.cut || detours == 0
	options := f.table.options(x.p, s, x.r.Taste, x.r.Tastes, detours == 0)
	n := len(options)
	if n == 0 {
		return false
	}
	first := 0 // the first choice; n: to wait
	if x.r.Thrifty && x.mayWait(s, options[0].by) || x.r.Patient && x.p.willBeWarmer(s) || x.r.Hold && x.p.mayGrow(s, options[0].by) {
		first = n
	}
	turn := x.turns(first, n+1)
	for k := range n + 1 {
		k = turn(k)
		m := move{atH: s.atH, kind: toWait, job: noJob}
		if k < n {
			m.kind, m.change = toChange, options[k]
		}
		cost := 1
		if k == first {
			cost = 0
		}
		x.make(depth, detours-cost, m)
	}
	return true
}

// turns is the order in which n choices are explored: the first choice first where
// everything is tried, or nothing is found yet. Where detours are few it comes last, so
// that they are made from the start of a plan on, where they matter most, and not from
// its end.
func (x *search) turns(first, n int) func(k int) int {
	late := x.found && x.r.Detours < anyDetours
	return func(k int) int {
		switch {
		case late && k == n-1, !late && k == 0:
			return first
		case !late:
			k--
		}
		if k >= first {
			k++
		}
		return k
	}
}

// mayWait reports whether it is thrifty to wait with a change that is as large as it is by
// a limit: only for more water, while more may come.
func (x *search) mayWait(s *state, by plan.Limit) bool {
	if by != plan.ByWater {
		return false
	}
	p := x.p
	return p.outlook(s).litresBy(p.horizonH, math.Inf(1)) > p.drawable(s)+leastEmpty*p.tank.volL
}

// mayGrow reports whether a change may be larger soon: something other than the drawdown
// or the target keeps it small, and water is being made, or nothing has been begun yet.
func (p *problem) mayGrow(s *state, by plan.Limit) bool {
	if by == plan.ByDrawdown || by == plan.ToTarget {
		return false
	}
	if s.atH <= p.start.nextH+slackH && p.pureAt(s, s.atH) > leastDrawL {
		return true
	}
	return slices.ContainsFunc(s.vats, func(v vat) bool { return v.readyH > s.atH+slackH && !math.IsInf(v.readyH, 1) })
}

// make explores what follows a move.
func (x *search) make(depth, detours int, m move) {
	if detours < 0 {
		x.cut = true
		return
	}
	s, f := &x.frames[depth].state, x.frameAt(depth+1)
	f.state.copyFrom(s)
	draws := append(f.move.change.draws[:0], m.change.draws...)
	f.move = m
	f.move.change.draws = draws
	switch m.kind {
	case toChange:
		x.p.change(&f.state, &f.move.change)
	case toWork:
		x.p.work(&f.state, m.job)
	case toAwait:
		x.p.await(&f.state, m.job)
	case noMove:
		f.state.ask.workFrom++
	}
	x.explore(depth+1, detours)
}

// work explores the ways to work on vats now and reports whether there were any; if so,
// leaving them alone was among them.
func (x *search) work(depth, detours int) bool {
	f := x.frames[depth]
	s := &f.state
	if s.ask.planned.vat >= 0 {
		j, ok := x.p.begins(s)
		if ok {
			x.make(depth, detours, move{atH: s.atH, kind: toWork, job: j})
		}
		return ok
	}
	f.jobs = x.p.jobs(s, &x.r, f.jobs[:0])
	turn := x.turns(0, len(f.jobs))
	for k := range f.jobs {
		k = turn(k)
		j := f.jobs[k]
		m := move{atH: s.atH, kind: toWork, job: j}
		switch {
		case j.vat < 0:
			m.kind = noMove
		case j.fromH > s.atH:
			m.kind = toAwait
		}
		x.make(depth, detours-min(k, 1), m)
	}
	return len(f.jobs) > 0
}

// offer keeps the plan that ends at a depth if it is the best so far.
func (x *search) offer(depth int) {
	s := x.p.score(&x.frames[depth].state)
	if x.found && !s.better(x.score) {
		return
	}
	x.score, x.found = s, true
	x.best = append(x.best[:0], x.prefix...)
	for _, f := range x.frames[1 : depth+1] {
		if f.move.kind == noMove || f.move.kind == toWait {
			continue
		}
		m := f.move
		m.change.draws = append([]draw(nil), f.move.change.draws...)
		x.best = append(x.best, m)
	}
}

// hopeless reports whether no plan that goes on from s can beat the best found. The
// last digits of an exposure are not fought over.
func (x *search) hopeless(s *state) bool {
	if !x.found {
		return false
	}
	b := x.p.bound(s, x.score)
	switch {
	case b.missed != x.score.missed:
		return b.missed > x.score.missed
	case b.never != x.score.never:
		return b.never > x.score.never
	}
	return b.exposure >= x.score.exposure*(1-notFoughtOver)
}

const notFoughtOver = 1e-9

// atBest reports whether the best plan found is as good as a bound.
func (x *search) atBest(b score) bool { return x.found && x.score.atBest(b) }

func (a score) atBest(b score) bool {
	return a.noLater(b) && a.exposure*(1-notFoughtOver) <= b.exposure
}
