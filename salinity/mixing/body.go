package mixing

import (
	"math"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// Body is the heat of anything that holds water, as one lump: a tank, a vat, a bin.
// Its temperature obeys
//
//	C·dT/dt = P − L·(T − T_room)
//
// (Newton's law of cooling with a heat input), so that it heads for
// T_end = T_room + P/L with the time constant C/L. Evaporation counts only as far
// as L, found by measuring, holds it.
//
//	400 L in a room of 18 °C, losing 16 W/K: C is 1.64 MJ/K, the time constant 28 h;
//	300 W end at 36.8 °C.
type Body struct {
	// CapacityJK is the heat capacity C in J/K, above zero: litres times LitreHeat.
	CapacityJK float64
	// LossWK is what is lost to the room, L in W/K; 0: nothing is lost.
	LossWK float64
	// InputW is the heat going in, P in W: heaters, and all that pumps in the water draw.
	InputW float64
	// RoomC is the temperature around it, °C; without a loss it does not count.
	RoomC float64
}

// LitreHeat is the heat capacity of a litre of seawater in J/K: density times
// specific heat. Range and error as salinity.HeatCapacity.
func LitreHeat(s units.Practical, t units.Celsius) (float64, error) {
	rho, err := salinity.Density(s, t)
	if err != nil {
		return 0, err
	}
	cp, err := salinity.HeatCapacity(s, t)
	return float64(rho) / perMille * cp, err
}

// HoldW is the heat that keeps the body at a temperature in °C, W; below zero it
// has to be cooled.
func (b Body) HoldW(celsius float64) float64 { return b.LossWK * (celsius - b.RoomC) }

// NetW is the heat left to warm the body at a temperature in °C, W; below zero it cools.
func (b Body) NetW(celsius float64) float64 { return b.InputW - b.HoldW(celsius) }

// Settles is the temperature the body heads for, °C; false when nothing is lost,
// for then it heads for none.
func (b Body) Settles() (float64, bool) {
	if b.LossWK <= 0 {
		return 0, false
	}
	return b.RoomC + b.InputW/b.LossWK, true
}

// Course is the temperature of the body over time from a start in °C.
func (b Body) Course(from float64) Course {
	c := Course{FromC: from}
	if end, ok := b.Settles(); ok {
		c.gainC, c.perH = end-from, b.LossWK/b.CapacityJK*secondsPerHour
		return c
	}
	c.perH = b.InputW / b.CapacityJK * secondsPerHour
	c.linear = true
	return c
}

// WattsFor is the heat input that takes the body from one temperature to another,
// °C, in hours above zero: Course solved for P. It is below zero where the body
// has to be cooled. b.InputW is not used.
func (b Body) WattsFor(from, to, hours float64) float64 {
	seconds := hours * secondsPerHour
	if b.LossWK <= 0 {
		return b.CapacityJK * (to - from) / seconds
	}
	end := from - (to-from)/math.Expm1(-b.LossWK*seconds/b.CapacityJK)
	return b.HoldW(end)
}

// The losses between which a cooling test is solved, W/K: from a thimble in a
// vacuum flask to a lake.
const leastLossWK, mostLossWK = 1e-9, 1e9

// LossFrom is the loss in W/K that lets the body fall from one temperature to
// another, °C, in hours above zero, with b.InputW still going in (pumps run during
// a cooling test); b.LossWK is not used. False when the fall is none, or ends at
// or below the room. The end falls monotonically with the loss, so bisection
// finds it.
func (b Body) LossFrom(from, to, hours float64) (float64, bool) {
	if !(from > to) || !(to > b.RoomC) || !(hours > 0) {
		return 0, false
	}
	end := func(loss float64) float64 {
		b.LossWK = loss
		return b.Course(from).At(hours)
	}
	low, high := leastLossWK, mostLossWK
	if end(high) > to || end(low) < to {
		return 0, false
	}
	for range 100 { // halves a range of 42 in the logarithm to less than a float's rounding
		mid := math.Sqrt(low * high)
		if end(mid) > to {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Sqrt(low * high), true
}

// Course is the temperature of a Body over time, worked out once so that it can be
// asked often. The zero Course stays at 0 °C.
type Course struct {
	// FromC is the temperature at hour 0, °C.
	FromC float64
	// gainC is where it ends less FromC, and perH the inverse of the time constant;
	// linear: nothing is lost, and perH is K/h.
	gainC, perH float64
	linear      bool
}

// Still is the course of a body that stays as warm as it is.
func Still(celsius float64) Course { return Course{FromC: celsius} }

// At is the temperature in °C after hours of zero or more.
func (c Course) At(hours float64) float64 {
	switch {
	case c.linear:
		return c.FromC + c.perH*hours
	case c.gainC == 0: // still
		return c.FromC
	}
	return c.FromC - c.gainC*math.Expm1(-c.perH*hours)
}

// HoursTo is the time until the course is at a temperature in °C; false when it
// never is (it settles before, or moves the other way). Where it settles it is
// only in the limit: never.
func (c Course) HoursTo(celsius float64) (float64, bool) {
	rise := celsius - c.FromC
	switch {
	case rise == 0:
		return 0, true
	case c.linear:
		hours := rise / c.perH
		return hours, hours > 0 && !math.IsInf(hours, 1)
	}
	share := rise / c.gainC
	if !(share > 0 && share < 1) {
		return 0, false
	}
	// log1p keeps its digits when the loss is small and the end far away.
	return -math.Log1p(-share) / c.perH, true
}
