package main

import (
	"strings"
	"testing"
	"time"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// TestWorkAtAVatIsEnteredAsWhatItIs: a vat to be emptied at the minute at which a batch is mixed in it was offered the batch, with
// the litres that had just been poured away counted in.
func TestWorkAtAVatIsEnteredAsWhatItIs(t *testing.T) {
	s, faults := site.Load("x", []byte(`format: 1
systems: [{id: qt, net_volume: 90 L}]
stores: [{id: butt, holds: saltwater, volume: 110 L, capacity: 180 L, mixed: 2026-11-20}, {id: pure, holds: purified, volume: 60 L}]
`))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	n := &night{loaded: loaded{Site: s}, State: incident.State{Now: time.Date(2026, 11, 27, 4, 0, 0, 0, time.UTC)}, units: units.Metric}
	v := n.view(plan.Plan{
		Prepared: []plan.Prepare{{What: plan.Empty, StoreID: "butt", RemoveL: 104.8}, {What: plan.Cut, StoreID: "butt", AtH: 1, ReadyH: 1.25, AddL: 20, Litres: 80, Salinity: 30}},
		Batches:  []plan.Batch{{N: 1, StoreID: "butt", MixedH: 4, Litres: 52.5, PurifiedL: 52, Salinity: 18, Temperature: 15.2, Salts: []plan.Salt{{ID: "bag", Kg: 0.898}}}},
	})
	var got []string
	for _, d := range v.inOrder() {
		got = append(got, n.enterWork(d))
	}
	want := []string{
		"Then enter: tidehold stock draw butt 104.8L",
		"When all is in, enter: tidehold stock mixed butt 162.5L --usable 4h --salinity 18.0 --temp 15.2C --salt bag=898g --water pure=52L",
		"When all is in, enter: tidehold stock mixed butt 80L --usable 15min --salinity 30.0 --water pure=20L",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}
