package salinity

import "tidehold/refs/units"

// SodiumD is the wavelength in nm of the sodium D line (mean of the pair), for
// which hand instruments are scaled.
const SodiumD = 589.3

// Coefficients of the refractive index of seawater at one atmosphere, relative to
// air, named as in the paper: T temperature in °C, L wavelength in µm (LM its
// inverse), S salinity. Stored copies of T3L print -1.705881e-9 or
// -1.705881e-10; the first reproduces handbook values of pure water at six
// temperatures to the fifth decimal, the second misses by 2.4e-5 at 30 °C.
//
// Source: [ms1990], terms of one atmosphere.
var ms = struct {
	A0, L2, LM2, LM4, LM6 float64
	T1, T2, T3, T4        float64
	TL, T2L, T3L          float64
	S0, S1LM2, S1T, S1T2  float64
	S1T3, S1TL            float64
}{
	A0: 1.3280657, L2: -4.5536802e-3, LM2: 2.5471707e-3, LM4: 7.501966e-6, LM6: 2.802632e-6,
	T1: -5.2883907e-6, T2: -3.0738272e-6, T3: 3.0124687e-8, T4: -2.0883178e-10,
	TL: 1.0508621e-5, T2L: 2.1282248e-7, T3L: -1.705881e-9,
	S0: 1.9029121e-4, S1LM2: 2.4239607e-6, S1T: -7.3960297e-7, S1T2: 8.9818478e-9,
	S1T3: 1.2078804e-10, S1TL: -3.589495e-7,
}

var (
	msDomain     = domain{"Millard and Seaver refractive index", Range{0, 40}, Range{0, 30}}
	msWavelength = Range{500, 700}
	qfDomain     = domain{"Quan and Fry refractive index", Range{0, 35}, Range{0, 30}}
	qfWavelength = Range{400, 700}
)

// indexFloor is the largest difference in salinity between the two published
// formulas of this file at the sodium D line over salinity 0 to 35 and 0 to
// 30 °C: nothing read from a refractive index is surer than that.
const indexFloor = 0.133

// RefractiveIndex returns the refractive index of seawater relative to air at one
// atmosphere, for light of the wavelength nm in nanometres (SodiumD for hand
// instruments).
//
// s is practical salinity, t is in °C. Valid for 0 ≤ s ≤ 40, 0 ≤ t ≤ 30 and 500
// to 700 nm; outside, a *RangeError. Stated accuracy 4e-7 for pure water, 4.7e-6
// for the salinity part; it differs from RefractiveIndexQuanFry by up to 2.4e-5,
// 0.13 in salinity. Inverse: SalinityFromIndex.
//
// Source: [ms1990], terms of one atmosphere.
func RefractiveIndex(s units.Practical, t units.Celsius, nm float64) (float64, error) {
	if err := indexArguments(&msDomain, msWavelength, float64(s), float64(t), nm); err != nil {
		return 0, err
	}
	water, slope := millardSeaver(float64(t), nm)
	return water + slope*float64(s), nil
}

// SalinityFromIndex returns the practical salinity of seawater whose refractive
// index relative to air, uncompensated and at its own temperature t, is n. The
// formula is linear in salinity, so the inverse is exact.
//
// Range as RefractiveIndex; the *RangeError for n gives the indices allowed. An
// error of 1e-4 in n is worth 0.55.
//
// Source: [ms1990], terms of one atmosphere.
func SalinityFromIndex(n float64, t units.Celsius, nm float64) (units.Practical, error) {
	if err := indexArguments(&msDomain, msWavelength, 0, float64(t), nm); err != nil {
		return 0, err
	}
	water, slope := millardSeaver(float64(t), nm)
	return invertIndex(&msDomain, n, water, slope)
}

// millardSeaver returns the index of pure water and its increase per unit of
// salinity.
func millardSeaver(t, nm float64) (water, perSalinity float64) {
	l := nm / 1000
	l2 := l * l
	c := &ms
	water = c.A0 + c.L2*l2 + (c.LM2+(c.LM4+c.LM6/l2)/l2)/l2 +
		t*(c.T1+t*(c.T2+t*(c.T3+t*c.T4))) +
		l*t*(c.TL+t*(c.T2L+t*c.T3L))
	perSalinity = c.S0 + c.S1LM2/l2 + t*(c.S1T+c.S1TL*l+t*(c.S1T2+t*c.S1T3))
	return water, perSalinity
}

// Coefficients of the refractive index of seawater at one atmosphere, relative to
// air, in the paper's order.
//
// Source: [qf1995], eq. (3).
var qf = [10]float64{1.31405, 1.779e-4, -1.05e-6, 1.6e-8, -2.02e-6, 15.868, 0.01155, -0.00423, -4382, 1.1455e6}

// RefractiveIndexQuanFry returns the same as RefractiveIndex by the other
// published formula, stated for 0 ≤ s ≤ 35, 0 ≤ t ≤ 30 and 400 to 700 nm.
//
// Source: [qf1995], eq. (3).
func RefractiveIndexQuanFry(s units.Practical, t units.Celsius, nm float64) (float64, error) {
	if err := indexArguments(&qfDomain, qfWavelength, float64(s), float64(t), nm); err != nil {
		return 0, err
	}
	water, slope := quanFry(float64(t), nm)
	return water + slope*float64(s), nil
}

// SalinityFromIndexQuanFry returns the same as SalinityFromIndex by the other
// published formula.
//
// Source: [qf1995], eq. (3).
func SalinityFromIndexQuanFry(n float64, t units.Celsius, nm float64) (units.Practical, error) {
	if err := indexArguments(&qfDomain, qfWavelength, 0, float64(t), nm); err != nil {
		return 0, err
	}
	water, slope := quanFry(float64(t), nm)
	return invertIndex(&qfDomain, n, water, slope)
}

func quanFry(t, nm float64) (water, perSalinity float64) {
	water = qf[0] + qf[4]*t*t + (qf[5]+qf[7]*t+(qf[8]+qf[9]/nm)/nm)/nm
	perSalinity = qf[1] + t*(qf[2]+t*qf[3]) + qf[6]/nm
	return water, perSalinity
}

func indexArguments(d *domain, wavelength Range, s, t, nm float64) error {
	if !d.holds(s, t) {
		return d.fault(s, t)
	}
	if !wavelength.holds(nm) {
		return &RangeError{d.relation, "wavelength", nm, wavelength.Low, wavelength.High, "nm"}
	}
	return nil
}

func invertIndex(d *domain, n, water, slope float64) (units.Practical, error) {
	s, ok := d.s.settle((n - water) / slope)
	if !ok {
		return 0, &RangeError{d.relation, "refractive index", n, water + slope*d.s.Low, water + slope*d.s.High, ""}
	}
	return units.Practical(s), nil
}
