package salinity

import "tidehold/refs/units"

// uPS is u_PS, g/kg per unit of practical salinity: seawater of Reference
// Composition with S_P 35 holds exactly 35.16504 g of salt per kilogram.
//
// Source: [mfwm2008].
const uPS = 35.16504 / 35

// ReferenceSalinity returns grams of dissolved salt per kilogram of seawater of
// Reference Composition with practical salinity s. It is what a salt budget must
// use: it is conserved when waters mix, and it is 0.47 % larger than s.
//
// Stated for 2 ≤ s ≤ 42; the proportion is used for all of 0 to 42. Exact for
// Reference Composition only: for an artificial salt it is as good as the
// reading it came from. Inverse: PracticalFromReference.
//
// Source: [mfwm2008].
func ReferenceSalinity(s units.Practical) units.GramsPerKg { return units.GramsPerKg(uPS * s) }

// Proportion returns what a litre of seawater of salinity s holds of anything that its salts bring, as a share of
// what one of another salinity holds, both at 25 °C: waters that differ by purified water alone keep all that is
// dissolved in proportion. At 0 to 40 °C it differs from that by 0.2 % at most.
//
// Range of both and errors as Density; of must be above 0, or the share is not finite.
//
// Source: law of constant proportions, Reference Composition [mfwm2008]; density [eos80].
func Proportion(s, of units.Practical) (float64, error) {
	const c = 25
	is, err := Density(s, c)
	if err != nil {
		return 0, err
	}
	was, err := Density(of, c)
	if err != nil {
		return 0, err
	}
	return float64(s) * float64(is) / (float64(of) * float64(was)), nil
}

// PracticalFromReference returns the practical salinity of seawater that holds
// sr grams of salt per kilogram. It is the inverse of ReferenceSalinity.
//
// Source: [mfwm2008].
func PracticalFromReference(sr units.GramsPerKg) units.Practical { return units.Practical(sr / uPS) }
