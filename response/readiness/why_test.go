package readiness

import (
	"strings"
	"testing"

	"tidehold/refs"
	"tidehold/volumes/site"
)

// trying loads a text again with one more assignment.
func trying(text string) func(string) (*site.Site, error) {
	return func(set string) (*site.Site, error) {
		s, faults := site.LoadWith("site.yaml", []byte(text), []string{set})
		if len(faults) > 0 {
			return nil, faults[0]
		}
		return s, nil
	}
}

// TestWhatDecides: 400 L of which a quarter (assumed) may be out at once. A third
// within an hour takes two changes then, four hours apart: late. Were half
// allowed out, one change would do: the assumed drawdown decides, and how to measure
// it is said.
func TestWhatDecides(t *testing.T) {
	text := `format: 1
systems: [{id: tank, net_volume: 400 L, water: {salinity: 35, temperature: 25 C}}]
stores: [{id: vat, holds: saltwater, volume: 500 L, salinity: 35, temperature: 25 C, mixed: 2026-11-20, transfer: 2000 L/h}]
events: [{id: third, system: tank, remove: 33 %, within: 1 h}]
`
	s := load(t, text)
	w := Decide(s, now, trying(text))
	if w.Tried < 8 || w.Skipped != 0 || len(w.Deciders) == 0 {
		t.Fatalf("%+v", w)
	}
	d := w.Deciders[0]
	if d.What != "systems.tank.drawdown" || d.At != "50 %" || len(d.Changes) != 1 || d.Changes[0].From != Late || d.Changes[0].To != Covered || d.Measure == "" || d.Basis == "" {
		t.Errorf("%+v", d)
	}
	for _, d := range w.Deciders {
		if strings.Contains(d.What, "salinity_per_day") {
			t.Errorf("%+v decides nothing here", d)
		}
	}
}

// TestWhatIsStatedDoesNotDecide: only assumed values are moved.
func TestWhatIsStatedDoesNotDecide(t *testing.T) {
	text := strings.Replace(head, "change_every: 4 h", "change_every: 4 h", 1) + vat("150 L") + halve
	w := Decide(load(t, text), now, trying(text))
	for _, d := range w.Deciders {
		if strings.HasSuffix(d.What, ".drawdown") || strings.HasSuffix(d.What, "temperature_step") {
			t.Errorf("%s is stated", d.What)
		}
	}
}

// TestEveryPlausibleRangeFitsTheSiteFile: both ends of each row are values that the
// loader takes at that path, so that no row is passed over in silence.
func TestEveryPlausibleRangeFitsTheSiteFile(t *testing.T) {
	text := `format: 1
systems: [{id: tank, net_volume: 400 L}]
stores: [{id: vat, holds: saltwater, volume: 150 L, capacity: 500 L}]
salts: [{id: house, on_hand: 20 kg}]
purifier: {rate: 9 L/h}
events: [{id: metal, system: tank, contaminant: copper, start: 60 ug/L, target: 10 ug/L, within: 72 h}]
`
	load(t, text)
	ids := map[string]string{"systems": "tank", "stores": "vat", "salts": "house", "events": "metal"}
	for _, r := range refs.PlausibleRanges() {
		list, rest, _ := strings.Cut(r.Path, ".")
		path := r.Path
		if id := ids[list]; id != "" {
			path = list + "." + id + "." + rest
		}
		for _, end := range []string{r.Low, r.High} {
			if _, err := trying(text)(path + "=" + end); err != nil {
				t.Errorf("%s=%s: %v", path, end, err)
			}
		}
	}
}
