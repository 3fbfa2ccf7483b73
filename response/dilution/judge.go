package dilution

// Verdict is what a measured result says about a target.
type Verdict string

// The three verdicts.
const (
	Below     Verdict = "below"
	Undecided Verdict = "undecided"
	Above     Verdict = "above"
)

// Judge sets a result with its expanded uncertainty u (k = 2, zero or more)
// against a target, with a guard band as wide as u on either side: Below when
// result + u ≤ target, Above when result − u > target, Undecided between, or when
// a value is not a number. A result reported as "<result" is Below only when
// that limit is at or under the target. All in one unit.
//
// Source: [jcgm106], clause 8.3, guarded acceptance and rejection with w = U.
func Judge(result, u, target float64, reportedBelow bool) Verdict {
	switch {
	case reportedBelow:
		if result <= target {
			return Below
		}
		return Undecided
	case result+u <= target:
		return Below
	case result-u > target:
		return Above
	}
	return Undecided
}
