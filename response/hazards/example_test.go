package hazards_test

import (
	"fmt"
	"time"

	"tidehold/refs/units"
	"tidehold/response/hazards"
	"tidehold/volumes/site"
)

const harbour = `format: 1
systems:
  - id: reef
    net_volume: 640 L
    water: {temperature: 25.5 C}
    limits: {temperature_high: 29 C}
    ambient: {usual: 19 C, coldest: 14 C, hottest: 28 C}
    heat_loss: {coefficient: 18 W/K}
    livestock: {fish_mass: 1.2 kg, fish_size: 30 g}
    equipment:
      - {id: heater, kind: heater, power: 300 W, guards: [{kind: high-limit cut-out, tested: 2026-10-01}]}
      - {id: wave, kind: circulation, power: 12 W}
      - {id: cell, kind: battery, energy: 480 Wh, usable: 50 %, inverter: 85 %, idle: 10 W, feeds: [wave]}
stores: [{id: vat, holds: saltwater, volume: 150 L}]
`

// The worst that can happen to a tank while nobody looks.
func ExampleJudge() {
	s, faults := site.Load("harbour.yaml", []byte(harbour))
	if len(faults) > 0 {
		fmt.Println(faults)
		return
	}
	r, err := hazards.Judge(s, time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC), units.Metric)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, h := range r.Hazards {
		if h.Harm == hazards.WithinADay {
			fmt.Printf("%s %s: %s after %.1f h, %d guards\n", h.Equipment, h.Failure, h.Limit, *h.HoursToLimit, h.Counting())
		}
	}
	fmt.Printf("%s: %.2f h\n", r.Batteries[0].ID, *r.Batteries[0].Hours)
	// Output:
	// mains power outage: oxygen_low after 2.1 h, 0 guards
	// heater stuck-on: temperature_high after 7.8 h, 1 guards
	// mains power outage: temperature_low after 14.7 h, 0 guards
	// heater failed-off: temperature_low after 15.8 h, 0 guards
	// cell: 9.95 h
}

// What a card about one tank needs.
func ExampleAidsFor() {
	s, faults := site.Load("harbour.yaml", []byte(harbour))
	if len(faults) > 0 {
		fmt.Println(faults)
		return
	}
	a, err := hazards.AidsFor(s.Systems[0])
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("one °C: %.1f MJ, %.1f kg of ice, %.1f h of the %.0f W\n", a.HeatMJPerC, a.IceKgPerC, *a.HeaterHoursPerC, a.HeaterW)
	// Output: one °C: 2.6 MJ, 5.9 kg of ice, 2.4 h of the 300 W
}
