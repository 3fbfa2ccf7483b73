package mixing

import (
	"fmt"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// Batch is a batch of new water and what goes into it.
type Batch struct {
	// SaltKg of the mix, as weighed.
	SaltKg float64 `json:"salt_kg"`
	// Water to put in: purified, in litres at its own temperature, and its mass.
	Water   units.Litres `json:"water_l"`
	WaterKg float64      `json:"water_kg"`
	// Volume and mass of the finished batch.
	Volume units.Litres `json:"volume_l"`
	MassKg float64      `json:"mass_kg"`
	// DryFraction is the share of the mix that is salt.
	DryFraction float64 `json:"dry_fraction"`
	// HeatKWh brings the purified water from its own temperature to that of the
	// batch, without losses; negative when it has to cool.
	HeatKWh float64 `json:"heat_kwh"`
	// Salinity and Temperature of the finished batch.
	Salinity    units.Practical `json:"salinity"`
	Temperature units.Celsius   `json:"temp_c"`
}

// Recipe is what every batch of one kind has in common.
type Recipe struct {
	Salinity    units.Practical
	Temperature units.Celsius
	// Source is the temperature of the purified water as it is measured out.
	Source units.Celsius
	Dose   Dose
}

// New returns the batch that fills volume with water of salinity s and
// temperature t, from purified water at source and a mix with the given dose.
//
// Errors: a volume that is not above zero (*InputError), anything outside 0 to 42
// and 0 to 40 °C (*salinity.RangeError), a dose that cannot be (Dose.DryFraction),
// a mix too weak for the salinity (*WeakError).
func New(volume units.Litres, s units.Practical, t, source units.Celsius, d Dose) (Batch, error) {
	if err := checkPositive("volume", float64(volume), "L"); err != nil {
		return Batch{}, err
	}
	return Recipe{s, t, source, d}.batch(func(share, dry float64, rho, rhoWater units.KgPerM3) float64 {
		return massKg(volume, rho)
	})
}

// FromWater returns the batch that a volume of purified water at r.Source makes.
// Errors as New.
func FromWater(water units.Litres, r Recipe) (Batch, error) {
	if err := checkPositive("purified water", float64(water), "L"); err != nil {
		return Batch{}, err
	}
	return r.batch(func(share, dry float64, rho, rhoWater units.KgPerM3) float64 {
		// water + mix = mass, and dry · mix = share · mass
		return massKg(water, rhoWater) / (1 - share/dry)
	})
}

// FromSalt returns the batch that a weight of the mix makes. At salinity 0 there
// is none. Errors as New.
func FromSalt(saltKg float64, r Recipe) (Batch, error) {
	if err := checkPositive("salt", saltKg, "kg"); err != nil {
		return Batch{}, err
	}
	if r.Salinity == 0 {
		return Batch{}, &InputError{What: "salinity", Found: "0", Allowed: "a salinity above 0, up to 42", Hint: "no amount of salt makes fresh water"}
	}
	return r.batch(func(share, dry float64, rho, rhoWater units.KgPerM3) float64 {
		return saltKg * dry / share
	})
}

// WeakError says that a mix holds too little salt to reach a salinity: even
// without water it would fall short.
type WeakError struct {
	Salinity    units.Practical
	DryFraction float64
}

func (e *WeakError) Error() string {
	return fmt.Sprintf("salinity %s cannot be reached with this salt: by its dose only %s %% of its weight is salt; check the dose",
		short(float64(e.Salinity)), short(e.DryFraction*100))
}

// batch works a recipe out for the mass in kg that massOf returns, given the salt
// share and dry fraction, and the densities of the finished and purified water.
func (r Recipe) batch(massOf func(share, dry float64, rho, rhoWater units.KgPerM3) float64) (Batch, error) {
	rho, err := salinity.Density(r.Salinity, r.Temperature)
	if err != nil {
		return Batch{}, err
	}
	rhoWater, err := salinity.Density(0, r.Source)
	if err != nil {
		return Batch{}, fmt.Errorf("purified water: %w", err)
	}
	dry, err := r.Dose.DryFraction()
	if err != nil {
		return Batch{}, err
	}
	share := saltShare(r.Salinity)
	if share >= dry {
		return Batch{}, &WeakError{r.Salinity, dry}
	}
	mass := massOf(share, dry, rho, rhoWater)
	salt := mass * share / dry
	heat, err := heatKWh(mass, r.Salinity, r.Source, r.Temperature)
	return Batch{
		SaltKg:      salt,
		Water:       litres(mass-salt, rhoWater),
		WaterKg:     mass - salt,
		Volume:      litres(mass, rho),
		MassKg:      mass,
		DryFraction: dry,
		HeatKWh:     heat,
		Salinity:    r.Salinity,
		Temperature: r.Temperature,
	}, err
}

// jPerKWh is exact: 1 kWh is 3.6 MJ (NIST SP 811, 2008, appendix B.8).
const jPerKWh = 3.6e6

// heatKWh takes water of salinity s from one temperature to another.
func heatKWh(kg float64, s units.Practical, from, to units.Celsius) (float64, error) {
	a, err := salinity.Enthalpy(s, from)
	if err != nil {
		return 0, err
	}
	b, err := salinity.Enthalpy(s, to)
	return kg * (b - a) / jPerKWh, err
}
