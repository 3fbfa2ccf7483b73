package salinity

import "tidehold/refs/units"

// GlassExpansion is the conventional thermal cubic expansion coefficient of the
// glass of hydrometers, per °C. It does not fit a plastic float.
//
// Source: [iso1768].
const GlassExpansion = 25e-6

// glassExpansionLimits is how far glasses in use are taken to lie from the
// conventional value, per °C: an assumption that spans the 23e-6 to 30e-6 seen
// in use on both sides.
const glassExpansionLimits = 5e-6

// Float is a float hydrometer. Its mass is fixed; it sinks to where it displaces
// that mass, so that away from the temperature it was marked at both the water
// and its own volume have changed.
type Float struct {
	// Pair is the temperature pair of its scale: marked at Pair.Sample, against
	// pure water at Pair.Water.
	Pair Pair
	// Expansion is the thermal cubic expansion coefficient of the float per °C:
	// GlassExpansion for glass.
	Expansion float64
}

// GlassFloat returns a glass float whose scale has the temperature pair p.
func GlassFloat(p Pair) Float { return Float{Pair: p, Expansion: GlassExpansion} }

// swelling is the float's volume at t over that at its marking temperature.
func (f Float) swelling(t units.Celsius) float64 {
	return 1 + f.Expansion*float64(t-f.Pair.Sample)
}

// densityAtUnitMark is the density in kg/m³ of the liquid at t in which the float shows the
// specific gravity 1; that of any other mark is in proportion.
func (f Float) densityAtUnitMark(t units.Celsius) (float64, error) {
	if !eosDomain.t.holds(float64(t)) {
		return 0, eosDomain.temperatureFault(float64(t))
	}
	if !expansionRange.holds(f.Expansion) {
		return 0, &RangeError{"float hydrometer", "thermal expansion", f.Expansion, expansionRange.Low, expansionRange.High, "per °C"}
	}
	water, err := Density(0, f.Pair.Water)
	if err != nil {
		return 0, err
	}
	return float64(water) / f.swelling(t), nil
}

// expansionRange holds the cubic expansion of every glass, metal and plastic that
// floats are made of, per °C. It keeps the swelling positive.
var expansionRange = Range{0, 1e-3}

// Density returns the density in kg/m³ of the liquid at t (°C, ITS-90) in which
// the float shows the specific gravity mark. Surface tension, the habit of reading
// the meniscus and the buoyancy of air are left out: they are constant for one
// instrument and belong to its calibration.
//
// Valid for 0 ≤ t ≤ 40 and expansions of 0 to 0.001 per °C; outside, a *RangeError.
//
// Source: [iso1768]; balance of the float's mass, water by [eos80].
func (f Float) Density(mark float64, t units.Celsius) (units.KgPerM3, error) {
	unit, err := f.densityAtUnitMark(t)
	return units.KgPerM3(mark * unit), err
}

// Salinity returns the practical salinity of seawater at t (°C, ITS-90) in which
// the float shows the specific gravity mark.
//
// Range as Density and SalinityFromDensity; the *RangeError for the mark gives the
// marks allowed at t.
//
// Source: [iso1768]; balance of the float's mass, seawater by [eos80].
func (f Float) Salinity(mark float64, t units.Celsius) (units.Practical, error) {
	unit, err := f.densityAtUnitMark(t)
	if err != nil {
		return 0, err
	}
	s, err := SalinityFromDensity(units.KgPerM3(mark*unit), t)
	return s, inGravity(err, mark, unit)
}

// Mark returns the specific gravity that the float shows in seawater of practical
// salinity s at t (°C, ITS-90). It is the inverse of Salinity.
//
// Source: [iso1768]; balance of the float's mass, seawater by [eos80].
func (f Float) Mark(s units.Practical, t units.Celsius) (float64, error) {
	unit, err := f.densityAtUnitMark(t)
	if err != nil {
		return 0, err
	}
	rho, err := Density(s, t)
	return float64(rho) / unit, err
}
