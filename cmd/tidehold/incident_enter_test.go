package main

import (
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// A change due within the minute of the work at a vat that comes first is named first where it takes nothing of that
// vat: the animals come before the vat.
func TestAChangeComesBeforeTheWorkAtAVat(t *testing.T) {
	change := func(atH float64, stores ...string) doing {
		s := &plan.Step{AtH: atH}
		for _, id := range stores {
			s.From = append(s.From, plan.Draw{StoreID: id})
		}
		return doing{atH: atH, step: s}
	}
	work := doing{atH: 1, storeID: "vat-b"}
	for _, c := range []struct {
		list []doing
		want int // its place; 0: none
	}{
		{[]doing{work}, 0}, {[]doing{work, change(1, "vat-a")}, 1}, {[]doing{work, change(1.01, "vat-a")}, 1}, {[]doing{work, change(1.02, "vat-a")}, 0},
		{[]doing{work, change(1, "vat-b")}, 0}, {[]doing{work, change(1, "vat-a", "vat-b")}, 0}, {[]doing{work, work, change(1, "vat-a")}, 2},
		{[]doing{work, change(1, "vat-b"), change(1, "vat-a")}, 2},
	} {
		got := besides(c.list)
		if c.want == 0 && got != nil || c.want > 0 && (got == nil || got != &c.list[c.want]) {
			t.Errorf("%+v: %+v", c, got)
		}
	}
}

// What a vat then holds is entered with its salinity, what went in and when it may be used, as it is typed; purified
// water where one store alone can have given it.
func TestWhatAVatThenHoldsIsEnteredAsItIsTyped(t *testing.T) {
	c := 25.5
	salts := []plan.Salt{{ID: "house", Kg: 7.91}, {ID: "other", Kg: 1}}
	one := []site.Store{{ID: "vat", Holds: site.Saltwater}, {ID: "pure", Holds: site.Purified, Volume: decimal.NewFromInt(300)}}
	const head = "When all is in, enter: tidehold stock mixed vat 349L --usable 150min --salinity 35.0"
	for _, x := range []struct {
		stores []site.Store
		tempC  *float64
		salts  []plan.Salt
		pureL  float64
		u      units.System
		want   string
	}{
		{one, nil, nil, 0, units.Metric, head}, {one, &c, nil, 0, units.Metric, head + " --temp 25.5C"}, {one, &c, nil, 0, units.US, head + " --temp 77.9F"},
		{one, nil, salts, 206, units.Metric, head + " --salt house=7.91kg --water pure=206L"}, {append(one, site.Store{ID: "second", Holds: site.Purified}), nil, salts, 206, units.Metric, head + " --salt house=7.91kg"},
		{one[:1], nil, nil, 12, units.Metric, head},
		{one, nil, nil, 301, units.Metric, "First enter what pure holds then: tidehold stock dip pure VOLUME\n" + head + " --water pure=301L"},
	} {
		n := nightOf(nil)
		n.Site.Stores, n.units = x.stores, x.u
		if got := n.enterMixed("vat", "349L", 2.5, 35, x.tempC, x.salts, x.pureL); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
}

// Each kind of work at a vat has its command: a batch with what the vat then holds, water poured away as drawn.
func TestEachKindOfWorkHasItsCommand(t *testing.T) {
	n := nightOf(nil)
	n.Site.Stores = []site.Store{{ID: "vat", Holds: site.Saltwater, Volume: decimal.NewFromInt(40)}}
	batch := &plan.Batch{StoreID: "vat", Litres: 200.4, Salinity: 34.5, Temperature: 24, MixedH: 2}
	later := *batch
	later.StartH, later.MixedH = 3, 5
	for want, d := range map[string]doing{
		"When all is in, enter: tidehold stock mixed vat 240L --usable 2h --salinity 34.5 --temp 24.0C":   {storeID: "vat", batch: batch},
		"When all is in, enter: tidehold stock mixed vat VOLUME --usable 2h --salinity 34.5 --temp 24.0C": {storeID: "vat", batch: &later},
		"Then enter: tidehold stock draw vat 20L":                                                         {storeID: "vat", prepared: &plan.Prepare{What: plan.Lower, StoreID: "vat", RemoveL: 20, Litres: 20}},
		"When all is in, enter: tidehold stock mixed vat 52L --usable 15min --salinity 35.0":              {storeID: "vat", prepared: &plan.Prepare{What: plan.Cut, StoreID: "vat", AddL: 12, Litres: 52, Salinity: 35, ReadyH: 0.25}},
	} {
		if got := n.enterWork(d); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Nothing is to be entered where nothing is to be done: the night is closed, done, or without a change.
func TestNothingIsEnteredWhereNothingIsDone(t *testing.T) {
	at := time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)
	one := &plan.Plan{WaterL: 120, Demand: plan.Demand{Aims: []plan.Aim{{Contaminant: "copper", Target: 3.1}}}, Aims: []plan.AimResult{{}},
		Steps: []plan.Step{{N: 1, RemoveL: 120, AddL: 120, From: []plan.Draw{{StoreID: "vat", Litres: 120}}, Levels: []plan.Level{{Before: 60, After: 5}}}}}
	n := nightOf(&incident.Finding{})
	if got := n.enterText(incidentStatus{Plan: one}); got != "Then enter: tidehold incident change 120L --from vat" {
		t.Errorf("%q", got)
	}
	for _, p := range []*plan.Plan{nil, {}} {
		if got := n.enterText(incidentStatus{Plan: p}); got != "" {
			t.Errorf("%q", got)
		}
	}
	if n.Log.ClosedAt = &at; n.enterText(incidentStatus{Plan: one}) != "" {
		t.Error("the night is closed")
	}
	two := *one
	two.Steps = []plan.Step{{N: 1, RemoveL: 120, AddL: 120, From: []plan.Draw{{StoreID: "vat", Litres: 80}, {StoreID: "bin", Litres: 40, Delivery: 1}}, Levels: []plan.Level{{Before: 60, After: 5}}}}
	n.Log.ClosedAt = nil
	if got := n.enterText(incidentStatus{Plan: &two}); got != "Then enter: tidehold incident change 120L --from vat=80L --from elsewhere=40L --salinity VALUE --temp VALUE" {
		t.Errorf("%q", got)
	}
}
