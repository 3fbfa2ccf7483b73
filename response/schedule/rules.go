package schedule

// rules say which ways of working on vats and of making changes a search tries. With few
// of them a good plan is found soon; with all of them the best.
type rules struct {
	// Sizes of batches, the first choice first, and how many of those that are possible
	// are tried.
	Sizes     []size
	MostSizes int
	// Tastes is how many of the tastes are tried for a change.
	Tastes taste
	// TopUp makes batches on top of water that could be drawn, Empty pours such water
	// away for a batch, Correct cuts or lifts it, Shed pours part of it away so that the
	// rest is warm sooner, Leave leaves a vat alone in which a batch could be made.
	TopUp, Empty, Correct, Shed, Leave bool
	// Thrifty waits with a change that only the water at hand keeps small, as long as more
	// may come: few full-size changes take less water than many small ones.
	Thrifty bool
	// Detours is how often a path may leave the first choice.
	Detours int
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
	sizesKept
)

const anyDetours = 1 << 30

// The rules, in the order in which they are tried.
func eager() rules {
	return rules{Sizes: []size{atOnce, forNext, asNeeded}, MostSizes: 1, Tastes: closest + 1, Correct: true, Empty: true, Detours: anyDetours}
}

func patient() rules {
	return rules{Sizes: []size{forNext, asNeeded}, MostSizes: 1, Tastes: closest + 1, Correct: true, Empty: true, Detours: anyDetours}
}

func thrifty() rules {
	return rules{Sizes: []size{forNext, asNeeded}, MostSizes: 1, Tastes: closest + 1, Correct: true, Empty: true, Thrifty: true, Detours: anyDetours}
}

func everything() rules {
	return rules{Sizes: []size{asNeeded, atOnce, forNext, unfitToo, half, inTime}, MostSizes: int(sizesKept), Tastes: tastes,
		TopUp: true, Empty: true, Correct: true, Shed: true, Leave: true, Detours: anyDetours}
}
