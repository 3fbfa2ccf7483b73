package stock

import (
	"fmt"
	"slices"
	"time"

	"tidehold/refs"
	"tidehold/volumes/site"
)

// applyKit takes over a count of the kit.
func (st *state) applyKit(e Entry) error {
	k, err := e.KitCount()
	if err != nil {
		return err
	}
	i, err := st.site.Find(site.KindKit, k.Item)
	if err != nil {
		return err
	}
	item := &st.site.Kit[i]
	item.Have = k.Have
	st.settle("kit", item.Item, "have")
	if k.Expires != "" {
		day, err := time.Parse(time.DateOnly, k.Expires)
		if err != nil {
			return fmt.Errorf("expires is %q; a day like 2027-03-01 is expected", clip(k.Expires))
		}
		item.Expires = &day
	}
	return nil
}

// applyDid takes over the day of a drill or of a guard's test. A date in the future is
// passed over: it would promise what nobody did.
func (st *state) applyDid(e Entry) error {
	d, err := e.Deed()
	if err != nil {
		return err
	}
	day := st.dayOf(e.Time)
	if d.Guard != nil {
		guard, err := st.guard(*d.Guard)
		if err == nil && believed(e, st.now) {
			guard.Tested = &day
		}
		return err
	}
	i, err := st.site.Find(site.KindDrill, d.Drill)
	if err != nil {
		return err
	}
	if believed(e, st.now) {
		st.site.Drills[i].Done = &day
	}
	return nil
}

// dayOf is the day of a moment by the calendar of the site, at 0 h UTC as days of the
// site file are.
func (st *state) dayOf(t time.Time) time.Time {
	if st.site.TimeZone != nil {
		t = t.In(st.site.TimeZone)
	}
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// guard finds a guard in a copy of its own, which may be changed.
func (st *state) guard(g GuardRef) (*site.Guard, error) {
	if g.Equipment == "" {
		if st.site.Purifier == nil {
			return nil, &refs.UnknownError{What: "guard", Name: g.String(), Where: "the site file"}
		}
		p := *st.site.Purifier
		p.Guards = slices.Clone(p.Guards)
		st.site.Purifier = &p
		return guardOf(p.Guards, g)
	}
	i, err := st.site.Find(site.KindSystem, g.System)
	if err != nil {
		return nil, err
	}
	st.site.Systems = slices.Clone(st.site.Systems)
	sys := &st.site.Systems[i]
	sys.Equipment = slices.Clone(sys.Equipment)
	var ids []string
	for k := range sys.Equipment {
		if e := &sys.Equipment[k]; e.ID == g.Equipment {
			e.Guards = slices.Clone(e.Guards)
			return guardOf(e.Guards, g)
		}
		ids = append(ids, sys.Equipment[k].ID)
	}
	return nil, &refs.UnknownError{What: "piece of equipment", Name: g.Equipment, Where: "system " + g.System, Known: ids}
}

func guardOf(guards []site.Guard, g GuardRef) (*site.Guard, error) {
	var kinds []string
	for i := range guards {
		if guards[i].Kind == g.Kind {
			return &guards[i], nil
		}
		kinds = append(kinds, guards[i].Kind)
	}
	return nil, &refs.UnknownError{What: "guard", Name: g.String(), Where: "the site file", Known: kinds}
}

// restoreDeeds puts back what a what-if says of the kit and of drills.
func restoreDeeds(to, from *site.Site, p refs.Place) {
	for i := range to.Kit {
		if p.List == "kit" && (p.ID == "" || p.ID == to.Kit[i].Item) {
			if p.ID == "" || p.Key == "have" {
				to.Kit[i].Have = from.Kit[i].Have
			}
			if p.ID == "" || p.Key == "expires" {
				to.Kit[i].Expires = from.Kit[i].Expires
			}
		}
	}
	for i := range to.Drills {
		if p.List == "drills" && (p.ID == "" || p.ID == to.Drills[i].What && p.Key == "done") {
			to.Drills[i].Done = from.Drills[i].Done
		}
	}
	if p.List == "purifier" && p.Key == "guards" {
		to.Purifier = from.Purifier
	}
	if p.List == "systems" && (p.Key == "equipment" || p.Key == "") {
		for i := range to.Systems {
			if p.ID == "" || p.ID == to.Systems[i].ID {
				to.Systems = slices.Clone(to.Systems)
				to.Systems[i].Equipment = from.Systems[i].Equipment
			}
		}
	}
}
