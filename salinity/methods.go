package salinity

import (
	"fmt"
	"math"

	"tidehold/refs/gum"
	"tidehold/refs/units"
)

// method turns a reading of one instrument on one scale into a salinity.
type method struct {
	instrument Instrument
	scale      Scale
	name       string
	sources    string // keys, separated by blanks
	salinity   func(Reading) (units.Practical, error)
	// floor is what the method itself contributes, however good the reading.
	floor func(r Reading, s float64) []Contribution
	// usualU is the instrument's uncertainty where the user gives none; nil where
	// none is known.
	usualU func(Reading) usual
	// Which settings of a reading the method uses.
	pair, float, compensated, usesTemperature bool
	warning                                   string
}

type usual struct {
	value        float64
	text, source string
}

const meniscus = "surface tension and the way the mark is read are not in the budget; check the float once in water of known salinity"

// methods lists every instrument with every scale it has.
var methods = []method{
	{instrument: InstrumentNone, scale: ScaleSalinity, name: "practical salinity as given", sources: "pss78", salinity: asGiven},
	{instrument: InstrumentNone, scale: ScaleGravity, name: "specific gravity", sources: "eos80 unesco44", salinity: byGravity, floor: densityFloor, pair: true},
	{instrument: InstrumentNone, scale: ScaleDensity, name: "density", sources: "eos80 unesco44", salinity: byDensity, floor: densityFloor, usesTemperature: true},
	{instrument: InstrumentNone, scale: ScaleConductivity, name: "conductivity", sources: "pss78 unesco44 hill1986", salinity: byConductivity, usesTemperature: true},
	{instrument: InstrumentNone, scale: ScaleConductivity25, name: "conductivity compensated to 25 °C", sources: "pss78 unesco44 hill1986 specific-conductance", salinity: byCompensated, compensated: true, usesTemperature: true},
	{instrument: InstrumentNone, scale: ScaleIndex, name: "refractive index", sources: "ms1990 qf1995", salinity: byIndex, floor: indexFloorOf, usesTemperature: true},

	{instrument: InstrumentHydrometer, scale: ScaleGravity, name: "float hydrometer", sources: "iso1768 eos80 unesco44", salinity: byFloat, floor: densityFloor, usualU: floatU, pair: true, float: true, usesTemperature: true, warning: meniscus},
	{instrument: InstrumentHydrometer, scale: ScaleSalinity, name: "float hydrometer with a salinity scale", sources: "iso1768 eos80 unesco44", salinity: byFloatSalinity, floor: densityFloor, usualU: floatU, pair: true, float: true, usesTemperature: true, warning: meniscus},
	{instrument: InstrumentHydrometer, scale: ScaleDensity, name: "float hydrometer with a density scale", sources: "iso1768 eos80 unesco44", salinity: byFloatDensity, floor: densityFloor, usualU: floatU, pair: true, float: true, usesTemperature: true, warning: meniscus},

	{instrument: InstrumentRefractometer, scale: ScaleSalinity, name: "refractometer scaled for seawater", sources: "ms1990 qf1995", salinity: asGiven, floor: handIndexFloor, usualU: refractometerU},
	{instrument: InstrumentRefractometer, scale: ScaleGravity, name: "refractometer with a specific gravity scale for seawater", sources: "ms1990 qf1995 eos80", salinity: byGravity, floor: handIndexFloor, usualU: refractometerU, pair: true},
	{instrument: InstrumentRefractometer, scale: ScaleIndex, name: "refractive index", sources: "ms1990 qf1995", salinity: byIndex, floor: indexFloorOf, usesTemperature: true},
	{instrument: InstrumentRefractometer, scale: ScaleBrineKg, name: "refractometer scaled for sodium chloride, g/kg", sources: "crc-nacl ms1990 qf1995", salinity: byBrine, floor: brineFloor, usualU: refractometerU},
	{instrument: InstrumentRefractometer, scale: ScaleBrineLitre, name: "refractometer scaled for sodium chloride, g/L", sources: "crc-nacl ms1990 qf1995", salinity: byBrine, floor: brineFloor, usualU: refractometerU},
	{instrument: InstrumentRefractometer, scale: ScaleBrineGravity, name: "refractometer scaled for sodium chloride, specific gravity 20/20", sources: "crc-nacl ms1990 qf1995", salinity: byBrine, floor: brineFloor, usualU: refractometerU},

	{instrument: InstrumentConductivity, scale: ScaleConductivity, name: "conductivity", sources: "pss78 unesco44 hill1986", salinity: byConductivity, usualU: meterU, usesTemperature: true},
	{instrument: InstrumentConductivity, scale: ScaleConductivity25, name: "conductivity compensated to 25 °C", sources: "pss78 unesco44 hill1986 specific-conductance", salinity: byCompensated, usualU: meterU, compensated: true, usesTemperature: true},
	{instrument: InstrumentConductivity, scale: ScaleSalinity, name: "conductivity meter that shows salinity", sources: "pss78", salinity: asGiven, usualU: meterU},

	{instrument: InstrumentDensity, scale: ScaleDensity, name: "density", sources: "eos80 unesco44", salinity: byDensity, floor: densityFloor, usesTemperature: true},
	{instrument: InstrumentDensity, scale: ScaleGravity, name: "specific gravity", sources: "eos80 unesco44", salinity: byGravity, floor: densityFloor, pair: true},
}

