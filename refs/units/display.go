package units

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// System is the unit system results are shown in. Computation is always in base
// units.
type System int

// The two display systems.
const (
	Metric System = iota
	US
)

// ParseSystem reads "metric" or "us".
func ParseSystem(s string) (System, error) {
	switch s {
	case "metric":
		return Metric, nil
	case "us":
		return US, nil
	}
	return Metric, &Error{Found: fmt.Sprintf("%q is not a unit system", s), Allowed: "metric or us"}
}

func (s System) String() string {
	if s == US {
		return "us"
	}
	return "metric"
}

// Litres per US gallon and the other factors of display, exact (NIST HB 44).
const (
	litresPerGallon = 3.785411784
	KgPerPound      = 0.45359237 // the international pound
	cmPerInch       = 2.54
)

// Volume prints litres: 10 mL steps below 1 L, 0.1 L below 200 L, whole litres
// above; in US units 0.01 gal below 1 gal, 0.1 gal below 200 gal, whole gallons
// above. A step is what a bucket's marks, or a scale under it, still show, and from 20
// on at most 0.5 % of the amount: half a change printed as 21 L for 21.7 L left 51.0 %
// where 50.0 % was asked. The steps are a rule of this tool.
func (s System) Volume(l float64, r Rounding) string {
	if impossible(l) {
		return noNumber
	}
	own, unit, bands := s.volumeBands()
	if l == 0 {
		return "0 " + unit
	}
	x, decimals := bandOf(l/own, r, bands)
	return volumeText(x, decimals) + " " + unit
}

// VolumeToPour is Volume with as many digits as keep it within 1 % of what is meant: in a tank of 8 L what
// somebody pours by it is what was planned. The 1 % is a rule of this tool.
func (s System) VolumeToPour(l float64, r Rounding) string {
	if impossible(l) || l == 0 {
		return s.Volume(l, r)
	}
	own, unit, bands := s.volumeBands()
	x, decimals := toPour(l/own, r, bands, finestVolume)
	return volumeText(x, decimals) + " " + unit
}

// finestVolume is how many decimals the smallest volumes need.
const finestVolume = 4

// toPour rounds an amount in the unit it is shown in, and says with how many decimals, at most the finest.
func toPour(x float64, r Rounding, bands []band, finest int) (rounded float64, decimals int) {
	const off = 0.01
	rounded, decimals = bandOf(x, r, bands)
	for n := decimals; n <= finest && !(math.Abs(rounded-x) <= off*x); n++ {
		if n == 3 && x >= 1 {
			continue // three decimals can be read as thousands
		}
		rounded, decimals = r.To(x, math.Pow(10, -float64(n))), n
	}
	return rounded, decimals
}

// volumeText is a volume without its unit; from 20 on a whole one has no decimal, as keepers
// write it: 150 L, 142.6 L.
func volumeText(x float64, decimals int) string {
	if x < 20 {
		return Fixed(x, decimals)
	}
	return strings.TrimSuffix(Fixed(x, decimals), ".0")
}

// volumeBands are the litres of the unit in which volumes are shown, its name, and its steps.
func (s System) volumeBands() (litres float64, name string, bands []band) {
	if s == US {
		return litresPerGallon, "gal", []band{{1, 0.01}, {200, 0.1}, {math.Inf(1), 1}}
	}
	return 1, "L", []band{{1, 0.01}, {200, 0.1}, {math.Inf(1), 1}}
}

// Parts is a volume and what makes it up, in litres and as printed; what is printed of the parts
// adds up to what is printed of the whole.
type Parts struct {
	WholeL float64
	Whole  string
	EachL  []float64
	Each   []string
}

