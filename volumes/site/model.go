// Package site is the keeper's site as the tool sees it: systems, stores, salts,
// the purifier, what is counted, and the events to be ready for. Load reads it
// from YAML, reports every fault at once with file, line and column, and fills
// each default it takes, listing it with its basis.
package site

import (
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity/mixing"
	"tidehold/volumes"
)

// Site is one place, fully defaulted: a computation never has to ask whether a
// value was given. Pointers mark what may truly be unknown.
type Site struct {
	Name     string
	Units    units.System
	Currency string
	// TimeZone is where clock times are printed; UTC when the file names none.
	TimeZone   *time.Location
	Systems    []System
	Stores     []Store
	Salts      []Salt
	Purifier   *Purifier // nil: none
	Mixing     Mixing
	Reserve    Reserve
	Routine    []Routine
	Deliveries []Delivery
	// Awake is when changes may be started; nil: at any hour.
	Awake    *Awake
	Media    []Media
	Kit      []KitItem
	Drills   []Drill
	Contacts []Contact
	Events   []Event
	// Together lists event ids that must be survivable at once.
	Together [][]string
	// Assumptions are the defaults taken, in file order.
	Assumptions []refs.Assumption
	// Warnings are things a keeper should know that are not faults (an undated
	// vat, an uncertainty that is very large).
	Warnings []Note
	// Replaced are the places that --set replaced in this site, a whole list with
	// the Place of its List alone. A later record does not overrule a what-if.
	Replaced []refs.Place
}

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

// Holds is what a store contains.
type Holds string

// The two kinds of store.
const (
	Saltwater Holds = "saltwater"
	Purified  Holds = "purified"
)

// MaxPurified is the practical salinity up to which water counts as purified: the
// upper end of fresh water in the Venice System (1958; memory). More than that
// is a slip, or no longer water to mix from.
const MaxPurified = 0.5

// Store is a vat, drum or bin of water kept ready.
type Store struct {
	ID    string
	Holds Holds
	// Shape is nil when only a capacity is known.
	Shape    volumes.Shape
	Capacity units.Litres
	// Volume on hand in litres, exact: what is counted adds up.
	Volume decimal.Decimal
	// Heel is what the pump cannot reach, litres.
	Heel  units.Litres
	Water Chemistry
	// Mixed is when it was mixed; nil: undated. Tested restarts the age.
	Mixed, Tested *time.Time
	MaxAgeH       float64
	// HeaterW is the vat's heater, 0 for none. HeatLossWK nil: unknown.
	HeaterW    float64
	HeatLossWK *float64
	// TransferLH is the pump for draining and filling, L/h; nil: buckets.
	TransferLH *float64
	// Background in µg/L by contaminant id: what this water itself brings.
	Background map[string]float64
	// BackgroundU are expanded uncertainties (k = 2) of Background; a missing key
	// is none stated.
	BackgroundU map[string]float64
	// FilledBy is "purifier" or "".
	FilledBy string
}

// Usable is what can be drawn from the store: its volume less the heel, never
// below zero. Reserve and age are the planner's business.
func (s Store) Usable() units.Litres {
	v := units.Litres(s.Volume.InexactFloat64()) - s.Heel
	return max(0, v)
}

// FreshSince is the moment the age of the water counts from: when it was last
// found good, else when it was mixed; nil if neither is known.
func (s Store) FreshSince() *time.Time {
	if s.Tested != nil && (s.Mixed == nil || s.Tested.After(*s.Mixed)) {
		return s.Tested
	}
	return s.Mixed
}

// OverAge says that the water is older at now than it may be to count. Purified
// water and saltwater without a date never are.
func (s Store) OverAge(now time.Time) bool {
	since := s.FreshSince()
	return s.Holds == Saltwater && since != nil && s.MaxAgeH > 0 && now.Sub(*since).Hours() > s.MaxAgeH
}

// Room is what can still be added before the brim.
func (s Store) Room() units.Litres {
	return max(0, s.Capacity-units.Litres(s.Volume.InexactFloat64()))
}

