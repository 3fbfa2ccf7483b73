package playbook

import (
	"slices"
	"strings"
	"testing"
	"time"
)

// edit is a sheet changed for the worse; it returns the layout too.
type edit struct {
	name, criterion string
	change          func(s *Sheet, l *Layout)
}

// step finds a step of a sheet by its id.
func step(s *Sheet, id string) *Line {
	_, ln := s.find(id)
	return ln
}

// group finds a block by its id.
func group(s *Sheet, id string) *Group {
	i := slices.IndexFunc(s.Groups, func(g Group) bool { return g.ID == id })
	return &s.Groups[i]
}

func drop(s *Sheet, match func(Line) bool) {
	for i := range s.Groups {
		s.Groups[i].Lines = slices.DeleteFunc(s.Groups[i].Lines, match)
	}
	s.number()
}

func isCaution(id string) func(Line) bool {
	return func(ln Line) bool { return ln.Caution != nil && ln.Caution.ID == id }
}

var edits = []edit{
	{"no condition line", "A2", func(s *Sheet, _ *Layout) { s.UseWhen = "When the heater broke." }},
	{"goal without a number", "A3", func(s *Sheet, _ *Layout) { s.Goal = "The water is good again." }},
	{"another title than the index", "A4", func(s *Sheet, _ *Layout) { s.Title = "Copper" }},
	{"not in the index", "A4", func(s *Sheet, _ *Layout) { s.Name = "somewhere-else" }},
	{"the box sends the reader on", "A6", func(s *Sheet, _ *Layout) { step(s, "air").Text = "Go to the sheet for outages." }},
	{"box not boxed", "B1", func(s *Sheet, _ *Layout) { s.Groups[0].Boxed = false }},
	{"box of six items", "B2", func(s *Sheet, _ *Layout) {
		b := &s.Groups[0]
		b.Lines = append(b.Lines, b.Lines[len(b.Lines)-1], b.Lines[len(b.Lines)-1])
		s.number()
	}},
	{"oxygen before people", "B3", func(s *Sheet, _ *Layout) {
		b := s.Groups[0].Lines
		slices.Reverse(b)
		s.number()
	}},
	{"a record in the box", "B3", func(s *Sheet, _ *Layout) { step(s, "air").Category = Record }},
	{"no people in the box", "B3", func(s *Sheet, _ *Layout) { step(s, "hands-out").Category = Power }},
	{"box not read again", "B5", func(s *Sheet, _ *Layout) { step(s, "box-again").Text = "Sit down." }},
	{"dark box", "B6", func(_ *Sheet, l *Layout) { l.Box = "#804040" }},
	{"two actions", "C1", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "Drain the tank and then fill it." }},
	{"a second verb", "C1", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "Drain the tank and lift the pump." }},
	{"no command", "C2", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "The tank is drained." }},
	{"condition without a command", "C2", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "If the tank is full it is drained." }},
	{"long step", "C3", func(s *Sheet, _ *Layout) {
		step(s, "drain").Text = "Drain the tank " + strings.Repeat("very ", 18) + "far."
	}},
	{"a step to check", "C4", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "Drain as required." }},
	{"number without a unit", "C5", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "Drain 288." }},
	{"reading without an instrument", "C5", func(s *Sheet, _ *Layout) { step(s, "read-vat").Text = "Read the vat: 34 to 36 mS." }},
	{"reading without a band", "C5", func(s *Sheet, _ *Layout) { step(s, "read-vat").Text = "Read the vat with a salinity meter." }},
	{"a sum", "C6", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "Multiply the litres by 2 h." }},
	{"two words for one thing", "C7", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "Drain the aquarium." }},
	{"number skipped", "C8", func(s *Sheet, _ *Layout) { step(s, "drain").Number++ }},
	{"late block first", "C9", func(s *Sheet, _ *Layout) { group(s, "waste-metal").Stage = StageNow }},
	{"eight lines", "C10", func(s *Sheet, _ *Layout) {
		g := group(s, "change")
		g.Lines = append(g.Lines, g.Lines[len(g.Lines)-1])
		s.number()
	}},
	{"device not touched", "C12", func(s *Sheet, _ *Layout) { step(s, "power-off").Text = "Switch off all tank power." }},
	{"vague", "C14", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "Drain the tank quickly." }},
	{"do not, without the danger", "C15", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "Do not drain the tank." }},
	{"caution after its step", "D1", func(s *Sheet, _ *Layout) {
		b := s.Groups[0].Lines
		b[0], b[1] = b[1], b[0]
	}},
	{"caution without a consequence", "D2", func(s *Sheet, _ *Layout) {
		c := *s.Groups[0].Lines[0].Caution
		c.Consequence = ""
		s.Groups[0].Lines[0].Caution = &c
	}},
	{"caution with a step in it", "D2", func(s *Sheet, _ *Layout) {
		c := *s.Groups[0].Lines[0].Caution
		c.Avoid = "Do step 4 first."
		s.Groups[0].Lines[0].Caution = &c
	}},
	{"unknown caution", "D2", func(s *Sheet, _ *Layout) { s.Groups[0].Lines[0].Caution = &Caution{ID: "of-my-own"} }},
	{"deadly, but only CAUTION", "D3", func(s *Sheet, _ *Layout) {
		c := *s.Groups[0].Lines[0].Caution
		c.Signal = CautionWord
		s.Groups[0].Lines[0].Caution = &c
	}},
	{"no signal word", "D3", func(s *Sheet, _ *Layout) {
		c := *s.Groups[0].Lines[0].Caution
		c.Signal = "ATTENTION"
		s.Groups[0].Lines[0].Caution = &c
	}},
	{"two cautions in a row", "D4", func(s *Sheet, _ *Layout) {
		s.Groups[0].Lines = slices.Insert(s.Groups[0].Lines, 0, s.Groups[0].Lines[2])
	}},
	{"caution lost", "D5", func(s *Sheet, _ *Layout) { drop(s, isCaution("mercury")) }},
	{"no question", "E1", func(s *Sheet, _ *Layout) { step(s, "all-glass").Text = "Think about the glass." }},
	{"nothing to observe", "E1", func(s *Sheet, _ *Layout) { step(s, "all-glass").By = "guess" }},
	{"branch to nowhere", "E2", func(s *Sheet, _ *Layout) { step(s, "all-glass").No = 99 }},
	{"branch unresolved", "E2", func(s *Sheet, _ *Layout) { step(s, "all-glass").Yes = -1 }},
	{"both exits the same", "E2", func(s *Sheet, _ *Layout) { step(s, "all-glass").No = step(s, "all-glass").Yes }},
	{"small or", "E4", func(s *Sheet, _ *Layout) { step(s, "all-glass").Text = "Is the glass whole or nearly whole?" }},
	{"AND with OR", "E4", func(s *Sheet, _ *Layout) {
		step(s, "abort-rule").Text = "If fish gasp AND corals shed slime OR a crab dies, phone the veterinarian."
	}},
	{"no branch for too little water", "E5", func(s *Sheet, _ *Layout) { step(s, "enough").Text = "Is the vat blue?" }},
	{"no completion line", "F1", func(s *Sheet, _ *Layout) { s.Complete = "The end" }},
	{"no stop rule", "F2", func(s *Sheet, _ *Layout) { step(s, "stop-rule").Text = "Stop when it looks good." }},
	{"no abort rule", "F3", func(s *Sheet, _ *Layout) { step(s, "abort-rule").Text = "Wait for the morning." }},
	{"a re-test lost", "F4", func(s *Sheet, _ *Layout) {
		for _, ln := range group(s, "retests").Lines {
			if ln.Table != nil {
				ln.Table.Header[3] = "13 h"
			}
		}
	}},
	{"salinity read once", "F5", func(s *Sheet, _ *Layout) { step(s, "read-vat").Twice = false }},
	{"no initials at all", "F5", func(s *Sheet, _ *Layout) {
		for g := range s.Groups {
			for i := range s.Groups[g].Lines {
				s.Groups[g].Lines[i].Twice = false
			}
		}
	}},
	{"no sign-off", "F6", func(s *Sheet, _ *Layout) {
		drop(s, func(ln Line) bool { return ln.Table != nil && ln.Table.Name == "sign-off" })
	}},
	{"sign-off without who", "F6", func(s *Sheet, _ *Layout) {
		for _, ln := range group(s, "sign-off").Lines {
			if ln.Table != nil {
				ln.Table.Header[1] = "name"
			}
		}
	}},
	{"interrupted", "F7", func(s *Sheet, _ *Layout) {
		drop(s, func(ln Line) bool { return strings.Contains(ln.Text, "interrupted") })
	}},
	{"not looked at again", "F8", func(s *Sheet, _ *Layout) { step(s, "look-again").Text = "Rest." }},
	{"waits without a time", "F9", func(s *Sheet, _ *Layout) { step(s, "batch").Wait = "" }},
	{"waits untold", "F9", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "Wait outside until the siphon stops." }},
	{"no hand-over", "F10", func(s *Sheet, _ *Layout) {
		drop(s, func(ln Line) bool { return ln.Table != nil && ln.Table.Name == "handover" })
	}},
	{"a block higher than a page", "G1", func(s *Sheet, _ *Layout) {
		g := group(s, "change")
		for range 8 {
			g.Lines = append(g.Lines, g.Lines...)
			if len(g.Lines) > 60 {
				break
			}
		}
	}},
	{"small type", "G2", func(_ *Sheet, l *Layout) { l.BodyPt = 9 }},
	{"low letters", "G3", func(_ *Sheet, l *Layout) { l.XHeight = 0.5 }},
	{"serifs", "G4", func(_ *Sheet, l *Layout) { l.Font = "Times, serif" }},
	{"shouting", "G5", func(s *Sheet, _ *Layout) { step(s, "drain").Text = "Drain ALL THE WATER NOW FAST." }},
	{"tight lines", "G7", func(_ *Sheet, l *Layout) { l.LineHeight = 1 }},
	{"grey print", "G8", func(_ *Sheet, l *Layout) { l.Ink = "#888888" }},
	{"no colour at all", "G8", func(_ *Sheet, l *Layout) { l.NightInk = "amber" }},
	{"wide lines", "G9", func(_ *Sheet, l *Layout) { l.MarginMm, l.BodyPt = 0, 10 }},
	{"no margin", "G10", func(_ *Sheet, l *Layout) { l.MarginMm = 5 }},
	{"a long block", "G13", func(s *Sheet, _ *Layout) { step(s, "drain").Text += strings.Repeat(" on", 200) }},
	{"step unlocked in the box", "H4", func(s *Sheet, _ *Layout) { step(s, "air").Locked = false }},
	{"never reviewed", "H5", func(s *Sheet, _ *Layout) { s.Reviewed = time.Time{} }},
	{"reviewed long ago", "H5", func(s *Sheet, _ *Layout) { s.Printed = s.Printed.AddDate(2, 0, 0) }},
	{"not hung up", "H7", func(s *Sheet, _ *Layout) { step(s, "hang").Text = "Put it away." }},
}

