package main

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"tidehold/refs/outside"
)

// A site file written in US units is the same site: every command gives the same
// numbers, to a millionth of a litre, and with --units metric the same words.
func TestSiteFileInUSUnitsGivesTheSameAnswers(t *testing.T) {
	outside.Alone(t)
	for _, command := range []string{
		"ready",
		"dilute --event halve-anything",
		"dilute --event broken-heater",
		"hazards",
		"stock",
		"volume system hall-reef",
		"volume chart vat-a --step 5cm",
		"mix new --store vat-a",
		"playbook heater-break",
	} {
		t.Run(command, func(t *testing.T) {
			metric, us := answerOf(t, command, "whole.yaml"), answerOf(t, command, "whole-us.yaml")
			if n := compare(t, "", metric, us); n < 2 {
				t.Errorf("only %d numbers compared", n)
			}
		})
	}
}

func answerOf(t *testing.T, command, file string) any {
	t.Helper()
	args := append(strings.Fields(command), "--site", "../../testdata/sites/"+file, "--units", "metric", "--format", "json")
	code, out, errs := tidehold(args...)
	if code != exitDone && code != exitNo {
		t.Fatalf("%s: exit %d: %s", file, code, errs)
	}
	// A command that is named says which file it is for.
	out = strings.ReplaceAll(out, file, "site.yaml")
	var v any
	if err := json.Unmarshal([]byte(out), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// compare walks two JSON values and counts the numbers it found alike.
func compare(t *testing.T, path string, a, b any) (numbers int) {
	t.Helper()
	switch a := a.(type) {
	case map[string]any:
		other, ok := b.(map[string]any)
		if !ok || len(a) != len(other) {
			t.Errorf("%s: %v, in US units %v", path, a, b)
			return 0
		}
		for k, v := range a {
			if k == "nodes" { // what was searched, not what was found: it hangs on the last digit of a gallon
				continue
			}
			numbers += compare(t, path+"."+k, v, other[k])
		}
	case []any:
		other, ok := b.([]any)
		if !ok || len(a) != len(other) {
			t.Errorf("%s: %v, in US units %v", path, a, b)
			return 0
		}
		for i, v := range a {
			numbers += compare(t, fmt.Sprintf("%s[%d]", path, i), v, other[i])
		}
	case float64:
		other, ok := b.(float64)
		if !ok || !(math.Abs(a-other) <= 1e-6*math.Max(1, math.Abs(a))) {
			t.Errorf("%s: %v, in US units %v", path, a, b)
		}
		return 1
	default:
		if a != b {
			t.Errorf("%s: %v, in US units %v", path, a, b)
		}
	}
	return numbers
}
