package readiness

// Verdict is the answer for an event, a combination or a site.
type Verdict string

// The verdicts, best first. Unknown stands between late and short: what is
// missing may hide either.
const (
	// Covered: done within the time allowed.
	Covered Verdict = "covered"
	// Late: done later, with what exists or can be made.
	Late Verdict = "late"
	// Unknown: the site file lacks what the answer needs.
	Unknown Verdict = "unknown"
	// Short: never done, for want of water.
	Short Verdict = "short"
	// Unreachable: the target lies below what any number of changes leads to.
	Unreachable Verdict = "unreachable"
)

// rank orders verdicts, 0 the best.
func (v Verdict) rank() int {
	for i, w := range []Verdict{Covered, Late, Unknown, Short, Unreachable} {
		if v == w {
			return i
		}
	}
	return 0
}

// Worse reports whether v is a worse answer than w.
func (v Verdict) Worse(w Verdict) bool { return v.rank() > w.rank() }

// WorseFirst orders verdicts, the worst first.
func WorseFirst(v, w Verdict) int { return w.rank() - v.rank() }

// worst of two verdicts.
func worst(v, w Verdict) Verdict {
	if w.Worse(v) {
		return w
	}
	return v
}

// Fails reports whether more water or time might help.
func (v Verdict) Fails() bool { return v == Late || v == Short }
