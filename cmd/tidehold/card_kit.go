package main

import (
	"fmt"
	"strings"

	"tidehold/response/playbook"
	"tidehold/response/readiness"
	"tidehold/volumes/site"
)

// cardNames are the cards of a site's events.
func cardNames(s *site.Site) []string {
	var out []string
	for _, e := range s.Events {
		out = append(out, e.Playbook)
	}
	return out
}

// cardChecks say what the cards of the site's events ask for and the site has not
// got: things of the kit, and phone numbers of the fronts. Each is one line of the
// kit; none is a list without gaps.
func cardChecks(s *site.Site) []readiness.KitCheck {
	var out []readiness.KitCheck
	kit := playbook.KitOf(s, cardNames(s)...)
	var lacking []string
	for _, k := range kit {
		if !k.OK {
			lacking = append(lacking, k.Item)
		}
	}
	if len(lacking) > 0 {
		out = append(out, readiness.KitCheck{Item: "kit of the cards", Need: len(kit), Have: len(kit) - len(lacking),
			Problem: fmt.Sprintf("%d of %d missing; list under kit: %s", len(lacking), len(kit), strings.Join(lacking, ", "))})
	}
	if blank := playbook.BlankPhones(s, cardNames(s)...); len(blank) > 0 {
		out = append(out, readiness.KitCheck{Item: "phone numbers of the cards", Need: len(blank), Problem: "blank; give under contacts: " + strings.Join(blank, ", ")})
	}
	return out
}
