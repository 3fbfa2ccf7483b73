package playbook

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"tidehold/refs/units"
)

// TextWidth is the line length of the plain-text form.
const TextWidth = 80

// textLines is how many lines a page of the plain-text form has at most, for
// paper with 60 lines of print.
const textLines = 58

// Text is the card as plain text at 80 columns, in pages: the front with its line of
// danger, its box, numbers and the water tonight; then the blocks. Pages break
// between blocks.
func Text(c Card) string {
	pages := textPages(c)
	var b strings.Builder
	for i, p := range pages {
		if i > 0 {
			b.WriteString(textRunning(c) + "\n\n")
		}
		b.WriteString(strings.Join(p, "\n") + "\n")
		if i < len(pages)-1 {
			b.WriteString(between("continues on the next page", fmt.Sprintf("page %d of %d", i+1, len(pages))) + "\n\n")
		}
	}
	return b.String()
}

// textPages are the lines of each page of the plain text.
func textPages(c Card) [][]string {
	var pages [][]string
	page := textHead(c)
	begun := false
	tail := []string{"[ ] " + c.Complete}
	for i, g := range c.Groups {
		lines := textGroup(g)
		if g.Boxed {
			lines = append(lines, textFront(c)...)
		}
		// A block higher than a page stays under its title.
		room := textLines - 4
		if i == len(c.Groups)-1 {
			room += 2 - len(tail) // no line says that it goes on
		}
		if begun && len(page)+len(lines) > room {
			pages, page = append(pages, page), nil
		}
		page, begun = append(page, lines...), true
	}
	return append(pages, append(page, tail...))
}

// textHead is the top of the first page.
func textHead(c Card) []string {
	out := []string{strings.Repeat("=", TextWidth)}
	out = append(out, wrapped(c.Title, "", "")...)
	out = append(out, strings.Repeat("=", TextWidth))
	if c.Fault != "" {
		out = append(out, wrapped(c.Fault, "!! ", "!! ")...)
	}
	out = append(out, wrapped(c.When(), "", "")...)
	if c.NotWhen != "" {
		out = append(out, wrapped(c.NotWhen, "", "")...)
	}
	if c.Shared {
		out = append(out, wrapped("Goal: "+c.Goal, "", "")...)
	}
	if c.Danger != nil {
		out = append(out, wrapped(c.Danger.Words(), panel(c.Danger.Signal)+" ", "   ")...)
	}
	return append(out, "")
}

// textFront is what stands under the box.
func textFront(c Card) []string {
	var out []string
	for i, p := range c.Phones {
		lead := "PHONE  "
		if i > 0 {
			lead = "       "
		}
		out = append(out, lead+strings.TrimSpace(p.Role+" "+p.Name)+"  "+orLine(p.Number))
	}
	out = append(out, "")
	if t := c.Water; t != nil {
		out = append(out, "THE WATER TONIGHT ("+t.at+")")
		for _, r := range t.Rows {
			litres := r.Litres
			if strings.Contains(r.Store, " + ") {
				litres += ":" // a row of several vats begins with litres of its own, and read as a sum
			}
			row, clock := fmt.Sprintf("  %d  %-8s %s, %s", r.N, litres, r.Store, r.When), "clock "+r.Clock
			if utf8.RuneCountInString(row+clock) < TextWidth {
				out = append(out, between(row, clock))
				continue
			}
			// The clock stays with its blank, at the end of the last line that has the room.
			lines := wrapped(fmt.Sprintf("%-8s %s, %s", litres, r.Store, r.When), fmt.Sprintf("  %d  ", r.N), "     ")
			if last := len(lines) - 1; utf8.RuneCountInString(lines[last]+clock) < TextWidth {
				lines[last] = between(lines[last], clock)
			} else {
				lines = append(lines, between("", clock))
			}
			out = append(out, lines...)
		}
		out = append(out, wrapped(t.Verdict, "  ", "  ")...)
		out = append(out, "")
	}
	out = append(out, wrapped("Goal: "+c.Goal, "", "")...)
	return append(append(out, wrapped(c.stamp(), "", "")...), "")
}

// panel is the signal word as plain text shows it: solid, hatched, outlined, dotted.
func panel(s Signal) string {
	edge := map[Signal]string{Danger: "##", Warning: "//", CautionWord: "--", Notice: ".."}[s]
	return edge + " " + string(s) + " " + edge
}

// textRunning heads every page after the first.
func textRunning(c Card) string {
	if utf8.RuneCountInString(c.Title+c.where()) < TextWidth {
		return between(c.Title, c.where())
	}
	return c.Title + "\n" + c.where()
}

// where names site and system.
func (c Card) where() string {
	switch {
	case c.System == "":
		return "system: ____________"
	case c.Site == "":
		return "system: " + c.System
	}
	return c.Site + ", system " + c.System
}

// stamp is what tells one edition of a card from another.
func (c Card) stamp() string {
	return fmt.Sprintf("%s. Version %d, printed %s. %s %s", units.UpperFirst(c.where()), c.Version, c.Printed.Format("2006-01-02"), interrupted, tagged)
}

