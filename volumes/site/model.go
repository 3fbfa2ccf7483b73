package site

import (
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
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
	// Awake is when changes and work on vats may be started; nil: at any hour.
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
