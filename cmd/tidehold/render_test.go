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
