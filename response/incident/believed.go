package incident

import "math"

// sameSampleH is how far apart two samples between the same two changes may be taken and still be
// of one water: a rule of this tool.
const sameSampleH = 0.25

// Contradiction are two results of one water that cannot both be right: the lower is held out,
// since to plan from the higher harms nobody.
type Contradiction struct {
	// HeldOut and Counted are the numbers of their entries.
	HeldOut int `json:"held_out"`
	Counted int `json:"counted"`
}

// believed is the series without what no explanation could reconcile, which an average would hide:
// of two results of one water that lie further apart than surprising standard deviations the lower,
// and what was entered twice once.
func (s Series) believed() (Series, []Contradiction) {
	var odd []Contradiction
	out := map[int]bool{}
	for i, a := range s.Samples {
		for k, b := range s.Samples[:i] {
			switch {
			case out[i] || out[k] || a.doses != b.doses || math.Abs(a.AtH-b.AtH) > sameSampleH:
			case a.UgL == b.UgL && a.U == b.U && a.Below == b.Below:
				out[i] = true
			case a.exceeds(b):
				out[k], odd = true, append(odd, Contradiction{HeldOut: b.ID, Counted: a.ID})
			case b.exceeds(a):
				out[i], odd = true, append(odd, Contradiction{HeldOut: a.ID, Counted: b.ID})
			}
		}
	}
	if len(out) == 0 {
		return s, nil
	}
	var kept []Sample
	for i, p := range s.Samples {
		if !out[i] {
			kept = append(kept, p)
		}
	}
	s.Samples = kept
	return s, odd
}

// exceeds reports whether a result is certainly higher than another; below a reporting limit it is
// never, and nothing below a limit is lower than that limit.
func (p Sample) exceeds(q Sample) bool {
	u := q.U
	if q.Below {
		u = 0
	}
	return !p.Below && p.UgL-q.UgL > surprising*math.Hypot(p.U, u)/2
}
