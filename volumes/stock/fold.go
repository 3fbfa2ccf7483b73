package stock

import (
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
}

// Fold gives the site as it stands after the entries: a copy of s with the
// stores and salts brought up to date. s itself is not changed.
//
// An entry that the site no longer allows (its store was renamed, its draw is
// more than the record holds) never stops the fold. It is passed over, or for
// amounts taken as the most cautious reading (empty, full), with a warning.
// Entries dated after now count, with a warning: a wrong clock must not make
// water reappear that was used.
func Fold(s *site.Site, entries []Entry, now time.Time) (*site.Site, []Warning) {
	st := newState(s, now)
	undone, warnings := undoing(entries)
	var late int
	var latest time.Time
	for _, e := range entries {
		if !e.Kind.stockKind() || e.Kind == Undo || undone[e.ID] {
			continue
		}
		if e.Time.After(now) {
			late++
			latest = e.Time
		}
		if err := st.apply(e); err != nil {
			warnings = append(warnings, Warning{e.ID, fmt.Sprintf("entry %d of %s: %v; %s", e.ID, e.Time.Format(time.RFC3339), err, st.salvage(e))})
		}
	}
	if late > 0 {
		warnings = append(warnings, Warning{0, fmt.Sprintf("%d entries are dated after %s, the last %s; they count: is the clock right?",
			late, now.UTC().Format(time.RFC3339), latest.UTC().Format(time.RFC3339))})
	}
	for _, store := range st.site.Stores {
		if store.Holds == site.Purified && store.Water.Salinity > site.MaxPurified {
			warnings = append(warnings, Warning{0, fmt.Sprintf("%s holds purified water by the site file, but salinity %s by its entries: do not mix from it; empty it and dip it at 0",
				store.ID, units.Fixed(float64(store.Water.Salinity), 1))})
		}
	}
	st.whatIf(s)
	st.forget()
	return st.site, warnings
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

// Undone gives the ids of the entries that later ones take back.
func Undone(entries []Entry) map[int]bool {
	undone, _ := undoing(entries)
	return undone
}

// undoing also says which undo entries cannot be followed.
func undoing(entries []Entry) (map[int]bool, []Warning) {
	var warnings []Warning
	before, undone := map[int]Kind{}, map[int]bool{}
	for _, e := range entries {
		if e.Kind == Undo {
			if err := undoable(before, undone, e.Undoes); err != nil {
				warnings = append(warnings, Warning{e.ID, fmt.Sprintf("entry %d: %v; it is passed over", e.ID, err)})
			} else {
				undone[e.Undoes] = true
			}
		}
		before[e.ID] = e.Kind
	}
	return undone, warnings
}

// undoable says whether the entry with the id can be taken back, given the kinds
// of the entries before by id.
func undoable(before map[int]Kind, undone map[int]bool, id int) error {
	kind, known := before[id]
	switch {
	case !known:
		return fmt.Errorf("there is no entry %d to undo before it", id)
	case kind == Undo:
		return fmt.Errorf("entry %d is itself an undo; enter what it took back again", id)
	case undone[id]:
		return fmt.Errorf("entry %d is undone already", id)
	}
	return nil
}

// Validate says whether an entry may follow the others: complete in itself, not
// dated before them, and possible with what the site then holds. The error names
// the numbers.
func Validate(s *site.Site, entries []Entry, e Entry) error {
	if err := e.check(); err != nil {
		return err
	}
	if last, ok := lastEffective(entries, e); ok && !e.Kind.OfIncident() && e.Time.Before(last.Time) {
		return fmt.Errorf("the entry is dated %s, before the last one (number %d of %s); give a later time, or undo that entry if its date is wrong",
			e.Time.UTC().Format(time.RFC3339), last.ID, last.Time.UTC().Format(time.RFC3339))
	}
	if !e.Kind.stockKind() {
		return nil
	}
	if e.Kind == Undo {
		return validateUndo(s, entries, e)
	}
	st := newState(s, latest(append(slices.Clip(entries), e)))
	undone, _ := undoing(entries)
	for _, old := range entries {
		if old.Kind.stockKind() && old.Kind != Undo && !undone[old.ID] && st.apply(old) != nil {
			st.salvage(old)
		}
	}
	if err := st.apply(e); err != nil {
		return err
	}
	return st.pure(e)
}

// latest is the last time of the entries.
func latest(entries []Entry) time.Time {
	var last time.Time
	for _, e := range entries {
		if e.Time.After(last) {
			last = e.Time
		}
	}
	return last
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

// validateUndo refuses to take back what later entries rest on.
func validateUndo(s *site.Site, entries []Entry, e Entry) error {
	kinds := map[int]Kind{}
	for _, old := range entries {
		kinds[old.ID] = old.Kind
	}
	if err := undoable(kinds, Undone(entries), e.Undoes); err != nil {
		return err
	}
	_, before := Fold(s, entries, e.Time)
	_, after := Fold(s, append(slices.Clip(entries), e), e.Time)
	for _, w := range after {
		if w.ID != 0 && !slices.ContainsFunc(before, func(b Warning) bool { return b.ID == w.ID }) {
			return fmt.Errorf("undoing entry %d would leave a later one impossible: %s; undo that one first", e.Undoes, w.Text)
		}
	}
	return nil
}

// lastEffective is the latest entry that counts, leaving out what e undoes.
func lastEffective(entries []Entry, e Entry) (Entry, bool) {
	undone := Undone(entries)
	var last Entry
	for _, old := range entries {
		if undone[old.ID] || e.Kind == Undo && old.ID == e.Undoes {
			continue
		}
		if last.ID == 0 || !old.Time.Before(last.Time) {
			last = old
		}
	}
	return last, last.ID != 0
}

// Last is the last stock entry that counts, the one a keeper would undo; false if
// there is none.
func Last(entries []Entry) (Entry, bool) {
	undone := Undone(entries)
	for _, e := range slices.Backward(entries) {
		if e.Kind.stockKind() && e.Kind != Undo && !undone[e.ID] {
			return e, true
		}
	}
	return Entry{}, false
}
