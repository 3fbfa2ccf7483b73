package main

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"tidehold/refs"
)

func sampleAnswer() answer {
	return answer{
		Command: "sample", Title: "A <sample> & more",
		Result:      struct{ A, B any }{1.5, []int{1}},
		Warnings:    []string{"mind the \"gap\""},
		Assumptions: []refs.Assumption{{What: "x", Value: "1", Source: "common practice"}},
		Blocks: []block{
			heading("Head"), para("Words %d", 7),
			tableBlock(grid{Title: "T", Header: []string{"a mS/cm", "b"}, Rows: [][]string{{"1", "long words that wrap"}, {"22", "<b>"}}, Right: []int{0}}),
			picture("<svg><title>t</title></svg>", "drawn in text"),
		},
	}
}

func sampleApp(format string) *app {
	return &app{streams: streams{Width: 80, Fixed: true, Getenv: func(string) string { return "" }}, format: &choice{Value: format}, assumed: true}
}

func TestEveryFormatHoldsTheAnswer(t *testing.T) {
	for _, format := range []string{"table", "json", "markdown", "html"} {
		var b bytes.Buffer
		if err := sampleApp(format).render(&b, sampleAnswer()); err != nil {
			t.Fatalf("%s: %v", format, err)
		}
		text := b.String()
		for _, want := range []string{"gap", "common practice"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: no %q", format, want)
			}
		}
		if strings.Contains(text, "MS/CM") || strings.Contains(text, "\x1b") {
			t.Errorf("%s: unit in capitals, or an escape: %s", format, text)
		}
	}
}

// Every table of an answer is one table for a CSV reader (RFC 4180): as many cells in
// each row as headings, whatever the values hold.
func TestCSVIsOneTable(t *testing.T) {
	ans := sampleAnswer()
	ans.Result = map[string]any{"a": 1.5, "text": "with \"quotes\", commas\nand a line", "none": nil, "inner": map[string]any{"x_l": 2},
		"steps": []any{map[string]any{"n": 1, "from": []any{map[string]any{"store": "vat", "volume_l": 3}}, "tags": []string{"p", "q"}}, map[string]any{"n": 2}}}
	for name, want := range map[string]string{
		"":            "a,inner_x_l,none,text\n1.5,2,,\"with \"\"quotes\"\", commas\nand a line\"\n",
		"steps":       "n,tags\n1,p; q\n2,\n",
		"steps.from":  "of_steps,store,volume_l\n1,vat,3\n",
		"assumptions": "what,value,source\nx,1,common practice\n",
		"warnings":    "text\n\"mind the \"\"gap\"\"\"\n",
	} {
		var b bytes.Buffer
		if err := renderCSV(&b, ans, name); err != nil {
			t.Fatal(err)
		}
		if b.String() != want {
			t.Errorf("table %q:\n%q, want\n%q", name, b.String(), want)
		}
		if rows, err := csv.NewReader(&b).ReadAll(); err != nil || len(rows) < 2 {
			t.Errorf("table %q: %v, %v", name, rows, err)
		}
	}
	if err := renderCSV(io.Discard, ans, "step"); err == nil || !strings.Contains(err.Error(), `did you mean "steps"`) {
		t.Errorf("a table that is not there: %v", err)
	}
}

func TestPageEscapesWhatUsersWrite(t *testing.T) {
	var b bytes.Buffer
	if err := renderHTML(&b, sampleAnswer()); err != nil {
		t.Fatal(err)
	}
	var md bytes.Buffer
	if err := renderMarkdown(&md, sampleAnswer()); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(md.String(), "<sample>") || strings.Contains(md.String(), "<b>") {
		t.Errorf("user text is not escaped: %s", md.String())
	}
	if strings.Contains(b.String(), "<sample>") || strings.Contains(b.String(), "<b></td>") {
		t.Error("user text is not escaped")
	}
	d := xml.NewDecoder(strings.NewReader(b.String()))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
}

// TestWhatCannotBeDrawnTakesNoAnswerAway: the numbers stand, and the fault is told.
func TestWhatCannotBeDrawnTakesNoAnswerAway(t *testing.T) {
	fails := func() (string, error) { return "", errors.New("hours may not fall") }
	draws := func(s string) func() (string, error) { return func() (string, error) { return s, nil } }
	for _, got := range [][]block{drawnBy(fails, draws("text")), drawnBy(draws("<svg/>"), fails), drawnBy(fails, nil)} {
		if len(got) != 1 || got[0].Figure != nil || !strings.Contains(got[0].Text, "left out here: hours may not fall. Please report it") {
			t.Errorf("%+v", got)
		}
	}
	if got := drawnBy(draws("<svg/>"), draws("text")); len(got) != 1 || got[0].Figure == nil || got[0].Figure.SVG != "<svg/>" || got[0].Figure.Text != "text" {
		t.Errorf("%+v", got)
	}
	if got := drawnBy(draws("<svg/>"), nil); len(got) != 1 || got[0].Figure == nil || got[0].Figure.Text != "" {
		t.Errorf("%+v", got)
	}
}

// TestTheLineOfAssumedValuesNamesACommandThatWorks: typed as it stands, it finds the same site.
func TestTheLineOfAssumedValuesNamesACommandThatWorks(t *testing.T) {
	for here, want := range map[string]string{
		"":                        "`tidehold check` lists them, --assumed prints them here.",
		" --demo":                 "`tidehold check --demo` lists them, --assumed prints them.",
		" --site house/site.yaml": "--assumed prints them here.",
	} {
		if got := whereAssumed(here); got != want {
			t.Errorf("%q: %q", here, got)
		}
	}
}

// TestAHeadingIsWrappedLikeItsText: between words, not where the screen ends.
func TestAHeadingIsWrappedLikeItsText(t *testing.T) {
	var b bytes.Buffer
	err := renderText(&b, []block{heading("Which water when: copper, from Wed 25 Nov 22:00"), tableBlock(grid{Title: "Heavier than a dwelling's floor is designed for", Header: []string{"a"}})}, screen{Width: 40, TableWidth: 40})
	for _, l := range strings.Split(b.String(), "\n") {
		if len(l) > 40 {
			t.Errorf("%d columns: %q", len(l), l)
		}
	}
	if err != nil || !strings.HasPrefix(b.String(), "Which water when: copper, from Wed 25\nNov 22:00\n") {
		t.Errorf("%v: %q", err, b.String())
	}
}

// TestADrawingThatDoesNotFitIsNotBroken: a phone has 40 columns, a drawing 78. A pipe has any.
func TestADrawingThatDoesNotFitIsNotBroken(t *testing.T) {
	wide := strings.Repeat("█", 78) + "\n0 h"
	for _, c := range []struct {
		s    screen
		want string
	}{
		{screen{Width: 80, TableWidth: 80}, wide + "\n"},
		{screen{Width: 78, TableWidth: 78}, wide + "\n"},
		{screen{Width: 80}, wide + "\n"},
		{screen{Width: 40, TableWidth: 40}, "(On a screen of 78 columns a drawing\nstands here.)\n"},
	} {
		var b bytes.Buffer
		if err := renderText(&b, []block{picture("<svg/>", wide)}, c.s); err != nil || b.String() != c.want {
			t.Errorf("%+v: %q, %v", c.s, b.String(), err)
		}
	}
}
