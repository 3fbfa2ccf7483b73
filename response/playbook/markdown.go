package playbook

import (
	"fmt"
	"strings"
)

// Markdown is the card with task-list boxes, numbers and tables.
func Markdown(c Card) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n", marked(c.Title))
	if c.Fault != "" {
		fmt.Fprintf(&b, "> **%s**\n\n", marked(c.Fault))
	}
	for _, t := range []string{c.When(), c.NotWhen} {
		if t != "" {
			b.WriteString(marked(t) + "\n\n")
		}
	}
	if c.Danger != nil {
		fmt.Fprintf(&b, "> **%s** %s\n\n", c.Danger.Signal, marked(c.Danger.Words()))
	}
	for _, g := range c.Groups {
		fmt.Fprintf(&b, "## %s\n\n", marked(g.Heading))
		for _, ln := range g.Lines {
			b.WriteString(markdownLine(ln))
		}
		if g.Boxed {
			b.WriteString(markdownFront(c))
		}
	}
	fmt.Fprintf(&b, "- [ ] %s\n", marked(c.Complete))
	return b.String()
}

// markdownFront is what stands under the box.
func markdownFront(c Card) string {
	var b strings.Builder
	for _, p := range c.Phones {
		number := orLine(p.Number)
		if p.Number != "" {
			number = "[" + marked(p.Number) + "](" + telephone(p.Number) + ")"
		} else {
			number = marked(number)
		}
		fmt.Fprintf(&b, "- **%s** %s %s\n", marked(p.Role), marked(p.Name), number)
	}
	b.WriteString("\n")
	if t := c.Water; t != nil {
		b.WriteString("**The water tonight" + t.Here() + "**\n\n| row | litres | from | begin | clock |\n| --- | --- | --- | --- | --- |\n")
		for _, r := range t.Rows {
			fmt.Fprintf(&b, "| %d | %s | %s | %s | %s |\n", r.N, marked(r.Litres), marked(r.Store), marked(r.When), marked(r.Clock))
		}
		b.WriteString("\n**" + marked(t.Verdict) + "**\n\n")
	}
	b.WriteString("Goal: " + marked(c.Goal) + "\n\n" + marked(c.stamp()) + "\n\n")
	return b.String()
}

// MarkdownLast is the last page.
func MarkdownLast(cards ...Card) string {
	var b strings.Builder
	b.WriteString("# For whoever prints these cards\n\n")
	for _, p := range LastPage(cards...) {
		if p.Heading != "" {
			b.WriteString("## " + marked(p.Heading) + "\n\n")
		}
		for _, l := range p.Lines {
			b.WriteString("- " + marked(l) + "\n")
		}
		b.WriteString("\n")
	}
	return b.String()
}

// telephone is a link that dials: digits, and a plus at the front.
func telephone(number string) string {
	var b strings.Builder
	for i, r := range number {
		if r >= '0' && r <= '9' || r == '+' && i == 0 {
			b.WriteRune(r)
		}
	}
	return "tel:" + b.String()
}

// markdownLine is one line with the empty line behind it.
func markdownLine(ln Line) string {
	switch ln.Kind {
	case CautionLine:
		return fmt.Sprintf("> **%s** %s\n\n", ln.Caution.Signal, marked(ln.Caution.Words()))
	case NoteLine:
		return marked(ln.Text) + "\n\n"
	case TableLine:
		return markdownTable(*ln.Table)
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
