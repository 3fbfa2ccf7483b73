package site

import (
	"fmt"
	"slices"
	"time"

	"tidehold/refs"
)

// WithoutFutureDates gives a copy of s in which no day after that of now counts,
// by the calendar of the site: water dated so is undated, a guard untested, a drill
// not done. It is for the file alone: entries of a journal have times of day. The warnings name each.
func WithoutFutureDates(s *Site, now time.Time) (*Site, []Note) {
	out := *s
	var warnings []Note
	today := now.In(s.TimeZone).Format(time.DateOnly)
	drop := func(place refs.Place, path string, day **time.Time, then string) {
		// Dates of the file are days at 0 h UTC, the day being what was written.
		if d := *day; d != nil && d.Format(time.DateOnly) > today {
			warnings = append(warnings, Note{place, path, NoteFuture, fmt.Sprintf("%s is in the future, so %s; correct the date, or the clock", d.Format(time.DateOnly), then)})
			*day = nil
		}
	}
	guards := func(place refs.Place, path string, in []Guard) []Guard {
		in = slices.Clone(in)
		for i := range in {
			drop(place, path+".guards."+in[i].Kind+".tested", &in[i].Tested, "it counts as never tested")
		}
		return in
	}
	out.Systems = slices.Clone(s.Systems)
	for i := range out.Systems {
		sys := &out.Systems[i]
		sys.Equipment = slices.Clone(sys.Equipment)
		for j := range sys.Equipment {
			sys.Equipment[j].Guards = guards(refs.Place{List: "systems", ID: sys.ID, Key: "equipment"}, "systems."+sys.ID+".equipment."+sys.Equipment[j].ID, sys.Equipment[j].Guards)
		}
	}
	out.Stores = slices.Clone(s.Stores)
	for i := range out.Stores {
		st := &out.Stores[i]
		dated := st.Mixed != nil
		drop(refs.Place{List: "stores", ID: st.ID, Key: "mixed"}, "stores."+st.ID+".mixed", &st.Mixed, "nobody knows how old the water is")
		st.DatedAhead = dated && st.Mixed == nil
	}
	if s.Purifier != nil {
		p := *s.Purifier
		p.Guards = guards(refs.Place{List: "purifier", Key: "guards"}, "purifier", p.Guards)
		out.Purifier = &p
	}
	out.Drills = slices.Clone(s.Drills)
	for i := range out.Drills {
		drop(refs.Place{List: "drills", ID: out.Drills[i].What, Key: "done"}, "drills."+out.Drills[i].What+".done", &out.Drills[i].Done, "it counts as never done")
	}
	out.Warnings = append(slices.Clone(s.Warnings), warnings...)
	return &out, warnings
}
