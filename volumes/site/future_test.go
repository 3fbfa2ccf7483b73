package site_test

import (
	"strings"
	"testing"
	"time"

	"tidehold/volumes/site"
)

const futureSite = `format: 1
time_zone: Pacific/Auckland
systems:
  - id: tank
    net_volume: 400 L
    equipment: [{id: h, kind: heater, power: 300 W, guards: [{kind: controller, tested: 2026-12-01}, {kind: alarm, tested: 2026-11-01}]}]
stores:
  - {id: late, holds: saltwater, capacity: 200 L, volume: 100 L, mixed: 2026-12-01}
  - {id: today, holds: saltwater, capacity: 200 L, volume: 100 L, mixed: 2026-11-26}
purifier: {rate: 9 L/h, guards: [{kind: float, tested: 2027-01-01}]}
drills: [{what: move water, done: 2026-12-24}]
`

// At 19 h UTC it is already the next day in Auckland, so that day is not in the
// future there.
func TestDatesInTheFutureDoNotCount(t *testing.T) {
	s, faults := site.Load("x.yaml", []byte(futureSite))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	got, warnings := site.WithoutFutureDates(s, time.Date(2026, 11, 25, 19, 0, 0, 0, time.UTC))
	guards := got.Systems[0].Equipment[0].Guards
	if !got.Stores[0].DatedAhead || got.Stores[1].DatedAhead {
		t.Errorf("dated ahead: %v, %v", got.Stores[0].DatedAhead, got.Stores[1].DatedAhead)
	}
	if got.Stores[0].Mixed != nil || got.Stores[1].Mixed == nil || guards[0].Tested != nil || guards[1].Tested == nil ||
		got.Purifier.Guards[0].Tested != nil || got.Drills[0].Done != nil {
		t.Errorf("%+v", got)
	}
	if s.Stores[0].Mixed == nil || s.Drills[0].Done == nil || s.Systems[0].Equipment[0].Guards[0].Tested == nil {
		t.Error("the site given was changed")
	}
	if len(warnings) != 4 || !strings.Contains(strings.Join(site.Texts(got.Warnings), "\n"), "stores.late.mixed: 2026-12-01 is in the future") {
		t.Errorf("%q", got.Warnings)
	}
}
