package main

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"
)

// asked runs init --ask as on a terminal, with lines typed.
func asked(typed string) (code int, out, errs string) {
	var stdout, stderr bytes.Buffer
	code = run([]string{"init", "--ask"}, streams{
		In: strings.NewReader(typed), Out: &stdout, Err: &stderr, Width: 80, InTerminal: true,
		Now:    func() time.Time { return time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC) },
		Getenv: func(string) string { return "" },
	})
	return code, stdout.String(), stderr.String()
}

func TestAskingWritesTheAnswers(t *testing.T) {
	t.Chdir(t.TempDir())
	code, out, errs := asked("\n1126\n1126 L\n?\n25 kg\n90 L\n90 L of 120 L\n\nnone\n300 W\n\nammonai\nammonia\n")
	if code != exitDone {
		t.Fatalf("exit %d: %s", code, errs)
	}
	for _, want := range []string{"8 questions", "has no unit", "Rock takes the place of water", `"90 L" is not two volumes`, `did you mean`, "without this there is nothing"} {
		if !strings.Contains(errs, want) {
			t.Errorf("no %q in\n%s", want, errs)
		}
	}
	for _, want := range []string{"wrote site.yaml", "taken: Which salinity do you keep? 35", "taken: How much dry salt is on hand? none", "more values the file does not say"} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	file, err := os.ReadFile("site.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"net_volume: 1117.38 L", "capacity: 120 L", "volume: 90 L", "power: 300 W", "# purifier:", "playbook: ammonia", "on_hand: 0 kg"} {
		if !strings.Contains(string(file), want) {
			t.Errorf("no %q in\n%s", want, file)
		}
	}
	if code, _, errs := tidehold("check"); code != exitDone {
		t.Errorf("check: exit %d: %s", code, errs)
	}
}

// TestWhoAnswersInGallonsIsShownGallons: the file said metric, and its keeper read litres at night.
func TestWhoAnswersInGallonsIsShownGallons(t *testing.T) {
	for answer, want := range map[string]string{"20 gal": "\nunits: us                     # metric or us", "75 L": "\nunits: metric                 # metric or us"} {
		t.Chdir(t.TempDir())
		if code, _, errs := asked(answer + "\n\n\n\n\n\n\n\n"); code != exitDone {
			t.Fatalf("exit %d: %s", code, errs)
		}
		if file, err := os.ReadFile("site.yaml"); err != nil || !strings.Contains(string(file), want) {
			t.Errorf("%s: no %q in\n%s", answer, want, file)
		}
	}
}

func TestAskingThatEndsEarlyWritesNothing(t *testing.T) {
	t.Chdir(t.TempDir())
	code, _, errs := asked("400 L\n")
	if code != exitUsage || !strings.Contains(errs, "the questions ended at number 2; nothing was written") {
		t.Errorf("exit %d: %s", code, errs)
	}
	if _, err := os.Stat("site.yaml"); err == nil {
		t.Error("a file was written")
	}
}