// Salt is a bagged sea-salt mix.
type Salt struct {
	ID string
	// OnHand in kilograms, exact.
	OnHand decimal.Decimal
	// DoseGL grams per litre, finished or purified by DosePer, to reach
	// DoseSalinity at DoseTemperature.
	DoseGL          float64
	DosePer         mixing.Basis
	DoseSalinity    units.Practical
	DoseTemperature units.Celsius
	// PricePerKg in Site.Currency; nil: unknown.
	PricePerKg *decimal.Decimal
	BagKg      float64 // 0: unknown
	// Makes is the chemistry of the water it makes (Salinity and Temperature unused).
	Makes      Chemistry
	Background map[string]float64 // µg/L in the water it makes
	// BackgroundU are expanded uncertainties (k = 2) of Background, µg/L.
	BackgroundU map[string]float64
}

// Dose is the dose as the mixing relations take it.
func (s Salt) Dose() mixing.Dose {
	return mixing.Dose{GPerL: s.DoseGL, Per: s.DosePer, Salinity: s.DoseSalinity, Temperature: s.DoseTemperature}
}

// Purifier makes purified water.
type Purifier struct {
	// RateLH at RatedAt, L/h; Feed is the feed-water temperature now.
	RateLH  float64
	RatedAt units.Celsius
	Feed    units.Celsius
	Guards  []Guard
}

// Factors are what the published tables make of the purifier's rate with its feed water.
func (p *Purifier) Factors() refs.PurifierSpread {
	return refs.PurifierFactors(float64(p.Feed), float64(p.RatedAt))
}

// Mixing is how batches are made.
type Mixing struct {
	TimeH          float64
	EmergencyTimeH float64
	// CutTimeH is how long saltwater is stirred after purified water was poured in.
	CutTimeH float64
	// In names the vats allowed for batches.
	In []string
}

// Awake is when changes may be started: from one time of day to another, hours on the
// site's clock; To before From is past midnight.
type Awake struct{ FromH, ToH float64 }

// AlwaysAwakeH is how long after discovery people stay up whatever the hour.
const AlwaysAwakeH = 4

// Reserve is never planned away, litres in total.
type Reserve struct{ Saltwater, Purified units.Litres }

// Routine is a regular change.
type Routine struct {
	System string
	Volume units.Litres
	EveryH float64
}

// Delivery is water or salt that comes AfterH hours after the event starts.
type Delivery struct {
	AfterH      float64
	Saltwater   units.Litres
	Purified    units.Litres
	SaltKg      float64
	Salinity    *units.Practical
	Temperature *units.Celsius
}

// Media is a filter medium that removes contaminants.
type Media struct {
	ID, System string
	FlowLH     float64
	// SinglePass is the share removed in one pass, 0 to 1, by contaminant id.
	SinglePass map[string]float64
	// CapacityMg is the measured capacity; nil: unknown, and readiness ignores it.
	CapacityMg *float64
}

// KitItem is a tool or test that must be to hand.
type KitItem struct {
	Item       string
	Need, Have int
	// Expires is the last day it may be used; nil: it does not expire.
	Expires *time.Time
}

// Expired says that the last day of the item is past at now, in the zone the date
// was written in.
func (k KitItem) Expired(now time.Time) bool {
	return k.Expires != nil && !now.Before(k.Expires.AddDate(0, 0, 1))
}

// Drill is something to practise or inspect.
type Drill struct {
	What   string
	EveryH float64
	Done   *time.Time
}

// Contact is printed on sheets.
type Contact struct{ Role, Name, Phone string }

// Event is what the site wants to be ready for.
type Event struct {
	ID, System, Playbook string
	// Remove is the share to remove (0 to 1), when no start and target are known.
	Remove *float64
	// Contaminant with Start and Target in µg/L; StartU, TargetU expanded.
	Contaminant         string
	StartUgL, StartUUgL float64
	TargetUgL           float64
	WithinH             float64
	Reheats             bool
	SourceMgH           float64
	Priority            int // 1 first; 0 not given: after all others
}

// SystemByID finds a system; nil when there is none.
func (s *Site) SystemByID(id string) *System {
	for i := range s.Systems {
		if s.Systems[i].ID == id {
			return &s.Systems[i]
		}
	}
	return nil
}

// StoreByID finds a store; nil when there is none.
func (s *Site) StoreByID(id string) *Store {
	for i := range s.Stores {
		if s.Stores[i].ID == id {
			return &s.Stores[i]
		}
	}
	return nil
}

// EventByID finds an event; nil when there is none.
func (s *Site) EventByID(id string) *Event {
	for i := range s.Events {
		if s.Events[i].ID == id {
			return &s.Events[i]
		}
	}
	return nil
}
