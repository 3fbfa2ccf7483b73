package refs

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strings"
	"sync"
)

//go:embed stoichiometry.csv
var stoichiometryText string

// Ratio is a chemical ratio: how much of one substance answers to another.
type Ratio struct {
	ID       string  `json:"id"`
	Quantity string  `json:"quantity"`
	Value    float64 `json:"value"`
	Unit     string  `json:"unit"`
	Reaction string  `json:"reaction,omitempty"`
	Source   string  `json:"source"`
	Basis    string  `json:"basis"`
}

// Stoichiometry returns every ratio in the order of the table. Where published
// doses disagree (thiosulfate against chlorine: 0.875 to 7.0 by product, 1.9 in
// the field, 5 in sample-bottle practice) all are listed.
func Stoichiometry() []Ratio { return ratioTable() }

var ratioTable = sync.OnceValue(func() []Ratio {
	rows, err := csv.NewReader(strings.NewReader(stoichiometryText)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("embedded stoichiometry.csv: %v", err)) // held by a test
	}
	var out []Ratio
	for _, r := range rows[1:] {
		out = append(out, Ratio{ID: r[0], Quantity: r[1], Value: must(r[2]), Unit: r[3], Reaction: r[4], Source: r[5], Basis: r[6]})
	}
	return out
})

// RatioByID returns the ratio with the id.
func RatioByID(id string) (Ratio, bool) {
	for _, r := range Stoichiometry() {
		if r.ID == id {
			return r, true
		}
	}
	return Ratio{}, false
}
