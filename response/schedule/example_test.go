package schedule_test

import (
	"fmt"
	"time"

	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// Half of a 400 L tank within 12 h: 150 L are ready, the rest is mixed in the spare vat
// while the first change is made.
func ExampleRun() {
	s, faults := site.Load("site.yaml", []byte(`format: 1
systems: [{id: tank, net_volume: 400 L, drawdown: 45 %, change_every: 4 h, lead: 0 h, water: {salinity: 35, temperature: 25 C}}]
stores:
  - {id: vat, holds: saltwater, capacity: 150 L, volume: 150 L, temperature: 25 C, mixed: 2026-11-20, transfer: 1500 L/h}
  - {id: spare, holds: saltwater, capacity: 200 L, volume: 0 L, temperature: 25 C, mixed: 2026-11-20, transfer: 1500 L/h}
  - {id: pure, holds: purified, capacity: 200 L, volume: 120 L, temperature: 25 C}
salts: [{id: house, on_hand: 20 kg, dose: 38 g/L}]
mixing: {emergency_time: 2 h, in: [spare]}
events: [{id: half, system: tank, remove: 50 %, within: 12 h}]
`))
	if s == nil {
		fmt.Println(faults[0])
		return
	}
	demands, err := schedule.Demands(s, "half")
	if err != nil {
		fmt.Println(err)
		return
	}
	out, err := schedule.Run(s, time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC), demands, schedule.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, step := range out.Plans[0].Steps {
		fmt.Printf("after %.0f h: %.0f L from %s, %.0f %% left\n", step.AtH, step.RemoveL, step.From[0].StoreID, 100*step.Levels[0].After)
	}
	// Output:
	// after 0 h: 150 L from vat, 62 % left
	// after 4 h: 80 L from spare, 50 % left
}
