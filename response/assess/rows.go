package assess

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Fault is one thing wrong with a report, with its place.
type Fault struct {
	File         string
	Line, Column int
	Message      string
}

func (f Fault) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s", f.File, f.Line, f.Column, f.Message)
}

// What a report may be: a laboratory's is a few kilobytes and some fifty lines.
const (
	maxReport = 1 << 20 // bytes
	maxLines  = 2000    // lines that are not blank
	maxField  = 300     // characters
	maxCells  = 200     // fields on a line
)

// cell is one field with the column it begins in, from 1, in characters.
type cell struct {
	text   string
	column int
}

// row is one line of the report cut into fields; broken says that its quotation
// marks do not match.
type row struct {
	line   int // from 1
	cells  []cell
	broken int // column of the mark that is not closed; 0: none
}

// at is the text of a field, "" beyond the end of the row, and its column.
func (r row) at(i int) (string, int) {
	if i < 0 || i >= len(r.cells) {
		return "", 1
	}
	return r.cells[i].text, r.cells[i].column
}

// cutLine cuts a line at the separator, outside of double quotation marks; two of
// them inside a quoted field are one. What stands behind maxCells fields is one more.
func cutLine(number int, text string, separator rune) row {
	r := row{line: number}
	var field strings.Builder
	start, column, quoted, opened := 1, 0, false, 0
	flush := func(next int) {
		r.cells = append(r.cells, cell{strings.TrimSpace(strings.ReplaceAll(field.String(), "\u00a0", " ")), start})
		field.Reset()
		start = next
	}
	runes := []rune(text)
	for i := 0; i < len(runes); i++ {
		c := runes[i]
		column = i + 1
		switch {
		case quoted && c == '"' && i+1 < len(runes) && runes[i+1] == '"':
			field.WriteRune('"')
			i++
		case quoted && c == '"':
			quoted = false
		case !quoted && c == '"' && strings.TrimSpace(field.String()) == "":
			quoted, opened = true, column
		case !quoted && c == separator && len(r.cells) < maxCells:
			flush(column + 1)
		default:
			field.WriteRune(c)
		}
	}
	flush(column + 1)
	if quoted {
		r.broken = opened
	}
	return r
}

// rowsOf cuts a text into rows, leaving out blank lines, lines of separators alone
// and lines that begin with #.
func rowsOf(text string, separator rune) []row {
	var out []row
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	for i, line := range strings.Split(text, "\n") {
		plain := strings.TrimSpace(line)
		if strings.Trim(plain, ",; \t") == "" || strings.HasPrefix(plain, "#") {
			continue
		}
		out = append(out, cutLine(i+1, line, separator))
		if len(out) > maxLines {
			break // tooMany says so
		}
	}
	return out
}

// tooMuch refuses a report that is larger than any laboratory writes, before time is
// spent on it.
func tooMuch(name string, size int) error {
	if size > maxReport {
		return fmt.Errorf("%s: %d bytes; a report has at most %d", name, size, maxReport)
	}
	return nil
}

// tooMany refuses too many rows or too long a field.
func tooMany(name string, rows []row) error {
	if len(rows) > maxLines {
		return Fault{name, rows[maxLines].line, 1, fmt.Sprintf("more than %d lines; leave in those of one sample", maxLines)}
	}
	for _, r := range rows {
		for _, c := range r.cells {
			if n := utf8.RuneCountInString(c.text); n > maxField {
				return Fault{name, r.line, c.column, fmt.Sprintf("a field of %d characters, %s; at most %d", n, shown(c.text), maxField)}
			}
		}
	}
	return nil
}

// shown quotes what was read, cut to a length that fits a line.
func shown(text string) string {
	const most = 40
	if utf8.RuneCountInString(text) <= most {
		return fmt.Sprintf("%q", text)
	}
	return fmt.Sprintf("%q …", string([]rune(text)[:most]))
}
