package playbook

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// TextWidth is the line length of the plain-text form.
const TextWidth = 80

// textLines is how many lines a page of the plain-text form has at most, for
// paper with 60 lines of print.
const textLines = 58

// Text is the sheet as plain text at 80 columns, in pages: a header, boxes to
// tick at the left, numbers, cautions in frames, and a footer with the page
// number. Pages break between blocks.
func Text(s Sheet) string {
	var pages [][]string
	page := textHead(s)
	for _, g := range s.Groups {
		lines := textGroup(g)
		if len(page) > 0 && len(page)+len(lines) > textLines-4 {
			pages, page = append(pages, page), nil
		}
		page = append(page, lines...)
	}
	tail := textTail(s)
	if len(page)+len(tail) > textLines-4 {
		pages, page = append(pages, page), nil
	}
	pages = append(pages, append(page, tail...))
	var b strings.Builder
	for i, p := range pages {
		if i > 0 {
			b.WriteString(textRunning(s) + "\n\n")
		}
		b.WriteString(strings.Join(p, "\n") + "\n")
		if i < len(pages)-1 {
			b.WriteString("\n" + strings.Join(wrapped(strings.Join(s.Footer, " "), "", ""), "\n") + "\n")
			b.WriteString(between("continues on the next page", fmt.Sprintf("page %d of %d", i+1, len(pages))) + "\n\n")
		}
	}
	return b.String()
}

// textHead is the top of the first page.
func textHead(s Sheet) []string {
	out := []string{strings.Repeat("=", TextWidth)}
	out = append(out, wrapped(s.Title, "", "")...)
	out = append(out, strings.Repeat("=", TextWidth))
	for _, n := range s.Notices {
		out = append(out, wrapped(n, "! ", "  ")...)
	}
	if len(s.Notices) > 0 {
		out = append(out, "")
	}
	out = append(out, wrapped(s.UseWhen, "", "")...)
	if s.NotWhen != "" {
		out = append(out, wrapped(s.NotWhen, "", "")...)
	}
	out = append(out, wrapped("Goal: "+s.Goal, "", "")...)
	if s.Stock != "" {
		out = append(out, wrapped(s.Stock, "", "")...)
	}
	out = append(out, wrapped(s.stamp(), "", "")...)
	return append(out, "")
}

// textRunning heads every page after the first.
func textRunning(s Sheet) string {
	if utf8.RuneCountInString(s.Title+s.where()) < TextWidth {
		return between(s.Title, s.where())
	}
	return s.Title + "\n" + s.where()
}

// where names site and system.
func (s Sheet) where() string {
	switch {
	case s.System == "":
		return "system: ____________"
	case s.Site == "":
		return "system: " + s.System
	}
	return s.Site + ", system " + s.System
}

// stamp is what tells one edition of a sheet from another.
func (s Sheet) stamp() string {
	return fmt.Sprintf("%s. Version %d, reviewed %s, valid until %s, printed %s.",
		upperFirst(s.where()), s.Version, s.Reviewed.Format("2006-01-02"), s.ValidUntil.Format("2006-01-02"), s.Printed.Format("2006-01-02"))
}

func upperFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(string(r)) + s[n:]
}

// textTail is the footer and, last of all, the completion line.
func textTail(s Sheet) []string {
	var out []string
	for _, f := range s.Footer {
		out = append(out, wrapped(f, "", "")...)
	}
	return append(out, "", "[ ] "+s.Complete)
}

// textGroup is one block.
func textGroup(g Group) []string {
	head := g.Heading
	if !g.Boxed {
		head += " (" + string(g.Role) + ")"
	}
	var body []string
	for _, ln := range g.Lines {
		body = append(body, textLine(ln)...)
	}
	if g.Boxed {
		return boxed(head, body)
	}
	out := []string{head, strings.Repeat("-", utf8.RuneCountInString(head))}
	return append(append(out, body...), "")
}

// textLine prints one line of a block, wrapped with its text aligned.
func textLine(ln Line) []string {
	const margin = "        "
	switch ln.Kind {
	case CautionLine:
		c := ln.Caution
		return wrapped(fmt.Sprintf("%s: %s %s %s", c.Signal, c.Hazard, c.Consequence, c.Avoid), "  !! ", "  !! ")
	case NoteLine:
		return wrapped(ln.Text, margin, margin)
	case TableLine:
		return textTable(*ln.Table)
	case FigureLine:
		return nil
	}
	out := wrapped(ln.Spoken(), fmt.Sprintf("[ ] %2d  ", ln.Number), margin)
	for _, u := range ln.under() {
		if strings.HasPrefix(u, "Yes: ") {
			u = strings.NewReplacer("Yes:", "[ ] Yes:", "No:", "[ ] No:").Replace(u)
		}
		out = append(out, wrapped(u, margin, margin)...)
	}
	return out
}

// exit is where a decision leads.
func exit(step int) string {
	switch step {
	case 0:
		return "to the last line"
	case -1:
		return "NOWHERE"
	}
	return fmt.Sprintf("step %d", step)
}

func lowerFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return strings.ToLower(string(r)) + s[n:]
}

// boxed draws the frame of the immediate block; its lines are wrapped to fit it.
func boxed(head string, body []string) []string {
	edge := "+" + strings.Repeat("-", TextWidth-2) + "+"
	out := []string{edge, framed(head)}
	for _, s := range body {
		out = append(out, framed(s))
	}
	return append(out, edge, "")
}

// framed pads a line between the sides of the frame.
func framed(s string) string {
	return "| " + s + strings.Repeat(" ", max(0, TextWidth-4-utf8.RuneCountInString(s))) + " |"
}

// between puts one text at the left and one at the right of a line.
func between(left, right string) string {
	room := TextWidth - utf8.RuneCountInString(left) - utf8.RuneCountInString(right)
	if room < 1 {
		return left + " " + right
	}
	return left + strings.Repeat(" ", room) + right
}

// wrapped breaks text at blanks to the width less the frame, the first line with
// one prefix and the others with another.
func wrapped(text, first, rest string) []string {
	const width = TextWidth - 4
	var out []string
	line, empty := first, true
	for _, word := range phrases(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			out = append(out, line)
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	return append(out, line)
}

// phrases splits a text at its blanks, but keeps a number with its unit.
func phrases(text string) []string {
	var out []string
	for _, w := range strings.Fields(text) {
		if n := len(out); n > 0 && len(w) <= 5 && endsInNumber(out[n-1]) {
			out[n-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

// glued is a text in which a number and its unit do not part at the end of a line.
func glued(text string) string {
	parts := phrases(text)
	for i, p := range parts {
		parts[i] = strings.ReplaceAll(p, " ", "\u00a0")
	}
	return strings.Join(parts, " ")
}

// endsInNumber says that a word is a number or a blank, so that a unit follows.
func endsInNumber(w string) bool {
	last := w[len(w)-1]
	return (last >= '0' && last <= '9' || last == '_') && !strings.Contains(w, " ")
}
