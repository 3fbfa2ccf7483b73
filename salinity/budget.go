package salinity

import (
	"tidehold/refs/gum"
	"tidehold/refs/units"
)

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
func combined(budget []Contribution) float64 {
	all := make([]float64, len(budget))
	for i, c := range budget {
		all[i] = c.Salinity
	}
	return gum.Quadrature(all...)
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

// addInput adds one input's contribution.
func (out *Determination) addInput(r Reading, m *method, in input) error {
	standard := in.expanded(&r) / gum.Coverage
	if standard == 0 {
		return nil
	}
	effect, err := gum.Sensitivity(out.Salinity, standard, func(by float64) (float64, error) {
		moved := r
		in.shift(&moved, by)
		s, err := m.salinity(moved)
		return float64(s), err
	})
	if err != nil {
		return err
	}
	unit := in.unit
	if unit == "" {
		unit = r.Scale.unit()
	}
	out.Budget = append(out.Budget, Contribution{in.what, standard, unit, effect.Step})
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
