package salinity

import "tidehold/refs/units"

// Molar masses in g/mol from IUPAC abridged atomic weights (Ca 40.078, C 12.011,
// O 15.999). One German degree (dKH) is 10 mg of CaO per litre; one mole of CaO or
// CaCO3 neutralises two equivalents of acid.
//
// Source: [dkh].
const (
	molarCaO   = 56.077
	molarCaCO3 = 100.086
	dkhCaO     = 10
)

const (
	meqPerDKH   = 2 * dkhCaO / molarCaO
	caco3PerMeq = molarCaCO3 / 2
)

// Alkalinity is one total alkalinity in the three units in use.
type Alkalinity struct {
	// MeqPerLitre in milliequivalents per litre (mmol/L of charge).
	MeqPerLitre float64 `json:"alkalinity_meq_l"`
	// DKH in German degrees: 10 mg of CaO per litre each.
	DKH float64 `json:"alkalinity_dkh"`
	// CaCO3 in mg/L as calcium carbonate.
	CaCO3 float64 `json:"alkalinity_mg_l_caco3"`
}

// AlkalinityFromMeq returns an alkalinity given in meq/L.
//
// Source: [dkh].
func AlkalinityFromMeq(meq float64) Alkalinity {
	return Alkalinity{MeqPerLitre: meq, DKH: meq / meqPerDKH, CaCO3: meq * caco3PerMeq}
}

// AlkalinityFromDKH returns an alkalinity given in German degrees. Copies that
// print 17.86 mg/L CaCO3 for 1 dKH are wrong; by definition it is 17.848.
//
// Source: [dkh].
func AlkalinityFromDKH(dkh float64) Alkalinity { return AlkalinityFromMeq(dkh * meqPerDKH) }

// AlkalinityFromMolality returns an alkalinity given, as ocean data are, in mmol
// of charge per kilogram of seawater of practical salinity s at t (°C, ITS-90).
// Range as Density.
//
// Source: [dkh]; density by [eos80].
func AlkalinityFromMolality(mmolPerKg float64, s units.Practical, t units.Celsius) (Alkalinity, error) {
	rho, err := Density(s, t)
	if err != nil {
		return Alkalinity{}, err
	}
	return AlkalinityFromMeq(mmolPerKg * float64(rho) / 1000), nil
}
