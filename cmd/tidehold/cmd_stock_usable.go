package main

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/volumes/stock"
)

// usableSlackH is by how many hours longer than the site mixes a batch may take where a time of day is
// taken for tomorrow's: at noon 10:00 was read as 22 h from now, and the vat stood idle that long.
const usableSlackH = 4

// enterUsable enters a batch that may be used from a time on, or so long after water and salt are in.
func (a *app) enterUsable(e stock.Entry, text, note string) error {
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	mixed := a.clock().In(ls.Site.TimeZone)
	if a.at != "" {
		mixed = ls.Now
	}
	if q, err := units.Parse(text, units.Duration); err == nil && q.U == 0 {
		return a.enterFrom(e, mixed.Add(hoursSince(q.Value)), note)
	}
	at, err := flagMoment("--usable", text, mixed)
	if err != nil {
		return usagef("%w; or how long it is to mix: 4h", err)
	}
	if len(strings.TrimSpace(text)) > len("15:04") { // a date stands with it
		return a.enterFrom(e, at, note)
	}
	last, next := aroundNow(at, mixed)
	night := incidentAt(ls, last)
	longest := ls.Site.Mixing.TimeH
	if night {
		longest = ls.Site.Mixing.EmergencyTimeH
	}
	switch {
	case next.Sub(mixed).Hours() <= longest+usableSlackH:
		return a.enterFrom(e, next, note)
	case night && a.at == "":
		return a.enterReady(ls, e, last, note)
	}
	return usagef("--usable: %s has passed; leave --usable out if it may be used now, and for tomorrow write \"%s\"", last.Format("15:04"), next.Format("2006-01-02 15:04"))
}

// aroundNow are the last and the next moment at which a clock shows the time of day of at.
func aroundNow(at, now time.Time) (last, next time.Time) {
	if at.Before(now) {
		return at, at.AddDate(0, 0, 1)
	}
	return at.AddDate(0, 0, -1), at
}

// incidentAt reports whether an incident is open that had begun by then.
func incidentAt(ls loaded, at time.Time) bool {
	logs, _ := incident.Logs(ls.Journal.Entries) // what cannot be read is told where incidents are
	return slices.ContainsFunc(incident.Open(logs), func(l incident.Log) bool { return l.OpenedAt.Before(at) })
}

// enterFrom enters a batch that may be used from a moment on.
func (a *app) enterFrom(e stock.Entry, at time.Time, note string) error {
	var t stock.Taken
	if len(e.Data) > 0 {
		if err := json.Unmarshal(e.Data, &t); err != nil {
			return err
		}
	}
	t.Usable = at.UTC().Format(time.RFC3339)
	e.Data = stock.JSONOf(t)
	return a.enter(e, note)
}

// enterReady enters a batch that became usable at a moment of this night that has passed, by whoever writes down afterwards
// what was done: it is ready, if it has stood as long as the site mixes. Where the vat gave or took water since, it has not.
func (a *app) enterReady(ls loaded, e stock.Entry, since time.Time, note string) error {
	takes := ls.Site.Mixing.EmergencyTimeH
	if e.SaltID == "" && len(e.Data) > 0 { // purified water alone was stirred in
		takes = ls.Site.Mixing.CutTimeH
	}
	in, zone := since.Add(-hoursSince(takes)), ls.Site.TimeZone
	again := fmt.Sprintf("--usable %s, counted from when all was in (--at, if that was earlier)", typedHours(takes))
	for _, x := range stock.Standing(ls.Journal.Entries, in.Add(time.Second), a.clock()) {
		if x.Kind != stock.Dip && moves(x, e.Store) {
			return usagef("--usable: to be ready by %s all was in by %s, but entry %d moved water of %s at %s; write %s",
				clockText(since, zone), clockText(in, zone), x.ID, e.Store, clockText(x.Time, zone), again)
		}
	}
	return a.enter(e, note, fmt.Sprintf("It counts as ready now. Taken for granted: all was in by %s, %s before. If it went in later: tidehold stock undo%s, and the same with %s.",
		clockText(in, zone), units.Hours(takes), a.here(), again))
}

// moves reports whether an entry is about water into or out of a store.
func moves(e stock.Entry, store string) bool {
	pours, err := e.Pours()
	return e.Store == store || err == nil && slices.ContainsFunc(pours, func(p stock.Pour) bool { return p.Store == store })
}

// typedHours is a duration as one word of a command, rounded up to the minute: 4h, 15min.
func typedHours(h float64) string {
	minutes := int(units.Up.To(h*60, 1))
	if minutes%60 == 0 {
		return fmt.Sprintf("%dh", minutes/60)
	}
	return fmt.Sprintf("%dmin", minutes)
}
