package readiness

import (
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// now is the moment every test judges from: a Wednesday at three in the morning.
var now = time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)

// on is a calendar day as the site file gives it.
func on(date string) *time.Time {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		panic(err)
	}
	return &t
}

func TestKitExpiresAfterItsLastDayAndMustBeComplete(t *testing.T) {
	for _, c := range []struct {
		item    site.KitItem
		ok      bool
		problem string
	}{
		{site.KitItem{Item: "pump", Need: 1, Have: 1}, true, ""},
		{site.KitItem{Item: "pump", Need: 2, Have: 1}, false, "1 missing"},
		{site.KitItem{Item: "test", Need: 1, Have: 1, Expires: on("2026-11-25")}, true, ""},
		{site.KitItem{Item: "test", Need: 1, Have: 1, Expires: on("2026-11-24")}, false, "expired 2026-11-24; replace it"},
		{site.KitItem{Item: "test", Need: 3, Have: 1, Expires: on("2020-01-01")}, false, "2 missing; expired 2020-01-01; replace it"},
		{site.KitItem{Item: "nothing needed", Need: 0, Have: 0}, true, ""},
	} {
		got := CheckKit([]site.KitItem{c.item}, now)[0]
		if got.OK != c.ok || got.Problem != c.problem || got.Item != c.item.Item {
			t.Errorf("CheckKit(%+v) = %+v, want ok %v, problem %q", c.item, got, c.ok, c.problem)
		}
	}
}

func TestAges(t *testing.T) {
	vat := func(mixed, tested *time.Time) site.Store {
		return site.Store{ID: "vat", Holds: site.Saltwater, Volume: decimal.NewFromInt(100), Mixed: mixed, Tested: tested, MaxAgeH: 30 * 24}
	}
	ahead := vat(nil, nil)
	ahead.DatedAhead = true
	for _, c := range []struct {
		name    string
		store   site.Store
		counted bool
		problem string
	}{
		{"fresh", vat(on("2026-11-14"), nil), true, ""},
		{"at its age to the hour", vat(on("2026-10-26"), nil), false, "over its age of 30 days and not counted; test it and record the test, or mix anew"},
		{"soon", vat(on("2026-10-28"), nil), true, "stops counting in 1 days; test it or mix anew"},
		{"tested since", vat(on("2026-10-01"), on("2026-11-20")), true, ""},
		{"a test before mixing does not count", vat(on("2026-10-01"), on("2026-09-20")), false, "over its age of 30 days and not counted; test it and record the test, or mix anew"},
		{"undated", vat(nil, nil), true, "no date of mixing is recorded; it is counted, test it and record the date"},
		{"tested, never dated", vat(nil, on("2026-11-20")), true, ""},
		{"future", vat(on("2026-12-20"), nil), true, "dated in the future; correct the date"},
		{"future, as the file's dates are passed on", ahead, true, "dated in the future; correct the date"},
	} {
		got := CheckAges([]site.Store{c.store}, now)
		if len(got) != 1 || got[0].Counted != c.counted || got[0].Problem != c.problem {
			t.Errorf("%s: %+v, want counted %v, problem %q", c.name, got, c.counted, c.problem)
		}
	}
	// The clock of who entered it may run a little ahead: that is no age below zero.
	minutes := func(n int) *time.Time { t := now.Add(time.Duration(n) * time.Minute); return &t }
	if got := CheckAges([]site.Store{vat(minutes(4), nil)}, now)[0]; got.AgeH == nil || *got.AgeH != 0 || got.Problem != "" {
		t.Errorf("mixed 4 minutes from now: %+v, want an age of 0", got)
	}
	if got := CheckAges([]site.Store{vat(minutes(6), nil)}, now)[0]; got.AgeH != nil || got.Problem == "" {
		t.Errorf("mixed 6 minutes from now: %+v, want no age and a word", got)
	}
	if got := CheckAges([]site.Store{vat(minutes(-90), nil)}, now)[0]; got.AgeH == nil || *got.AgeH != 1.5 {
		t.Errorf("mixed 90 minutes ago: %+v, want 1.5 h", got)
	}
	empty := vat(on("2020-01-01"), nil)
	empty.Volume = decimal.Zero
	pure := vat(on("2020-01-01"), nil)
	pure.Holds = site.Purified
	if got := CheckAges([]site.Store{empty, pure}, now); len(got) != 0 {
		t.Errorf("an empty vat and purified water have no age to watch: %+v", got)
	}
}

func TestDrillsFallDueAfterTheirInterval(t *testing.T) {
	drills := []site.Drill{
		{What: "in time", EveryH: 365 * 24, Done: on("2026-03-01")},
		{What: "due today", EveryH: 10 * 24, Done: on("2026-11-15")},
		{What: "overdue", EveryH: 9 * 24, Done: on("2026-11-15")},
		{What: "never", EveryH: 24},
	}
	want := []bool{false, false, true, true}
	for i, d := range CheckDrills(drills, now) {
		if d.Overdue != want[i] {
			t.Errorf("%s: overdue %v, want %v", d.What, d.Overdue, want[i])
		}
		if (d.Due == nil) != (drills[i].Done == nil) {
			t.Errorf("%s: due %v", d.What, d.Due)
		}
	}
}

