package playbook

import (
	"fmt"
	"strings"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// Request says which card is wanted for which part of a site.
type Request struct {
	// Playbook is its name. Event and System may be empty: then the site's first
	// event for that playbook is taken, else its first system.
	Playbook, Event, System string
	// Cards is where the card comes from: a plan that neither it nor a card it sends people to prints is
	// not made. nil: it is made.
	Cards *Library
	// Beside are events that have struck too and share the water.
	Beside []string
	Units  units.System
	// Printed is the moment the card is made and planned from; At the start of the
	// event when clock times are wanted.
	Printed time.Time
	At      *time.Time
}

// the default aim of a card that no event of the site names.
const (
	defaultRemove  = 0.5
	defaultWithinH = 24
)

// NotFoundError says that the site has no event or system of that name.
type NotFoundError struct {
	What, Name string
	Known      []string
}

func (e *NotFoundError) Error() string {
	text := fmt.Sprintf("%s %q is not in the site file", e.What, e.Name)
	if len(e.Known) > 0 {
		text += "; known: " + strings.Join(e.Known, ", ")
	}
	if n, ok := refs.Nearest(e.Name, e.Known); ok {
		text += "; " + refs.DidYouMean(n)
	}
	return text
}

// choose finds the event and the system of a request.
func choose(s *site.Site, r Request) (site.Event, *site.System, error) {
	none := site.Event{}
	if r.System != "" && s.SystemByID(r.System) == nil {
		return none, nil, &NotFoundError{"system", r.System, ids(s.Systems, func(x site.System) string { return x.ID })}
	}
	if r.Event != "" {
		ev := s.EventByID(r.Event)
		if ev == nil {
			return none, nil, &NotFoundError{"event", r.Event, ids(s.Events, func(x site.Event) string { return x.ID })}
		}
		if r.System != "" && ev.System != r.System {
			return none, nil, fmt.Errorf("event %s is about system %s, not %s; leave out one of the two", ev.ID, ev.System, r.System)
		}
		return *ev, s.SystemByID(ev.System), nil
	}
	r.Playbook = Current(r.Playbook)
	for _, ev := range s.Events {
		if Current(ev.Playbook) == r.Playbook && (r.System == "" || ev.System == r.System) {
			return ev, s.SystemByID(ev.System), nil
		}
	}
	sys := &s.Systems[0]
	if r.System != "" {
		sys = s.SystemByID(r.System)
	}
	share := defaultRemove
	reheats, _ := sys.Reheats(r.Playbook == site.HeaterBreak)
	return site.Event{System: sys.ID, Playbook: r.Playbook, Remove: &share, WithinH: defaultWithinH, Reheats: reheats}, sys, nil
}

// ProfileFor is what the site has for the system that a request is about.
func ProfileFor(s *site.Site, r Request) (Profile, error) {
	_, sys, err := choose(s, r)
	if err != nil {
		return Profile{}, err
	}
	return ProfileOf(s, sys), nil
}

func ids[T any](list []T, id func(T) string) []string {
	out := make([]string, len(list))
	for i, x := range list {
		out[i] = id(x)
	}
	return out
}
