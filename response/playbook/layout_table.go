package playbook

import "strings"

// cellPadding is what a cell takes beside its text, with its rule.
const cellPadding = 7

// boldShare is how much wider bold letters are, fieldWidth what a cell to write in takes and tickHeight a row
// with a box, points: measured.
const (
	boldShare  = 1.12
	fieldWidth = 42
	tickHeight = 20
)

// columns shares the width of a table as browsers do: each column has its longest phrase, and what is left goes
// by how much more its longest cell asks for.
// Source: W3C, CSS 2.1, 17.5.2.2 (automatic table layout).
func (l Layout) columns(t Table, wide float64) []float64 {
	least, ask := make([]float64, len(t.Header)), make([]float64, len(t.Header))
	left, more := wide, 0.0
	for i := range t.Header {
		for k, row := range append([][]string{t.Header}, t.Rows...) {
			size := l.TablePt
			if k == 0 {
				size *= boldShare
			}
			if strings.Contains(row[i], "__") {
				least[i], ask[i] = max(least[i], fieldWidth), max(ask[i], fieldWidth)
				continue
			}
			for _, word := range phrases(row[i]) {
				least[i] = max(least[i], l.wide(word, size))
			}
			ask[i] = max(ask[i], l.wide(row[i], size))
		}
		left -= least[i] + cellPadding
		more += ask[i] - least[i]
	}
	for i := range least {
		if more > 0 {
			least[i] += max(0, left) * (ask[i] - least[i]) / more
		}
	}
	return least
}

// tableHeight allows for cells that wrap.
func (l Layout) tableHeight(t Table) float64 {
	wide, _ := l.room()
	if t.Ticks {
		wide -= 36
	}
	columns := l.columns(t, wide)
	row := func(cells []string, ticked bool) float64 {
		most := 1.0
		for i, c := range cells {
			if !strings.Contains(c, "__") { // what is written in has one line
				most = max(most, l.linesOf(c, l.TablePt, columns[i]))
			}
		}
		h := most*l.TablePt*l.LineHeight + 1
		if ticked {
			h = max(h, tickHeight)
		}
		return h
	}
	h := 4 + row(t.Header, false)
	if t.Title != "" {
		h += l.linesOf(t.Title, l.TablePt, wide)*l.TablePt*l.LineHeight + 4
	}
	for i, r := range t.Rows {
		h += row(r, t.ticked(i))
	}
	return h + gap
}
