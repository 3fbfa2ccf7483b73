package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// contract pins the JSON keys others rely on: a command and the keys that must be
// inside result, "a.b" for keys of objects and of the first object of a list.
// Keys may be added; these may never go.
var contract = []struct {
	args string
	code int
	keys string
}{
	{"salinity 1.0264sg --temp 25C --pair 60F/60F", 0, "salinity reference_salinity_g_kg density_kg_m3 sg_25_25 sg_60f_60f sg_20_20 conductivity_ms_cm conductivity_25c_ms_cm refractive_index heat_capacity_j_kg_k oxygen_saturation_mg_l salinity_uncertainty"},
	{"mix new --volume 200L --salinity 35 --temp 25C --source-temp 18C --dose 38.4g/L --dose-at 35,25C --dose-per finished", 0, "salt_kg water_l water_kg volume_l mass_kg dry_fraction"},
	{"mix blend --water 100L,35,25C --water 50L,0,18C", 0, "volume_l salinity temp_c mass_kg"},
	{"mix correct --volume 300L --salinity 33 --temp 25C --to 35 --brim 310L --dose 38.4g/L", 0, "add_salt_kg remove_l add_water_l volume_l"},
	{"volume box --length 60cm --width 60cm --height 90cm --level 70cm", 0, "volume_l full_l level_cm"},
	{"volume from-exchange --removed 60L --before 35 --after 31.5 --with 0 --temp 25C", 0, "volume_l uncertainty_l"},
	{"dilute --volume 640L --start 60ug/L --target 3.1ug/L --new 1ug/L --drawdown 45% --every 4h", 0, "changes water_l final_ug_l floor_ug_l reachable holds steps.n steps.at_h steps.remove_l steps.add_l steps.before_ug_l steps.after_ug_l steps.from changes_p50 changes_p90 changes_p95 controlling"},
	{"dilute --volume 640L --remove 90% --change 25%", 0, "changes water_l final_fraction reachable holds steps.n"},
	{"dilute --demo --event broken-heater", 3, "changes water_l final_ug_l floor_ug_l reachable holds steps.n steps.at_h steps.remove_l steps.add_l steps.before_ug_l steps.after_ug_l steps.from.store steps.from.batch changes_p50 changes_p90 changes_p95 controlling schedule.lacking_l schedule.proved schedule.batches"},
	{"ready --why --demo", 0, "tried deciders"},
	{"ready --demo", 3, "verdict events.id events.system events.verdict events.demand_l events.changes events.usable_now_l events.first_change_l events.coverage events.done_at_h events.within_h events.fixes.what events.fixes.amount events.fixes.unit events.fixes.where events.fixes.salinity events.fixes.with events.lacking_l events.proved events.steps events.today.verdict events.today.done_at_h events.today.lacking_l events.with_media shopping.what shopping.amount shopping.unit shopping.where shopping.salinity shopping.cost shopping.covers together.events together.verdict kit.item kit.need kit.have kit.expires kit.ok"},
	{"hazards --demo", 0, "hazards.system hazards.equipment hazards.failure hazards.limit hazards.hours_to_limit hazards.final hazards.final_unit hazards.safe_reservoir_l hazards.guards hazards.single_point hazards.water_to_undo_l"},
	{"assess REPORT --demo", 3, "analytes.id analytes.value_ug_l analytes.natural_ug_l analytes.ratio analytes.criterion_ug_l analytes.criterion_source analytes.verdict plan.changes plan.water_l plan.final_ug_l plan.steps"},
}