// VolumeParts prints volumes in litres that make up a total: in the step of the total as VolumeToPour
// prints it, or a finer one where a part is smaller than that. No part is more than most says of
// it, and the whole is less than that where none may take more; most is nil where
// nothing bounds them.
func (s System) VolumeParts(total float64, r Rounding, parts, most []float64) Parts {
	own, name, bands := s.volumeBands()
	shown, decimals := toPour(total/own, r, bands, finestVolume)
	out := Parts{WholeL: shown * own, Whole: s.VolumeToPour(total, r)}
	possible := len(parts) > 0 && !impossible(total) && shown > 0
	for _, x := range parts {
		possible = possible && x > 0
		out.EachL, out.Each = append(out.EachL, x), append(out.Each, s.VolumeToPour(x, Nearest))
	}
	if !possible {
		return out
	}
	const finest = 2
	for ; ; decimals++ {
		step := own * math.Pow(10, -float64(decimals))
		counts := sharedOut(int(math.Round(shown*own/step)), parts, most, step)
		if slices.Contains(counts, 0) && decimals < finest {
			continue
		}
		sum := 0
		for i, n := range counts {
			sum += n
			out.EachL[i], out.Each[i] = float64(n)*step, volumeText(float64(n)*step/own, decimals)+" "+name
		}
		switch less := float64(sum) * step; {
		case less >= out.WholeL-step/2:
		case decimals == 0: // a finer step wastes less of what the vats hold
			const finer = 0.1
			shown = r.To(total/own, finer)
			out.WholeL, out.Whole = shown*own, volumeText(shown, 1)+" "+name
			continue
		default:
			out.WholeL, out.Whole = less, volumeText(less/own, decimals)+" "+name
		}
		return out
	}
}

// sharedOut splits whole steps among parts: to each what is whole of it, and what is left by
// largest remainder, where most allows it. What the total's rounding took is the largest part's.
func sharedOut(steps int, parts, most []float64, step float64) []int {
	counts, order, rests := make([]int, len(parts)), make([]int, len(parts)), make([]float64, len(parts))
	left, largest := steps, 0
	for i, x := range parts {
		if most != nil {
			x = min(x, most[i])
		}
		whole := Down.To(x, step)
		counts[i], order[i], rests[i] = int(math.Round(whole/step)), i, max(0, x-whole)
		left -= counts[i]
		if x > parts[largest] {
			largest = i
		}
	}
	if left < 0 {
		counts[largest] += left
		return counts
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rests[b], rests[a]) })
	for given := true; left > 0 && given; {
		given = false
		for _, i := range order {
			if left > 0 && (most == nil || float64(counts[i]+1)*step <= most[i]*(1+1e-9)) {
				counts[i], left, given = counts[i]+1, left-1, true
			}
		}
	}
	return counts
}

// Mass prints kilograms: grams below 1 kg, 0.01 kg below 10 kg, 0.1 kg below 500 kg,
// whole above; in US units 0.1 oz below 1 lb, 0.05 lb below 20 lb, 0.1 lb below 100 lb, whole above.
func (s System) Mass(kg float64, r Rounding) string {
	if impossible(kg) {
		return noNumber
	}
	x, unit, bands := s.massBands(kg)
	return stepped(x, r, unit, bands...)
}

// MassToPour is Mass with as many digits as keep it within 1 % of what is meant, as VolumeToPour, or
// to 0.1 g or 0.01 oz: the salt of a small batch sets its salinity.
func (s System) MassToPour(kg float64, r Rounding) string {
	if impossible(kg) || kg == 0 {
		return s.Mass(kg, r)
	}
	x, unit, bands := s.massBands(kg)
	finest := 2
	if unit == "g" {
		finest = 1 // no scale of a fish room shows more
	}
	rounded, decimals := toPour(x, r, bands, finest)
	return Fixed(rounded, decimals) + " " + unit
}

// massBands are kilograms in the unit in which they are shown, its name, and its steps.
func (s System) massBands(kg float64) (x float64, name string, bands []band) {
	if s == US {
		lb := kg / KgPerPound
		if lb < 1 {
			return lb * 16, "oz", []band{{math.Inf(1), 0.1}}
		}
		return lb, "lb", []band{{20, 0.05}, {100, 0.1}, {math.Inf(1), 1}}
	}
	if kg < 1 {
		return kg * 1000, "g", []band{{math.Inf(1), 1}}
	}
	return kg, "kg", []band{{10, 0.01}, {500, 0.1}, {math.Inf(1), 1}}
}

