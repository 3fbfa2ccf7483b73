package salinity

import (
	"math"

	"tidehold/refs/units"
)

// coverage is the factor k between a standard and an expanded uncertainty, for a
// level of confidence of about 95 %.
//
// Source: [gum], clause 6.3.
const coverage = 2

// rectangular returns the standard uncertainty of a quantity that lies within
// ±halfWidth with equal probability.
//
// Source: [gum], eq. (7).
func rectangular(halfWidth float64) float64 { return halfWidth / math.Sqrt(3) }

// Contribution is one line of an uncertainty budget.
type Contribution struct {
	What string `json:"what"`
	// Standard is the standard uncertainty of the input in its own Unit.
	Standard float64 `json:"standard_uncertainty"`
	Unit     string  `json:"unit"`
	// Salinity is what it contributes to the standard uncertainty of the salinity,
	// with the sign of the sensitivity.
	Salinity float64 `json:"salinity"`
}

// combined adds contributions in quadrature: they are taken as independent.
//
// Source: [gum], eq. (10).
func combined(budget []Contribution) float64 {
	sum := 0.0
	for _, c := range budget {
		sum += c.Salinity * c.Salinity
	}
	return math.Sqrt(sum)
}

// temperatureInput is the name of the temperature's line in a budget.
const temperatureInput = "temperature"

// input is a quantity that a reading's salinity depends on.
type input struct {
	what, unit string
	expanded   func(r *Reading) float64
	shift      func(r *Reading, by float64)
}

var inputs = []input{
	{"reading", "", func(r *Reading) float64 { return r.U }, func(r *Reading, by float64) { r.Value += by }},
	{temperatureInput, "°C", func(r *Reading) float64 { return r.TemperatureU }, func(r *Reading, by float64) { r.Temperature += units.Celsius(by) }},
	{"expansion of the float", "per °C", func(r *Reading) float64 { return r.ExpansionU }, func(r *Reading, by float64) { r.Expansion += by }},
	{"coefficient of the meter", "per °C", func(r *Reading) float64 { return r.AlphaU }, func(r *Reading, by float64) { r.Alpha += by }},
}

// addInput adds one input's contribution. At an end of a relation's range only
// one side is available, and the whole difference to it is used.
func (out *Measured) addInput(r Reading, m *method, in input) error {
	standard := in.expanded(&r) / coverage
	if standard == 0 {
		return nil
	}
	up, down := r, r
	in.shift(&up, standard)
	in.shift(&down, -standard)
	high, errUp := m.salinity(up)
	low, errDown := m.salinity(down)
	middle := units.Practical(out.Salinity)
	var c units.Practical
	switch {
	case errUp == nil && errDown == nil:
		c = (high - low) / 2
	case errUp == nil:
		c = high - middle
	case errDown == nil:
		c = middle - low
	default:
		return errUp
	}
	unit := in.unit
	if unit == "" {
		unit = r.Scale.unit()
	}
	out.Budget = append(out.Budget, Contribution{in.what, standard, unit, float64(c)})
	return nil
}

func (s Scale) unit() string {
	switch s {
	case ScaleDensity:
		return "kg/m³"
	case ScaleConductivity, ScaleConductivity25:
		return "mS/cm"
	case ScaleBrineKg, ScaleBrineLitre:
		return BrineScale(s).unit()
	default:
		return ""
	}
}
