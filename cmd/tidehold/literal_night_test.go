package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// TestWhoTypesWhatIsPrintedIsNeverRefused: a night by a reader who does what "Next" says at its time and types what stands
// under it, measured values in the place of VALUE and the litres of the step in that of VOLUME. Batches were refused for water
// that the purifier had made, a delivery could not be entered, cold records made alarms of changes as planned, and what waited
// for a warm vat was put off for ever.
func TestWhoTypesWhatIsPrintedIsNeverRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "site.yaml")
	if err := os.WriteFile(path, []byte(`format: 1
time_zone: UTC
systems: [{id: reef, net_volume: 200 L, drawdown: 40 %, change_every: 2 h, water: {salinity: 30, temperature: 25 C}, limits: {salinity_low: 26}}]
stores:
  - {id: vat, holds: saltwater, volume: 60 L, capacity: 120 L, heel: 5 L, salinity: 35, temperature: 20 C, mixed: 2026-11-20, heater: 300 W, transfer: 1000 L/h}
  - {id: pure, holds: purified, volume: 30 L, capacity: 100 L, temperature: 20 C, filled_by: purifier}
salts: [{id: bag, on_hand: 20 kg, dose: 38 g/L}]
purifier: {rate: 8 L/h, feed: 20 C}
mixing: {emergency_time: 2 h}
deliveries: [{after: 4 h, saltwater: 40 L, salinity: 30, temperature: 24 C}]
events: [{id: spill, system: reef, contaminant: copper, start: 60 ug/L, target: 25 ug/L, within: 1 d}]
`), 0o600); err != nil {
		t.Fatal(err)
	}
	t.Chdir(filepath.Dir(path))
	now := time.Date(2026, 11, 27, 20, 0, 0, 0, time.UTC)
	typed := func(command string) string {
		t.Helper()
		var out, errs bytes.Buffer
		code := run(strings.Fields(command), streams{In: strings.NewReader(""), Out: &out, Err: &errs, Width: 80,
			Now: func() time.Time { return now }, Getenv: func(string) string { return "" }})
		if code != exitDone && code != exitNo {
			t.Fatalf("%s at %s: exit %d: %s", command, now.Format("2 Jan 15:04"), code, errs.String())
		}
		text := strings.Join(strings.Fields(strings.ReplaceAll(out.String(), "\\\n", " ")), " ")
		for _, alarm := range []string{"took the temperature", "took the salinity", "do not make", "read it again"} {
			if strings.Contains(text, alarm) {
				t.Errorf("%s at %s: %s", command, now.Format("2 Jan 15:04"), text)
			}
		}
		return text
	}
	when := regexp.MustCompile(`, (?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) (\d+ \w+ \d\d:\d\d)\.`)
	ends := regexp.MustCompile(` (?:! |\d+ assumed).*`)
	lines := strings.NewReplacer(" First enter what pure holds then: ", "\n", " When all is in, enter: ", "\n", " Then enter: ", "\n")
	litres := regexp.MustCompile(`--water pure=([\d.]+)L`)
	holds := regexp.MustCompile(`"id": "vat", "holds": "saltwater", "volume_l": ([\d.]+)`)
	text, entered := typed("incident open spill"), 0
	for range 10 { // each plans again: a tenth of a second
		if strings.Contains(text, "tidehold incident close") || strings.Contains(text, "more saltwater is needed") {
			break
		}
		if _, result, asked := strings.Cut(text, "enter what is found: tidehold "); asked { // once all is poured
			if strings.Contains(text, "a day later") {
				now = now.Add(24 * time.Hour)
			}
			text = typed(strings.Replace(ends.ReplaceAllString(result, ""), "VALUE", "20±1ug/L", 1))
			continue
		}
		due := when.FindStringSubmatch(text)
		commands := strings.Split(lines.Replace(ends.ReplaceAllString(text, "")), "\n")[1:]
		if due == nil || len(commands) == 0 {
			t.Fatalf("no time, or nothing to enter: %s", text)
		}
		at, err := time.Parse("2 Jan 15:04 2006", due[1]+" 2026")
		if err != nil {
			t.Fatal(err)
		}
		if at.Before(now) {
			t.Fatalf("due at %s, before now: %s", due[1], text)
		}
		now = at
		pure, vat := "", ""
		if m := litres.FindStringSubmatch(text); m != nil {
			pure = m[1]
			made, _ := strconv.ParseFloat(pure, 64)
			was, _ := strconv.ParseFloat(holds.FindStringSubmatch(typed("stock --format json"))[1], 64)
			vat = fmt.Sprintf("%.1fL", was+made)
		}
		for _, c := range commands {
			command := strings.NewReplacer("--salinity VALUE", "--salinity 30", "--temp VALUE", "--temp 24.6C", "dip pure VOLUME", "dip pure "+pure+"L", "mixed vat VOLUME", "mixed vat "+vat).Replace(strings.TrimPrefix(c, "tidehold "))
			text = typed(command)
			entered++
		}
		if strings.HasPrefix(text, "No. ") { // of the stock: what follows is the status
			text = typed("incident status")
		}
	}
	if _, last, asked := strings.Cut(text, "at the goal: tidehold "); asked {
		text = typed(last)
	}
	if !strings.Contains(text, "incident closed") {
		t.Errorf("followed to the end it is not closed: %s", text)
	}
	if entered < 6 {
		t.Errorf("%d entries: %s", entered, text)
	}
	t.Logf("%d entries, until %s: %s", entered, now.Format("2 Jan 15:04"), text)
}
