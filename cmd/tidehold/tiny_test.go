package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// nano is a tank of 8 L with a jug beside it.
const nano = `format: 1
systems: [{id: nano, net_volume: 8 L, water: {salinity: 35, temperature: 25 C}}]
stores: [{id: jug, holds: saltwater, volume: 5 L, salinity: 35.4, temperature: 20 C, mixed: 2026-11-20}]
events: [{id: half, system: nano, remove: 50 %, within: 6 h}, {id: cu, system: nano, contaminant: copper, start: 40 ug/L, target: 4 ug/L, within: 1 d}]
`

// TestRowsOfATinyTankAreTheChangesOfItsPlan: 1.6 L were printed as 1.5 L, and four rows were 4.8 L of the 5.0 L
// planned.
func TestRowsOfATinyTankAreTheChangesOfItsPlan(t *testing.T) {
	file := filepath.Join(t.TempDir(), "site.yaml")
	if err := os.WriteFile(file, []byte(nano), 0o600); err != nil {
		t.Fatal(err)
	}
	row := regexp.MustCompile(`(?m)change \d: (\S+) (L|gal) from jug`)
	for _, event := range []string{"half", "cu"} {
		for units, litres := range map[string]float64{"metric": 1, "us": 3.785411784} {
			args := []string{"dilute", "--site", file, "--event", event, "--units", units, "--at", "2026-11-25T08:00:00Z"}
			var planned struct {
				Result struct {
					Steps []struct {
						RemoveL float64 `json:"remove_l"`
					} `json:"steps"`
				} `json:"result"`
			}
			_, out, _ := tidehold(append(args, "--format", "json")...)
			if err := json.Unmarshal([]byte(out), &planned); err != nil {
				t.Fatal(err)
			}
			_, text, _ := tidehold(args...)
			rows := row.FindAllStringSubmatch(text, -1)
			if len(rows) == 0 || len(rows) != len(planned.Result.Steps) {
				t.Fatalf("%s, %s: %d rows of %d\n%s", event, units, len(rows), len(planned.Result.Steps), text)
			}
			for i, r := range rows {
				x, err := strconv.ParseFloat(r[1], 64)
				if want := planned.Result.Steps[i].RemoveL; err != nil || !(math.Abs(x*litres-want) <= 0.01*want) {
					t.Errorf("%s: change %d of %g L is printed as %s", event, i+1, want, strings.Join(r[1:], " "))
				}
			}
		}
	}
}
