package mixing

import (
	"math"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// Heating is a vat to be warmed.
type Heating struct {
	// Water in the vat: Volume at Temperature, before heating.
	Water Water
	// To is the temperature wanted.
	To units.Celsius
	// Watts of the heater.
	Watts float64
	// Room is the temperature around the vat, and LossWK what the vat loses to it
	// in W/K. With a LossWK of 0 nothing is lost and Room does not count.
	Room   units.Celsius
	LossWK float64
}

// Warming is how long it takes, or why it never gets there.
type Warming struct {
	// Possible says the vat reaches the temperature wanted.
	Possible bool `json:"possible"`
	// Hours it takes; nil when it never gets there.
	Hours *float64 `json:"hours"`
	// Highest is where the vat would settle; nil when nothing is lost, for then
	// it never stops warming.
	Highest *units.Celsius `json:"highest_temp_c"`
	// HoldW keeps the vat at the temperature wanted, in W; 0 where the room does. In a
	// colder room a heater of no more than this never reaches it.
	HoldW float64 `json:"hold_w"`
	// EnergyKWh the heater uses until then; nil when it never gets there.
	EnergyKWh *float64 `json:"energy_kwh"`
	// FirstKPerH is how fast the vat warms at first, K/h; below zero where it cools.
	FirstKPerH float64 `json:"first_k_per_h"`
}

// secondsPerHour is exact.
const secondsPerHour = 3600

// Warm returns how long a heater takes, with what the vat loses to the room: the
// course of a Body whose capacity is mass times the mean heat capacity between the
// two temperatures. Evaporation is not in it: a vat without a lid loses more.
// Within 0.1 % of integrating with the heat capacity of each temperature.
//
// Errors: out of 0 to 42 and 0 to 40 °C (*salinity.RangeError); a volume that is
// not above zero, negative watts or loss, or a temperature wanted below that of
// the vat, since a heater cannot cool (*InputError).
func Warm(h Heating) (Warming, error) {
	b, err := h.body()
	if err != nil {
		return Warming{}, err
	}
	from, to := float64(h.Water.Temperature), float64(h.To)
	w := Warming{HoldW: math.Max(0, b.HoldW(to)), FirstKPerH: b.NetW(from) / b.CapacityJK * secondsPerHour}
	if end, ok := b.Settles(); ok {
		highest := units.Celsius(end)
		w.Highest = &highest
	}
	hours, ok := b.Course(from).HoursTo(to)
	if !ok {
		return w, nil
	}
	energy := h.Watts * hours * secondsPerHour / jPerKWh
	w.Possible, w.Hours, w.EnergyKWh = true, &hours, &energy
	return w, nil
}

// WattsFor returns the heater that warms the vat in the given hours, in W; 0
// where the room alone does it. h.Watts is not used. Errors as Warm, and an
// *InputError for hours that are not above zero.
func WattsFor(h Heating, hours float64) (float64, error) {
	h.Watts = 0
	if err := checkPositive("time", hours, "h"); err != nil {
		return 0, err
	}
	b, err := h.body()
	if err != nil {
		return 0, err
	}
	return math.Max(0, b.WattsFor(float64(h.Water.Temperature), float64(h.To), hours)), nil
}

// body checks the input and is the vat as a lump of heat.
func (h Heating) body() (Body, error) {
	capacity, err := h.capacity()
	return Body{CapacityJK: capacity, LossWK: h.LossWK, InputW: h.Watts, RoomC: float64(h.Room)}, err
}

// capacity checks the input and returns the heat capacity of the vat in J/K, the
// mean between the two temperatures.
func (h Heating) capacity() (float64, error) {
	if err := checkPositive("the vat's volume", float64(h.Water.Volume), "L"); err != nil {
		return 0, err
	}
	if err := checkAmount("heater", h.Watts, "W"); err != nil {
		return 0, err
	}
	if err := checkAmount("heat loss", h.LossWK, "W/K"); err != nil {
		return 0, err
	}
	if h.LossWK > 0 && !(math.Abs(float64(h.Room)) <= coldestAndHottestRoom) {
		return 0, &InputError{What: "room temperature", Found: short(float64(h.Room)) + " °C", Allowed: "-60 to 60 °C"}
	}
	kg, err := h.Water.MassKg()
	if err != nil {
		return 0, err
	}
	from, to := h.Water.Temperature, h.To
	if to < from {
		return 0, &InputError{What: "temperature wanted", Found: short(float64(to)) + " °C",
			Allowed: "at least the " + short(float64(from)) + " °C of the vat", Hint: "a heater cannot cool"}
	}
	if to == from {
		cp, err := salinity.HeatCapacity(h.Water.Salinity, from)
		return kg * cp, err
	}
	kwh, err := heatKWh(kg, h.Water.Salinity, from, to)
	return kwh * jPerKWh / float64(to-from), err
}

// coldestAndHottestRoom bounds room temperatures to what a building can have, °C
// either side of zero.
const coldestAndHottestRoom = 60
