package refs

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strings"
	"sync"
)

//go:embed plausible.csv
var plausibleText string

// Plausible is how far from the value that is assumed a key of the site file may really
// be, and how to find out.
type Plausible struct {
	// Path is the key with the ids left out: stores.heel.
	Path string `json:"path"`
	// Low and High are the ends of the range, written as in a site file.
	Low  string `json:"low"`
	High string `json:"high"`
	// Basis says what the range rests on, Measure how a keeper finds the value.
	Basis   string `json:"basis"`
	Measure string `json:"measure"`
}

// PlausibleRange is the range for a path with the ids left out; false where none is
// known: a matter of choice, or one that a look decides.
func PlausibleRange(path string) (Plausible, bool) {
	p, ok := plausible()[path]
	return p, ok
}

// PlausibleRanges are all of them, in the order of the table.
func PlausibleRanges() []Plausible {
	rows := plausibleRows()
	out := make([]Plausible, 0, len(rows))
	for _, r := range rows {
		out = append(out, Plausible{Path: r[0], Low: r[1], High: r[2], Basis: r[3], Measure: r[4]})
	}
	return out
}

var plausible = sync.OnceValue(func() map[string]Plausible {
	out := map[string]Plausible{}
	for _, p := range PlausibleRanges() {
		out[p.Path] = p
	}
	return out
})

// plausibleRows reads the embedded table; a table that cannot be read is a fault of
// the program, which its tests find.
func plausibleRows() [][]string {
	r := csv.NewReader(strings.NewReader(plausibleText))
	r.FieldsPerRecord = 5
	rows, err := r.ReadAll()
	if err != nil {
		panic(fmt.Sprintf("plausible.csv: %v", err))
	}
	return rows[1:]
}
