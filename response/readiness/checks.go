package readiness

import (
	"fmt"
	"math"
	"sort"
	"time"

	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

const (
	// guardTestedWithinYears is how long a test of a guard counts.
	guardTestedWithinYears = 1
	// ageNoticeH is how long before stored water stops counting it is mentioned.
	ageNoticeH = 72
)

// KitCheck is one item of the kit against what is needed.
type KitCheck struct {
	Item string `json:"item"`
	Need int    `json:"need"`
	Have int    `json:"have"`
	// Expires is the last day it may be used, YYYY-MM-DD; nil: does not expire.
	Expires *string `json:"expires"`
	// OK: as many as needed and not expired.
	OK bool `json:"ok"`
	// Problem says what is wrong, "" when OK.
	Problem string `json:"problem"`
}

// AgeCheck is the age of one stored saltwater.
type AgeCheck struct {
	Store string `json:"store"`
	// Since is the day it was mixed or last tested, YYYY-MM-DD; nil: not recorded.
	Since *string `json:"since"`
	// AgeH and MaxAgeH in hours; AgeH nil when Since is, or is in the future.
	AgeH    *float64 `json:"age_h"`
	MaxAgeH float64  `json:"max_age_h"`
	// Counted: the water is planned with. Water over its age is not; water of
	// unknown age is, with a warning.
	Counted bool `json:"counted"`
	// Problem says what to do about it, "" when there is nothing to do.
	Problem string `json:"problem"`
}

// DrillCheck is something to practise or inspect.
type DrillCheck struct {
	What string `json:"what"`
	// Due is the day by which it is due again, YYYY-MM-DD; nil: never done.
	Due     *string `json:"due"`
	Overdue bool    `json:"overdue"`
}

// GuardCheck is a guard that does not count because it was not tested within a
// year.
type GuardCheck struct {
	// On names what it guards: "hall-reef heater-1", "purifier".
	On    string `json:"on"`
	Guard string `json:"guard"`
	// Tested is the day of the last test, YYYY-MM-DD; nil: never.
	Tested *string `json:"tested"`
}

// day prints a moment as an ISO 8601 calendar date in its own zone.
func day(t time.Time) *string {
	s := t.Format(time.DateOnly)
	return &s
}

// over reports whether the calendar day of limit is past at now, in the zone the
// date was written in.
func over(now, limit time.Time) bool { return !now.Before(limit.AddDate(0, 0, 1)) }

// CheckKit sets each item of the kit against what is needed at now. An item may
// be used through the day it expires.
func CheckKit(items []site.KitItem, now time.Time) []KitCheck {
	out := make([]KitCheck, 0, len(items))
	for _, it := range items {
		k := KitCheck{Item: it.Item, Need: it.Need, Have: it.Have, OK: true}
		if it.Expires != nil {
			k.Expires = day(*it.Expires)
			if it.Expired(now) {
				k.OK, k.Problem = false, "expired "+*k.Expires+"; replace it"
			}
		}
		if it.Have < it.Need {
			missing := fmt.Sprintf("%d missing", it.Need-it.Have)
			if k.Problem != "" {
				missing += "; " + k.Problem
			}
			k.OK, k.Problem = false, missing
		}
		out = append(out, k)
	}
	return out
}

// datedAhead is the problem of water whose date lies in the future.
const datedAhead = "dated in the future; correct the date"

// CheckAges reports the age of every saltwater store that holds water.
func CheckAges(stores []site.Store, now time.Time) []AgeCheck {
	out := []AgeCheck{}
	for _, s := range stores {
		if s.Holds != site.Saltwater || !s.Volume.IsPositive() {
			continue
		}
		a := AgeCheck{Store: s.ID, MaxAgeH: s.MaxAgeH, Counted: !s.OverAge(now)}
		since := s.FreshSince()
		switch {
		case since == nil && s.DatedAhead:
			a.Problem = datedAhead
		case since == nil:
			a.Problem = "no date of mixing is recorded; it is counted, test it and record the date"
		default:
			a.Since = day(*since)
			if since.After(now.Add(stock.Ahead)) {
				a.Problem = datedAhead
				break
			}
			age := max(0, now.Sub(*since).Hours())
			a.AgeH = &age
			switch {
			case !a.Counted:
				a.Problem = fmt.Sprintf("over its age of %s days and not counted; test it and record the test, or mix anew", days(s.MaxAgeH))
			case s.MaxAgeH-age < ageNoticeH:
				a.Problem = fmt.Sprintf("stops counting in %s days; test it or mix anew", days(s.MaxAgeH-age))
			}
		}
		out = append(out, a)
	}
	return out
}

// days prints hours as whole days, part days dropped.
func days(h float64) string { return fmt.Sprintf("%d", int(math.Floor(h/24+1e-9))) }

// CheckDrills says which drills and inspections are overdue at now.
func CheckDrills(drills []site.Drill, now time.Time) []DrillCheck {
	out := make([]DrillCheck, 0, len(drills))
	for _, d := range drills {
		c := DrillCheck{What: d.What, Overdue: true}
		if d.Done != nil {
			due := d.Done.Add(time.Duration(d.EveryH * float64(time.Hour)))
			c.Due, c.Overdue = day(due), over(now, due)
		}
		out = append(out, c)
	}
	return out
}

// CheckGuards lists the guards that were never tested or not within a year: they
// do not count as protection.
func CheckGuards(s *site.Site, now time.Time) []GuardCheck {
	out := []GuardCheck{}
	add := func(on string, guards []site.Guard) {
		for _, g := range guards {
			switch {
			case g.Tested == nil:
				out = append(out, GuardCheck{On: on, Guard: g.Kind})
			case over(now, g.Tested.AddDate(guardTestedWithinYears, 0, 0)):
				out = append(out, GuardCheck{On: on, Guard: g.Kind, Tested: day(*g.Tested)})
			}
		}
	}
	for _, sys := range s.Systems {
		for _, e := range sys.Equipment {
			add(sys.ID+" "+e.ID, e.Guards)
		}
	}
	if s.Purifier != nil {
		add("purifier", s.Purifier.Guards)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].On < out[j].On })
	return out
}
