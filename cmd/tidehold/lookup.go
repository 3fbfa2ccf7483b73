package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// named says which flag an unknown id was given to; "" for an argument.
func named(flag string, err error) error {
	if err == nil || flag == "" {
		return usage(err)
	}
	return usagef("--%s: %w", flag, err)
}

func findStore(s *site.Site, flag, id string) (*site.Store, error) {
	x, err := s.FindStore(id)
	return x, named(flag, err)
}

func findSystem(s *site.Site, flag, id string) (*site.System, error) {
	x, err := s.FindSystem(id)
	return x, named(flag, err)
}

func findSalt(s *site.Site, flag, id string) (*site.Salt, error) {
	x, err := s.FindSalt(id)
	return x, named(flag, err)
}

func findEvent(s *site.Site, flag, id string) (*site.Event, error) {
	x, err := s.FindEvent(id)
	return x, named(flag, err)
}

func storeIDs(s *site.Site) []string  { return s.Names(site.KindStore) }
func systemIDs(s *site.Site) []string { return s.Names(site.KindSystem) }
func saltIDs(s *site.Site) []string   { return s.Names(site.KindSalt) }
func eventIDs(s *site.Site) []string  { return s.Names(site.KindEvent) }

// meant is the hint behind a word that is not known.
func meant(word string, known []string) string {
	if near, ok := refs.Nearest(word, known); ok {
		return didYouMean(near)
	}
	return ""
}

func didYouMean(near string) string { return "; " + refs.DidYouMean(near) }

// siteDefault is a fixed default of the site file with its basis, by path.
func siteDefault(path string) (refs.Assumption, error) {
	for _, d := range site.Defaults() {
		if d.What == path {
			return d, nil
		}
	}
	return refs.Assumption{}, fmt.Errorf("the site file has no default for %s", path)
}

// usualValue is a fixed default of the site file where a command without a site
// takes it too: its number in base units, as it is written, and its basis.
type usualValue struct {
	value       float64
	text, basis string
}

// usualPath is the path of such a default, with its dimension.
type usualPath struct {
	path string
	dim  units.Dimension
}

// The site's defaults that flags may leave out.
var (
	drawdown       = usualPath{"systems.drawdown", units.Share}
	changeEvery    = usualPath{"systems.change_every", units.Duration}
	salinityStep   = usualPath{"systems.limits.salinity_step", units.SalinityStep}
	salinityPerDay = usualPath{"systems.limits.salinity_per_day", units.SalinityStep}
)

// siteUsual is the default at a path; that there is one is for the tests to see.
func siteUsual(p usualPath) usualValue {
	d, err := siteDefault(p.path)
	if err != nil {
		panic(err)
	}
	q, err := units.Parse(d.Value, p.dim)
	if err != nil {
		panic(err)
	}
	return usualValue{q.Value, d.Value, d.Source}
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

// completeIDs offers ids of the site for the first argument of a command.
func (a *app) completeIDs(ids func(*site.Site) []string) func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return a.siteIDs(ids), cobra.ShellCompDirectiveNoFileComp
	}
}

// siteIDs are ids of the site for completion; none where it cannot be read.
func (a *app) siteIDs(ids func(*site.Site) []string) []string {
	ls, err := a.loadSite()
	if err != nil {
		return nil
	}
	return ids(ls.Site)
}
