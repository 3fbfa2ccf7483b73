package site

import (
	"strings"
	"testing"
)

const twoTanks = `format: 1
systems:
  - id: reef
    net_volume: 400 L
    equipment:
      - {id: wave, kind: circulation, power: 12 W}
      - {id: cell, kind: battery, energy: 480 Wh, lasts: 8 h, feeds: [wave, pool/bubbles]}
      - {id: engine, kind: generator, power: 700 W}
  - id: pool
    net_volume: 200 L
    equipment: [{id: bubbles, kind: air, power: 4 W}]
`

// A battery may feed another system's air pump; a generator that names nothing can
// feed all of the site that uses power.
func TestFed(t *testing.T) {
	s, faults := Load("x", []byte(twoTanks))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	reef := &s.Systems[0]
	for i, want := range map[int]string{1: "reef/wave pool/bubbles", 2: "reef/wave pool/bubbles"} {
		var got []string
		for _, d := range s.Fed(reef, &reef.Equipment[i]) {
			got = append(got, d.System.ID+"/"+d.Equipment.ID)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s feeds %v, want %s", reef.Equipment[i].ID, got, want)
		}
	}
	cell := reef.Equipment[1]
	if cell.Inverter != 0.8 || cell.IdleW != 10 || cell.Usable != 0.5 || *cell.LastsH != 8 {
		t.Errorf("%+v", cell)
	}
	reef.Equipment[1].Feeds = []string{"attic/fan", "fan"}
	if d := s.Fed(reef, &reef.Equipment[1]); len(d) != 0 {
		t.Errorf("feeds %v, which do not exist", d)
	}
}
