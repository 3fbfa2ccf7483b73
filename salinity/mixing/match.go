package mixing

import (
	"fmt"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// Pairing is how much of each of two waters makes a volume at a salinity.
type Pairing struct {
	First  units.Litres `json:"first_l"`
	Second units.Litres `json:"second_l"`
	// Volume, Salinity and Temperature of what they make.
	Volume      units.Litres    `json:"volume_l"`
	Salinity    units.Practical `json:"salinity"`
	Temperature units.Celsius   `json:"temp_c"`
	// Most is the largest volume at this salinity that the waters on hand make.
	Most units.Litres `json:"most_l"`
	// Enough says Most covers Volume.
	Enough bool `json:"enough"`
}

// BetweenError says that no proportion of two waters makes a salinity.
type BetweenError struct {
	Salinity, Low, High units.Practical
}

func (e *BetweenError) Error() string {
	if e.Low == e.High {
		return fmt.Sprintf("both waters have salinity %s, so every mixture of them has too, and none has %s",
			short(float64(e.Low)), short(float64(e.Salinity)))
	}
	return fmt.Sprintf("salinity %s is outside %s to %s, all that these two waters can make together",
		short(float64(e.Salinity)), short(float64(e.Low)), short(float64(e.High)))
}

// Match returns how many litres of first and of second, each at its own
// temperature, make volume at salinity s. Their volumes are what is on hand: they
// set Most and Enough, not the proportion. Two waters of the salinity wanted are
// used one after the other, the first first.
//
// Errors: a volume that is not above zero (*InputError), a water out of range
// (*salinity.RangeError), a salinity not between the two (*BetweenError).
func Match(volume units.Litres, s units.Practical, first, second Water) (Pairing, error) {
	if err := checkPositive("volume", float64(volume), "L"); err != nil {
		return Pairing{}, err
	}
	a, err := contentOf(first)
	if err != nil {
		return Pairing{}, fmt.Errorf("the first water: %w", err)
	}
	b, err := contentOf(second)
	if err != nil {
		return Pairing{}, fmt.Errorf("the second water: %w", err)
	}
	low, high := min(first.Salinity, second.Salinity), max(first.Salinity, second.Salinity)
	if !(s >= low && s <= high) {
		return Pairing{}, &BetweenError{s, low, high}
	}
	if low == high {
		return sameSalinity(volume, first, second)
	}
	// share of the first by mass, from the salt balance
	f := (saltShare(s) - saltShare(second.Salinity)) / (saltShare(first.Salinity) - saltShare(second.Salinity))
	mix, one, two, err := perKilogram(f, s, first, second)
	if err != nil {
		return Pairing{}, err
	}
	mass := float64(volume) / float64(mix.Volume)
	most := min(reach(a.massKg, f), reach(b.massKg, 1-f))
	return Pairing{
		First: units.Litres(mass * f * one), Second: units.Litres(mass * (1 - f) * two),
		Volume: volume, Salinity: s, Temperature: mix.Temperature,
		Most: units.Litres(most) * mix.Volume, Enough: most >= mass*(1-enoughWithin),
	}, nil
}

// enoughWithin forgives rounding when what is on hand is exactly what is needed.
const enoughWithin = 1e-9

// reach is the mass of mixture that kg kilograms of a part last for, when it is
// the given share of the mixture; without end when it is none of it.
func reach(kg, share float64) float64 {
	const endless = 1e300
	if share == 0 {
		return endless
	}
	return kg / share
}

// perKilogram mixes one kilogram, f of it the first water, and returns it with
// the litres per kilogram of the first and of the second.
func perKilogram(f float64, s units.Practical, first, second Water) (mix Water, one, two float64, err error) {
	rhoA, err := salinity.Density(first.Salinity, first.Temperature)
	if err != nil {
		return mix, 0, 0, err
	}
	rhoB, err := salinity.Density(second.Salinity, second.Temperature)
	if err != nil {
		return mix, 0, 0, err
	}
	first.Volume, second.Volume = litres(f, rhoA), litres(1-f, rhoB)
	mix, err = Blend(first, second)
	mix.Salinity = s
	return mix, perMille / float64(rhoA), perMille / float64(rhoB), err
}

// sameSalinity draws on the first water, then on the second.
func sameSalinity(volume units.Litres, first, second Water) (Pairing, error) {
	s := first.Salinity
	both, err := Blend(first, second)
	if err != nil {
		return Pairing{}, err
	}
	p := Pairing{First: min(volume, first.Volume), Volume: volume, Salinity: s, Most: both.Volume}
	p.Enough = p.Most >= volume*(1-enoughWithin)
	if p.First == volume {
		p.Temperature = first.Temperature
		return p, nil
	}
	p.Second = volume - p.First
	mix, err := Blend(Water{Volume: p.First, Salinity: s, Temperature: first.Temperature},
		Water{Volume: p.Second, Salinity: s, Temperature: second.Temperature})
	p.Temperature = mix.Temperature
	return p, err
}
