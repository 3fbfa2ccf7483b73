package main

import (
	"fmt"
	"io"
	"strings"
)

// inMarkdown keeps what users wrote from being read as HTML.
var inMarkdown = strings.NewReplacer("&", "&amp;", "<", "&lt;")

func renderMarkdown(w io.Writer, ans answer) error {
	var b strings.Builder
	if ans.Title != "" {
		fmt.Fprintf(&b, "# %s\n", inMarkdown.Replace(ans.Title))
	}
	for _, bl := range onPage(ans) {
		b.WriteString("\n")
		switch {
		case bl.Heading != "":
			fmt.Fprintf(&b, "## %s\n", inMarkdown.Replace(bl.Heading))
		case bl.Table != nil:
			if bl.Table.Title != "" {
				fmt.Fprintf(&b, "**%s**\n\n", inMarkdown.Replace(bl.Table.Title))
			}
			fmt.Fprintln(&b, inMarkdown.Replace(bl.Table.Markdown()))
		case bl.Figure != nil:
			if bl.Figure.Text != "" {
				fmt.Fprintf(&b, "```text\n%s\n```\n", strings.TrimRight(bl.Figure.Text, "\n"))
			}
		default:
			fmt.Fprintln(&b, inMarkdown.Replace(bl.Text))
		}
	}
	_, err := io.WriteString(w, strings.TrimLeft(b.String(), "\n"))
	return err
}
