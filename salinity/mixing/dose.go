package mixing

import (
	"fmt"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// Basis is the litre for which a salt dose is quoted.
type Basis string

// The two bases: a litre of finished seawater, or of the purified water put in.
const (
	Finished Basis = "finished"
	Purified Basis = "purified"
)

// What the label of a mix means when it does not say: common practice.
const (
	LabelSalinity    = 35 // practical salinity
	LabelTemperature = 25 // °C
)

// LeastDryFraction is the share of salt in a mix whose magnesium and calcium salts
// all carry their full water of crystallisation, derived from the composition of
// reference seawater: 0.84 with the sulfate as MgSO4·7H2O, 0.853 without. A dose
// that implies less is hardly right.
//
// Source: [refcomp], [iupac]; derived here.
const LeastDryFraction = 0.84

// Dose says how much of a bagged salt mix makes which water. It is how the tool
// learns what share of the mix is salt: the rest is water of crystallisation and
// moisture, differs from mix to mix, and can be found with a test batch.
type Dose struct {
	// GPerL grams of mix, as weighed, per litre of the kind Per names.
	GPerL float64
	Per   Basis
	// Salinity the dose reaches, at Temperature (that of the finished litre, or
	// of the purified one).
	Salinity    units.Practical
	Temperature units.Celsius
}

// DoseError says that a dose contradicts itself: the mix would have to hold more
// salt than it weighs.
type DoseError struct {
	Dose Dose
	// DryFraction is the impossible share, above 1.
	DryFraction float64
	// LeastGPerL is the dose of a mix that is nothing but dry salt.
	LeastGPerL float64
}

func (e *DoseError) Error() string {
	return fmt.Sprintf("dose %s g/L per %s litre cannot reach salinity %s: that takes %s g/L of salt even from a mix without any moisture; "+
		"check the dose, the salinity it is for, and whether it is per finished or per purified litre",
		short(e.Dose.GPerL), e.Dose.Per, short(float64(e.Dose.Salinity)), short(e.LeastGPerL))
}

// DryFraction is the share of the mix, by weight, that ends up as dissolved sea
// salt: 0 < w ≤ 1. With S_R the reference salinity in g/kg, ρ and ρ_w the density
// of the finished and of the purified water in g/L, and D the dose in g/L,
//
//	per finished litre: w = S_R/1000 · ρ(S, T) / D
//	per purified litre: w = S_R/1000 · (ρ_w(T) + D) / D
//
// the first because a litre of the water holds S_R/1000 · ρ grams of salt, the
// second because ρ_w grams of water and D grams of mix make ρ_w + D of it.
//
// Returns an *InputError for a dose or salinity that is not above zero and for an
// unknown basis, a *salinity.RangeError outside 0 to 42 and 0 to 40 °C, and a
// *DoseError where w would exceed 1.
func (d Dose) DryFraction() (float64, error) {
	if err := checkPositive("salt dose", d.GPerL, "g/L"); err != nil {
		return 0, err
	}
	if d.Salinity == 0 {
		return 0, &InputError{What: "dose for salinity", Found: "0", Allowed: "a salinity above 0, up to 42"}
	}
	share := saltShare(d.Salinity)
	var w, least float64
	switch d.Per {
	case Finished:
		rho, err := salinity.Density(d.Salinity, d.Temperature)
		if err != nil {
			return 0, fmt.Errorf("salt dose: %w", err)
		}
		least = share * float64(rho)
		w = least / d.GPerL
	case Purified:
		rho, err := salinity.Density(0, d.Temperature)
		if err == nil {
			_, err = salinity.Density(d.Salinity, d.Temperature)
		}
		if err != nil {
			return 0, fmt.Errorf("salt dose: %w", err)
		}
		least = float64(rho) * share / (1 - share)
		w = share * (float64(rho) + d.GPerL) / d.GPerL
	default:
		return 0, &InputError{What: "dose per", Found: fmt.Sprintf("%q", string(d.Per)), Allowed: "finished or purified"}
	}
	if w > 1 {
		return 0, &DoseError{Dose: d, DryFraction: w, LeastGPerL: least}
	}
	return w, nil
}
