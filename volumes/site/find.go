package site

import (
	"strings"

	"tidehold/refs"
)

// ThingKind is a kind of thing that a site file names.
type ThingKind string

// The kinds that can be looked up. Kit and drills go by their words.
const (
	KindSystem ThingKind = "system"
	KindStore  ThingKind = "store"
	KindSalt   ThingKind = "salt"
	KindMedium ThingKind = "medium"
	KindEvent  ThingKind = "event"
	KindKit    ThingKind = "kit item"
	KindDrill  ThingKind = "drill"
)

// Find is the place of a thing in its list of the site (Stores, Systems …) by its
// id. Where there is none the error is a *refs.UnknownError, which names those there are
// and the nearest. Items of the kit and drills are found whatever the case of
// their letters, since they are words and not ids.
func (s *Site) Find(kind ThingKind, id string) (int, error) {
	known := s.Names(kind)
	for i, k := range known {
		if k == id {
			return i, nil
		}
	}
	if kind == KindKit || kind == KindDrill {
		for i, k := range known {
			if strings.EqualFold(k, id) {
				return i, nil
			}
		}
	}
	return -1, &refs.UnknownError{What: string(kind), Name: id, Where: "the site file", Known: known}
}

// Names are the ids of a kind in file order, of kit and drills their words.
func (s *Site) Names(kind ThingKind) []string {
	switch kind {
	case KindSystem:
		return names(s.Systems, func(x *System) string { return x.ID })
	case KindStore:
		return names(s.Stores, func(x *Store) string { return x.ID })
	case KindSalt:
		return names(s.Salts, func(x *Salt) string { return x.ID })
	case KindMedium:
		return names(s.Media, func(x *Media) string { return x.ID })
	case KindEvent:
		return names(s.Events, func(x *Event) string { return x.ID })
	case KindKit:
		return names(s.Kit, func(x *KitItem) string { return x.Item })
	case KindDrill:
		return names(s.Drills, func(x *Drill) string { return x.What })
	}
	return nil
}

func names[T any](list []T, name func(*T) string) []string {
	out := make([]string, len(list))
	for i := range list {
		out[i] = name(&list[i])
	}
	return out
}

// FindSystem looks a system up; the error is that of Find.
func (s *Site) FindSystem(id string) (*System, error) {
	i, err := s.Find(KindSystem, id)
	if err != nil {
		return nil, err
	}
	return &s.Systems[i], nil
}

// FindStore looks a store up; the error is that of Find.
func (s *Site) FindStore(id string) (*Store, error) {
	i, err := s.Find(KindStore, id)
	if err != nil {
		return nil, err
	}
	return &s.Stores[i], nil
}

// FindSalt looks a salt up; the error is that of Find.
func (s *Site) FindSalt(id string) (*Salt, error) {
	i, err := s.Find(KindSalt, id)
	if err != nil {
		return nil, err
	}
	return &s.Salts[i], nil
}

// FindEvent looks an event up; the error is that of Find.
func (s *Site) FindEvent(id string) (*Event, error) {
	i, err := s.Find(KindEvent, id)
	if err != nil {
		return nil, err
	}
	return &s.Events[i], nil
}
