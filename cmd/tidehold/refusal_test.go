package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestARefusalInJSONHoldsTheMend: a program that reads a refusal is told what a person is told,
// what is allowed or how to mend it, each under its key and in the words of the message.
func TestARefusalInJSONHoldsTheMend(t *testing.T) {
	dir := t.TempDir()
	report := filepath.Join(dir, "report.csv")
	if err := os.WriteFile(report, []byte("analyte,value,unit\ncopper,60,ug/L\nCu,50,ug/L\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	plan := "dilute --volume 640L --start 60ug/L --target 3ug/L "
	for _, c := range []struct{ args, allowed, fix string }{
		{"dilute --volume 640 --start 60ug/L --target 3ug/L", "a volume in L, mL, m3, gal, impgal, qt, floz, ft3, in3", "write 640 L or 640 gal"},
		{"ready --demo --format yaml --json=true", "table, json, csv, markdown, html", ""},
		{"dilute --event broken-heate --demo", "pool-spill, halve-anything, broken-heater", "broken-heater"},
		{"calendar --days -3 --demo", "", "write 1 to 3660"},
		{"reddy --demo", "", "ready"},
		{"ready --evnt x", "", "--event"},
		{"ammonia", "", "write --total <concentration>"},
		{"refs contaminant", "sources, relations, contaminants, ratios, purifier, defaults, plausible, units", "contaminants"},
		{"salinity 43 --temp 25C", "0 to 42", ""},
		{"mix new --volume 200L --salinity 35 --temp 41C --dose 38.4g/L", "0 to 40 °C", ""},
		{"mix warm --volume 400L --from 25C --to 18C --heater 600W", "at least the 25 °C of the vat", "a heater cannot cool"},
		{plan + "--drawdown 45% --trials 5", "1000 to 10000000", ""},
		{"mix warm --volume 400L --from 18C --to 25C --heater 600W --loss 8W/K", "", "e.g. --room 19C"},
		{"assess REPORT --demo", "", "keep one result"},
		{"ready --demo --at nope", "", `write now, 03:00 (today), "2026-11-25 03:00" or 2026-11-25T03:00:00Z`},
	} {
		t.Run(c.args, func(t *testing.T) {
			args := append(strings.Fields(strings.Replace(c.args, "REPORT", report, 1)), "--format", "json")
			code, out, errs := tidehold(args...)
			var r refusal
			if err := json.Unmarshal([]byte(out), &r); err != nil || code != exitUsage {
				t.Fatalf("exit %d, %v: %s%s", code, err, out, errs)
			}
			if r.Error.Allowed != c.allowed || !strings.HasSuffix(r.Error.Fix, c.fix) || c.fix == "" && r.Error.Fix != "" {
				t.Errorf("allowed %q, fix %q in %q", r.Error.Allowed, r.Error.Fix, r.Error.Message)
			}
			if !strings.Contains(errs, r.Error.Allowed) || !strings.Contains(errs, r.Error.Fix) {
				t.Errorf("allowed %q or fix %q is not what is said: %s", r.Error.Allowed, r.Error.Fix, errs)
			}
		})
	}
	_, out, _ := tidehold("assess", report, "--demo", "--json")
	var r refusal
	if err := json.Unmarshal([]byte(out), &r); err != nil || r.Error.File != report || r.Error.Line != 3 || r.Error.Column != 1 {
		t.Errorf("%v: a fault of a report is at %q:%d:%d", err, r.Error.File, r.Error.Line, r.Error.Column)
	}
}
