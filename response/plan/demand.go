package plan

import (
	"strings"

	"tidehold/volumes/site"
)

// Aim is one thing to bring down in one system: a contaminant from a start to a
// target, or, before any measurement, a share of whatever is there.
type Aim struct {
	// EventID is the site's event this comes from; "" when it comes from none.
	EventID string `json:"event"`
	// Contaminant is an id of refs; "" for a share to remove.
	Contaminant string `json:"contaminant"`
	// Start and Target are µg/L; for a share Start is 1 and Target is 1 − share.
	// StartU is the expanded uncertainty (k = 2) of Start.
	Start  float64 `json:"start"`
	StartU float64 `json:"start_u"`
	Target float64 `json:"target"`
	// SourceMgH is what still adds the contaminant, mg/h; 0 for a share.
	SourceMgH float64 `json:"source_mg_h"`
	// BoundRatio and BoundRatePerH are the exchange with rock and sand, as in
	// dilution.Dynamics; 0: none.
	BoundRatio    float64 `json:"bound_ratio"`
	BoundRatePerH float64 `json:"bound_rate_per_h"`
	// WithinH is the time allowed; 0: no deadline.
	WithinH float64 `json:"within_h"`
}

// Share reports whether the aim is a share to remove, without a measurement.
func (a Aim) Share() bool { return a.Contaminant == "" }

// Demand is what one system needs. The same changes serve all its aims.
type Demand struct {
	System *site.System
	Aims   []Aim
	// Reheats says that the system is back at its own temperature before the next
	// change; otherwise temperature steps add up.
	Reheats bool
	// Priority among systems that share water, 1 first; 0: after all others.
	Priority int
	// Now is the system's water at time zero, where it differs from the water the
	// system is kept at: a night under way. Nil: as it is kept.
	Now *State
	// Held are the states of the 24 h before time zero, which count against the
	// limits per day; the oldest first.
	Held []Held
	// NotBeforeH is the earliest start of the first change: people and power come
	// first (lead), or the interval since the last change of a night under way.
	NotBeforeH float64
}

// Held is a state of the system's water that lasted until a time, zero or less: hours
// before the plan begins.
type Held struct {
	State
	UntilH float64
}

// EventIDs lists the events the demand serves, in the order of its aims.
func (d Demand) EventIDs() []string {
	ids := make([]string, 0, len(d.Aims))
	for _, a := range d.Aims {
		if a.EventID != "" {
			ids = append(ids, a.EventID)
		}
	}
	return ids
}

// WithinH is the earliest deadline of the aims; 0: none has one.
func (d Demand) WithinH() float64 {
	least := 0.0
	for _, a := range d.Aims {
		if a.WithinH > 0 && (least == 0 || a.WithinH < least) {
			least = a.WithinH
		}
	}
	return least
}

// AllOf names events that strike at once, or the one: "a + b".
func AllOf(events []string) string { return strings.Join(events, " + ") }
