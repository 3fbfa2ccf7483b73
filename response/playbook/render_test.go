package playbook

import (
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// Every card in every form, at the demo and without a site: no unfilled field, no
// step that leads nowhere, 80 columns, and the completion line last.
func TestEveryCardPrints(t *testing.T) {
	for _, n := range everyName() {
		for where, c := range map[string]Card{"demo": demoCard(t, n), "bare": bareCard(n)} {
			text := Text(c)
			for _, bad := range []string{"{{", "}}", "NOWHERE", "<no value>", "%!"} {
				if strings.Contains(text+inMarkdown.Card(c)+TextLast(c), bad) {
					t.Errorf("%s, %s: %q in the print", n, where, bad)
				}
			}
			for l := range strings.Lines(text + TextLast(c)) {
				if utf8.RuneCountInString(strings.TrimRight(l, "\n")) > TextWidth {
					t.Errorf("%s, %s: a wide line: %s", n, where, l)
				}
			}
			if lines := strings.Split(strings.TrimSpace(text), "\n"); lines[len(lines)-1] != "[ ] "+c.Complete {
				t.Errorf("%s, %s ends with %q", n, where, lines[len(lines)-1])
			}
			if _, err := json.Marshal(c); err != nil {
				t.Error(err)
			}
		}
	}
}

// The budgets of a card: two pages, the front whole on the first; a shared card one
// page, Change the water two; 25 steps; box 30 s, block 90 s.
func TestBudgets(t *testing.T) {
	for _, n := range everyName() {
		c := demoCard(t, n)
		pages := len(Printed.Pages(c))
		most := 2
		if c.Shared && n != "change-water" {
			most = 1
		}
		if pages > most || c.Steps() > 25 {
			t.Errorf("%s: %d pages, %d steps", n, pages, c.Steps())
		}
		longest := 0.0
		for _, g := range c.Groups {
			longest = max(longest, aloud(g))
			if limit := map[bool]float64{true: boxSeconds, false: blockSeconds}[g.Boxed]; aloud(g) > limit {
				t.Errorf("%s, %s: %.0f s aloud", n, g.Heading, aloud(g))
			}
		}
		if grade := Grade((&subject{card: c}).front()); grade > mostGrade {
			t.Errorf("%s: grade %.1f", n, grade)
		}
		t.Logf("%-17s pages %d, steps %2d, box %.0f s, longest block %.0f s, grade %.1f", n, pages, c.Steps(), aloud(c.Groups[0]), longest, Grade((&subject{card: c}).front()))
	}
	sheets, withNext := Printed.Sheets(demoBinder(t))
	t.Logf("binder: %d pages", sheets)
	if sheets > mostSheets || !slices.Contains(withNext, true) {
		t.Errorf("the binder has %d pages", sheets)
	}
}

var idAttribute = regexp.MustCompile(` id="([^"]*)"`)

func TestPageIsWhole(t *testing.T) {
	var cards []Card
	for _, n := range everyName() {
		cards = append(cards, demoCard(t, n))
	}
	cards[0].Fault = "The site file has a fault"
	page := mustHTML(t, cards...)
	seen := map[string]bool{}
	for _, m := range idAttribute.FindAllStringSubmatch(page, -1) {
		if seen[m[1]] {
			t.Errorf("the id %s stands twice", m[1])
		}
		seen[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`(?:href="#|data-to=")([^"]*)"`).FindAllStringSubmatch(page, -1) {
		if !seen[m[1]] {
			t.Errorf("a jump to %s, which is not there", m[1])
		}
	}
	for _, want := range []string{"sha256-", `class="fault"`, "For whoever prints these cards", `type="radio"`, `class="caution DANGER"`, `class="caution NOTICE"`} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	if strings.Contains(page, "unsafe-inline") || strings.Contains(page, "http://") || strings.Contains(page, "https://") {
		t.Error("the page lets something in")
	}
	// Nothing for whoever prints it stands before the last page.
	if strings.Index(page, "not given by the site file but assumed") < strings.Index(page, "For whoever prints these cards") {
		t.Error("a notice for the office stands on a card")
	}
	if one := mustHTML(t, demoCard(t, "leak")); strings.Contains(one, `id="index"`) {
		t.Error("one card has an index")
	}
}

func TestPhonesDial(t *testing.T) {
	s := siteOf(t, rich)
	f, err := Gather(s, Request{Playbook: "ammonia"})
	if err != nil {
		t.Fatal(err)
	}
	l := Builtin()
	c := l.Fill(l.Find("ammonia"), f)
	if page := mustHTML(t, c, l.Fill(l.Find("contacts"), f)); strings.Count(page, `href="tel:&#43;44201234"`)+strings.Count(page, `href="tel:+44201234"`) < 2 {
		t.Error("the number is no link")
	}
	if !strings.Contains(inMarkdown.Card(c), "(tel:+44201234)") {
		t.Error("the number is no link in Markdown")
	}
}

// The site's own words: the battery by its name, what is lacking, no chiller where
// there is none.
func TestSiteDecidesTheWords(t *testing.T) {
	if text := Text(demoCard(t, "heater-break")); !strings.Contains(strings.Join(strings.Fields(strings.ReplaceAll(text, "|", "")), " "), "Unplug pump wave from battery box standby.") || strings.Contains(text, "None here?") {
		t.Error("the battery is not named, or both ways are printed")
	}
	if text := Text(demoCard(t, "too-hot")); strings.Contains(text, "chiller's lamp") {
		t.Error("a chiller that is not there")
	}
	if text := Text(bareCard("too-hot")); !strings.Contains(text, "chiller's lamp") || !strings.Contains(text, "None here?") {
		t.Error("a card without a site must print both ways")
	}
	for _, n := range []string{"leak", "too-cold", "dosing-overrun", "outage"} {
		if strings.Contains(Text(demoCard(t, n)), "MOVE the animals") {
			t.Errorf("%s: animals are moved for no reason", n)
		}
	}
}

// The readability formula against a worked example: "The cat sat on the mat." has 6
// words, 6 syllables, 1 sentence: 0.39·6 + 11.8·1 − 15.59 = −1.45 (the usual textbook
// example of the formula).
func TestGrade(t *testing.T) {
	if g := Grade("The cat sat on the mat."); g < -1.46 || g > -1.44 {
		t.Errorf("grade %.3f, want -1.45", g)
	}
	for w, n := range map[string]int{"heater": 2, "the": 1, "table": 2, "made": 1, "emergency": 4, "mm": 1} {
		if got := syllablesOf(w); got != n {
			t.Errorf("%s has %d syllables, counted %d", w, n, got)
		}
	}
	if Grade("____") != 0 {
		t.Error("a blank has a grade")
	}
}

func TestPanelsInPlainText(t *testing.T) {
	for s, want := range map[Signal]string{Danger: "## DANGER ##", Warning: "// WARNING //", CautionWord: "-- CAUTION --", Notice: ".. NOTICE .."} {
		if panel(s) != want {
			t.Errorf("%s is %q", s, panel(s))
		}
	}
}