func TestJSONKeysOfTheContract(t *testing.T) {
	report := filepath.Join(t.TempDir(), "report.csv")
	if err := os.WriteFile(report, []byte("analyte,value,unit,±\ncopper,60,ug/L,5\nzinc,<20,ug/L,\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range contract {
		t.Run(c.args, func(t *testing.T) {
			args := append(strings.Fields(strings.Replace(c.args, "REPORT", report, 1)), "--format", "json")
			code, out, errs := onlyReads(args...)
			if code != c.code {
				t.Fatalf("exit %d, want %d: %s", code, c.code, errs)
			}
			var top map[string]any
			if err := json.Unmarshal([]byte(out), &top); err != nil {
				t.Fatal(err)
			}
			for _, k := range []string{"format", "command", "result", "assumptions", "warnings"} {
				if _, ok := top[k]; !ok {
					t.Errorf("no %q at the top", k)
				}
			}
			for _, k := range strings.Fields(c.keys) {
				if !has(top["result"], strings.Split(k, ".")) {
					t.Errorf("no %q in result", k)
				}
			}
		})
	}
}

// has follows a path of keys; in a list any of its objects may have it.
func has(v any, path []string) bool {
	if len(path) == 0 {
		return true
	}
	switch v := v.(type) {
	case map[string]any:
		next, ok := v[path[0]]
		return ok && has(next, path[1:])
	case []any:
		for _, e := range v {
			if has(e, path) {
				return true
			}
		}
	}
	return false
}

// tidehold runs the program in this process at a fixed clock.
func tidehold(args ...string) (code int, out, errs string) {
	var stdout, stderr bytes.Buffer
	code = run(args, streams{
		In: strings.NewReader(""), Out: &stdout, Err: &stderr, Width: 80,
		Now:    func() time.Time { return time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC) },
		Getenv: func(string) string { return "" },
	})
	return code, stdout.String(), stderr.String()
}

// outcome is what a command printed, and how it ended.
type outcome struct {
	code      int
	out, errs string
}

// demoOutcomes are those of commands on the demo, by their words.
var demoOutcomes sync.Map

// onlyReads is tidehold for commands that only read: on the demo, of which nothing but the words of a command decides
// what is printed, the same command is run once for all tests that look at it.
func onlyReads(args ...string) (code int, out, errs string) {
	words := slices.DeleteFunc(clone(args), func(w string) bool { return w == "--demo" })
	if len(words) == len(args) {
		return tidehold(args...)
	}
	key := strings.Join(words, "\n")
	kept, ok := demoOutcomes.Load(key)
	if !ok {
		code, out, errs := tidehold(append(words, "--demo")...)
		kept, _ = demoOutcomes.LoadOrStore(key, outcome{code, out, errs})
	}
	o := kept.(outcome)
	return o.code, o.out, o.errs
}

// Every command refuses words and flags it does not know, and says how to go on.
func TestEveryCommandHasHelpAndRefusesNonsense(t *testing.T) {
	root := newRoot(&app{streams: systemStreams()})
	names := 0
	for _, c := range root.Commands() {
		if !c.Runnable() || c.Name() == "help" || c.Name() == "completion" {
			continue
		}
		names++
		if c.Args == nil || c.Short == "" || !strings.Contains(c.Long, "Exit status") {
			t.Errorf("%s: needs Args, Short and a Long with the exit status", c.Name())
		}
		if code, _, errs := tidehold(c.Name(), "--no-such-flag"); code != exitUsage || !strings.Contains(errs, "unknown flag --no-such-flag") {
			t.Errorf("%s --no-such-flag: exit %d, %s", c.Name(), code, errs)
		}
		if code, out, _ := tidehold(c.Name(), "--help"); code != exitDone || !strings.Contains(out, "Usage\n") {
			t.Errorf("%s --help: exit %d", c.Name(), code)
		}
	}
	if names < 10 {
		t.Errorf("only %d commands", names)
	}
}

// Go's own exit code for a panic is 2, which means bad input here.
func TestPanicIsReportedAsOurFault(t *testing.T) {
	file := filepath.Join(t.TempDir(), "site.yaml")
	if err := os.WriteFile(file, []byte("format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, volume: 150 L}]\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	var stdout, stderr bytes.Buffer
	noClock := streams{Out: &stdout, Err: &stderr, Getenv: func(string) string { return "" }}
	code := run([]string{"check", "--site", file}, noClock)
	if code != exitFailed || !strings.Contains(stderr.String(), "internal fault") || stdout.Len() > 0 {
		t.Errorf("exit %d, %q, %q", code, stdout.String(), stderr.String())
	}
}
