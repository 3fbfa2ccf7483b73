package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"tidehold/refs"
)

// The rules of our speech:
//
//  1. The answer stands on standard output, everything else on standard error.
//  2. The first line is the verdict in words, with the numbers that carry it; then what
//     to do; then the one command to go on with. All of that in 24 lines of 80 columns.
//  3. Detail comes when asked for: --event, --all, --why, --assumed.
//  4. A number has its unit beside it, and stands twice with the same digits. What is
//     needed is rounded up, what is on hand down.
//  5. Words are the keeper's: "left at the bottom", not "heel"; singular and plural right.
//  6. A caution stands before the step it protects; colour never carries meaning alone.
//  7. An error says what was found, where, what is allowed and the nearest fix, in lower
//     case and without a full stop; no Go type, no system call is named.

// answer is one command's result in every rendering: Result is what JSON prints
// under "result"; Blocks are what the other formats print. Blocks are built from
// Result: no number is computed in a renderer.
type answer struct {
	// Command is the command's words without the program's name: "mix new".
	Command string
	// Title heads the HTML page and the Markdown text.
	Title       string
	Result      any
	Assumptions []refs.Assumption
	Warnings    []string
	Blocks      []block
	// No says the question was computed and the answer is no: exit 3.
	No bool
}

// assume lists a default that was taken, with its basis.
func (ans *answer) assume(what, value, source string) {
	ans.Assumptions = append(ans.Assumptions, refs.Assumption{What: what, Value: value, Source: source})
}

// block is a piece of an answer: exactly one field is set.
type block struct {
	Heading string
	Text    string // a paragraph; wrapped to the width
	Table   *grid
	Figure  *figure
}

// grid is a table. Cells are finished text; Right names the columns (from 0)
// whose cells are numbers.
type grid struct {
	Title  string
	Header []string
	Rows   [][]string
	Right  []int
}

// figure is a drawing: SVG in HTML, Text everywhere else.
type figure struct {
	SVG  string
	Text string
}

func heading(s string) block                { return block{Heading: s} }
func para(format string, args ...any) block { return block{Text: fmt.Sprintf(format, args...)} }
func tableBlock(g grid) block               { return block{Table: &g} }
func picture(svg, text string) block        { return block{Figure: &figure{SVG: svg, Text: text}} }

// print renders the answer in the format asked for and returns errNo when the
// answer is no.
func (a *app) print(ans answer) error {
	var buf bytes.Buffer
	if err := a.render(&buf, ans); err != nil {
		return err
	}
	if _, err := a.Out.Write(buf.Bytes()); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	if ans.No {
		return errNo
	}
	return nil
}

// printText prints finished text: a file to paste or save, whatever the format.
func (a *app) printText(text string) error {
	if _, err := io.WriteString(a.Out, text); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	return nil
}

func (a *app) render(w io.Writer, ans answer) error {
	switch a.format.Value {
	case "json":
		return renderJSON(w, ans)
	case "csv":
		return renderCSV(w, ans)
	case "markdown":
		return renderMarkdown(w, ans)
	case "html":
		return renderHTML(w, ans)
	}
	return renderText(w, ans, a.Width, a.colour(a.noColor))
}

// envelope is the stable shape of JSON output.
type envelope struct {
	Format      int               `json:"format"`
	Command     string            `json:"command"`
	Result      any               `json:"result"`
	Assumptions []refs.Assumption `json:"assumptions"`
	Warnings    []string          `json:"warnings"`
}

func renderJSON(w io.Writer, ans answer) error {
	e := envelope{Format: 1, Command: ans.Command, Result: ans.Result, Assumptions: ans.Assumptions, Warnings: ans.Warnings}
	if e.Assumptions == nil {
		e.Assumptions = []refs.Assumption{}
	}
	if e.Warnings == nil {
		e.Warnings = []string{}
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(e); err != nil {
		return fmt.Errorf("writing JSON: %w", err)
	}
	return nil
}

// closing are the blocks every rendering but JSON ends with: the defaults taken,
// then the warnings, which are the last thing on a screen.
func closing(ans answer) []block {
	var out []block
	if len(ans.Assumptions) > 0 {
		g := grid{Header: []string{"assumed", "value", "basis"}}
		for _, s := range ans.Assumptions {
			g.Rows = append(g.Rows, []string{s.What, s.Value, s.Source})
		}
		out = append(out, heading("Assumed, because the input does not say"), tableBlock(g))
	}
	if len(ans.Warnings) > 0 {
		out = append(out, heading("Warnings"))
		for _, s := range ans.Warnings {
			out = append(out, para("%s", s))
		}
	}
	return out
}
