package main

import (
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// Water that no system could take in one step is cautioned against, by the system it fits best; what it is off by is
// told in as many digits as show that it is more than may be.
func TestWaterThatNoSystemCouldTakeIsCautionedAgainst(t *testing.T) {
	system := func(id string, salinity, step float64) site.System {
		s := site.System{ID: id}
		s.Water.Salinity, s.Limits.SalinityStep = units.Practical(salinity), step
		return s
	}
	reef, marsh := system("reef", 35, 1), system("marsh", 12, 0.5)
	for _, c := range []struct {
		systems  []site.System
		salinity float64
		want     string
	}{
		{[]site.System{reef}, 35, ""}, {[]site.System{reef}, 36, ""}, {[]site.System{reef}, 34, ""},
		{[]site.System{reef}, 37.2, "vat is 2.2 above reef, which is at 35.0 and may change by 1 in one step."},
		{[]site.System{reef}, 33, "vat is 2.0 below reef, which is at 35.0 and may change by 1 in one step."},
		{[]site.System{reef}, 36.04, "vat is 1.04 above reef, which is at 35.0 and may change by 1 in one step."},
		{[]site.System{reef, marsh}, 12.4, ""},
		{[]site.System{reef, marsh}, 13, "vat is 1.0 above marsh, which is at 12.0 and may change by 0.5 in one step."},
		{[]site.System{marsh, reef}, 30, "vat is 5.0 below reef, which is at 35.0 and may change by 1 in one step."},
		{nil, 30, ""},
	} {
		w := entryWords{}
		st := site.Store{ID: "vat", Holds: site.Saltwater}
		st.Water.Salinity = units.Practical(c.salinity)
		w.After = &site.Site{Systems: c.systems, Stores: []site.Store{st}}
		got := strings.Join(w.againstSystems(stock.Entry{Store: "vat", Salinity: &c.salinity}), "\n")
		off, mend, _ := strings.Cut(got, " Correct it before you pour it: tidehold mix correct --store vat --to ")
		if off = strings.TrimPrefix(off, "CAUTION: "); off != c.want || (mend == "") != (c.want == "") {
			t.Errorf("%g: %q, want %q", c.salinity, got, c.want)
		}
		w.After.Stores[0].Holds = site.Purified
		if got := w.againstSystems(stock.Entry{Store: "vat", Salinity: &c.salinity}); got != nil {
			t.Errorf("purified water is no new water: %q", got)
		}
	}
}