// LastPage is what whoever prints the cards should know: notices, blanks, kit, where
// the numbers come from. Each line stands once.
func LastPage(cards ...Card) []Paragraph {
	var out []Paragraph
	collect := func(heading string, lines func(Card) []string) {
		seen := map[string]bool{}
		p := Paragraph{Heading: heading}
		for _, c := range cards {
			for _, l := range lines(c) {
				if !seen[l] {
					seen[l] = true
					p.Lines = append(p.Lines, l)
				}
			}
		}
		if len(p.Lines) > 0 {
			out = append(out, p)
		}
	}
	collect("Before the day", func(c Card) []string { return append(c.Notices[:len(c.Notices):len(c.Notices)], absent(c, cards)...) })
	collect("Blanks, and what to measure", func(c Card) []string {
		var lines []string
		for _, b := range c.Blanks {
			lines = append(lines, strings.ReplaceAll(b.Field, "_", " ")+": "+b.Measure+".")
		}
		return lines
	})
	inOneLine := func(heading string, things []string) {
		if len(things) > 0 {
			out = append(out, Paragraph{Heading: heading, Lines: []string{units.UpperFirst(units.List(things, "")) + "."}})
		}
	}
	inOneLine("The kit these cards use", eachOnce(cards, func(c Card) []string { return c.Kit }))
	inOneLine("Of these the site's kit lacks", eachOnce(cards, func(c Card) []string { return c.Missing }))
	collect("Where the numbers come from", func(c Card) []string { return c.Basis })
	out = append(out, Paragraph{Heading: "Keep", Lines: []string{"Hang one copy at the panel and one at the tank, in a plastic sleeve. Review due " + due(cards) + "."}})
	return append(out, Paragraph{Lines: footer[2:]})
}

// namesCard finds the card of another event that a step names.
var namesCard = regexp.MustCompile(`\btake card ([A-Z][^.,:(]*[^.,:( ])`)

// absent says which cards of other events a card's steps name and these cards have not among them.
func absent(c Card, cards []Card) []string {
	var out []string
	for _, g := range c.Groups {
		for _, ln := range g.Lines {
			name := namesCard.FindStringSubmatch(ln.Text)
			if name == nil || slices.ContainsFunc(cards, func(d Card) bool { return strings.HasPrefix(d.Title, name[1]) }) {
				continue
			}
			out = append(out, c.Title+" names card "+name[1]+", which is not among these: print the binder (--all).")
		}
	}
	return out
}

// eachOnce lists the things of the cards, each once.
func eachOnce(cards []Card, things func(Card) []string) []string {
	var out []string
	for _, c := range cards {
		for _, k := range things(c) {
			if !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	return out
}

// due is the earliest day on which a card is to be read through again.
func due(cards []Card) string {
	first := ""
	for _, c := range cards {
		if d := c.Due.Format("2006-01-02"); first == "" || d < first {
			first = d
		}
	}
	return first
}

// Paragraph is a heading with lines.
type Paragraph struct {
	Heading string   `json:"heading"`
	Lines   []string `json:"lines"`
}

// TextLast is the last page as plain text.
func TextLast(cards ...Card) string {
	var b strings.Builder
	b.WriteString(strings.Repeat("=", TextWidth) + "\nFor whoever prints these cards\n" + strings.Repeat("=", TextWidth) + "\n")
	for _, p := range LastPage(cards...) {
		if p.Heading != "" {
			b.WriteString(p.Heading + "\n")
		}
		for _, l := range p.Lines {
			b.WriteString(strings.Join(wrapped(l, "  ", "  "), "\n") + "\n")
		}
	}
	return b.String()
}

// textGroup is one block.
func textGroup(g Group) []string {
	var body []string
	width := TextWidth - 1
	if g.Boxed {
		width = TextWidth - 4 // less the frame
	}
	for _, ln := range g.Lines {
		body = append(body, textLine(width, ln)...)
	}
	if g.Boxed {
		return boxed(g.Heading, body)
	}
	out := []string{g.Heading, strings.Repeat("-", utf8.RuneCountInString(g.Heading))}
	return append(append(out, body...), "")
}

// ring stands for "( ) " while a text is broken into lines: no line ends in "(".
const ring = "(\x1f)\x1f"

// textLine prints one line of a block, wrapped with its text aligned.
func textLine(width int, ln Line) []string {
	const margin = "        "
	switch ln.Kind {
	case CautionLine:
		return wrappedTo(width, ln.Caution.Words(), "     "+panel(ln.Caution.Signal)+" ", margin)
	case NoteLine:
		return wrappedTo(width, ln.Text, margin, margin)
	case TableLine:
		return textTable(*ln.Table)
	}
	text := ln.Spoken()
	if yes, no := ln.exits(); yes != "" {
		// An answer stays on one line with its ring.
		text += strings.ReplaceAll(" (_) Yes: "+yes+". (_) No: "+no+".", "(_) ", ring)
	}
	out := wrappedTo(width, text, fmt.Sprintf("[ ] %2d  ", ln.Number), margin)
	for i := range out {
		out[i] = strings.ReplaceAll(out[i], ring, "( ) ")
	}
	for _, u := range ln.small() {
		out = append(out, wrappedTo(width, u, margin, margin)...)
	}
	return out
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

// wrapped breaks text at blanks, the first line with one prefix and the others with another.
func wrapped(text, first, rest string) []string { return wrappedTo(TextWidth-1, text, first, rest) }

// wrappedTo is wrapped in so many letters.
func wrappedTo(width int, text, first, rest string) []string {
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
