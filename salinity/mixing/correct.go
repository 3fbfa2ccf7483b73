package mixing

import (
	"fmt"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// Means is what a vat can be corrected with.
type Means struct {
	// Dose of the salt mix; nil when there is none, which is enough to go down.
	Dose *Dose
	// Source is the temperature of the purified water.
	Source units.Celsius
	// Brim is the most the vat may hold; 0 when not known, and then no limit.
	Brim units.Litres
	// Fill is the volume wanted afterwards; 0 to change the volume no more than
	// the correction itself does.
	Fill units.Litres
}

// Correction is what brings a vat to a salinity: first remove, then add water,
// then salt.
type Correction struct {
	Remove    units.Litres `json:"remove_l"`
	AddWater  units.Litres `json:"add_water_l"`
	AddSaltKg float64      `json:"add_salt_kg"`
	// Volume, Salinity and Temperature of the vat afterwards.
	Volume      units.Litres    `json:"volume_l"`
	Salinity    units.Practical `json:"salinity"`
	Temperature units.Celsius   `json:"temp_c"`
	// Left is what stays in the vat after the removal.
	Left units.Litres `json:"left_l"`
}

// Correct brings vat to salinity to with salt or purified water, whichever it
// takes, and with both when m.Fill asks for a volume. No more is removed than
// must be: nothing where the vat has the room. Dissolving salt is taken not to
// change the temperature.
//
// Errors: vat or target out of the range of density (*salinity.RangeError); a
// brim below what the vat holds or the volume wanted, salt needed and no dose, or
// salinity 0 wanted of salt water without emptying the vat (*InputError); a dose
// that cannot be (*DoseError) or is too weak (*WeakError).
func Correct(vat Water, to units.Practical, m Means) (Correction, error) {
	if err := m.check(vat); err != nil {
		return Correction{}, err
	}
	k := corrector{vat: vat, to: to, share: saltShare(vat.Salinity), target: saltShare(to)}
	if err := k.weigh(m); err != nil {
		return Correction{}, err
	}
	if m.Fill > 0 {
		return k.fill(m.Fill)
	}
	c, err := k.asIs()
	if err == nil && m.Brim > 0 && c.Volume > m.Brim {
		return k.fill(m.Brim)
	}
	return c, err
}

func (m Means) check(vat Water) error {
	if err := checkPositive("the vat's volume", float64(vat.Volume), "L"); err != nil {
		return err
	}
	if err := checkVolume("brim", m.Brim); err != nil {
		return err
	}
	if err := checkVolume("the volume wanted", m.Fill); err != nil {
		return err
	}
	if m.Brim == 0 {
		return nil
	}
	if vat.Volume > m.Brim {
		return &InputError{What: "brim", Found: short(float64(m.Brim)) + " L",
			Allowed: "at least the " + short(float64(vat.Volume)) + " L that the vat holds"}
	}
	if m.Fill > m.Brim {
		return &InputError{What: "the volume wanted", Found: short(float64(m.Fill)) + " L",
			Allowed: "up to the brim at " + short(float64(m.Brim)) + " L"}
	}
	return nil
}

// corrector carries one correction, worked in kilograms.
type corrector struct {
	vat           Water
	to            units.Practical
	share, target float64 // salt share now and wanted, kg/kg
	dry           float64 // salt share of the mix; 0 when there is no mix
	massKg        float64 // in the vat now
	rhoVat        units.KgPerM3
	source        units.Celsius
	rhoSource     units.KgPerM3
}

// weigh looks up the densities and the dry fraction.
func (k *corrector) weigh(m Means) (err error) {
	if k.rhoVat, err = salinity.Density(k.vat.Salinity, k.vat.Temperature); err != nil {
		return fmt.Errorf("the vat: %w", err)
	}
	if _, err = salinity.Density(k.to, k.vat.Temperature); err != nil {
		return fmt.Errorf("the salinity wanted: %w", err)
	}
	if k.rhoSource, err = salinity.Density(0, m.Source); err != nil {
		return fmt.Errorf("purified water: %w", err)
	}
	k.source, k.massKg = m.Source, massKg(k.vat.Volume, k.rhoVat)
	if m.Dose == nil {
		return nil
	}
	if k.dry, err = m.Dose.DryFraction(); err != nil {
		return err
	}
	if k.dry <= k.target {
		return &WeakError{k.to, k.dry}
	}
	return nil
}

// asIs keeps everything in the vat and adds salt only, or water only.
func (k *corrector) asIs() (Correction, error) {
	switch {
	case k.target > k.share:
		return k.after(k.massKg, k.massKg*(k.target-k.share)/(k.dry-k.target), 0)
	case k.target == k.share:
		return k.after(k.massKg, 0, 0)
	case k.target == 0:
		return Correction{}, &InputError{What: "salinity", Found: "0", Allowed: "a salinity above 0",
			Hint: "adding water to salt water never takes all salt out; empty the vat and fill it again"}
	}
	return k.after(k.massKg, 0, k.massKg*(k.share-k.target)/k.target)
}

// fillRounds: the density at the end depends on the temperature at the end, which
// depends on the amounts; each round gains more than two digits.
const fillRounds = 12

// fill brings the vat to the volume wanted. With kept + salt + water = mass and
// share·kept + dry·salt = target·mass, everything is kept unless that would make
// salt or water negative (split).
func (k *corrector) fill(volume units.Litres) (Correction, error) {
	c := Correction{Temperature: k.vat.Temperature}
	for range fillRounds {
		rho, err := salinity.Density(k.to, c.Temperature)
		if err != nil {
			return c, err
		}
		kept, salt, water, err := k.split(massKg(volume, rho))
		if err != nil {
			return c, err
		}
		if c, err = k.after(kept, salt, water); err != nil {
			return c, err
		}
	}
	return c, nil
}

// split divides the mass wanted into what is kept, the mix and purified water, all
// in kg.
func (k *corrector) split(mass float64) (kept, salt, water float64, err error) {
	const roundOff = 1e-12
	need := k.target*mass - k.share*k.massKg
	switch {
	case k.target <= k.share && need < 0: // too much salt, even when topped up with water
		kept = k.target / k.share * mass
		return kept, 0, mass - kept, nil
	case k.target <= k.share && need <= roundOff*k.target*mass:
		kept = min(k.massKg, mass)
		return kept, 0, mass - kept, nil
	case k.dry == 0:
		return 0, 0, 0, errNeedsSalt(k.to)
	}
	salt = need / k.dry
	if water = mass - k.massKg - salt; water >= 0 {
		return k.massKg, salt, water, nil
	}
	// No room for that much mix: make some, and add mix only.
	kept = mass * (k.dry - k.target) / (k.dry - k.share)
	return kept, mass - kept, 0, nil
}

func errNeedsSalt(to units.Practical) error {
	return &InputError{What: "a correction without salt to salinity", Found: short(float64(to)),
		Allowed: "one that only adds water", Hint: "give the dose of the salt mix"}
}

// after puts the vat together from kilograms kept, of mix and of purified water.
func (k *corrector) after(kept, salt, water float64) (Correction, error) {
	if k.dry == 0 && k.target > k.share {
		return Correction{}, errNeedsSalt(k.to)
	}
	left := Water{Volume: litres(kept, k.rhoVat), Salinity: k.vat.Salinity, Temperature: k.vat.Temperature}
	added := Water{Volume: litres(water, k.rhoSource), Temperature: k.source}
	mixed, err := Blend(left, added)
	if err != nil {
		return Correction{}, err
	}
	rho, err := salinity.Density(k.to, mixed.Temperature)
	return Correction{
		Remove:      max(0, k.vat.Volume-left.Volume),
		AddWater:    added.Volume,
		AddSaltKg:   salt,
		Volume:      litres(kept+salt+water, rho),
		Salinity:    k.to,
		Temperature: mixed.Temperature,
		Left:        left.Volume,
	}, err
}
