package playbook

import (
	"fmt"
	"strings"
)

// Markdown writes cards in Markdown; the function keeps text from being read as HTML or a
// link, and is the one that the other answers of the program pass through.
type Markdown func(string) string

// Card is the card with task-list boxes, numbers and tables.
func (safe Markdown) Card(c Card) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n", safe.Text(c.Title))
	if c.Fault != "" {
		fmt.Fprintf(&b, "> **%s**\n\n", safe.Text(c.Fault))
	}
	for _, t := range []string{c.When(), c.NotWhen} {
		if t != "" {
			b.WriteString(safe.Text(t) + "\n\n")
		}
	}
	if c.Danger != nil {
		fmt.Fprintf(&b, "> **%s** %s\n\n", c.Danger.Signal, safe.Text(c.Danger.Words()))
	}
	for _, g := range c.Groups {
		fmt.Fprintf(&b, "## %s\n\n", safe.Text(g.Heading))
		for _, ln := range g.Lines {
			b.WriteString(safe.line(ln))
		}
		if g.Boxed {
			b.WriteString(safe.front(c))
		}
	}
	fmt.Fprintf(&b, "- [ ] %s\n", safe.Text(c.Complete))
	return b.String()
}

// front is what stands under the box.
func (safe Markdown) front(c Card) string {
	var b strings.Builder
	for _, p := range c.Phones {
		number := orLine(p.Number)
		if p.Number != "" {
			number = "[" + safe.Text(p.Number) + "](" + telephone(p.Number) + ")"
		} else {
			number = safe.Text(number)
		}
		fmt.Fprintf(&b, "- **%s** %s %s\n", safe.Text(p.Role), safe.Text(p.Name), number)
	}
	b.WriteString("\n")
	if t := c.Water; t != nil {
		b.WriteString("**The water tonight" + safe.Text(t.Here()) + "**\n\n| row | litres | from | begin | clock |\n| --- | --- | --- | --- | --- |\n")
		for _, r := range t.Rows {
			fmt.Fprintf(&b, "| %d | %s | %s | %s | %s |\n", r.N, safe.Text(r.Litres), safe.Text(r.Store), safe.Text(r.When), safe.Text(r.Clock))
		}
		b.WriteString("\n**" + safe.Text(t.Verdict) + "**\n\n")
	}
	b.WriteString("Goal: " + safe.Text(c.Goal) + "\n\n" + safe.Text(c.stamp()) + "\n\n")
	return b.String()
}

// Last is the last page.
func (safe Markdown) Last(cards ...Card) string {
	var b strings.Builder
	b.WriteString("# For whoever prints these cards\n\n")
	for _, p := range LastPage(cards...) {
		if p.Heading != "" {
			b.WriteString("## " + safe.Text(p.Heading) + "\n\n")
		}
		for _, l := range p.Lines {
			b.WriteString("- " + safe.Text(l) + "\n")
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

// line is one line with the empty line behind it.
func (safe Markdown) line(ln Line) string {
	switch ln.Kind {
	case CautionLine:
		return fmt.Sprintf("> **%s** %s\n\n", ln.Caution.Signal, safe.Text(ln.Caution.Words()))
	case NoteLine:
		return safe.Text(ln.Text) + "\n\n"
	case TableLine:
		return safe.table(*ln.Table)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "- [ ] **%d** %s\n", ln.Number, safe.Text(ln.Spoken()))
	for _, u := range ln.under() {
		fmt.Fprintf(&b, "  - %s\n", safe.Text(u))
	}
	b.WriteString("\n")
	return b.String()
}

func (safe Markdown) table(t Table) string {
	var b strings.Builder
	head, rule := make([]string, len(t.Header)), make([]string, len(t.Header))
	for i, h := range t.Header {
		head[i], rule[i] = safe.Text(h), "---"
	}
	if t.Ticks {
		head, rule = append([]string{"done"}, head...), append(rule, "---")
	}
	if t.Title != "" {
		fmt.Fprintf(&b, "**%s**\n\n", safe.Text(t.Title))
	}
	fmt.Fprintf(&b, "| %s |\n| %s |\n", strings.Join(head, " | "), strings.Join(rule, " | "))
	for _, r := range t.Rows {
		row := make([]string, 0, len(r)+1)
		if t.Ticks {
			row = append(row, "[ ]")
		}
		for _, c := range r {
			row = append(row, safe.Text(c))
		}
		fmt.Fprintf(&b, "| %s |\n", strings.Join(row, " | "))
	}
	b.WriteString("\n")
	return b.String()
}

// Text keeps blanks and other characters from being read as markup.
func (safe Markdown) Text(s string) string {
	return strings.NewReplacer("_", `\_`, "|", `\|`, "`", "\\`").Replace(safe(s))
}
