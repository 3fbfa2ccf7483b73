package playbook

import (
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// Facts are what is known about one site, system and event when a sheet is
// printed. A nil pointer or an empty list is "not known": the sheet then says
// what to measure. Litres are L, times hours after the start, shares 0 to 1.
type Facts struct {
	// Site is the site's name, System the system's id, Event the event's id; all
	// are empty when there is no site file.
	Site, System, Event string
	Units               units.System
	// Zone is where clock times are printed; nil is UTC.
	Zone *time.Location
	// Printed is when the sheet is made. At is the start of the event; nil prints
	// times after the start instead of clock times.
	Printed time.Time
	At      *time.Time

	Contacts []site.Contact
	NetL     *float64
	// Water the system is kept at, and what it may be.
	Water  *site.Chemistry
	Limits *site.Limits
	// SwitchOff names what is switched off before water leaves the system.
	SwitchOff []string
	// PumpLH is the transfer pump, L/h; nil and Buckets: carried by hand.
	PumpLH  *float64
	Buckets bool

	Vats []Vat
	// Plan for the stock at hand, and for half and no stock.
	Plan *Plan
	Less []LessStock
	// Batches are those of the plan; where it has none, those of the first plan of
	// Less that has, and BatchesIf names it. Empty: none can be made, or not known.
	Batches   []Batch
	BatchesIf string
	// SmallChangeL is the change that water at the coldest room temperature
	// allows, and VatWarmingH the hours a vat heater takes for 1 °C; nil: not known.
	SmallChangeL, VatWarmingH *float64
	VatTemperature            *units.Celsius
	Ladder                    []Rung
	Move                      *Move
	// Hours are the times to a limit, from hazards.
	Hours []LimitTime
	// Dechlorinator is what each reading of a total-chlorine test asks for.
	Dechlorinator []ChlorineDose
	// AmmoniaTotalMgL is the total ammonia at which un-ionised ammonia reaches the
	// chronic criterion in this system, mg/L as NH3-N.
	AmmoniaTotalMgL *float64

	Assumptions []refs.Assumption
	Warnings    []string
}

// Vat is one store as the sheet was printed for it.
type Vat struct {
	ID, Holds string
	// VolumeL on hand and UsableL, less heel; Salinity of saltwater.
	VolumeL, UsableL float64
	Salinity         *units.Practical
	Temperature      units.Celsius
}

// Plan is the schedule of changes.
type Plan struct {
	// Remove is the share to remove, 0 to 1; nil when the event has a start and a
	// target instead. TargetUgL is that target in µg/L of Contaminant.
	Remove      *float64
	Contaminant string
	TargetUgL   *float64
	WithinH     float64
	// StartUgL is the start it is planned for; AimLeft the share, 0 to 1, that may
	// be left at the end.
	StartUgL, AimLeft float64
	// DoneAtH is when the plan reaches its aim, nil: never; InTime says within
	// WithinH.
	DoneAtH *float64
	InTime  bool
	// UsableNowL can be drawn at once, WaterL is all changes and MissingL
	// what is lacking to the aim, 0 when nothing is or when no amount would do.
	UsableNowL, WaterL, MissingL float64
	// LeftShare is what is left of the start at the end, 0 to 1.
	LeftShare float64
	Changes   []Change
}

// Change is one row of the table of changes.
type Change struct {
	N          int
	AtH, DoneH float64
	DrainL     float64
	// ToAim says that the aim alone sets DrainL: it is a need, rounded up. Else a
	// limit or the water there is does, and it is rounded down.
	ToAim bool
	From  []string
	// Minutes of pumping out and in, or Trips with 10 L buckets.
	DrainMinutes, FillMinutes float64
	Trips                     int
	// Left is the share left after it, 0 to 1.
	Left float64
	// Temperature of the new water the litres were worked out for; nil: not known.
	Temperature *units.Celsius
}

// LessStock is how the plan begins with less water in the vats.
type LessStock struct {
	// Name is "half full" or "empty".
	Name    string
	UsableL float64
	// First change, nil when none can be made; DoneAtH nil: never.
	First   *Change
	DoneAtH *float64
	Changes int
}

// Batch is new saltwater: all water and salt are in at StartH, and it may be used
// from ReadyH on.
type Batch struct {
	N                 int
	Vat               string
	PurifiedL, SaltKg float64
	StartH, ReadyH    float64
}

// Rung is one line of the table that turns a laboratory result into changes.
type Rung struct {
	// UpToUgL is the highest result, its ± added, for which Changes full changes
	// of ChangeL reach the target.
	UpToUgL float64
	Changes int
	ChangeL float64
}

// Move compares a bin of clean water with changing the tank.
type Move struct {
	BinL float64
	// AirHours lasts the air in the bin without an air pump, low and high; nil
	// when the fish are not known.
	AirLowH, AirHighH *float64
	// Better says that the bin beats the tank, Why in one sentence.
	Better bool
	Why    string
}

// LimitTime is how long a fault takes to reach a limit.
type LimitTime struct {
	Equipment, Failure, Limit string
	// LowH and HighH are the same when the hazard is not a range.
	LowH, HighH float64
}

// ChlorineDose is the sodium thiosulfate (pentahydrate) for the net volume, in
// grams, by the lowest and the highest published figure.
type ChlorineDose struct {
	MgL, LowG, HighG float64
}
