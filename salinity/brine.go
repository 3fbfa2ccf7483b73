package salinity

import (
	"math"

	"tidehold/refs/units"
)

// Many hand refractometers are scaled for solutions of sodium chloride. The same
// index belongs to more salt in brine than in seawater, so they read seawater
// about 4 % high. Straight lines against mass percent of NaCl at 20 °C, by least
// squares through the value of pure water: index, and density in g/mL.
//
// Source: [crc-nacl], rows 1, 2, 3, 3.5, 4 and 5 mass %, and water.
const (
	brineWaterIndex        = 1.33299
	brineIndexPerPercent   = 0.0017567
	brineWaterDensity      = 0.99821
	brineDensityPerPercent = 0.0071467
)

// brineIndexResidual is the largest departure of a row of that table from the
// straight line: about half a digit of the table.
const brineIndexResidual = 4.7e-5

// brineTemperature is the temperature in °C of the handbook table and of the
// scale of hand refractometers.
const brineTemperature = 20

// BrineScale is a scale of a refractometer made for sodium chloride solutions.
type BrineScale string

// The scales such instruments carry. The last is specific gravity 20/20.
const (
	BrineGramsPerKg    BrineScale = "brine-g-kg"
	BrineGramsPerLitre BrineScale = "brine-g-l"
	BrineGravity       BrineScale = "brine-sg"
)

// massFraction returns the grams of NaCl per kilogram of the brine that a mark m
// stands for.
func (b BrineScale) massFraction(m float64) float64 {
	switch b {
	case BrineGramsPerLitre:
		// m = w·(ρ0 + k·w/10), solved for w.
		return positiveRoot(brineDensityPerPercent/10, brineWaterDensity, m)
	case BrineGravity:
		return 10 * (m - 1) * brineWaterDensity / brineDensityPerPercent
	default:
		return m
	}
}

// mark returns the mark for w grams of NaCl per kilogram of brine.
func (b BrineScale) mark(w float64) float64 {
	density := brineWaterDensity + brineDensityPerPercent*w/10
	switch b {
	case BrineGramsPerLitre:
		return w * density
	case BrineGravity:
		return density / brineWaterDensity
	default:
		return w
	}
}

func (b BrineScale) unit() string {
	switch b {
	case BrineGramsPerLitre:
		return "g/L"
	case BrineGravity:
		return ""
	default:
		return "g/kg"
	}
}

// positiveRoot returns the positive x with x·(b + a·x) = c, for a, b > 0 and
// c ≥ 0, without cancellation. A negative c gives a negative x or NaN, which the
// caller's range refuses.
func positiveRoot(a, b, c float64) float64 {
	return 2 * c / (b + math.Sqrt(b*b+4*a*c))
}

// SalinityFromBrineMark returns the practical salinity of the seawater that shows
// the mark m on a refractometer scaled for sodium chloride and set to zero in
// pure water. At salinity 35 a g/kg scale shows 36.4, a g/L scale 37.3.
//
// Valid for marks that stand for salinity 0 to 40; outside, a *RangeError that
// gives those marks. The straight lines behind it are good to 0.3 in salinity.
// Inverse: BrineMark.
//
// Source: [crc-nacl] and [ms1990], both at 20 °C and 589 nm.
func SalinityFromBrineMark(m float64, scale BrineScale) (units.Practical, error) {
	water, slope := millardSeaver(brineTemperature, SodiumD)
	s, err := invertIndex(&msDomain, water+brineIndexPerPercent*scale.massFraction(m)/10, water, slope)
	if err != nil {
		low, high := scale.mark(0), scale.mark(10*slope*msDomain.s.High/brineIndexPerPercent)
		return 0, &RangeError{"sodium chloride refractometer scale", "reading", m, low, high, scale.unit()}
	}
	return s, nil
}

// BrineMark returns the mark that seawater of practical salinity s shows on a
// refractometer scaled for sodium chloride. Valid for 0 ≤ s ≤ 40; outside, a
// *RangeError. Inverse: SalinityFromBrineMark.
//
// Source: [crc-nacl] and [ms1990], both at 20 °C and 589 nm.
func BrineMark(s units.Practical, scale BrineScale) (float64, error) {
	if !msDomain.s.holds(float64(s)) {
		return 0, msDomain.fault(float64(s), brineTemperature)
	}
	_, slope := millardSeaver(brineTemperature, SodiumD)
	return scale.mark(10 * slope * float64(s) / brineIndexPerPercent), nil
}
