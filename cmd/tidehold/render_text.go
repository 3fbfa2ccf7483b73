package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
)

// renderText prints for a terminal or a pipe: paragraphs wrapped, tables without
// borders, nothing by colour alone.
func renderText(w io.Writer, ans answer, width int, bold bool) error {
	var b strings.Builder
	for i, bl := range append(slices.Clip(ans.Blocks), closing(ans)...) {
		if i > 0 {
			b.WriteString("\n")
		}
		switch {
		case bl.Heading != "":
			b.WriteString(emphasise(bl.Heading, bold) + "\n")
		case bl.Table != nil:
			if bl.Table.Title != "" {
				b.WriteString(emphasise(bl.Table.Title, bold) + "\n")
			}
			b.WriteString(textTable(*bl.Table, width) + "\n")
		case bl.Figure != nil:
			b.WriteString(strings.TrimRight(bl.Figure.Text, "\n") + "\n")
		default:
			b.WriteString(trimmed(text.WrapSoft(bl.Text, width)) + "\n")
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func emphasise(s string, bold bool) string {
	if !bold {
		return s
	}
	return "\x1b[1m" + s + "\x1b[0m"
}

// writer fills a go-pretty table with units left as they are written: its
// default styles would print mS/cm as MS/CM.
func writer(g grid) table.Writer {
	t := table.NewWriter()
	style := table.StyleDefault
	style.Name = "plain"
	style.Options = table.Options{SeparateHeader: true}
	style.Format.Header = text.FormatDefault
	style.Format.Footer = text.FormatDefault
	style.Box.MiddleHorizontal = "-"
	style.Box.PaddingLeft = ""
	style.Box.PaddingRight = "  "
	t.SetStyle(style)
	header := make(table.Row, len(g.Header))
	configs := make([]table.ColumnConfig, len(g.Header))
	for i, h := range g.Header {
		header[i] = h
		configs[i] = table.ColumnConfig{Number: i + 1, Align: text.AlignLeft, AlignHeader: text.AlignLeft}
		if slices.Contains(g.Right, i) {
			configs[i].Align, configs[i].AlignHeader = text.AlignRight, text.AlignRight
		}
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

// trimmed takes the blanks off the end of every line.
func trimmed(s string) string {
	lines := strings.Split(strings.TrimRight(s, "\n"), "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(l, " ")
	}
	return strings.Join(lines, "\n")
}

// textTable fits a table to the width: the widest columns are narrowed and their
// cells wrapped at blanks until the rows fit, but no word is cut in two.
func textTable(g grid, width int) string {
	t := writer(g)
	widths, words := make([]int, len(g.Header)), make([]int, len(g.Header))
	for i, h := range g.Header {
		widths[i], words[i] = text.StringWidth(h), longestWord(h)
		for _, r := range g.Rows {
			if i < len(r) {
				widths[i] = max(widths[i], text.StringWidth(r[i]))
				words[i] = max(words[i], longestWord(r[i]))
			}
		}
	}
	fitted := narrow(widths, words, width-2*len(widths))
	configs := make([]table.ColumnConfig, len(fitted))
	for i := range fitted {
		configs[i] = table.ColumnConfig{Number: i + 1, Align: text.AlignLeft, AlignHeader: text.AlignLeft, WidthMax: fitted[i], WidthMaxEnforcer: func(s string, w int) string { return trimmed(text.WrapSoft(s, w)) }}
		if slices.Contains(g.Right, i) {
			configs[i].Align, configs[i].AlignHeader = text.AlignRight, text.AlignRight
		}
	}
	t.SetColumnConfigs(configs)
	return trimmed(t.Render())
}

// longestWord is the width of the widest word of a cell.
func longestWord(s string) int {
	w := 0
	for _, word := range strings.Fields(s) {
		w = max(w, text.StringWidth(word))
	}
	return w
}

// narrow shrinks the column with the most room, one character at a time, until
// the sum fits or every column is as narrow as its longest word.
func narrow(widths, words []int, room int) []int {
	for {
		sum, widest := 0, -1
		for i, w := range widths {
			sum += w
			if w > words[i] && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if sum <= room || widest < 0 {
			return widths
		}
		widths[widest]--
	}
}

// renderCSV prints first the result's single values as field,value lines, with the
// warnings and assumptions, then every table under its own headings, with an
// empty line before each.
func renderCSV(w io.Writer, ans answer) error {
	fields, err := scalars(ans.Result)
	if err != nil {
		return err
	}
	g := grid{Header: []string{"field", "value"}, Rows: fields}
	for _, s := range ans.Warnings {
		g.Rows = append(g.Rows, []string{"warning", s})
	}
	for _, s := range ans.Assumptions {
		g.Rows = append(g.Rows, []string{"assumed: " + s.What, s.Value + " (" + s.Source + ")"})
	}
	if _, err := fmt.Fprintln(w, writer(g).RenderCSV()); err != nil {
		return err
	}
	for _, bl := range ans.Blocks {
		if bl.Table == nil {
			continue
		}
		if _, err := fmt.Fprintf(w, "\n%s\n", writer(*bl.Table).RenderCSV()); err != nil {
			return err
		}
	}
	return nil
}

// scalars lists the values of a result that are no lists or objects, by their JSON
// keys in the order of JSON.
func scalars(result any) ([][]string, error) {
	data, err := json.Marshal(result)
	if err != nil {
		return nil, fmt.Errorf("writing CSV: %w", err)
	}
	var rows [][]string
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return nil, nil // a list or a bare value: the tables have it
	}
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return nil, fmt.Errorf("writing CSV: %w", err)
		}
		var v any
		if err := d.Decode(&v); err != nil {
			return nil, fmt.Errorf("writing CSV: %w", err)
		}
		switch v.(type) {
		case map[string]any, []any:
		case nil:
			rows = append(rows, []string{fmt.Sprint(key), ""})
		default:
			rows = append(rows, []string{fmt.Sprint(key), fmt.Sprint(v)})
		}
	}
	return rows, nil
}

// inMarkdown keeps what users wrote from being read as HTML.
var inMarkdown = strings.NewReplacer("&", "&amp;", "<", "&lt;")

func renderMarkdown(w io.Writer, ans answer) error {
	var b strings.Builder
	if ans.Title != "" {
		fmt.Fprintf(&b, "# %s\n", inMarkdown.Replace(ans.Title))
	}
	for _, bl := range append(slices.Clip(ans.Blocks), closing(ans)...) {
		b.WriteString("\n")
		switch {
		case bl.Heading != "":
			fmt.Fprintf(&b, "## %s\n", inMarkdown.Replace(bl.Heading))
		case bl.Table != nil:
			if bl.Table.Title != "" {
				fmt.Fprintf(&b, "### %s\n\n", inMarkdown.Replace(bl.Table.Title))
			}
			fmt.Fprintln(&b, inMarkdown.Replace(writer(*bl.Table).RenderMarkdown()))
		case bl.Figure != nil:
			fmt.Fprintf(&b, "```text\n%s\n```\n", strings.TrimRight(bl.Figure.Text, "\n"))
		default:
			fmt.Fprintln(&b, inMarkdown.Replace(bl.Text))
		}
	}
	_, err := io.WriteString(w, strings.TrimLeft(b.String(), "\n"))
	return err
}
