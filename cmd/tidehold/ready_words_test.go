package main

import (
	"strings"
	"testing"

	"tidehold/refs/outside"
	"tidehold/refs/units"
	"tidehold/response/readiness"
)

// TestEveryRemedySaysWhenMoreIsTooMuch: the amount rounded up, and where more no longer does rounded
// down, of whatever kind.
func TestEveryRemedySaysWhenMoreIsTooMuch(t *testing.T) {
	tooMuch, afterH := 51.29, 6.0
	for what, want := range map[readiness.Remedy]string{
		readiness.StoredSaltwater: "49.3 L (but less than 51.2 L) more saltwater in a",
		readiness.StoredPurified:  "49.3 L (but less than 51.2 L) more purified water in a",
		readiness.MoreSalt:        "49.3 kg (but less than 51.2 kg) more salt (a)",
		readiness.PurifierRate:    "a purifier that makes 49.3 L/h (but less than 51.2 L/h) more, by its rating",
		readiness.VatHeater:       "50 W (but less than 51 W) more heating in a",
		readiness.VatCapacity:     "49.3 L (but less than 51.2 L) more room in a",
		readiness.Delivered:       "49.3 L (but less than 51.2 L) of saltwater delivered within 6 h",
		readiness.MoreTime:        "2 d 2 h (but less than 2 d 3 h) more time",
	} {
		v := readyView{units: units.Metric}
		got := v.fix(readiness.Fix{What: what, Amount: 49.21, TooMuch: &tooMuch, Where: "a", AfterH: &afterH})
		if got != want {
			t.Errorf("%s: %q, want %q", what, got, want)
		}
		if got := v.fix(readiness.Fix{What: what, Amount: 49.21, Where: "a", AfterH: &afterH}); strings.Contains(got, "less than") {
			t.Errorf("%s: %q", what, got)
		}
	}
}

// TestARemedyWithHardlyRoomSaysWhatCanBeMeasured: "94 gal (but less than 94 gal)" was printed for a site.
func TestARemedyWithHardlyRoomSaysWhatCanBeMeasured(t *testing.T) {
	v := readyView{units: units.US}
	for _, c := range []struct {
		amount, tooMuch float64
		want            string
	}{
		{354.5, 354.9, "exactly 93.7 gal more purified water in a"},
		{356.25, 356.5, "just over 94.1 gal (neither less nor more) more purified water in a"},
		{354.5, 360, "93.7 gal (but less than 95.1 gal) more purified water in a"},
	} {
		if got := v.fix(readiness.Fix{What: readiness.StoredPurified, Amount: c.amount, TooMuch: &c.tooMuch, Where: "a"}); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

// TestWhatBoughtWaterMayBringIsSaid: an amount that was worked out with water that brings copper is for that.
func TestWhatBoughtWaterMayBringIsSaid(t *testing.T) {
	salinity, keptAt := 35.0, 25.0
	brings := map[string]float64{"zinc": 12, "free_copper": 1}
	v := readyView{units: units.Metric}
	for f, want := range map[*readiness.Fix]string{
		{What: readiness.StoredSaltwater, Salinity: &salinity, KeptAtC: &keptAt}: "49.3 L more saltwater in a new container (salinity 35.0, 25.0 °C, at most 1.00 µg/L free copper, at most 12.0 µg/L zinc)",
		{What: readiness.StoredPurified, Salinity: &salinity}:                    "49.3 L more purified water in a new container (at most 1.00 µg/L free copper, at most 12.0 µg/L zinc)",
	} {
		f.Amount, f.NeedsRoomL, f.BackgroundUgL = 49.21, 49.21, brings
		if got := v.fix(*f); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// TestAPageNamesItsChartsAndNoFlag: each chart of ready says whose it is, and a page that has it
// all sends nobody to --all.
func TestAPageNamesItsChartsAndNoFlag(t *testing.T) {
	outside.Alone(t)
	var page string
	for _, command := range []string{"hazards", "stock", "ready"} {
		_, page, _ = onlyReads(command, "--demo", "--format", "html")
		if at := strings.Index(page, "--all"); at >= 0 {
			t.Errorf("%s: %q", command, page[max(0, at-60):at+30])
		}
	}
	for _, id := range []string{"broken-heater", "halve-anything", "pool-spill"} {
		if n := strings.Count(page, "<figcaption>Supply against demand: "+id+"</figcaption>"); n != 1 {
			t.Errorf("%d charts of %s", n, id)
		}
	}
}

// TestNarrowTables stay tables on a phone: the words of headings and whole cells, and a blank for each column.
func TestNarrowTables(t *testing.T) {
	cell := func(n int) string { return strings.Repeat("m", n) }
	for _, c := range []struct {
		header []string
		row    []string
		want   bool
	}{
		{[]string{"level (cm)", "above the bottom", "mark"}, []string{"100.0", "429 L", "BRIM"}, true},
		{[]string{"a", "b"}, []string{cell(22), cell(22)}, true},
		{[]string{"a", "b"}, []string{cell(23), cell(22)}, false},
		{[]string{cell(20) + " " + cell(20), cell(22) + " " + cell(23)}, []string{"1", "2"}, true},
		{[]string{"°°°°°°°°°°°°°°°°°°°°°", "b"}, []string{"", "°°°°°°°°°°°°°°°°°°°°°"}, true},
		{[]string{"a", "b"}, []string{"short row"}, true},
	} {
		if got := narrow(&grid{Header: c.header, Rows: [][]string{c.row}}); got != c.want {
			t.Errorf("%q %q: %v", c.header, c.row, got)
		}
	}
}
