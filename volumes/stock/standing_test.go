package stock

import (
	"fmt"
	"testing"
	"time"
)

// What stands of a span: both its ends, nothing that was taken back, in the order in which it happened.
func TestStanding(t *testing.T) {
	at := func(h int) time.Time { return time.Date(2026, 11, 27, h, 0, 0, 0, time.UTC) }
	entries := []Entry{
		{ID: 1, Kind: Dip, Time: at(1)}, {ID: 2, Kind: Dip, Time: at(5)}, {ID: 3, Kind: Dip, Time: at(2)}, {ID: 4, Kind: Dip, Time: at(3)},
		{ID: 5, Kind: Undo, Undoes: 4, Time: at(9)}, {ID: 6, Kind: Dip, Time: at(2)}, {ID: 7, Kind: Dip, Time: at(6)},
	}
	for _, c := range []struct {
		from, to int
		want     string
	}{{2, 5, "[3 6 2]"}, {0, 23, "[1 3 6 2 7 5]"}, {3, 4, "[]"}, {6, 2, "[]"}} {
		ids := []int{}
		for _, e := range Standing(entries, at(c.from), at(c.to)) {
			ids = append(ids, e.ID)
		}
		if fmt.Sprint(ids) != c.want {
			t.Errorf("from %d to %d h: %v, want %s", c.from, c.to, ids, c.want)
		}
	}
}
