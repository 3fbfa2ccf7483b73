package salinity

import (
	"math"

	"tidehold/refs/units"
)

// Coefficients of the oxygen concentration in mg/L in equilibrium with
// water-saturated air at one atmosphere, by ascending power of 1/T: of pure
// water (k) and of salinity (s). The paper prints k0 for umol/L and umol/kg too;
// the three differ by constants and by units only (see oxygenMicromolPerKg).
//
// Source: [bk1984], eq. (32) with the constant for mg/L.
var (
	bkFresh    = [5]float64{-139.34411, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11}
	bkSalinity = [3]float64{0.017674, -10.754, 2140.7}
)

// bkDomain as the paper states it.
var bkDomain = domain{"Benson and Krause oxygen saturation", Range{0, 40}, Range{0, 40}}

// StandardAtmosphereKPa is one standard atmosphere in kPa, exact.
const StandardAtmosphereKPa = 101.325

// bkPressure is the range of the pressure correction in kPa: 0.5 to 1.1 atm, as
// implementations that follow the source state it.
var bkPressure = Range{0.5 * StandardAtmosphereKPa, 1.1 * StandardAtmosphereKPa}

// OxygenSaturation returns the concentration of dissolved oxygen in mg/L of
// seawater in equilibrium with water-saturated air at a total pressure of one
// standard atmosphere.
//
// s is practical salinity, t is in °C (ITS-90). Valid for 0 ≤ s ≤ 40 and
// 0 ≤ t ≤ 40; outside, a *RangeError. Other published fits differ by 0.01 %
// (Garcia & Gordon) and 0.25 % (Weiss).
//
// Source: [bk1984], eq. (32).
func OxygenSaturation(s units.Practical, t units.Celsius) (float64, error) {
	if !bkDomain.holds(float64(s), float64(t)) {
		return 0, bkDomain.fault(float64(s), float64(t))
	}
	return bensonKrause(float64(s), IPTS68(t)), nil
}

// bensonKrause is the relation itself, in °C on IPTS-68, in mg/L.
func bensonKrause(s, t68 float64) float64 {
	u := 1 / (t68 + kelvinAtZero)
	k, b := &bkFresh, &bkSalinity
	// eq. (32)
	return math.Exp(k[0] + u*(k[1]+u*(k[2]+u*(k[3]+u*k[4]))) - s*(b[0]+u*(b[1]+u*b[2])))
}

// OxygenSaturationAt returns OxygenSaturation at a total pressure of kPa
// kilopascals: the station pressure where the water stands, not the pressure
// reduced to sea level that weather reports give.
//
// Valid for 50.66 to 111.46 kPa (0.5 to 1.1 atm) and as OxygenSaturation; outside, a *RangeError.
//
// Source: [bk1984], eq. (24) and table 2; vapour pressure [green1967].
func OxygenSaturationAt(s units.Practical, t units.Celsius, kPa float64) (float64, error) {
	c, err := OxygenSaturation(s, t)
	if err != nil {
		return 0, err
	}
	if !bkPressure.holds(kPa) {
		return 0, &RangeError{bkDomain.relation, "pressure", kPa, bkPressure.Low, bkPressure.High, "kPa"}
	}
	return c * oxygenPressureFactor(float64(s), IPTS68(t), kPa/StandardAtmosphereKPa), nil
}

// Coefficients of theta, the second virial term of oxygen, by ascending power of
// temperature in °C, and of the vapour pressure of seawater over S.
//
// Source: [bk1984], eq. (24) and table 2; vapour pressure [green1967].
var (
	bkTheta     = [3]float64{0.000975, -1.426e-5, 6.436e-8}
	vapourTerms = [8]float64{18.1973, 373.16, 3.1813e-7, 26.1205, 0.018726, 8.03945, 5.02802, 0.000537}
)

// oxygenPressureFactor is the ratio of the saturation at p atmospheres to that
// at one.
func oxygenPressureFactor(s, t, p float64) float64 {
	theta := bkTheta[0] + t*(bkTheta[1]+t*bkTheta[2])
	pw := vapourPressure(s, t)
	return p * (1 - pw/p) * (1 - theta*p) / ((1 - pw) * (1 - theta))
}

// vapourPressure is that of seawater in atmospheres.
func vapourPressure(s, t float64) float64 {
	v := &vapourTerms
	ratio := (t + kelvinAtZero) / v[1]
	boil := 1 - 1/ratio
	return (1 - v[7]*s) * math.Exp(v[0]*boil+
		v[2]*(1-math.Exp(v[3]*(1-ratio)))-
		v[4]*(1-math.Exp(v[5]*boil))-
		v[6]*math.Log(ratio))
}
