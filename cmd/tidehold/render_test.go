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

func TestEveryFormatHoldsTheAnswer(t *testing.T) {
	for _, format := range []string{"table", "json", "csv", "markdown", "html"} {
		a := &app{streams: streams{Width: 80, Getenv: func(string) string { return "" }}, format: &choice{Value: format}}
		var b bytes.Buffer
		if err := a.render(&b, sampleAnswer()); err != nil {
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

func TestCSVIsReadByACSVReader(t *testing.T) {
	var b bytes.Buffer
	if err := renderCSV(&b, sampleAnswer()); err != nil {
		t.Fatal(err)
	}
	for i, part := range strings.Split(strings.TrimSpace(b.String()), "\n\n") {
		rows, err := csv.NewReader(strings.NewReader(part)).ReadAll()
		if err != nil || len(rows) < 2 {
			t.Errorf("section %d: %v, %v", i, rows, err)
		}
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
	if strings.Contains(b.String(), "<sample>") || strings.Contains(b.String(), "<td data-label=\"b\"><b>") {
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

func TestTablesKeepWordsWholeAndFit(t *testing.T) {
	g := grid{Header: []string{"what", "how"}, Rows: [][]string{{"salinity_per_day", strings.Repeat("some words ", 20)}}}
	for _, l := range strings.Split(textTable(g, 60), "\n") {
		if len([]rune(l)) > 60 {
			t.Errorf("%d characters: %s", len([]rune(l)), l)
		}
		if strings.HasSuffix(l, " ") {
			t.Errorf("blanks at the end: %q", l)
		}
	}
	if !strings.Contains(textTable(g, 20), "salinity_per_day") {
		t.Error("a word was cut in two")
	}
}
