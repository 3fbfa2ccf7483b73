package playbook

import (
	"slices"

	"tidehold/volumes/site"
)

// uses lists the things of the kit a card asks for at a site, each once: those it
// names itself and the needs of its steps.
func (p *Playbook) uses(at Profile) []string {
	out := slices.Clone(p.Kit)
	p.each(func(it *Item) {
		if !at.shows(it) {
			return
		}
		for _, n := range it.Needs {
			if item, ok := kitNeed(n); ok && !slices.Contains(out, item) {
				out = append(out, item)
			}
		}
	})
	return out
}

// kitMissing lists what of it the site's kit is known to lack.
func (f *Facts) kitMissing(kit []string) []string {
	if !f.Profile.Known {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(kit), func(k string) bool { return f.Profile.Has["kit: "+k] })
}

// Kit is what the cards ask for at a site, for one of its systems or all, in the
// order of the cards, and which cards do.
type Kit struct {
	Item  string   `json:"item"`
	Cards []string `json:"cards"`
	// OK says that a line of the site's kit names it, with at least one at hand.
	OK bool `json:"ok"`
}

// KitOf compares what the cards of these names, and those they send people to, use
// with the kit of a site. Names that are no card of this tool are passed over. It
// reads no card: kitTable is the same, ready to use.
func KitOf(s *site.Site, names ...string) []Kit {
	out := []Kit{}
	at := map[string]int{}
	profile := Profile{Has: map[string]bool{}}
	if len(s.Systems) > 0 { // the kit is the site's: any system has all of it
		profile = ProfileOf(s, &s.Systems[0])
	}
	for _, name := range names {
		name = Current(name)
		for _, item := range kitTable[name] {
			k, ok := at[item]
			if !ok {
				k = len(out)
				at[item] = k
				out = append(out, Kit{Item: item, OK: profile.Has["kit: "+item]})
			}
			if !slices.Contains(out[k].Cards, name) {
				out[k].Cards = append(out[k].Cards, name)
			}
		}
	}
	return out
}

// BlankPhones lists the roles on the fronts of these cards whose number the site
// has not got, the emergency number first.
func BlankPhones(s *site.Site, names ...string) []string {
	f := &Facts{Contacts: s.Contacts}
	var out []string
	for _, name := range names {
		for _, role := range phoneTable[Current(name)] {
			if ph := f.phone(role); ph.Number == "" && !slices.Contains(out, ph.Role) {
				out = append(out, ph.Role)
			}
		}
	}
	return out
}