// Watts prints a power in W to the whole unit, from 10 kW on in kW to a tenth: 60 kW, 12.5 kW.
func Watts(w float64) string {
	if impossible(w) {
		return noNumber
	}
	if math.Round(w) < 1e4 {
		return Fixed(w, 0) + " W"
	}
	return strings.TrimSuffix(Fixed(w/1000, 1), ".0") + " kW"
}

// PerArea prints a load on a floor in kg/m², or lb/ft², to the whole unit.
func (s System) PerArea(kgM2 float64) string {
	if impossible(kgM2) {
		return noNumber
	}
	if s == US {
		return Fixed(kgM2/KgM2PerLbFt2, 0) + " lb/ft²"
	}
	return Fixed(kgM2, 0) + " kg/m²"
}

// KgM2PerLbFt2 is the load of one pound on a square foot; a foot is twelve inches.
const KgM2PerLbFt2 = KgPerPound / (CmPerFoot * CmPerFoot) * 1e4

// Temperature prints °C or °F to 0.1.
func (s System) Temperature(c float64) string { return s.TemperatureTo(c, Nearest) }

// TemperatureTo is Temperature rounded in the unit it is printed in: a bound of 14.4 °C and more
// is one of 58.0 °F, not of 57.9 °F.
func (s System) TemperatureTo(c float64, r Rounding) string {
	const step = 0.1
	if s == US {
		return Fixed(r.To(c*9/5+32, step), 1) + " °F"
	}
	return Fixed(r.To(c, step), 1) + " °C"
}

// TempStep prints a difference of temperatures to 0.1.
func (s System) TempStep(k float64) string {
	if s == US {
		return Fixed(k*9/5, 1) + " °F"
	}
	return Fixed(k, 1) + " °C"
}

// Length prints centimetres to 0.5 cm, or inches to 0.25 in: what can be read
// off a dipstick.
func (s System) Length(cm float64, r Rounding) string {
	if impossible(cm) {
		return noNumber
	}
	if s == US {
		return stepped(cm/cmPerInch, r, "in", band{math.Inf(1), 0.25})
	}
	return stepped(cm, r, "cm", band{math.Inf(1), 0.5})
}

// Flow prints litres or gallons per hour, three significant digits.
func (s System) Flow(lh float64) string {
	if impossible(lh) {
		return noNumber
	}
	if s == US {
		return Significant(lh/litresPerGallon, 3) + " gal/h"
	}
	return Significant(lh, 3) + " L/h"
}

// Dissolved prints µg/L to three significant digits, as mg/L from 1000 up.
func Dissolved(ugL float64) string {
	if impossible(ugL) {
		return noNumber
	}
	per, unit := DissolvedUnit(ugL)
	return Significant(ugL/per, 3) + " " + unit
}

// DissolvedUnit is the unit in which a level is printed, and the µg/L that one of it is.
func DissolvedUnit(ugL float64) (per float64, unit string) {
	if ugL >= 999.5 {
		return UgPerMg, "mg/L"
	}
	return 1, "µg/L"
}

// VolumeIn is litres as a bare number of the system's unit of volume, with that
// unit: L or gal.
func (s System) VolumeIn(l float64) (float64, string) {
	if s == US {
		return l / litresPerGallon, "gal"
	}
	return l, "L"
}

// LengthIn is centimetres as a bare number of the system's unit of length, with
// that unit: cm or in.
func (s System) LengthIn(cm float64) (float64, string) {
	if s == US {
		return cm / cmPerInch, "in"
	}
	return cm, "cm"
}

// LitresPer is one unit of the system's volume in litres, and CmPer one of its
// length in centimetres.
func (s System) LitresPer() float64 {
	if s == US {
		return litresPerGallon
	}
	return 1
}

// CmPer is one unit of the system's length in centimetres.
func (s System) CmPer() float64 {
	if s == US {
		return cmPerInch
	}
	return 1
}

// Factors between the base units of this package and those of a formula, exact.
const (
	MgPerKg     = 1e6
	UgPerMg     = 1e3
	LitresPerM3 = 1e3
	CmPerFoot   = 12 * cmPerInch
)
