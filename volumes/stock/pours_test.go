package stock

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/volumes/site"
)

func changeOf(t *testing.T, at string, pours ...Pour) Entry {
	t.Helper()
	from, err := PoursJSON(pours)
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(map[string]any{"incident": 1, "from": from})
	if err != nil {
		t.Fatal(err)
	}
	when, err := time.Parse(time.RFC3339, at)
	if err != nil {
		t.Fatal(err)
	}
	return Entry{Kind: Change, Time: when, Data: data}
}

func litres(s string) decimal.Decimal { return decimal.RequireFromString(s) }

func poursSite(t *testing.T) *site.Site {
	t.Helper()
	s, faults := site.Load("site.yaml", []byte(`format: 1
systems: [{id: tank, net_volume: 400 L}]
stores: [{id: vat, holds: saltwater, volume: 150 L}, {id: drum, holds: saltwater, volume: 60 L}]
`))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return s
}

// A change draws the stores it names in one entry, all or none.
func TestChangeDrawsItsStores(t *testing.T) {
	s := poursSite(t)
	e := changeOf(t, "2026-11-25T03:00:00Z", Pour{Store: "vat", Litres: litres("80.5")}, Pour{Store: "drum", Litres: litres("40")}, Pour{Litres: litres("10")})
	if err := Validate(s, nil, e, anytime); err != nil {
		t.Fatal(err)
	}
	e.ID = 1
	folded, warnings := Fold(s, []Entry{e}, e.Time)
	if len(warnings) > 0 || folded.StoreByID("vat").Volume.String() != "69.5" || folded.StoreByID("drum").Volume.String() != "20" {
		t.Errorf("vat %s, drum %s, %v", folded.StoreByID("vat").Volume, folded.StoreByID("drum").Volume, warnings)
	}
	over := changeOf(t, "2026-11-25T07:00:00Z", Pour{Store: "vat", Litres: litres("60")}, Pour{Store: "vat", Litres: litres("20")})
	if err := Validate(s, []Entry{e}, over, anytime); err == nil || !strings.Contains(err.Error(), "9.5 L it holds") {
		t.Errorf("two pours that are together too much: %v", err)
	}
	over.ID = 2
	folded, warnings = Fold(s, []Entry{e, over}, over.Time)
	if len(warnings) != 1 || !strings.Contains(warnings[0].Text, "passed over") && !folded.StoreByID("vat").Volume.IsZero() {
		t.Errorf("an impossible change: %s left, %v", folded.StoreByID("vat").Volume, warnings)
	}
}

// A change written down after the vat was dipped is in that dip already; one dated
// before a dip of a wrong clock is not.
func TestLateChangeIsNotDrawnTwice(t *testing.T) {
	s := poursSite(t)
	dipped := litres("70")
	dip := Entry{ID: 1, Kind: Dip, Store: "vat", Litres: &dipped, Time: time.Date(2026, 11, 25, 4, 0, 0, 0, time.UTC)}
	late := changeOf(t, "2026-11-25T03:00:00Z", Pour{Store: "vat", Litres: litres("80")})
	if _, err := Post(s, []Entry{dip}, &late, anytime); err != nil || !late.Late {
		t.Fatalf("a late entry: %v", err)
	}
	late.ID = 2
	now := time.Date(2026, 11, 25, 5, 0, 0, 0, time.UTC)
	if folded, _ := Fold(s, []Entry{dip, late}, now); folded.StoreByID("vat").Volume.String() != "70" {
		t.Errorf("drawn twice: %s L left of the 70 L dipped", folded.StoreByID("vat").Volume)
	}
	dip.Time = now.AddDate(3, 0, 0)
	late = changeOf(t, "2026-11-25T03:00:00Z", Pour{Store: "vat", Litres: litres("20")})
	late.ID = 2
	if folded, _ := Fold(s, []Entry{dip, late}, now); folded.StoreByID("vat").Volume.String() != "50" {
		t.Errorf("a dip of a wrong clock swallowed a change: %s L left", folded.StoreByID("vat").Volume)
	}
}

func TestChangeWithoutItsDataIsRefused(t *testing.T) {
	s := poursSite(t)
	for text, want := range map[string]string{
		`null`: `a list "from"`, `{"from":[]}`: `a list "from"`, `{"from":[{"store":"vat","litres":0}]}`: "above 0",
		`{"from":[{"store":"vat","litres":1e4000}]}`: "too long", `{"from":[{"store":"vat","litres":-1}]}`: "-1",
		`{"from":[{"store":"vat","litres":1,"salinity":90}]}`: "salinity", `{"from":[{"store":"vta","litres":1}]}`: `did you mean "vat"`,
	} {
		e := Entry{Kind: Change, Time: time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC), Data: json.RawMessage(text)}
		if err := Validate(s, nil, e, anytime); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
	}
	if _, err := (Entry{Kind: Dip}).Pours(); err == nil {
		t.Error("a dip has pours")
	}
}

// TestWhatOfAPourWasMeasuredIsKept: one flag stood for both, and a temperature that a thermometer showed was told as "by the
// record", and taken for nothing where a vat warms.
func TestWhatOfAPourWasMeasuredIsKept(t *testing.T) {
	salinity, celsius := 35.0, 24.0
	for _, c := range []struct {
		salinity, temp bool
		wire           string
	}{{false, false, `"temp_c":24}`}, {true, true, `"recorded":true}`}, {true, false, `"recorded":true,"measured":"temp_c"}`}, {false, true, `"recorded":true,"measured":"salinity"}`}} {
		e := changeOf(t, "2026-11-25T03:00:00Z", Pour{Store: "vat", Litres: litres("80"), Salinity: &salinity, TemperatureC: &celsius, SalinityRecorded: c.salinity, TempRecorded: c.temp})
		pours, err := e.Pours()
		if err != nil {
			t.Fatal(err)
		}
		if p := pours[0]; p.SalinityRecorded != c.salinity || p.TempRecorded != c.temp || !strings.Contains(string(e.Data), c.wire) {
			t.Errorf("%+v: %s is read as %v, %v", c, e.Data, p.SalinityRecorded, p.TempRecorded)
		}
	}
}
