package salinity

import (
	"fmt"

	"tidehold/refs/units"
)

// RangeError says that an argument lies outside the range for which a relation
// is stated, or is not a finite number. No value accompanies it.
type RangeError struct {
	// Relation is the name of the relation, as Relations lists it.
	Relation string
	// Argument is what was out of range, in words: "salinity", "temperature".
	Argument string
	// Value is what was given; it may be NaN or infinite.
	Value float64
	// Low and High are the ends of the allowed range, both allowed.
	Low, High float64
	// Unit is the unit of Value, Low and High; empty where there is none.
	Unit string
}

// Error gives the value, the allowed range and the relation.
func (e *RangeError) Error() string {
	return fmt.Sprintf("%s %s%s is outside %s, the range of %s", e.Argument, short(e.Value), e.unit(), e.Allowed(), e.Relation)
}

// Allowed is the range in words, as "0 to 40 °C".
func (e *RangeError) Allowed() string { return short(e.Low) + " to " + short(e.High) + e.unit() }

// unit is the unit as it stands behind a number.
func (e *RangeError) unit() string {
	if e.Unit == "" {
		return ""
	}
	return " " + e.Unit
}

// short prints a number to seven digits, enough for the densities to which this
// package's ranges are compared.
func short(x float64) string { return units.Given(x, 7) }

// Range is a closed interval.
type Range struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// holds is false for NaN: both comparisons must be true.
func (r Range) holds(x float64) bool { return x >= r.Low && x <= r.High }

// roundingSlack, in salinity, lets a quantity that was computed at an end of the
// range of salinity come back to that end although rounding moved it. Last bits are
// worth 2e-13 in a density or a specific gravity, 1.2e-12 in a refractive index.
const roundingSlack = 1e-11

// settle returns s moved to the end of r that it lies outside of by no more than
// rounding, and whether it is then inside.
func (r Range) settle(s float64) (float64, bool) {
	ok := s >= r.Low-roundingSlack && s <= r.High+roundingSlack
	return max(r.Low, min(r.High, s)), ok
}

// domain is where a relation of salinity and temperature is stated to hold.
type domain struct {
	relation string
	s, t     Range
}

func (d *domain) holds(s, t float64) bool { return d.s.holds(s) && d.t.holds(t) }

// fault names the argument that holds refused.
func (d *domain) fault(s, t float64) error {
	if !d.s.holds(s) {
		return &RangeError{d.relation, "salinity", s, d.s.Low, d.s.High, ""}
	}
	return d.temperatureFault(t)
}

func (d *domain) temperatureFault(t float64) error {
	return &RangeError{d.relation, "temperature", t, d.t.Low, d.t.High, "°C"}
}
