package calendar

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// Kind is what a due thing is.
type Kind string

// The kinds.
const (
	GuardTest Kind = "guard test"
	Drill     Kind = "drill"
	Expiry    Kind = "expiry"
	WaterAge  Kind = "water age"
	Routine   Kind = "routine change"
	Incident  Kind = "incident"
)

// Due is one thing to do.
type Due struct {
	// UID stays the same however often the calendar is written, so that a calendar that
	// reads it again moves the entry instead of adding another.
	UID  string
	Kind Kind
	// What to do, in a few words; Detail says why and what to enter when it is done.
	What, Detail string
	// Day is the date at 0 h UTC when AllDay, else the moment.
	Day    time.Time
	AllDay bool
	// LastsH is how long it takes, for a moment; 0: a quarter of an hour.
	LastsH float64
	// EveryDays repeats a day; EveryH a moment. 0: once.
	EveryDays int
	EveryH    float64
	// Overdue says that the day is past or that nobody ever did it.
	Overdue bool
	// AheadMinutes before the start, an alarm; 0: none. For a day the start is 0 h.
	AheadMinutes int
}

const (
	// guardYears is how long a test of a guard counts; see readiness.
	guardYears = 1
	dayMinutes = 24 * 60
	// morning is 9 h on a day.
	morning = -9 * 60
)

// Of lists what is due at a site, the earliest first. What is overdue stands on the day
// of now. Incident entries are added by the caller (Add).
func Of(s *site.Site, now time.Time) []Due {
	c := collector{site: s, today: dayOf(now, s.TimeZone)}
	c.guards()
	c.drills()
	c.kit()
	c.waters(now)
	c.routine()
	Sort(c.list)
	return c.list
}

// Sort orders by day, then by words.
func Sort(list []Due) {
	slices.SortStableFunc(list, func(a, b Due) int { return cmp.Or(a.Day.Compare(b.Day), cmp.Compare(a.What, b.What)) })
}

