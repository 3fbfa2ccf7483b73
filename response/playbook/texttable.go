package playbook

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// textTable prints a table in columns, with a box to tick before each row where
// the table has them. Cells too wide are wrapped.
func textTable(t Table) []string {
	const indent = 8
	if record, ok := records[t.Name]; ok {
		return textRecords(t, record)
	}
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

// records are the tables of eight columns, which 80 letters do not hold: each row is a sentence,
// and every vat of a row of changes a line of its own.
var records = map[string]func(header, row []string) string{
	"changes": func(header, row []string) string {
		vat := row[2] + ": " + row[3] + " " + strings.TrimPrefix(header[3], "vat ") + ", salt " + row[4]
		if row[0] == andRow {
			if row[6] != none {
				vat += ", " + row[6]
			}
			return vat
		}
		if row[0] == noRow {
			return "No row: " + row[2] + "."
		}
		after := row[5]
		if strings.HasPrefix(after, "+") {
			after += " after last began"
		}
		return row[1] + ", " + after + ", drain + fill " + row[6] + ", began " + row[7] + "\n" + vat
	},
	"batches": func(_, row []string) string {
		out := []string{row[2], row[1]}
		switch {
		case row[3] != none && row[4] != none:
			out = append(out, row[3]+" + "+row[4])
		case row[3] != none:
			out = append(out, row[3])
		}
		for _, cell := range row[5:] {
			if cell != none {
				out = append(out, cell)
			}
		}
		return strings.Join(out, ", ")
	},
}

// recordHeads say what stands in the rows of a table of records whose words do not.
var recordHeads = map[string]string{"batches": "batch: vat, begin (from start), purified water + salt, vat salt, ready, clock"}

// textRecords prints a table row by row; a line more of the row before has no box.
func textRecords(t Table, record func(header, row []string) string) []string {
	pad := strings.Repeat(" ", 8)
	var out []string
	if t.Title != "" {
		out = append(out, wrapped(t.Title, pad, pad)...)
	}
	if head := recordHeads[t.Name]; head != "" {
		out = append(out, wrapped(head, pad[:4], pad)...)
	}
	for _, r := range t.Rows {
		lead := pad + "   "
		if r[0] != andRow && r[0] != noRow {
			lead = fmt.Sprintf("    [ ] %-2s ", r[0])
			if len(r[0]) > 2 { // what is done to a vat, not a number
				lead = "    [ ] " + r[0] + ": "
			}
		}
		for _, part := range strings.Split(record(t.Header, r), "\n") {
			out = append(out, wrapped(part, lead, pad+"     ")...)
			lead = pad + "   "
		}
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
