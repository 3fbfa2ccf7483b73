package refs

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

// record is one row of an embedded table, read by the headings of its columns: a column
// put in between moves nothing.
type record struct {
	table  string
	column map[string]int
	cells  []string
}

// embedded reads an embedded CSV table; name is that of its file. A table that cannot be
// read is a fault of the program, which its tests find.
func embedded(name, text string) []record {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("embedded %s: %v", name, err))
	}
	column := map[string]int{}
	for i, heading := range rows[0] {
		column[heading] = i
	}
	out := make([]record, len(rows)-1)
	for i, cells := range rows[1:] {
		out[i] = record{name, column, cells}
	}
	return out
}

// text is the cell of a column.
func (r record) text(column string) string {
	i, ok := r.column[column]
	if !ok {
		panic(fmt.Sprintf("embedded %s: it has no column %q", r.table, column))
	}
	return r.cells[i]
}

// number is the cell of a column that holds one.
func (r record) number(column string) float64 {
	v, err := strconv.ParseFloat(r.text(column), 64)
	if err != nil {
		panic(fmt.Sprintf("embedded %s: %v", r.table, err))
	}
	return v
}

// optional is the cell of a column that may be empty; nil where it is.
func (r record) optional(column string) *float64 {
	if r.text(column) == "" {
		return nil
	}
	v := r.number(column)
	return &v
}
