package stock

import (
	"testing"
	"time"

	"tidehold/volumes/site"
)

// TestABatchThatIsBeingMixedIsNotThereYet: it is in the vat and counts as nothing until it may be used, by
// its time or because it was tested; a later batch makes its own time.
func TestABatchThatIsBeingMixedIsNotThereYet(t *testing.T) {
	s := slipway(t)
	usable := start.Add(3 * time.Hour)
	batch := Entry{Kind: Mixed, Store: "vat-b", Litres: dec("180"), Data: JSONOf(Taken{Usable: usable.Format(time.RFC3339)})}
	batch.Time = start
	status := func(at time.Time, entries ...Entry) StoreStatus {
		t.Helper()
		folded, warnings := Fold(s, numbered(entries...), at)
		if len(warnings) > 0 {
			t.Fatal(warnings)
		}
		for _, st := range StatusOf(folded, at).Stores {
			if st.ID == "vat-b" {
				return st
			}
		}
		t.Fatal("no vat-b")
		return StoreStatus{}
	}
	if st := status(start.Add(time.Hour), batch); st.State != Mixing || !st.Usable.IsZero() || !st.Litres.Equal(*dec("180")) {
		t.Errorf("after an hour: %+v", st)
	}
	if st := status(usable, batch); st.State != Ready || !st.Usable.IsPositive() {
		t.Errorf("when it may be used: %+v", st)
	}
	tested := Entry{Kind: Tested, Store: "vat-b", Time: start.Add(2 * time.Hour)}
	if st := status(start.Add(2*time.Hour), batch, tested); st.State == Mixing {
		t.Errorf("tested early: %+v", st)
	}
	again := Entry{Kind: Mixed, Store: "vat-b", Litres: dec("100"), Time: start.Add(time.Hour)}
	if st := status(start.Add(time.Hour), batch, again); st.State == Mixing {
		t.Errorf("mixed anew: %+v", st)
	}
	folded, _ := Fold(s, numbered(batch), start)
	for _, st := range folded.Stores {
		if st.ID == "vat-b" && (st.BeingMixed(start) != 3 || st.BeingMixed(usable.Add(time.Hour)) != 0) || st.ID != "vat-b" && st.UsableFrom != nil {
			t.Errorf("%s: %v", st.ID, st.BeingMixed(start))
		}
	}
	if (site.Store{}).BeingMixed(start) != 0 {
		t.Error("a store of which nothing is said")
	}
}

// TestWhenABatchMayBeUsed: from the entry's own time to two weeks after it, with or without the water it took.
func TestWhenABatchMayBeUsed(t *testing.T) {
	for _, c := range []struct {
		taken Taken
		ok    bool
		from  bool
	}{
		{Taken{Usable: "2026-11-25T03:00:00Z"}, true, false}, {Taken{Usable: "2026-12-09T03:00:00Z"}, true, false},
		{Taken{Usable: "2026-12-09T03:00:01Z"}, false, false}, {Taken{Usable: "2026-11-25T02:59:59Z"}, false, false}, {Taken{Usable: "soon"}, false, false},
		{Taken{Store: "pure-a", Litres: "70.5", Usable: "2026-11-25T05:00:00Z"}, true, true}, {Taken{Litres: "70.5", Usable: "2026-11-25T05:00:00Z"}, false, false},
	} {
		e := Entry{ID: 1, Time: start, Kind: Mixed, Store: "vat-b", Litres: dec("180"), Data: JSONOf(c.taken)}
		p, err := Post(slipway(t), nil, &e, anytime)
		if (err == nil) != c.ok {
			t.Errorf("%+v: %v", c.taken, err)
		}
		if err == nil && (p.After.Stores[2].Volume.Equal(*dec("49.5")) != c.from) {
			t.Errorf("%+v: pure-a holds %v", c.taken, p.After.Stores[2].Volume)
		}
	}
}
