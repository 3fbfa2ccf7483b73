package hazards

import (
	"fmt"
	"sort"
	"strings"
	"time"

	"tidehold/volumes/site"
)

// testedWithin is how long a guard's test counts.
const testedWithin = 365 * 24 * time.Hour

// layers judges guards at a moment: a guard counts when it was tested within a
// year and shares no cause with one before it or with the device itself. device
// is the id of the device that fails.
func layers(guards []site.Guard, device string, now time.Time) (list []Layer, counting int) {
	causes := map[string]bool{device: true}
	list = []Layer{}
	for _, g := range guards {
		l := Layer{Kind: g.Kind, Counts: true}
		switch {
		case g.Tested == nil:
			l.Counts, l.Why = false, "never tested"
		case now.Sub(*g.Tested) > testedWithin:
			l.Counts, l.Why = false, "not tested within a year"
		case g.Tested.After(now):
			l.Counts, l.Why = false, "its test date is in the future"
		case g.SharedWith != "" && causes[g.SharedWith]:
			l.Counts, l.Why = false, "fails together with "+g.SharedWith
		}
		if g.Tested != nil {
			l.Tested = g.Tested.Format(time.DateOnly)
		}
		if g.SharedWith != "" {
			causes[g.SharedWith] = true
		}
		if l.Counts {
			counting++
		}
		list = append(list, l)
	}
	return list, counting
}

// guard fills the guard fields of a hazard.
func (h Hazard) guard(guards []site.Guard, now time.Time) Hazard {
	list, counting := layers(guards, h.Equipment, now)
	h.Guards, h.SinglePoint = list, counting < 2
	return h
}

// counting is the number of layers that count.
func (h Hazard) counting() int {
	n := 0
	for _, l := range h.Guards {
		if l.Counts {
			n++
		}
	}
	return n
}

// sharedCauses names every cause on which two or more guards of a site depend.
func sharedCauses(s *site.Site) []string {
	users := map[string][]string{}
	collect := func(owner string, guards []site.Guard) {
		for _, g := range guards {
			if g.SharedWith != "" {
				users[g.SharedWith] = append(users[g.SharedWith], owner+"'s "+g.Kind)
			}
		}
	}
	for _, sys := range s.Systems {
		for _, e := range sys.Equipment {
			collect(e.ID, e.Guards)
		}
	}
	if s.Purifier != nil {
		collect("the purifier", s.Purifier.Guards)
	}
	out := []string{}
	for cause, who := range users {
		if len(who) > 1 {
			out = append(out, fmt.Sprintf("%s: %s fail together", cause, strings.Join(who, ", ")))
		}
	}
	sort.Strings(out)
	return out
}
