package playbook

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"tidehold/refs/yamlwalk"
	"tidehold/volumes/site"
)

// own is a small playbook of a keeper that is right.
const own = `format: 1
name: red-tide
version: 2
reviewed: 2026-11-25
title: Water turns red
use_when: Use when the water is red.
goal: "The water is clear in two looks 6 h apart."
hazards: [lifting]
words: {sign: the water}
box:
  - {id: away, do: Send others away., category: people, locked: yes}
  - {id: air-red, do: Start every air pump., category: oxygen, locked: yes}
blocks:
  - use: close
  - use: sign-off
  - id: look
    heading: Look
    stage: restore
    role: keeper
    items:
      - {id: still, ask: "Is the water red?", by: look, yes: next, no: after}
      - caution: lifting
      - {id: carry, do: "Carry {{10 L}} to the window.", category: record, hazards: [lifting]}
      - note: That is all.
      - times: [30 min, 4 h, 3 d]
complete: Red list complete
`

func TestOwnPlaybookIsAddedLast(t *testing.T) {
	l, err := Builtin().With("playbooks/red-tide.yaml", []byte(own))
	if err != nil {
		t.Fatal(err)
	}
	names := l.Names()
	if names[len(names)-1] != "red-tide" || len(names) != len(Builtin().Names())+1 {
		t.Errorf("names are %v", names)
	}
	s := l.Sheet(l.Find("red-tide"), &Facts{}, Printed)
	if !slices.ContainsFunc(s.Notices, func(n string) bool { return strings.Contains(n, "fails criterion E5") }) {
		t.Errorf("the sheet does not say that it lacks a branch for too little water: %q", s.Notices)
	}
	if got := s.Groups[3].Lines[0]; got.Yes != 10 || got.No != 0 {
		t.Errorf("the last decision leads to %d and %d, want 10 and the last line", got.Yes, got.No)
	}
	if Builtin().Find("red-tide") != nil {
		t.Error("the built-in library was changed")
	}
}

// Each fault is reported at its place, with what is allowed.
func TestFaultyPlaybooks(t *testing.T) {
	for name, c := range map[string]struct {
		old, new string
		want     []string
	}{
		"empty":                {own, "", []string{":1:1: the file is empty"}},
		"not yaml":             {own, "a: [", []string{"not closed"}},
		"format 2":             {"format: 1", "format: 2", []string{":1:9: format:", "only 1"}},
		"no goal":              {"goal: \"The water is clear in two looks 6 h apart.\"\n", "", []string{"goal is missing"}},
		"misspelt key":         {"use_when:", "use_wen:", []string{"unknown key", "did you mean use_when", "use_when is missing"}},
		"no plain name":        {"name: red-tide", "name: Red Tide", []string{":2:7: name:", "no plain name"}},
		"name of a sheet":      {"name: red-tide", "name: leak", []string{":2:7: name: a playbook leak exists", "adapts: leak"}},
		"words unknown":        {"{sign: the water}", "{sing: the water}", []string{"did you mean sign", "the words for sign are missing"}},
		"words of another":     {"words: {sign: the water}", "words: 3", []string{"words: \"3\" is a single value"}},
		"shared words missing": {"- use: sign-off", "- use: watch", []string{"the words for stop are missing", "the words for abort are missing"}},
		"no such block":        {"use: sign-off", "use: sing-off", []string{"did you mean sign-off"}},
		"no such caution":      {"- caution: lifting", "- caution: liftig", []string{"did you mean lifting", "the caution lifting is missing", "carry has no caution before it"}},
		"caution after":        {"[lifting]}\n", "[lifting]}\n      - caution: lifting\n", nil},
		"branch to nowhere":    {"yes: next, no: after", "yes: nxt, no: away-with-it", []string{"still leads to \"nxt\"", "still leads to \"away-with-it\""}},
		"near a step":          {"yes: next, no: after", "yes: cary, no: after", []string{"did you mean carry"}},
		"no such field":        {"{{10 L}}", "{{net_volme}}", []string{"no value is known for {{net_volme}}", "did you mean net_volume"}},
		"half a field":         {"{{10 L}}", "{{10 L", []string{"braces do not match"}},
		"field in the title":   {"title: Water turns red", "title: \"Water turns {{colour}}\"", []string{":5:8: title: no value is known for {{colour}}"}},
		"id twice":             {"id: air-red", "id: away", []string{"the name away is given a second time"}},
		"wait told in part":    {"category: record, hazards", "wait: 5 min, category: record, hazards", []string{"a wait that is told in part"}},
		"no kind":              {"- note: That is all.", "- {text: That is all.}", []string{"a line without a kind", "unknown key"}},
		"line is a word":       {"- note: That is all.", "- all", []string{"is a single value"}},
		"no time":              {"[30 min, 4 h, 3 d]", "[soon]", []string{"\"soon\" is no time"}},
		"no category":          {"category: people, ", "", []string{"category is missing"}},
		"another category":     {"category: people", "category: peple", []string{"did you mean people"}},
		"another sense":        {"by: look", "by: guess", []string{"\"guess\" is not known here"}},
		"no such hazard":       {"hazards: [lifting]\nwords", "hazards: [liftin]\nwords", []string{"did you mean lifting"}},
	} {
		t.Run(name, func(t *testing.T) {
			if !strings.Contains(own, c.old) {
				t.Fatalf("the sheet has no %q", c.old)
			}
			_, err := Builtin().With("playbooks/x.yaml", []byte(strings.Replace(own, c.old, c.new, 1)))
			if c.want == nil {
				if err != nil {
					t.Fatal(err)
				}
				return
			}
			var faults yamlwalk.Faults
			if !errors.As(err, &faults) {
				t.Fatalf("got %v, want faults", err)
			}
			for _, want := range c.want {
				if !strings.Contains(err.Error(), want) {
					t.Errorf("%q is not in:\n%v", want, err)
				}
			}
			for _, f := range faults {
				if f.Line < 1 || f.Column < 1 || f.File != "playbooks/x.yaml" {
					t.Errorf("a fault without its place: %+v", f)
				}
			}
		})
	}
}

