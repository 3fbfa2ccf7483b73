package main

import (
	"strings"
	"testing"

	"tidehold/volumes/site"
)

// What the cards of a site's events ask for and it has not got is a line each: things of the kit, and phone numbers,
// be it one.
func TestWhatTheCardsLackIsALineEach(t *testing.T) {
	load := func(text string) *site.Site {
		s, faults := site.Load("site.yaml", []byte("format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, volume: 150 L}]\n"+text))
		if s == nil {
			t.Fatal(faults)
		}
		return s
	}
	const event = "events: [{id: e, system: tank, playbook: leak, remove: 50 %, within: 24 h}]\n"
	bare := cardChecks(load(event))
	if len(bare) != 2 || bare[0].Item != "kit of the cards" || bare[0].Have >= bare[0].Need || !strings.Contains(bare[1].Problem, "veterinarian") || bare[1].Need < 2 {
		t.Fatalf("%+v", bare)
	}
	_, roles, _ := strings.Cut(bare[1].Problem, "contacts: ")
	_, items, _ := strings.Cut(bare[0].Problem, "under kit: ")
	contacts, kit := "", "kit: ["
	for _, r := range strings.Split(roles, ", ")[1:] {
		contacts += "{role: " + r + ", phone: '1234567'}, "
	}
	for _, k := range strings.Split(items, ", ") {
		kit += "{item: " + k + ", need: 1, have: 1}, "
	}
	first, _, _ := strings.Cut(roles, ", ")
	one := cardChecks(load(event + "contacts: [" + contacts + "]\n" + kit + "]\n"))
	if len(one) != 1 || one[0].Problem != "blank; give under contacts: "+first || one[0].Need != 1 {
		t.Errorf("%+v, want %s alone", one, first)
	}
	if none := cardChecks(load(event + "contacts: [" + contacts + "{role: " + first + ", phone: '1234567'}]\n" + kit + "]\n")); none != nil {
		t.Errorf("nothing lacks: %+v", none)
	}
}
