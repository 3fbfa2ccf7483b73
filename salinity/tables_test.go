package salinity

import (
	"bufio"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"tidehold/refs/outside"
)

// readTable reads a table of testdata/tables: comment lines begin with #, the first
// other line names the columns.
func readTable(t *testing.T, name string) []map[string]string {
	t.Helper()
	text, err := os.ReadFile("../testdata/tables/" + name)
	if err != nil {
		t.Fatal(err)
	}
	var data strings.Builder
	for sc := bufio.NewScanner(strings.NewReader(string(text))); sc.Scan(); {
		if !strings.HasPrefix(sc.Text(), "#") {
			data.WriteString(sc.Text() + "\n")
		}
	}
	r := csv.NewReader(strings.NewReader(data.String()))
	r.FieldsPerRecord = -1
	records, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if len(records) < 2 {
		t.Fatalf("%s has no rows", name)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, field := range record {
			row[records[0][i]] = field
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

var near = outside.Near

// worst follows the largest difference of a comparison.
type worst struct {
	n     int
	at    string
	delta float64
}

func (w *worst) see(at string, got, want float64) {
	w.n++
	if d := math.Abs(got - want); !(d <= w.delta) {
		w.delta, w.at = d, at
	}
}

func (w *worst) within(t *testing.T, what string, tolerance float64) {
	t.Helper()
	if w.n == 0 {
		t.Errorf("%s: compared nothing", what)
	}
	if !(w.delta <= tolerance) {
		t.Errorf("%s: differs by %g at %s, more than %g", what, w.delta, w.at, tolerance)
	}
	t.Logf("%s: %d compared, worst %.3g at %s, allowed %g", what, w.n, w.delta, w.at, tolerance)
}
