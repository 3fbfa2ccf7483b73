package main

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"tidehold/refs/outside"
)

// Each page of the demo has its drawings, and each is named for who cannot see it.
func TestEachPageHasItsDrawings(t *testing.T) {
	outside.Alone(t)
	for command, titles := range map[string][]string{
		"hazards":                      {"Time to the limit, if nobody comes"},
		"stock":                        {"Vats of Slipway Teaching Aquarium"},
		"ready":                        {"Events of Slipway Teaching Aquarium", "broken-heater: short", "halve-anything: late", "pool-spill: covered"},
		"dilute --event broken-heater": {"How copper falls", "Which water when: broken-heater"},
	} {
		code, page, errs := onlyReads(append(strings.Fields(command), "--demo", "--format", "html")...)
		if code != exitNo && code != exitDone || strings.Count(page, "</svg>") != len(titles) {
			t.Errorf("%s: exit %d, %d drawings, of %d: %s", command, code, strings.Count(page, "</svg>"), len(titles), errs)
		}
		for _, title := range titles {
			if !strings.Contains(page, fmt.Sprintf("-title\">%s</title>", title)) {
				t.Errorf("%s: no drawing %q", command, title)
			}
		}
	}
}

// The demo's page draws supply against demand, each drawing with a name and a description for who cannot see it,
// and its JSON lists what to buy and what happens at once.
func TestReadyOfTheDemoInEveryForm(t *testing.T) {
	for format, parts := range map[string][]string{
		"html": {`<svg xmlns="http://www.w3.org/2000/svg"`, `<title id="event-halve-anything-title">`,
			`role="img" aria-labelledby="event-pool-spill-title event-pool-spill-desc"`},
		"json": {`"together": [`, `"shopping": [`},
	} {
		code, out, errs := onlyReads("ready", "--demo", "--format", format)
		if code != exitNo {
			t.Errorf("%s: exit %d: %s", format, code, errs)
		}
		for _, part := range parts {
			if !strings.Contains(out, part) {
				t.Errorf("%s: no %s", format, part)
			}
		}
	}
}

// A signal word is taken off what it stands before, and off nothing else.
func TestASignalWordStandsBeforeWhatItIsSaidOf(t *testing.T) {
	for text, want := range map[string][2]string{
		"CAUTION: it is slippery": {"CAUTION", "It is slippery"},
		"NOTICE: 2 vats":          {"NOTICE", "2 vats"},
		"CAUTION: ":               {"", "CAUTION: "},
		"CAUTION":                 {"", "CAUTION"},
		"caution: it is slippery": {"", "caution: it is slippery"},
		"Water: 3 L":              {"", "Water: 3 L"},
	} {
		if word, said := signalled(text); word != want[0] || said != want[1] {
			t.Errorf("%q: %q, %q", text, word, said)
		}
	}
}

// The fall of a level is marked where water is changed; water that runs through has no such hours.
func TestAFallIsMarkedWhereWaterIsChanged(t *testing.T) {
	mark := regexp.MustCompile(`l-5 -9h10z`)
	for flags, marks := range map[string]int{
		"--drawdown 40%":              3,
		"--continuous --flow 60L/h":   0,
		"--drawdown 40% --water 170L": 2,
	} {
		_, page, errs := tidehold(append(strings.Fields("dilute --volume 400L --remove 75% --format html"), strings.Fields(flags)...)...)
		if got := len(mark.FindAllString(page, -1)); got != marks || !strings.Contains(page, "</svg>") {
			t.Errorf("%s: %d marks, want %d %s", flags, got, marks, errs)
		}
	}
}
