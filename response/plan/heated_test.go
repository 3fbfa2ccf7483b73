package plan

import (
	"fmt"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/volumes/site"
)

// TestAHeaterIsOnOnlyUnderWater: heaters were said to be on from the start in vats that held 0 L and 0.90 L.
func TestAHeaterIsOnOnlyUnderWater(t *testing.T) {
	vat := func(id string, litres, heelL, watts float64) site.Store {
		s := site.Store{ID: id, Capacity: 200, Heel: 0, HeaterW: watts, Volume: decimal.NewFromFloat(litres)}
		s.Heel, s.Water.Temperature = 0, 20
		if heelL > 0 {
			s.Heel = 30
		}
		return s
	}
	stores := []site.Store{vat("full", 180, 0, 300), vat("dry", 0, 0, 300), vat("wet", 0.9, 0, 300), vat("heel", 30, 30, 300), vat("cold", 180, 0, 0), vat("emptied", 180, 0, 300), vat("topped", 180, 0, 300), vat("asis", 180, 0, 300)}
	draw := func(id string, batch int, celsius float64) Draw {
		return Draw{StoreID: id, Batch: batch, Temperature: celsius}
	}
	p := &Plan{
		Steps: []Step{
			{From: []Draw{draw("asis", 0, 20), draw("full", 0, 24), draw("dry", 1, 24), draw("wet", 2, 24)}},
			{From: []Draw{draw("heel", 3, 24), draw("cold", 0, 24), draw("emptied", 4, 24), draw("topped", 5, 24)}},
		},
		Batches: []Batch{{N: 1}, {N: 2}, {N: 3}, {N: 4}, {N: 5, OnTop: true}},
	}
	now, filled := p.Heated(stores, 0.5)
	if got, want := fmt.Sprint(now, filled), "[full topped] [dry wet heel emptied]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
