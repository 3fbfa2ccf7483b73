package stock

import (
	"fmt"
	"slices"
	"sort"
	"time"
)

// Ahead is how far the date of an entry may run ahead of the clock: two machines of
// one place disagree by less.
const Ahead = 5 * time.Minute

// believed says that the date of an entry can be: it is not in the future.
func believed(e Entry, now time.Time) bool { return !e.Time.After(now.Add(Ahead)) }

// byID finds entries by their id. As long as ids rise, as in every journal that no
// one edited, it needs no memory.
type byID struct {
	entries []Entry
	all     map[int]int
}

func indexOf(entries []Entry) byID {
	b := byID{entries: entries}
	for i := 1; i < len(entries); i++ {
		if entries[i].ID <= entries[i-1].ID {
			b.all = make(map[int]int, len(entries))
			for k, e := range entries {
				b.all[e.ID] = k
			}
			break
		}
	}
	return b
}

// at is the place of an id; false if there is none.
func (b byID) at(id int) (int, bool) {
	if b.all != nil {
		i, ok := b.all[id]
		return i, ok
	}
	i := sort.Search(len(b.entries), func(k int) bool { return b.entries[k].ID >= id })
	return i, i < len(b.entries) && b.entries[i].ID == id
}

// Undone gives the ids of the entries that later ones take back.
func Undone(entries []Entry) map[int]bool {
	undone, _ := undoing(entries)
	return undone
}

// Standing are the entries from one moment to another that none takes back, in the order of time.
func Standing(entries []Entry, from, to time.Time) (list []Entry) {
	undone := Undone(entries)
	for _, e := range entries {
		if !undone[e.ID] && !e.Time.Before(from) && !e.Time.After(to) {
			list = append(list, e)
		}
	}
	slices.SortStableFunc(list, func(a, b Entry) int { return a.Time.Compare(b.Time) })
	return list
}

// undoing also says which undo entries cannot be followed.
func undoing(entries []Entry) (map[int]bool, []Warning) {
	var warnings []Warning
	undone := map[int]bool{}
	var index byID
	for i, e := range entries {
		if e.Kind != Undo {
			continue
		}
		if index.entries == nil {
			index = indexOf(entries)
		}
		if err := undoable(index, i, undone, e.Undoes); err != nil {
			warnings = append(warnings, Warning{ID: e.ID, Text: fmt.Sprintf("entry %d: %v; it is passed over", e.ID, err)})
		} else {
			undone[e.Undoes] = true
		}
	}
	return undone, warnings
}

// undoable says whether the entry with the id can be taken back by the one at place
// i of the journal.
func undoable(index byID, i int, undone map[int]bool, id int) error {
	at, known := index.at(id)
	switch {
	case !known || at >= i:
		return fmt.Errorf("there is no entry %d to take back; stock log has the numbers", id)
	case index.entries[at].Kind == Undo:
		return fmt.Errorf("entry %d is itself an undo; enter what it took back again", id)
	case undone[id]:
		return fmt.Errorf("entry %d is undone already", id)
	}
	return nil
}

// acting lists the places of the entries that change the stock, in the order in which
// they act: that of the journal, but for those entered late, which take their place in
// time. A clock that was wrong for an evening therefore changes no order: only a time
// that a keeper stated does.
func acting(entries []Entry, undone map[int]bool, now time.Time) []int32 {
	out := make([]int32, 0, len(entries))
	late := false
	for i := range entries {
		e := &entries[i]
		if e.Kind.stockKind() && e.Kind != Undo && (len(undone) == 0 || !undone[e.ID]) {
			out = append(out, int32(i))
			late = late || e.Late
		}
	}
	if !late {
		return out
	}
	keys := make(map[int32]time.Time, len(out))
	var last time.Time
	for _, i := range out {
		e := &entries[i]
		if e.Late {
			keys[i] = e.Time
			continue
		}
		if believed(*e, now) && e.Time.After(last) {
			last = e.Time
		}
		keys[i] = last
	}
	slices.SortStableFunc(out, func(a, b int32) int { return keys[a].Compare(keys[b]) })
	return out
}

// Last is the last entry written that counts and changes the stock, the one a
// keeper would undo; false if there is none.
func Last(entries []Entry) (Entry, bool) {
	undone := Undone(entries)
	for _, e := range slices.Backward(entries) {
		if e.Kind.stockKind() && e.Kind != Undo && !undone[e.ID] {
			return e, true
		}
	}
	return Entry{}, false
}

// latest is the latest date that counts and can be; undo entries hold up nobody.
func latest(entries []Entry, undone map[int]bool, now time.Time) time.Time {
	var last time.Time
	for i := range entries {
		e := &entries[i]
		if e.Kind.stockKind() && e.Kind != Undo && !undone[e.ID] && believed(*e, now) && e.Time.After(last) {
			last = e.Time
		}
	}
	return last
}
