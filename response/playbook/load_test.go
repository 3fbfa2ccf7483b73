package playbook

import (
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	"tidehold/refs/yamlwalk"
	"tidehold/volumes/site"
)

func TestEveryShippedCardLoads(t *testing.T) {
	l := Builtin()
	for _, name := range everyName() {
		// Find reads it as verified: here it is.
		verified, err := l.readBuilt(name, false)
		if err != nil {
			t.Error(err)
		}
		p := l.Find(name)
		if !reflect.DeepEqual(*p, verified) {
			t.Errorf("%s is another card where it is not verified", name)
		}
		if !p.Shared && (len(p.Synonyms) < 4 || len(p.Box) > 4 || p.Phones[0] != "emergency" || p.Danger == "") {
			t.Errorf("%s: %d synonyms, %d actions, phones %v, danger %q", name, len(p.Synonyms), len(p.Box), p.Phones, p.Danger)
		}
	}
	if err := load("no-such-card", nil); err == nil {
		t.Error("a missing file is no error")
	}
	if readCautions(yamlwalk.Parse("x.yaml", nil)) != nil {
		t.Error("something was read from an empty file")
	}
}

// own is a keeper's card that stands alone.
const own = `format: 1
name: red-tide
version: 1
reviewed: 2026-11-25
title: Water turns red
use_when: Use when the water is red.
not_when: Not when it is green.
goal: "The water is clear in two looks 6 h apart."
hazards: [lifting]
synonyms: [red water, bloom]
danger: live-water
phones: [emergency, keeper]
box:
  - {id: away, do: "Send others away. If anyone is ill, phone the emergency number.", category: people, effect: [move people, call emergency], locked: yes}
  - {id: air-red, do: "Start every air pump.", category: oxygen, effect: [energise air], needs: ["kit: battery air pump"], lacking: "Open a window.", lacking_effect: [open window]}
blocks:
  - id: look
    heading: Look
    stage: treat
    items:
      - caution: lifting
      - {id: carry, do: "Carry {{10 L}} of old water out.", category: water, hazards: [lifting]}
      - {id: stop, do: "Leave the room. Phone the electrician.", category: power, effect: [leave, call electrician, stop until], until: "Go on when it is safe.", then: still}
      - {id: still, ask: "Is the water still red?", by: look, yes: carry, no: after, most: "3", then: tell}
      - {id: tell, do: "Phone the veterinarian.", category: animals, effect: [call veterinarian], wait: 5 min., meanwhile: Sit., late: Phone again.}
      - note: That is all.
      - table: contacts
complete: Red card complete
`

func TestOwnCard(t *testing.T) {
	l, err := Builtin().With("playbooks/x.yaml", []byte(own))
	if err != nil {
		t.Fatal(err)
	}
	if n := l.Names(); n[len(n)-1] != "red-tide" || len(n) != len(order)+1 {
		t.Errorf("names are %v", n)
	}
	if w := l.Walk(l.Find("red-tide"), Corners()...); len(w.Violations) > 0 || w.Paths == 0 {
		t.Errorf("%+v", w)
	}
	c := l.Card(l.Find("red-tide"), &Facts{}, Printed)
	if !strings.Contains(Text(c), "STOP. Go on when it is safe. Then: step 5.") || len(c.Notices) < 3 {
		t.Errorf("%v\n%s", c.Notices, Text(c))
	}
	if hits := l.Search("a bloom"); len(hits) != 1 || hits[0].Name != "red-tide" {
		t.Errorf("found %v", hits)
	}
}

