// Package readiness answers the question of a quiet day: would the water on hand,
// and what can be made in time, see this site through each event it wants to be
// ready for? It judges every event alone, and the combinations that must be
// survivable at once, on the worst day of the routine; it names what holds each
// back, the smallest remedy of each kind that would mend it, and what else would
// catch the site out: kit that is missing or expired, water too old, drills and
// guards that nobody has tried.
package readiness

import "tidehold/refs"

// Result is the whole answer for one site. Litres are L, times hours after the
// event begins; a time that never comes is nil.
type Result struct {
	// Verdict is the worst of the events and combinations.
	Verdict  Verdict    `json:"verdict"`
	Events   []Event    `json:"events"`
	Together []Together `json:"together"`
	// FirstFix is the one thing to do first: the cheapest remedy of the worst
	// event that has any; nil when all is covered or nothing was found.
	FirstFix *FirstFix    `json:"first_fix"`
	Kit      []KitCheck   `json:"kit"`
	Ages     []AgeCheck   `json:"ages"`
	Drills   []DrillCheck `json:"drills"`
	// UntestedGuards do not count as protection.
	UntestedGuards []GuardCheck `json:"untested_guards"`
	WorstDay       WorstDay     `json:"worst_day"`

	// Assumptions and Warnings go beside the result, not inside it.
	Assumptions []refs.Assumption `json:"-"`
	Warnings    []string          `json:"-"`
}

// Event is one event's demand against supply.
type Event struct {
	ID      string  `json:"id"`
	System  string  `json:"system"`
	Verdict Verdict `json:"verdict"`
	// Reason says in a sentence why.
	Reason string `json:"reason"`
	// Missing names what an unknown verdict lacks; "" otherwise.
	Missing string `json:"missing"`
	// DemandL is the water the event takes when all of it is ready and matches;
	// nil when no amount would do or the demand is not known.
	DemandL *float64 `json:"demand_l"`
	// Changes is the number of changes the plan makes.
	Changes int `json:"changes"`
	// UsableNowL is what can be taken at once: less heel, reserve and water over
	// its age. Coverage is UsableNowL / DemandL; nil without a demand.
	UsableNowL float64  `json:"usable_now_l"`
	Coverage   *float64 `json:"coverage"`
	// FirstChangeL is the size of the first change.
	FirstChangeL float64 `json:"first_change_l"`
	// DoneAtH is when the target is reached, the filling included; nil: never.
	DoneAtH *float64 `json:"done_at_h"`
	WithinH float64  `json:"within_h"`
	// EarliestDoneAtH is when a late event could be done by a plan made for that
	// alone; nil when that was not worked out.
	EarliestDoneAtH *float64 `json:"earliest_done_at_h"`
	// Bottleneck is what holds the plan back: volume, salt, purified water,
	// warming, mixing time, interval, drawdown or another limit; "" when nothing.
	Bottleneck string `json:"bottleneck"`
	// BottleneckDetail says it in a sentence.
	BottleneckDetail string `json:"bottleneck_detail"`
	// WaterL is what the plan uses; MissingL what is still lacking after its last
	// change when the verdict is short; nil otherwise, and where no number of changes
	// of the size that is allowed would do.
	WaterL   float64  `json:"water_l"`
	MissingL *float64 `json:"missing_l"`
	// Fixes are the smallest remedies, one of each kind that mends the event
	// alone, cheapest first; when none does, the smallest pair.
	Fixes []Fix  `json:"fixes"`
	Steps []Step `json:"steps"`
	Work  Work   `json:"work"`
	// Restock is what must be made and bought afterwards; nil when the plan uses
	// no water.
	Restock *Restock `json:"restock"`
	// Curves are for the chart of supply against demand.
	Curves Curves `json:"curves"`
}

// Step is one change of the plan.
type Step struct {
	N int `json:"n"`
	// AtH is when it starts and DoneH when the system is full again.
	AtH     float64 `json:"at_h"`
	DoneH   float64 `json:"done_h"`
	RemoveL float64 `json:"remove_l"`
	AddL    float64 `json:"add_l"`
	// Before and After are the share left of what was there (an event that asks
	// for a share to be removed) or µg/L.
	Before float64 `json:"before"`
	After  float64 `json:"after"`
	Unit   string  `json:"unit"`
	From   []Draw  `json:"from"`
	// LimitedBy says what kept the change from being larger.
	LimitedBy string `json:"limited_by"`
}

// Together is a combination of events that must be survivable at once.
type Together struct {
	Events  []string `json:"events"`
	Verdict Verdict  `json:"verdict"`
	// Reason names the event that fails and when it would be done.
	Reason  string  `json:"reason"`
	DemandL float64 `json:"demand_l"`
	// Each says how every event of the combination fares.
	Each []TogetherEvent `json:"each"`
	// Fixes mend the combination where each event is covered alone.
	Fixes []Fix `json:"fixes"`
}

// TogetherEvent is one event of a combination.
type TogetherEvent struct {
	ID      string   `json:"id"`
	Verdict Verdict  `json:"verdict"`
	DoneAtH *float64 `json:"done_at_h"`
	WithinH float64  `json:"within_h"`
	Changes int      `json:"changes"`
	WaterL  float64  `json:"water_l"`
}

// Fix is one remedy: what to have more of, beyond what there is now.
type Fix struct {
	What   Remedy  `json:"what"`
	Amount float64 `json:"amount"`
	Unit   string  `json:"unit"`
	// With is the other half when no single remedy of any kind is enough.
	With *Fix `json:"with"`
	// Where is the store it applies to; "" when it does not apply to one.
	Where string `json:"where"`
	// NeedsRoomL is the room that no vat has for it; 0 when there is room. KeptAtC
	// is the temperature at which such saltwater has to stand.
	NeedsRoomL float64  `json:"needs_room_l"`
	KeptAtC    *float64 `json:"kept_at_c"`
	// Cost at the site's own prices, in its currency; nil where none is given.
	Cost *float64 `json:"cost"`
}

// FirstFix is the remedy to begin with.
type FirstFix struct {
	Event string `json:"event"`
	Fix   Fix    `json:"fix"`
	// Cheapest says that prices decided; otherwise the order of effort did:
	// salt, then water, then equipment, then time.
	Cheapest bool `json:"cheapest"`
}

// Restock is what an event takes out of the house, and when the site would be as
// ready as before.
type Restock struct {
	// SaltwaterL has to be mixed to fill the saltwater stores again.
	SaltwaterL float64 `json:"saltwater_l"`
	// PurifiedL has to be purified, for that and for what the batches of the event
	// took; SaltKg has to be bought, in Bags (0: size unknown) for Cost (nil: price
	// unknown).
	PurifiedL float64  `json:"purified_l"`
	SaltKg    float64  `json:"salt_kg"`
	Bags      int      `json:"bags"`
	Cost      *float64 `json:"cost"`
	// ReadyAgainH is when that can be done at the latest, in hours after the event
	// begins; nil when no purifier makes the water.
	ReadyAgainH *float64 `json:"ready_again_h"`
}
