package mixing

import (
	"tidehold/refs/units"
	"tidehold/salinity"
)

// AmmoniaChange is a water before and after part of it is replaced.
type AmmoniaChange struct {
	Now salinity.Ammonia
	// After is the mixture: its salinity and temperature by mass, salt and heat, its
	// pH by alkalinity and inorganic carbon.
	After salinity.Ammonia
	// Worst is the same mixture at the higher of the two pHs, the most that a pH could
	// come to. Outside is not nil where the carbonate constants do not reach: then After
	// is Worst.
	Worst   salinity.Ammonia
	Outside *salinity.RangeError
	// Rises says that the mixture has more un-ionised ammonia than the water had.
	Rises bool
}

// Ammoniacal is a water whose ammonia is in question: its volume, salinity,
// temperature, pH and alkalinity, and its total ammonia in mg/L as nitrogen.
type Ammoniacal struct {
	Buffered
	TotalN float64
}

// ChangeAmmonia returns the un-ionised ammonia of now and of what is left of it, kept,
// mixed with the waters that replace the rest. Total ammonia is blended by volume, pH
// by BlendPHOrHighest. Volumes: now.Volume before, and the new waters' volumes make up
// what was taken out.
//
// Range as salinity.UnionisedAmmonia; new waters of more than the volume are an
// *InputError.
//
// Source: [cw1995] for the ammonia; [lueker2000] and others for the pH.
func ChangeAmmonia(now Ammoniacal, fresh ...Ammoniacal) (AmmoniaChange, error) {
	kept := now
	for _, w := range fresh {
		kept.Volume -= w.Volume
	}
	if !(kept.Volume >= -units.Litres(roundOffL)*now.Volume) {
		return AmmoniaChange{}, &InputError{What: "new water", Found: short(float64(now.Volume-kept.Volume)) + " L", Allowed: "at most the " + short(float64(now.Volume)) + " L of the system"}
	}
	kept.Volume = max(0, kept.Volume)
	before, err := salinity.UnionisedAmmonia(now.water(now.PH))
	if err != nil {
		return AmmoniaChange{}, err
	}
	poured := append([]Ammoniacal{kept}, fresh...)
	mix, err := blendAmmoniacal(poured)
	if err != nil {
		return AmmoniaChange{}, err
	}
	buffered := make([]Buffered, len(poured))
	for i, w := range poured {
		buffered[i] = w.Buffered
	}
	pH, outside, err := BlendPHOrHighest(buffered...)
	if err != nil {
		return AmmoniaChange{}, err
	}
	c := AmmoniaChange{Now: before, Outside: outside}
	if c.After, err = salinity.UnionisedAmmonia(mix.water(pH)); err != nil {
		return AmmoniaChange{}, err
	}
	if c.Worst, err = salinity.UnionisedAmmonia(mix.water(max(now.PH, highestPH(buffered)))); err != nil {
		return AmmoniaChange{}, err
	}
	c.Rises = c.After.NH3 > before.NH3*(1+roundOffNH3)
	return c, nil
}

// roundOffL is the share of the volume by which shares that make a whole may add up
// to more than it.
const roundOffL = 1e-12

// roundOffNH3 is the share by which NH3 comes out higher though nothing changed: a pH is
// found to some 1e-13.
const roundOffNH3 = 1e-9

// water is the point question that salinity answers.
func (a Ammoniacal) water(pH float64) salinity.AmmoniaWater {
	return salinity.AmmoniaWater{TotalN: a.TotalN, PH: pH, Salinity: a.Salinity, Temperature: a.Temperature}
}

// blendAmmoniacal blends salinity and temperature as Blend does and total ammonia by
// volume; pH and alkalinity stay for the carbonate system to say.
func blendAmmoniacal(waters []Ammoniacal) (mix Ammoniacal, err error) {
	plain := make([]Water, len(waters))
	var sum, litres float64
	for i, w := range waters {
		plain[i] = Water{Volume: w.Volume, Salinity: w.Salinity, Temperature: w.Temperature}
		sum, litres = sum+w.TotalN*float64(w.Volume), litres+float64(w.Volume)
	}
	if mix.Water, err = Blend(plain...); err != nil {
		return mix, err
	}
	mix.TotalN = sum / litres
	return mix, nil
}