// Each fault is reported at its place, with what is allowed.
func TestFaultyCards(t *testing.T) {
	for name, c := range map[string]struct {
		old, new string
		want     []string
	}{
		"empty":                {own, "", []string{":1:1: the file is empty"}},
		"not yaml":             {own, "a: [", []string{"not closed"}},
		"format 2":             {"format: 1", "format: 2", []string{":1:9: format:", "only 1"}},
		"no goal":              {"goal: \"The water is clear in two looks 6 h apart.\"\n", "", []string{"goal is missing"}},
		"no box":               {own[strings.Index(own, "box:"):strings.Index(own, "blocks:")], "", []string{"box is missing"}},
		"misspelt key":         {"use_when:", "use_wen:", []string{"unknown key", "did you mean \"use_when\"?", "use_when is missing"}},
		"no plain name":        {"name: red-tide", "name: Red Tide", []string{":2:7: name:", "no plain name"}},
		"name of a card":       {"name: red-tide", "name: leak", []string{":2:7: name: a playbook leak exists", "adapts: leak"}},
		"no such caution":      {"- caution: lifting", "- caution: liftig", []string{"did you mean \"lifting\"?", "the caution lifting is missing", "carry has no caution before it"}},
		"branch to nowhere":    {"yes: carry, no: after", "yes: crry, no: away-with-it", []string{"still leads to \"crry\"", "did you mean \"carry\"?"}},
		"loop to nowhere":      {"then: tell}", "then: tel}", []string{"still leads to \"tel\""}},
		"no such field":        {"{{10 L}}", "{{net_volme}}", []string{"no value is known for {{net_volme}}", "did you mean \"net_volume\"?"}},
		"half a field":         {"{{10 L}}", "{{10 L", []string{"braces do not match"}},
		"field in the title":   {"title: Water turns red", "title: \"Water turns {{colour}}\"", []string{":5:8: title: no value is known for {{colour}}"}},
		"id twice":             {"id: air-red", "id: away", []string{"the name away is given a second time"}},
		"wait told in part":    {", meanwhile: Sit., late: Phone again.", "", []string{"a wait that is told in part"}},
		"stop told in part":    {"until: \"Go on when it is safe.\", ", "", []string{"a stop that is told in part"}},
		"no kind":              {"- note: That is all.", "- {text: That is all.}", []string{"a line without a kind", "unknown key"}},
		"line is a word":       {"- note: That is all.", "- all", []string{"is a single value"}},
		"no category":          {"category: people, ", "", []string{"category is missing"}},
		"another sense":        {"by: look", "by: guess", []string{"\"guess\" is not known here"}},
		"no such hazard":       {"hazards: [lifting]\nsyn", "hazards: [liftin]\nsyn", []string{"did you mean \"lifting\"?"}},
		"no such effect":       {"[energise air]", "[energize air]", []string{"did you mean \"energise air\"?"}},
		"effect left out":      {"effect: [energise air], ", "", []string{"the words and the effect part: \"Start every air\" without the effect energise"}},
		"lacking parts":        {"lacking: \"Open a window.\"", "lacking: \"Switch on the pump.\"", []string{"the words of lacking and their effect part"}},
		"lacking of nothing":   {"needs: [\"kit: battery air pump\"], ", "", []string{"lacking without needs"}},
		"no such need":         {"needs: [\"kit: battery air pump\"]", "needs: [heter]", []string{"\"heter\" is not known here"}},
		"most is a word":       {"most: \"3\"", "most: often", []string{"\"often\" is no number of times"}},
		"a stage that is late": {"blocks:\n", "blocks:\n  - {id: end, heading: End, stage: restore, items: [{note: Done.}]}\n", []string{"the block look (treat) stands after one of stage restore"}},
		"blocks in order":      {"stage: treat", "stage: watch", nil},
	} {
		t.Run(name, func(t *testing.T) {
			if !strings.Contains(own, c.old) {
				t.Fatalf("the card has no %q", c.old)
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
		})
	}
}

// adapted reads changes to the heater card.
func adapted(changes string) (*Library, error) {
	return Builtin().With("playbooks/heater.yaml", []byte("format: 1\nadapts: heater-break\nreviewed: 2026-12-01\n"+changes))
}

func TestAdaptedCard(t *testing.T) {
	l, err := adapted(`title: Heater smashed in the tank
synonyms: [bang]
edit: {keep-heater: Put heater and glass in the red box., all-glass: "Is the tube complete?"}
remove: [glass-left]
insert:
  - after: air
    items: [{note: The pump hangs by the door.}]
  - after: pieces
    items: [{id: horn, do: Press the red horn., category: people}]
`)
	if err == nil || !strings.Contains(err.Error(), "glass-left") && !strings.Contains(err.Error(), "both") {
		// all-glass leads to "next": removing the step behind it leaves one exit.
		t.Logf("read: %v", err)
	}
	if l == nil {
		t.Fatal(err)
	}
	c := l.Card(l.Find("heater-break"), &Facts{}, Printed)
	text := strings.Join(strings.Fields(Text(c)+TextLast(c)), " ")
	for _, want := range []string{"Heater smashed in the tank", "in the red box", "is the tube complete?", "Press the red horn", "hangs by the door", "Adapted by the keeper: playbooks/heater.yaml"} {
		if !strings.Contains(text, want) {
			t.Errorf("the card does not say %q", want)
		}
	}
	if strings.Contains(text, "Tape a note") {
		t.Error("the removed step is still there")
	}
	if len(l.Names()) != len(order) || strings.Contains(Text(bareCard("heater-break")), "horn") {
		t.Error("the built-in card was changed")
	}
	again, err := l.With("playbooks/b.yaml", []byte("format: 1\nadapts: heater-break\nreviewed: 2026-12-01\ntitle: Bang\n"))
	if err != nil || again.Find("heater-break").Title != "Bang" {
		t.Errorf("adapted twice: %v", err)
	}
}

func TestSafetyStepsAreLocked(t *testing.T) {
	for changes, want := range map[string]string{
		"edit: {hands-out: Jump in.}":                           "playbooks/heater.yaml:4:19: edit.hands-out: hands-out is a safety step and locked",
		"remove: [power-off]":                                   "playbooks/heater.yaml:4:10: remove[0]: power-off is a safety step and locked",
		"remove: [lift]":                                        "lift is a safety step and locked",
		"edit: {hands-uot: Jump in.}":                           "did you mean \"hands-out\"?",
		"remove: [glass-lft]":                                   "did you mean \"glass-left\"?",
		"edit: {keep-heater: \"Use {{colour}}.\"}":              "no value is known for {{colour}}",
		"edit: {keep-heater: \"Plug it in again.\"}":            "the words and the effect of keep-heater part",
		"edit: {all-glass: \"\"}":                               "an empty text",
		"remove: [keep-heater]":                                 "all-glass leads to \"keep-heater\", which is not on this card",
		"insert: [{after: nobody, items: []}]":                  "\"nobody\" is not known here",
		"title: \"\"":                                           "title: an empty text",
		"insert: [{after: air, items: [{caution: live-watr}]}]": "did you mean \"live-water\"?",
		"insert: [{after: pieces, items: [{id: dive, do: Put a hand in., category: water, hazards: [palytoxin]}]}]": "dive has no caution before it in its block for: palytoxin",
	} {
		_, err := adapted(changes + "\n")
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %q", changes, err, want)
		}
	}
	if _, err := Builtin().With("x.yaml", []byte("format: 1\nadapts: heter-break\nreviewed: 2026-12-01\n")); err == nil || !strings.Contains(err.Error(), "did you mean \"heater-break\"?") {
		t.Errorf("got %v", err)
	}
	if l, err := Builtin().With("x.yaml", []byte("format: 1\nadapts: chilled\nreviewed: 2026-12-01\ntitle: Ice cold\n")); err != nil || l.Find("too-cold").Title != "Ice cold" {
		t.Errorf("an old name: %v", err)
	}
}

