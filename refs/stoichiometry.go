package refs

import (
	_ "embed"
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
	var out []Ratio
	for _, r := range embedded("stoichiometry.csv", stoichiometryText) {
		out = append(out, Ratio{ID: r.text("id"), Quantity: r.text("quantity"), Value: r.number("value"), Unit: r.text("unit"),
			Reaction: r.text("reaction"), Source: r.text("source"), Basis: r.text("basis")})
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
