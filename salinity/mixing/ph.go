package mixing

import (
	"errors"

	"tidehold/salinity"
)

// Buffered is a parcel of water whose pH is known: on the total scale, with its total
// alkalinity in meq/L of this water.
type Buffered struct {
	Water
	PH             float64
	AlkalinityMeqL float64
}

// carbonate is the carbonate system of the parcel, per kilogram, and its mass.
func (b Buffered) carbonate() (c salinity.Carbonate, kg float64, err error) {
	if kg, err = b.MassKg(); err != nil {
		return c, 0, err
	}
	rho, err := salinity.Density(b.Salinity, b.Temperature)
	if err != nil {
		return c, 0, err
	}
	c, err = salinity.CarbonateFromPH(b.PH, b.AlkalinityMeqL*perMille/float64(rho), b.Salinity, b.Temperature)
	return c, kg, err
}

// BlendPH returns the pH (total scale) of waters poured together. What mixing
// conserves is alkalinity and dissolved inorganic carbon, so it is worked out from
// their means by mass, at the mixture's own salinity and temperature; gas exchange,
// phosphate, silicate and ammonia are left out. 30 L of pH 8.3 into 70 L of pH 7.9
// make 8.04, not 8.3.
//
// Valid for waters and a mixture of S 19 to 42, 2 to 35 °C and pH 5 to 10; outside, a
// *salinity.RangeError. Errors otherwise as Blend.
//
// Source: [lueker2000], [dickson1990], [millero1995], [uppstrom1974].
func BlendPH(waters ...Buffered) (float64, error) {
	plain := make([]Water, len(waters))
	var kg, alkalinity, carbon float64
	for i, w := range waters {
		plain[i] = Water{Volume: w.Volume, Salinity: w.Salinity, Temperature: w.Temperature}
		if w.Volume == 0 {
			continue
		}
		c, m, err := w.carbonate()
		if err != nil {
			return 0, err
		}
		kg, alkalinity, carbon = kg+m, alkalinity+m*c.Alkalinity, carbon+m*c.DIC
	}
	mix, err := Blend(plain...)
	if err != nil {
		return 0, err
	}
	c, err := salinity.CarbonateFromDIC(alkalinity/kg, carbon/kg, mix.Salinity, mix.Temperature)
	return c.PH, err
}

// BlendPHOrHighest is BlendPH where the carbonate constants hold. Where they do not, it is
// the highest pH among the waters, which is the worst for ammonia, and outside says how
// they fall short: pass it on.
//
// Errors are those of Blend; a pH outside 0 to 14 is the caller's to refuse.
func BlendPHOrHighest(waters ...Buffered) (pH float64, outside *salinity.RangeError, err error) {
	pH, err = BlendPH(waters...)
	if err == nil {
		return pH, nil, nil
	}
	if !errors.As(err, &outside) {
		return 0, nil, err
	}
	return highestPH(waters), outside, nil
}

// highestPH is the highest pH among the waters that have a volume.
func highestPH(waters []Buffered) float64 {
	pH := 0.0
	for _, w := range waters {
		if w.Volume > 0 {
			pH = max(pH, w.PH)
		}
	}
	return pH
}

// NaturalAlkalinityMeqL is the alkalinity of seawater of Reference Composition at a
// salinity and temperature, in meq/L: the stated default where a water's own is not
// known. What mixing does to pH hardly depends on it while both waters have the same.
// Range as salinity.Density.
//
// Source: [refcomp].
func NaturalAlkalinityMeqL(w Water) (float64, error) {
	const at35 = 2.304 // mmol of charge per kg of seawater
	a, err := salinity.AlkalinityFromMolality(at35*float64(w.Salinity)/35, w.Salinity, w.Temperature)
	return a.MeqPerLitre, err
}
