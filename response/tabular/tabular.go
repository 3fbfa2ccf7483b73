// Package tabular prints tables: as columns for a terminal, as records where there is
// no room for columns, one record a line for a pipe, and in Markdown. It is the only
// writer of tables: commands and cards share it.
package tabular

import (
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
)

// Grid is a table. Cells are finished text; Right names the columns (from 0) whose
// cells are numbers.
type Grid struct {
	Title  string
	Header []string
	Rows   [][]string
	Right  []int
}

// gap is the room between two columns.
const gap = 2

// Text prints the table in at most width characters a line: the widest columns are
// narrowed and their cells wrapped at blanks, but no word is cut in two. Where even
// that does not fit, each row becomes a record of one line a cell. With a width of 0
// every row is one line, however long: for a pipe.
func (g Grid) Text(width int) string {
	g = g.filled()
	widths, words := g.measure()
	if width > 0 && sum(words)+gap*(len(words)-1) > width {
		return g.Records(width)
	}
	if width > 0 {
		widths = narrow(widths, words, width-gap*(len(widths)-1))
	}
	t := g.writer()
	configs := make([]table.ColumnConfig, len(widths))
	for i := range widths {
		align := g.align(i)
		configs[i] = table.ColumnConfig{Number: i + 1, Align: align, AlignHeader: align, WidthMax: widths[i],
			WidthMaxEnforcer: func(s string, w int) string { return Wrap(s, w) }}
	}
	t.SetColumnConfigs(configs)
	return trimmed(cutRule(t.Render()))
}

// filled leaves out the columns in which no row has anything: they would only take room.
func (g Grid) filled() Grid {
	var kept []int
	for i := range g.Header {
		if len(g.Rows) == 0 || slices.ContainsFunc(g.Rows, func(r []string) bool { return i < len(r) && r[i] != "" }) {
			kept = append(kept, i)
		}
	}
	if len(kept) == len(g.Header) {
		return g
	}
	out := Grid{Title: g.Title}
	pick := func(row []string) []string {
		var cells []string
		for _, i := range kept {
			if i < len(row) {
				cells = append(cells, row[i])
			}
		}
		return cells
	}
	out.Header = pick(g.Header)
	for _, r := range g.Rows {
		out.Rows = append(out.Rows, pick(r))
	}
	for n, i := range kept {
		if slices.Contains(g.Right, i) {
			out.Right = append(out.Right, n)
		}
	}
	return out
}

// cutRule shortens the line under the headings by the padding of the last column.
func cutRule(s string) string {
	lines := strings.Split(s, "\n")
	for i, l := range lines {
		if l != "" && strings.Trim(l, "-") == "" {
			lines[i] = l[min(gap, len(l)):]
			break
		}
	}
	return strings.Join(lines, "\n")
}

// Records prints each row as lines of "heading: cell", without the empty cells, and
// an empty line between two rows.
func (g Grid) Records(width int) string {
	var out []string
	for _, row := range g.Rows {
		var lines []string
		for i, cell := range row {
			if cell == "" {
				continue
			}
			if head := g.heading(i); head != "" {
				cell = head + ": " + cell
			}
			lines = append(lines, Indented(cell, width, "  "))
		}
		out = append(out, strings.Join(lines, "\n"))
	}
	return strings.Join(out, "\n\n")
}

// Markdown prints the table with pipes between the cells.
func (g Grid) Markdown() string { return g.writer().RenderMarkdown() }

func (g Grid) heading(column int) string {
	if column < len(g.Header) {
		return g.Header[column]
	}
	return ""
}

func (g Grid) align(column int) text.Align {
	if slices.Contains(g.Right, column) {
		return text.AlignRight
	}
	return text.AlignLeft
}

// measure is the width of each column and of its longest word.
func (g Grid) measure() (widths, words []int) {
	widths, words = make([]int, len(g.Header)), make([]int, len(g.Header))
	for i, h := range g.Header {
		widths[i], words[i] = text.StringWidth(h), longestWord(h)
		for _, r := range g.Rows {
			if i < len(r) {
				widths[i] = max(widths[i], text.StringWidth(r[i]))
				words[i] = max(words[i], longestWord(r[i]))
			}
		}
	}
	return widths, words
}

// writer fills a go-pretty table with units left as they are written: its default
// styles would print mS/cm as MS/CM.
func (g Grid) writer() table.Writer {
	t := table.NewWriter()
	style := table.StyleDefault
	style.Name = "plain"
	style.Options = table.Options{SeparateHeader: true}
	style.Format.Header = text.FormatDefault
	style.Format.Footer = text.FormatDefault
	style.Box.MiddleHorizontal = "-"
	style.Box.PaddingLeft = ""
	style.Box.PaddingRight = strings.Repeat(" ", gap)
	t.SetStyle(style)
	header := make(table.Row, len(g.Header))
	configs := make([]table.ColumnConfig, len(g.Header))
	for i, h := range g.Header {
		header[i] = h
		configs[i] = table.ColumnConfig{Number: i + 1, Align: g.align(i), AlignHeader: g.align(i)}
	}
	t.AppendHeader(header)
	t.SetColumnConfigs(configs)
	for _, r := range g.Rows {
		row := make(table.Row, len(r))
		for i, c := range r {
			row[i] = c
		}
		t.AppendRow(row)
	}
	return t
}

// Wrap breaks a text at blanks into lines of at most width characters; a longer word
// stays whole.
func Wrap(s string, width int) string {
	if width < 1 {
		return s
	}
	return trimmed(text.WrapSoft(s, max(width, longestWord(s))))
}

// Indented is Wrap with every line but the first moved in.
func Indented(s string, width int, indent string) string {
	return strings.ReplaceAll(Wrap(s, max(1, width-len(indent))), "\n", "\n"+indent)
}

// trimmed takes the blanks off the end of every line.
func trimmed(s string) string {
	lines := strings.Split(strings.TrimRight(s, "\n"), "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(l, " ")
	}
	return strings.Join(lines, "\n")
}

// longestWord is the width of the widest word of a cell.
func longestWord(s string) int {
	w := 0
	for _, word := range strings.Fields(s) {
		w = max(w, text.StringWidth(word))
	}
	return w
}

// narrow shrinks the column with the most room, one character at a time, until the
// sum fits or every column is as narrow as its longest word.
func narrow(widths, words []int, room int) []int {
	for sum(widths) > room {
		widest := -1
		for i, w := range widths {
			if w > words[i] && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		widths[widest]--
	}
	return widths
}

func sum(list []int) int {
	total := 0
	for _, n := range list {
		total += n
	}
	return total
}
