package main

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tidehold/refs"
)

// This file is the only home of what makes foreign text safe to print: names of a site
// file, of files and flags may hold anything, and what is harmless here may be an order
// to a terminal, a spreadsheet or a browser. One function for each place it goes to.

// printable takes the power out of characters that a terminal obeys or that turn text
// around: controls (but for line feed and tab), the marks of writing direction and
// separators of lines, and bytes that are no text. They are shown as \u001b.
func printable(s string) string {
	clean := true
	for _, r := range s {
		if r == utf8.RuneError || acts(r) {
			clean = false
			break
		}
	}
	if clean {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case acts(r):
			fmt.Fprintf(&b, `\u%04x`, r)
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], "\uFFFD"):
			fmt.Fprintf(&b, `\x%02x`, s[i])
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// acts says that a character does something instead of showing something.
func acts(r rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return false
	case r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069' || r == '\u2028' || r == '\u2029' || r == '\u200e' || r == '\u200f' || r == '\ufeff':
		return true
	}
	return unicode.IsControl(r)
}

// jsonSafe spells the characters of printable as JSON escapes. Outside strings JSON has
// none of them, so that the values stay what they are.
func jsonSafe(data []byte) []byte {
	if !strings.ContainsFunc(string(data), acts) {
		return data
	}
	var b strings.Builder
	for _, r := range string(data) {
		if acts(r) && r <= 0xffff {
			fmt.Fprintf(&b, `\u%04x`, r)
		} else {
			b.WriteRune(r)
		}
	}
	return []byte(b.String())
}

// plainNumber is a number as CSV holds it.
var plainNumber = regexp.MustCompile(`^-?[0-9]+(\.[0-9]+)?([eE][-+]?[0-9]+)?$`)

// csvSafe keeps a spreadsheet from running a cell: what begins like a formula gets an
// apostrophe before it, which shows it as text. Numbers stay bare.
func csvSafe(cell string) string {
	cell = printable(cell)
	start := strings.TrimLeftFunc(cell, unicode.IsSpace)
	if start == "" || plainNumber.MatchString(cell) {
		return cell
	}
	if strings.ContainsRune("=+-@＝＋－＠", []rune(start)[0]) || cell[0] == '\t' || cell[0] == '\n' {
		return "'" + cell
	}
	return cell
}

// inMarkdown keeps text from being read as HTML, a link, an image or the place a link
// leads to. A backslash in the text would take the power from the one before a bracket.
var inMarkdown = strings.NewReplacer(`\`, `\\`, "&", "&amp;", "<", "&lt;", "[", `\[`, "]", `\]`)

// markdownSafe is text that Markdown shows as it is.
func markdownSafe(s string) string { return inMarkdown.Replace(printable(s)) }

// safe is the answer with all its texts printable; Result is left to the renderers of
// JSON and CSV.
func (ans answer) safe() answer {
	ans.Title = printable(ans.Title)
	ans.Blocks, ans.More = safeBlocks(ans.Blocks), safeBlocks(ans.More)
	ans.Warnings, ans.Said, ans.Decides = safeTexts(ans.Warnings), safeTexts(ans.Said), safeTexts(ans.Decides)
	ans.Assumptions = slices.Clone(ans.Assumptions)
	for i, a := range ans.Assumptions {
		ans.Assumptions[i] = refs.Assumption{What: printable(a.What), Value: printable(a.Value), Source: printable(a.Source), Place: a.Place}
	}
	return ans
}

func safeBlocks(blocks []block) []block {
	out := slices.Clone(blocks)
	for i := range out {
		out[i].Heading, out[i].Text, out[i].Short = printable(out[i].Heading), printable(out[i].Text), printable(out[i].Short)
		if t := out[i].Table; t != nil {
			g := safeGrid(*t, printable)
			out[i].Table = &g
		}
		if f := out[i].Figure; f != nil {
			out[i].Figure = &drawing{SVG: f.SVG, Text: printable(f.Text), Caption: printable(f.Caption)}
		}
	}
	return out
}

// safeGrid has every text of a table made safe for where it goes.
func safeGrid(g grid, safe func(string) string) grid {
	g.Title, g.Header = safe(g.Title), eachText(g.Header, safe)
	rows := make([][]string, len(g.Rows))
	for i := range g.Rows {
		rows[i] = eachText(g.Rows[i], safe)
	}
	g.Rows = rows
	return g
}

func safeTexts(texts []string) []string { return eachText(texts, printable) }

func eachText(texts []string, safe func(string) string) []string {
	out := slices.Clone(texts)
	for i := range out {
		out[i] = safe(out[i])
	}
	return out
}
