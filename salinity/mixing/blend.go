package mixing

import (
	"math"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// content is what a parcel holds and mixing conserves.
type content struct {
	massKg float64
	saltKg float64
	heatJ  float64 // above the same water at 0 °C
}

func (c *content) add(d content) {
	c.massKg += d.massKg
	c.saltKg += d.saltKg
	c.heatJ += d.heatJ
}

// contentOf takes a parcel apart. It fails outside the ranges of density and
// heat capacity, 0 to 42 and 0 to 40 °C.
func contentOf(w Water) (content, error) {
	m, err := w.MassKg()
	if err != nil {
		return content{}, err
	}
	h, err := salinity.Enthalpy(w.Salinity, w.Temperature)
	if err != nil {
		return content{}, err
	}
	return content{m, m * saltShare(w.Salinity), m * h}, nil
}

// Blend pours waters together and returns the parcel they make. Mass, dissolved
// salt, heat and every solute are conserved; the volume is what the mixture's
// density makes of its mass, 0.01 % or so less than the sum. The result depends
// neither on the order nor on the grouping of the waters, within rounding. A
// solute that a water does not list counts as absent from it.
//
// Valid for 0 ≤ S ≤ 42 and 0 ≤ t ≤ 40 °C; outside, a *salinity.RangeError. Waters
// of unlike salinity within 0.05 K of 40 °C may blend to just above it, which is
// such an error too. Negative volumes are an *InputError, and ErrNoWater is
// returned when all volumes are zero.
func Blend(waters ...Water) (Water, error) {
	var sum content
	low, high := units.Practical(math.Inf(1)), units.Practical(math.Inf(-1))
	for _, w := range waters {
		c, err := contentOf(w)
		if err != nil {
			return Water{}, err
		}
		if w.Volume > 0 {
			low, high = min(low, w.Salinity), max(high, w.Salinity)
		}
		sum.add(c)
	}
	if sum.massKg == 0 {
		return Water{}, ErrNoWater
	}
	// A mean lies between the extremes; rounding may put it a last bit outside,
	// and 42 is also where the relations end.
	s := min(max(practical(sum.saltKg/sum.massKg), low), high)
	out, err := parcel(sum.massKg, s, sum.heatJ/sum.massKg)
	if err != nil {
		return Water{}, err
	}
	out.Solutes = blendSolutes(waters, out.Volume)
	return out, nil
}

// parcel puts water together again from its mass in kg, salinity and enthalpy in
// J/kg.
func parcel(kg float64, s units.Practical, h float64) (Water, error) {
	t, err := temperature(h, s)
	if err != nil {
		return Water{}, err
	}
	rho, err := salinity.Density(s, t)
	if err != nil {
		return Water{}, err
	}
	return Water{Volume: litres(kg, rho), Salinity: s, Temperature: t}, nil
}

// warmest is the upper end of the heat relation, °C.
const warmest units.Celsius = 40

// temperature inverts enthalpy. A value that rounding has lifted a last bit above
// that of the warmest water is taken as the warmest.
func temperature(h float64, s units.Practical) (units.Celsius, error) {
	const roundOff = 1e-12
	top, err := salinity.Enthalpy(s, warmest)
	if err == nil && h > top && h <= top*(1+roundOff) {
		h = top
	}
	return salinity.TemperatureFromEnthalpy(h, s)
}

// blendSolutes returns concentrations in the blended volume; nil when no water
// lists any solute.
func blendSolutes(waters []Water, total units.Litres) map[string]float64 {
	var out map[string]float64
	for _, w := range waters {
		for id, c := range w.Solutes {
			if out == nil {
				out = make(map[string]float64, len(w.Solutes))
			}
			out[id] += c * float64(w.Volume)
		}
	}
	for id := range out {
		out[id] /= float64(total)
	}
	return out
}
