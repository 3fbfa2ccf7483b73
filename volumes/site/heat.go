package site

import (
	"tidehold/refs/units"
	"tidehold/salinity/mixing"
)

// HeatBasis is what a system's loss coefficient rests on, or why there is none.
type HeatBasis string

// The bases of a loss coefficient.
const (
	ByCoefficient HeatBasis = "stated coefficient"
	ByDuty        HeatBasis = "heater duty"
	ByCoolingTest HeatBasis = "cooling test"
)

// Why there is no loss coefficient.
const (
	NoHeatLoss   HeatBasis = "heat_loss is not given"
	ZeroLoss     HeatBasis = "a coefficient of zero"
	WarmRoom     HeatBasis = "a duty in a room as warm as the water"
	NoPower      HeatBasis = "a duty of nothing that has a power"
	NoFallToRoom HeatBasis = "a cooling test that does not fall towards the room"
)

// Heat is how a system gains and loses heat, the same whichever of the three ways
// the file states the loss in.
type Heat struct {
	// HeaterW and PumpW are the powers of the heaters and of the pumps in the water
	// (circulation and return), W: pumps warm the water with all they draw.
	HeaterW, PumpW float64
	// LossWK is the loss to the room in W/K; 0 when it is unknown, and Basis says why.
	LossWK float64
	Basis  HeatBasis
	perL   float64 // heat capacity of a litre, J/K
}

// Known says that the loss is known.
func (h Heat) Known() bool { return h.LossWK > 0 }

// SpareW is the power of the heaters beyond what holds the system at a temperature
// in a room, both °C, with the pumps running; 0 when the loss is unknown. The
// heaters never have to give less than nothing: where the pumps alone hold the
// temperature, all their power is spare.
func (h Heat) SpareW(celsius, room units.Celsius) float64 {
	if !h.Known() {
		return 0
	}
	hold := mixing.Body{LossWK: h.LossWK, RoomC: float64(room)}.HoldW(float64(celsius)) - h.PumpW
	return max(0, h.HeaterW-max(0, hold))
}

// Body is the system as a lump of heat: a volume of its water, a heat input in W,
// a room in °C. With an unknown loss it loses nothing.
func (h Heat) Body(volume units.Litres, inputW float64, room units.Celsius) mixing.Body {
	return mixing.Body{CapacityJK: float64(volume) * h.perL, LossWK: h.LossWK, InputW: inputW, RoomC: float64(room)}
}

// Heat finds the loss coefficient from whichever of the three ways the file gives:
// a coefficient; the share of time the heaters run at the usual ambient, pumps
// running beside them; or a fall of temperature with the heaters off and the pumps
// on, in the net volume. Errors: the water is outside the range of density or heat
// capacity (*salinity.RangeError).
func (s *System) Heat() (Heat, error) {
	var h Heat
	var err error
	if h.perL, err = mixing.LitreHeat(s.Water.Salinity, s.Water.Temperature); err != nil {
		return h, err
	}
	for _, e := range s.Equipment {
		switch e.Kind {
		case Heater:
			h.HeaterW += e.PowerW
		case Circulation, Return:
			h.PumpW += e.PowerW
		}
	}
	h.LossWK, h.Basis = s.loss(h)
	return h, nil
}

func (s *System) loss(h Heat) (lossWK float64, basis HeatBasis) {
	usual := s.Ambient.Usual
	switch stated := s.HeatLoss; {
	case stated.Coefficient != nil:
		if *stated.Coefficient <= 0 {
			return 0, ZeroLoss
		}
		return *stated.Coefficient, ByCoefficient
	case stated.HeaterDuty != nil:
		input := *stated.HeaterDuty*h.HeaterW + h.PumpW
		switch over := float64(s.Water.Temperature - usual); {
		case over <= 0:
			return 0, WarmRoom
		case input <= 0:
			return 0, NoPower
		default:
			return input / over, ByDuty
		}
	case stated.CoolingTest != nil:
		t := stated.CoolingTest
		if loss, ok := h.Body(s.NetVolume, h.PumpW, usual).LossFrom(float64(t.From), float64(t.To), t.InH); ok {
			return loss, ByCoolingTest
		}
		return 0, NoFallToRoom
	}
	return 0, NoHeatLoss
}

// Why a system does, or does not, come back to its own temperature between two changes.
const (
	HeatersNotNamed = "its heaters are not named: taken to work"
	HeaterBroke     = "the heater is what broke, and no other is named"
	RestTooWeak     = "the heaters that are left cannot hold it in the usual room"
	RestNotReckoned = "the heater is what broke; whether the others can hold it needs heat_loss"
	RestHolds       = "the heaters that are left can hold it in the usual room"
	HeatersWork     = "the system's own heaters work"
	ChillerWorks    = "its chiller holds it in a room that is warmer"
	NoHeaterNamed   = "no heater is named among its equipment"
)

// Reheats says whether the system's own heaters bring its temperature back between two changes,
// and why: when a whole heater remains that has the power to hold it in the usual room. broke:
// a heater is what failed, the most powerful one where there are several.
func (s *System) Reheats(broke bool) (yes bool, why string) {
	left, strongest, heaters, chiller := 0.0, 0.0, 0, false
	for _, e := range s.Equipment {
		switch e.Kind {
		case Heater:
			heaters++
			left, strongest = left+e.PowerW, max(strongest, e.PowerW)
		case Chiller:
			chiller = true
		}
	}
	switch {
	case broke && heaters < 2:
		return false, HeaterBroke
	case len(s.Equipment) == 0:
		return true, HeatersNotNamed
	case heaters == 0 && chiller && s.Ambient.Usual > s.Water.Temperature:
		return true, ChillerWorks
	case heaters == 0:
		return false, NoHeaterNamed
	}
	if broke {
		left -= strongest
	}
	return s.heldBy(left, broke)
}

// heldBy says whether heaters of a power, W, hold the system in the usual room.
func (s *System) heldBy(heaterW float64, broke bool) (yes bool, why string) {
	h, err := s.Heat()
	switch {
	case (err != nil || !h.Known()) && broke:
		return false, RestNotReckoned
	case err != nil || !h.Known():
		return true, HeatersWork
	}
	hold := mixing.Body{LossWK: h.LossWK, RoomC: float64(s.Ambient.Usual)}.HoldW(float64(s.Water.Temperature)) - h.PumpW
	const rounding = 1e-9 // a duty of 100 % holds it
	switch {
	case heaterW < hold*(1-rounding):
		return false, RestTooWeak
	case broke:
		return true, RestHolds
	}
	return true, HeatersWork
}
