package playbook

import (
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// Facts are what is known about one site, system and event when a card is
// printed. A nil pointer or an empty list is "not known": the card then has a
// blank. Litres are L, times hours after the start, shares 0 to 1.
type Facts struct {
	// Site is the site's name, System the system's id, Event the event's id; all
	// are empty when there is no site file.
	Site, System, Event string
	Units               units.System
	// Printed is when the card is made.
	Printed time.Time
	// Profile is what the site has.
	Profile Profile

	Contacts []site.Contact
	NetL     *float64
	// Several says that the site has other tanks, which this card is not for.
	Several bool
	// OneSump says that several tanks stand on one sump.
	OneSump bool
	// Beside are events that have struck too, whose cards have their own share of the water.
	Beside []string
	// Others are their plans, planned with this one.
	Others []plan.Plan
	// Awake is when changes are begun, nil: at any hour; Start the clock of the place that the
	// plan begins at; EveryH the shortest time from one change to the next.
	Awake  *site.Awake
	Start  string
	EveryH float64
	// Water the system is kept at, and what it may be.
	Water  *site.Chemistry
	Limits *site.Limits
	// SwitchOff names what is switched off before water leaves the system, Backups
	// the batteries and generators with what they feed.
	SwitchOff []string
	Backups   []Backup
	// PumpLH is the slowest transfer pump of the plan, L/h; nil: none. Buckets: a vat of it is
	// carried by hand.
	PumpLH  *float64
	Buckets bool

	// Stores as they stand, and which of them are too old to count.
	Stores  []site.Store
	OverAge map[string]bool
	// Plan for the stock at hand, nil: not known.
	Plan *plan.Plan
	// Top stands at the top of the cards with rows, in the night or where the site file has faults: it takes room.
	Top string
	// LackingL is the smallest addition of stored saltwater that a new plan proves
	// enough, nil: none is, or not known.
	LackingL *float64
	// Sheets are the plans of a binder, where its cards have several; Plan is nil then.
	Sheets []Sheet
	// ownRows puts the rows and batches on the event's own card; most is how many lines of
	// rows are printed, 0: mostRows.
	ownRows bool
	most    int
	// dated names the day with an amount that is lacking; the card Change the water has no room for it.
	dated bool
	// least is how many rows stand all the same, 0: as many as the front has.
	least int
	// RoomC is the coldest room of the site, which the cold of a power cut is reckoned for;
	// HotRoomC the hottest, for a tank that is colder than any room.
	RoomC, HotRoomC *float64
	// SmallChangeL is the change that water at the coldest room temperature
	// allows, and VatWarmingH the hours a vat heater takes for 1 °C; nil: not known.
	SmallChangeL, VatWarmingH *float64
	// PurifierFullH is when the purifier has filled its vat, nil: not known.
	PurifierFullH *float64
	// LadderA is for the bottle filled before the first change, Ladder for later ones.
	LadderA, Ladder []Rung
	// BinL is the smallest bin whose air lasts the fish BinAirH without a pump.
	BinL *float64
	// Hours are the times to a limit, from hazards.
	Hours []LimitTime
	// Generators is what each generator carries and for how long, in words.
	Generators []string
	// Dechlorinator is what each reading of a total-chlorine test asks for.
	Dechlorinator []ChlorineDose
	// AmmoniaChronicMgL and AmmoniaAcuteMgL are the total ammonia, mg/L as N, at which
	// un-ionised ammonia reaches the chronic and the acute criterion in this system.
	AmmoniaChronicMgL, AmmoniaAcuteMgL *float64
	// IceKg takes 1 °C from the system; HeatHours is what the good heaters need to
	// add 1 °C, HeaterW their power.
	IceKg, HeatHours *float64
	HeaterW          float64
	// Dose is what 100 mL of a dosing bottle does, nil: no doser is known.
	Dose *Dose
	// CutL and LiftKg mend 100 L of vat water by 1 of salinity: purified water in
	// place of as much, or salt; nil: not known.
	CutL, LiftKg *float64

	Assumptions []refs.Assumption
	Warnings    []string
}

// Rung is one line of the table that turns a laboratory result into changes.
type Rung struct {
	// UpToUgL is the highest result, its ± added, for which Changes reach the target:
	// rows of the plan, or further changes of ChangeL.
	UpToUgL float64
	Changes int
	ChangeL float64
}

// LimitTime is how long a fault takes to reach a limit.
type LimitTime struct {
	Equipment, Failure, Limit string
	// LowH and HighH are the same when the hazard is not a range.
	LowH, HighH float64
}

// ChlorineDose is the sodium thiosulfate (pentahydrate) for the net volume, in
// grams, by the reading, mg/L.
type ChlorineDose struct{ MgL, G float64 }

// Dose is what a dosing bottle does to the system.
type Dose struct {
	Equipment, What string
	// Per100mL is the rise for 100 mL missing, in Unit; SafeML what stays within the
	// limit of a day, nil where there is none.
	Per100mL float64
	Unit     string
	SafeML   *float64
}
