package stock

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// Warning is something about the record that a keeper should put right.
type Warning struct {
	// ID is the entry it is about, 0 for the record as a whole.
	ID   int
	Text string
	// cause is the reason alone, without what was done instead.
	cause string
}

// Fold gives the site as it stands after the entries: a copy of s with the
// stores, salts, kit and the dates of drills and guards brought up to date. s itself is not
// changed.
//
// Entries act in the order of the journal, those entered late at their time. An entry
// that the site no longer allows (its store was renamed, its draw is more than the
// record holds) never stops the fold. It is passed over, or for amounts taken as the most
// cautious reading (empty, full), with a warning. Of an entry dated more than Ahead after
// now the amounts count, since a wrong clock must not make water reappear that was
// used, but its date does not: it starts no age and holds up nobody.
func Fold(s *site.Site, entries []Entry, now time.Time) (*site.Site, []Warning) {
	undone, warnings := undoing(entries)
	st := newState(s, now)
	warnings = append(warnings, st.play(entries, undone)...)
	return st.finish(s), append(warnings, st.judge(entries, undone)...)
}

// play applies the entries in order and says what could not be.
func (st *state) play(entries []Entry, undone map[int]bool) []Warning {
	var warnings []Warning
	for _, i := range acting(entries, undone, st.now) {
		e := entries[i]
		if err := st.apply(e); err != nil {
			cause := fmt.Sprintf("entry %d of %s: %v", e.ID, Said(e.Time, st.site.TimeZone), err)
			warnings = append(warnings, Warning{ID: e.ID, Text: cause + "; " + st.salvage(e), cause: cause})
		}
	}
	return warnings
}

// finish is the site after the last entry.
func (st *state) finish(s *site.Site) *site.Site {
	st.whatIf(s)
	st.forget()
	return st.site
}

// judge says what a keeper should put right although every entry was applied.
func (st *state) judge(entries []Entry, undone map[int]bool) []Warning {
	var warnings []Warning
	late, last := 0, time.Time{}
	for i := range entries {
		if e := &entries[i]; !believed(*e, st.now) && e.Kind.stockKind() && e.Kind != Undo && !undone[e.ID] {
			late, last = late+1, e.Time
		}
	}
	if late > 0 {
		is := "entry is"
		if late > 1 {
			is = "entries are"
		}
		warnings = append(warnings, Warning{ID: 0, Text: fmt.Sprintf("%d %s dated after %s, the last %s: amounts count, dates do not; is the clock right?",
			late, is, Said(st.now, st.site.TimeZone), Said(last, st.site.TimeZone))})
	}
	for _, store := range st.site.Stores {
		if store.Holds == site.Purified && store.Water.Salinity > site.MaxPurified {
			warnings = append(warnings, Warning{ID: 0, Text: fmt.Sprintf("%s holds purified water by the site file, but salinity %s by its entries: do not mix from it; empty it and dip it at 0",
				store.ID, units.Fixed(float64(store.Water.Salinity), 1))})
		}
		if id := st.undated[store.ID]; id > 0 && store.Mixed == nil && store.Tested == nil {
			warnings = append(warnings, Warning{ID: 0, Text: fmt.Sprintf("%s: number %d, by which it was mixed, is dated in the future, so nobody knows how old the water is: undo it and enter it again", store.ID, id)})
		}
	}
	return warnings
}

// whatIf puts back what --set replaced in the site: a what-if is about what is there
// now, so it comes after the record.
func (st *state) whatIf(s *site.Site) {
	for _, p := range s.Replaced {
		for i := range st.site.Stores {
			if to := &st.site.Stores[i]; p.List == "stores" && (p.ID == "" || p.ID == to.ID) {
				restoreStore(to, &s.Stores[i], p)
			}
		}
		for i := range st.site.Salts {
			if to := &st.site.Salts[i]; p.List == "salts" && (p.ID == "" || p.ID == to.ID && p.Key == "on_hand") {
				to.OnHand = s.Salts[i].OnHand
			}
		}
		restoreDeeds(st.site, s, p)
	}
}

// restoreStore takes over the field that was replaced, all of those that a record
// can change if the whole list was.
func restoreStore(to, from *site.Store, p refs.Place) {
	all := p.ID == ""
	if all || p.Key == "volume" || p.Key == "level" {
		to.Volume = from.Volume
	}
	if all || p.Key == "salinity" {
		to.Water.Salinity = from.Water.Salinity
	}
	if all || p.Key == "temperature" {
		to.Water.Temperature = from.Water.Temperature
	}
	if all || p.Key == "mixed" {
		to.Mixed, to.Tested = from.Mixed, from.Tested
	}
}

// forget drops the assumptions and warnings of the site file that the record has
// settled: a vat that has been dipped is no longer assumed to be empty.
func (st *state) forget() {
	st.site.Assumptions = slices.DeleteFunc(slices.Clone(st.site.Assumptions), func(a refs.Assumption) bool { return st.settled[a.Place] })
	st.site.Warnings = slices.DeleteFunc(slices.Clone(st.site.Warnings), func(n site.Note) bool {
		at := func(key string) refs.Place { return refs.Place{List: n.Place.List, ID: n.Place.ID, Key: key} }
		return n.Code == site.NoteUndated && st.settled[at("mixed")] || n.Code == site.NoteEmpty && st.settled[at("volume")]
	})
}

