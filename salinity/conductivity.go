package salinity

import (
	"math"

	"tidehold/refs/units"
)

// c3515 is C(35, 15 °C, 0): the conductivity in mS/cm of seawater of practical
// salinity 35 at 15 °C (IPTS-68) and one atmosphere.
//
// Source: [culkin1980].
const c3515 = 42.914

// Coefficients of the Practical Salinity Scale 1978: of the square root of the
// conductivity ratio at 15 °C (a), of its temperature correction (b), and of the
// conductivity of seawater of salinity 35 against temperature (c).
//
// Source: [pss78], as [unesco44], eqs. (1) to (3), pp. 6-7.
var (
	pssA = [6]float64{0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081}
	pssB = [6]float64{0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144}
	pssC = [5]float64{0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9}
)

// pssK is k of the temperature correction f = (t-15)/(1+k(t-15)).
//
// Source: [pss78], as [unesco44], eq. (2), p. 7.
const pssK = 0.0162

// pssLow is the salinity below which PSS-78 is not stated and the low-salinity
// extension takes over.
const pssLow = 2

// pssDomain: PSS-78 is stated for -2 to 35 °C and S 2 to 42; the extension takes
// it to 0. The bound is applied to the ITS-90 temperature: 35 °C there is
// 35.008 °C on the scale of the paper.
var pssDomain = domain{"PSS-78 conductivity", Range{0, 42}, Range{-2, 35}}

// FromConductivity returns practical salinity from the conductivity c in mS/cm
// that the water has at its own temperature t (°C, ITS-90) and one atmosphere:
// not a value compensated to 25 °C (see FromCompensatedConductivity).
//
// Valid for -2 ≤ t ≤ 35 and conductivities from 0 to that of salinity 42 at t;
// outside, it returns a *RangeError that gives those conductivities. Below
// salinity 2 the low-salinity extension is used, scaled so that the two meet at
// 2. Below about 2 µS/cm the extension gives values between -0.0003 and 0; they
// are below its resolution and are returned as 0.
//
// Source: [pss78], as [unesco44], eqs. (1) to (3), pp. 6-7; below 2: [hill1986].
func FromConductivity(c units.MilliSiemensPerCm, t units.Celsius) (units.Practical, error) {
	if !(c >= 0) || !pssDomain.t.holds(float64(t)) {
		return conductivityAtLimit(float64(c), math.NaN(), float64(t))
	}
	t68 := IPTS68(t)
	f := pssF(t68)
	x := math.Sqrt(float64(c) / (c3515 * pssRt(t68)))
	s := pssSalinity(x, f)
	if s < pssLow {
		return units.Practical(math.Max(0, scaledHill(x, f))), nil
	}
	if s <= pssDomain.s.High {
		return units.Practical(s), nil
	}
	return conductivityAtLimit(float64(c), s, float64(t))
}

// conductivityAtLimit settles a salinity that the fast path found outside its range.
func conductivityAtLimit(c, s, t float64) (units.Practical, error) {
	if !pssDomain.t.holds(t) {
		return 0, pssDomain.temperatureFault(t)
	}
	if s, ok := pssDomain.s.settle(s); ok {
		return units.Practical(s), nil
	}
	high := pssConductivity(pssDomain.s.High, IPTS68(units.Celsius(t)))
	return 0, &RangeError{pssDomain.relation, "conductivity", c, 0, high, "mS/cm"}
}

// pssRt is r_t: conductivity at t68 over that at 15 °C, for salinity 35, eq. (3).
func pssRt(t float64) float64 {
	return pssC[0] + t*(pssC[1]+t*(pssC[2]+t*(pssC[3]+t*pssC[4])))
}

// pssF is the factor of the temperature correction, eq. (2).
func pssF(t68 float64) float64 { return (t68 - 15) / (1 + pssK*(t68-15)) }

// pssSalinity is eq. (1) with x the square root of the conductivity ratio R_t.
// The two polynomials are added coefficient by coefficient and their terms paired
// (Estrin's scheme): most of the work then need not wait for x, a division and a
// square root away.
func pssSalinity(x, f float64) float64 {
	a, b := &pssA, &pssB
	x2 := x * x
	k01 := a[0] + f*b[0] + x*(a[1]+f*b[1])
	k23 := a[2] + f*b[2] + x*(a[3]+f*b[3])
	k45 := a[4] + f*b[4] + x*(a[5]+f*b[5])
	return k01 + x2*(k23+x2*k45)
}

// pssSlope is the derivative of pssSalinity with respect to x.
func pssSlope(x, f float64) float64 {
	a, b := &pssA, &pssB
	k1, k2, k3 := a[1]+f*b[1], a[2]+f*b[2], a[3]+f*b[3]
	k4, k5 := a[4]+f*b[4], a[5]+f*b[5]
	return k1 + x*(2*k2+x*(3*k3+x*(4*k4+x*5*k5)))
}

// Conductivity returns the conductivity in mS/cm that water of practical
// salinity s has at t (°C, ITS-90) and one atmosphere: the actual one at t, not
// one compensated to 25 °C.
//
// Valid for 0 ≤ s ≤ 42 and -2 ≤ t ≤ 35; outside, a *RangeError. At s = 0 it
// returns the largest conductivity that the relation calls 0, 1 to 2 µS/cm.
// Inverse: FromConductivity.
//
// Source: [pss78], as [unesco44], eqs. (1) to (3), pp. 6-7; below 2: [hill1986]; solved by Halley's and Newton's methods.
func Conductivity(s units.Practical, t units.Celsius) (units.MilliSiemensPerCm, error) {
	if !pssDomain.holds(float64(s), float64(t)) {
		return 0, pssDomain.fault(float64(s), float64(t))
	}
	return units.MilliSiemensPerCm(pssConductivity(float64(s), IPTS68(t))), nil
}

func pssConductivity(s, t68 float64) float64 {
	x := pssRoot(s, pssF(t68))
	return x * x * pssRt(t68) * c3515
}

// pssRoot returns the square root of the conductivity ratio R_t of water of
// salinity s: the upper root where s is so small that there are two.
//
// From a start within 0.1 % one step of Halley's method, whose miss shrinks with its
// cube, and one of Newton's reach rounding.
func pssRoot(s, f float64) float64 {
	if s < pssLow {
		return hillRoot(s, f)
	}
	// Named one by one: an array of them would go through memory at every use.
	a, b := &pssA, &pssB
	k0, k1, k2 := a[0]+f*b[0], a[1]+f*b[1], a[2]+f*b[2]
	k3, k4, k5 := a[3]+f*b[3], a[4]+f*b[4], a[5]+f*b[5]
	value := func(x float64) float64 { return k0 + x*k1 + x*x*(k2+x*k3+x*x*(k4+x*k5)) }
	slope := func(x float64) float64 { return k1 + x*2*k2 + x*x*(3*k3+x*4*k4+x*x*5*k5) }
	x := pssStart(math.Sqrt(s), f)
	miss, d, bend := value(x)-s, slope(x), 2*k2+x*6*k3+x*x*(12*k4+x*20*k5)
	x -= 2 * miss * d / (2*d*d - miss*bend)
	return x - (value(x)-s)/slope(x)
}

// pssStart is pssRoot to 0.1 % for salinities from pssLow to 42, by a fit of our own in y,
// the square root of the salinity: it decides how soon the answer is found, not what it is.
func pssStart(y, f float64) float64 {
	return 1.23019869e-2 + f*1.39767662e-5 + y*(1.83983304e-1+f*9.65736421e-5+y*(-2.88637519e-3-f*1.66497540e-5))
}