// Each change for the worse makes its criterion fail, which it did not before.
func TestEveryMutationIsCaught(t *testing.T) {
	l := Builtin()
	for _, e := range edits {
		s, layout := demoSheet(t, "heater-break"), Printed
		if before := l.Score(s, layout); len(before.Failed(1)) > 0 {
			t.Fatalf("the sheet fails before any change: %v", before.Failed(1))
		}
		e.change(&s, &layout)
		r := l.Score(s, layout)
		i := slices.IndexFunc(r.Criteria, func(c Criterion) bool { return c.ID == e.criterion })
		if c := r.Criteria[i]; c.Pass || c.Found == "" {
			t.Errorf("%s: %s is still met (%q); fails: %v", e.name, e.criterion, c.Found, r.Failed(1))
		} else if c.Weight == 3 && r.Ship {
			t.Errorf("%s: the sheet is still fit to use", e.name)
		}
	}
}

// Every criterion that a program judges has a mutation that makes it fail.
func TestEveryJudgedCriterionHasAMutation(t *testing.T) {
	// A5, C13, E3, G6, G12 and G14 are broken by the tests below.
	other := []string{"A5", "C13", "E3", "G6", "G12", "G14"}
	for _, c := range criteria() {
		if c.test == nil || slices.Contains(other, c.id) {
			continue
		}
		if !slices.ContainsFunc(edits, func(e edit) bool { return e.criterion == c.id }) {
			t.Errorf("no mutation breaks %s", c.id)
		}
	}
}

