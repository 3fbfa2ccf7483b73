package refs

import (
	_ "embed"
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
	rows := embedded("plausible.csv", plausibleText)
	out := make([]Plausible, len(rows))
	for i, r := range rows {
		out[i] = Plausible{Path: r.text("path"), Low: r.text("low"), High: r.text("high"), Basis: r.text("basis"), Measure: r.text("measure")}
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