// dayOf is the calendar day of a moment in a zone, as a date at 0 h UTC.
func dayOf(t time.Time, zone *time.Location) time.Time {
	y, m, d := t.In(zone).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// writtenDay is the day of a moment in a zone; a day of the site file is midnight UTC, and stays
// the day that was written where the zone is west of it.
func writtenDay(t time.Time, zone *time.Location) time.Time {
	if t.Equal(t.Truncate(24 * time.Hour)) {
		zone = time.UTC
	}
	return dayOf(t, zone)
}

// UID is a stable name of one thing at one site: a hash, so that no name of the site
// leaves it in a form that could be mistaken for an address.
func UID(s *site.Site, parts ...string) string {
	sum := sha256.Sum256([]byte(strings.Join(append([]string{s.Name}, parts...), "\x00")))
	return hex.EncodeToString(sum[:12]) + "@tidehold.invalid"
}

// collector gathers what is due.
type collector struct {
	site  *site.Site
	today time.Time
	list  []Due
}

// add places a thing on its day, or, overdue, on today.
func (c *collector) add(d Due, id ...string) {
	d.UID = UID(c.site, append([]string{string(d.Kind)}, id...)...)
	if d.AllDay && d.Day.Before(c.today) {
		d.Overdue = true
	}
	if d.Overdue {
		d.Day, d.AheadMinutes = c.today, morning
	}
	c.list = append(c.list, d)
}

// quoted is a word as a shell takes it.
func quoted(s string) string { return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'" }

func (c *collector) guards() {
	one := func(on, command string, g site.Guard) {
		d := Due{Kind: GuardTest, What: fmt.Sprintf("test the %s of %s", g.Kind, on), AllDay: true, AheadMinutes: 7*dayMinutes + morning}
		d.Detail = "A guard that was not tested within a year does not count. When it is done, enter it: tidehold stock did " + quoted(command)
		if g.Tested == nil {
			d.Overdue = true
			d.Detail = "Never tested. " + d.Detail
		} else {
			d.Day = g.Tested.AddDate(guardYears, 0, 0)
			d.Detail = "Last tested " + g.Tested.Format(time.DateOnly) + ". " + d.Detail
		}
		c.add(d, on, g.Kind)
	}
	for _, sys := range c.site.Systems {
		for _, e := range sys.Equipment {
			for _, g := range e.Guards {
				one(sys.ID+"/"+e.ID, e.ID+" "+g.Kind, g)
			}
		}
	}
	if c.site.Purifier != nil {
		for _, g := range c.site.Purifier.Guards {
			one("the purifier", g.Kind, g)
		}
	}
}

func (c *collector) drills() {
	for _, x := range c.site.Drills {
		d := Due{Kind: Drill, What: x.What, AllDay: true, AheadMinutes: 7*dayMinutes + morning, Detail: "Every " + units.Hours(x.EveryH) + ". When it is done, enter it: tidehold stock did " + quoted(x.What)}
		if x.Done == nil {
			d.Overdue = true
			d.Detail = "Never done. " + d.Detail
		} else {
			d.Day = dayOf(x.Done.Add(hours(x.EveryH)), time.UTC)
			d.Detail = "Last done " + x.Done.Format(time.DateOnly) + ". " + d.Detail
		}
		c.add(d, x.What)
	}
}

func (c *collector) kit() {
	for _, k := range c.site.Kit {
		if k.Expires == nil {
			continue
		}
		c.add(Due{Kind: Expiry, What: "replace: " + k.Item, Day: dayOf(*k.Expires, time.UTC), AllDay: true, AheadMinutes: 14*dayMinutes + morning,
			Detail: "Its last day is " + k.Expires.Format(time.DateOnly) + ". When it is replaced, enter it: tidehold stock kit " + quoted(k.Item) + fmt.Sprintf(" %d --expires DAY", max(k.Need, 1))}, k.Item)
	}
}

// waters are the days on which stored saltwater stops counting.
func (c *collector) waters(now time.Time) {
	for _, st := range c.site.Stores {
		if st.Holds != site.Saltwater || !st.Volume.IsPositive() || st.MaxAgeH <= 0 {
			continue
		}
		d := Due{Kind: WaterAge, What: "test or mix anew: " + st.ID, AllDay: true, AheadMinutes: 3*dayMinutes + morning}
		since := st.FreshSince()
		if since == nil {
			d.Overdue = true
			noted := "Nobody noted when it was mixed."
			if st.DatedAhead {
				noted = "The date of mixing that is written lies in the future: correct it."
			}
			d.Detail = noted + " Test it and enter it: tidehold stock tested " + st.ID
		} else {
			end := since.Add(hours(st.MaxAgeH))
			d.Day = dayOf(end, c.site.TimeZone)
			d.Overdue = now.After(end)
			d.Detail = "Until then it counts: mixed or tested " + writtenDay(*since, c.site.TimeZone).Format(time.DateOnly) + ", good for " + units.Hours(st.MaxAgeH) + ". Test it and enter it: tidehold stock tested " + st.ID
		}
		c.add(d, st.ID)
	}
}

// routineEpoch is a Monday: a routine whose last change nobody recorded is counted from
// it, so that a weekly change is always on a Monday however often the calendar is
// written.
var routineEpoch = time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC)

// routine are the regular changes.
func (c *collector) routine() {
	for i, r := range c.site.Routine {
		d := Due{Kind: Routine, What: fmt.Sprintf("routine change: %s, %s", r.System, c.site.Units.Volume(float64(r.Volume), units.Nearest)), AheadMinutes: morning,
			Detail: "Every " + units.Hours(r.EveryH) + ". No day is recorded for it: move the series to the day you keep."}
		n := r.EveryH / 24
		if whole := math.Round(n); whole >= 1 && math.Abs(n-whole) < 1e-9 {
			d.AllDay, d.EveryDays = true, int(whole)
			past := int(c.today.Sub(routineEpoch).Hours()/24) % d.EveryDays
			d.Day = c.today.AddDate(0, 0, (d.EveryDays-past)%d.EveryDays)
		} else {
			d.EveryH, d.LastsH = math.Max(1, math.Round(r.EveryH)), 1
			d.Day = c.today.Add(hours(9))
		}
		c.add(d, r.System, fmt.Sprint(i))
	}
}

// hours is a number of hours as a duration, at most three centuries.
func hours(h float64) time.Duration {
	const most = 24 * 365 * 250
	return time.Duration(math.Min(h, most) * float64(time.Hour))
}

// Within lists what falls before a moment, a repeated thing once for every time.
func Within(list []Due, until time.Time) []Due {
	var out []Due
	for _, d := range list {
		for d.Day.Before(until) {
			out = append(out, d)
			switch {
			case d.EveryDays > 0:
				d.Day = d.Day.AddDate(0, 0, d.EveryDays)
			case d.EveryH > 0:
				d.Day = d.Day.Add(hours(d.EveryH))
			default:
				d.Day = until
			}
		}
	}
	Sort(out)
	return out
}