// criterionFails runs one test of a criterion on a subject.
func criterionFails(t *testing.T, id string, s *subject) {
	t.Helper()
	for _, c := range criteria() {
		if c.id == id {
			if c.test(s) == "" {
				t.Errorf("%s is met", id)
			}
			return
		}
	}
	t.Fatalf("no criterion %s", id)
}

func TestCriteriaOfTheWholePrint(t *testing.T) {
	s := demoSheet(t, "heater-break")
	text := Text(s)
	sub := func() *subject {
		return &subject{sheet: s, layout: Printed, lib: Builtin(), text: text, pages: Printed.Pages(s)}
	}
	known := sub()
	known.lib = &Library{Playbooks: []Playbook{*Builtin().Find("leak")}}
	criterionFails(t, "A5", known)

	far := sub()
	far.text = strings.ReplaceAll(text, "[ ]", "   [ ]")
	criterionFails(t, "C13", far)

	unpaged := sub()
	unpaged.text = strings.ReplaceAll(text, "page 1 of", "leaf 1 of")
	criterionFails(t, "G12", unpaged)

	for name, broken := range map[string]string{
		"a wide line":  text + strings.Repeat("x", 81),
		"a lost step":  strings.Replace(text, "[ ] 20  ", "[ ]     ", 1),
		"a lost order": strings.Replace(text, "[ ] 20  ", "[ ] 21  ", 1),
	} {
		lost := sub()
		lost.text = broken
		t.Run(name, func(t *testing.T) { criterionFails(t, "G14", lost) })
	}

	slanted := styleSheet
	styleSheet += "p { font-style: italic }"
	defer func() { styleSheet = slanted }()
	criterionFails(t, "G6", sub())
}

