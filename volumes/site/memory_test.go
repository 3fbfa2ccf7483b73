package site

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"weak"

	"tidehold/refs/yamlwalk"
)

// TestASiteKeepsNothingOfItsFile: one pointer into what was parsed would keep all of it, which
// is 3 kB for each system of a large site. Every site of the tests, and the demo.
func TestASiteKeepsNothingOfItsFile(t *testing.T) {
	files, err := filepath.Glob("../../testdata/sites/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no sites: %v", err)
	}
	texts := map[string][]byte{"demo": Demo()}
	for _, f := range files {
		if texts[f], err = os.ReadFile(f); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range texts {
		doc := yamlwalk.Parse(name, text)
		root := weak.Make(doc.Root)
		s, faults := load(doc, nil)
		if len(faults) > 0 {
			t.Fatalf("%s: %v", name, faults)
		}
		doc = nil
		runtime.GC()
		if root.Value() != nil {
			t.Errorf("%s: the site keeps the nodes of its file", name)
		}
		runtime.KeepAlive(s)
	}
}
