package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// The whole program is fuzzed from outside: whatever is in a file or behind a flag, it
// ends with 0, 2 or 3 (1 is for failures of ours or of the machine), shows no panic, and
// prints no number that is not one; its JSON is JSON.

// wholeSite is a small site on which every command has something to do, and ready does it in a quarter of a second.
const wholeSite = `format: 1
systems: [{id: tank, net_volume: 400 L, equipment: [{id: h, kind: heater, power: 300 W}, {id: top, kind: top-off, reservoir: 40 L, flow: 6 L/h}]}]
stores:
  - {id: vat, holds: saltwater, capacity: 300 L, volume: 150 L, mixed: 2026-11-20}
  - {id: pure, holds: purified, capacity: 100 L, volume: 50 L}
salts: [{id: house, on_hand: 10 kg}]
events: [{id: half, system: tank, remove: 40 %, within: 5 h}]
`

// wholeCommands are what a fuzzed site file, journal or what-if is asked.
var wholeCommands = [][]string{
	{"check"}, {"ready"}, {"ready", "--format", "json"}, {"dilute", "--event", "half"}, {"dilute", "--event", "half", "--format", "csv"},
	{"hazards", "--format", "json"}, {"stock"}, {"stock", "log"}, {"playbook", "heater-break"}, {"playbook", "--event", "half", "--format", "html"},
	{"assess", "report.csv", "--format", "json"}, {"calendar"}, {"incident", "status"}, {"volume", "chart", "vat"}, {"mix", "from", "--water", "50L", "--salinity", "35"},
}

// noNumber finds NaN and infinities as Go prints them, where no word surrounds them.
var noNumber = regexp.MustCompile(`(^|[^A-Za-z])(NaN|[+-]Inf)([^A-Za-z]|$)`)

// minus finds a number below zero in what was given, which an answer may repeat.
var minus = regexp.MustCompile(`(^|[^0-9A-Za-z])-\s*[0-9]`)

// belowNone finds an amount below none, signed whatever it is of: litres, kilograms, hours.
var belowNone = regexp.MustCompile(`(^|[\s(])[-−][0-9][0-9.]* (L|gal|mL|kg|g|lb|oz|h|min|d)\b`)

// wholeRun runs the program in a folder that holds the given files and holds it to the
// promises above.
func wholeRun(t *testing.T, files map[string]string, args ...string) {
	t.Helper()
	dir := t.TempDir()
	t.Chdir(dir) // whatever is written lands here
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for i, a := range args {
		if a == "report.csv" {
			args[i] = filepath.Join(dir, a)
		}
	}
	args = append([]string{"--site", filepath.Join(dir, "site.yaml")}, args...)
	var out, errs bytes.Buffer
	s := streams{
		In: strings.NewReader(""), Out: &out, Err: &errs, Width: 80, Getenv: func(string) string { return "" },
		Now: func() time.Time { return time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC) },
	}
	code := run(args, s)
	if code != exitDone && code != exitUsage && code != exitNo {
		t.Fatalf("%q ended with %d\n%s", args, code, errs.String())
	}
	given := strings.Join(args, " ")
	for _, text := range files {
		given += text
	}
	if m := noNumber.FindString(out.String()); m != "" && !noNumber.MatchString(given) {
		t.Fatalf("%q prints %q:\n%s", args, m, out.String())
	}
	if m := belowNone.FindString(out.String()); m != "" && !strings.ContainsAny(given, "−") && !minus.MatchString(given) {
		t.Fatalf("%q prints %q:\n%s", args, m, out.String())
	}
	if strings.Contains(given, "--format json") && !helps.MatchString(given) && out.Len() > 0 && !json.Valid(out.Bytes()) {
		t.Fatalf("%q: not JSON:\n%s", args, out.String())
	}
}

func FuzzWholeSite(f *testing.F) {
	f.Add([]byte(wholeSite), uint8(1))
	f.Add([]byte("format: 1\nsystems: [{id: tank, net_volume: 400 L, water: {salinity: 1.5}}]\nstores: [{id: vat, holds: saltwater, volume: 150 L}]\n"), uint8(5))
	f.Fuzz(func(t *testing.T, site []byte, which uint8) {
		wholeRun(t, map[string]string{"site.yaml": string(site), "report.csv": "analyte,value,unit\ncopper,21,ug/L\n"}, clone(wholeCommands[int(which)%len(wholeCommands)])...)
	})
}