// Whatever a keeper writes, reading it gives a library or faults with a place, and
// a card that was read prints without an unfilled field and can be walked.
func FuzzOwnCard(f *testing.F) {
	f.Add(own)
	f.Add("format: 1\nadapts: leak\nreviewed: 2026-12-01\nremove: [mop]\n")
	f.Add(strings.Replace(own, "{{10 L}}", "{{}}", 1))
	f.Add(strings.Replace(own, "yes: carry", "yes: still", 1))
	f.Fuzz(func(t *testing.T, text string) {
		l, err := Builtin().With("x.yaml", []byte(text))
		if err != nil {
			var faults yamlwalk.Faults
			if !errors.As(err, &faults) || len(faults) == 0 || faults[0].Line < 1 {
				t.Fatalf("no fault with a line: %v", err)
			}
			return
		}
		p := l.own[len(l.own)-1]
		if c := l.Card(p, &Facts{}, Printed); strings.Contains(Text(c), "{{") {
			t.Fatalf("an unfilled field in\n%s", Text(c))
		}
		l.Walk(p, Corners()[:2]...)
	})
}

// The site file takes every card that stands on the shelf for an event, the
// sitter's apart, and the names of earlier editions.
func TestSiteFileKnowsEveryCard(t *testing.T) {
	theirs := site.Playbooks()
	for _, n := range order {
		if n != "sitter" && !slices.Contains(theirs, n) {
			t.Errorf("the site file does not know %s", n)
		}
	}
	for _, n := range theirs {
		if Builtin().Find(n) == nil {
			t.Errorf("the site file knows %s, which is no card", n)
		}
	}
	for old, now := range oldNames {
		if !slices.Contains(theirs, old) || Builtin().Find(old).Name != now {
			t.Errorf("%s is lost", old)
		}
	}
	if Builtin().Find("nothing") != nil || len((&Facts{}).table("nothing").Rows) != 0 {
		t.Error("found nothing")
	}
}