// adapted reads changes to the heater sheet.
func adapted(changes string) (*Library, error) {
	return Builtin().With("playbooks/heater.yaml", []byte("format: 1\nadapts: heater-break\nreviewed: 2026-12-01\n"+changes))
}

func TestAdaptedPlaybook(t *testing.T) {
	l, err := adapted(`title: Heater smashed in the tank
words: {sign: the red hook}
edit: {keep-heater: Put heater and glass in the red box., all-glass: "Is the tube complete?"}
remove: [bag-carbon]
insert:
  - after: phone
    items: [{id: horn, do: Press the red horn., category: people}]
  - after: air
    items: [{note: The pump hangs by the door.}]
`)
	if err != nil {
		t.Fatal(err)
	}
	s := l.Sheet(l.Find("heater-break"), &Facts{}, Printed)
	text := Text(s)
	for _, want := range []string{"Heater smashed in the tank", "the red hook", "in the red box", "is the tube complete?", "Press the red horn", "hangs by the door", "Adapted by the keeper: playbooks/heater.yaml"} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("the sheet does not say %q", want)
		}
	}
	if strings.Contains(text, "seal the used carbon") {
		t.Error("the removed step is still there")
	}
	if len(l.Names()) != len(Builtin().Names()) {
		t.Errorf("names are %v", l.Names())
	}
	if strings.Contains(Text(bareSheet(t, "heater-break")), "horn") {
		t.Error("the built-in sheet was changed")
	}
}

func TestSafetyStepsAreLocked(t *testing.T) {
	for changes, want := range map[string]string{
		"edit: {hands-out: Jump in.}":                             "playbooks/heater.yaml:4:19: edit.hands-out: hands-out is a safety step and locked",
		"remove: [power-off]":                                     "playbooks/heater.yaml:4:10: remove[0]: power-off is a safety step and locked",
		"remove: [lift]":                                          "lift is a safety step and locked",
		"edit: {hands-uot: Jump in.}":                             "did you mean hands-out",
		"remove: [bag-carbn]":                                     "did you mean bag-carbon",
		"words: {stop: you are tired}":                            "the stop rule is a safety step and locked",
		"words: {sign: \"\"}":                                     "an empty text",
		"edit: {carry: x}":                                        "unknown key",
		"edit: {cold-dark: \"Use {{colour}}.\"}":                  "playbooks/heater.yaml:4:19: edit.cold-dark: no value is known for {{colour}}",
		"edit: {all-glass: \"\"}":                                 "an empty text",
		"remove: [keep-heater]":                                   "all-glass leads to \"keep-heater\", which is not on this sheet",
		"insert: [{after: nobody, items: []}]":                    "\"nobody\" is not known here",
		"insert: [{after: phone, items: [{note: {a: b}}]}]":       "note",
		"title: \"\"":                                             "title: an empty text",
		"insert: [{after: phone, items: [{caution: live-watr}]}]": "did you mean live-water",
	} {
		_, err := adapted(changes + "\n")
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %q", changes, err, want)
		}
	}
	if _, err := Builtin().With("x.yaml", []byte("format: 1\nadapts: heter-break\nreviewed: 2026-12-01\n")); err == nil || !strings.Contains(err.Error(), "did you mean heater-break") {
		t.Errorf("got %v", err)
	}
	if _, err := Builtin().With("x.yaml", []byte("format: 1\nadapts: sitter\nreviewed: 2026-12-01\nwords: {analytes: metals}\n")); err == nil || !strings.Contains(err.Error(), "no words for analytes") {
		t.Errorf("got %v", err)
	}
}

