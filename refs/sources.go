package refs

import (
	_ "embed"
	"strings"
)

//go:embed sources.md
var sourcesText string

// Source is one entry of the list of sources: its key, the full citation and
// what of it was read by this project.
type Source struct {
	Key      string `json:"key"`
	Citation string `json:"citation"`
	// Seen says which parts were read and where; empty if the list does not say.
	Seen string `json:"seen,omitempty"`
}

// Sources returns every source in the order of the list.
func Sources() []Source { return parseSources(sourcesText) }

// Lookup returns the source with the given key, and false if there is none.
func Lookup(key string) (Source, bool) {
	for _, s := range Sources() {
		if s.Key == key {
			return s, true
		}
	}
	return Source{}, false
}

// parseSources reads the sections of the list: a heading "## [key]", paragraphs
// of citation, and a paragraph that begins with "Seen:".
func parseSources(text string) []Source {
	var list []Source
	seen := false
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if key, ok := strings.CutPrefix(line, "## ["); ok {
			list = append(list, Source{Key: strings.TrimSuffix(key, "]")})
			seen = false
			continue
		}
		if len(list) == 0 || line == "" {
			continue
		}
		s := &list[len(list)-1]
		if rest, ok := strings.CutPrefix(line, "Seen: "); ok {
			line, seen = rest, true
		}
		if seen {
			s.Seen = joined(s.Seen, line)
		} else {
			s.Citation = joined(s.Citation, line)
		}
	}
	return list
}

func joined(text, line string) string {
	if text == "" {
		return line
	}
	return text + " " + line
}
