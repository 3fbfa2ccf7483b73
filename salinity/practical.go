package salinity

import (
	"fmt"
	"strings"

	"tidehold/refs/units"
)

// A bare number above GravityFrom and up to GravityTo is what a hydrometer shows in
// water from fresh to far above any kept: as a salinity it would be all but fresh
// water, so it needs a unit. Exactly 1 is no gravity of saltwater, and stands.
const GravityFrom, GravityTo = 1.0, 1.05

// LooksLikeGravity says that a salinity was written without a unit and is so
// close to one that a specific gravity was almost surely meant.
func LooksLikeGravity(q units.Quantity) bool {
	return q.Unit == "" && q.Value > GravityFrom && q.Value <= GravityTo
}

// ParsePractical reads a practical salinity as people write it: 35, 35 ppt, or a
// specific gravity with its temperature pair, 1.0264 sg@60F/60F, which is turned
// into the salinity it stands for at that pair; ± goes with it.
//
// A gravity without its pair (worth up to 4.7 of salinity) and a bare number above
// 1 and up to 1.050 are refused; 1.03 ppt is how so low a salinity is written. The
// error is a *units.Error. The result is not range-checked.
func ParsePractical(text string) (units.Quantity, error) {
	if strings.Contains(strings.ToLower(text), "sg") || strings.Contains(text, "@") {
		return practicalFromGravity(text)
	}
	q, err := units.Parse(text, units.Salinity)
	if err == nil && LooksLikeGravity(q) {
		s := strings.TrimSpace(text)
		return q, &units.Error{Found: fmt.Sprintf("%q looks like a specific gravity", s), Allowed: "a practical salinity, or a specific gravity with its pair of temperatures",
			Hint: fmt.Sprintf("write %s sg@25C/25C for a gravity, %s ppt for a salinity", s, s)}
	}
	return q, err
}

func practicalFromGravity(text string) (units.Quantity, error) {
	q, err := units.Parse(text, units.Gravity)
	if err != nil {
		return q, err
	}
	const allowed = "a practical salinity, or a specific gravity with its pair"
	if q.Pair == "" {
		return q, &units.Error{Found: fmt.Sprintf("%q has no pair of temperatures", text), Allowed: allowed,
			Hint: "write 1.0264 sg@25C/25C or 1.0264 sg@60F/60F, as printed on the instrument"}
	}
	pair, err := ParsePair(q.Pair)
	if err != nil {
		return q, &units.Error{Found: fmt.Sprintf("%q: %v", text, err), Allowed: allowed}
	}
	s, err := SalinityFromGravity(q.Value, pair)
	if err != nil {
		return q, &units.Error{Found: fmt.Sprintf("%q is out of range: %v", text, err), Allowed: "practical salinity 0 to 42"}
	}
	out := units.Quantity{Value: float64(s), Unit: "sg", Pair: q.Pair, Dim: units.Salinity}
	if q.U > 0 {
		// Salinity is all but linear in specific gravity: one small step gives the slope.
		const step = 1e-4
		towards := q.Value - step
		if towards < 1 {
			towards = q.Value + step
		}
		if near, err := SalinityFromGravity(towards, pair); err == nil {
			out.U = q.U * max(float64(near-s), float64(s-near)) / step
		}
	}
	return out, nil
}
