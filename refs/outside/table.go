package outside

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"
)

// Row is a row of a table of published values by the names of its columns.
type Row struct {
	t      testing.TB
	file   string
	fields map[string]string
}

// Table are the rows of a CSV file, one at the least: lines beginning with # are remarks,
// the first other line names the columns. A file or a column that is not there ends the test.
func Table(t testing.TB, file string) []Row {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil || len(records) < 2 {
		t.Fatalf("%s: %d rows: %v", file, len(records), err)
	}
	rows := make([]Row, len(records)-1)
	for i, record := range records[1:] {
		rows[i] = Row{t, file, map[string]string{}}
		for c, column := range records[0] {
			rows[i].fields[column] = record[c]
		}
	}
	return rows
}

// Text is what stands in a column.
func (r Row) Text(column string) string {
	r.t.Helper()
	text, ok := r.fields[column]
	if !ok {
		r.t.Fatalf("%s has no column %q", r.file, column)
	}
	return text
}

// Number is the number that stands in a column.
func (r Row) Number(column string) float64 {
	r.t.Helper()
	return Number(r.t, r.Text(column))
}

// Number is a number as a table or another program writes it.
func Number(t testing.TB, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
