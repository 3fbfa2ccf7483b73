package main

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"tidehold/response/tabular"
)

// screen is what a text is printed on.
type screen struct {
	// Width of a line; TableWidth of a table, 0 for a pipe, whose tables are never
	// wrapped.
	Width, TableWidth int
	// Bold says that headings may be emphasised.
	Bold bool
}

func (a *app) screen() screen {
	return screen{Width: a.Width, TableWidth: a.tableWidth(), Bold: a.colour(a.noColor)}
}

// renderText prints for a terminal or a pipe: paragraphs wrapped, tables without
// borders, nothing by colour alone.
func renderText(w io.Writer, blocks []block, s screen) error {
	b := bufio.NewWriter(w)
	for i, bl := range blocks {
		if bl.Figure != nil && bl.Figure.Text == "" {
			continue
		}
		if i > 0 && !bl.Tight {
			b.WriteString("\n")
		}
		switch {
		case bl.Heading != "":
			b.WriteString(s.emphasise(bl.Heading) + "\n")
		case bl.Table != nil:
			if bl.Table.Title != "" {
				b.WriteString(s.emphasise(bl.Table.Title) + "\n")
			}
			b.WriteString(bl.Table.Text(s.TableWidth))
			b.WriteString("\n")
		case bl.Figure != nil:
			b.WriteString(s.drawing(bl.Figure.Text) + "\n")
		case bl.Command && tabular.Columns(bl.Text) > s.Width:
			b.WriteString(pasteable(bl.Text, s.Width-2, "") + "\n")
		default:
			b.WriteString(tabular.Wrap(bl.Text, s.Width) + "\n")
		}
	}
	return b.Flush()
}

// drawing is the text form of a drawing where it fits: on a narrower screen its lines would
// break, and nobody could read it.
func (s screen) drawing(drawn string) string {
	drawn = strings.TrimRight(drawn, "\n")
	widest := 0
	for _, l := range strings.Split(drawn, "\n") {
		widest = max(widest, tabular.Columns(l))
	}
	if s.TableWidth > 0 && widest > s.Width {
		return tabular.Wrap(fmt.Sprintf("(On a screen of %d columns a drawing stands here.)", widest), s.Width)
	}
	return drawn
}

// emphasise is a heading: wrapped, and bold where there is bold type.
func (s screen) emphasise(words string) string {
	words = tabular.Wrap(words, s.Width)
	if !s.Bold {
		return words
	}
	return "\x1b[1m" + words + "\x1b[0m"
}
