package salinity

import (
	"fmt"
	"strings"

	"tidehold/refs"
	"tidehold/refs/gum"
	"tidehold/refs/units"
)

// Instrument is a kind of instrument that salinity is read from.
type Instrument string

// The kinds of instrument. InstrumentNone takes the value as a property of the
// water itself: a specific gravity by definition, a practical salinity as it is.
const (
	InstrumentNone          Instrument = ""
	InstrumentHydrometer    Instrument = "hydrometer"
	InstrumentRefractometer Instrument = "refractometer"
	InstrumentConductivity  Instrument = "conductivity"
	InstrumentDensity       Instrument = "density"
)

// Scale is what the number on an instrument stands for.
type Scale string

// The scales that a reading may be on.
const (
	ScaleSalinity       Scale = "salinity"              // practical salinity, as the instrument shows it
	ScaleGravity        Scale = "specific gravity"      // for Reading.Pair
	ScaleDensity        Scale = "density"               // kg/m³
	ScaleConductivity   Scale = "conductivity"          // mS/cm at the water's own temperature
	ScaleConductivity25 Scale = "conductivity at 25 °C" // mS/cm, compensated by the meter
	ScaleIndex          Scale = "refractive index"      // sodium D line, relative to air, uncompensated
	ScaleBrineKg        Scale = Scale(BrineGramsPerKg)
	ScaleBrineLitre     Scale = Scale(BrineGramsPerLitre)
	ScaleBrineGravity   Scale = Scale(BrineGravity)
)

// Reading is one number read from one instrument in water of one temperature.
// Uncertainties are expanded ones (k = 2, about 95 %), as laboratory reports give
// with ±; 0 means that none was given.
type Reading struct {
	Instrument Instrument
	Scale      Scale
	// Value on the scale, and its expanded uncertainty.
	Value, U float64
	// Temperature of the water in °C (ITS-90), and its expanded uncertainty.
	Temperature  units.Celsius
	TemperatureU float64
	// Pair is the temperature pair of a specific gravity; a float with a scale in
	// salinity or density was marked at Pair.Sample. The zero value is taken as
	// 25/25 °C and listed as an assumption.
	Pair Pair
	// Expansion is the float's thermal cubic expansion per °C, and its expanded
	// uncertainty; 0 is taken as glass and listed as an assumption.
	Expansion, ExpansionU float64
	// Alpha is the coefficient per °C of a meter that compensates to 25 °C, and its
	// expanded uncertainty; 0 is taken as CompensationAlpha and listed.
	Alpha, AlphaU float64
}

// Determination is the salinity that a reading stands for, with its uncertainty.
type Determination struct {
	Salinity float64 `json:"salinity"`
	// U is the expanded uncertainty (k = 2).
	U           float64        `json:"salinity_uncertainty"`
	Temperature float64        `json:"temp_c"`
	Method      string         `json:"method"`
	Sources     []string       `json:"sources"`
	Budget      []Contribution `json:"budget"`

	Assumptions []refs.Assumption `json:"-"`
	Warnings    []string          `json:"-"`
}

// ScaleError says that an instrument has no such scale.
type ScaleError struct {
	Instrument Instrument
	Scale      Scale
}

// Error names the scales the instrument has, or the known instruments.
func (e *ScaleError) Error() string {
	var scales []string
	for i := range methods {
		if methods[i].instrument == e.Instrument {
			scales = append(scales, string(methods[i].scale))
		}
	}
	if len(scales) == 0 {
		return fmt.Sprintf("no instrument %q; known: hydrometer, refractometer, conductivity, density", e.Instrument)
	}
	name := string(e.Instrument)
	if name == "" {
		name = "a value without an instrument"
	}
	return fmt.Sprintf("%s is not read as %s; allowed: %s", name, e.Scale, strings.Join(scales, ", "))
}

// readingTemperature is what any relation of this package reaches, in °C; most
// methods are narrower.
var readingTemperature = Range{-2, 40}

// uncertaintyRange keeps every budget finite.
var uncertaintyRange = Range{0, 1e6}

// Salinity returns the practical salinity the reading stands for, with the
// uncertainty of the reading, of the temperature, of constants that were assumed
// and of the method itself. Each input contributes half the difference between the
// results with it one standard uncertainty up and down; contributions add in
// quadrature, and the expanded uncertainty is twice their sum.
//
// Outside the range of a relation it returns a *RangeError; for a scale that the
// instrument does not have, a *ScaleError.
//
// Source: [gum], eq. (10) and 5.1.3 note 2.
func (r Reading) Salinity() (Determination, error) {
	m := methodOf(r.Instrument, r.Scale)
	if m == nil {
		return Determination{}, &ScaleError{r.Instrument, r.Scale}
	}
	for _, u := range []float64{r.U, r.TemperatureU, r.ExpansionU, r.AlphaU} {
		if !uncertaintyRange.holds(u) {
			return Determination{}, &RangeError{m.name, "uncertainty", u, uncertaintyRange.Low, uncertaintyRange.High, ""}
		}
	}
	if !readingTemperature.holds(float64(r.Temperature)) {
		return Determination{}, &RangeError{m.name, "temperature", float64(r.Temperature), readingTemperature.Low, readingTemperature.High, "°C"}
	}
	var out Determination
	r = out.fillDefaults(r, m)
	s, err := m.salinity(r)
	if err != nil {
		return Determination{}, err
	}
	out.Salinity, out.Temperature = float64(s), float64(r.Temperature)
	out.Method, out.Sources = m.name, strings.Fields(m.sources)
	if m.warning != "" {
		out.Warnings = append(out.Warnings, m.warning)
	}
	for _, in := range inputs {
		if err := out.addInput(r, m, in); err != nil {
			return Determination{}, err
		}
	}
	if m.floor != nil {
		out.Budget = append(out.Budget, m.floor(r, float64(s))...)
	}
	out.U = gum.Coverage * combined(out.Budget)
	return out, nil
}

// fillDefaults returns r with what the user left out, and lists it in out.
func (out *Determination) fillDefaults(r Reading, m *method) Reading {
	assume := func(what, value, source string) {
		out.Assumptions = append(out.Assumptions, refs.Assumption{What: what, Value: value, Source: source})
	}
	if m.pair && r.Pair == (Pair{}) {
		r.Pair = Pair25
		assume("reference temperatures of the scale", r.Pair.String(), "common practice; the pair is printed on the scale")
	}
	if m.float && r.Expansion == 0 {
		r.Expansion, r.ExpansionU = GlassExpansion, gum.Coverage*gum.Rectangular(glassExpansionLimits)
		assume("thermal expansion of the float", units.Trimmed(GlassExpansion, 3)+" per °C (glass)", "[iso1768]")
	}
	if m.compensated && r.Alpha == 0 {
		r.Alpha, r.AlphaU = CompensationAlpha, gum.Coverage*gum.Rectangular(compensationAlphaLimits)
		assume("temperature coefficient of the meter", units.Trimmed(CompensationAlpha, 3)+" per °C", "[specific-conductance]")
	}
	if r.U == 0 && m.usualU != nil {
		u := m.usualU(r)
		r.U = u.value
		assume("uncertainty of the reading", u.text, u.source)
	} else if r.U == 0 {
		out.Warnings = append(out.Warnings, "no uncertainty was given for the reading; it counts as exact")
	}
	if r.TemperatureU == 0 && m.usesTemperature {
		out.Warnings = append(out.Warnings, "no uncertainty was given for the temperature; it counts as exact")
	}
	return r
}
