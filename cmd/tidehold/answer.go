package main

import (
	"bytes"
	"fmt"
	"io"
	"slices"

	"tidehold/refs"
	"tidehold/response/tabular"
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
// under "result" and CSV as tables; Blocks are what the other formats print. Blocks
// are built from Result: no number is computed in a renderer.
type answer struct {
	// Command is the command's words without the program's name: "mix new".
	Command string
	// Title heads the HTML page and the Markdown text.
	Title       string
	Result      any
	Assumptions []refs.Assumption
	Warnings    []string
	// Said are warnings that stand among the Blocks, before what they are about; JSON has them with the others.
	Said []string
	// Blocks are the answer: on a screen of 24 lines of 80 columns. More is the
	// detail behind it: on a terminal with --all, on a page always.
	Blocks, More []block
	// Table names the table of Result that CSV prints when none is asked for; "" is
	// the result's own values, as one row.
	Table string
	// Decides are the assumed values that decide the answer, in words; the last line
	// names them.
	Decides []string
	// ListAssumed prints the assumed values unasked: they are what was asked for.
	ListAssumed bool
	// Next is the command to go on with, without the program's name; "" for none.
	Next string
	// No says the question was computed and the answer is no: exit 3.
	No bool
}

// assume lists a default that was taken, with its basis.
func (ans *answer) assume(what, value, source string) {
	ans.Assumptions = append(ans.Assumptions, refs.Assumption{What: what, Value: value, Source: source})
}

// allWarnings are those among the blocks and the others, for the formats that have no blocks.
func (ans answer) allWarnings() []string { return slices.Concat(ans.Said, ans.Warnings) }

// block is a piece of an answer: exactly one of Heading, Text, Table and Figure is
// set.
type block struct {
	Heading string
	Text    string // a paragraph; wrapped to the width
	// Command says that Text ends in a command to type.
	Command bool
	Table   *grid
	Figure  *drawing
	// Tight says that no empty line goes before it on a terminal.
	Tight bool
	// Screen is for a terminal without --all only: the short form of what More has.
	Screen bool
	// Short stands in its place on a screen that would be too long: a table in a line; --all has the table.
	Short string
}

// grid is a table of finished text.
type grid = tabular.Grid

func heading(s string) block                { return block{Heading: s} }
func para(format string, args ...any) block { return block{Text: fmt.Sprintf(format, args...)} }
func tableBlock(g grid) block               { return block{Table: &g} }
func picture(svg, text string) block        { return block{Figure: &drawing{SVG: svg, Text: text}} }

// line is a paragraph right under the one before.
func line(format string, args ...any) block {
	return block{Text: fmt.Sprintf(format, args...), Tight: true}
}

// command is a line that ends in a command to type.
func command(text string) block { return block{Text: text, Command: true, Tight: true} }

// print renders the answer in the format asked for and returns errNo when the
// answer is no.
func (a *app) print(ans answer) error {
	if bad := impossible(ans.Result); bad != "" {
		return fmt.Errorf("%s, which is a fault of this tool: please report it with the command you ran", bad)
	}
	var buf bytes.Buffer
	if err := a.render(&buf, ans.safe()); err != nil {
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
	if a.table != "" && a.format.Value != "csv" {
		return usagef("--table picks a table of --format csv; leave it out, or add --format csv")
	}
	switch a.format.Value {
	case "json":
		return renderJSON(w, ans)
	case "csv":
		return renderCSV(w, ans, a.table)
	case "markdown":
		return renderMarkdown(w, ans)
	case "html":
		return renderHTML(w, ans)
	}
	return a.renderScreen(w, ans)
}

// onlyOnScreen are short forms of what More has.
func onlyOnScreen(blocks ...block) []block {
	for i := range blocks {
		blocks[i].Screen = true
	}
	return blocks
}

// withoutScreen leaves out the short forms.
func withoutScreen(blocks []block) []block {
	return slices.DeleteFunc(slices.Clone(blocks), func(b block) bool { return b.Screen })
}

// onPage are the blocks of a page: all there is, the assumptions last.
func onPage(ans answer) []block {
	out := slices.Concat(withoutScreen(ans.Blocks), ans.More)
	if len(ans.Warnings) > 0 {
		out = append(out, heading("Warnings"))
		for _, s := range ans.Warnings {
			out = append(out, para("%s", s))
		}
	}
	return append(out, assumptionBlocks(ans)...)
}
