package site_test

import (
	"errors"
	"slices"
	"testing"

	"tidehold/refs"
	"tidehold/volumes/site"
)

func whole(t *testing.T, sets ...string) *site.Site {
	t.Helper()
	s, faults := site.LoadWith("every-key.yaml", read(t, "sites", "every-key.yaml"), sets)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return s
}

func TestEveryThingIsFoundByItsName(t *testing.T) {
	s := whole(t)
	for _, kind := range []site.ThingKind{site.KindSystem, site.KindStore, site.KindSalt, site.KindMedium, site.KindEvent, site.KindKit, site.KindDrill} {
		all := s.Names(kind)
		if len(all) == 0 {
			t.Errorf("no %s", kind)
		}
		for want, name := range all {
			if got, err := s.Find(kind, name); err != nil || got != want {
				t.Errorf("%s %s: %d, %v", kind, name, got, err)
			}
		}
		got, err := s.Find(kind, all[0]+"x")
		var unknown *refs.UnknownError
		if got != -1 || !errors.As(err, &unknown) || !slices.Equal(unknown.Known, all) {
			t.Fatalf("%s: %d, %v", kind, got, err)
		}
		if near, ok := unknown.Nearest(); !ok || near != all[0] {
			t.Errorf("%s: near %q", kind, near)
		}
	}
	if i, err := s.Find(site.KindDrill, "Test the Engine"); err != nil || i != 1 {
		t.Errorf("a drill in other letters: %d, %v", i, err)
	}
	if _, err := s.Find("ship", "x"); err == nil {
		t.Error("a kind that does not exist was found")
	}
	a, e1 := s.FindSystem("lab")
	b, e2 := s.FindStore("cone")
	c, e3 := s.FindSalt("old")
	d, e4 := s.FindEvent("clean")
	if errors.Join(e1, e2, e3, e4) != nil || a.ID != "lab" || b.ID != "cone" || c.ID != "old" || d.ID != "clean" {
		t.Error(e1, e2, e3, e4)
	}
	_, e1 = s.FindSystem("")
	_, e2 = s.FindStore("")
	_, e3 = s.FindSalt("")
	if _, e4 = s.FindEvent(""); e1 == nil || e2 == nil || e3 == nil || e4 == nil {
		t.Error("a thing without a name was found")
	}
}

// Whoever acts on an assumption or a note asks for its place; nobody takes a path apart.
func TestAssumptionsAndNotesKnowTheirPlace(t *testing.T) {
	s, faults := site.Load("x", []byte("format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater}]\n"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	places := map[string]refs.Place{}
	for _, a := range s.Assumptions {
		places[a.What] = a.Place
	}
	for what, want := range map[string]refs.Place{
		"stores.vat.volume":           {List: "stores", ID: "vat", Key: "volume"},
		"systems.tank.water.salinity": {List: "systems", ID: "tank", Key: "water"},
		"reserve.saltwater":           {List: "reserve", Key: "saltwater"},
		"time_zone":                   {List: "time_zone"},
		"purifier":                    {List: "purifier"},
		"events.halve-tank":           {List: "events", ID: "halve-tank"},
	} {
		if got, ok := places[what]; !ok || got != want {
			t.Errorf("%s: %+v, want %+v", what, got, want)
		}
	}
	if n := s.Warnings[0]; n.Code != site.NoteEmpty || n.Place != (refs.Place{List: "stores", ID: "vat"}) || n.String() != "stores.vat: neither level nor volume is given: it counts as empty" {
		t.Errorf("%+v", n)
	}
	if got := (site.Note{Text: "x"}).String(); got != "x" {
		t.Error(got)
	}
}

func TestSetSaysWhatItReplaced(t *testing.T) {
	s := whole(t, "stores.cone.volume=20 L", "units=metric", "reserve.saltwater=1 L", "systems.lab.water.salinity=34")
	want := []refs.Place{{List: "stores", ID: "cone", Key: "volume"}, {List: "units"}, {List: "reserve", Key: "saltwater"}, {List: "systems", ID: "lab", Key: "water"}}
	if !slices.Equal(s.Replaced, want) {
		t.Errorf("%+v", s.Replaced)
	}
}
