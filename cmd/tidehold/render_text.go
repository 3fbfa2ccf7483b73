package main

import (
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
		case bl.Pre != "":
			b.WriteString(strings.TrimRight(bl.Pre, "\n") + "\n")
		case bl.Figure != nil:
			b.WriteString(strings.TrimRight(bl.Figure.Text, "\n") + "\n")
		default:
			b.WriteString(strings.TrimRight(text.WrapSoft(bl.Text, width), "\n ") + "\n")
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

// textTable fits a table to the width: the widest columns are narrowed, their
// cells wrapped at blanks, until the rows fit.
func textTable(g grid, width int) string {
	t := writer(g)
	widths := make([]int, len(g.Header))
	for i := range widths {
		widths[i] = text.StringWidth(g.Header[i])
		for _, r := range g.Rows {
			if i < len(r) {
				widths[i] = max(widths[i], text.StringWidth(r[i]))
			}
		}
	}
	fitted := narrow(slices.Clone(widths), width-2*len(widths))
	configs := make([]table.ColumnConfig, len(widths))
	for i := range widths {
		configs[i] = table.ColumnConfig{Number: i + 1, Align: text.AlignLeft, AlignHeader: text.AlignLeft, WidthMax: fitted[i], WidthMaxEnforcer: text.WrapSoft}
		if slices.Contains(g.Right, i) {
			configs[i].Align, configs[i].AlignHeader = text.AlignRight, text.AlignRight
		}
	}
	t.SetColumnConfigs(configs)
	var lines []string
	for _, l := range strings.Split(t.Render(), "\n") {
		lines = append(lines, strings.TrimRight(l, " "))
	}
	return strings.Join(lines, "\n")
}

// narrow shrinks the widest column, one character at a time, until the sum fits
// or every column is at 8.
func narrow(widths []int, room int) []int {
	for {
		sum, widest := 0, 0
		for i, w := range widths {
			sum += w
			if w > widths[widest] {
				widest = i
			}
		}
		if sum <= room || len(widths) == 0 || widths[widest] <= 8 {
			return widths
		}
		widths[widest]--
	}
}

// renderCSV prints the tables only, each headed by its names; several tables are
// separated by an empty line. Warnings and assumptions are in the other formats.
func renderCSV(w io.Writer, ans answer) error {
	first := true
	for _, bl := range ans.Blocks {
		if bl.Table == nil {
			continue
		}
		if !first {
			fmt.Fprintln(w)
		}
		first = false
		if _, err := fmt.Fprintln(w, writer(*bl.Table).RenderCSV()); err != nil {
			return err
		}
	}
	return nil
}

func renderMarkdown(w io.Writer, ans answer) error {
	var b strings.Builder
	if ans.Title != "" {
		fmt.Fprintf(&b, "# %s\n", ans.Title)
	}
	for _, bl := range append(slices.Clip(ans.Blocks), closing(ans)...) {
		b.WriteString("\n")
		switch {
		case bl.Heading != "":
			fmt.Fprintf(&b, "## %s\n", bl.Heading)
		case bl.Table != nil:
			if bl.Table.Title != "" {
				fmt.Fprintf(&b, "### %s\n\n", bl.Table.Title)
			}
			fmt.Fprintln(&b, writer(*bl.Table).RenderMarkdown())
		case bl.Pre != "":
			fmt.Fprintf(&b, "```text\n%s\n```\n", strings.TrimRight(bl.Pre, "\n"))
		case bl.Figure != nil:
			fmt.Fprintf(&b, "```text\n%s\n```\n", strings.TrimRight(bl.Figure.Text, "\n"))
		default:
			fmt.Fprintln(&b, bl.Text)
		}
	}
	_, err := io.WriteString(w, strings.TrimLeft(b.String(), "\n"))
	return err
}
