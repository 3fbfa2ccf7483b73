package salinity

import "math"

// The low-salinity extension subtracts two terms, a0 and b0 of PSS-78 divided by
// polynomials of 400 R_t and of 100 R_t.
//
// Source: [hill1986].
const (
	hillX = 400
	hillY = 100
)

// hill is PSS-78 with the extension of Hill, Dauphinee and Woods; x is the square
// root of the conductivity ratio R_t.
func hill(x, f float64) float64 {
	bigX, rootY := hillX*x*x, math.Sqrt(hillY)*x
	return pssSalinity(x, f) -
		pssA[0]/(1+bigX*(1.5+bigX)) -
		pssB[0]*f/(1+rootY*(1+rootY*(1+rootY)))
}

// scaledHill is hill multiplied by the factor that makes it meet PSS-78 exactly
// where that gives 2, at the same temperature; unscaled it misses by up to
// 3.3e-4. TEOS-10 does the same.
func scaledHill(x, f float64) float64 { return hillScale(f) * hill(x, f) }

func hillScale(f float64) float64 { return pssLow / hill(pssRoot(pssLow, f), f) }

// hillRoot inverts scaledHill for salinities below 2 by Newton's method kept
// inside a bracket whose lower end makes it find the upper of two roots near zero.
func hillRoot(s, f float64) float64 {
	scale := hillScale(f)
	low, high := hillBelowZero, pssRoot(pssLow, f)
	x := math.Min(high, math.Max(2*hillBelowZero, math.Sqrt(s/35)))
	for range 60 {
		miss := scale*hill(x, f) - s
		if miss > 0 {
			high = x
		} else {
			low = x
		}
		next := x - miss/(scale*hillSlope(x, f))
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-x) < 1e-16 {
			break
		}
		x = next
	}
	return x
}

// hillBelowZero is a value of x between the two roots of hill, where it is negative
// at every temperature: the curve falls from 0 at x = 0 to a minimum near
// x = 0.0026 to 0.0030 and is 0 again at 0.0051 to 0.0058.
const hillBelowZero = 0.0028

// hillSlope is the derivative of hill with respect to x.
func hillSlope(x, f float64) float64 {
	bigX, rootY := hillX*x*x, math.Sqrt(hillY)*x
	dx := 1 + bigX*(1.5+bigX)
	dy := 1 + rootY*(1+rootY*(1+rootY))
	return pssSlope(x, f) +
		pssA[0]*(1.5+2*bigX)*2*hillX*x/(dx*dx) +
		pssB[0]*f*(1+rootY*(2+3*rootY))*math.Sqrt(hillY)/(dy*dy)
}
