package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/volumes/site"
)

// findStore looks a store up, with the nearest name for a slip.
func findStore(s *site.Site, id string) (*site.Store, error) {
	store, err := s.FindStore(id)
	return store, usage(err)
}

// findSystem looks a system up, with the nearest name for a slip.
func findSystem(s *site.Site, id string) (*site.System, error) {
	sys, err := s.FindSystem(id)
	return sys, usage(err)
}

func storeIDs(s *site.Site) []string { return s.Names(site.KindStore) }

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
		if a.Place.List == "systems" && a.Place.ID == id && (a.Place.Key == "parts" || a.Place.Key == "net_volume") {
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
		list := a.Place.List
		if list == "stores" && counts[a.Place.Key] || list == "salts" || list == "kit" || list == "reserve" {
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
