package stock

import (
	"slices"
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

// TestTheLastHalfHourOfABatch: until the second it may be used it counts as nothing.
func TestTheLastHalfHourOfABatch(t *testing.T) {
	usable := start.Add(3 * time.Hour)
	folded, _ := Fold(slipway(t), numbered(Entry{Kind: Mixed, Store: "vat-b", Litres: dec("180"), Time: start, Data: JSONOf(Taken{Usable: usable.Format(time.RFC3339)})}), start)
	for left, mixing := range map[time.Duration]bool{90 * time.Minute: true, 30 * time.Minute: true, time.Second: true, 0: false} {
		for _, st := range StatusOf(folded, usable.Add(-left)).Stores {
			if st.ID == "vat-b" && ((st.State == Mixing) != mixing || st.Usable.IsPositive() == mixing) {
				t.Errorf("%v before: %+v", left, st)
			}
		}
	}
}

// TestWhatADeedMustSay: one drill or one guard of a kind, an item of the kit, a batch's water with its litres.
func TestWhatADeedMustSay(t *testing.T) {
	for text, ok := range map[string]bool{
		`{"drill":"outage"}`: true, `{"guard":{"equipment":"heater","kind":"cut-out"}}`: true,
		`{}`: false, `7`: false, `{"guard":{"equipment":"heater"}}`: false, `{"drill":"outage","guard":{"equipment":"heater","kind":"cut-out"}}`: false,
	} {
		if d, err := (Entry{Data: []byte(text)}).Deed(); (err == nil) != ok {
			t.Errorf("%s: %+v, %v", text, d, err)
		}
	}
	for text, ok := range map[string]bool{`{"item":"gloves","have":2}`: true, `{"item":"gloves"}`: true, `{"have":2}`: false, `7`: false, `{"item":""}`: false} {
		if k, err := (Entry{Data: []byte(text)}).KitCount(); (err == nil) != ok {
			t.Errorf("%s: %+v, %v", text, k, err)
		}
	}
	for text, ok := range map[string]bool{
		`{"purified":"pure-a","litres":"70"}`: true, `{"usable":"2026-11-25T05:00:00Z"}`: true, ``: true,
		`{"purified":"pure-a"}`: false, `{"litres":"70"}`: false, `{}`: false, `7`: false,
		`{"purified":"pure-a","usable":"2026-11-25T05:00:00Z"}`: false, `{"litres":"70","usable":"2026-11-25T05:00:00Z"}`: false,
	} {
		if d, err := (Entry{Data: []byte(text)}).Taken(); (err == nil) != ok || ok && (d != nil) != (text != "" && text[2] == 'p') {
			t.Errorf("%s: %+v, %v", text, d, err)
		}
	}
	e := Entry{ID: 1, Time: start, Kind: Mixed, Store: "vat-b", Litres: dec("180"), Data: JSONOf(Taken{Usable: "soon"})}
	if err := e.check(); err == nil {
		t.Error("a batch that may be used soon")
	}
	if e.Data, e.Store = JSONOf(Taken{Usable: "2026-11-25T05:00:00Z"}), ""; e.check() == nil {
		t.Error("a batch in no vat")
	}
}

// TestAWrongClockChangesNoOrder: entries stand as they were written, whether a clock ran back or ahead, and
// only what is entered late takes the place of its time among them.
func TestAWrongClockChangesNoOrder(t *testing.T) {
	hour := func(h float64) time.Time { return start.Add(time.Duration(h * float64(time.Hour))) }
	for name, c := range map[string]struct {
		hours []float64
		late  int
		want  []int32
	}{
		"right":     {[]float64{1, 2, 1.5}, 2, []int32{0, 2, 1}},
		"ran back":  {[]float64{1, 0, 0.5}, 2, []int32{2, 0, 1}},
		"ran ahead": {[]float64{1, 1000, 2, 1.5}, 3, []int32{0, 1, 3, 2}},
	} {
		var entries []Entry
		for i, h := range c.hours {
			entries = append(entries, Entry{ID: i + 1, Kind: Draw, Store: "vat-a", Litres: dec("1"), Time: hour(h), Late: i == c.late})
		}
		if got := acting(entries, nil, hour(3)); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}
