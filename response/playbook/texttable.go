package playbook

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// textTable prints a table in columns, with a box to tick before each row where
// the table has them. Cells too wide are wrapped.
func textTable(t Table) []string {
	const indent = 8
	widths, words := make([]int, len(t.Header)), make([]int, len(t.Header))
	for i := range t.Header {
		for _, r := range append([][]string{t.Header}, t.Rows...) {
			widths[i] = max(widths[i], utf8.RuneCountInString(r[i]))
			for _, w := range strings.Fields(r[i]) {
				words[i] = max(words[i], utf8.RuneCountInString(w))
			}
		}
	}
	fit(widths, words, TextWidth-4-indent-2*(len(widths)-1))
	pad := strings.Repeat(" ", indent)
	var out []string
	if t.Title != "" {
		out = append(out, wrapped(t.Title, pad, pad)...)
	}
	out = append(out, cells(t.Header, widths, pad, pad)...)
	rule := make([]string, len(widths))
	for i, w := range widths {
		rule[i] = strings.Repeat("-", w)
	}
	out = append(out, pad+strings.Join(rule, "  "))
	first := pad
	if t.Ticks {
		first = "    [ ] "
	}
	for _, r := range t.Rows {
		out = append(out, cells(r, widths, first, pad)...)
	}
	return out
}

// fit narrows the widest columns until all of them fit in room: first those that
// are wider than their longest word, so that a date stays whole, then any.
func fit(widths, words []int, room int) {
	for {
		sum, widest := 0, -1
		for i, w := range widths {
			sum += w
			if w > words[i] && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if sum <= room {
			return
		}
		if widest < 0 {
			widest = slices.Index(widths, slices.Max(widths))
		}
		if widths[widest] <= 4 {
			return
		}
		widths[widest]--
	}
}

// cells prints one row over as many lines as its tallest cell needs.
func cells(row []string, widths []int, first, rest string) []string {
	parts := make([][]string, len(row))
	height := 1
	for i, c := range row {
		parts[i] = wrapTo(c, widths[i])
		height = max(height, len(parts[i]))
	}
	var out []string
	for n := range height {
		var b strings.Builder
		for i := range row {
			part := ""
			if n < len(parts[i]) {
				part = parts[i][n]
			}
			if i > 0 {
				b.WriteString("  ")
			}
			b.WriteString(part + strings.Repeat(" ", max(0, widths[i]-utf8.RuneCountInString(part))))
		}
		lead := rest
		if n == 0 {
			lead = first
		}
		out = append(out, strings.TrimRight(lead+b.String(), " "))
	}
	return out
}

// wrapTo breaks a cell at blanks, and a word longer than the column at the column.
func wrapTo(s string, width int) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(s) {
		for utf8.RuneCountInString(word) > width {
			r := []rune(word)
			if line != "" {
				out, line = append(out, line), ""
			}
			out, word = append(out, string(r[:width])), string(r[width:])
		}
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width:
			out, line = append(out, line), word
		default:
			line += " " + word
		}
	}
	return append(out, line)
}
