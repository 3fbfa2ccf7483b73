// Package mixing conserves mass, salt, heat and solutes when waters are mixed,
// corrected or made from purified water and dry salt. Volume is not conserved:
// it follows from mass and density.
//
// Salt is counted as reference salinity, grams of dissolved salt per kilogram of
// water, because practical salinity and litres do not add up. Heat is counted as
// enthalpy, so that the order of mixing does not matter. The heat of dissolving
// and of diluting salt is left out: it moves a batch by a few tenths of a degree.
//
//	question                                     function
//	several waters poured together               Blend
//	a new batch for a volume                     New
//	what this much water, or salt, makes         FromWater, FromSalt
//	a vat at the wrong salinity                  Correct
//	two waters for a volume at a salinity        Match
//	a system from one salinity to another        PlanShift
//	how long a heater takes                      Warm
//	where a body of water's temperature goes     Body
//	the pH of waters poured together             BlendPH
//	un-ionised ammonia after a change            ChangeAmmonia
package mixing

import (
	"tidehold/refs/units"
	"tidehold/salinity"
)

// Water is a parcel of water: the one type that carries water through the tool.
// Solutes are per litre of this water, keyed by the contaminant ids of refs
// (µg/L); a missing key is zero only where the caller has said so.
type Water struct {
	// Volume in litres at Temperature.
	Volume units.Litres
	// Salinity is practical salinity, 0 to 42.
	Salinity units.Practical
	// Temperature in °C (ITS-90).
	Temperature units.Celsius
	// Solutes in µg/L by contaminant id.
	Solutes map[string]float64
}

// MassKg is the mass of the water in kg: volume times density. Valid for the
// range of salinity.Density, whose error it returns, and for volumes of zero or more.
func (w Water) MassKg() (float64, error) {
	if err := checkVolume("volume", w.Volume); err != nil {
		return 0, err
	}
	rho, err := salinity.Density(w.Salinity, w.Temperature)
	return massKg(w.Volume, rho), err
}

// SaltKg is the mass of salt dissolved in the water, in kg: mass times reference
// salinity. Range as MassKg.
func (w Water) SaltKg() (float64, error) {
	m, err := w.MassKg()
	return m * saltShare(w.Salinity), err
}

// perMille is how many grams make a kilogram, and litres a cubic metre.
const perMille = 1000

// massKg is the mass of v litres of density rho.
func massKg(v units.Litres, rho units.KgPerM3) float64 { return float64(v) * float64(rho) / perMille }

// litres is the volume of kg kilograms of density rho.
func litres(kg float64, rho units.KgPerM3) units.Litres {
	return units.Litres(kg * perMille / float64(rho))
}

// saltShare is the dissolved salt in water of practical salinity s, kg per kg of
// that water.
func saltShare(s units.Practical) float64 {
	return float64(salinity.ReferenceSalinity(s)) / perMille
}

// practical is the inverse of saltShare.
func practical(share float64) units.Practical {
	return salinity.PracticalFromReference(units.GramsPerKg(share * perMille))
}