func TestOnlyGuardsTestedWithinAYearCount(t *testing.T) {
	s := &site.Site{
		Systems: []site.System{{ID: "hall", Equipment: []site.Equipment{{ID: "heater-1", Guards: []site.Guard{
			{Kind: "cut-out", Tested: on("2025-11-25")}, {Kind: "alarm", Tested: on("2025-11-24")}, {Kind: "second thermostat"},
		}}}}},
		Purifier: &site.Purifier{Guards: []site.Guard{{Kind: "leak shutoff", Tested: on("2026-09-12")}}},
	}
	got := CheckGuards(s, now)
	if len(got) != 2 || got[0].Guard != "alarm" || *got[0].Tested != "2025-11-24" || got[1].Guard != "second thermostat" || got[1].Tested != nil || got[0].On != "hall heater-1" {
		t.Errorf("untested guards: %+v", got)
	}
	s.Purifier = nil
	s.Systems = nil
	if got := CheckGuards(s, now); len(got) != 0 {
		t.Errorf("no guards, but %+v", got)
	}
}

func TestRoutineDrawsOldestFirstAndStopsAtTheHeel(t *testing.T) {
	vat := func(id string, litres int64, mixed *time.Time) site.Store {
		return site.Store{ID: id, Holds: site.Saltwater, Volume: decimal.NewFromInt(litres), Heel: 10, Mixed: mixed, MaxAgeH: 30 * 24}
	}
	s := &site.Site{
		Routine: []site.Routine{{System: "a", Volume: 90, EveryH: 168}, {System: "b", Volume: 60, EveryH: 168}},
		Stores: []site.Store{
			vat("undated", 500, nil), vat("new", 100, on("2026-11-20")), vat("old", 40, on("2026-11-10")), vat("stale", 300, on("2026-01-01")),
			{ID: "pure", Holds: site.Purified, Volume: decimal.NewFromInt(200)},
		},
	}
	after, w := onWorstDay(s, now)
	want := map[string]string{"old": "10", "new": "10", "undated": "470", "stale": "300", "pure": "200"}
	for _, st := range after.Stores {
		if st.Volume.String() != want[st.ID] {
			t.Errorf("%s holds %s L, want %s", st.ID, st.Volume, want[st.ID])
		}
	}
	if w.RoutineL != 150 || w.DrawnL != 150 || len(w.From) != 3 || w.From[0].Store != "old" {
		t.Errorf("worst day %+v", w)
	}
	if s.Stores[0].Volume.String() != "500" {
		t.Error("the site given was changed")
	}

	s.Stores = s.Stores[1:3]
	if _, w := onWorstDay(s, now); w.DrawnL != 120 {
		t.Errorf("drawn %g L, only 120 are above the heels", w.DrawnL)
	}
}

func TestVerdictsAreOrdered(t *testing.T) {
	order := []Verdict{Covered, Late, Unknown, Short, Unreachable}
	for i, v := range order {
		for j, w := range order {
			if v.Worse(w) != (i > j) || (WorseFirst(v, w) < 0) != (i > j) {
				t.Errorf("%s worse than %s: %v", v, w, v.Worse(w))
			}
			if got := worst(v, w); got != order[max(i, j)] {
				t.Errorf("worst of %s and %s is %s", v, w, got)
			}
		}
	}
}

// TestWorkOfAPlan is worked by hand. Pumped: 290 L out and 290 L in at 1500 L/h
// are 23.2 min. Carried: 195 L out and 195 L in are 20 trips each way, 401.7 kg;
// nobody carries more than 30, so two share them.
func TestWorkOfAPlan(t *testing.T) {
	w := workOf([][]move{{{290, 290, 1500}}, {{195, 195, 0}}}, nil, 5, 25, units.Metric)
	if d := w.PumpMin - 23.2; d > 1e-9 || d < -1e-9 || w.BucketTrips != 40 || w.People != 2 {
		t.Errorf("work %+v", w)
	}
	if d := w.CarriedKg - 401.7; d > 1e-9 || d < -1e-9 {
		t.Errorf("carried %g kg, want 401.7", w.CarriedKg)
	}
	if w.Caution == "" {
		t.Error("a 25 kg bag is over 23 kg, but there is no caution")
	}
	if w := workOf([][]move{{{10, 10, 600}}}, nil, 0, 25, units.Metric); w.Caution != "" || w.People != 0 {
		t.Errorf("nothing is carried: %+v", w)
	}
	if w := workOf([][]move{{{10, 10, 0}}}, nil, 0, 0, units.Metric); w.Caution == "" || w.People != 1 {
		t.Errorf("two buckets are carried: %+v", w)
	}
}

// TestTheCeilingIsThePublishedLoadConstant: NIOSH 94-110, 23 kg (51 lb); a bucket
// of 10 L of seawater with the bucket (about 1 kg, common practice) stays below
// half of it.
func TestTheCeilingIsThePublishedLoadConstant(t *testing.T) {
	if liftingCeilingKg != 23 || (bucketL*carryKgL+1)*2 > liftingCeilingKg {
		t.Errorf("ceiling %g kg, bucket %g kg", liftingCeilingKg, bucketL*carryKgL+1)
	}
}
