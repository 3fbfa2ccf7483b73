package salinity

import (
	"math"

	"tidehold/refs/units"
)

// Carbonate is the carbonate system of one water. Concentrations are in mmol per
// kilogram of seawater; alkalinity counts charge.
type Carbonate struct {
	// PH on the total scale.
	PH         float64 `json:"ph"`
	Alkalinity float64 `json:"alkalinity_mmol_kg"`
	// DIC is dissolved inorganic carbon, the sum of the next three.
	DIC          float64 `json:"dic_mmol_kg"`
	CO2          float64 `json:"co2_mmol_kg"`
	Bicarbonate  float64 `json:"hco3_mmol_kg"`
	CarbonateIon float64 `json:"co3_mmol_kg"`
	Borate       float64 `json:"borate_mmol_kg"`
}

// What the solver accepts: more than any water that animals live in, and little
// enough that the charge balance has one root between the ends of pH.
var (
	carbonatePH = Range{5, 10}
	alkMmolKg   = Range{0, 50}
	dicMmolKg   = Range{0, 1000}
)

// millimoles in a mole.
const millimoles = 1000

// equilibria are the constants at one salinity and temperature: mol per kg of
// seawater, total pH scale; boron is the total.
type equilibria struct{ k1, k2, kb, kw, boron float64 }

// equilibriaAt fails outside S 19 to 43 and 2 to 35 °C, where the constants of
// carbonic acid were measured.
func equilibriaAt(s units.Practical, t units.Celsius) (equilibria, error) {
	if !luekerDomain.holds(float64(s), float64(t)) {
		return equilibria{}, luekerDomain.fault(float64(s), float64(t))
	}
	x, kelvin := float64(s), float64(t)+kelvinAtZero
	return equilibria{lueker(&luekerK1, x, kelvin), lueker(&luekerK2, x, kelvin),
		boricAcid(x, kelvin), ionProduct(x, kelvin), totalBoron(x)}, nil
}

// CarbonateFromPH returns the carbonate system of a water whose pH (total scale) and
// total alkalinity (mmol of charge per kg of seawater) are known.
//
// Alkalinity is [HCO3] + 2[CO3] + [B(OH)4] + [OH] − [H]; phosphate, silicate and
// ammonia are left out (1 mg/L of ammonia as N would be 0.07 mmol/kg).
// Valid for S 19 to 43, 2 to 35 °C, pH 5 to 10 and an alkalinity up to 50 that is more
// than borate and hydroxide hold at that pH; outside, a *RangeError.
//
// Source: [lueker2000], [dickson1990], [millero1995], [uppstrom1974].
func CarbonateFromPH(pH, alkalinity float64, s units.Practical, t units.Celsius) (Carbonate, error) {
	if !carbonatePH.holds(pH) {
		return Carbonate{}, &RangeError{"carbonate system", "pH", pH, carbonatePH.Low, carbonatePH.High, ""}
	}
	e, err := equilibriaAt(s, t)
	if err != nil {
		return Carbonate{}, err
	}
	h := math.Pow(10, -pH)
	other := e.otherAlkalinity(h) * millimoles
	if !(Range{math.Max(0, other), alkMmolKg.High}).holds(alkalinity) {
		return Carbonate{}, &RangeError{"carbonate system", "alkalinity", alkalinity, math.Max(0, other), alkMmolKg.High, "mmol/kg"}
	}
	dic := (alkalinity - other) * (1 + h/e.k1 + e.k2/h) / (1 + 2*e.k2/h)
	return e.parts(h, alkalinity, dic), nil
}

// CarbonateFromDIC returns the carbonate system of a water whose total alkalinity
// and dissolved inorganic carbon (mmol per kg of seawater) are known: what mixing
// conserves. The pH is the root of the charge balance, found between pH 5 and 10 to
// the last digits of a float64.
//
// Range as CarbonateFromPH, with DIC 0 to 1000; a pair whose pH lies outside 5 to 10
// is a *RangeError of the alkalinity.
//
// Source: [lueker2000], [dickson1990], [millero1995], [uppstrom1974].
func CarbonateFromDIC(alkalinity, dic float64, s units.Practical, t units.Celsius) (Carbonate, error) {
	if !dicMmolKg.holds(dic) {
		return Carbonate{}, &RangeError{"carbonate system", "dissolved inorganic carbon", dic, dicMmolKg.Low, dicMmolKg.High, "mmol/kg"}
	}
	e, err := equilibriaAt(s, t)
	if err != nil {
		return Carbonate{}, err
	}
	low, high := e.alkalinity(carbonatePH.Low, dic), math.Min(e.alkalinity(carbonatePH.High, dic), alkMmolKg.High)
	if !(Range{low, high}).holds(alkalinity) {
		return Carbonate{}, &RangeError{"carbonate system", "alkalinity", alkalinity, low, high, "mmol/kg"}
	}
	h := math.Pow(10, -e.solvePH(alkalinity, dic))
	return e.parts(h, alkalinity, dic), nil
}

// otherAlkalinity is what is not carbonate, mol/kg: [B(OH)4] + [OH] − [H].
func (e *equilibria) otherAlkalinity(h float64) float64 {
	return e.boron*e.kb/(e.kb+h) + e.kw/h - h
}

// alkalinity is that of a water of dic mmol/kg at a pH, in mmol/kg. It rises with pH.
func (e *equilibria) alkalinity(pH, dic float64) float64 {
	h := math.Pow(10, -pH)
	return dic*(1+2*e.k2/h)/(1+h/e.k1+e.k2/h) + millimoles*e.otherAlkalinity(h)
}

// buffering is how fast the alkalinity rises with pH at fixed dic, mmol/kg per unit.
func (e *equilibria) buffering(pH, dic float64) float64 {
	h := math.Pow(10, -pH)
	k12 := e.k1 * e.k2
	d := h*(h+e.k1) + k12
	borate := e.boron * e.kb * h / ((e.kb + h) * (e.kb + h))
	return math.Ln10 * (dic*e.k1*h*(h*(h+4*e.k2)+k12)/(d*d) + millimoles*(borate+e.kw/h+h))
}

// solvePH finds the pH between the ends of carbonatePH at which the alkalinity is
// that given, by Newton's method with the root kept bracketed: a step that leaves the
// bracket halves it instead. Some five steps; the most that halving alone would take
// ends the loop.
func (e *equilibria) solvePH(alkalinity, dic float64) float64 {
	const (
		closeEnough = 1e-13 // of pH
		most        = 60    // halvings of 5 units leave less than the last digit
	)
	low, high, x := carbonatePH.Low, carbonatePH.High, 8.0
	for range most {
		excess := e.alkalinity(x, dic) - alkalinity
		if excess > 0 {
			high = x
		} else {
			low = x
		}
		next := x - excess/e.buffering(x, dic)
		if !(next > low && next < high) {
			next = low + (high-low)/2
		}
		if math.Abs(next-x) < closeEnough {
			return next
		}
		x = next
	}
	return x
}

// parts splits dic (mmol/kg) at a hydrogen ion concentration h in mol/kg.
func (e *equilibria) parts(h, alkalinity, dic float64) Carbonate {
	co2 := dic / (1 + e.k1/h*(1+e.k2/h))
	return Carbonate{
		PH: -math.Log10(h), Alkalinity: alkalinity, DIC: dic,
		CO2: co2, Bicarbonate: co2 * e.k1 / h, CarbonateIon: co2 * e.k1 / h * e.k2 / h,
		Borate: millimoles * e.boron * e.kb / (e.kb + h),
	}
}
