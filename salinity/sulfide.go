package salinity

import (
	"math"

	"tidehold/refs/units"
)

// Coefficients of ln K1 of hydrogen sulfide, mol per kg of seawater on the total pH
// scale: 1, 1/T, ln T, S^½ and S, T in kelvin.
//
// Source: [mpf1988].
var sulfideLnK = [5]float64{225.838, -13275.3, -34.6435, 0.3449, -0.0274}

var sulfideDomain = domain{"Millero, Plese and Fernandez hydrogen sulfide", Range{0, 45}, Range{0, 45}}

// molarH2S and molarS in g/mol, for sulfide reported as sulfur and the criterion set
// for H2S.
//
// Source: [iupac].
const (
	molarH2S = 34.08
	molarS   = 32.06
)

// UndissociatedSulfide returns the fraction of total sulfide (H2S + HS⁻) that is
// H2S, the form that harms: 1/(1 + 10^(pH − pK)). The second dissociation is far
// above any pH of a system and is left out.
//
// pH is on the total scale, s is practical salinity, t in °C (ITS-90). Valid for
// 0 ≤ s ≤ 45, 0 ≤ t ≤ 45 and 0 ≤ pH ≤ 14; outside, a *RangeError.
//
// Source: [mpf1988].
func UndissociatedSulfide(pH float64, s units.Practical, t units.Celsius) (float64, error) {
	if !phRange.holds(pH) {
		return 0, &RangeError{sulfideDomain.relation, "pH", pH, phRange.Low, phRange.High, ""}
	}
	if !sulfideDomain.holds(float64(s), float64(t)) {
		return 0, sulfideDomain.fault(float64(s), float64(t))
	}
	return 1 / (1 + math.Pow(10, pH)*sulfideK(float64(s), float64(t)+kelvinAtZero)), nil
}

// sulfideK is K1 of hydrogen sulfide.
func sulfideK(s, kelvin float64) float64 {
	c := &sulfideLnK
	return math.Exp(c[0] + c[1]/kelvin + c[2]*math.Log(kelvin) + c[3]*math.Sqrt(s) + c[4]*s)
}

// H2SPerSulfur is µg/L of H2S in one µg/L of sulfide as sulfur, when all of it is
// undissociated.
//
// Source: [iupac].
const H2SPerSulfur = molarH2S / molarS