// FuzzWholeValue puts any text where a value of the site file stands.
func FuzzWholeValue(f *testing.F) {
	f.Add("150 L", "400 L", uint8(1))
	f.Add("1e300 L", "1e-300 L", uint8(3))
	f.Fuzz(func(t *testing.T, a, b string, which uint8) {
		site := strings.Replace(strings.Replace(wholeSite, "volume: 150 L", "volume: "+a, 1), "net_volume: 400 L", "net_volume: "+b, 1)
		wholeRun(t, map[string]string{"site.yaml": site, "report.csv": "analyte,value,unit\ncopper,21,ug/L\n"}, clone(wholeCommands[int(which)%len(wholeCommands)])...)
	})
}

func FuzzWholeJournal(f *testing.F) {
	f.Add([]byte(`{"id":1,"at":"2026-11-25T07:00:00Z","kind":"draw","store":"vat","litres":"20"}`+"\n"), uint8(6))
	f.Add([]byte(`{"id":9223372036854775807}`+"\nx\n\x00"), uint8(1))
	f.Fuzz(func(t *testing.T, journal []byte, which uint8) {
		wholeRun(t, map[string]string{"site.yaml": wholeSite, "journal.jsonl": string(journal), "report.csv": "analyte,value,unit\ncopper,21,ug/L\n"}, clone(wholeCommands[int(which)%len(wholeCommands)])...)
	})
}

func FuzzWholeReport(f *testing.F) {
	f.Add([]byte("Parameter;Ergebnis;Einheit\nKupfer;12,2;µg/L\n"))
	f.Add([]byte("analyte,value,unit\ncopper,1e300,ug/L\nzinc,<0.5,ug/L\n"))
	f.Fuzz(func(t *testing.T, report []byte) {
		wholeRun(t, map[string]string{"site.yaml": wholeSite, "report.csv": string(report)}, "assess", "report.csv", "--format", "json")
	})
}

func FuzzWholeSet(f *testing.F) {
	f.Add("stores.vat.volume=200L", uint8(1))
	f.Add("systems.tank.limits.salinity_per_day=36", uint8(5))
	f.Fuzz(func(t *testing.T, set string, which uint8) {
		wholeRun(t, map[string]string{"site.yaml": wholeSite, "report.csv": "analyte,value,unit\ncopper,21,ug/L\n"}, append(clone(wholeCommands[int(which)%len(wholeCommands)]), "--set", set)...)
	})
}

// writes finds the flags that name a file to write, also among short ones run together.
var writes = regexp.MustCompile(`^(-[^-]*o|--ou)`)

// helps finds what asks for help, the version or a shell's script, which have one form.
var helps = regexp.MustCompile(`(^| )(-[^- ]*h|--h|--v|completion )`)

// FuzzWholeArguments tries any words, but for those that write where they say.
func FuzzWholeArguments(f *testing.F) {
	f.Add("dilute --volume 640L --start 60ug/L --target 3.1ug/L --drawdown 45%")
	f.Add("salinity 1.0264sg --temp 25C --format json")
	f.Add("mix new --volume 200L --salinity 35 --temp 25C --source-temp 18C --dose 38.4g/L")
	f.Add("ammonia --total 2mg/L --ph 7.8 --temp 25.5C --salinity 35 --change 45% --new-ph 8.2")
	f.Add("--format json")
	f.Add("mix --format json")
	f.Add("volume box --length 60cm --width 60cm --height 90cm --level 70cm")
	f.Fuzz(func(t *testing.T, line string) {
		words := strings.Fields(line)
		for _, w := range words {
			if w == "init" || w == "help" || writes.MatchString(w) || strings.HasPrefix(w, "--trials") || strings.Contains(w, "/..") || strings.HasPrefix(w, "/") {
				return
			}
		}
		wholeRun(t, map[string]string{"site.yaml": wholeSite}, words...)
	})
}

func clone(words []string) []string { return append([]string(nil), words...) }
