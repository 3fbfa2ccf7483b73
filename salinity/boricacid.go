package salinity

import "math"

// Coefficients of ln KB of boric acid, mol per kg of seawater on the total pH scale:
// of 1/T those of 1, S^½, S, S^1.5 and S²; then of 1, S^½ and S; of ln T those of 1,
// S^½ and S; and of S^½·T. T in kelvin.
//
// Source: [dickson1990], as [guide2007], chapter 5.
var (
	boricPerT  = [5]float64{-8966.90, -2890.53, -77.942, 1.728, -0.0996}
	boricPlain = [3]float64{148.0248, 137.1942, 1.62142}
	boricLnT   = [3]float64{-24.4344, -25.085, -0.2474}
)

const boricRootT = 0.053105

// dicksonDomain is the range of the boric acid constant.
var dicksonDomain = domain{"Dickson boric acid", Range{5, 45}, Range{0, 45}}

// boricAcid is KB at practical salinity s and T in kelvin.
func boricAcid(s, kelvin float64) float64 {
	root, a, b, c := math.Sqrt(s), &boricPerT, &boricPlain, &boricLnT
	return math.Exp((a[0]+root*(a[1]+root*(a[2]+root*(a[3]+root*a[4]))))/kelvin +
		b[0] + b[1]*root + b[2]*s +
		(c[0]+c[1]*root+c[2]*s)*math.Log(kelvin) +
		boricRootT*root*kelvin)
}

// boronAt35 is the total boron of seawater of salinity 35, mol per kg; it goes with
// salinity.
//
// Source: [uppstrom1974], as [guide2007], chapter 5.
const boronAt35 = 0.0004157

// totalBoron in mol per kg of seawater.
func totalBoron(s float64) float64 { return boronAt35 * s / 35 }
