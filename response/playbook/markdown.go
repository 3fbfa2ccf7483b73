package playbook

import (
	"fmt"
	"strings"
)

// Markdown is the sheet with task-list boxes, numbers and tables.
func Markdown(s Sheet) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n", marked(s.Title))
	for _, n := range s.Notices {
		fmt.Fprintf(&b, "> **%s**\n>\n", marked(n))
	}
	if len(s.Notices) > 0 {
		b.WriteString("\n")
	}
	for _, t := range []string{s.UseWhen, s.NotWhen, "**Goal:** " + s.Goal, s.Stock, s.stamp()} {
		if t != "" {
			b.WriteString(marked(t) + "\n\n")
		}
	}
	for _, g := range s.Groups {
		head := marked(g.Heading)
		if g.Boxed {
			head += " (the box)"
		} else {
			head += " (" + string(g.Role) + ")"
		}
		fmt.Fprintf(&b, "## %s\n\n", head)
		for _, ln := range g.Lines {
			b.WriteString(markdownLine(ln))
		}
	}
	for _, f := range s.Footer {
		b.WriteString(f + "\n\n")
	}
	fmt.Fprintf(&b, "- [ ] %s\n", s.Complete)
	return b.String()
}

// markdownLine is one line with the empty line behind it.
func markdownLine(ln Line) string {
	switch ln.Kind {
	case CautionLine:
		c := ln.Caution
		return fmt.Sprintf("> **%s** %s\n\n", c.Signal, marked(c.Hazard+" "+c.Consequence+" "+c.Avoid))
	case NoteLine:
		return marked(ln.Text) + "\n\n"
	case TableLine:
		return markdownTable(*ln.Table)
	case FigureLine:
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "- [ ] **%d** %s\n", ln.Number, marked(ln.Spoken()))
	for _, u := range ln.under() {
		fmt.Fprintf(&b, "  - %s\n", marked(u))
	}
	b.WriteString("\n")
	return b.String()
}

func markdownTable(t Table) string {
	var b strings.Builder
	head, rule := t.Header, make([]string, len(t.Header))
	for i := range rule {
		rule[i] = "---"
	}
	if t.Ticks {
		head, rule = append([]string{"done"}, head...), append(rule, "---")
	}
	if t.Title != "" {
		fmt.Fprintf(&b, "**%s**\n\n", marked(t.Title))
	}
	fmt.Fprintf(&b, "| %s |\n| %s |\n", strings.Join(head, " | "), strings.Join(rule, " | "))
	for _, r := range t.Rows {
		row := make([]string, 0, len(r)+1)
		if t.Ticks {
			row = append(row, "[ ]")
		}
		for _, c := range r {
			row = append(row, marked(c))
		}
		fmt.Fprintf(&b, "| %s |\n", strings.Join(row, " | "))
	}
	b.WriteString("\n")
	return b.String()
}

// marked keeps blanks and other characters from being read as markup.
func marked(s string) string {
	return strings.NewReplacer("_", `\_`, "|", `\|`, "<", "&lt;", "`", "\\`").Replace(s)
}
