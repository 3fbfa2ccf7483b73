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
		return g.records(width)
	}
	if width > 0 {
		widths = narrow(widths, words, width-gap*(len(widths)-1))
	}
	if len(g.Rows) <= stretch {
		return g.lines(widths, nil)
	}
	var out strings.Builder
	for rows := range slices.Chunk(g.Rows, stretch) {
		part := Grid{Header: g.Header, Rows: rows, Right: g.Right}
		lines := part.lines(widths, widths)
		if out.Len() > 0 {
			lines = "\n" + belowRule(lines)
		}
		out.WriteString(lines)
	}
	return out.String()
}

// stretch is how many rows are set at a time: setting takes some thirty times the
// memory of the text, which for ten thousand systems would be most of the program's.
const stretch = 1000

// lines sets the table in columns of at most, and where least is given at least, these
// widths.
func (g Grid) lines(most, least []int) string {
	t := g.writer()
	configs := make([]table.ColumnConfig, len(most))
	for i := range most {
		align := g.align(i)
		configs[i] = table.ColumnConfig{Number: i + 1, Align: align, AlignHeader: align, WidthMax: most[i],
			WidthMaxEnforcer: func(s string, w int) string { return Wrap(s, w) }}
		if least != nil {
			configs[i].WidthMin = least[i]
		}
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
	from, to := rule(s)
	return s[:from] + s[min(from+gap, to):]
}

// belowRule leaves out the headings and the rule under them.
func belowRule(s string) string {
	_, to := rule(s)
	return strings.TrimPrefix(s[to:], "\n")
}

// rule is where the first line that is nothing but dashes begins and ends; both are 0
// if there is none.
func rule(s string) (from, to int) {
	for at := 0; at < len(s); {
		line, _, _ := strings.Cut(s[at:], "\n")
		if line != "" && strings.Trim(line, "-") == "" {
			return at, at + len(line)
		}
		at += len(line) + 1
	}
	return 0, 0
}

// records prints each row as lines of "heading: cell", without the empty cells, and
// an empty line between two rows.
func (g Grid) records(width int) string {
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
			lines = append(lines, indented(cell, width, "  "))
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
		widths[i], words[i] = Columns(h), longestWord(h)
		for _, r := range g.Rows {
			if i < len(r) {
				wide := Columns(r[i])
				widths[i] = max(widths[i], wide)
				if wide > words[i] { // no word is wider than its cell
					words[i] = max(words[i], longestWord(r[i]))
				}
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
// stays whole, on a line of its own: a path in a sentence made all its lines as long.
func Wrap(s string, width int) string {
	if width < 1 {
		return s
	}
	if Columns(s) <= width && !strings.ContainsAny(s, "\n\t") {
		return strings.TrimRight(s, " ")
	}
	if longestWord(s) > width {
		return filled(s, width)
	}
	return trimmed(text.WrapSoft(s, width))
}

// filled is Wrap of a text with a word that is longer than a line.
func filled(s string, width int) string {
	var out []string
	for _, paragraph := range strings.Split(s, "\n") {
		row := ""
		for _, word := range strings.Fields(paragraph) {
			switch {
			case row == "":
				row = word
			case Columns(row)+1+Columns(word) <= width:
				row += " " + word
			default:
				out, row = append(out, row), word
			}
		}
		out = append(out, row)
	}
	return trimmed(strings.Join(out, "\n"))
}

// indented is Wrap with every line but the first moved in.
func indented(s string, width int, indent string) string {
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
		w = max(w, Columns(word))
	}
	return w
}

// Columns is how many places a text takes in a line. Nearly every cell is of Latin
// letters and signs (°, ±, µ), which never join into one: their widths are added. Only
// other texts are cut into graphemes, which costs most of the time of a long table.
func Columns(s string) int {
	w := 0
	for _, r := range s {
		switch {
		case ' ' <= r && r <= '~':
			w++
		case '\u00a1' <= r && r <= '\u024f' && r != softHyphen:
			w += text.RuneWidth(r)
		default:
			return text.StringWidth(s)
		}
	}
	return w
}

// softHyphen shows only where a line breaks.
const softHyphen = '\u00ad'

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
