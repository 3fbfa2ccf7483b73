package salinity

import "math"

// Coefficients of ln KW, the ion product of water, mol² per kg² of seawater on the
// total pH scale: those of 1/T, 1 and ln T; of S^½ those of 1/T, 1 and ln T; of S.
// The original paper has 148.9802 on another pH scale.
//
// Source: [millero1995], as [guide2007], chapter 5.
var waterLnKW = [7]float64{-13847.26, 148.9652, -23.6521, 118.67, -5.977, 1.0495, -0.01615}

// waterDomain is the range of the ion product.
var waterDomain = domain{"Millero ion product of water", Range{0, 45}, Range{0, 45}}

// ionProduct is KW at practical salinity s and T in kelvin.
func ionProduct(s, kelvin float64) float64 {
	c, ln := &waterLnKW, math.Log(kelvin)
	return math.Exp(c[0]/kelvin + c[1] + c[2]*ln + (c[3]/kelvin+c[4]+c[5]*ln)*math.Sqrt(s) + c[6]*s)
}
