package salinity

import (
	"math"

	"tidehold/refs/gum"
)

// Agreement sets two readings of the same water side by side.
type Agreement struct {
	// Difference is the first salinity minus the second; DifferenceU its expanded
	// uncertainty (k = 2).
	Difference  float64 `json:"difference"`
	DifferenceU float64 `json:"difference_uncertainty"`
	// En is |Difference|/DifferenceU: the two agree when it is at most 1.
	En    float64 `json:"en"`
	Agree bool    `json:"agree"`
	// Weighted is the mean of least uncertainty, WeightedU its expanded uncertainty.
	// They mean something only where the two agree.
	Weighted  float64 `json:"weighted_salinity"`
	WeightedU float64 `json:"weighted_uncertainty"`
	// WeightFirst is the weight of the first reading, 0 to 1.
	WeightFirst float64 `json:"weight_first"`

	Warnings []string `json:"-"`
}

// NoUncertaintyError says that two readings cannot be compared because neither
// has an uncertainty.
type NoUncertaintyError struct{}

func (*NoUncertaintyError) Error() string {
	return "neither reading has an uncertainty; give at least one, as in 53.1 mS/cm ± 0.3"
}

// Compare says whether two readings of the same water agree within their
// uncertainties and returns their weighted mean. Contributions are independent
// except that, with sameThermometer, the two temperatures are wrong together.
//
// Two results agree when their difference is not larger than its expanded
// uncertainty (E_n ≤ 1). Weights are those of least variance; a weight that the
// common temperature would push outside 0 to 1 is kept at that end, so that the
// mean lies between the readings.
//
// Source: [gum], eqs. (13) and (16); E_n: [iso13528].
func Compare(a, b Determination, sameThermometer bool) (Agreement, error) {
	va, vb := square(a.U/gum.Coverage), square(b.U/gum.Coverage)
	cov := 0.0
	if sameThermometer {
		cov = a.temperatureShare() * b.temperatureShare()
	}
	variance := va + vb - 2*cov
	if !(variance > 0) {
		return Agreement{}, &NoUncertaintyError{}
	}
	w := max(0, min(1, (vb-cov)/variance))
	out := Agreement{
		Difference:  a.Salinity - b.Salinity,
		DifferenceU: gum.Coverage * math.Sqrt(variance),
		Weighted:    w*a.Salinity + (1-w)*b.Salinity,
		WeightedU:   gum.Coverage * math.Sqrt(w*w*va+square(1-w)*vb+2*w*(1-w)*cov),
		WeightFirst: w,
	}
	out.En = math.Abs(out.Difference) / out.DifferenceU
	out.Agree = out.En <= 1
	if !out.Agree {
		out.Warnings = append(out.Warnings,
			"the two readings do not agree within their uncertainties: do not use the weighted value; clean and calibrate both, and check which scale and temperature each was made for")
	}
	return out, nil
}

// temperatureShare is the signed contribution of the temperature.
func (m Determination) temperatureShare() float64 {
	for _, c := range m.Budget {
		if c.What == temperatureInput {
			return c.Salinity
		}
	}
	return 0
}

func square(x float64) float64 { return x * x }
