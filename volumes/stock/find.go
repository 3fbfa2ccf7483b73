package stock

import (
	"strings"

	"tidehold/refs"
	"tidehold/volumes/site"
)

// FindDeed finds the drill or the guard that words name: a drill by its words, a guard
// by its kind ("leak shutoff") where there is only one such, else with what it guards
// before it ("heater-1 high-limit cut-out", "hall-reef/heater-1 high-limit cut-out").
// The error is a *refs.UnknownError.
func FindDeed(s *site.Site, words string) (Deed, error) {
	want, known := fold(words), s.Names(site.KindDrill)
	for _, what := range known {
		if fold(what) == want {
			return Deed{Drill: what}, nil
		}
	}
	var found []GuardRef
	for _, g := range guards(s) {
		known = append(known, named(g))
		for _, name := range []string{g.Kind, g.Equipment + " " + g.Kind, named(g)} {
			if fold(name) == want {
				found = append(found, g)
				break
			}
		}
	}
	if len(found) == 1 {
		return Deed{Guard: &found[0]}, nil
	}
	return Deed{}, &refs.UnknownError{What: "drill or guard", Name: words, Where: "the site file", Known: known}
}

func fold(s string) string { return strings.Join(strings.Fields(strings.ToLower(s)), " ") }

// named is the whole name of a guard.
func named(g GuardRef) string {
	if g.Equipment == "" {
		return "purifier " + g.Kind
	}
	return g.System + "/" + g.Equipment + " " + g.Kind
}

// guards lists every guard of the site.
func guards(s *site.Site) []GuardRef {
	var out []GuardRef
	for i := range s.Systems {
		sys := &s.Systems[i]
		for k := range sys.Equipment {
			for _, g := range sys.Equipment[k].Guards {
				out = append(out, GuardRef{sys.ID, sys.Equipment[k].ID, g.Kind})
			}
		}
	}
	if s.Purifier != nil {
		for _, g := range s.Purifier.Guards {
			out = append(out, GuardRef{Kind: g.Kind})
		}
	}
	return out
}
