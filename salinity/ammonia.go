package salinity

import (
	"math"

	"tidehold/refs/units"
)

// AmmoniaMethod names a published dissociation constant of ammonium in seawater.
// The methods differ less in the ammonia than in the pH scale they belong to.
type AmmoniaMethod string

// The published alternatives.
const (
	// CleggWhitfieldTotal: pH on the total scale, as certified seawater buffers
	// define it. The default where the question is harm: it gives the most NH3.
	CleggWhitfieldTotal AmmoniaMethod = "clegg-whitfield-total"
	// CleggWhitfieldTotalPerKg is the same with the constant converted from moles
	// per kilogram of water, as published, to moles per kilogram of seawater.
	CleggWhitfieldTotalPerKg AmmoniaMethod = "clegg-whitfield-total-per-kg-seawater"
	// CleggWhitfieldFree: pH on the free hydrogen ion scale.
	CleggWhitfieldFree AmmoniaMethod = "clegg-whitfield-free"
	// YaoMillero: pH on the seawater scale.
	YaoMillero AmmoniaMethod = "yao-millero"
	// Bell: the pH scale is not stated where it was seen.
	Bell AmmoniaMethod = "bell"
	// EPA1989 is the formula behind the saltwater criteria of the United States.
	EPA1989 AmmoniaMethod = "epa-1989"
)

// ammoniaRelation is one published constant: pK as a function of practical
// salinity and temperature in °C.
type ammoniaRelation struct {
	method AmmoniaMethod
	scale  string
	source string
	domain domain
	pK     func(s, t float64) float64
}

// ammoniaRelations in the order in which they are shown: the default for harm
// first, then by falling fraction, the criteria's own last.
var ammoniaRelations = []ammoniaRelation{
	{CleggWhitfieldTotal, "total", "cw1995", domain{"Clegg and Whitfield ammonia, total scale", Range{0, 40}, Range{-2, 40}}, cleggWhitfieldTotal},
	{CleggWhitfieldTotalPerKg, "total", "cw1995", domain{"Clegg and Whitfield ammonia, total scale", Range{0, 40}, Range{-2, 40}}, cleggWhitfieldTotalPerKg},
	// The source's own range was not seen: held to that of Clegg and Whitfield.
	{YaoMillero, "seawater", "ym1995", domain{"Yao and Millero ammonia", Range{0, 40}, Range{0, 40}}, yaoMillero},
	{CleggWhitfieldFree, "free", "cw1995", domain{"Clegg and Whitfield ammonia, free scale", Range{0, 40}, Range{-2, 40}}, cleggWhitfieldFree},
	{Bell, "not stated", "bell2008", domain{"Bell ammonia", Range{5, 40}, Range{5, 25}}, bell},
	// The printed tables run over S 10 to 30 and 0 to 35 °C; the salinity enters
	// through the ionic strength, which is used here from 0 to 40.
	{EPA1989, "as the criteria document", "epa1989", domain{"EPA 1989 ammonia", Range{0, 40}, Range{0, 35}}, epa1989},
}

// epaTabulatedSalinity is the range of salinity of the printed tables.
//
// Source: [epa1989].
var epaTabulatedSalinity = Range{10, 30}

// phRange is the range of the pH scale.
var phRange = Range{0, 14}

// AmmoniaMethods returns the published alternatives in the order they are shown.
func AmmoniaMethods() []AmmoniaMethod {
	list := make([]AmmoniaMethod, len(ammoniaRelations))
	for i, r := range ammoniaRelations {
		list[i] = r.method
	}
	return list
}

func ammoniaRelationOf(m AmmoniaMethod) (ammoniaRelation, bool) {
	for _, r := range ammoniaRelations {
		if r.method == m {
			return r, true
		}
	}
	return ammoniaRelation{}, false
}

// UnionisedFraction returns the fraction of total ammonia (NH3 + NH4⁺) that is
// un-ionised NH3: 1/(1 + 10^(pK − pH)).
//
// pH is taken to be on the method's own scale; s is practical salinity, t is in °C
// (ITS-90). Outside the range of the method, or of 0 to 14 for pH, a *RangeError.
//
// Source: [cw1995], [ym1995], [bell2008] or [epa1989], by method.
func UnionisedFraction(m AmmoniaMethod, pH float64, s units.Practical, t units.Celsius) (float64, error) {
	r, ok := ammoniaRelationOf(m)
	if !ok {
		return 0, &MethodError{string(m)}
	}
	return r.fraction(pH, float64(s), float64(t))
}

func (r *ammoniaRelation) fraction(pH, s, t float64) (float64, error) {
	if !phRange.holds(pH) {
		return 0, &RangeError{r.domain.relation, "pH", pH, phRange.Low, phRange.High, ""}
	}
	if !r.domain.holds(s, t) {
		return 0, r.domain.fault(s, t)
	}
	return 1 / (1 + math.Pow(10, r.pK(s, t)-pH)), nil
}

