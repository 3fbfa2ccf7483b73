package site_test

import (
	"os"
	"path/filepath"
	"testing"

	"tidehold/volumes/site"
)

// read returns a file of testdata at the top of the module.
func read(t testing.TB, parts ...string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(append([]string{"..", "..", "testdata"}, parts...)...))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func load(t testing.TB, name string) *site.Site {
	t.Helper()
	s, faults := site.Load(name, read(t, "sites", name))
	for _, f := range faults {
		t.Error(f)
	}
	if s == nil {
		t.FailNow()
	}
	return s
}

func TestEveryGoodSiteLoads(t *testing.T) {
	root := filepath.Join("..", "..", "testdata", "sites")
	top, _ := filepath.Glob(filepath.Join(root, "*.yaml"))
	rooms, _ := filepath.Glob(filepath.Join(root, "*", "*.yaml"))
	if len(top) < 5 || len(rooms) < 10 {
		t.Fatalf("%d good sites and %d in folders", len(top), len(rooms))
	}
	for _, f := range append(top, rooms...) {
		name, _ := filepath.Rel(root, f)
		t.Run(name, func(t *testing.T) { load(t, name) })
	}
}
