package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"tidehold/refs/outside"
)

// oddHouse is a small random house of odd litres, in litres or gallons, whose event is a share to
// remove or copper; its vats bring of it what the house says.
func oddHouse(r *rand.Rand) (text string, volume, copper, target float64) {
	volume = float64(2000+r.IntN(48000)) / 100
	asks, brings := fmt.Sprintf("remove: %d %%", 20+r.IntN(50)), ""
	if r.IntN(2) == 0 {
		copper = 1
		asks, brings = fmt.Sprintf("contaminant: copper, start: 60 ug/L, target: %d ug/L", 15+r.IntN(35)), ", background: {copper: 1 ug/L}"
	}
	if _, err := fmt.Sscanf(asks, "remove: %f", &target); err == nil {
		target = 1 - target/100
	} else if _, err := fmt.Sscanf(asks, "contaminant: copper, start: 60 ug/L, target: %f", &target); err != nil {
		panic(err)
	}
	pump := ""
	if r.IntN(2) == 0 {
		pump = ", transfer: 1200 L/h"
	}
	vat := func() float64 { return volume * (0.15 + 1.2*r.Float64()) }
	text = fmt.Sprintf(`format: 1
units: %s
systems: [{id: tank, net_volume: %.2f L, drawdown: %d %%, change_every: %d h, water: {salinity: 35, temperature: 25 C}}]
stores:
  - {id: a, holds: saltwater, volume: %.1f L, salinity: 35, temperature: %d C, mixed: 2026-11-20, max_age: 30 d%s%s}
  - {id: b, holds: saltwater, volume: %.1f L, salinity: %d, temperature: 24 C, mixed: 2026-11-20, max_age: 30 d%s}
events: [{id: spill, system: tank, playbook: unknown-substance, %s, within: %d h}]
`, []string{"metric", "us"}[r.IntN(2)], volume, 15+r.IntN(40), 1+r.IntN(5), vat(), 22+r.IntN(4), pump, brings, vat(), 34+r.IntN(3), brings, asks, 6+r.IntN(40))
	return text, volume, copper, target
}

// litresPer are the litres of a unit: the US gallon is exact (NIST Handbook 44, appendix C).
var litresPer = map[string]float64{"L": 1, "gal": 3.785411784}

// TestRowsPouredAsPrintedMeetTheAim: whoever pours what dilute, or the card, prints, row by row,
// brings down what was asked for, and finds it in the vats. 21.7 L were printed as 21 L. What is
// left is worked out by the balance of mass alone.
func TestRowsPouredAsPrintedMeetTheAim(t *testing.T) {
	houses := outside.Cases(400, 24, 12)
	r := rand.New(rand.NewPCG(21, 7))
	row := regexp.MustCompile(`change \d+: (\S+) (L|gal)(?: from (\S+)|: (\S+) (?:L|gal) (\S+)(?: by bucket)? \+ (\S+) (?:L|gal) (\S+))`)
	followed := 0
	for i := range houses {
		text, volume, brings, target := oddHouse(r)
		file := filepath.Join(t.TempDir(), "site.yaml")
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		at := []string{"--site", file, "--at", "2026-11-25T03:00:00Z", "--event", "spill"}
		var plan struct {
			Result struct {
				Steps    []json.RawMessage
				Schedule struct {
					InTime bool `json:"in_time"`
				}
			}
		}
		_, out, _ := tidehold(append([]string{"dilute", "--format", "json"}, at...)...)
		if err := json.Unmarshal([]byte(out), &plan); err != nil {
			t.Fatal(err)
		}
		_, out, _ = tidehold(append([]string{"dilute", "--all"}, at...)...)
		rows := row.FindAllStringSubmatch(strings.Join(strings.Fields(out), " "), -1)
		if len(rows) != len(plan.Result.Steps) {
			t.Fatalf("house %d: %d rows of %d changes\n%s\n%s", i, len(rows), len(plan.Result.Steps), text, out)
		}
		if !plan.Result.Schedule.InTime {
			continue
		}
		followed++
		level, poured := 1.0, map[string]float64{}
		if brings > 0 {
			level = 60
		}
		for _, m := range rows {
			litres := number(t, m[1]) * litresPer[m[2]]
			level = (level*(volume-litres) + brings*litres) / volume
			if m[3] != "" {
				poured[m[3]] += litres
			} else {
				poured[m[5]] += number(t, m[4]) * litresPer[m[2]]
				poured[m[7]] += number(t, m[6]) * litresPer[m[2]]
			}
		}
		if level > target*(1+1e-9) {
			t.Errorf("house %d: as printed %.5g is left of %.5g\n%s\n%s", i, level, target, text, out)
		}
		for _, m := range regexp.MustCompile(`id: ([ab]), holds: saltwater, volume: (\S+) L`).FindAllStringSubmatch(text, -1) {
			if holds := number(t, m[2]); poured[m[1]] > holds+1e-9 {
				t.Errorf("house %d: %.3f L are printed to be poured from %s, which holds %.3f L\n%s\n%s", i, poured[m[1]], m[1], holds, text, out)
			}
		}
	}
	if followed < houses/4 {
		t.Errorf("%d of %d plans are in time", followed, houses)
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
