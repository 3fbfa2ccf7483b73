package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"tidehold/refs/outside"
)

// fiveSystems is an ordinary site of some size.
const fiveSystems = "../../testdata/sites/five-systems.yaml"

// houses are a small reef tank, a school with fish alone at salinity 30, and a public aquarium of
// six systems in US units with two salts, deliveries and media.
const houses = "../../testdata/sites/houses/"

// onOneScreen are commands whose answer fits a screen of 24 lines of 80 columns. Lists
// that are lists by nature (check, a dip chart, refs, one event in all detail) are not
// among them.
var onOneScreen = []string{
	"ready",
	"stock",
	"dilute EVENT",
	"hazards",
	"assess REPORT",
}

// calculators need no site.
var calculators = []string{
	"salinity 1.0264sg --temp 25C --pair 60F/60F",
	"salinity 53.1mS/cm --temp 25C --with 1.0264sg",
	"mix new --volume 200L --salinity 35 --temp 25C --source-temp 18C --dose 38.4g/L --heater 300W --room 18C --loss 6W/K --bag 20kg",
	"mix new --demo --store vat-a --volume 300L",
	"mix from --water 150L --salinity 35 --temp 25C --dose 38.4g/L",
	"mix correct --volume 300L --salinity 33 --temp 25C --to 35 --brim 310L --dose 38.4g/L",
	"mix correct --demo --store vat-a --to 35 --fill 420L",
	"mix blend --water 400L,35,25C,copper=60ug/L --water 100L,35,24C",
	"mix match --volume 300L --salinity 34 --first 300L,35.2,21C --second 200L,0,18C",
	"mix match --demo --system hall-reef --to 33 --change 20%",
	"mix warm --volume 400L --from 18C --to 25C --heater 600W --room 16C --loss 8W/K",
	"mix warm --demo --store vat-a --to 25.5C --room 14C --within 6h",
	"volume box --length 60±0.3cm --width 60±0.3cm --height 90cm --level 70±0.3cm",
	"volume system touch-pool --demo",
	"volume from-exchange --removed 60L --before 35 --after 31.5 --with 0 --temp 25C",
	"volume from-dose --mass 6.4g --before 0mg/L --after 10.4±0.3mg/L",
	"volume from-salt --added 0.6±0.01kg --before 34.2±0.1 --after 35±0.1 --temp 25C --dose 38.4g/L",
	"ammonia --total 1mg/L --ph 8.1 --temp 25C --salinity 35",
	"ammonia --total 1mg/L --ph 7.8 --temp 25C --salinity 35 --change 25% --new-ph 8.3",
	"dilute --volume 640L --start 60ug/L --target 3.1ug/L --new 1ug/L --drawdown 45% --every 4h",
}

// onTerminal runs a command as on a terminal of 80 columns.
func onTerminal(args ...string) (code int, out, errs string) {
	var stdout, stderr strings.Builder
	code = run(args, streams{
		In: strings.NewReader(""), Out: &stdout, Err: &stderr, Width: screenColumns, Fixed: true,
		Now:    func() time.Time { return time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC) },
		Getenv: func(string) string { return "" },
	})
	return code, stdout.String(), stderr.String()
}

func TestAnswersFitOneScreen(t *testing.T) {
	outside.Alone(t)
	report := filepath.Join(t.TempDir(), "report.csv")
	if err := os.WriteFile(report, []byte("analyte,value,unit,±\ncopper,60,ug/L,5\nzinc,<20,ug/L,\nnickel,6.1,ug/L,\ntin,12,ug/L,\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	lines := append([]string{}, calculators...)
	for site, event := range map[string]string{"--demo": "--event broken-heater", "--site ../../testdata/sites/three-lines.yaml": "", "--site " + fiveSystems: "--event reef-heater",
		"--site " + houses + "kitchen-reef.yaml": "--event heater", "--site " + houses + "classroom.yaml": "--event copper-dose", "--site " + houses + "breakwater.yaml": "--event reef-copper"} {
		for _, c := range onOneScreen {
			lines = append(lines, strings.NewReplacer("EVENT", event, "REPORT", report).Replace(c)+" "+site)
		}
	}
	for _, l := range lines {
		code, out, errs := onTerminal(strings.Fields(l)...)
		if code != exitDone && code != exitNo {
			t.Errorf("%s: exit %d: %s", l, code, errs)
			continue
		}
		if n := strings.Count(out, "\n"); n > screenLines {
			t.Errorf("%s: %d lines\n%s", l, n, out)
		}
		for _, row := range strings.Split(out, "\n") {
			if utf8.RuneCountInString(row) > screenColumns {
				t.Errorf("%s: %d columns: %s", l, utf8.RuneCountInString(row), row)
			}
		}
	}
}

// What a screen leaves out is there for the asking, and in every other format.
func TestWarningsThatAScreenLeavesOutAreToldOf(t *testing.T) {
	ans := sampleAnswer()
	ans.Warnings = []string{"first", "second", "third", "fourth"}
	for _, c := range []struct {
		rows       int
		all        bool
		want, wont string
	}{
		{1, false, "! 1 more warning: --all prints it", "fourth"},
		{20, false, "more warning", "third"},
		{1, true, "! fourth", "--all prints"},
	} {
		a := sampleApp("table")
		a.assumed, a.all = false, c.all
		ans.Blocks = nil
		for range c.rows {
			ans.Blocks = append(ans.Blocks, para("a line"))
		}
		var b strings.Builder
		if err := a.render(&b, ans); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), c.want) || strings.Contains(b.String(), c.wont) {
			t.Errorf("%d rows, all %v:\n%s", c.rows, c.all, b.String())
		}
	}
}
