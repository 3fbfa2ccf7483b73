package site

import (
	"time"

	"tidehold/refs/units"
	"tidehold/volumes"
)

// System is one body of water with one circulation.
type System struct {
	ID string
	// NetVolume is the water itself, in litres, with its expanded uncertainty
	// (k = 2; 0 when not stated).
	NetVolume  units.Litres
	NetVolumeU units.Litres
	// Parts the net volume was built from; empty when it was given.
	Parts []volumes.Part
	// Drawdown is the largest fraction of NetVolume that may be out at once.
	Drawdown float64
	// ChangeEveryH is the shortest time from the start of one change to the next.
	ChangeEveryH float64
	// LeadH is the time from discovery to the first change: people and power come
	// first.
	LeadH float64
	// LeastChange is the share of NetVolume below which no change is planned, unless it
	// ends the plan.
	LeastChange float64
	Water       Chemistry
	Limits      Limits
	Ambient     Ambient
	HeatLoss    HeatLoss
	// SurfaceM2 is the water surface open to air; nil when unknown.
	SurfaceM2   *float64
	Livestock   Livestock
	UnattendedH float64
	Equipment   []Equipment
	// DrainsBack is what the sump must hold when the return stops, in litres; nil when not stated.
	DrainsBack *units.Litres
}

// Chemistry is the state of a water beyond its volume. In a System every field
// is set; in a Store, a nil pointer means "as the salt makes it, else as the
// system's" (an assumption that is listed where it is used).
type Chemistry struct {
	Salinity    units.Practical
	Temperature units.Celsius
	PH          *float64
	// AlkalinityDKH in dKH; CalciumMgL and MagnesiumMgL in mg/L.
	AlkalinityDKH *float64
	CalciumMgL    *float64
	MagnesiumMgL  *float64
}

// Limits bound what a change may do to a system, per step and per rolling 24 h,
// and what the system may be.
type Limits struct {
	TemperatureStep, TemperaturePerDay float64 // K
	SalinityStep, SalinityPerDay       float64 // practical salinity
	AlkalinityPerDay                   float64 // dKH
	TemperatureLow, TemperatureHigh    units.Celsius
	SalinityLow, SalinityHigh          units.Practical
	OxygenLow                          float64 // mg/L
}

// Ambient is the room's temperature.
type Ambient struct{ Usual, Coldest, Hottest units.Celsius }

// HeatLoss says how a system loses heat; at most one of the three is set, none
// when the file does not say.
type HeatLoss struct {
	HeaterDuty  *float64 // share of time the heaters run at usual ambient, 0 to 1
	Coefficient *float64 // W/K
	CoolingTest *CoolingTest
}

// CoolingTest is a fall of temperature with the heaters off.
type CoolingTest struct {
	From, To units.Celsius
	InH      float64
}

// Sensitivity is the most delicate group kept.
type Sensitivity string

// The groups of livestock, from hardy to delicate.
const (
	Fish         Sensitivity = "fish"
	Invertebrate Sensitivity = "invertebrate"
	Coral        Sensitivity = "coral"
)

// Livestock is who breathes the oxygen.
type Livestock struct {
	FishMassKg  float64
	FishSizeG   float64 // of one typical fish; 0 when no fish are named
	ReefAreaM2  float64
	Sensitivity Sensitivity
}

// Equipment is one device. Kind says which fields count.
type Equipment struct {
	ID   string
	Kind EquipmentKind
	// PowerW in watts: heater, return, circulation, air, chiller, generator.
	PowerW float64
	// ReservoirL and FlowLH: top-off, doser.
	Reservoir units.Litres
	FlowLH    float64
	// Doses of a doser, with its Strength: meq/mL of alkalinity, mg/mL of the others.
	Doses    Dosed
	Strength float64
	// OverflowLH of a skimmer, L/h.
	OverflowLH float64
	// EnergyWh, Usable (0 to 1), Inverter (0 to 1, what reaches the load) and IdleW
	// (what the inverter draws) of a battery. LastsH is stated or measured and goes
	// before them; nil: reckoned. Feeds names equipment ids, those of another system
	// as system/id; a generator that names none can feed the whole site.
	EnergyWh float64
	Usable   float64
	Inverter float64
	IdleW    float64
	LastsH   *float64
	Feeds    []string
	// FuelL and UsePerHourL of a generator.
	FuelL, UsePerHourL float64
	Guards             []Guard
}

// EquipmentKind names what a device is.
type EquipmentKind string

// The kinds of equipment.
const (
	Heater      EquipmentKind = "heater"
	Chiller     EquipmentKind = "chiller"
	TopOff      EquipmentKind = "top-off"
	Doser       EquipmentKind = "doser"
	Skimmer     EquipmentKind = "skimmer"
	Circulation EquipmentKind = "circulation"
	Return      EquipmentKind = "return"
	Air         EquipmentKind = "air"
	Battery     EquipmentKind = "battery"
	Generator   EquipmentKind = "generator"
)

// Dosed is what a doser adds.
type Dosed string

// What is dosed.
const (
	Alkalinity Dosed = "alkalinity"
	Calcium    Dosed = "calcium"
	Magnesium  Dosed = "magnesium"
)

// Guard is a protection that acts independently of the part that fails.
type Guard struct {
	Kind string
	// Tested is the date of the last test; nil: never tested, does not count.
	Tested *time.Time
	// SharedWith names what it fails together with (a power strip, a
	// controller); "" when independent.
	SharedWith string
}
