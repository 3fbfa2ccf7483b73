package schedule

import "slices"

// rules say which ways of working on vats and of making changes a search tries, and
// which of them is its first choice.
type rules struct {
	style
	// Most sizes of a batch, of those that are possible, and tastes that are tried.
	MostSizes int
	Tastes    taste
	// Shed pours part of a vat away so that the rest is warm sooner, Leave leaves a vat
	// alone in which a batch could be made.
	TopUp, Empty, Shed, Leave bool
	// Detours is how often a path may leave the first choice.
	Detours int
}

// style is how one of the starting plans is made: what is done first at every moment.
type style struct {
	// Sizes of batches, the first choice first.
	Sizes []size
	// Taste is tried first, the others in their order.
	Taste taste
	// Correct cuts or lifts water.
	Correct bool
	// Fill makes batches on top of water that could be drawn, even if a change must
	// wait for it.
	Fill bool
	// Thrifty waits with a change that only the water at hand keeps small, as long as more
	// may come: few full-size changes take less water than many small ones.
	Thrifty bool
	// Patient waits with a change until the vats are warm enough for one as large as is
	// wanted.
	Patient bool
	// Hold waits with a change that is smaller than it might be while water is being made.
	Hold bool
	// Idle makes no batches at all.
	Idle bool
	// Sparing brings no more to the system's salinity than the next change takes.
	Sparing bool
	// Lean pours away at once what the change does not need of a vat that is being warmed.
	Lean bool
}

// size is how large a batch is made, and when.
type size int8

const (
	asNeeded size = iota // all that changes still ask for, when there is the water for it
	atOnce               // what there is water for now, up to what is needed
	forNext              // what the next full-size change lacks
	unfitToo             // all that is needed if water that fits badly is left out
	half                 // half of what is needed
	inTime               // what there is water for so late that it is mixed for the next change
	ample                // a little more than needed: what is made may be less clean than what is there
	trickle              // as soon as there is water for the least change, so late that it is mixed for the next
	fresh                // a full-size change, whatever is there: what is made may be cleaner or warmer
	sizesKept
)

const anyDetours = 1 << 30

// The orders of sizes of the starting plans.
var (
	nowFirst     = []size{atOnce, forNext, asNeeded, unfitToo, half, inTime, ample, trickle}
	nextFirst    = []size{forNext, asNeeded, atOnce, unfitToo, half, inTime, ample, trickle}
	allFirst     = []size{asNeeded, atOnce, forNext, unfitToo, half, inTime, ample, trickle}
	halfFirst    = []size{half, atOnce, forNext, asNeeded, unfitToo, inTime, ample, trickle}
	lateFirst    = []size{inTime, forNext, asNeeded, atOnce, unfitToo, half, ample, trickle}
	trickleFirst = []size{trickle, forNext, asNeeded, atOnce, unfitToo, half, inTime, ample}
	// A fresh batch beside water that would do is for those who begin with it, or try everything.
	freshFirst = []size{fresh, atOnce, forNext, asNeeded, unfitToo, half, inTime, ample, trickle}
)

var thrifty = style{Sizes: nextFirst, Correct: true, Thrifty: true}

// styles are those of the starting plans. No one of them is best everywhere; each is
// a plan that a sensible keeper might follow, and costs as many nodes as it has steps.
var styles = []style{
	{Sizes: nowFirst, Correct: true},
	{Sizes: nowFirst, Correct: true, Fill: true},
	{Sizes: nowFirst, Correct: true, Hold: true},
	{Sizes: nowFirst, Correct: true, Fill: true, Hold: true},
	{Sizes: nextFirst, Correct: true, Fill: true, Thrifty: true},
	{Sizes: freshFirst, Correct: true, Fill: true},
	{Sizes: nowFirst, Correct: true, Patient: true},
	{Sizes: nowFirst, Idle: true, Patient: true},
	{Sizes: nowFirst, Idle: true, Patient: true, Lean: true},
	{Sizes: nowFirst, Correct: true, Taste: furthest},
	// From here on the exposure may be less, but hardly the verdict better.
	{Sizes: nextFirst, Correct: true},
	{Sizes: halfFirst, Correct: true},
	{Sizes: halfFirst, Correct: true, Fill: true},
	{Sizes: lateFirst, Correct: true},
	{Sizes: lateFirst, Correct: true, Fill: true},
	{Sizes: allFirst, Correct: true, Fill: true},
	{Sizes: trickleFirst, Correct: true},
	{Sizes: trickleFirst, Correct: true, Fill: true},
	{Sizes: trickleFirst, Correct: true, Fill: true, Hold: true},
	{Sizes: nowFirst, Correct: true, Thrifty: true},
	thrifty,
	{Sizes: nowFirst, Correct: true, Taste: leastFall},
	{Sizes: nowFirst, Correct: true, Taste: oddestOnly},
	{Sizes: nowFirst},
	{Sizes: nowFirst, Idle: true, Correct: true},
	{Sizes: nowFirst, Idle: true, Correct: true, Patient: true, Lean: true},
	{Sizes: nowFirst, Idle: true, Correct: true, Sparing: true, Hold: true},
	{Sizes: nowFirst, Idle: true},
	{Sizes: nowFirst, Idle: true, Taste: oddestOnly},
}

// decisive is how many styles, from the first on, look for any plan in time.
const decisive = 10

// narrow follows a style: its first choice, or little else.
func (t style) narrow() rules {
	return rules{style: t, MostSizes: 1, Tastes: closest + 1, Empty: true, Detours: anyDetours}
}

// straight makes the first choice of a style and no other.
func (t style) straight() rules {
	r := t.narrow()
	r.Detours = 0
	return r
}

// broad tries everything, the choices of a style first.
func (t style) broad() rules {
	t.Sizes = append(slices.Clip(t.Sizes), fresh)
	return rules{style: t, MostSizes: int(sizesKept), Tastes: tastes, TopUp: true, Empty: true, Shed: true, Leave: true, Detours: anyDetours}
}
