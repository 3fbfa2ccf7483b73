package salinity

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
)

// ParsePair reads the temperature pair of a specific gravity as people write it:
// "60F/60F", "20C/4C", "25/25" (°C). A side without a unit takes the other side's.
//
// Both temperatures must lie in the range of Density; otherwise, and for anything
// that is not a pair, the error says what is allowed. 0/0 °C is refused, because a
// Reading takes the zero Pair as one not given.
func ParsePair(text string) (Pair, error) {
	sample, water, ok := strings.Cut(text, "/")
	if !ok {
		return Pair{}, fmt.Errorf("%q is not a temperature pair; write the sample's and the water's temperature, like 25C/25C or 60F/60F", text)
	}
	sample, water = lendUnit(sample, water)
	var p Pair
	for _, side := range []struct {
		text string
		to   *units.Celsius
	}{{sample, &p.Sample}, {water, &p.Water}} {
		q, err := units.Parse(side.text, units.Temperature)
		if err != nil {
			return Pair{}, fmt.Errorf("temperature pair %q: %w", text, err)
		}
		if !eosDomain.t.holds(q.Value) {
			return Pair{}, fmt.Errorf("temperature pair %q: %w", text, eosDomain.temperatureFault(q.Value))
		}
		if q.U != 0 {
			return Pair{}, fmt.Errorf("temperature pair %q: a reference temperature is exact; leave out the ±", text)
		}
		*side.to = units.Celsius(q.Value)
	}
	if p == (Pair{}) {
		return Pair{}, fmt.Errorf("temperature pair %q: no scale is marked at 0 °C against water at 0 °C; usual are 25C/25C, 20C/20C, 60F/60F", text)
	}
	return p, nil
}

// lendUnit appends the unit of the side that has one to the side that has none,
// and °C to both if neither has.
func lendUnit(a, b string) (string, string) {
	a, b = strings.TrimSpace(a), strings.TrimSpace(b)
	unitOf := func(s string) string { return strings.TrimSpace(strings.TrimLeft(s, "+-.0123456789 ")) }
	ua, ub := unitOf(a), unitOf(b)
	switch {
	case ua == "" && ub == "":
		return a + " C", b + " C"
	case ua == "":
		return a + " " + ub, b
	case ub == "":
		return a, b + " " + ua
	}
	return a, b
}

// String writes the pair in °C, or in °F where both temperatures are whole only
// there.
func (p Pair) String() string {
	c, d := float64(p.Sample), float64(p.Water)
	if f, g := c*9/5+32, d*9/5+32; !(isWhole(c) && isWhole(d)) && isWhole(f) && isWhole(g) {
		return fmt.Sprintf("%.0f/%.0f °F", f, g)
	}
	return fmt.Sprintf("%g/%g °C", c, d)
}

func isWhole(x float64) bool { return math.Abs(x-math.Round(x)) < 1e-9 }