// Three questions within one another are one level too many.
func TestDeepBranchingIsCaught(t *testing.T) {
	s := demoSheet(t, "heater-break")
	g := &Group{ID: "deep", Heading: "Deep", Stage: StageRestore, Role: Keeper}
	for range 3 {
		g.Lines = append(g.Lines, Line{Kind: DecisionLine, Text: "Is it wet?", By: "look"})
	}
	g.Lines = append(g.Lines, Line{Kind: StepLine, Text: "Mop."}, Line{Kind: StepLine, Text: "Mop."}, Line{Kind: StepLine, Text: "Mop."})
	s.Groups = append(s.Groups, *g)
	s.number()
	last := s.Steps()
	for i := range 3 {
		ln := &s.Groups[len(s.Groups)-1].Lines[i]
		ln.Yes, ln.No = ln.Number+1, last
	}
	criterionFails(t, "E3", &subject{sheet: s, layout: Printed, lib: Builtin(), text: Text(s)})
}

func TestScoreOfAnEmptySheet(t *testing.T) {
	r := Builtin().Score(Sheet{Name: "empty"}, Printed)
	if r.Ship || len(r.Failed(3)) < 8 {
		t.Errorf("an empty sheet is fit: %v, and fails only %v", r.Ship, r.Failed(3))
	}
}

// Contrast against the published examples: black on white is 21 to 1; #777777 on
// white is 4.48, just under the 4.5 of level AA, and #767676 4.54, just over.
// Source: W3C, Web Content Accessibility Guidelines 2.1, definition of contrast
// ratio; the two greys are the usual worked example (memory).
func TestContrast(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want float64
	}{{"#000000", "#ffffff", 21}, {"#777777", "#ffffff", 4.48}, {"#767676", "#ffffff", 4.54}, {"#ffffff", "#ffffff", 1}, {"black", "#ffffff", 0}} {
		if got := contrast(c.a, c.b); got < c.want-0.005 || got > c.want+0.005 {
			t.Errorf("contrast of %s on %s is %.3f, want %.2f", c.a, c.b, got, c.want)
		}
	}
}
