package hazards

import (
	"fmt"

	"tidehold/refs"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// Aids are the numbers that a card about one system needs and a keeper cannot work out
// at night. Basis says what each rests on.
type Aids struct {
	System string
	// HeatMJPerC is the heat that one °C of the net volume holds, MJ.
	HeatMJPerC float64
	// IceKgPerC is the ice, sealed in bags or bottles, that cools the system by 1 °C,
	// kg: it melts and the melt warms to the tank.
	IceKgPerC float64
	// HeaterW is the power of all the heaters there are, and HeaterHoursPerC the
	// shortest time in which they warm the system by 1 °C, losing nothing; null
	// without a heater.
	HeaterW         float64
	HeaterHoursPerC *float64
	// SpareHoursPerC is the same with what the system loses in its usual room, at its
	// own temperature; null where the loss is unknown or takes all of it.
	SpareHoursPerC *float64
	// OxygenRestMgH and OxygenDoubleMgH are what the animals use, at rest and restless.
	OxygenRestMgH, OxygenDoubleMgH float64
	// Jug is the air that pouring brings.
	Jug Jug
	// Dosers are what each dosing solution does here.
	Dosers []DoseStep
	Basis  []refs.Assumption
}

// Jug is water lifted and poured back without stopping.
type Jug struct {
	LitresPerMin, FromCm float64
	// MgH is the oxygen it brings into water at the system's limit, mg/h.
	MgH float64
}

// AidsFor works the numbers of one system out, in its net volume as stated. Errors: the
// water is outside the range of a seawater relation (*salinity.RangeError).
func AidsFor(sys site.System) (Aids, error) {
	a := Aids{System: sys.ID}
	heat, err := sys.Heat()
	if err != nil {
		return a, err
	}
	tank := heat.Body(sys.NetVolume, 0, sys.Ambient.Usual)
	a.HeatMJPerC = tank.CapacityJK / 1e6
	if a.IceKgPerC, err = IceKgPerC(sys); err != nil {
		return a, err
	}
	a.HeaterW = heat.HeaterW
	a.HeaterHoursPerC = hoursPerC(tank.CapacityJK, heat.HeaterW)
	a.SpareHoursPerC = hoursPerC(tank.CapacityJK, heat.SpareW(sys.Water.Temperature, sys.Ambient.Usual))
	l, err := newOxygenBudget(sys)
	if err != nil {
		return a, err
	}
	a.OxygenRestMgH, a.OxygenDoubleMgH = l.rest, l.double
	a.Jug = pouring(l.saturation-sys.Limits.OxygenLow, float64(sys.Water.Temperature))
	for _, e := range sys.Equipment {
		if e.Kind == site.Doser {
			a.Dosers = append(a.Dosers, Step(sys, e))
		}
	}
	a.Basis = a.basis()
	return a, nil
}

func (a Aids) basis() []refs.Assumption {
	return []refs.Assumption{
		{What: "heat of ice", Value: "333.4 kJ/kg to melt, then to the tank's temperature", Source: "[teos10]; a freezer's ice is colder and does a little more"},
		{What: "heater's hours", Value: "none of its heat lost", Source: "the heat balance; it takes longer in a cold room"},
		{What: "air by a jug", Value: fmt.Sprintf("%.0f L/min from %.0f cm", a.Jug.LitresPerMin, a.Jug.FromCm), Source: "a weir's aeration formula, from memory, unverified"},
	}
}

// BinL is the smallest bin, in litres of the system's own water, whose air lasts the
// fish for hours: restless, through a still surface, from 90 % of saturation to the
// system's limit. False without fish, or where that water is at the limit already.
// Errors: the water is outside the range of oxygen saturation (*salinity.RangeError).
func BinL(sys site.System, hours float64) (litres float64, ok bool, err error) {
	sys.Livestock.ReefAreaM2 = 0
	l, err := newOxygenBudget(sys)
	air := l.start - sys.Limits.OxygenLow
	if err != nil || l.double <= 0 || air <= 0 {
		return 0, false, err
	}
	return l.double * hours / air, true, nil
}

// hoursPerC is the time a power takes for one °C; nil without power.
func hoursPerC(capacityJK, watts float64) *float64 {
	if watts <= 0 {
		return nil
	}
	h := capacityJK / watts / 3600
	return &h
}

// meltingJKg is the heat that melts ice at 0 °C and one atmosphere, J/kg.
// Source: [teos10], latent heat of melting into pure water at 0 dbar.
const meltingJKg = 333426.5

// IceKgPerC is the ice at 0 °C, sealed so that no melt water gets into the tank, that
// cools the net volume by 1 °C: the heat of one °C over that of melting and warming to
// the tank's temperature. Range and error as salinity.Enthalpy.
func IceKgPerC(sys site.System) (float64, error) {
	heat, err := sys.Heat()
	if err != nil {
		return 0, err
	}
	melt, err := salinity.Enthalpy(0, sys.Water.Temperature)
	if err != nil {
		return 0, err
	}
	return heat.Body(sys.NetVolume, 0, 0).CapacityJK / (meltingJKg + melt), nil
}

// The pouring that a person can keep up, and the constants of the weir: clean water,
// free fall. From memory.
const (
	jugLMin     = 30.0
	jugCm       = 30.0
	weirQuality = 1.8
)

// pouring is the oxygen that a jug brings into water that lacks a deficit in mg/L: the
// deficit falls by the ratio r = 1 + 0.38·a·h·(1 − 0.11·h)·(1 + 0.046·T) of a weir of
// height h in m, T in °C. From memory (Water Research Laboratory, 1973), unverified:
// shown as such, and nothing is decided by it.
func pouring(deficit, celsius float64) Jug {
	h := jugCm / 100
	r := 1 + 0.38*weirQuality*h*(1-0.11*h)*(1+0.046*celsius)
	return Jug{LitresPerMin: jugLMin, FromCm: jugCm, MgH: jugLMin * 60 * max(0, deficit) * (1 - 1/r)}
}