// MethodError says that a name is not that of a published method known here.
type MethodError struct{ Name string }

func (e *MethodError) Error() string {
	text := "no ammonia method " + `"` + e.Name + `"; known: `
	for i, m := range AmmoniaMethods() {
		if i > 0 {
			text += ", "
		}
		text += string(m)
	}
	return text
}

// pK of ammonium in pure water at 298.15 K and its temperature coefficient in K.
//
// Source: [cw1995].
const (
	cwPK25  = 9.244605
	cwSlope = 2729.33
)

func cleggWhitfieldWater(kelvin float64) float64 {
	return cwPK25 - cwSlope*(1/298.15-1/kelvin)
}

// Coefficients of the stoichiometric constant on the total scale: for each power
// of salinity (0.25, 0.5, 1.5, 2, 2.5) those of 1, T^0.5, T and 1/T.
//
// Source: [cw1995], as two independent copies give it.
var cwTotal = [5][4]float64{
	{0.04203362, 0, 0, -11.24742},
	{-13.64160, 1.176949, -0.02860785, 545.4834},
	{-0.1462507, 0.009022648, -1.471361e-4, 10.54250},
	{0.004669309, -1.691742e-4, 0, -0.5677934},
	{-2.354039e-5, 0, 0, 0.009698623},
}

var cwTotalPowers = [5]float64{0.25, 0.5, 1.5, 2, 2.5}

func cleggWhitfieldTotal(s, t float64) float64 {
	k := t + kelvinAtZero
	pK, root := cleggWhitfieldWater(k), math.Sqrt(k)
	for i, c := range cwTotal {
		pK += (c[0] + c[1]*root + c[2]*k + c[3]/k) * math.Pow(s, cwTotalPowers[i])
	}
	return pK
}

// waterPerSeawater converts the constant from moles per kilogram of water to moles
// per kilogram of seawater: 1 − 0.001005·S.
//
// Source: [cw1995], as implementations convert it.
const waterPerSeawater = 0.001005

func cleggWhitfieldTotalPerKg(s, t float64) float64 {
	return cleggWhitfieldTotal(s, t) - math.Log10(1-waterPerSeawater*s)
}

// Coefficients on the free scale: for each power of salinity (0.5, 1, 2, 3) those
// of 1, T, T² and 1/T. One copy prints 7.14045e-5 for 7.1047e-5 (4e-4 in pK).
//
// Source: [cw1995], as two independent copies give it.
var cwFree = [4][4]float64{
	{0.0500616, 0, -2.029559e-7, -9.412696},
	{-0.0142372, 1.46041e-5, 0, 3.730005},
	{7.1047e-5, 0, 0, -0.0229021},
	{-5.521278e-7, 0, 0, 1.95413e-4},
}

var cwFreePowers = [4]float64{0.5, 1, 2, 3}

func cleggWhitfieldFree(s, t float64) float64 {
	k := t + kelvinAtZero
	pK := cleggWhitfieldWater(k)
	for i, c := range cwFree {
		pK += (c[0] + c[1]*k + c[2]*k*k + c[3]/k) * math.Pow(s, cwFreePowers[i])
	}
	return pK
}

// Coefficients of ln K on the seawater scale: of 1/T, T and 1; of S^0.5 and
// S^0.5/T; of S and S/T.
//
// Source: [ym1995].
var ymLnK = [7]float64{-6285.33, 0.0001635, -0.25444, 0.46532, -123.7184, -0.01992, 3.17556}

func yaoMillero(s, t float64) float64 {
	k, c := t+kelvinAtZero, &ymLnK
	lnK := c[0]/k + c[1]*k + c[2] + (c[3]+c[4]/k)*math.Sqrt(s) + (c[5]+c[6]/k)*s
	return -lnK / math.Ln10
}

// Coefficients of pK: 1, t in °C, S. A copy that uses kelvin is wrong.
//
// Source: [bell2008], corrigendum.
var bellPK = [3]float64{10.0423, -0.0315536, 0.003071}

func bell(s, t float64) float64 { return bellPK[0] + bellPK[1]*t + bellPK[2]*s }

// Coefficients of the ionic strength I = i0·S/(1000 − i1·S) and of
// pK = p0 + p1·I + p2·(298 − T) + p3·P/T, with T in kelvin and P = 1 atm. The
// document's 298 invites T = t + 273; the printed tables fit t + 273.15.
//
// Source: [epa1989].
var (
	epaIonic = [2]float64{19.9273, 1.005109}
	epaPK    = [4]float64{9.245, 0.116, 0.0324, 0.0415}
)

func epa1989(s, t float64) float64 {
	k := t + kelvinAtZero
	ionic := epaIonic[0] * s / (1000 - epaIonic[1]*s)
	return epaPK[0] + epaPK[1]*ionic + epaPK[2]*(298-k) + epaPK[3]/k
}