// Clock is the moment an entry is made.
type Clock struct {
	Now time.Time
	// Stated says that the keeper gave the entry's time; otherwise it is the clock's.
	Stated bool
}

// Posting is what an entry does to what is on hand.
type Posting struct{ Before, After *site.Site }

// Post says whether an entry may follow the others, and what is on hand before and
// after it. It must be complete in itself, not dated ahead of the clock, and possible with what
// the site then held; and what was entered after its time must stay possible. The error
// names the numbers. An undo is never held to a time. An entry whose stated time is before that
// of others is marked Late.
func Post(s *site.Site, entries []Entry, e *Entry, c Clock) (Posting, error) {
	if err := e.check(); err != nil {
		return Posting{}, err
	}
	if text := e.Kind.unknown(); text != "" {
		return Posting{}, errors.New(text)
	}
	undone, _ := undoing(entries)
	if err := e.timely(c.Now, s.TimeZone); err != nil {
		return Posting{}, err
	}
	e.Late = c.Stated && e.Kind.stockKind() && e.Kind != Undo && e.Time.Before(latest(entries, undone, c.Now))
	if e.Kind == Undo {
		if err := undoable(indexOf(entries), len(entries), undone, e.Undoes); err != nil {
			return Posting{}, err
		}
	}
	before := newState(s, c.Now)
	trouble := before.play(entries, undone)
	out := Posting{Before: before.finish(s)}
	if !e.Kind.stockKind() {
		out.After = out.Before
		return out, nil
	}
	if e.Kind != Undo && !e.Late {
		// The usual case: nothing follows, so one step from there is all.
		after := resume(out.Before, before)
		if err := after.apply(*e); err != nil {
			return Posting{}, err
		}
		out.After = after.finish(s)
		return out, after.pure(*e)
	}
	return out, out.insert(s, entries, *e, c.Now, trouble)
}

// insert plays the whole record again with e in its place among the others.
func (p *Posting) insert(s *site.Site, entries []Entry, e Entry, now time.Time, trouble []Warning) error {
	all := append(slices.Clip(entries), e)
	undone, _ := undoing(all)
	after := newState(s, now)
	for _, w := range after.play(all, undone) {
		known := slices.ContainsFunc(trouble, func(b Warning) bool { return b.ID == w.ID })
		switch {
		case known:
		case w.ID == e.ID:
			return errors.New(w.cause)
		case e.Kind == Undo:
			return fmt.Errorf("undoing entry %d would leave a later one impossible: %s; undo that one first", e.Undoes, w.cause)
		default:
			return fmt.Errorf("with it, a later one would be impossible: %s; undo that one first, or give another time", w.cause)
		}
	}
	p.After = after.finish(s)
	return after.pure(e)
}

// Said is a moment for people, by the clock of their zone (nil: UTC), with its year: journals are kept
// for years.
func Said(t time.Time, zone *time.Location) string {
	if zone == nil {
		zone = time.UTC
	}
	return t.In(zone).Format("Mon 2 Jan 2006 15:04")
}

// timely refuses a date that cannot be.
func (e *Entry) timely(now time.Time, zone *time.Location) error {
	if e.Kind == Undo || believed(*e, now) {
		return nil
	}
	return fmt.Errorf("the entry is dated %s, ahead of the clock, which says %s; what has not happened cannot be entered: give the time it happened, or set the clock right%s",
		Said(e.Time, zone), Said(now, zone), ForYesterday(e.Time, now, zone))
}

// ForYesterday is how a time of the day before is written, where one that is still to come today was
// given and the one of yesterday is nearer: after midnight 23:50 is meant as the evening's. "" for any
// other time.
func ForYesterday(t, now time.Time, zone *time.Location) string {
	if zone == nil {
		zone = time.UTC
	}
	t, now = t.In(zone), now.In(zone)
	if y, m, d := now.Date(); t.Sub(now) <= 12*time.Hour || t.Year() != y || t.Month() != m || t.Day() != d {
		return ""
	}
	return fmt.Sprintf("; for yesterday write \"%s\"", t.AddDate(0, 0, -1).Format("2006-01-02 15:04"))
}

// Validate is Post for callers that only ask whether the entry may follow.
func Validate(s *site.Site, entries []Entry, e Entry, c Clock) error {
	_, err := Post(s, entries, &e, c)
	return err
}

// pure refuses to make the water of a purified store salty: it would go on to be
// counted as water to mix from.
func (st *state) pure(e Entry) error {
	store := st.stores[e.Store]
	if store == nil || store.Holds != site.Purified || store.Water.Salinity <= site.MaxPurified || e.Kind != Add && e.Salinity == nil {
		return nil
	}
	return fmt.Errorf("%s holds purified water, and with this entry it would have salinity %s; at most %v is purified: enter saltwater into a saltwater store, or empty %s (dip it at 0) and keep that water apart",
		store.ID, units.Fixed(float64(store.Water.Salinity), 2), site.MaxPurified, store.ID)
}
