// Package readiness answers the question of a quiet day: would the water on hand,
// and what can be made in time, see this site through each event it wants to be
// ready for? It judges every event alone, and the combinations that must be
// survivable at once, on the worst day of the routine; it names what holds each
// back, the smallest remedy of each kind that would mend it, and what else would
// catch the site out: kit that is missing or expired, water too old, drills and
// guards that nobody has tried.
package readiness

import (
	"tidehold/refs"
	"tidehold/response/plan"
)

// Result is the whole answer for one site. Litres are L, times hours after the
// event begins; a time that never comes is nil.
type Result struct {
	// Verdict is the worst of the events and combinations.
	Verdict  Verdict    `json:"verdict"`
	Events   []Event    `json:"events"`
	Together []Together `json:"together"`
	// Shopping is the cheapest set of purchases and actions found after which every event and
	// combination is covered; PartSteps are cheaper ones that cover some.
	Shopping  []Purchase `json:"shopping"`
	PartSteps []Purchase `json:"part_steps"`
	// NotByPurchase are the events and combinations that nothing to buy mends: the
	// shopping list covers all others.
	NotByPurchase []string `json:"not_by_purchase"`
	// LateThen is what is late at other hours of the day with all of the shopping list; nil where there is
	// none, or that was not looked at.
	LateThen []LateThen   `json:"late_then"`
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

// LateThen is an event or a combination and the full hours of the day at which it would be late if it began then.
type LateThen struct {
	Events      []string `json:"events"`
	LateAtHours []int    `json:"late_at_hours"`
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
	// LateAtHours are the full hours of the day at which a covered event would be late if it began then,
	// people being asleep when a change is due; nil where that was not looked at, as where none are.
	LateAtHours []int `json:"late_at_hours"`
	// InTimeIfAwake says that a late or short event would be in time for whoever gets up at night for each change.
	InTimeIfAwake bool `json:"in_time_if_awake"`
	// EarliestDoneAtH is when a late event could be done by a plan made for that
	// alone; nil when that was not worked out.
	EarliestDoneAtH *float64 `json:"earliest_done_at_h"`
	// Bottleneck is what holds the plan back: volume, salt, purified water,
	// warming, mixing time, interval, drawdown or another limit; "" when nothing, or nobody looked
	// since many events fail worse.
	Bottleneck string `json:"bottleneck"`
	// BottleneckDetail says it in a sentence.
	BottleneckDetail string `json:"bottleneck_detail"`
	// WaterL is what the plan uses; LackingL the smallest addition of stored
	// saltwater, at the system's salinity and temperature, that a new plan proves
	// enough; nil: nothing is lacking, or no amount would do.
	WaterL   float64  `json:"water_l"`
	LackingL *float64 `json:"lacking_l"`
	// Proved says that no permitted plan is better; otherwise GapPercent is the most by
	// which its exposure could still fall. BestToH is the time over which a plan that is never done
	// does its best.
	Proved     bool    `json:"proved"`
	GapPercent float64 `json:"gap_percent"`
	BestToH    float64 `json:"best_to_h"`
	// Today is the same event on the stock as it stands, before the regular changes;
	// WithMedia what the site's media would bring on the worst day; nil: none stated.
	Today     Today           `json:"today"`
	WithMedia *EventWithMedia `json:"with_media"`
	// Fixes are the smallest remedies, one of each kind that mends the event
	// alone, cheapest first; when none does, the smallest pair.
	Fixes []Fix        `json:"fixes"`
	Steps []plan.Shown `json:"steps"`
	Work  Work         `json:"work"`
	// Restock is what must be made and bought afterwards; nil when the plan uses
	// no water.
	Restock *Restock `json:"restock"`
	// Curves are for the chart of supply against demand.
	Curves Curves `json:"curves"`
	// binding is what holds the plan back, once that was looked for.
	binding plan.Binding
	// tooMuchL is where more than LackingL no longer does; 0: it always does.
	tooMuchL float64
	// concluded says that what it lacks was looked for.
	concluded bool
	// Plan is the whole plan on the worst day.
	Plan *plan.Plan `json:"-"`
}

// Today is how an event fares on the stock as it stands.
type Today struct {
	Verdict    Verdict  `json:"verdict"`
	DoneAtH    *float64 `json:"done_at_h"`
	LackingL   *float64 `json:"lacking_l"`
	UsableNowL float64  `json:"usable_now_l"`
	Changes    int      `json:"changes"`
	WaterL     float64  `json:"water_l"`
	// Plan is the whole plan: what dilute and the cards show.
	Plan *plan.Plan `json:"-"`
}

// EventWithMedia is how an event would fare if the site's media did what the site file
// states. It never makes the verdict.
type EventWithMedia struct {
	Verdict Verdict  `json:"verdict"`
	DoneAtH *float64 `json:"done_at_h"`
	WaterL  float64  `json:"water_l"`
	Media   []string `json:"media"`
}

// Together is a combination of events that must be survivable at once.
type Together struct {
	Events  []string `json:"events"`
	Verdict Verdict  `json:"verdict"`
	// ServedFirst are the events that the water goes to first where one more would be late if it went by
	// priority; empty where it goes by that.
	ServedFirst []string `json:"served_first,omitempty"`
	// LateAtHours and InTimeIfAwake as for an event.
	LateAtHours   []int `json:"late_at_hours"`
	InTimeIfAwake bool  `json:"in_time_if_awake"`
	// Reason names the event that fails and when it would be done.
	Reason  string  `json:"reason"`
	DemandL float64 `json:"demand_l"`
	// LackingL as for an event; kept at the salinity and temperature of its first system.
	LackingL *float64 `json:"lacking_l"`
	// Each says how every event of the combination fares.
	Each []TogetherEvent `json:"each"`
	// Fixes mend the combination where each event is covered alone.
	Fixes []Fix `json:"fixes"`
	// shortL is what the plans that are not in time fall short by, litres.
	shortL float64
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
	// TooMuch is where more no longer mends, where that was met: the amount then has to
	// lie between Amount and TooMuch. Nil: more mends too.
	TooMuch *float64 `json:"too_much"`
	// With is the other half when no single remedy of any kind is enough.
	With *Fix `json:"with"`
	// Where is the store it applies to; "" when it does not apply to one.
	Where string `json:"where"`
	// Salinity and KeptAtC are the water to keep, or to have delivered within AfterH; nil for
	// anything else.
	Salinity *float64 `json:"salinity"`
	KeptAtC  *float64 `json:"kept_at_c"`
	AfterH   *float64 `json:"after_h"`
	// BackgroundUgL is what water in a new container, or a delivery, is counted with of what is to be brought
	// down, by contaminant: where no salt says what new water brings, the most that any store of its kind
	// does. A delivery is counted with what the salt brings, where there is one.
	BackgroundUgL map[string]float64 `json:"background_ug_l,omitempty"`
	// NeedsRoomL is the room that no vat has for it; 0 when there is room.
	NeedsRoomL float64 `json:"needs_room_l"`
	// Cost at the site's own prices, in its currency; nil where none is given.
	Cost *float64 `json:"cost"`
	// How says what is not plain: how to enter it so that it is enough, or what the plan does with it, as
	// water cut to fit.
	How string `json:"how"`
}

// Restock is what an event takes out of the house, and when the site would be as
// ready as before.
type Restock struct {
	// SaltwaterL has to be mixed to fill the saltwater stores again.
	SaltwaterL float64 `json:"saltwater_l"`
	// PurifiedL has to be purified, for that and for what the batches of the event
	// took; SaltKg has to be bought, Salts by salt, in Bags (0: size unknown) for Cost
	// (nil: the price of one is unknown).
	PurifiedL float64     `json:"purified_l"`
	SaltKg    float64     `json:"salt_kg"`
	Salts     []plan.Salt `json:"salts"`
	Bags      int         `json:"bags"`
	Cost      *float64    `json:"cost"`
	// ReadyAgainH is when that can be done at the latest, in hours after the event
	// begins; nil when no purifier makes the water.
	ReadyAgainH *float64 `json:"ready_again_h"`
}
