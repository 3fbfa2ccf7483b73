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

// PracticalFromReference returns the practical salinity of seawater that holds
// sr grams of salt per kilogram. It is the inverse of ReferenceSalinity.
//
// Source: [mfwm2008].
func PracticalFromReference(sr units.GramsPerKg) units.Practical { return units.Practical(sr / uPS) }
