package site

import (
	"cmp"
	"slices"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
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

// Respell writes a value of a key as a file in the given units would, as the assumptions of a
// site are: path is without ids, as in refs.Plausible. What is no quantity stays as it is.
func Respell(path, text string, u units.System) string {
	s := siteKeys()
	for key := range strings.SplitSeq(path, ".") {
		if s.form == list {
			s = s.item
		}
		i := s.at(key)
		if i < 0 {
			return text
		}
		s = &s.fields[i].spec
	}
	if s.form != quantity {
		return text
	}
	v := (&checker{doc: yamlwalk.Parse("value", nil)}).read(yamlwalk.Parse("value", nil).Value("value", text), s)
	if v.bad {
		return text
	}
	return u.Respell(text, v.q)
}
