package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/volumes/site"
)

// findStore looks a store up, with the nearest name for a slip.
func findStore(s *site.Site, id string) (*site.Store, error) {
	if store := s.StoreByID(id); store != nil {
		return store, nil
	}
	return nil, notInSite("store", id, storeIDs(s))
}

// findSystem looks a system up, with the nearest name for a slip.
func findSystem(s *site.Site, id string) (*site.System, error) {
	if sys := s.SystemByID(id); sys != nil {
		return sys, nil
	}
	ids := make([]string, len(s.Systems))
	for i := range s.Systems {
		ids[i] = s.Systems[i].ID
	}
	return nil, notInSite("system", id, ids)
}

func storeIDs(s *site.Site) []string {
	ids := make([]string, len(s.Stores))
	for i := range s.Stores {
		ids[i] = s.Stores[i].ID
	}
	return ids
}

func notInSite(what, id string, known []string) error {
	if len(known) == 0 {
		return usagef("%s %q: the site file has none", what, id)
	}
	return usagef("%s %q is not in the site file, which has %s%s", what, id, strings.Join(known, ", "), meant(id, known))
}

// siteDefault is a fixed default of the site file with its basis, by path.
func siteDefault(path string) (refs.Assumption, error) {
	for _, d := range site.Defaults() {
		if d.What == path {
			return d, nil
		}
	}
	return refs.Assumption{}, fmt.Errorf("the site file has no default for %s", path)
}

// aboutSystem picks the assumptions about the parts and the volume of a system.
func aboutSystem(s *site.Site, id string) []refs.Assumption {
	var out []refs.Assumption
	for _, a := range s.Assumptions {
		rest, ok := strings.CutPrefix(a.What, "systems."+id+".")
		if ok && (strings.HasPrefix(rest, "parts.") || strings.HasPrefix(rest, "net_volume")) {
			out = append(out, a)
		}
	}
	return out
}

// aboutStock picks the assumptions about what is on hand and what of it counts.
func aboutStock(s *site.Site) []refs.Assumption {
	counts := map[string]bool{"volume": true, "capacity": true, "heel": true, "salinity": true, "temperature": true, "max_age": true}
	var out []refs.Assumption
	for _, a := range s.Assumptions {
		list, _, _ := strings.Cut(a.What, ".")
		key := a.What[strings.LastIndex(a.What, ".")+1:]
		if list == "stores" && counts[key] || list == "salts" || list == "kit" || list == "reserve" {
			out = append(out, a)
		}
	}
	return out
}

// completeStores offers the stores of the site for the first argument.
func (a *app) completeStores(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	ls, err := a.loadSite()
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return storeIDs(ls.Site), cobra.ShellCompDirectiveNoFileComp
}
