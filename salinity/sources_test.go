package salinity

import (
	"strings"
	"testing"

	"tidehold/refs"
)

// TestPrintedSourcesAreListed: keys that reach the user, unlike those in comments,
// are data.
func TestPrintedSourcesAreListed(t *testing.T) {
	var keys []string
	for _, r := range Relations() {
		keys = append(keys, r.Sources...)
	}
	for _, m := range methods {
		keys = append(keys, strings.Fields(m.sources)...)
	}
	for _, r := range ammoniaRelations {
		keys = append(keys, r.source)
	}
	for _, k := range keys {
		if _, ok := refs.Lookup(k); !ok {
			t.Errorf("source %q is not in the list", k)
		}
	}
}
