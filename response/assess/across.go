package assess

import (
	"fmt"
	"slices"
	"strings"
)

// leastAcross is how many analytes must stand beside each other for a line to be the
// headings of a report that goes across.
const leastAcross = 3

// across reads a report whose analytes stand beside each other, one sample a line, with
// their units in brackets behind the names or on a line of their own. It turns the one
// sample into rows as findLayout gives them. second is the line of a second sample, 0 for
// none: nobody guesses which is meant.
func across(text string) (s sheet, second int, ok bool) {
	for _, c := range separators {
		rows := rowsOf(text, c)
		for i, head := range top(rows) {
			if named(head) < leastAcross || i+1 >= len(rows) {
				continue
			}
			rest := rows[i+1:]
			unitRow := row{}
			if unitsIn(rest[0]) > 0 && !numbersIn(rest[0]) && len(rest) > 1 {
				unitRow, rest = rest[0], rest[1:]
			}
			samples := slices.DeleteFunc(slices.Clone(rest), func(r row) bool { return len(r.cells) < leastAcross })
			if len(samples) == 0 {
				continue
			}
			if len(samples) > 1 {
				second = samples[1].line
			}
			return sheet{turned(rows[:i], head, unitRow, samples[0]), c, acrossLayout(i)}, second, true
		}
	}
	return sheet{}, 0, false
}

// acrossLayout is the layout of turned rows, whose title lines are the first.
func acrossLayout(titles int) layout {
	return layout{at: map[role]int{analyteColumn: 0, valueColumn: 1, unitColumn: 2}, body: titles + 2}
}

// numbersIn reports whether a cell is a number.
func numbersIn(r row) bool {
	return slices.ContainsFunc(r.cells, func(c cell) bool { _, ok := numeral(c.text); return ok })
}

// named counts the cells that name an analyte of the tables.
func named(r row) int {
	n := 0
	for _, c := range r.cells {
		if len(c.text) < maxField {
			if a, ok := find(bare(c.text)); ok && a.why == "" {
				n++
			}
		}
	}
	return n
}

// unitsIn counts the cells that are units.
func unitsIn(r row) int {
	n := 0
	for _, c := range r.cells {
		if factorKnown(strings.Trim(c.text, "[]()")) {
			n++
		}
	}
	return n
}

// bare is a heading without a unit in brackets behind it, and inBrackets that unit.
func bare(heading string) string {
	name, _ := unitBehind(heading)
	return name
}

func unitBehind(heading string) (name, unit string) {
	if i := strings.LastIndexAny(heading, "[("); i > 0 {
		if u := strings.Trim(strings.TrimSpace(heading[i:]), "[]()"); factorKnown(u) {
			return strings.TrimSpace(heading[:i]), u
		}
	}
	return heading, ""
}

// turned lays one sample out in rows of analyte, value and unit; what stands under a
// heading for the date becomes a title line.
func turned(titles []row, head, unitRow, sample row) []row {
	date := row{line: sample.line}
	var body []row
	for i, h := range head.cells {
		value, column := sample.at(i)
		name, unit := unitBehind(h.text)
		if r, _, ok := roleOf(h.text); ok && r == sampledColumn {
			date.cells = []cell{{fmt.Sprintf("%s: %s", strings.TrimRight(h.text, ": "), value), column}}
			continue
		}
		if _, known := find(name); !known {
			continue // a number of the sample, the name of a client
		}
		if unit == "" {
			unit, _ = unitRow.at(i)
		}
		body = append(body, row{line: sample.line, cells: []cell{{name, column}, {value, column}, {strings.Trim(unit, "[]()"), column}}})
	}
	out := append(slices.Clone(titles), date, row{line: head.line})
	return append(out, body...)
}