func methodOf(i Instrument, s Scale) *method {
	for k := range methods {
		if methods[k].instrument == i && methods[k].scale == s {
			return &methods[k]
		}
	}
	return nil
}

func asGiven(r Reading) (units.Practical, error) {
	if !eosDomain.s.holds(r.Value) {
		return 0, &RangeError{"practical salinity", "salinity", r.Value, eosDomain.s.Low, eosDomain.s.High, ""}
	}
	return units.Practical(r.Value), nil
}

func byGravity(r Reading) (units.Practical, error) { return SalinityFromGravity(r.Value, r.Pair) }

func byDensity(r Reading) (units.Practical, error) {
	return SalinityFromDensity(units.KgPerM3(r.Value), r.Temperature)
}

func byConductivity(r Reading) (units.Practical, error) {
	return FromConductivity(units.MilliSiemensPerCm(r.Value), r.Temperature)
}

func byCompensated(r Reading) (units.Practical, error) {
	return FromCompensatedConductivity(units.MilliSiemensPerCm(r.Value), r.Temperature, r.Alpha)
}

func byIndex(r Reading) (units.Practical, error) {
	return SalinityFromIndex(r.Value, r.Temperature, SodiumD)
}

func byBrine(r Reading) (units.Practical, error) {
	return SalinityFromBrineMark(r.Value, BrineScale(r.Scale))
}

func byFloat(r Reading) (units.Practical, error) {
	return Float{r.Pair, r.Expansion}.Salinity(r.Value, r.Temperature)
}

// byFloatSalinity: the mark s stands where the float floats in water of salinity s
// at the temperature it was marked at.
func byFloatSalinity(r Reading) (units.Practical, error) {
	mark, err := SpecificGravity(units.Practical(r.Value), r.Pair)
	if err != nil {
		return 0, err
	}
	return Float{r.Pair, r.Expansion}.Salinity(mark, r.Temperature)
}

// byFloatDensity: the mark is the density at the temperature it was marked at.
func byFloatDensity(r Reading) (units.Practical, error) {
	water, err := Density(0, r.Pair.Water)
	if err != nil {
		return 0, err
	}
	return Float{r.Pair, r.Expansion}.Salinity(r.Value/float64(water), r.Temperature)
}

// densityFloor is the standard error of EOS-80 in terms of salinity.
func densityFloor(r Reading, s float64) []Contribution {
	_, a, b := eosTerms(IPTS68(r.Temperature))
	slope := a + 1.5*b*math.Sqrt(s) + 2*eosD*s
	return []Contribution{{"fit of EOS-80", eosFitError, "kg/m³", eosFitError / slope}}
}

// indexFloorOf takes the two published formulas as equally good.
func indexFloorOf(Reading, float64) []Contribution {
	u := gum.Rectangular(indexFloor)
	return []Contribution{{"difference of the published formulas", u, "", u}}
}

// handIndexFloor adds the temperature compensation of hand refractometers to the
// floor of the method. The instrument is scaled for 20 °C and compensates as pure
// water does; seawater's excess index falls a little with temperature, so that it
// reads low in warm water. Whether a given instrument does so is not known, hence
// the whole effect is taken as the half-width. Beyond the range of the formula its
// size at the end of the range stands for it.
func handIndexFloor(r Reading, s float64) []Contribution {
	list := indexFloorOf(r, s)
	t := max(msDomain.t.Low, min(msDomain.t.High, float64(r.Temperature)))
	_, at20 := millardSeaver(brineTemperature, SodiumD)
	_, here := millardSeaver(t, SodiumD)
	u := gum.Rectangular(s * math.Abs(at20/here-1))
	return append(list, Contribution{"temperature compensation of the refractometer", u, "", u})
}

// brineFloor adds the resolution of the handbook table behind the conversion.
func brineFloor(r Reading, s float64) []Contribution {
	_, slope := millardSeaver(brineTemperature, SodiumD)
	u := gum.Rectangular(brineIndexResidual)
	return append(handIndexFloor(r, s), Contribution{"brine against seawater", u, "index", u / slope})
}

// Uncertainties of instruments where the user gives none: of a float in specific
// gravity, of a hand refractometer in salinity, of a conductivity meter as a share
// of the reading. The last is recalled, not sourced, and is shown as such.
//
// Source: [instrument-accuracy].
const (
	floatGravityU         = 0.001
	refractometerSalinity = 1.0
	meterShareU           = 0.01
)

func floatU(r Reading) usual {
	switch r.Scale {
	case ScaleDensity:
		return usual{floatGravityU * 1000, "1 kg/m³", "[instrument-accuracy]"}
	case ScaleSalinity:
		return usual{floatGravityU * 1000 / 0.755, "0.001 in specific gravity, 1.3 in salinity", "[instrument-accuracy]"}
	default:
		return usual{floatGravityU, "0.001 in specific gravity", "[instrument-accuracy]"}
	}
}

// refractometerU restates an uncertainty of 1 in salinity on the scale read.
func refractometerU(r Reading) usual {
	u := usual{refractometerSalinity, "1 in salinity", "[instrument-accuracy]"}
	switch r.Scale {
	case ScaleGravity, ScaleBrineGravity:
		u.value, u.text = 0.00076, "0.00076 in specific gravity, 1 in salinity"
	}
	return u
}

func meterU(r Reading) usual {
	return usual{meterShareU * r.Value, fmt.Sprintf("%g %% of the reading", 100*meterShareU), "recalled, not sourced [instrument-accuracy]"}
}
