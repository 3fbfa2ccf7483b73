package site

import (
	"cmp"
	"slices"

	"tidehold/refs"
)

// Defaults lists every fixed default of the site file: its path, value and basis,
// by path. A default that follows from other values of a file is listed only
// with the file, under its assumptions.
func Defaults() []refs.Assumption {
	var out []refs.Assumption
	for path, p := range presets() {
		out = append(out, refs.Assumption{What: path, Value: p.text, Source: p.basis})
	}
	for path, p := range fishPresets() {
		out = append(out, refs.Assumption{What: path + " of fish", Value: p.text, Source: p.basis})
	}
	slices.SortFunc(out, func(a, b refs.Assumption) int { return cmp.Compare(a.What, b.What) })
	return out
}