// A step cannot lose its caution to an insertion: cautions are locked, and a new
// hazardous step needs its own.
func TestInsertedHazardNeedsItsCaution(t *testing.T) {
	_, err := adapted("insert: [{after: phone, items: [{id: dive, do: Put a hand in the tank., category: water, hazards: [palytoxin]}]}]\n")
	if err == nil || !strings.Contains(err.Error(), "dive has no caution before it in its block for: palytoxin") {
		t.Errorf("got %v", err)
	}
}

// The embedded sheets are read without a fault, in the order of the index.
func TestEmbeddedSheetsAreSound(t *testing.T) {
	if _, err := builtin(); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(Builtin().Names(), order) {
		t.Errorf("names are %v", Builtin().Names())
	}
	l := &Library{}
	if err := l.load("no-such-sheet", func(*yamlwalk.Doc) {}); err == nil {
		t.Error("a missing file is no error")
	}
	ids := map[string]bool{}
	for _, c := range Builtin().Cautions {
		if ids[c.ID] || c.Basis == "" {
			t.Errorf("caution %s is given twice or has no basis", c.ID)
		}
		ids[c.ID] = true
	}
}

func TestLibraryFilesOfTheWrongKind(t *testing.T) {
	empty := yamlwalk.Parse("x.yaml", nil)
	if readCautions(empty) != nil || (&Library{}).readShared(empty) != nil {
		t.Error("something was read from an empty file")
	}
}

func TestFindOfAnUnknownName(t *testing.T) {
	if Builtin().Find("nothing") != nil {
		t.Error("found nothing")
	}
	if got := (&Facts{}).table("nothing"); len(got.Rows) != 0 {
		t.Errorf("an unknown table has rows: %v", got.Rows)
	}
}

// Whatever a keeper writes, reading it gives a library or faults with a place,
// and a sheet that was read prints without an unfilled field.
func FuzzOwnPlaybook(f *testing.F) {
	f.Add(own)
	f.Add("format: 1\nadapts: leak\nreviewed: 2026-12-01\nremove: [hang]\n")
	f.Add(strings.Replace(own, "{{10 L}}", "{{}}", 1))
	f.Add(strings.Replace(own, "yes: next", "yes: still", 1))
	f.Fuzz(func(t *testing.T, text string) {
		l, err := Builtin().With("x.yaml", []byte(text))
		if err != nil {
			var faults yamlwalk.Faults
			if !errors.As(err, &faults) || len(faults) == 0 || faults[0].Line < 1 {
				t.Fatalf("no fault with a line: %v", err)
			}
			return
		}
		p := &l.Playbooks[len(l.Playbooks)-1]
		s := l.Sheet(p, &Facts{}, Printed)
		if strings.Contains(Text(s), "{{") {
			t.Fatalf("an unfilled field in\n%s", Text(s))
		}
	})
}

// The site file takes every playbook that stands on the shelf for an event, the
// sitter's apart.
func TestSiteFileKnowsEverySheet(t *testing.T) {
	var mine []string
	for _, p := range Builtin().Playbooks {
		if !p.Sitter {
			mine = append(mine, p.Name)
		}
	}
	theirs := site.Playbooks()
	slices.Sort(mine)
	slices.Sort(theirs)
	if !slices.Equal(mine, theirs) {
		t.Errorf("sheets %v, the site file knows %v", mine, theirs)
	}
}
