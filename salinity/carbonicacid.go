package salinity

import "math"

// Coefficients of log10 K1 and log10 K2 of carbonic acid, mol per kg of seawater on
// the total pH scale: those of 1/T, 1, ln T, S and S², T in kelvin.
//
// Source: [lueker2000], as [guide2007], chapter 5, pp. 13-14.
var (
	luekerK1 = [5]float64{-3633.86, 61.2172, -9.67770, 0.011555, -0.0001152}
	luekerK2 = [5]float64{-471.78, -25.9290, 3.16967, 0.01781, -0.0001122}
)

// luekerDomain is the narrowest of the four constants, so it is that of the whole
// carbonate system.
var luekerDomain = domain{"Lueker carbonic acid", Range{19, 43}, Range{2, 35}}

// lueker is 10 to the polynomial c.
func lueker(c *[5]float64, s, kelvin float64) float64 {
	return math.Pow(10, c[0]/kelvin+c[1]+c[2]*math.Log(kelvin)+s*(c[3]+s*c[4]))
}
