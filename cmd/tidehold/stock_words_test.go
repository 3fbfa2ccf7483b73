package main

import (
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// The age and the state of a store, as a keeper reads them.
func TestAStoreSaysItsAgeAndItsState(t *testing.T) {
	h := 30.0
	for _, c := range []struct {
		s          storeResult
		age, state string
	}{
		{storeResult{Holds: site.Saltwater, MixedH: &h, State: stock.Ready}, "1 d 6 h", "ready"},
		{storeResult{Holds: site.Saltwater, MixedH: &h, TestedH: &h, State: stock.Ready}, "1 d 6 h", "tested"},
		{storeResult{Holds: site.Saltwater, TestedH: &h, State: stock.Ready}, "-", "tested"},
		{storeResult{Holds: site.Saltwater, TestedH: &h, State: stock.OverAge}, "-", "OVER AGE"},
		{storeResult{Holds: site.Saltwater, State: stock.Undated}, "unknown", "no date"},
		{storeResult{Holds: site.Saltwater, State: stock.Undated, DatedAhead: true}, "unknown", "date ahead"},
		{storeResult{Holds: site.Saltwater, MixedH: &h, State: stock.AtHeel}, "1 d 6 h", "EMPTY"},
		{storeResult{Holds: site.Saltwater, MixedH: &h, State: stock.Mixing}, "1 d 6 h", "being mixed"},
		{storeResult{Holds: site.Purified, State: stock.Ready}, "-", "ready"},
	} {
		if age, state := ageWords(c.s), storeWords(c.s); age != c.age || state != c.state {
			t.Errorf("%+v: %q, %q", c.s, age, state)
		}
	}
}

// What would fail of the kit is counted and named, and what does not count of the water; salt says what it makes.
func TestWhatTheStockLacks(t *testing.T) {
	day := "2026-09-30"
	litres := func(l float64) exact { return exact{decimal.NewFromFloat(l)} }
	v := stockView{units: units.Metric}
	v.Kit = []kitResult{{Item: "pump", Need: 1, Have: 1, OK: true}, {Item: "copper test", Need: 1, Have: 1, OK: true, Expires: &day}}
	if got := v.kit(); got != "Kit: all of 2 items there." {
		t.Errorf("%q", got)
	}
	v.Kit = append(v.Kit, kitResult{Item: "gloves", Need: 2, Have: 1}, kitResult{Item: "ammonia test", Need: 1, Have: 1, Expires: &day})
	if got := v.kit(); got != "Kit: 2 of 4 items ready; gloves MISSING (1 of 2) and ammonia test EXPIRED 2026-09-30." {
		t.Errorf("%q", got)
	}
	if got := v.kept(); got != "" {
		t.Errorf("%q", got)
	}
	v.Stores = []storeResult{{ID: "vat-a", State: stock.Ready}, {ID: "vat-b", State: stock.OverAge}}
	v.Totals = []totalResult{{Holds: site.Saltwater, VolumeL: litres(500), UsableL: litres(272.9), ReserveL: litres(60)}, {Holds: site.Purified, VolumeL: litres(210), UsableL: litres(207)}}
	if got := v.kept(); got != "Not counted: what is left at the bottom, vat-b (over age) and a reserve of 60 L saltwater." {
		t.Errorf("%q", got)
	}
	if got := v.totals(); got != "272 L of saltwater and 207 L of purified water" {
		t.Errorf("%q", got)
	}
	const want = "[saltwater 500 L 272 L 60 L]\n[purified 210 L 207 L 0 L]\nUsable is all that the pump reaches and that is not over age, less the reserve.\n" +
		"[pump 1 1 - ok]\n[copper test 1 1 2026-09-30 ok]\n[gloves 2 1 - MISSING]\n[ammonia test 1 1 2026-09-30 EXPIRED]"
	if got := said(v.detail()); got != want {
		t.Errorf("%q", got)
	}
	s := saltResult{ID: "house", OnHandKg: litres(41.56), MakesL: 1092.9, Batches: 2.57, Vat: "vat-a"}
	if got := v.salt(s); got != "Dry salt: 41.5 kg of house makes 1092 L (2.5 fillings of vat-a)" {
		t.Errorf("%q", got)
	}
	if s.Vat = ""; v.salt(s) != "Dry salt: 41.5 kg of house makes 1092 L" {
		t.Errorf("%q", v.salt(s))
	}
}
