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

// Why a guard does not count though its kind could stop the failure.
const (
	neverTested = "never tested"
	testPassed  = "not tested within a year"
	testToCome  = "its test date is in the future"
)

// layers judges guards at a moment: one counts when it can stop the failure, was
// tested within a year, and shares no cause with one that counts or with the device
// that fails. fit says why a guard's words make it none, "" when they do not.
func layers(guards []site.Guard, device string, now time.Time, fit func(words string) string) []Layer {
	causes := map[string]bool{device: true}
	list := []Layer{}
	for _, g := range guards {
		l := Layer{Kind: g.Kind, Why: fit(g.Kind)}
		l.Fits = l.Why == ""
		switch {
		case !l.Fits:
		case g.Tested == nil:
			l.Why = neverTested
		case now.Sub(*g.Tested) > testedWithin:
			l.Why = testPassed
		case g.Tested.After(now):
			l.Why = testToCome
		case g.SharedWith != "" && causes[g.SharedWith]:
			l.Why = "fails together with " + g.SharedWith
		default:
			l.Counts = true
			if g.SharedWith != "" {
				causes[g.SharedWith] = true
			}
		}
		if g.Tested != nil {
			l.Tested = g.Tested.Format(time.DateOnly)
		}
		list = append(list, l)
	}
	return list
}

// guard fills the guard fields of a hazard of a kind of equipment.
func (h Hazard) guard(kind site.EquipmentKind, guards []site.Guard, now time.Time) Hazard {
	against := stop{kind, h.Failure}
	h.Guards = layers(guards, h.Equipment, now, func(words string) string { return unfit(words, against) })
	h.Guardable = guardable(against)
	h.SinglePoint = h.Counting() < 2
	return h
}

// stoodBy fills the guard fields of an outage: what takes over when the mains fail.
func (h Hazard) stoodBy(supplies []site.Guard, now time.Time) Hazard {
	h.Guards = layers(supplies, h.Equipment, now, func(string) string { return "" })
	h.Guardable = true
	h.SinglePoint = h.Counting() < 2
	return h
}

// bare fills the guard fields of a failure that no guard stops.
func (h Hazard) bare() Hazard {
	h.Guards, h.SinglePoint = []Layer{}, true
	return h
}

// Counting is the number of guards that count.
func (h Hazard) Counting() int {
	n := 0
	for _, l := range h.Guards {
		if l.Counts {
			n++
		}
	}
	return n
}

// unknownGuards warns of guards whose words mean nothing here: they count for
// nothing, which a keeper should know.
func (j *judge) unknownGuards(owner string, guards []site.Guard) {
	for _, g := range guards {
		if _, known := kindOf(g.Kind); !known {
			j.warn("%s: what a guard called %q can stop is not known, so it counts for nothing; known are %s", owner, g.Kind, strings.Join(guardNames(), ", "))
		}
	}
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
