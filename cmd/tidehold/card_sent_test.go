package main

import (
	"slices"
	"testing"

	"tidehold/response/playbook"
	"tidehold/volumes/site"
)

// One card at a site brings those alone that its steps send people to there; a binder, and a card without a site,
// bring all that they may.
func TestACardBringsThoseItSendsTo(t *testing.T) {
	bare, faults := site.Load("site.yaml", []byte("format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, volume: 150 L}]\n"))
	if bare == nil {
		t.Fatal(faults)
	}
	lib := playbook.Builtin()
	at, anywhere := shelf{lib: lib, site: bare}, shelf{lib: lib}
	fewer := 0
	for _, name := range lib.Names() {
		here, err := at.sent(playbookFlags{}, []string{name})
		all := lib.Sent(name)
		if err != nil || slices.ContainsFunc(here, func(c string) bool { return !slices.Contains(all, c) }) {
			t.Errorf("%s: %v, of %v: %v", name, here, all, err)
		}
		if len(here) < len(all) {
			fewer++
		}
		if without, err := anywhere.sent(playbookFlags{}, []string{name}); err != nil || !slices.Equal(without, all) {
			t.Errorf("%s without a site: %v, %v", name, without, err)
		}
		if two, err := at.sent(playbookFlags{}, []string{name, "leak"}); err != nil || !slices.Equal(two, lib.Sent(name, "leak")) {
			t.Errorf("%s in a binder: %v, %v", name, two, err)
		}
	}
	if fewer == 0 {
		t.Error("a bare house has every card")
	}
}
