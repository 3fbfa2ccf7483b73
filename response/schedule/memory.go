package schedule

import "math"

// memory is what a search has worked out about states it came by, for when it comes by them
// again: most plans it tries begin like one before, or come to the same vats at the same time.
type memory struct {
	question []float64                    // what is being asked
	warm     answers                      // to warmEnough
	blends   answers                      // to blend
	states   shelf[contentNear, saltWarm] // of contents, whatever the problem
	// What altering a plan takes.
	variation variation
	on        state
	guide     []move
	table     table
}

// remember forgets what was worked out for the last problem, and remembers it for the next; nil: for
// none.
func (x *search) remember(p *problem) {
	if x.p != nil {
		x.p.scratch.memory = nil
	}
	x.memory.warm.of++
	x.memory.blends.of++
	if x.p = p; p != nil {
		p.scratch.memory = &x.memory
	}
}

// answers are those to questions of one kind, by all the numbers that they hang on. A question
// is looked for in one place only: what was there is overwritten.
type answers struct {
	places [mostAnswers]place
	of     int // the problem: counted, so that nothing need be cleared
}

type place struct {
	of               int
	question, answer []float64
}

const mostAnswers = 1 << 8

// place is where a question and its answer belong; false: they are not there.
func (a *answers) place(question []float64) (*place, bool) {
	sum := uint64(len(question))
	for _, x := range question {
		sum = (sum ^ math.Float64bits(x)) * golden
		sum ^= sum >> 29
	}
	p := &a.places[sum%mostAnswers]
	return p, p.of == a.of && same(p.question, question)
}

// same reports whether two questions are the same to the last bit.
func same(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i, x := range a {
		if math.Float64bits(x) != math.Float64bits(b[i]) {
			return false
		}
	}
	return true
}

// put writes a question and its answer down.
func (p *place) put(of int, question []float64, answer ...float64) {
	p.of, p.question, p.answer = of, append(p.question[:0], question...), append(p.answer[:0], answer...)
}
