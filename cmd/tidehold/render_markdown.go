package main

import (
	"fmt"
	"io"
	"strings"
)

func renderMarkdown(w io.Writer, ans answer) error {
	var b strings.Builder
	if ans.Title != "" {
		fmt.Fprintf(&b, "# %s\n", markdownSafe(ans.Title))
	}
	for _, bl := range onPage(ans) {
		b.WriteString("\n")
		switch {
		case bl.Heading != "":
			fmt.Fprintf(&b, "## %s\n", markdownSafe(bl.Heading))
		case bl.Table != nil:
			t := safeGrid(*bl.Table, markdownSafe) // before the table's own marks are put between the cells
			if t.Title != "" {
				fmt.Fprintf(&b, "**%s**\n\n", t.Title)
			}
			fmt.Fprintln(&b, t.Markdown())
		case bl.Figure != nil:
			if bl.Figure.Text != "" {
				fmt.Fprintf(&b, "```text\n%s\n```\n", strings.ReplaceAll(strings.TrimRight(bl.Figure.Text, "\n"), "```", "'''"))
			}
		default:
			fmt.Fprintln(&b, markdownSafe(bl.Text))
		}
	}
	_, err := io.WriteString(w, strings.TrimLeft(b.String(), "\n"))
	return err
}
